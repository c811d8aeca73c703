"""A plain adult figure as smooth contours, for the drawings of the measuring sheet.

Centimetres on the body, x right, y up, floor at y = 0. Front and back views are symmetric about
x = 0 and given by their right half; the side view faces right. The contours are drawn through
the points tabled here; nothing else in the program reads them.

The levels are those of the mean woman of the public survey ANSUR II (US Army, 2012, public
domain): height 162.6, navel 97.9, fullest seat 83.2, crotch 78.1, middle of the kneecap 44.8,
exponentials of the mean logarithms. The waist lies 3.5 above the navel, as the draft takes it to
unless it is told; the thigh tape, the fullest calf and the smallest ankle lie where the drawing
has them. Breadths and depths are chosen so that ellipses on them have about the girths of mean
women.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import TypeAlias

import numpy as np
from scipy.interpolate import CubicSpline

from outseam.curves.evaluate import point_at, points_at
from outseam.curves.path import Floats, Path, path
from outseam.curves.point import Point
from outseam.curves.split import subpath

Points: TypeAlias = tuple[Point, ...]


def points(text: str) -> Points:
    """Return points written as those of an SVG polyline: "x,y x,y"."""
    pairs = (pair.split(",") for pair in text.split())
    return tuple((float(x), float(y)) for x, y in pairs)


LEVEL_CM = MappingProxyType(
    {
        "height": 162.6,
        "waist": 101.4,
        "navel": 97.9,
        "high_hip": 93.4,
        "hip": 83.2,
        "crotch": 78.1,
        "thigh": 74.4,
        "knee": 44.8,
        "calf": 31.5,
        "ankle": 11.2,
    }
)
"""Height above the floor of every level at which a tape is laid, cm."""

_DENSE = 16
"""Rows of a curve's table for every point it was drawn through."""

CUT_CM = 113.0
"""Level at which the lower-body drawings end, just below the bust."""

FRONT_LEG = points(
    "12.9,113 12.45,107.5 12.4,102 13.9,97.5 15.7,92.5 17,87.5 17.7,83.2 17.8,78.5 17.4,73.5 "
    "16.3,65 15,56 14.1,50 13.8,44.8 13.7,40.5 14.1,34 13.9,28 12.9,20 12.1,13.5 11.9,10.6 "
    "12.3,7.8 12.2,6 12.9,4.4 14.2,2.6 14.8,1 14,0.1 11.6,0 8.2,0 6.6,0.2 6,1.5 6.2,3.4 5.9,5.6 "
    "5.5,8 5.8,10 5.9,12 5.3,16 3.95,24 3.15,31 3.3,35.5 3.5,40.5 3.15,45 3.35,49 3,54 2,62 "
    "1.05,70 0.55,75 0,78.1"
)
"""Right half of the front: down the side, round the foot, up the inside of the leg."""

_HEEL = points("12.25,8 11.8,5.4 11.9,2.6 11.2,0.5 9.2,0 7,0.4 6.3,2.6 6.5,5.4 5.6,8.2")
BACK_LEG: Points = (*FRONT_LEG[:19], *_HEEL, *FRONT_LEG[32:])
"""Right half of the back: the same with the heel."""

SIDE = points(
    "11.9,113 11.4,107.5 11.1,102 12.2,97 12.9,91.5 12.5,86.5 11.3,81 10.8,76.5 11.2,70 11.1,62 "
    "10,54 8.9,49.3 8.8,46.6 8.4,43.6 7.4,40.6 7,37 6,30 4.5,21 3.6,14.5 3.7,11 5.3,8 8.4,5.6 "
    "11.8,3.5 15,2.6 16.5,1.4 15.6,0.15 12,0 8.5,0.1 3.5,0.7 -1,0.3 -5.2,0 -7.4,0.6 -8,2.8 "
    "-6.9,5.6 -4.9,8.6 -4.4,11.8 -4.8,17.5 -5.8,25 -6.4,31.5 -5.9,36 -4.7,41 -4.3,45 -5,50 "
    "-6.6,57 -8,65 -8.6,72 -9.3,75.8 -11.3,79.2 -12.2,83.2 -11.4,88 -9.3,92.8 -7.3,97.5 -6.6,102 "
    "-7.2,107.5 -8.4,113"
)
"""The whole side: down the front, under the foot, up the back."""


