"""Pictures of a scoop pocket: its mouth, and its bag on the facing."""

from __future__ import annotations

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
    by_name,
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
    picture.note("mouth", 36.0, mouth[len(mouth) // 2], x=44.0)
    picture.note("pocket bag", 22.0, well_inside(view(cut_of(bag)), 0.4), x=44.0)
    picture.note("front", 8.0, well_inside(view(shape), 0.1), x=44.0)
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
    picture.note("bag to facing", 20.0, curve[len(curve) // 3], x=44.0)
    picture.note("facing", 37.0, view(piece_line(facing, "waist"))[0] - (5.0, 3.0), x=44.0)
    picture.note("front", 7.0, well_inside(view(shape), 0.08), x=44.0)
    return picture.scene()


DRAWINGS = by_name(scoop_mouth, scoop_bag)
