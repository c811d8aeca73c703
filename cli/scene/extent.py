"""What the items of a scene occupy: straight segments, polylines and the boxes of labels."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from outseam.cli.scene.scene import Label
from outseam.cli.scene.text import text_width_mm
from outseam.curves.path import Floats, Path
from outseam.curves.region import flatten_all

#: How far a polyline may lie from its curve here: finer than the finest line is wide, and all that
#: is asked of it is which page a line touches.
_FLAT_MM = 0.1

#: How far a segment's handles may lie from its thirds and still be written as a straight line.
STRAIGHT_MM = 1e-5

#: Ascent and descent of the shipped font in em, as its head table has them for letters and digits.
_ASCENT_EM, _DESCENT_EM = 0.93, 0.24


def straight_segments(path: Path) -> NDArray[np.bool_]:
    """Return which segments, shape (n,), are straight lines with handles at their thirds."""
    c = path.cubics
    off = np.maximum(
        np.abs(c[:, 1] - (2 * c[:, 0] + c[:, 3]) / 3), np.abs(c[:, 2] - (c[:, 0] + 2 * c[:, 3]) / 3)
    )
    return np.asarray(off.max(axis=1) < STRAIGHT_MM)


def is_straight(controls: Sequence[float]) -> bool:
    """Say the same of one segment, given as the eight numbers of its control points."""
    ax, ay, bx, by, cx, cy, dx, dy = controls
    off = max(
        abs(3 * bx - 2 * ax - dx),
        abs(3 * by - 2 * ay - dy),
        abs(3 * cx - ax - 2 * dx),
        abs(3 * cy - ay - 2 * dy),
    )
    return off < 3 * STRAIGHT_MM


def path_points(paths: Sequence[Path]) -> tuple[Floats, ...]:
    """Return each path as polyline points, shape (m, 2), mm; many cost little more than one."""
    return flatten_all(paths, _FLAT_MM) if paths else ()


def label_corners(label: Label) -> Floats:
    """Return the four corners, shape (4, 2), of the box a label's text fills when drawn."""
    width = text_width_mm(label.text, label.size_mm)
    left = {"start": 0.0, "middle": -width / 2, "end": -width}[label.anchor]
    low, high = -_DESCENT_EM * label.size_mm, _ASCENT_EM * label.size_mm
    box = np.array([[left, low], [left + width, low], [left + width, high], [left, high]])
    s, c = math.sin(math.radians(label.angle_deg)), math.cos(math.radians(label.angle_deg))
    return np.asarray(box @ np.array([[c, s], [-s, c]]) + label.at)
