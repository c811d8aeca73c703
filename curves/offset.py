"""Parallel paths: one path at one distance, or a closed outline with a distance for each edge.

Positive distances lie to the right of travel: outward on a counter-clockwise outline. Corners are
joined like this: where the parallels leave a gap, both go straight on until they meet (a mitre);
where they cross, both end at the crossing. Where the mitre would be too long, a straight line joins
the parallels: at once where the outline goes on (the step between two distances), and after both
have passed the corner by the larger distance where it turns back (a spike is cut off square, so
that no point of the outline comes nearer than its distance).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import chain, islice, pairwise

import numpy as np

from outseam.curves._bernstein import Complexes, blend, controls, halved, part, straight, to_path
from outseam.curves._parallel import parallel
from outseam.curves.errors import CurveError
from outseam.curves.meet import intersections, meeting_step
from outseam.curves.path import Path
from outseam.curves.point import Point
from outseam.curves.tolerance import JOIN_MM, OFFSET_MM

#: A tangent that turns less than this at a joint, radians, is no corner: a metre further it is
#: off by a thousandth of a millimetre.
_CORNER_RAD = 1e-6

#: Ends of parallels closer than this part of the accuracy are moved together, without a join.
_SNAP_RATIO = 0.1

#: Deviations below this are rounding: what is straight within it is straight.
_STRAIGHT_MM = 1e-9

#: Longest mitre, from corner to tip, as a multiple of the larger distance. Four keeps corners
#: sharper than 29 degrees from growing spikes; smaller would cut off ordinary points.
MITRE_LIMIT = 4.0


@dataclass(slots=True)
class _Run:
    """A stretch of parallel without corners, and what the joins do to its two ends."""

    pieces: Complexes
    distance: float
    tangent_in: complex
    tangent_out: complex
    edge: int
    head: tuple[complex, ...]  # straight on from the last of these to the first point
    tail: tuple[complex, ...]  # straight on from the last point to these
    cut_in: float
    cut_out: float

    @property
    def first(self) -> complex:
        return complex(self.pieces[0, 0])

    @property
    def last(self) -> complex:
        return complex(self.pieces[-1, 3])


def offset(
    path: Path, distance: float, accuracy: float = OFFSET_MM, mitre_limit: float = MITRE_LIMIT
) -> Path:
    """Return the parallel of `path` at `distance` mm to its right (left when negative).

    Within `accuracy` mm of the true parallel; ends and end tangents are exact. Corners inside the
    path, and where a closed path closes, are joined as this module says; a closed path stays
    closed. Raises CurveError where the distance reaches the radius of curvature on the hollow
    side, or where the parallels of an inside corner do not cross.
    """
    runs = _runs((path,), (distance,), accuracy)
    for a, b in pairwise(runs):
        _join(a, b, accuracy, mitre_limit)
    if path.closed:
        _join(runs[-1], runs[0], accuracy, mitre_limit)
    return to_path(np.concatenate([_finished(r) for r in runs]))


def outset(
    edges: Sequence[Path],
    distances: Sequence[float],
    accuracy: float = OFFSET_MM,
    mitre_limit: float = MITRE_LIMIT,
) -> tuple[Path, ...]:
    """Return the parallels of the `edges` of a closed outline, each at its own distance, mm.

    One path for each edge, each ending exactly where the next begins. Joins belong to the edge
    they prolong; a bevel or step is shared in the ratio of the two distances, so an edge at
    distance zero stays as it is. Raises CurveError when the outline is not closed, and as `offset`.
    """
    return outset_all([edges], [distances], accuracy, mitre_limit)[0]


def outset_all(
    outlines: Sequence[Sequence[Path]],
    distances: Sequence[Sequence[float]],
    accuracy: float = OFFSET_MM,
    mitre_limit: float = MITRE_LIMIT,
) -> list[tuple[Path, ...]]:
    """Return `outset` of every outline, worked out together: many cost little more than one."""
    if not outlines:
        return []
    for edges, by in zip(outlines, distances, strict=True):
        _require_outline(edges, by)
    count = [len(edges) for edges in outlines]
    runs = _runs(list(chain(*outlines)), list(chain(*distances)), accuracy)
    first = 0
    for n in count:
        around = [run for run in runs if first <= run.edge < first + n]
        for i, run in enumerate(around):
            _join(around[i - 1], run, accuracy, mitre_limit)
        first += n
    parts: list[list[Complexes]] = [[] for _ in range(first)]
    for run in runs:
        parts[run.edge].append(_finished(run))
    paths = iter([to_path(np.concatenate(p) if len(p) > 1 else p[0]) for p in parts])
    return [tuple(islice(paths, n)) for n in count]


def _require_outline(edges: Sequence[Path], distances: Sequence[float]) -> None:
    if len(edges) != len(distances) or not edges:
        raise CurveError(
            "outset", "each edge needs one distance", edges=len(edges), distances=len(distances)
        )
    for i, edge in enumerate(edges):
        (ax, ay), (bx, by) = edge.end, edges[(i + 1) % len(edges)].start
        if max(abs(ax - bx), abs(ay - by)) > JOIN_MM:
            raise CurveError("outset", "the edges do not meet", edge=i, ends=((ax, ay), (bx, by)))


def _runs(edges: Sequence[Path], distances: Sequence[float], accuracy: float) -> list[_Run]:
    """Return the parallels of all edges in order, divided at edge ends and corners."""
    z = np.concatenate([controls(e) for e in edges])
    edge_of = [i for i, e in enumerate(edges) for _ in e.cubics]
    lines = parallel(z, np.array([distances[i] for i in edge_of], dtype=np.float64), accuracy)
    going, coming = lines.tangent_in.tolist(), lines.tangent_out.tolist()
    starts = [0]
    for k in range(1, len(z)):
        if edge_of[k] != edge_of[k - 1] or abs(going[k] - coming[k - 1]) > _CORNER_RAD:
            starts.append(k)
    starts.append(len(z))
    at = lines.owner.searchsorted(starts).tolist()
    runs = []
    for (k, k_next), (i, i_next) in zip(pairwise(starts), pairwise(at), strict=True):
        pieces = lines.pieces[i:i_next]
        runs.append(
            _Run(
                pieces=pieces,
                distance=float(distances[edge_of[k]]),
                tangent_in=going[k],
                tangent_out=coming[k_next - 1],
                edge=edge_of[k],
                head=(),
                tail=(),
                cut_in=0.0,
                cut_out=float(i_next - i),
            )
        )
    return runs


def _join(a: _Run, b: _Run, accuracy: float, mitre_limit: float) -> None:
    """Settle the end of run `a` and the start of the next run `b`."""
    p, q, u, v = a.last, b.first, a.tangent_out, b.tangent_in
    gap = q - p
    if abs(gap) <= max(JOIN_MM, _SNAP_RATIO * accuracy):
        a.pieces[-1, 2:] += gap / 2
        b.pieces[0, :2] -= gap / 2
        a.tail = b.head = (p + gap / 2,)
        return
    corner = p + 1j * a.distance * u
    wide = max(abs(a.distance), abs(b.distance))
    turn = (u.conjugate() * v).imag
    # p + ahead u = q - back v: where the tangents of the parallels meet.
    ahead = (gap.conjugate() * v).imag / turn if turn else float("inf")
    back = (u.conjugate() * gap).imag / turn if turn else float("inf")
    if ahead < -JOIN_MM and back < -JOIN_MM:
        crossed = _crossing(a, b)
        if crossed is None:
            raise CurveError(
                "offset",
                "the distance is too large for the short edges at an inside corner",
                at=(p.real, p.imag),
                distance_mm=(a.distance, b.distance),
            )
        a.cut_out, b.cut_in, at = crossed
    else:
        short = abs(p + ahead * u - corner) <= mitre_limit * wide
        tip = _mitre(a, b, ahead, back, wide) if short else None
        if tip is None:
            if (u.conjugate() * v).real < 0.0:
                p, q = p + wide * u, q - wide * v
            at = p + (q - p) * (abs(a.distance) / (abs(a.distance) + abs(b.distance)))
            a.tail, b.head = (p, at), (at, q)
            return
        at = tip
    a.tail = b.head = (at,)


def _mitre(a: _Run, b: _Run, ahead: float, back: float, wide: float) -> complex | None:
    """Return where `a` going straight on meets `b` going straight back; None if it does not.

    A distance below zero means that the run itself is met, and cut, by the other's prolongation.
    """
    p, q, u, v = a.last, b.first, a.tangent_out, b.tangent_in
    if ahead >= -JOIN_MM and back >= -JOIN_MM:
        return p + ahead * u
    if back < 0.0:
        crossed = _crossing(_ray(p, p + max(2 * ahead, wide) * u), b)
        if crossed:
            b.cut_in = crossed[1]
    else:
        crossed = _crossing(a, _ray(q - max(2 * back, wide) * v, q))
        if crossed:
            a.cut_out = crossed[0]
    return crossed and crossed[2]


def _ray(p: complex, q: complex) -> _Run:
    """Return the straight extension of a run as a run of its own, to be crossed with another."""
    return _Run(straight(p, q), 0.0, 0j, 0j, 0, (), (), 0.0, 1.0)


def _crossing(a: _Run, b: _Run) -> tuple[float, float, complex] | None:
    """Return where `a` and `b` cross near the end of `a` and the start of `b`: parameters, point.

    Newton from where the end tangents cross serves nearly always; otherwise all crossings are
    looked for and the one taken that cuts off least, counted in pieces. None where there is none.
    """
    za, zb = a.pieces[-1].tolist(), b.pieces[0].tolist()
    ta, tb = 1.0, 0.0
    for _ in range(20):
        da, db, gap = meeting_step(za, ta, zb, tb)
        ta, tb = ta + da, tb + db
        if not (-1.0 <= ta <= 2.0 and -1.0 <= tb <= 2.0):
            break
        if abs(da) + abs(db) <= 1e-14:
            break
    n = len(a.pieces)
    alone = a is b and n == 1
    if 0.0 <= ta <= 1.0 and 0.0 <= tb <= 1.0 and gap <= _STRAIGHT_MM and not (alone and ta <= tb):
        return n - 1 + ta, tb, blend(za, ta)
    return _crossing_searched(a, b)


def _crossing_searched(a: _Run, b: _Run) -> tuple[float, float, complex] | None:
    pa, pb, first, scale = a.pieces, b.pieces, 0, 1.0
    if a is b:
        if len(pa) == 1:
            pa, scale = halved(pa), 0.5
        first = len(pa) // 2
        pa, pb = pa[first:], pa[:first]
    met = intersections(to_path(pa.copy()), to_path(pb.copy()))
    if not met:
        return None
    # Of a ray nothing is cut off: it has no tangents.
    ua, ub = min(
        met, key=lambda u: (u[1] if b.tangent_in else 0.0) - (u[0] if a.tangent_out else 0.0)
    )
    k = min(int(ua), len(pa) - 1)
    return (first + ua) * scale, ub * scale, blend(pa[k].tolist(), ua - k)


def _finished(run: _Run) -> Complexes:
    """Return the pieces of a run cut and prolonged as its joins decided."""
    z, n = run.pieces, float(len(run.pieces))
    if run.cut_in > 0.0 or run.cut_out < n:
        if not run.cut_in < run.cut_out:
            at: Point = (run.first.real, run.first.imag)
            raise CurveError(
                "offset",
                "the edge disappears between its neighbours",
                at=at,
                distance_mm=run.distance,
            )
        z = part(z, run.cut_in, run.cut_out)
    return _prolonged(z, run.head, run.tail)


def _prolonged(z: Complexes, head: tuple[complex, ...], tail: tuple[complex, ...]) -> Complexes:
    """Return `z` with straight segments added along the points of its head and its tail.

    An end segment that is straight itself is made longer instead; `z` may be changed in place.
    """
    parts = [z]
    for p in reversed(head):
        first = parts[0][0].tolist()
        if abs(first[0] - p) <= JOIN_MM:
            parts[0][0, 0] = p
        elif _goes_on(p, first):
            parts[0][0] = straight(p, first[3])
        else:
            parts.insert(0, straight(p, first[0]))
    for p in tail:
        last = parts[-1][-1].tolist()
        if abs(last[3] - p) <= JOIN_MM:
            parts[-1][-1, 3] = p
        elif _goes_on(p, last[::-1]):
            parts[-1][-1] = straight(last[0], p)
        else:
            parts.append(straight(last[3], p))
    return np.concatenate(parts) if len(parts) > 1 else z


def _goes_on(p: complex, z: Sequence[complex]) -> bool:
    """Return whether the straight line from `p` to z[0] goes on as the whole segment `z`."""
    ahead = z[3] - z[0]
    bend = abs(z[0] - 2 * z[1] + z[2]) + abs(z[1] - 2 * z[2] + z[3])
    aside = abs((ahead.conjugate() * (z[0] - p)).imag)
    behind = (ahead.conjugate() * (z[0] - p)).real
    return bend <= _STRAIGHT_MM and aside <= _STRAIGHT_MM * abs(ahead) and behind > 0.0
