"""Paths as the text of an SVG path, quickly: for a screen a tenth of a millimetre is plenty."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from outseam.curves.path import Path

_SEGMENT = "C%.1f %.1f %.1f %.1f %.1f %.1f"


def path_data(path: Path, height_mm: float) -> str:
    """Return SVG path data, y down from a sheet's top at `height_mm`."""
    return cubics_data(path.cubics * (1.0, -1.0) + (0.0, height_mm), closed=path.closed)


def cubics_data(cubics: NDArray[np.float64], *, closed: bool = False) -> str:
    """Return SVG path data of Bezier segments (n, 4, 2) that follow each other, y down."""
    x, y = cubics[0, 0].tolist()
    body = _SEGMENT * len(cubics) % tuple(cubics[:, 1:].ravel().tolist())
    return f"M{x:.1f} {y:.1f}{body}{'Z' if closed else ''}"


def points_data(points: NDArray[np.float64], *, closed: bool = False) -> str:
    """Return SVG path data of straight lines through points (n, 2), y down."""
    body = ("L%.1f %.1f" * len(points) % tuple(points.ravel().tolist()))[1:]
    return f"M{body}{'Z' if closed else ''}"


def joined(parts: Iterable[str]) -> str:
    """Return several paths as one."""
    return "".join(parts)
