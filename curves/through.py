"""The smooth path through given points.

The classical cubic spline (C. de Boor, A Practical Guide to Splines, 1978, chapter IV), with the
chord length as its parameter. It is written out here because the whole of it is one small linear
system, and importing a spline library takes longer than drafting.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from outseam.curves._bernstein import complexes, to_path
from outseam.curves.errors import CurveError
from outseam.curves.path import Floats, Path
from outseam.curves.point import Point, Vector
from outseam.curves.tolerance import JOIN_MM


def through(
    points: Sequence[Point] | Floats,
    start_tangent: Vector | None = None,
    end_tangent: Vector | None = None,
) -> Path:
    """Return the path through `points` (m >= 2), one segment between each two.

    Tangent and curvature are continuous (C2 in the chord length). The tangents are directions of
    any length; an end without one is straight there (no curvature). Raises CurveError when there
    are fewer than two points, neighbours coincide, or a tangent has no length.
    """
    p = complexes(points)
    n = len(p)
    if n < 2:
        raise CurveError("through", "a path needs two points at least", given=n)
    chord = p[1:] - p[:-1]
    h = np.abs(chord)
    if not h.min() > JOIN_MM:
        i = int(h.argmin())
        raise CurveError(
            "through", "two neighbouring points coincide", at=(p[i].real, p[i].imag), index=i
        )
    # Unknown are the derivatives at the points; each row says that the second derivative is the
    # same on both sides, or at an end that the tangent is given or the second derivative is zero.
    rows = np.zeros((n, n), dtype=np.complex128)
    right = np.empty(n, dtype=np.complex128)
    inner = np.arange(1, n - 1)
    rows[inner, inner - 1] = h[1:]
    rows[inner, inner] = 2 * (h[1:] + h[:-1])
    rows[inner, inner + 1] = h[:-1]
    slope = chord / h
    right[1:-1] = 3 * (h[1:] * slope[:-1] + h[:-1] * slope[1:])
    for i, beside, tangent, own in ((0, 1, start_tangent, 0), (-1, -2, end_tangent, -1)):
        if tangent is None:
            rows[i, i], rows[i, beside], right[i] = 2.0, 1.0, 3 * slope[own]
        else:
            rows[i, i], right[i] = 1.0, _unit(tangent)
    m = np.linalg.solve(rows, right)
    third = h / 3
    return to_path(
        np.stack([p[:-1], p[:-1] + third * m[:-1], p[1:] - third * m[1:], p[1:]], axis=1)
    )


def _unit(v: Vector) -> complex:
    z = complex(*v)
    if not 0.0 < abs(z) < float("inf"):
        raise CurveError("through", "a tangent must have a direction", given=v)
    return z / abs(z)
