"""Points, directions and curvatures at parameters of a path, and one cubic from its end data.

The parameter `u` runs from 0 to the number of segments; at a joint the segment that leaves it is
meant. Every function raises CurveError when `u` is outside.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from outseam.curves._bernstein import (
    SNAP,
    Complexes,
    acceleration,
    blend,
    blend_velocity,
    controls,
    cross,
    located,
    pairs,
    value,
    velocity,
)
from outseam.curves.errors import CurveError
from outseam.curves.path import Floats, Path, cubic
from outseam.curves.point import Point, Vector

#: Below this fraction of the size of a segment its velocity is taken for zero and the direction
#: from the next derivative: far above rounding (1e-16), far below any handle that is drawn.
_STILL_RATIO = 1e-9


def points_at(path: Path, u: Floats | Sequence[float]) -> Floats:
    """Return the points (m, 2), mm, at the parameters `u` (m,)."""
    k, t = located(len(path.cubics), np.asarray(u, dtype=np.float64))
    return pairs(value(controls(path)[k], t))


def point_at(path: Path, u: float) -> Point:
    """Return the point at parameter `u`."""
    z, t = _segment(path, u)
    p = blend(z, t)
    return p.real, p.imag


def directions_at(path: Path, u: Floats | Sequence[float]) -> Floats:
    """Return the unit tangents (m, 2) at the parameters `u` (m,).

    Where the velocity is zero (a retracted handle, a cusp) it is the direction in which the path
    goes on, at the end of the path the one in which it arrived.
    """
    k, t = located(len(path.cubics), np.asarray(u, dtype=np.float64))
    return pairs(directions(controls(path)[k], t))


def direction_at(path: Path, u: float) -> Vector:
    """Return the unit tangent at parameter `u`."""
    z, t = _segment(path, u)
    v = blend_velocity(z, t)
    if abs(v) <= _STILL_RATIO * (abs(z[3] - z[0]) + abs(z[2] - z[0])):
        x, y = directions_at(path, np.array([u]))[0].tolist()
        return x, y
    v /= abs(v)
    return v.real, v.imag


def curvatures_all(paths: Sequence[Path], us: Sequence[Floats]) -> tuple[Floats, ...]:
    """Return of every path the signed curvatures (m,) at its parameters, 1/mm.

    Positive where the path bends to the left; infinite or not a number where the velocity is zero.
    """
    places = [located(len(path.cubics), u) for path, u in zip(paths, us, strict=True)]
    z = np.concatenate([controls(p)[k] for p, (k, _) in zip(paths, places, strict=True)])
    t = np.concatenate([t for _, t in places])
    v = velocity(z, t)
    with np.errstate(divide="ignore", invalid="ignore"):
        out: Floats = cross(v, acceleration(z, t)) / np.abs(v) ** 3
    ends = np.cumsum([0, *map(len, us)]).tolist()
    return tuple(out[i:j] for i, j in pairwise(ends))


def cubic_hermite(
    p: Point, tangent_p: Vector, q: Point, tangent_q: Vector, handle_p: float, handle_q: float
) -> Path:
    """Return the cubic from `p` to `q` with unit tangents and handle lengths, mm, at both ends."""
    return cubic(
        p,
        (p[0] + handle_p * tangent_p[0], p[1] + handle_p * tangent_p[1]),
        (q[0] - handle_q * tangent_q[0], q[1] - handle_q * tangent_q[1]),
        q,
    )


def directions(z: Complexes, t: Floats) -> Complexes:
    """Return unit tangents of the segments `z` (m, 4) at `t` (m,), as complex numbers."""
    v = velocity(z, t)
    n = np.abs(v)
    still = n <= _STILL_RATIO * np.abs(z[:, 1:] - z[:, :1]).max(axis=1)
    if still.any():
        v = v.copy()
        v[still] = _onward(z[still], t[still])
        n = np.abs(v)
    out: Complexes = v / n
    return out


def _onward(z: Complexes, t: Floats) -> Complexes:
    """Return a vector along the path where the velocity is zero, from the next derivative.

    Leaving the point, the path follows the second derivative; arriving at t = 1, its opposite.
    Where that is zero too, the third derivative, which leads the same way on both sides.
    """
    size = np.abs(z[:, 1:] - z[:, :1]).max(axis=1)
    if not size.all():
        i = int(np.argmin(size))
        raise CurveError("direction", "the segment has no length", at=(z[i, 0].real, z[i, 0].imag))
    a = acceleration(z, t) * np.where(t >= 1.0, -1.0, 1.0)
    third = z[:, 3] - z[:, 0] - 3 * (z[:, 2] - z[:, 1])
    out: Complexes = np.where(np.abs(a) <= _STILL_RATIO * size, third, a)
    return out


def _segment(path: Path, u: float) -> tuple[list[complex], float]:
    """Return the control points of the segment that holds `u`, and the parameter in it."""
    n = len(path.cubics)
    if not -SNAP <= u <= n + SNAP:
        raise CurveError("parameter", f"a path parameter must lie in [0, {n}]", given=u)
    k = min(max(int(u), 0), n - 1)
    points: list[complex] = controls(path)[k].tolist()
    return points, min(max(u - k, 0.0), 1.0)
