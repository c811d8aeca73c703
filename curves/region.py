"""What a path encloses: area, bounds, containment; and the polyline that stands for it.

Shapely judges what only a polygon can answer. It is imported where it is used, because most
commands never ask and its start-up costs more than a draft.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from outseam.curves._bernstein import controls, pairs, value
from outseam.curves._chords import chords
from outseam.curves.errors import CurveError
from outseam.curves.path import Floats, Path
from outseam.curves.tolerance import FLATTEN_MM

if TYPE_CHECKING:
    from shapely import Polygon

# Twice the area swept by one cubic from the origin, as weights of the cross products of its
# controls i < j: the integrals of B_i B_j' - B_j B_i' over [0, 1].
_SWEPT = (
    np.array([[0, 6, 3, 1], [-6, 0, 3, 3], [-3, -3, 0, 6], [-1, -3, -6, 0]], dtype=np.complex128)
    / 20
)


def area(path: Path) -> float:
    """Return the area, mm², enclosed by a closed path; positive when it runs counter-clockwise.

    Exact but for rounding. Where a path goes round a place twice, the place counts twice. Raises
    CurveError when the path is not closed.
    """
    _closed("area", path)
    z = controls(path)
    z = z - z[0, 0]
    return float(np.vdot(z, z @ _SWEPT.T).imag) / 2


def flatten(path: Path, tolerance: float = FLATTEN_MM) -> Floats:
    """Return points (m, 2), from start to end, whose polyline is within `tolerance` mm of `path`.

    All joints are among them. A closed path gives its first point again as the last.
    """
    z = controls(path)
    return pairs(np.append(chords(z, tolerance).p, z[-1, 3]))


def flatten_all(paths: Sequence[Path], tolerance: float = FLATTEN_MM) -> tuple[Floats, ...]:
    """Return `flatten` of every path, worked out together: many short paths cost as one.

    The results are views of one array, in which they follow each other.
    """
    count = [len(p) for p in paths]
    z = np.concatenate([controls(p) for p in paths])
    found = chords(z, tolerance)
    # Behind the starts of a path's chords comes its end: one more point for each path.
    owner = np.repeat(np.arange(len(paths)), count)[found.segment]
    points = np.empty(len(found.p) + len(paths), dtype=np.complex128)
    points[np.arange(len(owner)) + owner] = found.p
    ends = np.bincount(owner).cumsum() + np.arange(len(paths))
    points[ends] = z[np.cumsum(count) - 1, 3]
    xy = pairs(points)
    return tuple(xy[a:b] for a, b in pairwise([0, *(ends + 1).tolist()]))


def bounds(*paths: Path) -> tuple[float, float, float, float]:
    """Return xmin, ymin, xmax, ymax, mm, of one or more curves themselves (not of handles)."""
    c = paths[0].cubics if len(paths) == 1 else np.concatenate([p.cubics for p in paths])
    low, high = c.min(axis=(0, 1)), c.max(axis=(0, 1))
    ends = c[:, (0, 3)]
    inner_low, inner_high = ends.min(axis=(0, 1)), ends.max(axis=(0, 1))
    if (low < inner_low).any() or (high > inner_high).any():
        z = c.view(np.complex128)[..., 0]
        t = _turning_params(c)
        p = pairs(value(np.repeat(z, t.shape[1], axis=0), t.ravel()))
        inner_low = np.minimum(inner_low, p.min(axis=0))
        inner_high = np.maximum(inner_high, p.max(axis=0))
    return (*inner_low.tolist(), *inner_high.tolist())


def polygon(path: Path, tolerance: float = FLATTEN_MM) -> Polygon:
    """Return the shapely polygon of a closed path, within `tolerance` mm. May be invalid.

    Raises CurveError when the path is not closed.
    """
    from shapely import Polygon

    _closed("polygon", path)
    return Polygon(flatten(path, tolerance)[:-1])


def is_simple(path: Path, tolerance: float = FLATTEN_MM) -> bool:
    """Return whether the path does not touch or cross itself, judged on its polyline.

    Crossings shallower than `tolerance` may pass unseen.
    """
    from shapely import LinearRing, LineString

    points = flatten(path, tolerance)
    if path.closed:
        return bool(LinearRing(points[:-1]).is_simple)
    return bool(LineString(points).is_simple)


def _turning_params(c: Floats) -> Floats:
    """Return the parameters (n, 4) where x or y of the cubics (n, 4, 2) turns; 0 where none."""
    d = c[:, 1:] - c[:, :-1]
    a, b, e = d[:, 0] - 2 * d[:, 1] + d[:, 2], d[:, 1] - d[:, 0], d[:, 0]
    # a t^2 + 2 b t + e = 0 by the form that does not cancel.
    q = -(b + np.copysign(np.sqrt(np.maximum(b * b - a * e, 0.0)), b))
    with np.errstate(divide="ignore", invalid="ignore"):
        t = np.concatenate([q / a, e / q], axis=1)
    # Any parameter gives a point of the curve, so a wrong root does no harm; not a number would.
    return np.where((t > 0.0) & (t < 1.0), t, 0.0)


def _closed(what: str, path: Path) -> None:
    if not path.closed:
        raise CurveError(what, "the path is not closed", start=path.start, end=path.end)
