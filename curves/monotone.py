"""A curve through values that rises and falls only where they do.

The slopes are those of F. N. Fritsch and J. Butland (A method for constructing local monotone
piecewise cubic interpolants, 1984), the ends as C. Moler has them (Numerical Computing with MATLAB,
2004, 3.6). It is written out because importing a library for it takes longer than four drafts.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from itertools import pairwise

from outseam.curves.errors import CurveError


def monotone_slopes(x: Sequence[float], y: Sequence[float]) -> list[float]:
    """Return the slopes at the places `x`, which rise, of the curve through the values `y`.

    Raises CurveError for fewer than two places or such as do not rise.
    """
    if len(x) < 2 or len(x) != len(y) or any(b <= a for a, b in pairwise(x)):
        raise CurveError("monotone", "places must rise, a value at each", places=list(x))
    h = [b - a for a, b in pairwise(x)]
    rise = [(b - a) / w for (a, b), w in zip(pairwise(y), h, strict=True)]
    if len(h) == 1:
        return [rise[0], rise[0]]
    inner = []
    for i in range(1, len(h)):
        before, after = rise[i - 1], rise[i]
        if before * after <= 0.0:
            inner.append(0.0)
            continue
        w1, w2 = 2.0 * h[i] + h[i - 1], h[i] + 2.0 * h[i - 1]
        inner.append((w1 + w2) / (w1 / before + w2 / after))
    return [_end(h[0], h[1], rise[0], rise[1]), *inner, _end(h[-1], h[-2], rise[-1], rise[-2])]


def _end(near: float, next_: float, rise: float, next_rise: float) -> float:
    """Return the slope at an end: of the parabola through three values, kept in shape."""
    slope = ((2.0 * near + next_) * rise - near * next_rise) / (near + next_)
    if slope * rise <= 0.0:
        return 0.0
    if rise * next_rise < 0.0 and abs(slope) > 3.0 * abs(rise):
        return 3.0 * rise
    return slope


def monotone_value(x: Sequence[float], y: Sequence[float], at: float) -> float:
    """Return the value at a place from the first of `x` to the last. Raises CurveError."""
    slopes = monotone_slopes(x, y)
    if not x[0] <= at <= x[-1]:
        raise CurveError("monotone", "the place lies outside", given=at)
    i = min(bisect_right(x, at) - 1, len(x) - 2)
    h = x[i + 1] - x[i]
    t = (at - x[i]) / h
    s = 1.0 - t
    return (
        y[i] * s * s * (1.0 + 2.0 * t)
        + y[i + 1] * t * t * (1.0 + 2.0 * s)
        + h * s * t * (s * slopes[i] - t * slopes[i + 1])
    )
