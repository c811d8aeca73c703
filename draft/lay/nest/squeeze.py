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
from highspy import Highs, HighsLp, HighsModelStatus, MatrixFormat

from outseam.draft.lay.model.orientations import Orientation
from outseam.draft.lay.model.placement import Floats
from outseam.draft.lay.model.positions import Position, Positions, levels_of, reach_mm

#: A piece moves by so much at most in a step, mm; by a third of it where that brings nothing more.
_STEP_MM, _LEAST_STEP_MM = 40.0, 4.0
#: A step that saves less than this brings nothing, mm.
_WORTH_MM = 1.0
_MOST_STEPS = 20
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
        self._solver = Highs()  # type: ignore[no-untyped-call]
        self._solver.setOptionValue("output_flag", False)
        self._solver.setOptionValue("presolve", "off")

    def squeezed(self, positions: Positions, most_steps: int = _MOST_STEPS) -> Positions:
        """Return positions that take no more fabric. They must keep the gap (see `Slides`)."""
        step, length = _STEP_MM, reach_mm(positions)
        least = max((s.orientation.length_mm for s in positions), default=0.0)
        for _ in range(most_steps if positions else 0):
            if step < _LEAST_STEP_MM or length < least + _WORTH_MM:
                break
            found = self._step(positions, step)
            if found is None:
                break
            shorter = reach_mm(found)
            if shorter > length - _WORTH_MM:
                # Between coarse outlines a smaller step is not worth its time.
                step = 0.0 if self._coarse else step / 3.0
            if shorter <= length:
                positions, length = found, shorter
        return positions

    def _step(self, positions: Positions, step_mm: float) -> Positions | None:
        """Return all positions moved by up to `step_mm` so that the lay is shortest."""
        n = len(positions)
        at = np.array([(s.x_mm, s.y_mm) for s in positions])
        found = list(self._sides(positions, at, 2.0 * step_mm))
        first, second = np.array([f[:2] for f in found], dtype=int).reshape(-1, 2).T
        sides = np.array([f[2] for f in found]).reshape(-1, 2)
        room = np.array([f[3] for f in found])
        # Unknowns: how far each piece moves along, how far across, and where the lay ends.
        last, count, own = 2 * n, len(found), np.arange(n)
        beside = np.stack([first, n + first, second, n + second], axis=1)
        ends = np.stack([own, np.full(n, last)], axis=1)
        levels = [levels_of(s.item, s.orientation, self._breadth) for s in positions]
        least_y, most_y = np.array(levels).T - at[:, 1]
        low = np.maximum([*(-at[:, 0]), *least_y, 0.0], -step_mm)
        high = np.array([*[step_mm] * n, *np.minimum(most_y, step_mm), np.inf])

        programme = HighsLp()
        programme.num_col_, programme.num_row_ = last + 1, count + n
        programme.col_cost_ = np.array([*[_LEFT] * n, *[0.0] * n, 1.0])
        programme.col_lower_, programme.col_upper_ = np.minimum(low, high), high
        programme.row_lower_ = np.full(count + n, -np.inf)
        programme.row_upper_ = np.concatenate([room, [-s.end_mm for s in positions]])
        table = programme.a_matrix_
        table.format_ = MatrixFormat.kRowwise
        table.start_ = np.concatenate([4 * np.arange(count), 4 * count + 2 * np.arange(n + 1)])
        table.index_ = np.concatenate([beside, ends], axis=None)
        table.value_ = np.concatenate([np.hstack([sides, -sides]), [[1.0, -1.0]] * n], axis=None)
        x = self._solved(programme)
        if x is None:
            return None
        moved = at + np.stack([x[:n], x[n:last]], axis=1)
        return tuple(s.at(float(x), float(y)) for s, (x, y) in zip(positions, moved, strict=True))

    def _solved(self, programme: HighsLp) -> Floats | None:
        """Return the unknowns of a linear programme; None if it has no solution."""
        self._solver.passModel(programme)
        self._solver.run()
        if self._solver.getModelStatus() != HighsModelStatus.kOptimal:
            return None
        return np.array(self._solver.getSolution().col_value)

    def _sides(
        self, positions: Positions, at: Floats, reach_mm: float
    ) -> Iterator[tuple[int, int, Floats, float]]:
        """Yield what pairs of positions that can meet have between them, see `_Offsets.room`."""
        for i, a in enumerate(positions):
            for j in range(i + 1, len(positions)):
                b = positions[j]
                if _boxes_apart(a, b) < reach_mm:
                    offsets = self._offsets(a.orientation, b.orientation)
                    for side, room in offsets.room(at[j] - at[i], reach_mm):
                        yield i, j, side, room

    def _offsets(self, a: Orientation, b: Orientation) -> _Offsets:
        # The orientations live as long as what is known of them, so their ids stay their own.
        known = self._known.get((id(a), id(b)))
        if known is None:
            known = self._known[id(a), id(b)] = _Offsets(a, b, coarse=self._coarse)
        return known


def _boxes_apart(a: Position, b: Position) -> float:
    """Return how far the boxes of two positions are apart, beyond the gap, along or across, mm."""
    along = max(a.x_mm - b.end_mm, b.x_mm - a.end_mm)
    across = max(a.y_mm - b.top_mm, b.y_mm - a.top_mm)
    return max(along, across) - a.orientation.gap_mm


class _Offsets:
    """The offsets of b from a at which a corner of one lies on a side of the other.

    Among these lines, `start` to `end` (n, 2), is the edge of what is forbidden; `out` (n, 2) is
    away from it.
    """

    def __init__(self, a: Orientation, b: Orientation, *, coarse: bool) -> None:
        self.kept = a, b
        first, second = (_ring(f, coarse=coarse) for f in (a, b))
        on_first, on_second = _lines(first, second), _lines(second, first)
        self.start = np.concatenate([on_first[0], -on_second[0]])
        self.end = np.concatenate([on_first[1], -on_second[1]])
        self.out = np.concatenate([on_first[2], -on_second[2]])
        self.low = np.minimum(self.start, self.end)
        self.high = np.maximum(self.start, self.end)

    def room(self, at: Floats, reach_mm: float) -> Iterator[tuple[Floats, float]]:
        """Yield the sides of a free region round an offset, and how far it is from each.

        Sides are unit vectors toward what is forbidden. The region holds within `reach_mm` along
        and across. The nearest line gives a side, what lies wholly behind that is done with, and
        so on.
        """
        near = ((self.low < at + reach_mm) & (self.high > at - reach_mm)).all(axis=1)
        start, end, out = self.start[near], self.end[near], self.out[near]
        along = end - start
        square = (along**2).sum(axis=1)
        share = np.clip(((at - start) * along).sum(axis=1) / square, 0.0, 1.0)
        foot = start + share[:, None] * along
        way = at - foot
        far = np.hypot(way[:, 0], way[:, 1])
        while len(start):
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
            yield side, max(0.0, float(side @ at) - edge)
            left = np.maximum(start @ side, end @ side) > edge + _HAIR_MM
            left[n] = False
            start, end, out, share = start[left], end[left], out[left], share[left]
            foot, way, far = foot[left], way[left], far[left]


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
