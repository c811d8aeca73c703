"""The chords of a path: its polyline with, for each chord, a bound on how far the curve sags."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from outseam.curves._bernstein import Complexes, Ints, value
from outseam.curves.errors import CurveError
from outseam.curves.path import Floats


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
    second differences of controls. Raises CurveError unless the tolerance is positive.
    """
    if not tolerance > 0.0:
        raise CurveError("flatten", "the tolerance must be more than zero", given_mm=tolerance)
    bend = np.abs(z[:, 2:] - 2 * z[:, 1:3] + z[:, :2]).max(axis=1) * 0.75
    steps = np.maximum(np.ceil(np.sqrt(bend / tolerance)), 1.0)
    count = steps.astype(np.intp)
    if len(z) == int(count.sum()):
        segment = np.arange(len(z))
        return Chords(segment, np.zeros(len(z)), np.ones(len(z)), z[:, 0], z[:, 3], bend)
    segment = np.repeat(np.arange(len(z)), count)
    of = steps[segment]
    i = np.arange(len(segment)) - (count.cumsum() - count)[segment]
    t0 = i / of
    p = value(z[segment], t0)
    q = np.concatenate([p[1:], z[-1:, 3]])
    return Chords(segment, t0, (i + 1) / of, p, q, (bend / (steps * steps))[segment])
