"""Where items lie, and how far the fabric has to reach for them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from outseam.draft.lay.model.orientations import Item, Orientation
from outseam.draft.lay.model.profile import (
    Intervals,
    blocked_at,
    first_free_of_all,
    free_at,
    joined,
)

#: Heights that differ by less than this are even, mm: positions are kept to a hundredth.
_EVEN_MM = 0.01


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Position:
    """An item in one of its orientations, its leftmost point at `x_mm`, its lowest at `y_mm`."""

    item: Item
    orientation: Orientation
    x_mm: float
    y_mm: float

    @property
    def end_mm(self) -> float:
        """How far from the cut end it reaches."""
        return self.x_mm + self.orientation.length_mm

    @property
    def top_mm(self) -> float:
        """How far from the selvedge it reaches."""
        return self.y_mm + self.orientation.breadth_mm

    def at(self, x_mm: float, y_mm: float) -> Position:
        """Return the same position elsewhere."""
        return replace(self, x_mm=x_mm, y_mm=y_mm)


Positions = tuple[Position, ...]


def reach_mm(positions: Iterable[Position], least_mm: float = 0.0) -> float:
    """Return the length of fabric that the positions take from the cut end."""
    return max((s.end_mm for s in positions), default=least_mm)


def levels_of(item: Item, orientation: Orientation, breadth_mm: float) -> tuple[float, float]:
    """Return the least and the greatest height of the lowest point; empty if it is too broad.

    On the fold there is only one.
    """
    room = breadth_mm - orientation.breadth_mm
    return (room, room) if item.at_fold else (0.0, room)


class Slides:
    """Blocked slides between pairs of orientations, remembered: the same few come up again."""

    def __init__(self, *, coarse: bool = False) -> None:
        self._coarse = coarse
        self._found: dict[tuple[int, int], dict[float, Intervals]] = {}
        # Forms are told apart by identity, so they must live as long as what is known of them.
        self._kept: dict[int, Orientation] = {}

    def blocked(self, a: Orientation, b: Orientation, rise_mm: float) -> Intervals:
        """Return the slides of b against a that bring them nearer than the gap.

        See `profile.blocked`. One that lies wholly beyond the other's height is never in the way.
        """
        low, high = _in_the_way(a, b)
        return self.blocked_at(a, b, (rise_mm,))[0] if low <= rise_mm <= high else ()

    def blocked_at(
        self, a: Orientation, b: Orientation, rises_mm: Sequence[float]
    ) -> list[Intervals]:
        """Return `blocked` for each of several rises."""
        known = self._found.get((id(a), id(b)))
        if known is None:
            known = self._found[id(a), id(b)] = {}
            self._kept[id(a)], self._kept[id(b)] = a, b
        low, high = _in_the_way(a, b)
        fresh = [r for r in dict.fromkeys(rises_mm) if r not in known and low <= r <= high]
        if fresh:
            first, second = (a.coarse, b.coarse) if self._coarse else (a.profile, b.profile)
            known.update(zip(fresh, blocked_at(first, second, fresh), strict=True))
        return [known[r] if low <= r <= high else () for r in rises_mm]

    def free(
        self,
        placed: Positions,
        orientation: Orientation,
        levels_mm: Sequence[float],
        from_mm: float,
    ) -> list[float]:
        """Return for each level the least x not below `from_mm` where an orientation is free."""
        beside = [
            (s.x_mm, self.blocked_at(s.orientation, orientation, [y - s.y_mm for y in levels_mm]))
            for s in placed
        ]
        return [
            first_free_of_all([(a + dx, b + dx) for dx, at in beside for a, b in at[n]], from_mm)
            for n in range(len(levels_mm))
        ]


def _in_the_way(a: Orientation, b: Orientation) -> tuple[float, float]:
    """Return the least and the greatest rise of b over a at which they could meet, mm."""
    return -(b.breadth_mm + a.gap_mm - _EVEN_MM), a.breadth_mm + a.gap_mm - _EVEN_MM


class Once(Slides):
    """Slides for a lay that is made once: all positions are looked at together."""

    def free(
        self,
        placed: Positions,
        orientation: Orientation,
        levels_mm: Sequence[float],
        from_mm: float,
    ) -> list[float]:
        """Return the same, worked out for all positions and levels together."""
        if not placed:
            return [from_mm] * len(levels_mm)
        shapes = [s.orientation.coarse if self._coarse else s.orientation.profile for s in placed]
        gap = orientation.gap_mm - _EVEN_MM
        near = [(s.y_mm - orientation.breadth_mm - gap, s.top_mm + gap) for s in placed]
        low, high = np.repeat(np.array(near), [len(p.low) for p in shapes], axis=0).T
        taken = joined([(p, s.x_mm, s.y_mm) for p, s in zip(shapes, placed, strict=True)])
        shape = orientation.coarse if self._coarse else orientation.profile
        return free_at(taken, shape, levels_mm, from_mm, (low, high))


def spread(positions: Sequence[Position], dx_mm: float) -> Positions:
    """Return the positions moved along the fabric."""
    return tuple(s.at(s.x_mm + dx_mm, s.y_mm) for s in positions)
