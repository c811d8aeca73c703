"""The first home page: assembly map, test squares, and what to do, in words and a picture.

The squares themselves are not items: `tiles` writes them as plain rectangles so that any reader
of the file can measure them. Their places and sizes are in `pages`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from outseam.cli.paper.furniture import (
    BODY_MM,
    CODE_MM,
    CUT_LINE,
    DISC_MM,
    FIRST_H_MM,
    FIRST_W_MM,
    HAIR,
    LAY_LINE,
    RULE,
    SQUARE_CM_AT,
    SQUARE_CM_MM,
    SQUARE_IN_AT,
    SQUARE_IN_MM,
    TEXT_MM,
    calibration_note,
    half_disc,
)
from outseam.cli.paper.grid import Cell, TileGrid
from outseam.cli.scene.scene import Label, Pen, SceneItem, Stroke
from outseam.cli.scene.shapes import rectangle
from outseam.cli.scene.text import shorten_text, text_width_mm, wrap_text
from outseam.curves.path import line, polyline
from outseam.curves.point import Point
from outseam.draft.inputs.show import Units

TITLE_MM = 7.0
HEAD_MM = 4.2
LINE_MM = 4.2

#: Baseline of the headings over the first square and the map.
HEAD_Y = 223.5

#: The right column holds the map and, below it, what the caller has to say about the pattern.
COLUMN_X, COLUMN_W = 109.0, 81.0
#: A note is broken over this many lines at most; all notes together take at most this many.
NOTE_LINES, NOTES_LINES = 2, 22

#: A stroke whose miniature is smaller than this is left out of the map.
_SPECK_MM = 1.5
#: How far a line of the map may stray.
_FINE_MM = 0.04

_PIECE = Pen(width_mm=0.25, colour=0.0)
_CELL = Pen(width_mm=0.15, colour=0.45)
_CROSS = Pen(width_mm=0.12, colour=0.7)

_PRINT = (
    "Print this page first, at 100 % (“actual size”), with every kind of fitting or shrinking "
    "switched off.",
    "{measure}",
    "{divide} Put the two numbers under [print] in your file and draft again.",
    "A number below 0.95 or above 1.05 means that the printer fits the drawing to the page: look "
    "for that setting.",
)
#: What to measure and how to reckon with it, in the units of the file.
_MEASURE: dict[Units, tuple[str, str]] = {
    "cm": (
        "Measure this square across and along, from line to line: 10 cm both ways. So is the one "
        "below, 4 in.",
        "Right to half a millimetre: print the other pages. If not, divide 100 by the millimetres "
        "that this square measures, across and along each: 98.8 mm gives 100/98.8 = 1.0121.",
    ),
    "in": (
        "Measure the square below across and along, from line to line: 4 in both ways. This one "
        "is 10 cm.",
        "Right to a thirty-second of an inch: print the other pages. If not, divide 4 by the "
        "inches that the square below measures, across and along each: 3 15/16 in gives "
        "4/3.9375 = 1.0159.",
    ),
}
_MEASURE["mm"] = _MEASURE["cm"]
_JOIN = (
    "Cut each page along its dark sides (✂, left and upper side).",
    "Lay it on the page before, up to the grey dashed line, so that two half discs of the same "
    "code make one disc, and tape it.",
    "Tape the pages of a row first, then row to row from the top.",
)
_JOIN_BUTT = (
    _JOIN[0],
    "Lay the cut side against the line of the page before, so that two half discs of the same "
    "code make one disc, and tape it.",
    _JOIN[2],
)


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstPage:
    """What the first page says.

    `lines` is the drawing on its sheet, mm; `numbers` the page number of every printed cell.
    """

    title: str
    lines: Sequence[shapely.LineString]
    grid: TileGrid
    numbers: Mapping[Cell, int]
    pages: int
    paper: str
    notes: tuple[str, ...] = ()
    calibration: tuple[float, float] = (1.0, 1.0)
    units: Units = "cm"


def first_page_items(page: FirstPage) -> list[SceneItem]:
    """Return everything on the first page but the two squares, on an area 190 x 254 mm."""
    notes = _notes(page)
    return [
        *_heading(page),
        *_printing(page),
        *_joining(page),
        *_map(page, lowest=LINE_MM * len(notes) + (8.0 if notes else 0.0)),
        *notes,
        *_foot(page),
    ]


def _heading(page: FirstPage) -> list[SceneItem]:
    """Return the title over a rule, and the headings of the two columns."""
    title = shorten_text(page.title, TITLE_MM, FIRST_W_MM)
    empty = page.grid.columns * page.grid.rows - len(page.numbers)
    counted = f"{len(page.numbers)} pages of {page.paper}"
    counted += f", {empty} empty left out" if empty else ""
    right = (COLUMN_X + COLUMN_W, HEAD_Y)
    return [
        Label(text=title, at=(0, FIRST_H_MM - 8.0), size_mm=TITLE_MM),
        Stroke(path=line((0, FIRST_H_MM - 12), (FIRST_W_MM, FIRST_H_MM - 12)), pen=RULE),
        Label(text="Print and measure", at=(0, HEAD_Y), size_mm=HEAD_MM),
        Label(text="Join", at=(0, SQUARE_IN_MM + 4.5), size_mm=HEAD_MM),
        Label(text="Map", at=(COLUMN_X, HEAD_Y), size_mm=HEAD_MM),
        Label(text=counted, at=right, size_mm=TEXT_MM, anchor="end", colour=0.3),
    ]


def _notes(page: FirstPage) -> list[SceneItem]:
    """Return the caller's lines, the last one on the lower edge of the right column."""
    texts: list[str] = []
    for i, note in enumerate(page.notes):
        lines = wrap_text(note, BODY_MM, COLUMN_W)[:NOTE_LINES]
        if len(texts) + len(lines) > NOTES_LINES - 1 and i < len(page.notes) - 1:
            texts.append(f"… and {len(page.notes) - i} more lines")
            break
        texts += lines
    items: list[SceneItem] = [
        Label(text=text, at=(COLUMN_X, 1.2 + LINE_MM * up), size_mm=BODY_MM, colour=0.1)
        for up, text in enumerate(reversed(texts))
    ]
    if texts:
        at = (COLUMN_X, 1.2 + LINE_MM * len(texts) + 1.5)
        items.append(Label(text="Pattern", at=at, size_mm=HEAD_MM))
    return items


