"""Named points of a block, as they lie on the paper, for comparing one draft with another."""

from __future__ import annotations

import math
from typing import Final

from outseam.curves.point import Point
from outseam.draft.block.block import Block

#: What landmarks are called where that is not plain to a person who sews.
_SAID: Final = {
    "front side": "top of the front's outseam",
    "back side": "top of the back's outseam",
}


def where_says(landmark: str) -> str:
    """Return what a landmark is called, as it stands after "the"."""
    return _SAID.get(landmark, landmark)


def landmarks(block: Block) -> dict[str, Point]:
    """Return the points of both panels, origin where crease line and hem meet, mm."""
    found: dict[str, Point] = {}
    for name, p in (("front", block.front), ("back", block.back)):
        points = {
            f"centre {name}": p.crotch.end,
            f"{name} side": p.waist.end,
            f"{name} crotch point": p.point,
            f"{name} hem at the outseam": p.outseam.end,
            f"{name} hem at the inseam": p.inseam.start,
        }
        for key, (x, y) in points.items():
            found[key] = (x - p.crease_x, y - p.hem_y)
    return found


def largest_move(a: Block, b: Block) -> tuple[str, float]:
    """Return the landmark that lies farthest from where it was, and the distance in mm."""
    before, after = landmarks(a), landmarks(b)
    moved = {k: math.hypot(after[k][0] - x, after[k][1] - y) for k, (x, y) in before.items()}
    # Of moves that are equal as far as they are told, rounding must not choose one.
    where = max(moved, key=lambda k: (round(moved[k], 1), k))
    return where, max(moved.values())
