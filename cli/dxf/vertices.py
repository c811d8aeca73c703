"""Curves as the vertices of a broken line, each a turn or a point on a curve."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from outseam.curves.path import Floats, Path
from outseam.curves.region import flatten

#: The broken line lies within this of the curve: half the width of a fine blade.
FLAT_MM = 0.05

#: Where the direction changes by more than this, the blade turns.
TURN_DEG = 3.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Vertices:
    """Points, shape (m, 2), mm, and which of them are turns, shape (m,); the rest lie on curves.

    A closed line does not repeat its first point.
    """

    points: Floats
    turns: NDArray[np.bool_]
    closed: bool


def vertices(path: Path) -> Vertices:
    """Break a path into straight lines no further than `FLAT_MM` from it."""
    points = flatten(path, FLAT_MM)
    cubics = path.cubics
    corners = [cubics[0, 0], *cubics[:-1, 3][_bends(cubics)], cubics[-1, 3]]
    if path.closed:
        points = points[:-1]
        corners = corners[1:-1] + (
            [cubics[0, 0]] if _turned(path.end_direction, path.start_direction) else []
        )
    turns = np.zeros(len(points), dtype=bool)
    for corner in corners:
        turns |= np.abs(points - corner).max(axis=1) < 1e-9
    return Vertices(points=points, turns=turns, closed=path.closed)


def _bends(cubics: Floats) -> NDArray[np.bool_]:
    """Return at which joints, shape (n - 1,), the direction changes."""
    ends = [Path(c[None]).end_direction for c in cubics[:-1]]
    starts = [Path(c[None]).start_direction for c in cubics[1:]]
    return np.array([_turned(a, b) for a, b in zip(ends, starts, strict=True)], dtype=bool)


def _turned(a: tuple[float, float], b: tuple[float, float]) -> bool:
    return a[0] * b[0] + a[1] * b[1] < math.cos(math.radians(TURN_DEG))
