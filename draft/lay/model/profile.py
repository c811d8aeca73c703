"""Outlines as slabs, and how far two pieces must be slid apart along the fabric: exact.

A polygon is cut by a level line at each of its corners into trapezoids. Two pieces that are slid
along x at fixed heights touch only where two of these trapezoids touch, so the slides that would
make them overlap are a union of open intervals whose ends are found at the trapezoids' corners.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

#: Disjoint open intervals, in order, mm.
Intervals: TypeAlias = tuple[tuple[float, float], ...]

#: Slabs and overlaps thinner than this are rounding, mm.
_THIN_MM = 1e-9
#: Two intervals nearer than this are one, mm.
_PLAY_MM = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Trapezoids:
    """Trapezoids of a polygon, arrays (n,): from `low` to `high`, mm.

    `left_low`, `left_high` are x of the left side at both levels, likewise for the right.
    """

    low: Floats
    high: Floats
    left_low: Floats
    left_high: Floats
    right_low: Floats
    right_high: Floats

    def mirrored(self, long_mm: float | None, high_mm: float | None) -> Trapezoids:
        """Return them in a mirror along and across, at what lies at 0 then; None: not mirrored."""
        low, high = self.low, self.high
        left, right = (self.left_low, self.left_high), (self.right_low, self.right_high)
        if long_mm is not None:
            left, right = (
                (long_mm - right[0], long_mm - right[1]),
                (long_mm - left[0], long_mm - left[1]),
            )
        if high_mm is not None:
            low, high = high_mm - high, high_mm - low
            left, right = left[::-1], right[::-1]
        return Trapezoids(
            low=low,
            high=high,
            left_low=left[0],
            left_high=left[1],
            right_low=right[0],
            right_high=right[1],
        )


def profile_of(outline: Floats) -> Trapezoids:
    """Return the trapezoids of a simple polygon given as corners (m, 2), not repeated."""
    a, b = outline, np.roll(outline, -1, axis=0)
    levels = np.sort(outline[:, 1])
    keep = np.diff(levels, prepend=-np.inf) > _THIN_MM
    levels = levels[keep]
    low, high = levels[:-1], levels[1:]
    middle = (low + high) / 2.0
    bottom, top = np.minimum(a[:, 1], b[:, 1]), np.maximum(a[:, 1], b[:, 1])
    slab, side = np.nonzero((bottom[None, :] < middle[:, None]) & (middle[:, None] < top[None, :]))
    p, q = a[side], b[side]
    slope = (q[:, 0] - p[:, 0]) / (q[:, 1] - p[:, 1])
    at_low = p[:, 0] + slope * (low[slab] - p[:, 1])
    at_high = p[:, 0] + slope * (high[slab] - p[:, 1])
    order = np.lexsort((at_low + at_high, slab))
    slab, at_low, at_high = slab[order], at_low[order], at_high[order]
    # Every level line between two corners enters and leaves the polygon in turn.
    return Trapezoids(
        low=low[slab[::2]],
        high=high[slab[::2]],
        left_low=at_low[::2],
        left_high=at_high[::2],
        right_low=at_low[1::2],
        right_high=at_high[1::2],
    )


def blocked(a: Trapezoids, b: Trapezoids, rise_mm: float) -> Intervals:
    """Return the slides at which b, raised by `rise_mm` and slid along x, overlaps a.

    Disjoint open intervals, in order; none where their levels do not meet.
    """
    return blocked_at(a, b, (rise_mm,))[0]


def blocked_at(a: Trapezoids, b: Trapezoids, rises_mm: Sequence[float]) -> tuple[Intervals, ...]:
    """Return `blocked` for each of several rises, worked out together: many cost little more."""
    return _merged_groups(*_pairs(a, b, rises_mm), len(rises_mm))


def joined(profiles: Sequence[tuple[Trapezoids, float, float]]) -> Trapezoids:
    """Return the trapezoids of several profiles, each moved by x and y, mm, as one."""
    return Trapezoids(
        low=np.concatenate([p.low + y for p, _, y in profiles]),
        high=np.concatenate([p.high + y for p, _, y in profiles]),
        left_low=np.concatenate([p.left_low + x for p, x, _ in profiles]),
        left_high=np.concatenate([p.left_high + x for p, x, _ in profiles]),
        right_low=np.concatenate([p.right_low + x for p, x, _ in profiles]),
        right_high=np.concatenate([p.right_high + x for p, x, _ in profiles]),
    )


def free_at(
    a: Trapezoids,
    b: Trapezoids,
    rises_mm: Sequence[float],
    from_mm: float,
    near: tuple[Floats, Floats],
) -> list[float]:
    """Return for each rise the least slide of b not below `from_mm` that is free of a.

    The same as `first_free` of `blocked_at`, without the intervals. `near` are the least and the
    greatest rise (n,) at which each trapezoid of a counts.
    """
    group, starts, ends = _pairs(a, b, rises_mm, near)
    found = np.full(len(rises_mm), from_mm)
    kept = ends > from_mm
    group, starts, ends = group[kept], starts[kept], ends[kept]
    if not len(group):
        return [from_mm] * len(rises_mm)
    # One key for both: groups are set further apart than any two starts.
    low = float(starts.min())
    apart = (max(float(ends.max()), from_mm) - low + 1.0) * group
    key = starts - low + apart
    order = np.argsort(key)
    group, key = group[order], key[order]
    reach = np.maximum.accumulate((ends - low + apart)[order])
    first = np.searchsorted(group, np.arange(len(rises_mm) + 1))
    # Free is `from_mm` itself, or the end of a block of intervals that none goes on from.
    begin = from_mm - low + apart[order]
    free = np.ones(len(group), dtype=bool)
    free[:-1] = (group[1:] != group[:-1]) | (key[1:] > np.maximum(reach, begin)[:-1] + _PLAY_MM)
    ends_at = np.flatnonzero(free)
    at = ends_at[np.minimum(np.searchsorted(ends_at, first[:-1]), len(ends_at) - 1)]
    hit = first[1:] > first[:-1]
    hit[hit] = key[first[:-1][hit]] < begin[first[:-1][hit]]
    found[hit] = (reach - apart[order] + low)[at[hit]]
    return found.tolist()


def _pairs(
    a: Trapezoids,
    b: Trapezoids,
    rises_mm: Sequence[float],
    near: tuple[Floats, Floats] | None = None,
) -> tuple[NDArray[np.intp], Floats, Floats]:
    """Return the slides, from and to, that two trapezoids each forbid, and the rises' numbers."""
    rises = np.asarray(rises_mm, dtype=np.float64)[:, None, None]
    b_low, b_high = b.low + rises, b.high + rises
    meet = (a.low[:, None] < b_high - _THIN_MM) & (b_low < a.high[:, None] - _THIN_MM)
    if near is not None:
        meet &= (near[0][:, None] <= rises) & (rises <= near[1][:, None])
    n, i, j = np.nonzero(meet)
    rise = rises[n, 0, 0]
    low = np.maximum(a.low[i], b.low[j] + rise)
    high = np.minimum(a.high[i], b.high[j] + rise)
    first, second = _Sides(a, i), _Sides(b, j)
    a_left, a_right = first.at(low)
    b_left, b_right = second.at(low - rise)
    c_left, c_right = first.at(high)
    d_left, d_right = second.at(high - rise)
    starts = np.minimum(a_left - b_right, c_left - d_right)
    ends = np.maximum(a_right - b_left, c_right - d_left)
    return n, starts, ends


