"""Where a pocket lies in its picture, and where a word goes in it."""

from __future__ import annotations

import numpy as np
import shapely

from outseam.cli.sewing.canvas import (
    HIGH_MM,
    ClothView,
    area_of,
    fitted,
)
from outseam.curves.path import Floats


def well_inside(shape: Floats, share: float) -> tuple[float, float]:
    """Return a place well inside a shape at a share of its height."""
    y = float(shape[:, 1].min() + share * np.ptp(shape[:, 1]))
    ray = shapely.LineString([(-500.0, y), (500.0, y)])
    part = shapely.get_parts(area_of(shape).intersection(ray))[0]
    x0, _, x1, _ = part.bounds
    return x0 + 0.75 * (x1 - x0), y


def pocket_view(*shapes: Floats) -> ClothView:
    """Return the view that leaves room for words at the right."""
    return fitted(shapes, (4.0, 42.0, 2.0, HIGH_MM - 2.0))
