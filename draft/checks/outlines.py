"""Outlines are closed, simple and counter-clockwise, and the cut lies outside by the allowance.

All pieces of a pattern are judged together: a call of numpy or shapely on one short edge takes as
long as on all of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Sized
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from outseam.curves.path import Path
from outseam.curves.tolerance import JOIN_MM
from outseam.draft.checks.corners import leaving
from outseam.draft.checks.verdict import at_most, equal
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Edge, Finding
from outseam.draft.piece.ruler import Floats, chords, measure_together

ALLOWANCE_MM = 0.1


def _counted(parts: Sequence[Sized]) -> NDArray[np.intp]:
    """Return the number of the part for every item of all parts in order."""
    return np.repeat(np.arange(len(parts)), [len(part) for part in parts])


def _gaps(outlines: Sequence[Sequence[Path]]) -> list[int]:
    """Count, for each chain of paths, where a path does not start at the end of the one before."""
    starts = np.array([p.cubics[0, 0] for paths in outlines for p in paths])
    ends = np.array([p.cubics[-1, 3] for paths in outlines for p in (paths[-1], *paths[:-1])])
    apart = np.abs(ends - starts).max(axis=1) > JOIN_MM
    counts: list[int] = np.bincount(_counted(outlines), apart, len(outlines)).astype(int).tolist()
    return counts


def _outlines(pattern: Pattern) -> tuple[tuple[Path, ...], ...]:
    """Return the sewing and the cutting outline of every piece, in turn."""
    return tuple(
        paths
        for piece in pattern.pieces
        for paths in (tuple(e.path for e in piece.edges), piece.cut)
    )


@lru_cache(maxsize=2)
def _rings(outlines: tuple[tuple[Path, ...], ...]) -> NDArray[np.object_]:
    """Return the outlines as shapely rings, finely broken; two checks in turn ask for them."""
    import shapely

    points = [np.concatenate([chords(p)[0][:-1] for p in paths]) for paths in outlines]
    rings = shapely.linearrings(np.concatenate(points), indices=_counted(points))
    return np.asarray(rings, dtype=object)


def check_outlines(pattern: Pattern) -> Iterator[Finding]:
    """Count what is wrong with the sewing and the cutting outline of every piece."""
    import shapely

    outlines = _outlines(pattern)
    measure_together(p for paths in outlines for p in paths)
    rings = _rings(outlines)
    names = [(p.name, f"{kind} line") for p in pattern.pieces for kind in ("sewing", "cutting")]
    verdicts = zip(
        names,
        _gaps(outlines),
        np.asarray(shapely.is_ccw(rings)).tolist(),
        np.asarray(shapely.is_simple(rings)).tolist(),
        strict=True,
    )
    for (piece, name), gaps, right_way, simple in verdicts:
        yield equal(
            "outlines are sound",
            f"{piece}, {name}",
            float((gaps or not right_way) + (not simple)),
            0.0,
            0.0,
            f"the {name} is closed, does not cross itself and runs the right way",
            unit="count",
        )


#: Points compared along every cutting edge.
_SAMPLES = 16
_SHARES = np.linspace(0.0, 1.0, _SAMPLES)


def _to_lines(x: Floats, y: Floats, lines: Sequence[Floats]) -> Floats:
    """Return how far points (n, q), mm, lie from the broken line of their row, (n, q)."""
    count = [len(line) - 1 for line in lines]
    a = np.concatenate([line[:-1] for line in lines])
    wx, wy = ((np.concatenate([line[1:] for line in lines]) - a).T)[..., None]
    owner = np.repeat(np.arange(len(lines)), count)
    dx, dy = x[owner] - a[:, :1], y[owner] - a[:, 1:]
    t = dx * wx
    t += dy * wy
    t /= np.maximum(wx * wx + wy * wy, 1e-300)
    np.maximum(t, 0.0, out=t)
    np.minimum(t, 1.0, out=t)
    dx -= t * wx
    dy -= t * wy
    dx *= dx
    dy *= dy
    dx += dy
    return np.sqrt(np.minimum.reduceat(dx, np.cumsum([0, *count[:-1]]), axis=0))


def _sampled(paths: Sequence[Path]) -> tuple[Floats, Floats]:
    """Return x and y of points at even shares of the run of every path, (n, q) each."""
    points, runs = zip(*map(chords, paths), strict=True)
    lengths = np.array([run[-1] for run in runs])
    # All on one long run, with a gap between a path and the next.
    starts = np.cumsum(lengths + 1.0) - lengths
    along = np.concatenate(runs) + np.repeat(starts, [len(run) for run in runs])
    at = starts[:, None] + lengths[:, None] * _SHARES
    xy = np.concatenate(points)
    return np.interp(at, along, xy[:, 0]), np.interp(at, along, xy[:, 1])


def allowance_errors_mm(edges: Sequence[Edge], cuts: Sequence[Path]) -> Floats:
    """Return each cut's largest departure from its edge's allowance, corners left out, mm.

    At a corner the cut runs on to meet its neighbour; only points that lie opposite the inside of
    their own edge are compared.
    """
    x, y = _sampled(cuts)
    inside = np.ones(x.shape, dtype=bool)
    for ends in (
        np.array([e.path.cubics[0] for e in edges]),
        np.array([e.path.cubics[-1, ::-1] for e in edges]),
    ):
        (ax, ay), (ux, uy) = ends[:, 0].T[..., None], leaving(ends).T[..., None]
        inside &= (x - ax) * ux + (y - ay) * uy > 0.0
    far = _to_lines(x, y, [chords(e.path)[0] for e in edges])
    wanted = np.array([e.allowance_mm for e in edges])
    out: Floats = np.where(inside, np.abs(far - wanted[:, None]), 0.0).max(axis=1)
    return out


def _beyond_mm(pattern: Pattern) -> Floats:
    """Return how far the sewing line of each piece leaves its cut piece, mm."""
    import shapely

    cuts = np.asarray(shapely.polygons(_rings(_outlines(pattern))[1::2]), dtype=object)
    shapely.prepare(cuts)
    points = [
        np.concatenate([chords(e.path)[0][::4] for e in p.edges if e.allowance_mm > 0.0])
        for p in pattern.pieces
    ]
    sewn, owner = np.concatenate(points), _counted(points)
    out = ~np.asarray(shapely.intersects_xy(cuts[owner], *sewn.T))
    beyond = np.zeros(len(cuts))
    if out.any():
        away = shapely.distance(cuts[owner[out]], shapely.points(sewn[out]))
        np.maximum.at(beyond, owner[out], away)
    return beyond


def check_allowances(pattern: Pattern) -> Iterator[Finding]:
    """Measure the allowance all round, and that no sewing line leaves the cut piece."""
    edges = [e for piece in pattern.pieces for e in piece.edges]
    errors = allowance_errors_mm(edges, [c for piece in pattern.pieces for c in piece.cut])
    worst = np.zeros(len(pattern.pieces))
    np.maximum.at(worst, _counted([p.edges for p in pattern.pieces]), errors)
    for piece, error, beyond in zip(
        pattern.pieces, worst.tolist(), _beyond_mm(pattern).tolist(), strict=True
    ):
        yield at_most(
            "allowances are true",
            piece.name,
            error,
            ALLOWANCE_MM,
            "the cutting line keeps its distance from the sewing line",
        )
        yield at_most(
            "allowances are true",
            f"{piece.name}, cut outside",
            beyond,
            ALLOWANCE_MM,
            "the sewing line lies inside the piece that is cut",
        )
