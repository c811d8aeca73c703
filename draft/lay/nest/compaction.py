"""From nearly right positions to exact ones: the shortest lay that keeps who lies beside whom."""

from __future__ import annotations

import math
from collections.abc import Sequence

from outseam.draft.lay.model.positions import Position, Positions, Slides, levels_of

#: A solver's position may be this far inside a neighbour's blocked range and still be meant beside
#: it, mm.
_SLACK_MM = 3.0
#: A piece is pushed toward the selvedge in steps of this, and the last one halved down to `_NEAR`.
_STEP_MM = 8.0
_NEAR_MM = 0.05
#: A place this far beyond a whole millimetre still counts as it.
_HAIR_MM = 1e-6


def compacted(
    positions: Sequence[Position], slides: Slides, from_mm: float = 0.0, *, whole: bool = False
) -> Positions | None:
    """Return positions slid along the fabric, each as near to the cut end as its neighbours allow.

    Heights stay. Every pair keeps its order, or its place in the other's hollow; so the result is
    the shortest lay of that arrangement (a system of differences, solved by relaxation), of those
    on whole millimetres if `whole`. None if the arrangement overlaps by more than a solver's
    rounding, or a hollow holds no whole millimetre.
    """
    n = len(positions)
    ahead: list[tuple[int, int, float]] = []  # x[j] >= x[i] + d
    for i in range(n):
        for j in range(i + 1, n):
            a, b = positions[i], positions[j]
            slide = b.x_mm - a.x_mm
            for low, high in slides.blocked(a.orientation, b.orientation, b.y_mm - a.y_mm):
                if slide - low < high - slide and slide - low < _SLACK_MM:
                    ahead.append((j, i, -float(low)))
                elif high - slide < _SLACK_MM:
                    ahead.append((i, j, float(high)))
                elif slide <= low:
                    ahead.append((j, i, -float(low)))
                elif slide >= high:
                    ahead.append((i, j, float(high)))
                else:
                    return None
    x = [from_mm] * n
    for _ in range(2 * n + 1):
        moved = False
        for i, j, d in ahead:
            if x[i] + d > x[j] + 1e-9:
                x[j] = math.ceil(x[i] + d - _HAIR_MM) if whole else x[i] + d
                moved = True
        if not moved:
            return tuple(s.at(at, s.y_mm) for s, at in zip(positions, x, strict=True))
    return None


def lowered(positions: Sequence[Position], slides: Slides, breadth_mm: float) -> Positions:
    """Return positions pushed toward the selvedge at y = 0 as far as they go, on whole millimetres.

    A piece that lies along the selvedge or its neighbour is easier to lay than one in mid air.
    Items on the fold stay.
    """
    found = list(positions)
    for i in sorted(range(len(found)), key=lambda n: found[n].y_mm):
        position = found[i]
        low, high = levels_of(position.item, position.orientation, breadth_mm)
        if high <= low:
            continue
        others = [s for n, s in enumerate(found) if n != i]
        free, step = position.y_mm, _STEP_MM
        while step >= _NEAR_MM and free > low:
            lower = max(low, free - step)
            if _clear(position.at(position.x_mm, lower), others, slides):
                free = lower
            else:
                step /= 2.0
        whole = math.ceil(free - _HAIR_MM)
        if whole <= high and _clear(position.at(position.x_mm, whole), others, slides):
            free = float(whole)
        found[i] = position.at(position.x_mm, free)
    return tuple(found)


def _clear(position: Position, others: Sequence[Position], slides: Slides) -> bool:
    """Return whether a position is free of all others."""
    for other in others:
        slide = position.x_mm - other.x_mm
        for low, high in slides.blocked(
            other.orientation, position.orientation, position.y_mm - other.y_mm
        ):
            if low + _HAIR_MM < slide < high - _HAIR_MM:
                return False
    return True


def tidied(positions: Sequence[Position], slides: Slides, breadth_mm: float) -> Positions | None:
    """Return the positions lowered and settled on whole millimetres; None if that cannot be."""
    return compacted(lowered(positions, slides, breadth_mm), slides, whole=True)