@dataclass(frozen=True, slots=True, eq=False)
class Contour:
    """A smooth path, cm, and a fine table of it to find crossings by.

    `table` (2, m) holds parameters close together and the levels there.
    """

    path: Path
    table: Floats

    def parameter_at(self, level_cm: float, *, last: bool = False) -> float:
        """Return the first (or last) parameter at which the contour crosses a level.

        Found in the table and put right by one secant step, to about 1e-4 cm. Raises ValueError
        when the level is not crossed.
        """
        u, y = self.table
        above = y >= level_cm
        crossed = np.flatnonzero(above[1:] != above[:-1])
        if not len(crossed):
            raise ValueError(f"the contour does not cross the level {level_cm} cm")
        k = crossed[-1 if last else 0]
        slope = (u[k + 1] - u[k]) / (y[k + 1] - y[k])
        at = u[k] + slope * (level_cm - y[k])
        at += slope * (level_cm - point_at(self.path, float(at))[1])
        return float(min(max(at, u[k]), u[k + 1]))

    def x_at(self, level_cm: float, *, last: bool = False) -> float:
        """Return x where the contour first (or last) crosses a level, cm."""
        return point_at(self.path, self.parameter_at(level_cm, last=last))[0]

    def part(self, first: float, last: float) -> Path:
        """Return the part between two parameters."""
        return subpath(self.path, first, last)

    def between(self, first_cm: float, last_cm: float) -> Path:
        """Return the part from where a level is first crossed to where another is."""
        return self.part(self.parameter_at(first_cm), self.parameter_at(last_cm))

    def back_between(self, first_cm: float, last_cm: float) -> Path:
        """Return the part from where a level is last crossed to where another is."""
        return self.part(
            self.parameter_at(first_cm, last=True), self.parameter_at(last_cm, last=True)
        )

    def points(self, count: int) -> Floats:
        """Return `count` points spread evenly over the parameter, shape (count, 2)."""
        return points_at(self.path, np.linspace(0.0, len(self.path), count))


def through(points: Sequence[Point] | Floats, *, closed: bool = False) -> Path:
    """Return the smooth path through points: a cubic spline over the roots of the chords.

    The root (centripetal) spacing keeps close points from making loops, which spacing by the chords
    themselves does not. A closed path ends where it starts, smoothly.
    """
    p = np.array([*points, points[0]] if closed else points, dtype=np.float64)
    t = np.concatenate([[0.0], np.cumsum(np.sqrt(np.hypot(*np.diff(p, axis=0).T)))])
    spline = CubicSpline(t, p, bc_type="periodic" if closed else "natural")
    third, slope = np.diff(t)[:, None] / 3, spline(t, 1)
    return path(
        np.stack([p[:-1], p[:-1] + slope[:-1] * third, p[1:] - slope[1:] * third, p[1:]], 1)
    )


def contour(points: Points, *, closed: bool = False) -> Contour:
    """Return the contour through points."""
    drawn = through(points, closed=closed)
    dense = np.arange(len(drawn) * _DENSE + 1) / _DENSE
    return Contour(drawn, np.stack([dense, points_at(drawn, dense)[:, 1]]))


UPPER_FRONT = points(
    "2.2,162.6 6.6,161.4 9.8,158 10.9,154.2 10.9,151.6 12.2,149 12.9,147.9 11.9,147 12,145.6 "
    "11.6,143.9 11.7,142 10.6,140.5 8.3,139.9 6.3,138.8 5.5,136.6 5.6,134 7.7,130.6 10.9,124.5 "
    "13.1,119.6 13.2,117"
)
UPPER_BACK = points(
    "-9.9,119 -10.6,125 -9.7,130.6 -6.9,134.8 -4.6,138 -4.2,141.2 -5.4,145 -7,149 -7.2,153.8 "
    "-5.4,158.8 -1.9,161.9"
)
WHOLE: Points = (*UPPER_FRONT, *SIDE, *UPPER_BACK)
"""The whole person from the side: from the crown down the front and up the back."""