def _printing(page: FirstPage) -> list[SceneItem]:
    """Return what stands in the square of 10 cm: its size, and what to do with it."""
    x, y = SQUARE_CM_AT
    top = y + SQUARE_CM_MM
    measured, divided = _MEASURE[page.units]
    steps = [step.format(measure=measured, divide=divided) for step in _PRINT]
    items: list[SceneItem] = [
        Label(text="10 cm", at=(x + 6, top - 13), size_mm=9.0),
        Label(
            text="100 mm across, 100 mm along", at=(x + 39, top - 13), size_mm=TEXT_MM, colour=0.3
        ),
        *_steps(steps, 1, (x + 6, top - 23), SQUARE_CM_MM - 12),
    ]
    note = calibration_note(page.calibration)
    if note:
        items.append(Label(text=note, at=(x + 6, y + 6), size_mm=BODY_MM))
    return items


def _joining(page: FirstPage) -> list[SceneItem]:
    """Return what stands in the square of 4 in: its size, and how to join the pages."""
    x, y = SQUARE_IN_AT
    top = y + SQUARE_IN_MM
    steps = _JOIN if page.grid.overlap_mm else _JOIN_BUTT
    return [
        Label(text="4 in", at=(x + 6, top - 13), size_mm=9.0),
        Label(text="4 in across, 4 in along", at=(x + 29, top - 13), size_mm=TEXT_MM, colour=0.3),
        *_steps(steps, len(_PRINT) + 1, (x + 6, top - 22), SQUARE_IN_MM - 12),
        *_picture(page, (x + 11, y + 7)),
    ]


def _steps(steps: Sequence[str], first: int, at: Point, width_mm: float) -> list[SceneItem]:
    """Return numbered paragraphs from `at` downward."""
    x, y = at
    items: list[SceneItem] = []
    for number, step in enumerate(steps, start=first):
        items.append(Label(text=str(number), at=(x, y), size_mm=BODY_MM, colour=0.4))
        for text in wrap_text(step, BODY_MM, width_mm - 5):
            items.append(Label(text=text, at=(x + 5, y), size_mm=BODY_MM))
            y -= LINE_MM
        y -= 1.4
    return items


