"""Where a sheet is free: used to put page numbers and joining marks where nothing stands."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from outseam.cli.paper.grid import Shapes
from outseam.curves.path import Floats

#: Side of a cell. A mark keeps up to this much more distance than it needs.
_CELL_MM = 3.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Occupancy:
    """Which cells of a sheet have something drawn in them.

    `table[j, i]` counts those below row j and left of column i.
    """

    table: NDArray[np.int32]

    def taken(self, boxes: Floats) -> NDArray[np.int32]:
        """Return how many of them lie in each box, shape (n, 4): x0, y0, x1, y1 in mm."""
        low = np.floor(boxes[:, :2] / _CELL_MM).astype(int)
        high = np.floor(boxes[:, 2:] / _CELL_MM).astype(int) + 1
        limit = (self.table.shape[1] - 1, self.table.shape[0] - 1)
        (x0, y0), (x1, y1) = np.clip(low, 0, limit).T, np.clip(high, 0, limit).T
        t = self.table
        return np.asarray(t[y1, x1] - t[y0, x1] - t[y1, x0] + t[y0, x0])


def occupancy_of(shapes: Shapes, width_mm: float, height_mm: float) -> Occupancy:
    """Return where a sheet's lines and labels lie, to a cell of a few millimetres."""
    shape = (int(height_mm / _CELL_MM) + 1, int(width_mm / _CELL_MM) + 1)
    points = [_filled(shapely.get_coordinates(label)[:4]) for label in shapes.labels]
    points.append(shapely.get_coordinates(shapely.segmentize(shapes.lines, _CELL_MM / 2)))
    x, y = np.floor(np.concatenate(points).T / _CELL_MM).astype(np.intp)
    inside = (x >= 0) & (y >= 0) & (x < shape[1]) & (y < shape[0])
    table = np.zeros((shape[0] + 1, shape[1] + 1), dtype=np.int32)
    table[y[inside] + 1, x[inside] + 1] = 1
    table.cumsum(axis=0, out=table).cumsum(axis=1, out=table)
    return Occupancy(table=table)


def _filled(corners: Floats) -> Floats:
    """Return points all over a rectangle, closer than half a cell."""
    along, up = corners[1] - corners[0], corners[3] - corners[0]
    n, m = (2 + int(np.hypot(*side) / (_CELL_MM / 2)) for side in (along, up))
    a, b = np.linspace(0, 1, n)[:, None, None], np.linspace(0, 1, m)[None, :, None]
    return np.asarray((corners[0] + a * along + b * up).reshape(-1, 2))
