"""Outlines are closed, simple and counter-clockwise, and the cut lies outside by the allowance."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from curves.path import Path, join
from curves.region import area
from curves.tolerance import JOIN_MM
from draft.checks.verdict import at_most, equal
from draft.pattern import Pattern
from draft.piece import Finding, Piece
from draft.ruler import chords, measure_together

ALLOWANCE_MM = 0.1


def _faults(paths: Sequence[Path]) -> int:
    """Count what is wrong with a chain of paths: gaps, an open end, the wrong way round."""
    gaps = sum(
        max(abs(a.end[0] - b.start[0]), abs(a.end[1] - b.start[1])) > JOIN_MM
        for a, b in zip(paths, [*paths[1:], paths[0]], strict=True)
    )
    return gaps if gaps else int(area(join(list(paths))) <= 0.0)


def check_outlines(pattern: Pattern) -> Iterator[Finding]:
    """Count what is wrong with the sewing and the cutting outline of every piece."""
    import shapely

    outlines = [
        (piece.name, kind, paths)
        for piece in pattern.pieces
        for kind, paths in (("sewing", [e.path for e in piece.edges]), ("cutting", piece.cut))
    ]
    measure_together(p for _, _, paths in outlines for p in paths)
    rings = [
        shapely.LinearRing(np.concatenate([chords(p)[0][:-1] for p in paths]))
        for _, _, paths in outlines
    ]
    for (name, kind, paths), simple in zip(outlines, shapely.is_simple(rings), strict=True):
        faults = _faults(paths) + (not simple)
        yield equal(
            "outlines are sound",
            f"{name}, {kind} line",
            float(faults),
            0.0,
            0.0,
            f"the {kind} line is closed, does not cross itself and runs the right way",
            unit="count",
        )


#: Points compared along every cutting edge.
_SAMPLES = 16
_SHARES = np.linspace(0.0, 1.0, _SAMPLES)


def allowance_error_mm(piece: Piece) -> float:
    """Return the largest departure of the cut line from its allowance, corners left out, mm.

    At a corner the cut runs on to meet its neighbour; only points that lie opposite the inside of
    their own edge are compared.
    """
    import shapely

    lines, opposite, wanted = [], [], []
    for edge, cut in zip(piece.edges, piece.cut, strict=True):
        points, run = chords(cut)
        at = _SHARES * run[-1]
        x, y = np.interp(at, run, points[:, 0]), np.interp(at, run, points[:, 1])
        (ax, ay), (bx, by) = edge.path.start, edge.path.end
        (ux, uy), (vx, vy) = edge.path.start_direction, edge.path.end_direction
        inside = ((x - ax) * ux + (y - ay) * uy > 0.0) & ((bx - x) * vx + (by - y) * vy > 0.0)
        if inside.any():
            lines.append(shapely.LineString(chords(edge.path)[0]))
            opposite.append(np.stack([x[inside], y[inside]], axis=1))
            wanted.append(edge.allowance_mm)
    if not lines:
        return 0.0
    owner = np.repeat(np.arange(len(lines)), [len(p) for p in opposite])
    far = shapely.distance(
        np.array(lines, dtype=object)[owner], shapely.points(np.concatenate(opposite))
    )
    return float(np.abs(far - np.array(wanted)[owner]).max())


def check_allowances(pattern: Pattern) -> Iterator[Finding]:
    """Measure the allowance all round, and that no sewing line leaves the cut piece."""
    import shapely

    for piece in pattern.pieces:
        yield at_most(
            "allowances are true",
            piece.name,
            allowance_error_mm(piece),
            ALLOWANCE_MM,
            "the cutting line keeps its distance from the sewing line",
        )
        cut = shapely.Polygon(np.concatenate([chords(c)[0][:-1] for c in piece.cut]))
        sew = [chords(e.path)[0][::4] for e in piece.edges if e.allowance_mm > 0.0]
        shapely.prepare(cut)
        points = np.concatenate(sew)
        out = points[~shapely.covers(cut, shapely.points(points))]
        beyond = float(shapely.distance(cut, shapely.points(out)).max()) if len(out) else 0.0
        yield at_most(
            "allowances are true",
            f"{piece.name}, cut outside",
            beyond,
            ALLOWANCE_MM,
            "the sewing line lies inside the piece that is cut",
        )
