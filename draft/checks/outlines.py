"""Outlines are closed, simple and counter-clockwise, and the cut lies outside by the allowance."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from curves.path import join
from curves.region import area, flatten
from draft.checks.verdict import at_most, equal
from draft.pattern import Pattern
from draft.piece import Finding, Piece

ALLOWANCE_MM = 0.1


def check_outlines(pattern: Pattern) -> Iterator[Finding]:
    """Count what is wrong with the sewing and the cutting outline of every piece."""
    import shapely

    for piece in pattern.pieces:
        for kind, paths in (("sewing", [e.path for e in piece.edges]), ("cutting", piece.cut)):
            outline = join(list(paths))
            ring = shapely.LinearRing(flatten(outline, 0.02))
            faults = (not outline.closed) + (not ring.is_simple) + (area(outline) <= 0.0)
            yield equal(
                "outlines are sound",
                f"{piece.name}, {kind} line",
                float(faults),
                0.0,
                0.0,
                f"the {kind} line is closed, does not cross itself and runs the right way",
                unit="count",
            )


def allowance_error_mm(piece: Piece) -> float:
    """Return the largest departure of the cut line from its allowance, corners left out, mm.

    At a corner the cut runs on to meet its neighbour; only points that lie opposite the inside of
    their own edge are compared.
    """
    import shapely

    worst = 0.0
    for edge, cut in zip(piece.edges, piece.cut, strict=True):
        sew = flatten(edge.path, 0.005)
        points = flatten(cut, 0.02)
        if len(points) < 24:
            steps = np.linspace(0.0, len(points) - 1.0, 24)
            index = np.arange(len(points))
            points = np.stack([np.interp(steps, index, points[:, k]) for k in (0, 1)], axis=1)
        a, b = np.array(edge.path.start), np.array(edge.path.end)
        ta, tb = np.array(edge.path.start_direction), np.array(edge.path.end_direction)
        inside = ((points - a) @ ta > 0.0) & ((b - points) @ tb > 0.0)
        if not inside.any():
            continue
        line = shapely.linestrings(sew)
        far = shapely.distance(shapely.points(points[inside]), line)
        worst = max(worst, float(np.abs(far - edge.allowance_mm).max()))
    return worst


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
        cut = shapely.Polygon(np.concatenate([flatten(c, 0.02)[:-1] for c in piece.cut]))
        sew = np.concatenate([flatten(e.path, 0.1) for e in piece.edges if e.allowance_mm > 0.0])
        shapely.prepare(cut)
        points = shapely.points(sew)
        out = points[~shapely.covers(cut, points)]
        beyond = float(shapely.distance(cut, out).max()) if len(out) else 0.0
        yield at_most(
            "allowances are true",
            f"{piece.name}, cut outside",
            beyond,
            ALLOWANCE_MM,
            "the sewing line lies inside the piece that is cut",
        )
