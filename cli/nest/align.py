"""At which point the sizes of a leg are laid over each other: one line each in the registry."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from outseam.cli.pattern.drawing import notch_ticks
from outseam.curves.path import join
from outseam.curves.point import Point
from outseam.curves.region import bounds
from outseam.draft.inputs.errors import InputError
from outseam.draft.piece.piece import Piece


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """A way to align legs: its name, what is printed about it, the point of each size's leg."""

    name: str
    says: str
    at: Callable[[Sequence[Piece]], list[Point]]


def _crotch(pieces: Sequence[Piece]) -> list[Point]:
    """The level of the crotch point, on the crease. A leg is drafted with that level at y = 0."""
    return [(next(k.path.start[0] for k in p.lines if k.kind == "crease"), 0.0) for p in pieces]


def _side(pieces: Sequence[Piece]) -> list[Point]:
    """The hip mark on the side seam; its upper end where a size is too low for a mark."""
    marks = [[n for n in p.notches if n.edge == "outseam" and n.role == "hip"] for p in pieces]
    if all(marks):
        return [notch_ticks(p, m[0])[0].start for p, m in zip(pieces, marks, strict=True)]
    return [p.edge("outseam").path.start for p in pieces]


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


def reference_points(pieces: Sequence[Piece], way: Way) -> list[Point]:
    """Return the point of each size's piece that is to lie on the others', mm.

    Legs go by `way`. Bands meet in the middle of their lower edge, which is centre front or back;
    all other pieces at the lower left corner of their sewing line's box.
    """
    if all(any(k.kind == "crease" for k in p.lines) for p in pieces):
        return way.at(pieces)
    boxes = [bounds(join([e.path for e in p.edges])) for p in pieces]
    if all(p.part.endswith("band") for p in pieces):
        return [((x0 + x1) / 2.0, y0) for x0, y0, x1, _ in boxes]
    return [(x0, y0) for x0, y0, _, _ in boxes]
