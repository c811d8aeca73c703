"""Lays drawn together: all pieces move at once, along and across, as long as the fabric gets less.

Where a piece lies beside another, the offsets between them that are allowed near by contain a
region with straight sides; with all these regions the shortest lay is a linear programme. It is
solved, the regions are made anew, and so on (compaction by linear programming, from memory of Li
and Milenkovic, Compaction and separation algorithms for non-convex polygons). Nobody changes
sides, so what is found is the best lay near by, not the best there is.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from scipy.optimize import linprog
from scipy.sparse import csr_array
from shapely import Polygon

from outseam.draft.lay.model.orientations import Orientation
from outseam.draft.lay.model.placement import Floats
from outseam.draft.lay.model.positions import Positions, levels_of, reach_mm

#: A piece moves by so much at most in a step, mm; by a third of it where that brings nothing more.
_STEP_MM, _LEAST_STEP_MM = 40.0, 4.0
#: A step that saves less than this brings nothing, mm.
_WORTH_MM = 0.3
_MOST_STEPS = 20
_MOST_PARTED = 4
#: What a millimetre of overlap costs, beside a millimetre of fabric.
_OVERLAP = 50.0
#: What touches within this touches, mm.
_TOUCH_MM = 0.05
_HAIR_MM = 1e-6
#: What a piece nearer to the cut end is worth, beside a shorter lay.
_LEFT = 1e-3


class Squeeze:
    """Draws lays together; what is known of pairs of orientations serves for the next lay too."""

    def __init__(self, breadth_mm: float, *, coarse: bool = False) -> None:
        self._breadth, self._coarse = breadth_mm, coarse
        self._known: dict[tuple[int, int], _Offsets] = {}

    def parted(self, positions: Positions, most_steps: int = _MOST_PARTED) -> Positions:
        """Return positions moved so that they overlap no more, if that goes in so many steps."""
        for _ in range(most_steps):
            found = self._step(positions, _STEP_MM, True)
            if found is None:
                break
            positions = found
            if self._short < _TOUCH_MM:
                break
        return positions

    def squeezed(self, positions: Positions, most_steps: int = _MOST_STEPS) -> Positions:
        """Return positions that take no more fabric. They must keep the gap (see `Slides`)."""
        step, steps = _STEP_MM, 0
        length = reach_mm(positions)
        while steps < most_steps and step >= _LEAST_STEP_MM and len(positions) > 1:
            found = self._step(positions, step)
            steps += 1
            if found is None:
                break
            shorter = reach_mm(found)
            if shorter <= length:
                positions = found
            if shorter > length - _WORTH_MM:
                step /= 3.0
            length = min(length, shorter)
        return positions

    def _step(self, positions: Positions, step_mm: float, parting: bool = False) -> Positions | None:
        """Return all positions moved by up to `step_mm` so that the lay is shortest."""
        n = len(positions)
        at = np.array([(s.x_mm, s.y_mm) for s in positions])
        pairs: list[tuple[int, int]] = []
        sides: list[Floats] = []
        least: list[float] = []
        for i in range(n):
            for j in range(i + 1, n):
                a, b = positions[i].orientation, positions[j].orientation
                for side, room in self._offsets(a, b).room(at[j] - at[i], 2.0 * step_mm, parting):
                    pairs.append((i, j))
                    sides.append(side)
                    least.append(room)
        count = len(pairs)
        index = np.array(pairs).reshape(-1, 2)
        normals = np.array(sides).reshape(-1, 2)
        # Unknowns: how far each moves along, how far across, and where the lay ends.
        rows = np.concatenate([np.repeat(np.arange(count), 4), np.repeat(count + np.arange(n), 2)])
        columns = np.concatenate(
            [
                np.stack([index[:, 0], n + index[:, 0], index[:, 1], n + index[:, 1]], 1).ravel(),
                np.stack([np.arange(n), np.full(n, 2 * n)], 1).ravel(),
            ]
        )
        values = np.concatenate([np.hstack([normals, -normals]).ravel(), np.tile([1.0, -1.0], n)])
        rows = np.concatenate([rows, np.arange(count)])
        columns = np.concatenate([columns, np.full(count, 2 * n + 1)])
        values = np.concatenate([values, np.full(count, -1.0)])
        ends = np.array([s.end_mm for s in positions])
        limits = []
        for s in positions:
            limits.append((max(-step_mm, -s.x_mm), step_mm))
        for s in positions:
            low, high = levels_of(s.item, s.orientation, self._breadth)
            down, up = max(-step_mm, low - s.y_mm), min(step_mm, high - s.y_mm)
            limits.append((down, up) if down < up else (0.0, 0.0))
        solved = linprog(
            np.array([*[_LEFT] * n, *[0.0] * n, 1.0, _OVERLAP]),
            A_ub=csr_array((values, (rows, columns)), shape=(count + n, 2 * n + 2)),
            b_ub=np.concatenate([least, -ends]),
            bounds=[*limits, (0.0, None), (0.0, None if parting else 0.0)],
            method="highs-ds",
        )
        if solved.status != 0:
            return None
        self._short = float(solved.x[-1])
        moved = at + np.stack([solved.x[:n], solved.x[n : 2 * n]], axis=1)
        return tuple(s.at(float(x), float(y)) for s, (x, y) in zip(positions, moved, strict=True))

    def _offsets(self, a: Orientation, b: Orientation) -> _Offsets:
        # The orientations live as long as what is known of them, so their ids stay their own.
        known = self._known.get((id(a), id(b)))
        if known is None:
            known = self._known[id(a), id(b)] = _Offsets(a, b, coarse=self._coarse)
        return known


class _Offsets:
    """The offsets of b from a at which a corner of one lies on a side of the other.

    Among these lines, `start` to `end` (n, 2), is the edge of what is forbidden; `out` (n, 2) is
    away from it.
    """

    def __init__(self, a: Orientation, b: Orientation, *, coarse: bool) -> None:
        self.kept = a, b
        first, second = (_ring(f, coarse=coarse) for f in (a, b))
        self.rings = first, second
        on_first = _lines(first, second)
        on_second = _lines(second, first)
        self.start = np.concatenate([on_first[0], -on_second[0]])
        self.end = np.concatenate([on_first[1], -on_second[1]])
        self.out = np.concatenate([on_first[2], -on_second[2]])
        self.along = self.end - self.start
        self.square = (self.along**2).sum(axis=1)
        self.low = np.minimum(self.start, self.end)
        self.high = np.maximum(self.start, self.end)

    def overlap(self, at: Floats) -> bool:
        a, b = self.rings
        if (b.min(axis=0) + at > a.max(axis=0) - _TOUCH_MM).any() or (b.max(axis=0) + at < a.min(axis=0) + _TOUCH_MM).any():
            return False
        return bool(Polygon(a).intersection(Polygon(b + at)).area > 1.0)

    def room(self, at: Floats, reach_mm: float, parting: bool = False) -> Iterator[tuple[Floats, float]]:
        """Yield sides of a free region around an offset: unit vectors away from what is forbidden
        behind each, and how far `at` is from it.

        The region holds only within `reach_mm` of `at` along and across. The nearest line gives a
        side, what lies wholly behind that is done with, and so on.
        """
        near = ((self.low < at + reach_mm) & (self.high > at - reach_mm)).all(axis=1)
        start, end, out = self.start[near], self.end[near], self.out[near]
        along, square = self.along[near], self.square[near]
        really = at
        if parting and len(start) and self.overlap(at):
            share = np.clip(((at - start) * along).sum(axis=1) / square, 0.0, 1.0)
            foot = start + share[:, None] * along
            way = at - foot
            far = np.sqrt((way**2).sum(axis=1)) + np.where((way * out).sum(axis=1) < _HAIR_MM, 0.0, 1e6)
            at = foot[int(far.argmin())]
        while len(start):
            share = np.clip(((at - start) * along).sum(axis=1) / square, 0.0, 1.0)
            foot = start + share[:, None] * along
            way = at - foot
            far = np.sqrt((way**2).sum(axis=1))
            n = int(far.argmin())
            if far[n] < _TOUCH_MM:
                # Where both touch, no way leads apart: away from the line, one that has `at` on
                # its outer side and not just at its end.
                touching = np.flatnonzero(far < far[n] + _TOUCH_MM)
                off = (out[touching] * way[touching]).sum(axis=1)
                within = (share[touching] > _HAIR_MM) & (share[touching] < 1.0 - _HAIR_MM)
                n = int(touching[np.lexsort((-off, ~within))[0]])
                side = out[n]
            else:
                side = way[n] / far[n]
            edge = float(side @ foot[n])
            yield side, (float(side @ really) - edge if parting else max(0.0, float(side @ at) - edge))
            left = np.maximum(start @ side, end @ side) > edge + _HAIR_MM
            left[n] = False
            start, end, out = start[left], end[left], out[left]
            along, square = along[left], square[left]


def _ring(orientation: Orientation, *, coarse: bool) -> Floats:
    """Return the corners of an orientation counter-clockwise."""
    ring = orientation.coarse_ring if coarse else orientation.ring
    x, y = ring.T
    area = float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum())
    return ring if area > 0.0 else ring[::-1]


def _lines(sides: Floats, corners: Floats) -> tuple[Floats, Floats, Floats]:
    """Return the offsets at which a corner of one ring lies on a side of another.

    Starts, ends and outward unit vectors (n, 2), of those where the corner's own sides stay
    outside: only there two pieces can touch.
    """
    along = np.roll(sides, -1, axis=0) - sides
    out = np.stack([along[:, 1], -along[:, 0]], axis=1)
    out /= np.hypot(out[:, 0], out[:, 1])[:, None]
    after, before = np.roll(corners, -1, axis=0) - corners, np.roll(corners, 1, axis=0) - corners
    n, k = np.nonzero((out @ after.T >= -_HAIR_MM) & (out @ before.T >= -_HAIR_MM))
    start = sides[n] - corners[k]
    return start, start + along[n], out[n]
