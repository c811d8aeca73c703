"""Pictures of a scoop pocket: its mouth, and its bag on the facing."""

from __future__ import annotations

from collections.abc import Callable

import shapely

from outseam.cli.scene.scene import Scene
from outseam.cli.sewing.canvas import (
    DONE,
    EDGE,
    LINING,
    RIGHT,
    SEWN,
    WRONG,
    StepPicture,
    above,
    area_of,
    cut_of,
    line_of,
    piece_line,
    ring_of,
    ticks_of,
    torso,
)
from outseam.cli.sewing.pocket_view import pocket_view, well_inside
from outseam.draft.model import Pattern


def scoop_mouth(pattern: Pattern) -> Scene:
    """The bag on the front, right sides together, sewn along the mouth."""
    picture = StepPicture("Bag and front at the mouth of a scoop pocket")
    front, bag = pattern.piece("front"), pattern.piece("pocket_bag")
    low = torso(pattern, float(cut_of(bag)[:, 1].min()))
    shape = above(cut_of(front), low)
    view = pocket_view(shape, cut_of(bag))
    picture.shape(view(shape), RIGHT)
    picture.shape(view(cut_of(bag)), WRONG)
    mouth = view(piece_line(bag, "mouth"))
    picture.line(mouth, SEWN)
    middle = mouth[len(mouth) // 2]
    picture.word("mouth", (44.0, 36.0), anchor="start", to=(float(middle[0]), float(middle[1])))
    lower = view(cut_of(bag))
    picture.word("pocket bag", (44.0, 22.0), anchor="start", to=well_inside(lower, 0.4))
    picture.word("front", (44.0, 8.0), anchor="start", to=well_inside(view(shape), 0.1))
    return picture.scene()


def scoop_bag(pattern: Pattern) -> Scene:
    """The front on its facing, and the bag sewn to the facing round the curve."""
    picture = StepPicture("Bag and facing of a scoop pocket")
    front, bag = pattern.piece("front"), pattern.piece("pocket_bag")
    facing = pattern.piece("pocket_facing")
    low = torso(pattern, float(cut_of(bag)[:, 1].min()))
    shape = above(cut_of(front), low)
    view = pocket_view(shape, cut_of(facing))
    picture.shape(view(cut_of(facing)), LINING)
    # The mouth is sewn and turned: there the front ends at the sewing line.
    turned = area_of(shape).difference(
        shapely.LineString(piece_line(front, "mouth")).buffer(front.edge("mouth").allowance_mm)
    )
    picture.shape(view(ring_of(turned)), RIGHT)
    picture.line(view(piece_line(front, "mouth")), EDGE)
    for mark in front.lines:
        if mark.kind == "topstitch" and not mark.role:
            picture.line(view(line_of(mark.path)), DONE)
    curve = view(piece_line(bag, "bag"))
    picture.line(curve, SEWN)
    picture.ticks(ticks_of(facing, ("waist", "outseam")), view)
    middle = curve[len(curve) // 3]
    picture.word(
        "bag to facing", (44.0, 20.0), anchor="start", to=(float(middle[0]), float(middle[1]))
    )
    top = view(piece_line(facing, "waist"))[0]
    picture.word(
        "facing", (44.0, 37.0), anchor="start", to=(float(top[0]) - 5.0, float(top[1]) - 3.0)
    )
    picture.word("front", (44.0, 7.0), anchor="start", to=well_inside(view(shape), 0.08))
    return picture.scene()


DRAWINGS: dict[str, Callable[[Pattern], Scene]] = {
    "scoop-mouth": scoop_mouth,
    "scoop-bag": scoop_bag,
}
