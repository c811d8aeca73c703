"""A lay as a Scene: the fabric to scale on a landscape A4 page, and the table to lay it out by."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon

from outseam.cli.cloth.table import (
    FINE,
    LAYERS,
    ROW_MM,
    draw_table,
    step_lines,
    table_height,
    table_width,
)
from outseam.cli.scene.compose import LayerItems
from outseam.cli.scene.home_paper import ACROSS_MM
from outseam.cli.scene.label_room import fit_words, word_labels
from outseam.cli.scene.scene import Pen, Scene, scene_of
from outseam.cli.scene.shapes import arrow_head
from outseam.cli.scene.text import shorten_text, text_width_mm, wrap_text
from outseam.cli.wording.fabric import needed
from outseam.cli.wording.lay import LayRow, fabric_says, lie_says, rows, steps
from outseam.curves.path import Path, line, polyline
from outseam.curves.point import Point
from outseam.draft.border.marks import BorderMark
from outseam.draft.inputs.show import MM_PER_UNIT, Units, per_cent, show_on_tape
from outseam.draft.lay.check.verify import outline_points
from outseam.draft.lay.model.placement import Floats
from outseam.draft.lay.model.result import Lay, Placed

PAGE_MM = ACROSS_MM
MARGIN_MM = 10.0
EDGE = Pen(width_mm=0.5)
FOLD = Pen(width_mm=0.5, dash_mm=(6.0, 1.6))
CUT_END = Pen(width_mm=0.5, dash_mm=(2.0, 1.2))
PIECE = Pen(width_mm=0.35)
GRAIN = Pen(width_mm=0.25)
HAND = Pen(width_mm=0.6, dash_mm=(3.0, 1.0, 0.6, 1.0))
BORDER = Pen(width_mm=0.25, dash_mm=(1.6, 0.9))
EYE = Pen(width_mm=0.18, dash_mm=(4.0, 0.8, 0.6, 0.8))
TURNED_IN = Pen(width_mm=0.35)
DOWN_GREY, DOUBLE_GREY = 0.86, 0.955

TITLE_MM, SAYS_MM, SMALL_MM = 5.0, 2.9, 2.1
#: Scales that a person can still reckon with, and room for rulers and words round the fabric.
SCALES = (4, 5, 6, 7, 8, 9, 10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100)
RULER_MM = 9.0
END_MM = 12.0
HEADER_MM = 17.0
SAYS_ROW_MM = 4.0
MARK_MM = 1.5
#: A figure of a border, about its middle.
_LOZENGE = 1.3 * np.array([(1.0, 0.0), (0.0, 1.6), (-1.0, 0.0), (0.0, -1.6), (1.0, 0.0)])
#: A drawing smaller than 1 : 12 gets a page without the table if it is a quarter larger there.
_SMALL_SCALE, _MUCH = 12, 1.25
ROWS_A_PAGE = 36


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    """Where the fabric stands on the page: its corner and how many times smaller it is."""

    x_mm: float
    y_mm: float
    scale: float

    def at(self, x: float, y: float) -> Point:
        """Return a point of the fabric on the page."""
        return self.x_mm + x / self.scale, self.y_mm + y / self.scale

    def path(self, path: Path) -> Path:
        """Return a path of the fabric on the page."""
        return path.mapped(1 / self.scale, 0.0, 0.0, 1 / self.scale, self.x_mm, self.y_mm)


def lay_scenes(
    lay: Lay,
    units: Units,
    title: str,
    who: str = "",
    marks: Sequence[BorderMark] = (),
    figures: Sequence[Point] = (),
    pin_mm: float | None = None,
) -> tuple[Scene, ...]:
    """Return a lay on pages across: drawing, rulers, table and what to do.

    All on one page if the fabric is large enough there; else the table has pages of its own.
    `marks` are where a border crosses the seams, `figures` the middles of its figures on the
    fabric, mm, where one is to lie at a certain place; `pin_mm` is where that one lies at which the
    shift of two unlike borders was measured.
    """
    table = rows(lay, units)
    todo = steps(lay, units, marks, centred=bool(figures), pin_mm=pin_mm)
    page = LayerItems(LAYERS)
    division = _divide(lay, table, todo)
    frame = division.frame
    _header(page, lay, units, title, who, frame.scale)
    _fabric(page, lay, frame)
    _fold_words(page, lay, frame, units)
    _rulers(page, lay, frame, units)
    for placed in lay.placed:
        _piece(page, lay, placed, lay.number(placed), frame, units)
    _border(page, lay, frame, figures)
    pages = [page]
    if division.corner is not None:
        draw_table(page, table, todo, division.corner, division.width_mm)
    else:
        top: Point = (MARGIN_MM, PAGE_MM[1] - MARGIN_MM - HEADER_MM)
        for part in range(0, len(table), ROWS_A_PAGE):
            more = LayerItems(LAYERS)
            _header(more, lay, units, title, who, frame.scale)
            some = table[part : part + ROWS_A_PAGE]
            draw_table(more, some, () if part else todo, top, PAGE_MM[0] - 2 * MARGIN_MM)
            pages.append(more)
    return tuple(scene_of(f"Lay: {title}", PAGE_MM, one.items) for one in pages)


def _shown_mm(lay: Lay) -> tuple[float, float]:
    """Return the length and breadth of what is drawn of the fabric."""
    return lay.length_mm, lay.table_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class _Division:
    """The drawing's place, the table's upper left corner (None: a page of its own), its width."""

    frame: _Frame
    corner: Point | None
    width_mm: float


def _divide(lay: Lay, table: Sequence[LayRow], todo: Sequence[str]) -> _Division:
    """Return how the page is divided.

    The table stands beside the fabric or below it, whichever leaves the fabric larger; if it is
    much larger alone on a page, it stands there.
    """
    length, breadth = _shown_mm(lay)
    inner_w, inner_h = PAGE_MM[0] - 2 * MARGIN_MM, PAGE_MM[1] - 2 * MARGIN_MM - HEADER_MM
    table_w, below_h = table_width(table), table_height(table, todo, inner_w)
    room_w, room_h = inner_w - RULER_MM - END_MM, inner_h - 2 * RULER_MM

    def scale_in(width_mm: float, height_mm: float) -> int:
        if width_mm < 40.0 or height_mm < 25.0:
            return 10**6
        least = max(length / width_mm, breadth / height_mm)
        return next((s for s in SCALES if s >= least), math.ceil(least))

    beside_h = table_height(table, (), inner_w) + 0.92 * ROW_MM * len(step_lines(todo, table_w))
    below = scale_in(room_w, room_h - below_h - 3.0)
    beside = scale_in(room_w - table_w, room_h if beside_h < inner_h else 0.0)
    alone = scale_in(room_w, room_h)
    scale = min(below, beside)
    own_page = scale > _SMALL_SCALE and scale > _MUCH * alone
    if own_page:
        scale = alone
    y = PAGE_MM[1] - MARGIN_MM - HEADER_MM - RULER_MM - breadth / scale
    frame = _Frame(x_mm=MARGIN_MM + RULER_MM, y_mm=y, scale=float(scale))
    if own_page:
        return _Division(frame=frame, corner=None, width_mm=inner_w)
    if beside < below:
        x = max(frame.x_mm + length / scale + END_MM, PAGE_MM[0] - MARGIN_MM - table_w - 30.0)
        corner = (x, PAGE_MM[1] - MARGIN_MM - HEADER_MM)
        return _Division(frame=frame, corner=corner, width_mm=PAGE_MM[0] - MARGIN_MM - x)
    return _Division(frame=frame, corner=(MARGIN_MM, y - RULER_MM - 1.0), width_mm=inner_w)


def _header(page: LayerItems, lay: Lay, units: Units, title: str, who: str, scale: float) -> None:
    top = PAGE_MM[1] - MARGIN_MM
    width = PAGE_MM[0] - 2 * MARGIN_MM
    head = shorten_text(f"Lay: {title}", TITLE_MM, width - 75.0)
    page.text("words", head, (MARGIN_MM, top - TITLE_MM), TITLE_MM)
    needs = f"needs {needed(lay.length_mm, units)}"
    page.text("words", needs, (PAGE_MM[0] - MARGIN_MM, top - TITLE_MM), TITLE_MM, "end")
    used = f"{per_cent(lay.utilisation)} of it used"
    told = (who, fabric_says(lay, units), used, f"drawn 1 : {scale:g}")
    says = " · ".join(filter(None, told))
    for n, text in enumerate(wrap_text(says, SAYS_MM, width)[:2]):
        page.text("words", text, (MARGIN_MM, top - 11.0 - n * SAYS_ROW_MM), SAYS_MM)


def _fabric(page: LayerItems, lay: Lay, frame: _Frame) -> None:
    """Draw selvedges, fold, cut end, the end needed, and how much is in hand."""
    length, high = _shown_mm(lay)
    cloth = lay.cloth
    at = frame.at
    folded = (cloth.folded and lay.opened_mm != 0.0) or lay.fold_mm is not None
    folded_to = lay.opened_mm or length
    far = high if lay.fold_mm is not None or lay.opened_mm == 0.0 else cloth.breadth_mm
    if lay.turned_in_mm is not None:
        _turned_in(page, lay, lay.turned_in_mm, frame)
    page.stroke("fabric", line(at(0, 0), at(length, 0)), EDGE)
    page.stroke("fabric", line(at(0, 0), at(0, far)), CUT_END)
    below = frame.at(0, 0)[1] - 6.8
    edge = "selvedges" if folded and lay.fold_mm is None else "selvedge"
    page.text("words", edge, (frame.x_mm + 1.0, below), SMALL_MM)
    top = at(0, far)
    page.stroke("fabric", line(top, at(folded_to, far)), FOLD if folded else EDGE)
    says = "fold" if folded else "selvedge"
    page.text("words", says, (top[0] + 1.0, top[1] + 1.2), SMALL_MM)
    left = at(0, far / 2.0)
    page.text("words", "cut end", (left[0] - 6.2, left[1]), SMALL_MM, "middle", 90.0)
    page.stroke("fabric", line(at(length, 0), at(length, high)), CUT_END)
    middle = high / 2.0 if lay.turned_in_mm is None else lay.turned_in_mm / 2.0
    right = at(length, middle)
    page.text("words", "length needed", (right[0] + 8.0, right[1]), SMALL_MM, "middle", 90.0)
    if cloth.in_hand_mm is not None and cloth.in_hand_mm < length:
        have = cloth.in_hand_mm
        page.stroke("marks", line(at(have, 0), at(have, high)), HAND)
        x, y = at(have, high)
        page.text("words", "your fabric ends here", (x - 1.0, y - 1.0), SMALL_MM, "end", 90.0)
    if lay.opened_mm:
        page.stroke("fabric", line(at(folded_to, 0), at(folded_to, cloth.width_mm)), FINE)
        page.stroke("fabric", line(at(folded_to, cloth.width_mm), at(length, cloth.width_mm)), EDGE)
        x, y = at(folded_to, cloth.width_mm)
        page.text("words", "opened out, one layer", (x - 1.2, y), SMALL_MM, "end", 90.0)


def _fold_words(page: LayerItems, lay: Lay, frame: _Frame, units: Units) -> None:
    """Say how deep a narrow fold is, beside the double part and at the selvedge turned in."""
    if lay.fold_mm is None or lay.turned_in_mm is None:
        return
    x, y = frame.at(lay.length_mm, lay.turned_in_mm + lay.fold_mm / 2.0)
    says = f"fold in {show_on_tape(lay.fold_mm, lay.tape_mm, units)}"
    wide = text_width_mm(says, SMALL_MM)
    if wide < lay.fold_mm / frame.scale + 14.0:
        page.text("words", says, (x + 8.0, y), SMALL_MM, "middle", 90.0)
    else:
        page.text("words", says, (x + 6.0, y), SMALL_MM)
    x, y = frame.at(lay.length_mm, lay.turned_in_mm)
    page.text("words", "selvedge turned in", (x - 1.0, y - 2.6), SMALL_MM, "end")


def _turned_in(page: LayerItems, lay: Lay, turned_in_mm: float, frame: _Frame) -> None:
    """Draw the double part of a narrow fold: shaded, and how deep it is, as a measured distance."""
    length, high = _shown_mm(lay)
    at = frame.at
    corners = [at(0, turned_in_mm), at(length, turned_in_mm), at(length, high), at(0, high)]
    page.stroke("fabric", polyline([*corners, corners[0]]), None, DOUBLE_GREY)
    page.stroke("fabric", line(corners[0], corners[1]), TURNED_IN)
    x = corners[1][0] + 4.0
    for y in (corners[1][1], corners[2][1]):
        page.stroke("marks", line((x - 3.4, y), (x + 1.2, y)), FINE)
    low, top = (x, corners[1][1]), (x, corners[2][1])
    page.stroke("marks", line(low, top), GRAIN)
    size = min(2.2, 0.4 * (top[1] - low[1]))
    page.stroke("marks", _open_head(low, top, size), GRAIN)
    page.stroke("marks", _open_head(top, low, size), GRAIN)


def border_levels(lay: Lay) -> list[tuple[str, float]]:
    """Return the levels of the border's lines on the fabric and what they are called."""
    border = lay.cloth.border
    if border is None:
        return []
    found = []
    for side in border.sides:
        one = border.at(side)
        for name, mm in (
            ("border", one.edge_mm),
            ("border", one.edge_mm + one.height_mm),
            ("eye", one.edge_mm + one.eye_mm),
        ):
            y = mm if side == "near" else lay.cloth.width_mm - mm
            if 0.0 < y < lay.cloth.width_mm:
                found.append((name, y))
    return found


