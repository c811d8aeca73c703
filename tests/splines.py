"""The smooth path through given points, as scipy draws it: edges like those of a pattern."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from scipy.interpolate import CubicSpline

from outseam.curves.path import Floats, Path, path
from outseam.curves.point import Point, Vector


def through(
    points: Sequence[Point] | Floats,
    start_tangent: Vector | None = None,
    end_tangent: Vector | None = None,
) -> Path:
    """One segment between each two points, along the length of the chords; an end without a
    tangent is straight there."""
    p = np.asarray(points, dtype=float)
    at = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(p, axis=0).T))])
    ends: list[Any] = [
        (2, np.zeros(2)) if t is None else (1, np.array(t) / np.hypot(*t))
        for t in (start_tangent, end_tangent)
    ]
    slope = CubicSpline(at, p, bc_type=tuple(ends))(at, 1)
    third = np.diff(at)[:, None] / 3.0
    inner = (p[:-1] + third * slope[:-1], p[1:] - third * slope[1:])
    return path(np.stack([p[:-1], *inner, p[1:]], axis=1))
