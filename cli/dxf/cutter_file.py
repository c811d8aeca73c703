"""A pattern for a simple cutter: closed outlines and notch slits as straight lines, nothing else.

DXF of release 12, which every cutter's program reads and which cannot say its unit: one unit is one
millimetre. A square of 10 cm lies beside the pieces, on a layer of its own, to measure first.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from outseam.cli.dxf.document import document_bytes, new_document, refuse_unfinite
from outseam.cli.dxf.vertices import vertices
from outseam.cli.pattern.drawing import (
    SQUARE_MM,
    notch_ticks,
    pieces_to_print,
    upright_places,
)
from outseam.curves.path import join
from outseam.draft.model import Pattern

CUT: Final = "CUT"
SLITS: Final = "NOTCHES"
SQUARE: Final = "SQUARE"

#: A slit goes in no further than this, and never past half the allowance.
_SLIT_MM = 4.0


def cutter_dxf(pattern: Pattern) -> bytes:
    """Return what a blade has to do, each piece once, one unit a millimetre; within `FLAT_MM`.

    Raises DxfError for a drawing that fails the library's audit.
    """
    doc = new_document("R12")
    for name in (CUT, SLITS, SQUARE):
        doc.layers.add(name)
    sheet = doc.modelspace()
    pieces = pieces_to_print(pattern)
    places, wide, high = upright_places(pieces)
    for piece, place in zip(pieces, places, strict=True):
        outline = vertices(place.path(join(list(piece.cut)))).points
        refuse_unfinite(outline, piece.name)
        sheet.add_polyline2d(outline.tolist(), close=True, dxfattribs={"layer": CUT})
        for notch in piece.notches:
            for tick in notch_ticks(piece, notch):
                tick = place.path(tick)
                cut, seam = np.array(tick.end), np.array(tick.start)
                depth = float(np.hypot(*(seam - cut)))
                if depth > 0.0:
                    inner = cut + (seam - cut) * min(0.5, _SLIT_MM / depth)
                    sheet.add_line(cut.tolist(), inner.tolist(), dxfattribs={"layer": SLITS})
    low, side = 20.0, SQUARE_MM
    corners = [(wide, low), (wide + side, low), (wide + side, low + side), (wide, low + side)]
    sheet.add_polyline2d(corners, close=True, dxfattribs={"layer": SQUARE})
    sheet.reset_extents((0.0, 0.0, 0.0), (wide + side, max(high, low + side), 0.0))
    return document_bytes(doc)
