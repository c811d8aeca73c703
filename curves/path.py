"""A path: cubic Bézier segments joined end to end, in millimetres.

One representation for everything that is drawn: a straight line is a cubic whose handles lie at
its thirds, so that every operation is one vectorised formula over an array of shape (n, 4, 2).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from outseam.curves.errors import CurveError
from outseam.curves.point import Point, Vector, unit
from outseam.curves.tolerance import JOIN_MM

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Path:
    """Segments as a read-only array (n, 4, 2): start, two handles, end of each; n >= 1.

    Consecutive segments share their joint exactly. Parameters along a path run from 0 to n, the
    whole part naming the segment. Build one with the functions of this module or `through`.
    `known` is what others have worked out about it, by their own keys: a path never changes.
    """

    cubics: Floats
    known: dict[str, Any] = field(default_factory=dict, repr=False)

    @property
    def start(self) -> Point:
        """First point."""
        c = self.cubics
        return float(c[0, 0, 0]), float(c[0, 0, 1])

    @property
    def end(self) -> Point:
        """Last point."""
        c = self.cubics
        return float(c[-1, 3, 0]), float(c[-1, 3, 1])

    @property
    def closed(self) -> bool:
        """Whether the path ends where it starts."""
        (ax, ay), (bx, by) = self.start, self.end
        return abs(ax - bx) <= JOIN_MM and abs(ay - by) <= JOIN_MM

    @property
    def start_direction(self) -> Vector:
        """Unit tangent at the first point. The first handle must be away from it."""
        c = self.cubics[0]
        return _direction(c[0], c[1], c[2], c[3])

    @property
    def end_direction(self) -> Vector:
        """Unit tangent at the last point."""
        c = self.cubics[-1]
        x, y = _direction(c[3], c[2], c[1], c[0])
        return -x, -y

    def __len__(self) -> int:
        return len(self.cubics)

    def reversed(self) -> Path:
        """Return the same path walked the other way."""
        return _path(self.cubics[::-1, ::-1, :])

    def moved(self, dx: float, dy: float) -> Path:
        """Return the path translated by (dx, dy) mm."""
        return _path(self.cubics + np.array((dx, dy)))

    def mapped(
        self, a: float, b: float, c: float, d: float, e: float = 0.0, f: float = 0.0
    ) -> Path:
        """Return the path under x' = a x + c y + e, y' = b x + d y + f (cubics map exactly)."""
        x, y = self.cubics[..., 0], self.cubics[..., 1]
        return _path(np.stack([a * x + c * y + e, b * x + d * y + f], axis=-1))

    def turned(self, angle_rad: float) -> Path:
        """Return the path turned counter-clockwise about the origin."""
        s, c = float(np.sin(angle_rad)), float(np.cos(angle_rad))
        return self.mapped(c, s, -s, c)

    def mirrored(self, p: Point, q: Point) -> Path:
        """Return the mirror image in the line through `p` and `q`."""
        ux, uy = unit((q[0] - p[0], q[1] - p[1]))
        a, b = 2 * ux * ux - 1, 2 * ux * uy
        return self.mapped(a, b, b, -a, p[0] - a * p[0] - b * p[1], p[1] - b * p[0] + a * p[1])


def _direction(*points: Floats) -> Vector:
    """Return the direction from the first point to the next one that differs from it."""
    x, y = float(points[0][0]), float(points[0][1])
    for q in points[1:]:
        dx, dy = float(q[0]) - x, float(q[1]) - y
        if dx * dx + dy * dy > JOIN_MM * JOIN_MM:
            return unit((dx, dy))
    raise CurveError("direction", "the segment has no length", at=(x, y))


def _path(cubics: Floats) -> Path:
    """Wrap an array without checking it."""
    c = np.ascontiguousarray(cubics)
    c.setflags(write=False)
    return Path(c)


def path(cubics: Floats | Sequence[object]) -> Path:
    """Return a checked path from segments of shape (n, 4, 2).

    Raises CurveError when a number is not finite, there is no segment, or joints do not meet.
    """
    c = np.array(cubics, dtype=np.float64)
    if c.ndim != 3 or c.shape[1:] != (4, 2) or not len(c):
        raise CurveError("path", "segments must have shape (n, 4, 2)", shape=c.shape)
    return _chained(c)


def _chained(c: Floats) -> Path:
    """Return segments `c` as a checked path; their joints are made exact in place."""
    _check_finite("path", c)
    if len(c) > 1:
        gap = np.abs(c[1:, 0] - c[:-1, 3]).max()
        if gap > JOIN_MM:
            raise CurveError("path", "segments do not meet", gap_mm=float(gap))
        c[1:, 0] = c[:-1, 3]
    return _path(c)


def line(p: Point, q: Point) -> Path:
    """Return the straight path from `p` to `q`. Raises CurveError for a number not finite."""
    dx, dy = (q[0] - p[0]) / 3.0, (q[1] - p[1]) / 3.0
    if not (math.isfinite(p[0] + dx) and math.isfinite(p[1] + dy)):
        raise CurveError("line", _NOT_FINITE)
    c = [p[0], p[1], p[0] + dx, p[1] + dy, q[0] - dx, q[1] - dy, q[0], q[1]]
    return _path(np.array(c, dtype=np.float64).reshape(1, 4, 2))


def polyline(points: Sequence[Point] | Floats) -> Path:
    """Return straight segments through `points` (m >= 2). Raises CurveError as `path`."""
    p = np.asarray(points, dtype=np.float64)
    if p.ndim != 2 or p.shape[1] != 2 or len(p) < 2:
        raise CurveError("polyline", "points must have shape (m >= 2, 2)", shape=p.shape)
    _check_finite("polyline", p)
    a, b = p[:-1], p[1:]
    third = (b - a) / 3.0
    return _path(np.stack([a, a + third, b - third, b], axis=1))


_NOT_FINITE = "a coordinate is not a finite number"


def _check_finite(what: str, c: Floats) -> None:
    if not np.isfinite(c).all():
        raise CurveError(what, _NOT_FINITE)


def cubic(p0: Point, p1: Point, p2: Point, p3: Point) -> Path:
    """Return one cubic with handles `p1` and `p2`."""
    return path([[p0, p1, p2, p3]])


def join(paths: Sequence[Path]) -> Path:
    """Return the paths chained; each must start where the one before ends."""
    if len(paths) == 1:
        _check_finite("path", paths[0].cubics)
        return paths[0]
    return _chained(np.concatenate([p.cubics for p in paths]))
