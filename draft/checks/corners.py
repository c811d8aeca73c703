"""Joined edges run on without peak or dip: right angles where seams meet waist, hem and crotch."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from outseam.curves.path import Floats, Path
from outseam.curves.point import turn
from outseam.curves.tolerance import JOIN_MM
from outseam.draft.checks.verdict import at_most, equal
from outseam.draft.model import Pattern
from outseam.draft.piece.divided_edge import edge_parts
from outseam.draft.piece.piece import Finding, Piece

ANGLE_DEG = 1.0


def corner_deg(into: Path, out: Path) -> float:
    """Return the inside angle where edge `out` follows edge `into` on an outline, degrees."""
    return 180.0 - math.degrees(turn(into.end_direction, out.start_direction))


def top_edge(piece: Piece) -> Path:
    """Return a leg's top edge: the seam that carries the band, or the fold of a cut-on casing."""
    fold = piece.line("casing fold")
    return piece.edge("waist").path if fold is None else fold.path


def hem_fold(leg: Piece) -> Path:
    """Return the line at which a leg's hem is turned up."""
    fold = leg.line("hem fold")
    assert fold is not None, "every leg has a hem"
    return fold.path


def _side_corner(pattern: Pattern, leg: Piece) -> tuple[Path, Path]:
    """Return waist edge and outseam of a leg as they meet at the side.

    Where a pocket has cut that corner away they are parts of its facing.
    """
    outseam = edge_parts(pattern, leg.name, "outseam")[0]
    waist = edge_parts(pattern, leg.name, "waist")
    return (waist[-1] if waist else top_edge(leg)), outseam


def check_corners(pattern: Pattern) -> Iterator[Finding]:
    """Measure the angles that add up to a straight line once the seam is sewn."""
    fold = {n: hem_fold(pattern.piece(n)) for n in ("front", "back")}
    for corner in ("crotch point", "side at the waist", "outseam at the hem", "inseam at the hem"):
        total = 0.0
        for name in ("front", "back"):
            piece = pattern.piece(name)
            edge = {e.name: e.path for e in piece.edges}
            into, out = {
                "crotch point": (edge["inseam"], edge["crotch"]),
                "side at the waist": _side_corner(pattern, piece),
                "outseam at the hem": (edge["outseam"], fold[name]),
                "inseam at the hem": (fold[name], edge["inseam"]),
            }[corner]
            total += corner_deg(into, out)
        yield equal(
            "joins run on",
            corner,
            total,
            180.0,
            ANGLE_DEG,
            f"front and back make one smooth line at the {corner}",
            unit="deg",
        )
    for name in ("front", "back"):
        piece = pattern.piece(name)
        yield equal(
            "joins run on",
            f"centre {name} at the waist",
            corner_deg(piece.edge("crotch").path, top_edge(piece)),
            90.0,
            ANGLE_DEG,
            f"the waist edge crosses the centre {name} at a right angle",
            unit="deg",
        )


def leaving(c: Floats) -> Floats:
    """Return for segments (n, 4, 2) the way from the first point to the next that differs."""
    way = c[:, 1] - c[:, 0]
    for k in (2, 3):
        still = np.abs(way).max(axis=1) <= JOIN_MM
        if still.any():
            way[still] = (c[:, k] - c[:, 0])[still]
    return way


def _bends_deg(edges: Sequence[Path]) -> Floats:
    """Return the bends at all joints inside the edges, degrees."""
    before = -leaving(np.concatenate([e.cubics[:-1, ::-1] for e in edges]))
    after = leaving(np.concatenate([e.cubics[1:] for e in edges]))
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    along = before[:, 0] * after[:, 0] + before[:, 1] * after[:, 1]
    return np.degrees(np.arctan2(np.abs(cross), along))


def check_joints(pattern: Pattern) -> Iterator[Finding]:
    """Measure the largest bend between two segments inside any sewn edge."""
    edges = [(n, e.path) for n, p in enumerate(pattern.pieces) for e in p.edges]
    owner = np.repeat([n for n, _ in edges], [len(path) - 1 for _, path in edges])
    worst = np.zeros(len(pattern.pieces))
    np.maximum.at(worst, owner, _bends_deg([path for _, path in edges]))
    for piece, bend in zip(pattern.pieces, worst.tolist(), strict=True):
        yield at_most(
            "edges are smooth",
            piece.name,
            bend,
            ANGLE_DEG,
            f"no edge of the {piece.title.lower()} has a corner in it",
            unit="deg",
        )
