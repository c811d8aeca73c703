"""At which point the sizes of a leg are laid over each other: one line each in the registry."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from outseam.curves.evaluate import point_at
from outseam.curves.length import length, param_at_length
from outseam.curves.path import join
from outseam.curves.point import Point
from outseam.curves.region import bounds
from outseam.draft.block.panels import Panel
from outseam.draft.inputs.errors import InputError
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """A way to align legs: its name, what is printed about it, and its point on a panel.

    The point is asked for with how far above the hem, along the side, the hip is marked, mm.
    """

    name: str
    says: str
    at: Callable[[Panel, float], Point]


def _crotch(panel: Panel, _: float) -> Point:
    """The crease at the level of the crotch point, which every leg is drafted about."""
    return panel.crease_x, 0.0


def _side(panel: Panel, hip_mm: float) -> Point:
    """The side seam at the hip, its upper end where it ends below; a pocket may have cut it off."""
    at = max(0.0, length(panel.outseam) - hip_mm)
    return point_at(panel.outseam, param_at_length(panel.outseam, at))


WAYS: Final = (
    Way(name="crotch", says="the crease, level with the crotch point", at=_crotch),
    Way(name="side", says="the side seam at the hip", at=_side),
)


def way_named(name: str) -> Way:
    """Return the way of that name. Raises InputError."""
    for way in WAYS:
        if way.name == name:
            return way
    raise InputError("align", repr(name), " or ".join(w.name for w in WAYS), "choose one of them")


def reference_points(sized: Sequence[tuple[Pattern, Piece]], way: Way) -> list[Point]:
    """Return the point of each size's piece, as cut, that is to lie on the others', mm.

    Legs go by `way`. Bands meet in the middle of their lower edge, which is centre front or back;
    all other pieces at the lower left corner of their sewing line's box.
    """
    parts = {piece.part for _, piece in sized}
    if parts <= {"front", "back"}:
        return [_on_leg(pattern, piece, way) for pattern, piece in sized]
    boxes = [bounds(join([e.path for e in piece.edges])) for _, piece in sized]
    if all(part.endswith("band") for part in parts):
        return [((x0 + x1) / 2.0, y0) for x0, y0, x1, _ in boxes]
    return [(x0, y0) for x0, y0, _, _ in boxes]


def _on_leg(pattern: Pattern, piece: Piece, way: Way) -> Point:
    block = pattern.block if piece.side != "right" else pattern.other_block or pattern.block
    # Both legs are marked where the front has its hip line, so that the marks meet.
    panel = block.back if piece.part == "back" else block.front
    x, y = way.at(panel, block.front.hip_from_hem_mm)
    across, along = pattern.spec.fabric.piece_factors
    return x * across, y * along
