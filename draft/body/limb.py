"""The girth of one leg at every height below the crotch, from the girths that a tape takes.

A cubic spline with continuous curvature runs through ankle, calf, knee, lower thigh, middle of the
thigh and thigh. Between the tape's places it is a guess: how sure it is follows from how surely
the girths it hangs on are known, and widens between them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from outseam.draft.body.measures import Measures
from outseam.draft.body.population import Build, load_survey

Floats = NDArray[np.float64]

#: Calf and ankle heights as shares of the knee's: fullest calf about 0.72, smallest ankle about
#: 0.24 (from memory of anthropometric tables).
CALF_OF_KNEE = 0.72
ANKLE_OF_KNEE = 0.24
#: The lower thigh is taken just above the kneecap, the thigh just below the seat fold.
LOWER_THIGH_ABOVE_KNEE_MM = 35.0
THIGH_BELOW_CROTCH_MM = 15.0
#: Half way between both the thigh is this times their mean; no published source, so it is held to
#: be known to 2 %.
MID_THIGH, MID_THIGH_SD = 1.01, 0.02
#: Half way between two places of the tape the curve itself is good to about this share, sd.
BETWEEN_SD = 0.012

#: What the lower thigh is estimated from, as the survey's table names them.
_KNOWN = ("height", "hip", "thigh", "calf", "ankle", "inside_leg")


def spline_slopes(x: Floats, y: Floats, first: float | None = None) -> Floats:
    """Return the slopes at its knots (..., n) of the cubic spline with continuous curvature.

    `x` (n) ascends, `y` (..., n); curvature is zero at the last end, and at the first unless its
    slope is given. The usual tridiagonal system, de Boor, A Practical Guide to Splines, ch. IV.
    """
    n = len(x)
    h = np.diff(x)
    chord = np.diff(y, axis=-1) / h
    a = np.zeros((n, n))
    b = np.zeros((*y.shape[:-1], n))
    inner = np.arange(1, n - 1)
    a[inner, inner - 1], a[inner, inner + 1] = h[1:], h[:-1]
    a[inner, inner] = 2.0 * (h[:-1] + h[1:])
    b[..., 1:-1] = 3.0 * (h[1:] * chord[..., :-1] + h[:-1] * chord[..., 1:])
    a[0, :2], b[..., 0] = (2.0, 1.0), 3.0 * chord[..., 0]
    if first is not None:
        a[0, :2], b[..., 0] = (1.0, 0.0), first
    a[-1, -2:], b[..., -1] = (1.0, 2.0), 3.0 * chord[..., -1]
    found: Floats = np.linalg.solve(a, b[..., None])[..., 0].astype(np.float64)
    return found


def _places(x: Floats, at: Any) -> tuple[NDArray[np.intp], Floats, Floats, Floats]:
    """Return of each place its interval, that one's width, and how far in it is from both ends."""
    at = np.asarray(at, dtype=np.float64)
    i = np.minimum(np.maximum(x.searchsorted(at, side="right") - 1, 0), len(x) - 2)
    h = x[i + 1] - x[i]
    t = np.minimum(np.maximum((at - x[i]) / h, 0.0), 1.0)
    return i, h, t, 1.0 - t


@dataclass(frozen=True, slots=True)
class GirthLine:
    """A girth along the height: knots (n), ascending, their girths and slopes."""

    x: Floats
    y: Floats
    slope: Floats

    def at(self, heights: Any) -> Floats:
        """Return the girths at heights, mm; beyond the ends what it is there."""
        (i, h, t, s), y, d = _places(self.x, heights), self.y, self.slope
        ends: Floats = s * s * (1.0 + 2.0 * t) * y[i] + t * t * (1.0 + 2.0 * s) * y[i + 1]
        return ends + h * t * s * (s * d[i] - t * d[i + 1])

    def slope_at(self, heights: Any) -> Floats:
        """Return the change of girth per mm of height."""
        (i, h, t, s), y, d = _places(self.x, heights), self.y, self.slope
        ends: Floats = 6.0 * t * s / h * (y[i + 1] - y[i])
        return ends + s * (s - 2.0 * t) * d[i] + t * (t - 2.0 * s) * d[i + 1]


