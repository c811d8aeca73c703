"""Where a piece lies on paper."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from outseam.cli.paper.raster import turned
from outseam.curves.path import Floats
from outseam.draft.lay.model.placement import Turn


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """Piece number `piece`, turned counter-clockwise about the origin, then moved."""

    piece: int
    dx_mm: float
    dy_mm: float
    turn_deg: Turn

    def applied(self, points: Floats) -> Floats:
        """Return points, shape (m, 2), where the placement puts them."""
        shift = np.array([self.dx_mm, self.dy_mm])
        return np.asarray(turned(points, self.turn_deg) + shift)