ARM = points(
    "-5.6,127 -5,131.2 -1.4,133.9 2.6,131.8 4.1,126.5 3.4,118 2.6,111 2.7,106.5 3.9,100.5 4,93 "
    "3.8,87.6 4.9,83.4 5.7,78.4 5.2,73.6 4,71.2 2.6,72.2 1.7,77 0.7,82 0.1,87 -1.7,94.5 -2.8,102 "
    "-3.5,107.5 -4.7,115 -5.6,122"
)
HAIR = points(
    "9.9,158.3 6.4,162.2 1.9,163.3 -3,162.1 -6.6,158.9 -8.1,153.6 -7.6,148.6 -5.9,144.6 "
    "-4.4,142.2 -2.6,143.6 0.2,146.6 0.9,150.8 2.9,154.6 6.6,155.6 8.6,156.4"
)
SEATED = points(
    "11.9,38 11.4,32.5 11.2,27 12.3,21.5 13.6,17.3 17,15.3 24,15 33,14 40.5,12.9 45,10.4 46.7,6.4 "
    "46,2.4 45,-1.5 44,-10 42.3,-20 41,-27.5 41.4,-31.6 43,-34.6 46.3,-36.9 49.8,-38.6 53.2,-39.4 "
    "54.4,-40.6 53.4,-41.8 49.6,-41.9 41.5,-41.4 36.8,-41.6 32.6,-41.9 30.2,-41.2 29.7,-39.2 "
    "30.9,-36.4 32.9,-33.4 33.4,-30 32.9,-24 31.5,-17 30.9,-10.5 32.2,-4.6 33.6,-1.4 33.2,0.2 "
    "30.4,0.1 24,0 14,0 2,0 -5.5,0.1 -10.2,1.6 -12.5,5.6 -12.4,10.5 -10.4,16.5 -8,22 -7,27 "
    "-7.5,32.5 -8.6,38"
)
"""The seated figure from the side, y up from the seat of the chair."""


SEATED_WAIST_CM = 27.0
"""Height of the waist above the seat of the chair, cm: a body rise in the middle of the range."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BodyView:
    """A way of looking at the figure: its contour, and whether its other half is the mirror image.

    A symmetric view's contour runs from the trunk round the foot to the crotch; the side view's
    from the front of the trunk to its back.
    """

    contour: Contour
    symmetric: bool
    spread_cm: float = 0.0

    def out_cm(self, level_cm: float) -> float:
        """Return how far a leg is swung out at a level, cm."""
        crotch = LEVEL_CM["crotch"]
        return self.spread_cm * max(0.0, (crotch - level_cm) / crotch)

    def edges(self, level_cm: float) -> tuple[float, float]:
        """Return x of the outlines of the trunk, or of the right leg under the crotch, cm."""
        outer = self.contour.x_at(level_cm)
        if not self.symmetric:
            return self.contour.x_at(level_cm, last=True), outer
        if level_cm > LEVEL_CM["crotch"]:
            return -outer, outer
        return self.contour.x_at(level_cm, last=True), outer


@cache
def front(spread_cm: float = 0.0) -> BodyView:
    """Return the front view, each foot set `spread_cm` further out."""
    still = BodyView(contour=contour(FRONT_LEG), symmetric=True, spread_cm=spread_cm)
    swung = tuple((x + still.out_cm(y), y) for x, y in FRONT_LEG)
    return BodyView(contour=contour(swung), symmetric=True, spread_cm=spread_cm)


@cache
def back() -> BodyView:
    """Return the back view."""
    return BodyView(contour=contour(BACK_LEG), symmetric=True)


@cache
def side() -> BodyView:
    """Return the side view."""
    return BodyView(contour=contour(SIDE), symmetric=False)


@cache
def seated() -> BodyView:
    """Return the seated figure from the side, y up from the seat of the chair."""
    return BodyView(contour=contour(SEATED), symmetric=False)


@cache
def whole() -> BodyView:
    """Return the whole person from the side."""
    return BodyView(contour=contour(WHOLE, closed=True), symmetric=False)
