"""The plainest lay: rows of bounding boxes. Every other lay has to be at least as short."""

from __future__ import annotations

from collections.abc import Sequence

from outseam.draft.lay.model.orientations import Item, Orientation
from outseam.draft.lay.model.positions import Position, Positions, levels_of


def shelf(items: Sequence[Item], breadth_mm: float, from_mm: float = 0.0) -> Positions | None:
    """Return the items in rows across the fabric, longest first; None if one is too broad.

    Boxes keep the gap. Items on the fold stand at the far end of their row, one a row.
    """
    rows: list[tuple[float, float, float, bool]] = []  # start, end, filled from y = 0, fold taken
    positions: list[Position] = []
    end = from_mm
    for item in sorted(
        items, key=lambda i: (-round(_orientation(i, breadth_mm).length_mm, 3), i.key)
    ):
        orientation = _orientation(item, breadth_mm)
        low, high = levels_of(item, orientation, breadth_mm)
        if high < low - 1e-9:
            return None
        gap = orientation.gap_mm
        for n, (start, stop, filled, taken) in enumerate(rows):
            top = _fold_edge(positions, start, breadth_mm, gap) if taken else breadth_mm
            room = top - filled
            if item.at_fold and taken:
                continue
            if (
                orientation.breadth_mm <= room + 1e-9
                and orientation.length_mm <= stop - start + 1e-9
            ):
                y = high if item.at_fold else filled
                positions.append(
                    Position(item=item, orientation=orientation, x_mm=start, y_mm=max(0.0, y))
                )
                rows[n] = (
                    start,
                    stop,
                    filled if item.at_fold else filled + orientation.breadth_mm + gap,
                    taken or item.at_fold,
                )
                break
        else:
            start = end + gap if rows else from_mm
            end = start + orientation.length_mm
            y = high if item.at_fold else 0.0
            positions.append(
                Position(item=item, orientation=orientation, x_mm=start, y_mm=max(0.0, y))
            )
            rows.append(
                (start, end, 0.0 if item.at_fold else orientation.breadth_mm + gap, item.at_fold)
            )
    return tuple(positions)


def _orientation(item: Item, breadth_mm: float) -> Orientation:
    """Return an item's first orientation that the fabric is broad enough for, else its first."""
    fitting = [f for f in item.orientations if f.breadth_mm <= breadth_mm + 1e-9]
    return (fitting or item.orientations)[0]


def _fold_edge(
    positions: Sequence[Position], start_mm: float, breadth_mm: float, gap_mm: float
) -> float:
    """Return how far up a row is free below the item on the fold."""
    on_fold = [s.y_mm for s in positions if s.item.at_fold and s.x_mm == start_mm]
    return min(on_fold, default=breadth_mm + gap_mm) - gap_mm
