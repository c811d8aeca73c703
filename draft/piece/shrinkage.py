"""Pieces as cut from fabric that will still shrink: everything grown across and along."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from outseam.curves.path import Path
from outseam.draft.fabric import Fabric
from outseam.draft.piece.piece import Piece


@lru_cache(maxsize=128)
def grown(piece: Piece, fabric: Fabric) -> Piece:
    """Return the piece scaled by the fabric's shrink factors as it lies on it: x round the body.

    Applied last, after all checks: the allowances shrink with the fabric too. Asked again, it is
    the same piece, so that its words are placed once for all papers.
    """
    x, y = fabric.piece_factors
    if x == 1.0 and y == 1.0:
        return piece

    def scaled(p: Path) -> Path:
        return p.mapped(x, 0.0, 0.0, y)

    lengths = {e.name: e.path for e in piece.edges}
    edges = tuple(replace(e, path=scaled(e.path)) for e in piece.edges)
    return replace(
        piece,
        edges=edges,
        cut=tuple(scaled(c) for c in piece.cut),
        notches=tuple(
            replace(n, at_mm=_grown_place(lengths[n.edge], n.at_mm, x, y)) for n in piece.notches
        ),
        lines=tuple(replace(k, path=scaled(k.path)) for k in piece.lines),
        label_at=(piece.label_at[0] * x, piece.label_at[1] * y),
        rest_at=None if piece.rest_at is None else (piece.rest_at[0] * x, piece.rest_at[1] * y),
    )


def _grown_place(path: Path, at_mm: float, x: float, y: float) -> float:
    """Return where along the scaled edge a notch at `at_mm` comes to lie."""
    from outseam.curves.length import length, param_at_length
    from outseam.curves.split import subpath

    u = param_at_length(path, at_mm)
    return 0.0 if u <= 0.0 else length(subpath(path, 0.0, u).mapped(x, 0.0, 0.0, y))
