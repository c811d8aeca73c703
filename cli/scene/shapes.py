"""Plain figures as paths: what many drawings are made of."""

from __future__ import annotations

import math

from outseam.curves.path import Path, path, polyline
from outseam.curves.point import Point, Vector, unit

#: Handle length of a quarter circle in radii: 4/3 (sqrt 2 - 1), as near as a cubic comes to it.
QUARTER = 4.0 / 3.0 * (math.sqrt(2.0) - 1.0)


def rectangle(x0: float, y0: float, x1: float, y1: float) -> Path:
    """Return the closed rectangle between two opposite corners."""
    return polyline([(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)])


def ellipse(centre: Point, rx: float, ry: float) -> Path:
    """Return a closed upright ellipse of four segments; it lies within 0.03 % of the true one."""
    (x, y), a, b = centre, rx * QUARTER, ry * QUARTER
    e, n, w, s = (x + rx, y), (x, y + ry), (x - rx, y), (x, y - ry)
    return path(
        [
            [e, (e[0], y + b), (x + a, n[1]), n],
            [n, (x - a, n[1]), (w[0], y + b), w],
            [w, (w[0], y - b), (x - a, s[1]), s],
            [s, (x + a, s[1]), (e[0], y - b), e],
        ]
    )


def arrow_head(
    tip: Point, toward: Vector, size_mm: float, *, spread: float = 0.34, closed: bool = True
) -> Path:
    """Return an arrow head that points along a direction; each side is `spread` of its length."""
    ux, uy = unit(toward)
    x, y = tip[0] - ux * size_mm, tip[1] - uy * size_mm
    half = spread * size_mm
    left, right = (x - uy * half, y + ux * half), (x + uy * half, y - ux * half)
    return polyline([left, tip, right, left] if closed else [left, tip, right])
