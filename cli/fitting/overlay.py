"""Front and back before and after alterations, laid on each other: whole legs and tops enlarged.

Both drafts lie in the coordinates they were drafted in, so what an alteration leaves alone covers
itself. Before is thin and dashed, after is heavy, what was added or taken away is shaded.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely

from outseam.cli.scene.scene import Label, Layer, Pen, Scene, SceneItem, Stroke
from outseam.cli.scene.shapes import rectangle
from outseam.cli.scene.text import paragraph
from outseam.cli.wording.alterations import leg_that_changed
from outseam.curves.path import Floats, join, polyline
from outseam.curves.point import Point
from outseam.curves.region import flatten
from outseam.draft.block.panels import Panel
from outseam.draft.inputs.show import Units, show_length
from outseam.draft.model import Pattern

WIDTH_MM, HEIGHT_MM, MARGIN_MM = 297.0, 178.0, 12.0
#: Left of this the whole legs, right of it their tops.
SPLIT_MM = 92.0
BEFORE = Pen(width_mm=0.25, dash_mm=(1.6, 1.1))
AFTER = Pen(width_mm=0.55)
LEVEL = Pen(width_mm=0.15, dash_mm=(0.4, 1.2), colour=0.4)
FRAME = Pen(width_mm=0.2, colour=0.4)
ADDED_GREY, TAKEN_GREY = 0.72, 0.9
TITLE_MM, TEXT_MM, SMALL_MM = 5.2, 3.4, 2.9
#: The tops end this far below the crotch line.
BELOW_MM = 130.0
#: Moves smaller than this are not told.
TOLD_MM = 0.5
#: Room between front and back, on the body.
GAP_MM = 45.0
#: Slivers thinner than this are drawn as nothing.
_THIN_MM = 0.05


PanelPoint = Literal["centre", "crotch point", "side", "crease"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """A point of the draft and how far it moved, mm: right toward the inseam, and up.

    `at` is which of a panel's points it is, `name` what it is called.
    """

    at: PanelPoint
    name: str
    right_mm: float
    up_mm: float


def _points(panel: Panel, side: str) -> dict[PanelPoint, tuple[str, Point]]:
    return {
        "centre": (f"centre {side}", panel.crotch.end),
        "crotch point": (f"{side} crotch point", panel.point),
        "side": (f"{side} side at the top", panel.waist.end),
        "crease": (f"{side} crease line at the hem", (panel.crease_x, panel.hem_y)),
    }


def moves(before: Pattern, after: Pattern) -> tuple[Move, ...]:
    """Return the points that moved by half a millimetre or more, front first."""
    leg = leg_that_changed(before, after)
    before, after = leg.before, leg.after
    found = []
    for side in ("front", "back"):
        old = _points(getattr(before.block, side), side)
        new = _points(getattr(after.block, side), side)
        for at, (name, (x, y)) in old.items():
            right, up = new[at][1][0] - x, new[at][1][1] - y
            if max(abs(right), abs(up)) >= TOLD_MM:
                found.append(Move(at=at, name=name, right_mm=right, up_mm=up))
    return tuple(found)


def _shown(mm: float, units: Units) -> str:
    """Return a small length with enough figures to be worth reading."""
    return show_length(mm, units) if units == "in" else f"{mm / 10:.1f} cm"


def move_words(move: Move, units: Units) -> str:
    """Return a move in words: `centre back 0.6 cm up`."""
    parts = []
    for mm, more, less in (
        (move.up_mm, "up", "down"),
        (move.right_mm, "toward the inseam", "toward the outseam"),
    ):
        if abs(mm) >= TOLD_MM:
            if move.at == "centre" and mm is move.right_mm:
                more, less = "out over the centre line", "in at the top"
            parts.append(f"{_shown(abs(mm), units)} {more if mm > 0 else less}")
    return f"{move.name} {', '.join(parts)}"


def _outline(panel: Panel) -> shapely.Polygon:
    edges = [panel.outseam, panel.hem, panel.inseam, panel.crotch, panel.waist]
    return shapely.Polygon(flatten(join(edges), 0.05))


@dataclass(frozen=True, slots=True, kw_only=True)
class _PanelPair:
    """One panel before and after, as outlines in the draft's own coordinates."""

    name: str
    before: shapely.Polygon
    after: shapely.Polygon

    def box(self, low: float) -> tuple[float, float, float, float]:
        """Return what both take up above level `low`."""
        both = shapely.unary_union([self.before, self.after])
        x0, y0, x1, y1 = shapely.bounds(both)
        cut = shapely.intersection(both, shapely.box(x0, max(low, y0), x1, y1))
        a, b, c, d = (float(v) for v in shapely.bounds(cut))
        return a, b, c, d


def _rings(shape: shapely.Geometry) -> Iterator[Floats]:
    for part in shapely.get_parts(shape):
        if part.geom_type == "Polygon" and shapely.area(part) > 0.0:
            yield shapely.get_coordinates(shapely.get_exterior_ring(part))


def _lines(shape: shapely.Geometry) -> Iterator[Floats]:
    for part in shapely.get_parts(shape):
        if part.geom_type == "LineString":
            yield shapely.get_coordinates(part)


def _opened(shape: shapely.Geometry) -> shapely.Geometry:
    """Return a shape without slivers."""
    return shapely.buffer(shapely.buffer(shape, -_THIN_MM), _THIN_MM, join_style="mitre")