def _border_boxes(lay: Lay, frame: _Frame) -> list[Polygon]:
    """Return thin boxes round the border's lines, for words to keep out of."""
    found = []
    for _, y in border_levels(lay):
        (x0, low), (x1, _) = frame.at(0, y), frame.at(lay.length_mm, y)
        found.append(shapely.box(x0, low - 0.1, x1, low + 0.1))
    return found


def _border(page: LayerItems, lay: Lay, frame: _Frame, figures: Sequence[Point]) -> None:
    """Draw the border's edge, inner end and eye over the pieces, and where its figures are."""
    for name, y in border_levels(lay):
        pen = EYE if name == "eye" else BORDER
        x, on_page = frame.at(lay.length_mm, y)
        page.stroke("marks", line(frame.at(0, y), (x, on_page)), pen)
        page.text("words", name, (x + 0.8, on_page - 0.7), SMALL_MM)
    for x, y in figures:
        page.stroke("marks", polyline(np.array(frame.at(x, y)) + _LOZENGE), EYE)


def _rulers(page: LayerItems, lay: Lay, frame: _Frame, units: Units) -> None:
    """Draw rulers in the units of the file below the fabric and up its left side."""
    length, breadth = _shown_mm(lay)
    near = frame.scale <= 12
    name = "in" if units == "in" else "cm"
    unit = float(MM_PER_UNIT[name])
    # A long tick at every half metre or yard.
    step, whole = (6.0 if near else 12.0, 36) if units == "in" else (10.0 if near else 20.0, 50)
    y = frame.y_mm
    for count in np.arange(0.0, length / unit + 1e-9, step).tolist():
        x = frame.at(count * unit, 0)[0]
        tall = 2.0 if count % whole == 0 else 1.0
        page.stroke("fabric", line((x, y), (x, y - tall)), FINE)
        if count and count % (2 * step) == 0:
            page.text("words", f"{count:g}", (x, y - 4.0), SMALL_MM, "middle")
    page.text("words", name, (frame.at(length, 0)[0] + 3.5, y - 4.0), SMALL_MM)
    for count in np.arange(0.0, breadth / unit + 1e-9, step).tolist():
        level = frame.at(0, count * unit)[1]
        page.stroke("fabric", line((frame.x_mm, level), (frame.x_mm - 1.0, level)), FINE)
        if count and count % (2 * step) == 0:
            page.text("words", f"{count:g}", (frame.x_mm - 3.2, level), SMALL_MM, "middle", 90.0)


