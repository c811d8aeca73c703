"""The flat pieces as the page draws them: named paths that change in place, and a few words.

The same pieces, grown for the wash, and the same way to lie side by side as on the printed sheet;
what a screen cannot show at this size (allowance notes, printed labels along lines) is left out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np

from outseam.cli.page.path_data import joined, path_data
from outseam.cli.pattern.drawing import Place, pieces_to_print, upright_places
from outseam.curves.evaluate import direction_at, point_at
from outseam.curves.length import length, params_at_lengths
from outseam.curves.path import join, line
from outseam.curves.point import Point, right_of
from outseam.curves.region import bounds
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece

#: A piece may grow by this much beyond its place before all are put side by side anew.
_ROOM_MM = 60.0
_NOTCH_MM = 12.0

Box: TypeAlias = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingTable:
    """Where every piece lies on the table, and how large that is, mm; kept while a value moves."""

    places: Mapping[str, Place]
    width_mm: float
    height_mm: float
    boxes: Mapping[str, Box]


def _box(piece: Piece) -> Box:
    a, b, c, d = bounds(join(list(piece.cut)))
    return a, b, c, d


def table_of(pieces: tuple[Piece, ...], before: CuttingTable | None = None) -> CuttingTable:
    """Return places for the pieces: those they had before, while they still have room there."""
    boxes = {p.name: _box(p) for p in pieces}
    if before is not None and before.places.keys() == boxes.keys() and _still(before, boxes):
        return before
    places, wide, high = upright_places(pieces, gap_mm=_ROOM_MM, margin_mm=_ROOM_MM / 2.0)
    named = {p.name: place for p, place in zip(pieces, places, strict=True)}
    return CuttingTable(places=named, width_mm=wide, height_mm=high, boxes=boxes)


def _still(before: CuttingTable, boxes: Mapping[str, Box]) -> bool:
    """Whether every piece keeps within half its gap, and has not shrunk to a part of its place."""
    for name, box in boxes.items():
        for now, then, out in zip(box, before.boxes[name], (-1, -1, 1, 1), strict=True):
            grown = (now - then) * out
            if grown > _ROOM_MM / 2.0 - 4.0 or grown < -4.0 * _ROOM_MM:
                return False
    return True


def _notches(piece: Piece, place: Place, height_mm: float) -> str:
    """Return the notches of a piece as one path, found edge by edge."""
    by_edge: dict[str, list[float]] = {}
    for notch in piece.notches:
        by_edge.setdefault(notch.edge, []).append(notch.at_mm)
    found = []
    for name, places in by_edge.items():
        edge = piece.edge(name)
        at = np.clip(np.array(places), 0.0, length(edge.path))
        reach = max(edge.allowance_mm, _NOTCH_MM)
        for u in params_at_lengths(edge.path, at).tolist():
            p, n = point_at(edge.path, u), right_of(direction_at(edge.path, u))
            far = (p[0] + n[0] * reach, p[1] + n[1] * reach)
            found.append(path_data(place.path(line(p, far)), height_mm))
    return joined(found)


@dataclass(frozen=True, slots=True, kw_only=True)
class Flat:
    """The pieces of a pattern as they are cut, and the table they lie on."""

    pieces: tuple[Piece, ...]
    table: CuttingTable


def laid_out(pattern: Pattern, before: CuttingTable | None = None) -> Flat:
    """Return the pieces of a pattern side by side, where they lay before while there is room."""
    pieces = pieces_to_print(pattern)
    return Flat(pieces=pieces, table=table_of(pieces, before))


def flat_paths(flat: Flat) -> dict[str, Any]:
    """Return the drawing as plain data.

    `size` is the table's width and height, mm; `paths` are [name, class, path data], `words`
    [name, text, x, y], y down from the table's top.
    """
    table = flat.table
    high = table.height_mm
    paths: list[tuple[str, str, str]] = []
    words: list[tuple[str, str, float, float]] = []
    for piece in flat.pieces:
        name, place = piece.name, table.places[piece.name]
        paths.append((f"{name}-cut", "cut", path_data(place.path(join(list(piece.cut))), high)))
        sewn = [place.path(e.path) for e in piece.edges if e.allowance_mm > 0.0]
        if sewn:
            paths.append((f"{name}-sew", "sew", joined(path_data(p, high) for p in sewn)))
        by_kind: dict[str, list[str]] = {}
        for mark in piece.lines:
            by_kind.setdefault(mark.kind, []).append(path_data(place.path(mark.path), high))
        paths += [(f"{name}-{kind}", kind, joined(d)) for kind, d in by_kind.items()]
        if piece.notches:
            paths.append((f"{name}-notches", "notch", _notches(piece, place, high)))
        words.append((f"{name}-title", piece.title, *_middle(table.boxes[name], place, high)))
    return {
        "size": (round(table.width_mm, 1), round(high, 1)),
        "paths": paths,
        "words": words,
    }


def _middle(box: Box, place: Place, high: float) -> tuple[float, float]:
    """Return where the name of a piece stands: its middle, in the upper third of a leg."""
    a, b, c, d = box
    tall = d - b > 1.3 * (c - a)
    x, y = place.point(((a + c) / 2.0, d - (d - b) * (0.33 if tall else 0.5)))
    return round(x, 1), round(high - y, 1)


def outlines(pattern: Pattern, table: CuttingTable) -> list[tuple[str, str]]:
    """Return the cutting lines of another draft as they lie on the same table: for a ghost.

    A piece of that draft without a place here is left out.
    """
    return [
        (
            piece.name,
            path_data(table.places[piece.name].path(join(list(piece.cut))), table.height_mm),
        )
        for piece in pieces_to_print(pattern)
        if piece.name in table.places
    ]


def on_table(table: CuttingTable, piece: str, p: Point) -> tuple[float, float]:
    """Return a point of a piece as it lies on the table, y down."""
    x, y = table.places[piece].point(p)
    return round(x, 1), round(table.height_mm - y, 1)
