"""Bottom-left lays: one item after the other as near to the cut end and selvedge as it goes.

Deterministic, exact to the outline, and slow beside `climb`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from outseam.draft.lay.model.orientations import Item, Orientation
from outseam.draft.lay.model.positions import Position, Positions, Slides, levels_of

#: Heights are tried this far apart, from both sides of the fabric and beside every neighbour, mm.
STEP_MM = 12.0
#: Heights nearer than this are one.
_SAME_MM = 0.01


def heights(
    item: Item,
    orientation: Orientation,
    placed: Positions,
    breadth_mm: float,
    step_mm: float = STEP_MM,
) -> list[float]:
    """Return the heights at which an orientation is tried, lowest first."""
    low, high = levels_of(item, orientation, breadth_mm)
    if high < low - 1e-9:
        return []
    high = max(low, high)
    found = [*np.arange(low, high, step_mm).tolist(), *np.arange(high, low, -step_mm).tolist()]
    for s in placed:
        found += [
            s.top_mm + orientation.gap_mm,
            s.y_mm - orientation.gap_mm - orientation.breadth_mm,
        ]
    kept: list[float] = []
    for y in sorted([low, high, *(y for y in found if low < y < high)]):
        if not kept or y - kept[-1] > _SAME_MM:
            kept.append(y)
    return kept


def put(
    item: Item,
    orientations: Sequence[Orientation],
    placed: Positions,
    breadth_mm: float,
    slides: Slides,
    from_mm: float = 0.0,
    step_mm: float = STEP_MM,
) -> Position | None:
    """Return the position where the item ends nearest to the cut end; None if it fits nowhere."""
    best: Position | None = None
    for orientation in orientations:
        levels = heights(item, orientation, placed, breadth_mm, step_mm)
        for y, x in zip(levels, slides.free(placed, orientation, levels, from_mm), strict=True):
            if best is None or x + orientation.length_mm < best.end_mm - 1e-6:
                best = Position(item=item, orientation=orientation, x_mm=x, y_mm=y)
    return best


def bottom_left(
    items: Sequence[Item],
    breadth_mm: float,
    slides: Slides,
    *,
    wishes: Mapping[str, Orientation] | None = None,
    placed: Positions = (),
    from_mm: float = 0.0,
    step_mm: float = STEP_MM,
) -> Positions | None:
    """Return the items laid in the order given, after those already placed.

    `wishes` fixes the orientation of some items by key. None if one of them fits nowhere.
    """
    for item in items:
        wish = (wishes or {}).get(item.key)
        orientations = [wish] if wish else item.orientations
        position = put(item, orientations, placed, breadth_mm, slides, from_mm, step_mm)
        if position is None:
            return None
        placed = (*placed, position)
    return placed


def orders(items: Sequence[Item]) -> Iterator[tuple[Item, ...]]:
    """Return the orders worth trying first: large ones first, by area, length and breadth.

    Copies are as large as each other whichever way they lie: rounding has no say in it.
    """
    yield tuple(sorted(items, key=lambda i: (-round(i.area_mm2), i.key)))
    yield tuple(sorted(items, key=lambda i: (-round(i.orientations[0].length_mm, 3), i.key)))
    yield tuple(sorted(items, key=lambda i: (-round(i.orientations[0].breadth_mm, 3), i.key)))
