"""The picture of a patch pocket."""

from __future__ import annotations

from outseam.cli.scene.scene import Scene
from outseam.cli.sewing.canvas import (
    HIGH_MM,
    LINING,
    RIGHT,
    SEWN,
    StepPicture,
    above,
    by_name,
    fitted,
    leg_of,
    line_of,
    torso,
)
from outseam.draft.model import Pattern


def patch(pattern: Pattern) -> Scene:
    """The back with its pocket stitched on."""
    picture = StepPicture("A back pocket stitched on")
    back = pattern.piece("back")
    drawn = back.line("pocket place")
    assert drawn is not None, "the back shows where its pocket goes"
    place = line_of(drawn.path)
    shape = above(leg_of(pattern, "back"), torso(pattern, float(place[:, 1].min())))
    view = fitted([shape], (4.0, 44.0, 2.0, HIGH_MM - 2.0))
    picture.shape(view(shape), RIGHT)
    p = view(place)
    picture.shape(p, LINING)
    # From corner to corner round the bottom, close to the edge; the upper edge stays open.
    sides = p[1:]
    middle = p.mean(axis=0)
    picture.line(middle + (sides - middle) * 0.88, SEWN)
    picture.note("open", 35.0, (p[0] + p[1]) / 2.0)
    picture.note("stitched on", 14.0, sides[len(sides) // 4] - (0.8, 0.0))
    return picture.scene()


DRAWINGS = by_name(patch)
