"""Levels of a leg and a waistband that a border is laid by, and how far above the hem it lies.

A waistband cut from the border has the border's eye in the middle of its face (common practice, no
source).
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from outseam.curves.region import bounds
from outseam.draft.border.printed import Border
from outseam.draft.piece.piece import Piece
from outseam.draft.spec.spec import Spec

#: A place that is found by the program is this much clear of the selvedge: outlines are flattened.
_CLEAR_MM = 0.5


def is_leg(piece: Piece) -> bool:
    """Return whether a piece has a hem to run along the border."""
    return {"hem_cut", "outseam", "inseam"} <= {e.name for e in piece.edges}


def hem_mm(piece: Piece) -> float:
    """Return the height of a leg's hem at its seams, in the piece's own coordinates.

    A flared hem is an arc; its ends are what meets, so they lie on the line.
    """
    ends = piece.edge("outseam").path.end[1], piece.edge("inseam").path.start[1]
    return (ends[0] + ends[1]) / 2.0


def face_middle_mm(piece: Piece) -> float:
    """Return the height of the middle of a waistband's face, in the piece's own coordinates.

    The face reaches from the lower edge to the fold, or to the upper edge where there is none.
    """
    low = piece.edge("lower").path.start[1]
    fold = next((k.path.start[1] for k in piece.lines if k.kind == "fold"), None)
    high = piece.edge("upper").path.start[1] if fold is None else fold
    return (low + high) / 2.0


def above_hem_mm(spec: Spec, pieces: Iterable[Piece]) -> float:
    """Return how far above the finished hem the border's edge lies, mm.

    As the style has it; where it says nothing, on the hem, or as much of the border is turned up
    with the hem as there is no fabric for below it.
    """
    asked = spec.style.border_above_hem
    if asked is not None:
        return asked
    below = [hem_mm(p) - min(bounds(c)[1] for c in p.cut) for p in pieces if is_leg(p)]
    edge = spec.fabric.border_from_selvedge / spec.fabric.shrink_factors[0]
    room = edge - max(below, default=0.0) - _CLEAR_MM
    step = 25.4 / 8.0 if spec.units == "in" else 1.0
    return min(0.0, step * math.floor(room / step))


def leg_level_mm(cut: Piece, border: Border, above_hem_mm: float, growth: float) -> float:
    """Return how high over its selvedge the origin of a leg (as cut) lies.

    `growth` is by how much the piece was grown up the body: a finished distance is that much
    more on the fabric in hand.
    """
    return border.edge_mm - above_hem_mm * growth - hem_mm(cut)


def band_level_mm(cut: Piece, border: Border) -> float:
    """Return how high over its selvedge the origin of a band piece (as cut) lies."""
    return border.edge_mm + border.eye_mm - face_middle_mm(cut)