def _draw_pairs(
    pairs: Sequence[_PanelPair], low: float, box: tuple[float, float, float, float], name: str
) -> tuple[list[Layer], float]:
    """Return layers with front and back above `low` inside a box of the sheet, and the scale."""
    x0, y0, x1, y1 = box
    boxes = [p.box(low) for p in pairs]
    wide = sum(b[2] - b[0] for b in boxes) + GAP_MM * (len(pairs) - 1)
    bottom, top = min(b[1] for b in boxes), max(b[3] for b in boxes)
    scale = min((x1 - x0) / wide, (y1 - y0 - 6.0) / (top - bottom))
    left = x0 + ((x1 - x0) - wide * scale) / 2.0
    shades: list[SceneItem] = []
    strokes: list[SceneItem] = []
    words: list[SceneItem] = []
    for pair, (a, _, c, _) in zip(pairs, boxes, strict=True):
        origin = np.array([left - a * scale, y1 - 6.0 - top * scale])
        window = shapely.box(a - 1.0, bottom, c + 1.0, top + 1.0)

        def placed(points: Floats, origin: Floats = origin) -> list[Point]:
            return [(float(x), float(y)) for x, y in points * scale + origin]

        for shape, grey in (
            (shapely.difference(pair.before, pair.after), TAKEN_GREY),
            (shapely.difference(pair.after, pair.before), ADDED_GREY),
        ):
            seen = shapely.intersection(_opened(shape), window)
            shades += [
                Stroke(path=polyline(placed(ring)), pen=None, fill=grey) for ring in _rings(seen)
            ]
        for outline, pen in ((pair.before, BEFORE), (pair.after, AFTER)):
            ring = shapely.intersection(shapely.get_exterior_ring(outline), window)
            strokes += [
                Stroke(path=polyline(placed(p)), pen=pen) for p in _lines(shapely.line_merge(ring))
            ]
        level = placed(np.array([[a, 0.0], [c, 0.0]]))
        strokes.append(Stroke(path=polyline(level), pen=LEVEL))
        middle = (left + (a + c) / 2.0 * scale - a * scale, y1 - 3.4)
        words.append(Label(text=pair.name, at=middle, size_mm=TEXT_MM, anchor="middle"))
        left += (c - a + GAP_MM) * scale
    return [
        Layer(name=f"{name}, changed", items=tuple(shades)),
        Layer(name=f"{name}, outlines", items=tuple(strokes)),
        Layer(name=f"{name}, words", items=tuple(words)),
    ], scale


def _legend(x: float, y: float) -> tuple[SceneItem, ...]:
    items: list[SceneItem] = []
    for text, pen, grey in (
        ("before", BEFORE, None),
        ("after", AFTER, None),
        ("added", None, ADDED_GREY),
        ("taken away", None, TAKEN_GREY),
    ):
        if pen is not None:
            items.append(Stroke(path=polyline([(x, y + 1.1), (x + 12.0, y + 1.1)]), pen=pen))
        else:
            square = rectangle(x, y - 0.5, x + 12.0, y + 2.7)
            items.append(Stroke(path=square, pen=FRAME, fill=grey))
        items.append(Label(text=text, at=(x + 14.0, y), size_mm=SMALL_MM))
        x += 36.0
    return tuple(items)


def overlay_scene(before: Pattern, after: Pattern, asked: str) -> Scene:
    """Return one sheet, as wide as A4 is long, with both drafts.

    `asked` says in words what was altered.
    """
    units = after.spec.units
    leg = leg_that_changed(before, after)
    pairs = [
        _PanelPair(
            name=f"{side}, {leg.side} leg" if leg.side else side,
            before=_outline(getattr(leg.before.block, side)),
            after=_outline(getattr(leg.after.block, side)),
        )
        for side in ("front", "back")
    ]
    told = "; ".join(move_words(m, units) for m in moves(before, after))
    told = f"Moved: {told}." if told else "No edge of the legs moved; see the waistband."
    right = WIDTH_MM - MARGIN_MM
    top = HEIGHT_MM - MARGIN_MM - TITLE_MM
    head = [Label(text=after.spec.title or "Pants", at=(MARGIN_MM, top), size_mm=TITLE_MM)]
    y = top - 0.6 * TEXT_MM
    for text, size in ((asked, TEXT_MM), (told, SMALL_MM)):
        labels, height = paragraph(text, (MARGIN_MM, y), size, right - MARGIN_MM)
        head, y = [*head, *labels], y - height
    y -= 3.0
    low = MARGIN_MM + 8.0
    whole, small = _draw_pairs(pairs, -1e6, (MARGIN_MM, low, SPLIT_MM, y), "whole legs")
    tops, large = _draw_pairs(pairs, -BELOW_MM, (SPLIT_MM + 8.0, low, right, y), "tops")
    notes = (
        Label(
            text=f"whole legs 1 : {1 / small:.1f}, tops 1 : {1 / large:.1f}; the dotted level is "
            "the crotch line",
            at=(right, MARGIN_MM),
            size_mm=SMALL_MM,
            anchor="end",
        ),
    )
    return Scene(
        title=f"Before and after: {asked}",
        width_mm=WIDTH_MM,
        height_mm=HEIGHT_MM,
        layers=(
            *whole,
            *tops,
            Layer(name="words", items=(*head, *_legend(MARGIN_MM, MARGIN_MM), *notes)),
        ),
    )
