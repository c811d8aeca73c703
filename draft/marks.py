"""Lines inside a piece: levels, crease, grain, lengthen and shorten."""

from __future__ import annotations

from collections.abc import Sequence

from curves.meet import intersections
from curves.path import Path, line
from curves.point import Point
from curves.evaluate import point_at
from draft.piece import Edge, Line, LineKind

#: Far enough left and right of any piece.
_WIDE_MM = 3000.0


def _hits(edges: Sequence[Edge], ruler: Path) -> list[Point]:
    """Return where a straight ruler crosses the edges."""
    return [point_at(e.path, u) for e in edges for u, _ in intersections(e.path, ruler)]


def across(edges: Sequence[Edge], y: float, kind: LineKind, label: str) -> Line | None:
    """Return the level line at height `y`, edge to edge; None where it misses the piece."""
    hits = _hits(edges, line((-_WIDE_MM, y), (_WIDE_MM, y)))
    if len(hits) < 2:
        return None
    return Line(kind=kind, path=line(min(hits), max(hits)), label=label)


def upright(
    edges: Sequence[Edge], x: float, kind: LineKind, label: str, *, inset_mm: float = 0.0
) -> Line | None:
    """Return the vertical line at `x`, edge to edge less `inset_mm` at both ends."""
    hits = sorted((p[1], p[0]) for p in _hits(edges, line((x, -_WIDE_MM), (x, _WIDE_MM))))
    if len(hits) < 2:
        return None
    low, high = hits[0][0] + inset_mm, hits[-1][0] - inset_mm
    return Line(kind=kind, path=line((x, low), (x, high)), label=label)
