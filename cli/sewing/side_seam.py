"""Pictures of a pocket in the side seam: a bag on the front, and the outseam with both."""

from __future__ import annotations

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry
from shapely.ops import polylabel

from outseam.cli.scene.scene import Scene
from outseam.cli.sewing.canvas import (
    FINE,
    HIGH_MM,
    LINING,
    RIGHT,
    SEWN,
    WRONG,
    StepPicture,
    above,
    area_of,
    by_name,
    cut_of,
    edge_of,
    fitted,
    laid,
    line_within,
    mirrored_in,
    moved_onto,
    piece_line,
    ticks_of,
    torso,
)
from outseam.cli.sewing.pocket_view import well_inside
from outseam.curves.point import Point
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import OPENING_ENDS


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
    picture.word("opening", (x0 - 3.4, (y0 + y1) / 2.0), angle_deg=90.0)
    picture.note("pocket bag", 26.0, well_inside(view(cut_of(bag)), 0.45), x=44.0)
    picture.note("front", 8.0, well_inside(view(shape), 0.1), x=44.0)
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
    y = sum(tops) / 2.0
    x = float(np.interp(-y, -upper[:, 1], upper[:, 0]))
    picture.word("open", view.at(x, y, right=1.8, up=-0.8), anchor="start")
    bags = shapely.Polygon(view(edge)).difference(area_of(view(front)))
    picture.word("bags", _roomiest(bags))
    at = well_inside(view(front), 0.2)
    picture.word("front", (at[0] - 3.0, at[1]))
    return picture.scene()


def _roomiest(area: BaseGeometry) -> Point:
    """Return where a word, three times as wide as high, has most room in an area."""
    narrow = affinity.scale(area, xfact=1.0 / 3.0, origin=(0.0, 0.0))
    parts = [g for g in shapely.get_parts(narrow) if isinstance(g, shapely.Polygon)]
    at = polylabel(max(parts, key=lambda g: float(g.area)), tolerance=0.1)
    return float(at.x) * 3.0, float(at.y) - 0.8


DRAWINGS = by_name(side_pocket, outseam_pocket)