def _piece(
    page: LayerItems, lay: Lay, placed: Placed, number: int, frame: _Frame, units: Units
) -> None:
    """Draw a piece with its grain, the two points it is laid by, and its words."""
    points = outline_points(placed, lay)
    on_page = np.asarray([frame.at(x, y) for x, y in points.tolist()])
    outline = polyline(np.vstack([on_page, on_page[:1]]))
    grey = DOWN_GREY if placed.lie.face == "down" else 1.0
    page.stroke("pieces", outline, PIECE, grey)
    shape = Polygon(on_page)
    taken: list[Polygon] = []
    for mark in placed.piece.lines:
        if mark.kind == "grain" and placed.part.zone != "fold":
            grain = frame.path(placed.lie.path(mark.path))
            start, end = _upward(grain, placed)
            page.stroke("marks", line(start, end), GRAIN)
            page.stroke("marks", _open_head(start, end, 2.2), GRAIN)
            x0, x1 = sorted((start[0], end[0]))
            y0, y1 = sorted((start[1], end[1]))
            taken.append(shapely.box(x0 - 0.6, y0 - 0.6, x1 + 0.6, y1 + 0.6))
    for axis, toward in ((0, (-1.0, 0.0)), (1, (0.0, -1.0))):
        tip = _flush(on_page, axis)
        page.stroke("marks", arrow_head(tip, toward, MARK_MM, spread=0.55), None, 0.0)
        x, y = tip[0] - toward[0] * MARK_MM / 2.0, tip[1] - toward[1] * MARK_MM / 2.0
        taken.append(shapely.box(x - 1.0, y - 1.0, x + 1.0, y + 1.0))
    taken += _border_boxes(lay, frame)
    block = fit_words(shape, _wordings(lay, placed, number, units), taken)
    page.add("words", word_labels(block))


