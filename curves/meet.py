"""Where two paths meet, and the nearest point of a path.

Both start from chords with a bound on their sag, so that no place is overlooked, and finish with
Newton steps on the cubics themselves.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import comb

import numpy as np

from outseam.curves._bernstein import (
    Complexes,
    Ints,
    blend,
    blend_velocity,
    complexes,
    controls,
    cross,
    dot,
    halved,
    restricted,
    value,
    velocity_powers,
)
from outseam.curves._chords import Chords, chords
from outseam.curves.path import Floats, Path
from outseam.curves.point import Point
from outseam.curves.tolerance import MEET_MM

#: Sag of the chords the searches start from: smaller makes more chords, larger more candidates to
#: polish. It decides on time, not on the nearest points found (the tests pass with 5 mm too).
_SEARCH_MM = 0.1

#: Crossings nearer than this to each other are one crossing that was found twice. Two tangent
#: curves leave the place of contact open by about this much.
_SAME_MM = 1e-3

_STEPS = 40

#: Change of a distance that is taken for none, a tenth of the accuracy of `nearest_many`.
_LEVEL_MM = 1e-7

_HALVINGS = 40

# From the products (control i) . (leg j) of a cubic to the Bernstein coefficients of the slope of
# half the squared length: 3 C(3, i) C(2, j) / C(5, i + j).
_QUINTIC = np.zeros((12, 6))
for _i in range(4):
    for _j in range(3):
        _QUINTIC[3 * _i + _j, _i + _j] = 3 * comb(3, _i) * comb(2, _j) / comb(5, _i + _j)


def intersections(a: Path, b: Path, accuracy: float = MEET_MM) -> tuple[tuple[float, float], ...]:
    """Return the parameters (on `a`, on `b`) of all places where the paths come within `accuracy`.

    Sorted along `a`, each place once; ends that touch count. Where the paths run along each other
    some places of the common stretch are returned.
    """
    za, zb = controls(a), controls(b)
    ca, cb = chords(za, _SEARCH_MM), chords(zb, _SEARCH_MM)
    i, j = _candidates(ca, cb, accuracy)
    found: list[tuple[float, float, complex]] = []
    for one in zip(i.tolist(), j.tolist(), strict=True):
        a_of, b_of = int(ca.segment[one[0]]), int(cb.segment[one[1]])
        pa, pb = za[a_of].tolist(), zb[b_of].tolist()
        for start in _starts(ca, cb, *one):
            ta, tb = _refined(pa, pb, *start)
            where = blend(pa, ta)
            if abs(where - blend(pb, tb)) <= accuracy:
                found.append((a_of + ta, b_of + tb, where))
    return _distinct(found, len(za) if a.closed else 0, len(zb) if b.closed else 0)


def leaving(a: Path, b: Path, accuracy: float = MEET_MM) -> tuple[float, float] | None:
    """Return where `a` first crosses `b` (parameters on both) if that is near the start of `b`.

    None where no step from there leads to a crossing in the first two segments of `b`;
    `intersections` overlooks none and takes longer.
    """
    za, zb = controls(a), controls(b)[:2]
    for i, pa in enumerate(za.tolist()):
        for j, pb in enumerate(zb.tolist()):
            ta, tb = _refined(pa, pb, 0.5, 1.0 - j)
            if abs(blend(pa, ta) - blend(pb, tb)) <= accuracy:
                return i + ta, j + tb
    return None


def nearest(path: Path, point: Point) -> tuple[float, float]:
    """Return the parameter of the point of `path` nearest to `point`, and its distance, mm."""
    u, d = nearest_many(path, np.array([point]))
    return float(u[0]), float(d[0])


def nearest_many(path: Path, points: Floats) -> tuple[Floats, Floats]:
    """Return the nearest parameters (m,) and the distances (m,), mm, of `points` (m, 2).

    The distance is the least one within 1e-6 mm.
    """
    z, w = controls(path), complexes(points)
    c = chords(z, _SEARCH_MM)
    edge = c.q - c.p
    off = w[:, None] - c.p
    squared = np.maximum(dot(edge, edge), 1e-300)
    along = np.minimum(np.maximum(dot(edge, off) / squared, 0.0), 1.0)
    away = np.abs(off - along * edge)
    row, j = np.nonzero(away - c.sag <= (away + c.sag).min(axis=1)[:, None])
    low, high = c.t0[j], c.t1[j]
    # Not from an end: where a handle is retracted the slope is zero there, dip or not.
    t = low + (0.01 + 0.98 * along[row, j]) * (high - low)
    k, row, low, high, t = _single_dips(z, w, c.segment[j], row, low, high, t)
    t = _projected(z[k], w[row], low, high, t)
    d = np.abs(value(z[k], t) - w[row])
    best = np.lexsort((d, row))[np.searchsorted(np.sort(row), np.arange(len(w)))]
    u, d = (k + t)[best], d[best]
    # Where an interval holds a farthest point, an end is nearest. The interval beyond that end has
    # it too, but beyond the ends of the path there is none.
    for end, p in ((0.0, z[0, 0]), (float(len(z)), z[-1, 3])):
        to_end = np.abs(w - p)
        nearer = to_end < d
        u, d = np.where(nearer, end, u), np.where(nearer, to_end, d)
    return u, d


def meeting_step(
    za: Sequence[complex], ta: float, zb: Sequence[complex], tb: float
) -> tuple[float, float, float]:
    """Return the steps of both parameters towards a meeting of two cubics, and the gap, mm.

    A Gauss-Newton step, damped a little so that it exists where the tangents are parallel.
    """
    gap = blend(zb, tb) - blend(za, ta)
    va, vb = blend_velocity(za, ta).conjugate(), blend_velocity(zb, tb).conjugate()
    aa, bb = abs(va) ** 2 * (1 + 1e-12) + 1e-150, abs(vb) ** 2 * (1 + 1e-12) + 1e-150
    ab = (va * vb.conjugate()).real
    ga, gb = (va * gap).real, (vb * gap).real
    over = aa * bb - ab * ab
    return (ga * bb - gb * ab) / over, (ga * ab - gb * aa) / over, abs(gap)


def _refined(
    za: Sequence[complex], zb: Sequence[complex], ta: float, tb: float
) -> tuple[float, float]:
    """Return the parameters in [0, 1] at which Newton from `ta`, `tb` comes to rest."""
    for _ in range(_STEPS):
        da, db, _gap = meeting_step(za, ta, zb, tb)
        before = ta, tb
        ta, tb = min(max(ta + da, 0.0), 1.0), min(max(tb + db, 0.0), 1.0)
        if abs(ta - before[0]) <= 1e-13 and abs(tb - before[1]) <= 1e-13:
            break
    return ta, tb


def _candidates(a: Chords, b: Chords, accuracy: float) -> tuple[Ints, Ints]:
    """Return the pairs of chords whose curves may meet.

    First the boxes around chord and sag have to overlap, then neither chord may lie wholly to one
    side of the other.
    """
    ra, rb = a.sag[:, None] + accuracy, b.sag
    xa, xb = _span(a.p.real, a.q.real), _span(b.p.real, b.q.real)
    ya, yb = _span(a.p.imag, a.q.imag), _span(b.p.imag, b.q.imag)
    reach = ra + rb
    apart = np.maximum(
        np.maximum(xa[0][:, None] - xb[1], xb[0] - xa[1][:, None]),
        np.maximum(ya[0][:, None] - yb[1], yb[0] - ya[1][:, None]),
    )
    i, j = np.nonzero(apart <= reach)
    pa, qa, pb, qb = a.p[i], a.q[i], b.p[j], b.q[j]
    near = reach[i, j]
    e, f = qa - pa, qb - pb
    low, high = _span(cross(e, pb - pa), cross(e, qb - pa))
    keep = np.maximum(low, -high) <= near * np.abs(e)
    low, high = _span(cross(f, pa - pb), cross(f, qa - pb))
    keep &= np.maximum(low, -high) <= near * np.abs(f)
    return i[keep], j[keep]


def _span(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    return np.minimum(x, y), np.maximum(x, y)


def _starts(a: Chords, b: Chords, i: int, j: int) -> list[tuple[float, float]]:
    """Return the parameters from which to look for meetings of the curves of two chords.

    The crossing of the chords is enough where the curves cannot be parallel: a curve that sags s
    over a chord of length l turns from it by less than 8 s / l. Elsewhere they may cross twice, so
    both ends of the first chord are tried too, with the places opposite on the second.
    """
    p, e = complex(a.p[i]), complex(a.q[i] - a.p[i])
    q, f = complex(b.p[j]), complex(b.q[j] - b.p[j])
    over, length_e, length_f = (e.conjugate() * f).imag, abs(e) + 1e-150, abs(f) + 1e-150
    starts = []
    if over:
        across = ((q - p).conjugate() * f).imag / over, ((q - p).conjugate() * e).imag / over
        starts.append(across)
    turned = 8 * (float(a.sag[i]) / length_e + float(b.sag[j]) / length_f)
    if abs(over) <= (turned + 1e-3) * length_e * length_f:
        for s, at in ((0.0, p), (1.0, p + e)):
            starts.append((s, (f.conjugate() * (at - q)).real / length_f**2))
    (a0, a1), (b0, b1) = (float(a.t0[i]), float(a.t1[i])), (float(b.t0[j]), float(b.t1[j]))
    # Not quite at the ends, where a retracted handle would leave no step to take.
    return [
        (a0 + (a1 - a0) * min(max(s, 1e-3), 0.999), b0 + (b1 - b0) * min(max(t, 1e-3), 0.999))
        for s, t in starts
    ]


def _distinct(
    found: list[tuple[float, float, complex]], around_a: int, around_b: int
) -> tuple[tuple[float, float], ...]:
    """Return the meetings sorted along `a` without those that repeat an earlier one.

    On a closed path of `around` segments the parameter `around` is the parameter 0.
    """
    kept: list[tuple[float, float, complex]] = []
    for x, y, z in sorted(found, key=lambda f: f[:2]):
        if not any(
            abs(z - z0) <= _SAME_MM and _close(x, x0, around_a) and _close(y, y0, around_b)
            for x0, y0, z0 in kept
        ):
            kept.append((x, y, z))
    return tuple((x, y) for x, y, _ in kept)


def _close(u: float, v: float, around: int) -> bool:
    """Return whether two parameters of the same place belong to the same pass of the path."""
    d = abs(u - v)
    return min(d, around - d if around else d) <= 0.25


def _single_dips(
    z: Complexes, w: Complexes, k: Ints, row: Ints, low: Floats, high: Floats, t: Floats
) -> tuple[Ints, Ints, Floats, Floats, Floats]:
    """Return segments, rows of `w`, intervals with one extreme of the distance, starts in them.

    The slope of half the squared distance is a quintic. The sign changes of its Bernstein
    coefficients bound its roots, so an interval with more than one change is halved.
    """
    off = restricted(z[k], low, high) - w[row][:, None]
    kept = []
    for _ in range(_HALVINGS):
        leg = off[:, 1:] - off[:, :-1]
        slope = (off[:, :, None].conj() * leg[:, None, :]).real.reshape(-1, 12) @ _QUINTIC
        up = slope > 0
        many = (up[:, 1:] != up[:, :-1]).sum(axis=1) > 1
        # Where the distance hardly changes, or the piece is no longer than a rounding, any
        # parameter will do.
        many &= np.abs(slope).max(axis=1) > _LEVEL_MM * np.abs(off[:, 0])
        many &= np.abs(leg).sum(axis=1) > _LEVEL_MM
        if not many.any():
            break
        one = ~many
        kept.append((k[one], row[one], low[one], high[one], t[one]))
        off = halved(off[many])
        k, row = np.repeat(k[many], 2), np.repeat(row[many], 2)
        middle = (low[many] + high[many]) / 2
        low = np.stack([low[many], middle], axis=1).ravel()
        high = np.stack([middle, high[many]], axis=1).ravel()
        t = (low + high) / 2
    if not kept:
        return k, row, low, high, t
    kept.append((k, row, low, high, t))
    k, row = (np.concatenate([x[i] for x in kept]) for i in (0, 1))
    low, high, t = (np.concatenate([x[i] for x in kept]) for i in (2, 3, 4))
    return k, row, low, high, t


def _projected(z: Complexes, w: Complexes, first: Floats, last: Floats, t: Floats) -> Floats:
    """Return where in [first, last] the cubics `z` (m, 4) are nearest to `w` (m,), from `t`.

    Newton on half the squared distance, kept between parameters where its slope has unlike signs.
    """
    low, high = first, last
    a, b, c = velocity_powers(z)
    a3, b2, a2, off0 = a / 3, b / 2, 2 * a, z[:, 0] - w
    still = 1e-9 / (np.abs(z[:, 1:] - z[:, :-1]).max(axis=1) * 3)
    for _ in range(_STEPS):
        off = ((a3 * t + b2) * t + c) * t + off0
        v = (a * t + b) * t + c
        slope = dot(off, v)
        rise = dot(v, v) + dot(off, a2 * t + b)
        left = slope > 0
        high, low = np.where(left, t, high), np.where(left, low, t)
        # Where the distance bends the wrong way, the far end is tried.
        step = t - np.where(rise > 0, slope, np.copysign(2.0, slope)) / np.where(rise > 0, rise, 1)
        # A bracket end that was tried before is not tried again.
        again = ((step <= low) & (low > first)) | ((step >= high) & (high < last))
        new = np.where(again, (low + high) / 2, np.minimum(np.maximum(step, low), high))
        new = np.where(np.abs(step - t) <= still, t, new)
        if (np.abs(new - t) <= still).all():
            break
        t = new
    return t
