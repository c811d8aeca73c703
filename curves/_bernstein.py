"""The cubic Bézier formulas, written once and over arrays.

Inside the package a plane point is one complex number, x + iy: the controls of n segments are a
complex array (n, 4). Products then turn, `abs` measures, and `cross` and `dot` are the two halves
of one product.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

from outseam.curves.errors import CurveError
from outseam.curves.path import Floats, Path

Complexes = NDArray[np.complex128]
Ints = NDArray[np.intp]
Bools = NDArray[np.bool_]

T = TypeVar("T", complex, Complexes)

#: A parameter this close to a joint is the joint: on a metre-long segment it is a nanometre, and
#: without it rounding would leave slivers that have no direction.
SNAP = 1e-12


def controls(path: Path) -> Complexes:
    """Return the control points of `path`, (n, 4) complex, as a view."""
    c: Complexes = path.cubics.view(np.complex128)[..., 0]
    return c


def to_path(z: Complexes) -> Path:
    """Return the path with controls `z` (n, 4), whose joints are made exact in place."""
    z = np.ascontiguousarray(z)
    z[1:, 0] = z[:-1, 3]
    cubics: Floats = z.view(np.float64).reshape(-1, 4, 2)
    cubics.setflags(write=False)
    return Path(cubics)


def pairs(z: Complexes) -> Floats:
    """Return complex points (m,) as coordinates (m, 2)."""
    xy: Floats = np.ascontiguousarray(z).view(np.float64).reshape(-1, 2)
    return xy


def complexes(points: object) -> Complexes:
    """Return points (m, 2), or one point, as complex numbers (m,)."""
    xy = np.ascontiguousarray(points, dtype=np.float64).reshape(-1, 2)
    z: Complexes = xy.view(np.complex128)[:, 0]
    return z


def cross(a: Complexes, b: Complexes) -> Floats:
    """Return the cross products: positive where `b` lies to the left of `a`."""
    out: Floats = (a.conj() * b).imag
    return out


def dot(a: Complexes, b: Complexes) -> Floats:
    """Return the scalar products."""
    out: Floats = (a.conj() * b).real
    return out


# Values at the same parameters on every segment: controls (n, 4) times a matrix (4, q).


def value_matrix(t: Floats) -> Complexes:
    """Return the matrix (4, q) that takes controls to points at the parameters `t` (q,)."""
    s = 1.0 - t
    return np.array([s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t], dtype=np.complex128)


def velocity_matrix(t: Floats) -> Complexes:
    """Return the matrix (4, q) that takes controls to first derivatives."""
    s = 1.0 - t
    a, b, c = 3 * s * s, 6 * s * t, 3 * t * t
    return np.array([-a, a - b, b - c, c], dtype=np.complex128)


def acceleration_matrix(t: Floats) -> Complexes:
    """Return the matrix (4, q) that takes controls to second derivatives."""
    s = 1.0 - t
    return np.array([6 * s, 6 * t - 12 * s, 6 * s - 12 * t, 6 * t], dtype=np.complex128)


# The formulas themselves, for single complex numbers and for arrays of them alike.


def blend(z: Sequence[T], t: Any) -> T:
    """Return the point at `t` of the cubic with controls `z`; exact at 0 and 1."""
    a, b, c, d = z
    s = 1.0 - t
    return cast(T, ((a * s + 3 * t * b) * s + 3 * t * t * c) * s + t * t * t * d)


def blend_velocity(z: Sequence[T], t: Any) -> T:
    """Return the first derivative at `t`."""
    a, b, c, d = z
    s = 1.0 - t
    return cast(T, 3 * (((b - a) * s + 2 * t * (c - b)) * s + t * t * (d - c)))


def blend_acceleration(z: Sequence[T], t: Any) -> T:
    """Return the second derivative at `t`."""
    a, b, c, d = z
    return cast(T, 6 * ((a - 2 * b + c) * (1.0 - t) + (b - 2 * c + d) * t))


def blossom(z: Sequence[T], t0: Any, t1: Any) -> tuple[T, T, T, T]:
    """Return the controls of the part of a cubic from `t0` to `t1`.

    Control k of the part is the polar form at k times t1 and 3 - k times t0 (L. Ramshaw,
    Blossoming: a connect-the-dots approach to splines, 1987).
    """
    a, b, c, d = z
    s0, s1 = 1.0 - t0, 1.0 - t1
    p, q, r = a * s0 + b * t0, b * s0 + c * t0, c * s0 + d * t0
    x, y, w = a * s1 + b * t1, b * s1 + c * t1, c * s1 + d * t1
    pq, qr = p * s0 + q * t0, q * s0 + r * t0
    xy, yz = x * s1 + y * t1, y * s1 + w * t1
    return cast(
        tuple[T, T, T, T],
        (pq * s0 + qr * t0, pq * s1 + qr * t1, xy * s0 + yz * t0, xy * s1 + yz * t1),
    )


def _columns(z: Complexes) -> Sequence[Complexes]:
    return z[..., 0], z[..., 1], z[..., 2], z[..., 3]


def value(z: Complexes, t: Floats) -> Complexes:
    """Return the points at `t`; the last axis of `z` holds the controls."""
    return blend(_columns(z), t)


def velocity(z: Complexes, t: Floats) -> Complexes:
    """Return the first derivatives at `t`."""
    return blend_velocity(_columns(z), t)


def acceleration(z: Complexes, t: Floats) -> Complexes:
    """Return the second derivatives at `t`."""
    return blend_acceleration(_columns(z), t)


def velocity_powers(z: Complexes) -> tuple[Complexes, Complexes, Complexes]:
    """Return a, b, c of the first derivatives a t^2 + b t + c; the last axis of `z` is dropped."""
    d = 3 * (z[..., 1:] - z[..., :-1])
    c, e = d[..., 0], d[..., 1] - d[..., 0]
    return d[..., 2] - d[..., 1] - e, 2 * e, c


def restricted(z: Complexes, t0: Floats, t1: Floats) -> Complexes:
    """Return the controls (m, 4) of the parts from `t0` to `t1` of the segments `z` (m, 4)."""
    return np.stack(blossom(_columns(z), t0, t1), axis=1)


def part(z: Complexes, u0: float, u1: float) -> Complexes:
    """Return a copy of the controls of the part of a path from `u0` to `u1`, 0 <= u0 < u1 <= n."""
    k0 = min(int(u0 + SNAP), len(z) - 1)
    k1 = max(math.ceil(u1 - SNAP) - 1, k0)
    out = z[k0 : k1 + 1].copy()
    t0, t1 = u0 - k0, u1 - k1
    if k0 == k1:
        out[0] = blossom(out[0].tolist(), t0 if t0 > SNAP else 0.0, t1 if t1 < 1 - SNAP else 1.0)
        return out
    if t0 > SNAP:
        out[0] = blossom(out[0].tolist(), t0, 1.0)
    if t1 < 1 - SNAP:
        out[-1] = blossom(out[-1].tolist(), 0.0, t1)
    return out


_HALF_LEFT = np.array(
    [[1, 0.5, 0.25, 0.125], [0, 0.5, 0.5, 0.375], [0, 0, 0.25, 0.375], [0, 0, 0, 0.125]],
    dtype=np.complex128,
)
_HALVES = np.concatenate([_HALF_LEFT, _HALF_LEFT[::-1, ::-1]], axis=1)


def halved(z: Complexes) -> Complexes:
    """Return both halves of each segment in order along the path: (m, 4) to (2 m, 4)."""
    out: Complexes = (z @ _HALVES).reshape(-1, 4)
    return out


def straight(p: complex, q: complex) -> Complexes:
    """Return the controls (1, 4) of the straight segment from `p` to `q`."""
    return np.array([[p, p + (q - p) / 3, q + (p - q) / 3, q]], dtype=np.complex128)


def located(n: int, u: Floats) -> tuple[Ints, Floats]:
    """Return the segment numbers and the parameters in them of global parameters `u` (m,).

    A joint belongs to the segment that leaves it. Raises CurveError when one is outside [0, n].
    """
    if u.size and not (u.min() >= -SNAP and u.max() <= n + SNAP):
        raise CurveError("parameter", f"a path parameter must lie in [0, {n}]", given=u.tolist())
    k = np.minimum(np.maximum(u, 0.0), n - 1).astype(np.intp)
    return k, np.minimum(np.maximum(u - k, 0.0), 1.0)
