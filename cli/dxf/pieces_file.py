"""A pattern as cut parts: one file a style, one block a piece, each put on the sheet once.

Layers and kinds of points follow ASTM D6673 (see `layers`); no conformance is claimed. From memory
and not checked against the standard's text: the form of the texts ("PIECE NAME: ..."), that style
texts stand beside the blocks and piece texts in them, and that lengths are in millimetres where the
units are metric. The standard is built on the DXF of release 13; what is written here is the next
later release that the library knows, with nothing in it but polylines, lines, points and texts,
which release 13 has too. Grading is left to a file for each size.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely

from outseam.cli.dxf import layers
from outseam.cli.dxf.document import document_bytes, new_document, refuse_unfinite
from outseam.cli.dxf.vertices import Vertices, vertices
from outseam.cli.pattern.drawing import notch_ticks, pieces_to_print, upright_places
from outseam.cli.pattern.words import title_block
from outseam.cli.scene.text import clean_text
from outseam.cli.write.pdf import FIXED_DATE, document_date
from outseam.curves.path import Path, join
from outseam.curves.point import Point
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece

if TYPE_CHECKING:
    from ezdxf.layouts.base import BaseLayout
    from ezdxf.layouts.blocklayout import BlockLayout

#: Height and distance of texts, mm.
_TEXT_MM, _LEADING_MM = 5.0, 8.0

#: Said for a pattern that is drafted from one person's tape.
MADE_TO_MEASURE = "MADE TO MEASURE"


def pieces_dxf(pattern: Pattern) -> bytes:
    """Return the cut parts of a pattern, lengths in mm; curves lie within `FLAT_MM` of the true.

    Raises DxfError for a drawing that fails the library's audit.
    """
    doc = new_document("R2000")
    for name in layers.LAYERS:
        doc.layers.add(name)
    sheet = doc.modelspace()
    pieces = pieces_to_print(pattern)
    places, wide, high = upright_places(pieces)
    used: set[str] = set()
    for piece, place in zip(pieces, places, strict=True):
        name = _block_name(piece.name, used)
        _draw_piece(doc.blocks.new(name), pattern, piece)
        at = (place.dx_mm, place.dy_mm)
        sheet.add_blockref(name, at, dxfattribs={"layer": layers.BOUNDARY})
    texts = _style_texts(pattern)
    top = high + (len(texts) + 1) * _LEADING_MM
    _write_texts(sheet, texts, (20.0, top))
    sheet.reset_extents((0.0, 0.0, 0.0), (wide, top + _LEADING_MM, 0.0))
    return document_bytes(doc)


def _block_name(name: str, used: set[str]) -> str:
    """Return a name of capitals, figures and underscores, 31 at most, as release 13 wants it."""
    plain = re.sub(r"[^A-Z0-9_]", "_", name.upper())[:31]
    found, number = plain, 2
    while found in used:
        found = f"{plain[:28]}_{number}"
        number += 1
    used.add(found)
    return found


def _draw_piece(block: BlockLayout, pattern: Pattern, piece: Piece) -> None:
    outline = _draw_line(block, layers.BOUNDARY, join(list(piece.cut)), piece.name)
    for edge in piece.edges:
        if edge.allowance_mm > 0.0:
            _draw_line(block, layers.SEW, edge.path, piece.name)
    for notch in piece.notches:
        for tick in notch_ticks(piece, notch):
            at = _nearest(outline, tick.end)
            block.add_point(at, dxfattribs={"layer": layers.NOTCHES})
    for mark in piece.lines:
        layer = layers.LAYER_OF[mark.kind]
        if layer == layers.GRAIN:
            _draw_straight(block, layer, mark.path)
        else:
            _draw_line(block, layer, mark.path, piece.name)
    reference = [k for kind in ("crease", "grain") for k in piece.lines if k.kind == kind]
    if reference:
        _draw_straight(block, layers.GRADE_REFERENCE, reference[0].path)
    texts = _piece_texts(piece)
    _write_texts(block, texts, piece.label_at)
    x, y = piece.label_at
    said = [text for text, _ in title_block(pattern, piece)]
    below = (x, y - len(texts) * _LEADING_MM)
    _write_texts(block, said, below, layers.ANNOTATION)


def _draw_line(block: BlockLayout, layer: str, path: Path, what: str) -> Vertices:
    """Draw a line and repeat its vertices as points of either kind."""
    found = vertices(path)
    refuse_unfinite(found.points, what)
    points = found.points.tolist()
    block.add_polyline2d(points, close=found.closed, dxfattribs={"layer": layer})
    for point, turn in zip(points, found.turns.tolist(), strict=True):
        kind = layers.TURN_POINTS if turn else layers.CURVE_POINTS
        block.add_point(point, dxfattribs={"layer": kind})
    return found


def _draw_straight(block: BlockLayout, layer: str, path: Path) -> None:
    refuse_unfinite(np.array([path.start, path.end]), layer)
    block.add_line(path.start, path.end, dxfattribs={"layer": layer})


def _nearest(outline: Vertices, point: Point) -> Point:
    """Return the place on a closed line nearest to a point."""
    ring = shapely.LinearRing(outline.points)
    found = ring.interpolate(ring.project(shapely.Point(point)))
    return found.x, found.y


def _style_texts(pattern: Pattern) -> list[str]:
    date = document_date()
    texts = {
        "STYLE NAME": pattern.spec.title or "PANTS",
        "CREATION DATE": "" if date == FIXED_DATE else f"{date:%d-%m-%Y}",
        "AUTHOR": "OUTSEAM",
        "SAMPLE SIZE": MADE_TO_MEASURE,
        "UNITS": "METRIC",
    }
    return [f"{key}: {value}" for key, value in texts.items() if value]


def _piece_texts(piece: Piece) -> list[str]:
    texts = {
        "PIECE NAME": piece.name.upper(),
        "SIZE": MADE_TO_MEASURE,
        "QUANTITY": str(piece.copies),
        "CATEGORY": piece.part.upper(),
        "MATERIAL": "LINING" if piece.lining else "MAIN",
    }
    return [f"{key}: {value}" for key, value in texts.items()]


def _write_texts(
    where: BaseLayout, texts: list[str], at: Point, layer: str = layers.BOUNDARY
) -> None:
    """Write lines of text downward from a point."""
    for number, text in enumerate(texts):
        look: dict[str, Any] = {
            "layer": layer,
            "height": _TEXT_MM,
            "insert": (at[0], at[1] - number * _LEADING_MM),
        }
        where.add_text(clean_text(text, any_font=True), dxfattribs=look)
