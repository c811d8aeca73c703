"""Room for words: which of many boxes is clear of strokes, of other words, and inside a shape.

One mechanism for all words that are put where there is room. Boxes are tried in the order of
preference, a handful at a time, so that a word that fits at once costs little.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Final, TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray

from outseam.curves.path import Floats

_Found = TypeVar("_Found")

_AT_ONCE: Final = 48
#: Long strokes are kept in bits of so many points, which an index finds quickly.
_BIT: Final = 12


def turned_boxes(centres: Floats, half: tuple[float, float], angles_deg: Floats) -> Floats:
    """Return the corners, shape (n, 4, 2), of boxes about centres (n, 2), each turned."""
    corners = np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]) * half
    turn = np.radians(np.asarray(angles_deg, dtype=float))
    c, s = np.cos(turn)[:, None], np.sin(turn)[:, None]
    x = c * corners[:, 0] - s * corners[:, 1]
    y = s * corners[:, 0] + c * corners[:, 1]
    return np.stack([x, y], axis=-1) + np.asarray(centres)[:, None, :]


class Room:
    """What is free inside a shape: strokes keep boxes away, and so do the boxes that were taken."""

    def __init__(
        self, shape: shapely.Polygon, strokes: Iterable[Floats], joints: Iterable[Floats] = ()
    ) -> None:
        """Take a shape, the strokes drawn over it, and joints of the paper: lines (m, 2), mm.

        Boxes keep off joints as long as `across` is false.
        """
        bits: list[shapely.Geometry] = []
        for points in strokes:
            for start in range(0, max(1, len(points) - 1), _BIT):
                bits.append(shapely.LineString(points[start : start + _BIT + 1]))
        self._tree = shapely.STRtree(bits)
        cut = [shapely.LineString(points) for points in joints]
        self._joints = shapely.STRtree([one for one in cut if one.intersects(shape)])
        self.across = not len(self._joints)
        self._shape = shape
        shapely.prepare(self._shape)
        self._taken: list[shapely.Geometry] = []

    def first_clear(
        self, centres: Floats, half: tuple[float, float], angles_deg: Floats
    ) -> int | None:
        """Return the first of boxes as `turned_boxes` has them that nothing meets, or None."""
        for start in range(0, len(centres), _AT_ONCE):
            some = slice(start, start + _AT_ONCE)
            clear = self._clear(turned_boxes(centres[some], half, angles_deg[some]))
            found = np.flatnonzero(clear)
            if len(found):
                return start + int(found[0])
        return None

    def _clear(self, corners: Floats) -> NDArray[np.bool_]:
        middles = corners.mean(axis=1)
        clear = np.asarray(shapely.contains_xy(self._shape, middles[:, 0], middles[:, 1]))
        left = np.flatnonzero(clear)
        if not len(left):
            return clear
        boxes = np.atleast_1d(np.asarray(shapely.polygons(corners[left]), dtype=object))
        clear[left[self._tree.query(boxes, predicate="intersects")[0]]] = False
        if not self.across:
            clear[left[self._joints.query(boxes, predicate="intersects")[0]]] = False
        if self._taken:
            hit = shapely.STRtree(self._taken).query(boxes, predicate="intersects")[0]
            clear[left[hit]] = False
        return clear

    def tried(self, find: Callable[[], _Found | None]) -> _Found | None:
        """Return what is found clear of the joints, else what is found across one."""
        found = find()
        if found is None and not self.across:
            self.across = True
            found = find()
            self.across = False
        return found

    def take(self, corners: Floats) -> None:
        """Keep a box, corners (4, 2), from all that comes later."""
        self._taken.append(shapely.Polygon(corners))


def by_distance(points: Floats, near: Sequence[float]) -> Floats:
    """Return points (n, 2) with those nearest to a place first."""
    off = points - np.asarray(near, dtype=float)
    # Of two as near the first: rounding has no say in it.
    return np.asarray(points[np.argsort(np.round((off**2).sum(axis=1), 6), kind="stable")])