def _merged_groups(
    group: NDArray[np.intp], starts: Floats, ends: Floats, count: int
) -> tuple[Intervals, ...]:
    """Return `merged` for each of `count` groups of intervals, all at once."""
    if not len(group):
        return ((),) * count
    order = np.lexsort((starts, group))
    group, starts, ends = group[order], starts[order], ends[order]
    # Groups are set so far apart that the farthest end so far is never one of another group.
    low = float(starts.min())
    apart = (float(ends.max()) - low + 1.0) * group
    reach = np.maximum.accumulate(ends - low + apart)
    fresh = np.ones(len(group), dtype=bool)
    fresh[1:] = (group[1:] != group[:-1]) | ((starts - low + apart)[1:] > reach[:-1] + _PLAY_MM)
    first = np.flatnonzero(fresh)
    last = np.append(first[1:], len(group)) - 1
    lows, highs = starts[first].tolist(), np.maximum.reduceat(ends, first).tolist()
    cuts = np.searchsorted(group[last], np.arange(count + 1)).tolist()
    return tuple(tuple(zip(lows[p:q], highs[p:q], strict=True)) for p, q in pairwise(cuts))


class _Sides:
    """The sides of some trapezoids, ready to be asked for x at a level of each."""

    def __init__(self, p: Trapezoids, which: NDArray[np.intp]) -> None:
        height = p.high - p.low
        self._low = p.low[which]
        self._left, self._right = p.left_low[which], p.right_low[which]
        self._left_slope = ((p.left_high - p.left_low) / height)[which]
        self._right_slope = ((p.right_high - p.right_low) / height)[which]

    def at(self, level: Floats) -> tuple[Floats, Floats]:
        """Return x of the left and right sides at a level of each."""
        up = level - self._low
        return self._left + self._left_slope * up, self._right + self._right_slope * up


def merged(intervals: Iterable[tuple[float, float]]) -> Intervals:
    """Return the union of open intervals as disjoint ones, in order."""
    found: list[tuple[float, float]] = []
    start = reach = -math.inf
    for low, high in sorted(intervals):
        # A slide between two intervals that all but touch would be a fit without any play.
        if low > reach + _PLAY_MM:
            if reach > -math.inf:
                found.append((start, reach))
            start, reach = low, high
        elif high > reach:
            reach = high
    if reach > -math.inf:
        found.append((start, reach))
    return tuple(found)


def first_free_of_all(intervals: Iterable[tuple[float, float]], from_mm: float) -> float:
    """Return the least slide not below `from_mm` outside open intervals in any order.

    The same as `first_free` of `merged`, without looking further than it must.
    """
    at, reach = from_mm, -math.inf
    for low, high in sorted(intervals):
        if low >= at and low > reach + _PLAY_MM:
            break
        if high > reach:
            reach = high
        if reach > at:
            at = reach
    return at


def first_free(intervals: Intervals, from_mm: float) -> float:
    """Return the least slide not below `from_mm` outside disjoint open intervals in order."""
    at = from_mm
    for low, high in intervals:
        if at <= low:
            break
        if at < high:
            at = high
    return at
