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
    a, b = outline[:-1], outline[1:]
    da, db = a[:, axis] - at, b[:, axis] - at
    hit = (da <= 0.0) != (db <= 0.0)
    if np.count_nonzero(hit) < 2:
        return None
    t = da[hit] / (da[hit] - db[hit])
    other = 1 - axis
    places = a[hit, other] + t * (b[hit, other] - a[hit, other])
    return float(places.min()), float(places.max())


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
