"""Plain pieces for the lays: rectangles and others with a known best lay. Millimetres."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from outseam.curves.path import line
from outseam.curves.point import Point
from outseam.draft.fabric import Fabric
from outseam.draft.lay.model.cloth import Cloth
from outseam.draft.lay.model.orientations import Item, Orientation, items_of
from outseam.draft.lay.model.parts import Part, Zone
from outseam.draft.lay.model.placement import Face, Turn
from outseam.draft.lay.model.result import Lay
from outseam.draft.piece.allowance import cut_edges
from outseam.draft.piece.piece import Edge, Piece


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


def orientation_of(
    one: Part, fabric: Fabric, gap_mm: float, face: Face, turn_deg: Turn
) -> Orientation:
    """One orientation of a part, whatever others it may have."""
    held = replace(one, garment=0, faces=(face,), turns=(turn_deg,))
    (item,) = items_of([held], [fabric], Cloth(width_mm=1500.0, gap_mm=gap_mm))
    return item.orientations[0]


def lies(lay: Lay) -> list[tuple[str, Face, Turn, float, float]]:
    """How the pieces of a lay lie, to a millionth of a millimetre."""
    found = []
    for p in lay.placed:
        at = round(p.lie.dx_mm, 6), round(p.lie.dy_mm, 6)
        found.append((p.key, p.lie.face, p.lie.turn_deg, *at))
    return found