def _upward(grain: Path, placed: Placed) -> tuple[Point, Point]:
    """Return the ends of the grain line so that it points to the top of the piece."""
    a, b = grain.start, grain.end
    toward = {0: b[0] - a[0], 180: a[0] - b[0], 90: b[1] - a[1], 270: a[1] - b[1]}
    return (a, b) if toward[placed.lie.turn_deg] > 0 else (b, a)


def _wordings(lay: Lay, placed: Placed, number: int, units: Units) -> tuple[tuple[str, ...], ...]:
    """Return what may stand in a piece, the fullest first."""
    name = f"{number}  {placed.piece.title}"
    whose = (lay.names[placed.part.garment],) if len(lay.names) > 1 else ()
    lie = lie_says(placed, lay)
    first, _, rest = placed.piece.title.partition(" ")
    split = (f"{number}  {first}", *((rest,) if rest else ()))
    x, y = (
        f"{mark} {show_on_tape(mm, lay.tape_mm, units)}"
        for mark, mm in (("◂", placed.x_mm), ("▾", placed.y_mm))
    )
    return (
        (name, *whose, lie, f"{x}   {y}"),
        (name, *whose, lie, x, y),
        (name, lie, f"{x}   {y}"),
        (name, f"{lie}   {x}   {y}"),
        (f"{name}   {lie}   {x}   {y}",),
        (*split, lie, x, y),
        (name, lie),
        (*split, lie),
        (*split, *lie.split(", ")),
        (name,),
        split,
        (f"{number}", x, y),
        (f"{number}",),
    )


def _flush(points: Floats, axis: int) -> Point:
    """Return the leftmost (axis 0) or lowest (axis 1) point, of several in a line the middle."""
    level = points[points[:, axis] < points[:, axis].min() + 0.02]
    x, y = (level.min(axis=0) + level.max(axis=0)) / 2.0
    return float(x), float(y)


def _open_head(start: Point, end: Point, size_mm: float) -> Path:
    """Return an open arrow head at the end of a line."""
    toward = (end[0] - start[0], end[1] - start[1])
    return arrow_head(end, toward, size_mm, spread=0.35, closed=False)
