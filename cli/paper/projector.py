"""A page to be thrown on the cloth by a projector: no paper, no margins, lines seen from afar.

A pixel thrown on a table is a millimetre or more, so lines are several times as heavy as on paper
and only the names of the pieces are written large. Crosses 10 cm or 4 in apart lie over the whole
page: the projector is set until they measure so. What would only confuse the cutter can be switched
on.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np
import shapely

from outseam.cli.paper.print_job import PrintJob
from outseam.cli.paper.printed import Printed
from outseam.cli.paper.whole_pages import TooLargeError
from outseam.cli.pattern.drawing import (
    Place,
    draw_pieces,
    line_strokes,
    notch_ticks,
    pieces_to_print,
    upright_places,
)
from outseam.cli.pattern.words import block_labels, free_block, places_over
from outseam.cli.scene.free_room import Room
from outseam.cli.scene.scene import Label, Layer, Pen, Scene, Stroke
from outseam.cli.scene.text import text_width_mm, wrap_text
from outseam.cli.write.pdf import MAX_PAGE_MM, write_sheet_pdf
from outseam.curves.path import Floats, join, line
from outseam.curves.region import flatten
from outseam.draft.inputs.show import Units
from outseam.draft.inputs.usual import Usual
from outseam.draft.inputs.words import most_allowed, words
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece

#: Distance of the crosses; the first ones lie half of it from the page's edges.
CROSS: Final = Usual(100.0, 4.0)
#: Layers that are there and switched off: a cutter follows the cutting line.
HIDDEN: Final = ("sew", "words")

_ARM_MM = 12.0
_GRID = Pen(width_mm=1.5, colour=0.35)
#: Lines are this many times as heavy as on paper, and their dashes as long.
_HEAVIER = 4.0
#: Sizes the names are tried at, how large the words below them are, what is kept clear of lines.
_NAMES_MM = (24.0, 18.0, 13.0, 9.0, 6.5, 5.0)
_CUT_SHARE, _CLEAR_MM = 0.7, 3.0
_EDGE_MM = 10.0
#: Kept free below the pieces for what to do.
_FOOT_MM = 120.0
_FOOT_TEXT_MM = 12.0


def projector_page(job: PrintJob) -> Printed:
    """Return the file for a projector. Raises TooLargeError for a piece no page can hold."""
    scenes = projector_scenes(job.pattern, job.title)
    data = write_sheet_pdf(scenes, title=job.title, hidden_layers=HIDDEN)
    return Printed(data=data, pages={"pages": len(scenes)})


def projector_scenes(
    pattern: Pattern, title: str, limit_mm: float = MAX_PAGE_MM
) -> tuple[Scene, ...]:
    """Return one page with all pieces, more only where a file could not hold it.

    Neither side of a page is longer than `limit_mm`. Raises TooLargeError for a piece that is.
    """
    scenes: list[Scene] = []
    units = pattern.spec.units
    waiting = list(pieces_to_print(pattern))
    while waiting:
        counts = range(len(waiting), 0, -1)
        count = next((n for n in counts if _fits(waiting[:n], limit_mm, units)), 0)
        if not count:
            raise TooLargeError(
                "print.files",
                f"the {waiting[0].title.lower()} on a projector's page",
                words("at most {most} each way", most=most_allowed(limit_mm)),
                "leave the projector out and print home pages",
            )
        scenes.append(_scene(pattern, waiting[:count], title))
        waiting = waiting[count:]
    return tuple(scenes)


def _places(pieces: Sequence[Piece], units: Units) -> tuple[tuple[Place, ...], float, float]:
    """Return where pieces lie above the foot, and the sides of the page in whole crosses."""
    places, wide, high = upright_places(pieces, margin_mm=_EDGE_MM)
    step = CROSS.mm(units)
    sides = [math.ceil(side / step) * step for side in (wide, high + _FOOT_MM)]
    return tuple(replace(p, dy_mm=p.dy_mm + _FOOT_MM) for p in places), sides[0], sides[1]


def _fits(pieces: Sequence[Piece], limit_mm: float, units: Units) -> bool:
    _, wide, high = _places(pieces, units)
    return max(wide, high) <= limit_mm


def _scene(pattern: Pattern, pieces: Sequence[Piece], title: str) -> Scene:
    places, wide, high = _places(pieces, pattern.spec.units)
    drawn = [_heavier(layer) for layer in draw_pieces(pattern, pieces, places)]
    grid = _grid(wide, high, pattern.spec.units)
    crosses = [np.array([i.path.start, i.path.end]) for i in grid.items if isinstance(i, Stroke)]
    names = [n for p, at in zip(pieces, places, strict=True) for n in _names(p, at, crosses)]
    return Scene(
        title=title,
        width_mm=wide,
        height_mm=high,
        layers=(grid, *drawn, Layer(name="names", items=tuple(names))),
    )


def _heavier(layer: Layer) -> Layer:
    """Return a layer with lines that are seen when they are thrown on cloth."""
    return Layer(
        name=layer.name,
        items=tuple(
            replace(item, pen=_heavy(item.pen)) if isinstance(item, Stroke) and item.pen else item
            for item in layer.items
        ),
    )


def _heavy(pen: Pen) -> Pen:
    dash = tuple(_HEAVIER * d for d in pen.dash_mm)
    return replace(pen, width_mm=_HEAVIER * pen.width_mm, dash_mm=dash)


def _names(piece: Piece, place: Place, crosses: Sequence[Floats]) -> list[Label]:
    """Return what a piece is and how often it is cut, clear of its lines and of crosses if it can.

    Sizes are tried from large to small, places from where the piece has its words outward.
    """
    outline = flatten(place.path(join(list(piece.cut))), 1.0)
    ticks = [tick for notch in piece.notches for tick in notch_ticks(piece, notch)]
    marks = [one for mark in piece.lines for one in line_strokes(mark)]
    lines = [flatten(place.path(one), 1.0) for one in (*ticks, *marks)]
    shape = shapely.Polygon(outline)
    wordings = [
        ((piece.title, size), *((t, _CUT_SHARE * size) for t in cut))
        for size in _NAMES_MM
        for cut in ((piece.cut_note,), wrap_text(piece.cut_note, size, 8.0 * size))
    ]
    corner, turn = place.point(piece.label_at), place.turn_deg + piece.label_turn_deg
    spots = places_over(outline)
    for strokes in ((outline, *lines, *crosses), (outline, *lines), (outline,)):
        room = Room(shape, strokes)
        block = free_block(room, wordings, corner, spots, turn, _CLEAR_MM)
        if block is not None:
            return list(block_labels(block))
    return [Label(text=piece.title, at=corner, size_mm=_NAMES_MM[-1], angle_deg=turn)]


def _grid(wide: float, high: float, units: Units) -> Layer:
    """Return crosses 10 cm or 4 in apart, none on an edge, and what to do with them."""
    items: list[Stroke | Label] = []
    step = CROSS.mm(units)
    inset = step / 2.0
    columns, rows = round(wide / step), round(high / step)
    for column in range(columns):
        for row in range(rows):
            x, y = inset + column * step, inset + row * step
            items += [
                Stroke(path=line((x - _ARM_MM, y), (x + _ARM_MM, y)), pen=_GRID),
                Stroke(path=line((x, y - _ARM_MM), (x, y + _ARM_MM)), pen=_GRID),
            ]
    side = "4 in" if units == "in" else "10 cm"
    words = f"{side} from cross to cross: set the projector until they measure so, both ways"
    at = (inset + _ARM_MM, inset + 2.0 * _ARM_MM)
    size = min(_FOOT_TEXT_MM, _FOOT_TEXT_MM * (wide - 2 * at[0]) / text_width_mm(words, 12.0))
    items.append(Label(text=words, at=at, size_mm=size))
    return Layer(name="grid", items=tuple(items))
