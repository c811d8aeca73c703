"""How a piece lies on the fabric: face up or down, turned, and where that puts its points.

Turn 0 lays the garment's up (piece y) along the fabric's length (cloth x), away from the cut end;
further turns are counter-clockwise as seen from above. Face down is the mirror image.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from outseam.curves.path import Path, join
from outseam.curves.point import Point
from outseam.curves.region import flatten
from outseam.draft.fabric import Fabric
from outseam.draft.piece.piece import Piece
from outseam.draft.piece.shrinkage import grown

Floats = NDArray[np.float64]
Face: TypeAlias = Literal["up", "down"]
Turn: TypeAlias = Literal[0, 90, 180, 270]

#: Outlines are broken into lines this close to the curve; positions are worked out on those.
OUTLINE_MM = 0.05

#: x = m * px + n * py for cloth x and y, before the piece is moved: rows by turn.
_MATRIX: dict[Turn, tuple[tuple[float, float], tuple[float, float]]] = {
    0: ((0.0, 1.0), (-1.0, 0.0)),
    90: ((1.0, 0.0), (0.0, 1.0)),
    180: ((0.0, -1.0), (1.0, 0.0)),
    270: ((-1.0, 0.0), (0.0, -1.0)),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Lie:
    """Face and turn of a piece, and what moves its own origin to its place on the fabric, mm."""

    face: Face = "up"
    turn_deg: Turn = 0
    dx_mm: float = 0.0
    dy_mm: float = 0.0

    @property
    def coefficients(self) -> tuple[float, float, float, float, float, float]:
        """The map from piece to cloth as `Path.mapped` takes it."""
        (m, n), (p, q) = _MATRIX[self.turn_deg]
        mirror = 1.0 if self.face == "up" else -1.0
        return m * mirror, p * mirror, n, q, self.dx_mm, self.dy_mm

    def path(self, path: Path) -> Path:
        """Return a path of the piece as it lies on the fabric."""
        return path.mapped(*self.coefficients)

    def points(self, points: Floats | Sequence[Point]) -> Floats:
        """Return points (m, 2) of the piece as they lie on the fabric."""
        a, b, c, d, e, f = self.coefficients
        x, y = np.asarray(points, dtype=np.float64).T
        return np.stack([a * x + c * y + e, b * x + d * y + f], axis=1)

    def moved(self, dx_mm: float, dy_mm: float) -> Lie:
        """Return the same lie moved on the fabric, the same however many moves it takes."""
        return replace(self, dx_mm=round(self.dx_mm + dx_mm, 6), dy_mm=round(self.dy_mm + dy_mm, 6))


def as_cut(piece: Piece, fabric: Fabric, turn_deg: Turn) -> Piece:
    """Return a piece grown for the shrinkage of the direction in which it is laid.

    A piece turned a quarter lies with its height across the fabric, which shrinks differently.
    """
    across, along = fabric.shrink_across, fabric.shrink_along
    if turn_deg in (90, 270):
        across, along = along, across
    return grown(piece, Fabric(shrink_across=across, shrink_along=along))


def outline_of_cut(piece: Piece) -> Floats:
    """Return the cutting line as corners (m, 2), counter-clockwise, not repeated at the end."""
    points: Floats = flatten(join(list(piece.cut)), OUTLINE_MM)[:-1]
    apart = np.abs(points - np.roll(points, 1, axis=0)).max(axis=1) > 1e-9
    kept: Floats = points[apart]
    return kept


def is_symmetric(piece: Piece, tolerance_mm: float = 0.1) -> bool:
    """Return whether the cutting line is its own mirror image in an upright line."""
    from shapely import Polygon

    points = outline_of_cut(piece)
    middle = points[:, 0].min() + points[:, 0].max()
    shape = Polygon(points)
    other = Polygon(np.stack([middle - points[:, 0], points[:, 1]], axis=1))
    return bool(shape.hausdorff_distance(other) <= tolerance_mm)
