"""Pictures of the sewing order's pockets: patch, scoop, and the bags in the side seam."""

from __future__ import annotations

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry
from shapely.ops import polylabel

from outseam.cli.scene.scene import Scene
from outseam.cli.sewing.canvas import (
    DONE,
    EDGE,
    FINE,
    HIGH_MM,
    LINING,
    RIGHT,
    SEWN,
    WRONG,
    ClothView,
    StepPicture,
    above,
    area_of,
    cut_of,
    edge_of,
    fitted,
    laid,
    leg_of,
    line_of,
    line_within,
    mirrored_in,
    moved_onto,
    piece_line,
    ring_of,
    ticks_of,
    torso,
)
from outseam.curves.point import Point
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import OPENING_ENDS
from outseam.draft.piece.ruler import Floats


def _inside(shape: Floats, share: float) -> tuple[float, float]:
    """Return a place well inside a shape at a share of its height."""
    y = float(shape[:, 1].min() + share * np.ptp(shape[:, 1]))
    ray = shapely.LineString([(-500.0, y), (500.0, y)])
    part = shapely.get_parts(area_of(shape).intersection(ray))[0]
    x0, _, x1, _ = part.bounds
    return x0 + 0.75 * (x1 - x0), y


def _pocket_view(*shapes: Floats) -> ClothView:
    return fitted(shapes, (4.0, 42.0, 2.0, HIGH_MM - 2.0))


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
    p0, p1 = p[0], p[1]
    picture.word("open", (46.0, 35.0), anchor="start", to=tuple((p0 + p1) / 2.0))
    x, y = sides[len(sides) // 4]
    picture.word("stitched on", (46.0, 14.0), anchor="start", to=(float(x) - 0.8, float(y)))
    return picture.scene()


def scoop_mouth(pattern: Pattern) -> Scene:
    """The bag on the front, right sides together, sewn along the mouth."""
    picture = StepPicture("Bag and front at the mouth of a scoop pocket")
    front, bag = pattern.piece("front"), pattern.piece("pocket_bag")
    low = torso(pattern, float(cut_of(bag)[:, 1].min()))
    shape = above(cut_of(front), low)
    view = _pocket_view(shape, cut_of(bag))
    picture.shape(view(shape), RIGHT)
    picture.shape(view(cut_of(bag)), WRONG)
    mouth = view(piece_line(bag, "mouth"))
    picture.line(mouth, SEWN)
    middle = mouth[len(mouth) // 2]
    picture.word("mouth", (44.0, 36.0), anchor="start", to=(float(middle[0]), float(middle[1])))
    lower = view(cut_of(bag))
    picture.word("pocket bag", (44.0, 22.0), anchor="start", to=_inside(lower, 0.4))
    picture.word("front", (44.0, 8.0), anchor="start", to=_inside(view(shape), 0.1))
    return picture.scene()


def scoop_bag(pattern: Pattern) -> Scene:
    """The front on its facing, and the bag sewn to the facing round the curve."""
    picture = StepPicture("Bag and facing of a scoop pocket")
    front, bag = pattern.piece("front"), pattern.piece("pocket_bag")
    facing = pattern.piece("pocket_facing")
    low = torso(pattern, float(cut_of(bag)[:, 1].min()))
    shape = above(cut_of(front), low)
    view = _pocket_view(shape, cut_of(facing))
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
    picture.word("front", (44.0, 7.0), anchor="start", to=_inside(view(shape), 0.08))
    return picture.scene()


def side_pocket(pattern: Pattern) -> Scene:
    """A bag on the front, right sides together, sewn along the outseam."""
    picture = StepPicture("A bag on the outseam")
    front, bag = pattern.piece("front"), pattern.piece("pocket_bag")
    low = torso(pattern, float(cut_of(bag)[:, 1].min()))
    shape = above(cut_of(front), low)
    view = fitted([shape], (7.0, 43.0, 2.0, HIGH_MM - 2.0))
    picture.shape(view(shape), RIGHT)
    picture.shape(view(cut_of(bag)), WRONG)
    picture.line(view(piece_line(bag, "outseam")), SEWN)
    ticks = [t for t in ticks_of(front, ("outseam",)) if t.role in OPENING_ENDS]
    picture.ticks(ticks, view)
    (x0, y0), (_, y1) = view([t.at for t in ticks])
    picture.line([(x0 - 2.6, y0), (x0 - 2.6, y1)], FINE)
    picture.word("opening", (float(x0) - 3.4, float((y0 + y1) / 2.0)), angle_deg=90.0)
    picture.word("pocket bag", (44.0, 26.0), anchor="start", to=_inside(view(cut_of(bag)), 0.45))
    picture.word("front", (44.0, 8.0), anchor="start", to=_inside(view(shape), 0.1))
    return picture.scene()


def outseam_pocket(pattern: Pattern) -> Scene:
    """The outseam above and below the opening, and the bags sewn round."""
    picture = StepPicture("Outseam with a pocket")
    back, front = laid(pattern, "outseam")
    bag = pattern.piece("pocket_bag")
    low = torso(pattern, float(cut_of(bag)[:, 1].min()))
    back, front = above(back, low), above(front, low)
    # The bag is turned out over its own seam: mirrored in the chord of its outseam.
    seam = piece_line(bag, "outseam")
    target = edge_of(pattern, "front", "outseam")
    out = mirrored_in(cut_of(bag), seam[0], seam[-1])
    rim = [piece_line(bag, e.name) for e in bag.edges if e.name.startswith("bag")]
    edge = mirrored_in(np.concatenate(rim), seam[0], seam[-1])
    out, edge = (moved_onto(p, target, edge_of(pattern, "back", "outseam")) for p in (out, edge))
    view = fitted([back, out], (3.0, 59.0, 2.0, HIGH_MM - 2.0))
    picture.shape(view(out), LINING)
    picture.shape(view(back), RIGHT)
    picture.shape(view(front), WRONG)
    ticks = [t for t in ticks_of(pattern.piece("back"), ("outseam",)) if t.role in OPENING_ENDS]
    tops = sorted((t.at[1] for t in ticks), reverse=True)
    upper = edge_of(pattern, "back", "outseam")
    picture.line(view(line_within(upper, tops[0])), SEWN)
    picture.line(view(line_within(upper, low, tops[1])), SEWN)
    picture.line(view(edge), SEWN)
    picture.ticks(ticks, view)
    x, y = view([_at(upper, sum(tops) / 2.0)])[0]
    picture.word("open", (float(x) + 1.8, float(y) - 0.8), anchor="start")
    bags = shapely.Polygon(view(edge)).difference(area_of(view(front)))
    picture.word("bags", _roomiest(bags))
    at = _inside(view(front), 0.2)
    picture.word("front", (at[0] - 3.0, at[1]))
    return picture.scene()


def _roomiest(area: BaseGeometry) -> Point:
    """Return where a word, three times as wide as high, has most room in an area."""
    narrow = affinity.scale(area, xfact=1.0 / 3.0, origin=(0.0, 0.0))
    parts = [g for g in shapely.get_parts(narrow) if isinstance(g, shapely.Polygon)]
    at = polylabel(max(parts, key=lambda g: float(g.area)), tolerance=0.1)
    return float(at.x) * 3.0, float(at.y) - 0.8


def _at(line: Floats, y: float) -> tuple[float, float]:
    """Return where a line that runs down crosses a height."""
    return float(np.interp(-y, -line[:, 1], line[:, 0])), y