@dataclass(frozen=True, slots=True)
class Limb:
    """One leg of a body: its girth at heights above the floor, and how surely that is known."""

    line: GirthLine
    sd_mm: Floats

    def at(self, heights: Any) -> Floats:
        """Return the girths at heights above the floor, mm."""
        return self.line.at(heights)

    def sd_at(self, heights: Any) -> Floats:
        """Return the standard deviation of the girths, mm: that of the knots, more between them."""
        h = np.asarray(heights, dtype=np.float64)
        x = self.line.x
        i = np.clip(np.searchsorted(x, h, side="right") - 1, 0, len(x) - 2)
        t = np.clip((h - x[i]) / (x[i + 1] - x[i]), 0.0, 1.0)
        knots = np.hypot((1.0 - t) * self.sd_mm[i], t * self.sd_mm[i + 1])
        # A gap of a hand's length or more leaves the whole doubt.
        gap = np.minimum(1.0, (x[i + 1] - x[i]) / 150.0)
        found: Floats = np.hypot(knots, 4.0 * t * (1.0 - t) * gap * BETWEEN_SD * self.at(h))
        return found


@lru_cache(maxsize=2)
def _lower_thigh(build: Build) -> tuple[float, tuple[float, ...], float]:
    """Return constant, slopes and sd of ln(lower thigh) given the measures of `_KNOWN`, ln cm."""
    names, mean, spread = load_survey(build)
    i, j = [names.index(name) for name in _KNOWN], names.index("lower_thigh")
    slopes = np.linalg.solve(spread[np.ix_(i, i)], spread[i, j])
    left = float(spread[j, j] - spread[j, i] @ slopes)
    return float(mean[j] - mean[i] @ slopes), tuple(slopes.tolist()), math.sqrt(left)


def lower_thigh_mm(m: Measures) -> tuple[float, float]:
    """Return the girth just above the kneecap and its sd, mm (public survey ANSUR II).

    A linear expectation of an expectation is one again, so what was itself estimated may go in.
    """
    constant, slopes, sd = _lower_thigh(m.build)
    logs = [math.log(getattr(m, name) / 10.0) for name in _KNOWN]
    mm = 10.0 * math.exp(constant + sum(s * x for s, x in zip(slopes, logs, strict=True)))
    parts = [sd] + [s * _sd_of(m, n) / getattr(m, n) for s, n in zip(slopes, _KNOWN, strict=True)]
    return mm, mm * math.hypot(*parts)


def _sd_of(m: Measures, name: str) -> float:
    found = m.estimate(name)
    return 0.0 if found is None else found.sd_mm


@lru_cache(maxsize=64)
def limb_of(m: Measures) -> Limb:
    """Return the leg of a body as a curve, from the ankle up to the thigh."""
    lower, lower_sd = lower_thigh_mm(m)
    low = m.knee_height + LOWER_THIGH_ABOVE_KNEE_MM
    high = max(m.inside_leg - THIGH_BELOW_CROTCH_MM, low + 80.0)
    mid = MID_THIGH * (m.thigh + lower) / 2.0
    mid_sd = math.hypot(_sd_of(m, "thigh") / 2.0, lower_sd / 2.0, MID_THIGH_SD * mid)
    rows = (
        (ANKLE_OF_KNEE * m.knee_height, m.ankle, _sd_of(m, "ankle")),
        (CALF_OF_KNEE * m.knee_height, m.calf, _sd_of(m, "calf")),
        (m.knee_height, m.knee, _sd_of(m, "knee")),
        (low, lower, lower_sd),
        ((low + high) / 2.0, mid, mid_sd),
        (high, m.thigh, _sd_of(m, "thigh")),
    )
    x, y, sd = np.array(rows).T
    # A tape finds the ankle where the girth is least: there it does not change.
    return Limb(GirthLine(x, y, spline_slopes(x, y, 0.0)), sd)