def _picture(page: FirstPage, at: Point) -> list[SceneItem]:
    """Return a drawing of two pages about to be joined, 80 x 34 mm from its lower left corner."""
    x, y = at
    wide, high = 30.0, 33.0
    lap = 6.0 if page.grid.overlap_mm else 0.0
    left, right = x + wide, x + wide + 20.0
    far = right + wide
    join, low = left - lap, y - 1.5
    here, there = (join, y + 0.5 * high), (right, low + 0.5 * high)
    arrow = y + 7.0
    items: list[SceneItem] = [
        _outline((x, y), (left, y), (left, y + high), (x, y + high), (x, y)),
        _outline((right, low), (far, low), (far, low + high), (right, low + high)),
        Stroke(path=line((right, low), (right, low + high)), pen=CUT_LINE),
        Stroke(path=half_disc(here, (-1, 0), DISC_MM), pen=None, fill=0.0),
        Stroke(path=half_disc(there, (1, 0), DISC_MM), pen=None, fill=0.0),
        Label(text="A1", at=(join - 4.6, here[1] - 1.4), size_mm=CODE_MM, anchor="end"),
        Label(text="A1", at=(right + 4.6, there[1] - 1.4), size_mm=CODE_MM),
        Label(text="✂", at=(right, low + high + 0.8), size_mm=4.5, anchor="middle", colour=0.2),
        _outline((right - 4, arrow), (left + 4, arrow)),
        _outline((left + 6.5, arrow + 1.2), (left + 4, arrow), (left + 6.5, arrow - 1.2)),
    ]
    if lap:
        items += [
            Stroke(path=line((join, y), (join, y + high)), pen=LAY_LINE),
            Stroke(path=half_disc(here, (1, 0), DISC_MM), pen=HAIR),
        ]
    return items


def _outline(*points: Point) -> Stroke:
    return Stroke(path=polyline(points), pen=HAIR)


def _foot(page: FirstPage) -> list[SceneItem]:
    """Return the lines that every page has in its lower margin."""
    at, below = FIRST_W_MM, -1.3 - 0.75 * TEXT_MM
    told = f"page 1 of {page.pages}"
    return [
        Label(text=told, at=(at, below), size_mm=TEXT_MM, anchor="end", colour=0.2),
        Label(text="Print at 100 % (actual size)", at=(0, below), size_mm=TEXT_MM, colour=0.2),
    ]


def _map(page: FirstPage, lowest: float) -> list[SceneItem]:
    """Return the whole sheet in small, with the pages' numbers; empty pages are crossed out."""
    grid = page.grid
    top = SQUARE_CM_AT[1] + SQUARE_CM_MM
    scale = min(COLUMN_W / grid.width_mm, (top - lowest) / grid.height_mm)
    x0, y0 = COLUMN_X, top - scale * grid.height_mm
    items: list[SceneItem] = []
    boxes = {cell: _map_box(grid, cell, scale, (x0, y0)) for cell in grid.cells()}
    for cell, (x, y, w, h) in boxes.items():
        items.append(Stroke(path=rectangle(x, y, x + w, y + h), pen=_CELL))
        if cell not in page.numbers:
            items += [
                Stroke(path=line((x, y), (x + w, y + h)), pen=_CROSS),
                Stroke(path=line((x + w, y), (x, y + h)), pen=_CROSS),
            ]
    items += _miniature(page.lines, scale, (x0, y0))
    for cell, number in page.numbers.items():
        items += _map_number(str(number), boxes[cell])
    return items


def _miniature(lines: Sequence[shapely.LineString], scale: float, origin: Point) -> list[SceneItem]:
    """Return the drawing in small: its closed lines if it has any, or else all of them."""
    if not lines:
        return []
    drawn = np.array(lines, dtype=object)
    closed = shapely.is_closed(drawn)
    outlines = drawn[closed] if closed.any() else drawn
    fine = shapely.simplify(outlines, _FINE_MM / scale, preserve_topology=False)
    points, owner = shapely.get_coordinates(fine, return_index=True)
    parts = np.split(points * scale + np.array(origin), np.flatnonzero(np.diff(owner)) + 1)
    return [
        Stroke(path=polyline(part), pen=_PIECE)
        for part in parts
        if len(part) > 1 and np.ptp(part, axis=0).max() > _SPECK_MM
    ]


def _map_box(
    grid: TileGrid, cell: Cell, scale: float, origin: Point
) -> tuple[float, float, float, float]:
    """Return x, y, width, height of what is seen of a page once all are joined."""
    x, y = grid.corner(cell)
    w = grid.pitch_w_mm if cell[1] < grid.columns - 1 else grid.window_w_mm
    low = y + (grid.overlap_mm if cell[0] < grid.rows - 1 else 0.0)
    high = y + grid.window_h_mm
    return origin[0] + x * scale, origin[1] + low * scale, w * scale, (high - low) * scale


def _map_number(number: str, box: tuple[float, float, float, float]) -> list[SceneItem]:
    """Return a page number on a white ground in the middle of its box, as large as fits."""
    x, y, w, h = box
    size = min(3.4, 0.5 * h, 0.8 * w / text_width_mm(number, 1.0))
    half_w, half_h = text_width_mm(number, size) / 2 + 0.15 * size, 0.55 * size
    cx, cy = x + w / 2, y + h / 2
    ground = rectangle(cx - half_w, cy - half_h, cx + half_w, cy + half_h)
    return [
        Stroke(path=ground, pen=None, fill=1.0),
        Label(text=number, at=(cx, cy - 0.365 * size), size_mm=size, anchor="middle"),
    ]
