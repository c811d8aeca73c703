"""The chords of a path: its polyline with, for each chord, a bound on how far the curve sags."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from curves._bernstein import Complexes, Ints, value
from curves.path import Floats


@dataclass(frozen=True, slots=True)
class Chords:
    """Chords in order along a path, (m,) each: segment, parameters in it, ends, sag bound in mm."""

    segment: Ints
    t0: Floats
    t1: Floats
    p: Complexes
    q: Complexes
    sag: Floats


def chords(z: Complexes, tolerance: float) -> Chords:
    """Return chords from which the segments `z` (n, 4) stray by at most `tolerance` mm.

    On a step h of the parameter a curve leaves its chord by at most h^2 / 8 times the largest
    second derivative (linear interpolation), which for a cubic is 6 times the larger of its two
    second differences of controls.
    """
    bend = np.abs(z[:, 2:] - 2 * z[:, 1:3] + z[:, :2]).max(axis=1) * 0.75
    steps = np.maximum(np.ceil(np.sqrt(bend / tolerance)), 1.0)
    count = steps.astype(np.intp)
    segment = np.repeat(np.arange(len(z)), count)
    first = np.cumsum(count) - count
    i = np.arange(len(segment)) - first[segment]
    steps_of = steps[segment]
    t0 = i / steps_of
    p = value(z[segment], t0)
    q = np.append(p[1:], z[-1, 3])
    return Chords(segment, t0, (i + 1) / steps_of, p, q, (bend / (steps * steps))[segment])
