"""Lines inside a piece: levels, crease, grain, lengthen and shorten."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from outseam.curves.path import line
from outseam.draft.piece.piece import Edge, Line, LineKind
from outseam.draft.piece.ruler import Floats, chords, measure_together


def outline_of(edges: Sequence[Edge]) -> Floats:
    """Return the sewing outline as a closed broken line (m, 2), mm."""
    measure_together(e.path for e in edges)
    return np.concatenate([chords(e.path)[0] for e in edges])


def _ends(outline: Floats, at: float, axis: int) -> tuple[float, float] | None:
    """Return the outermost places where the outline crosses the line `axis` = `at`."""
    beyond = outline[:, axis] > at
    places = []
    for i in np.flatnonzero(beyond[1:] != beyond[:-1]).tolist():
        p, q = outline[i : i + 2].tolist()
        t = (p[axis] - at) / (p[axis] - q[axis])
        places.append(p[1 - axis] + t * (q[1 - axis] - p[1 - axis]))
    return (min(places), max(places)) if len(places) > 1 else None


def across(outline: Floats, y: float, kind: LineKind, label: str) -> Line | None:
    """Return the level line at height `y`, edge to edge; None where it misses the piece."""
    ends = _ends(outline, y, 1)
    if ends is None:
        return None
    return Line(kind=kind, path=line((ends[0], y), (ends[1], y)), label=label)


def upright(outline: Floats, x: float, kind: LineKind, label: str) -> Line | None:
    """Return the vertical line at `x`, edge to edge; None where it misses the piece."""
    ends = _ends(outline, x, 0)
    if ends is None:
        return None
    return Line(kind=kind, path=line((x, ends[0]), (x, ends[1])), label=label)
