"""Plain pieces for the lays: rectangles and others with a known best lay. Millimetres."""

from __future__ import annotations

from collections.abc import Sequence

from curves.path import line
from curves.point import Point
from draft.allowance import cut_edges
from draft.fabric import Fabric
from draft.lay.cloth import Cloth
from draft.lay.forms import Item, items_of
from draft.lay.lying import Face, Turn
from draft.lay.parts import Part, Zone
from draft.piece import Edge, Piece


def polygon_piece(name: str, corners: Sequence[Point], **more: object) -> Piece:
    """A piece without allowances whose cutting line is the polygon, counter-clockwise."""
    edges = tuple(
        Edge(
            name=f"edge{i}",
            path=line(corners[i], corners[(i + 1) % len(corners)]),
            allowance_mm=0.0,
        )
        for i in range(len(corners))
    )
    return Piece(
        name=name,
        title=name.capitalize(),
        edges=edges,
        cut=cut_edges(edges),
        **more,  # type: ignore[arg-type]
    )


def box_piece(name: str, across: float, along: float, **more: object) -> Piece:
    """A rectangle, `across` the fabric and `along` its length when laid at turn 0."""
    return polygon_piece(name, [(0, 0), (across, 0), (across, along), (0, along)], **more)


def part(
    piece: Piece,
    copy: int = 1,
    *,
    faces: tuple[Face, ...] = ("up",),
    turns: tuple[Turn, ...] = (0, 180),
    zone: Zone = "main",
) -> Part:
    return Part(garment=0, piece=piece, copy=copy, faces=faces, turns=turns, zone=zone)


def items(parts: Sequence[Part], cloth: Cloth, fabric: Fabric | None = None) -> tuple[Item, ...]:
    return items_of(parts, [fabric or Fabric()], cloth)
