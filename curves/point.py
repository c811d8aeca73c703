"""Points and directions of the plane: plain pairs of floats, millimetres, x right and y up."""

from __future__ import annotations

import math
from typing import TypeAlias

Point: TypeAlias = tuple[float, float]
Vector: TypeAlias = tuple[float, float]


def unit(v: Vector) -> Vector:
    """Return `v` scaled to length one. Raises ZeroDivisionError for the zero vector."""
    n = math.hypot(v[0], v[1])
    return v[0] / n, v[1] / n


def left_of(v: Vector) -> Vector:
    """Return `v` turned a quarter turn counter-clockwise."""
    return -v[1], v[0]


def right_of(v: Vector) -> Vector:
    """Return `v` turned a quarter turn clockwise: outward along a counter-clockwise outline."""
    return v[1], -v[0]


def turn(u: Vector, v: Vector) -> float:
    """Return the signed angle from direction `u` to direction `v`, radians, counter-clockwise."""
    return math.atan2(u[0] * v[1] - u[1] * v[0], u[0] * v[0] + u[1] * v[1])
