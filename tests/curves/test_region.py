"""Areas, bounds, polylines, containment."""

import math

import numpy as np
import pytest
from figures import angles, circle, parabola, paths, quarter, three
from hypothesis import given, settings
from hypothesis import strategies as st

from outseam.curves.errors import CurveError
from outseam.curves.evaluate import points_at
from outseam.curves.meet import nearest_many
from outseam.curves.path import cubic, join, line, polyline
from outseam.curves.region import (
    area,
    bounds,
    flatten,
    is_simple,
    polygon,
)

SQUARE = polyline([(0, 0), (10, 0), (10, 10), (0, 10), (0, 0)])
EIGHT = polyline([(0, 0), (10, 10), (10, 0), (0, 10), (0, 0)])


def test_areas() -> None:
    assert area(SQUARE) == pytest.approx(100, abs=1e-12)
    assert area(SQUARE.reversed()) == pytest.approx(-100, abs=1e-12)
    assert area(EIGHT) == pytest.approx(0, abs=1e-12)
    # Under y = 30 (x / 40)^2: a third of the box.
    under = join([line((40, 0), (40, 0)), parabola(40, 30).reversed(), line((0, 0), (40, 0))][1:])
    chord = join([parabola(40, 30), line((40, 30), (0, 0))])
    assert area(chord) == pytest.approx(40 * 30 / 2 - 40 * 30 / 3, abs=1e-10)
    with pytest.raises(CurveError, match="not closed"):
        area(under)
    right = join([parabola(40, 30).reversed(), line((0, 0), (40, 0)), line((40, 0), (40, 30))])
    assert area(right) == pytest.approx(40 * 30 / 3, abs=1e-10)


def test_area_of_the_four_cubic_circle() -> None:
    # Closed form for a unit quarter with handle k: 1/2 + (6 k / 10) - 3 k^2 / 20, from Green.
    k = 4 / 3 * (math.sqrt(2) - 1)
    assert area(circle(1.0)) == pytest.approx(4 * (0.5 + 0.6 * k - 0.15 * k * k), rel=1e-13)
    assert area(circle(10, 32)) == pytest.approx(100 * math.pi, rel=1e-8)


def test_direction_of_walking() -> None:
    assert area(circle(5)) > 0.0
    assert area(circle(5).reversed()) < 0.0


@settings(max_examples=30, deadline=None, derandomize=True)
@given(paths(), angles, st.floats(-1e4, 1e4))
def test_area_does_not_see_motions(p, angle: float, shift: float) -> None:
    shape = join([p, line(p.end, p.start)])
    want = area(shape)
    moved = shape.turned(angle).moved(shift, -shift)
    assert area(moved) == pytest.approx(want, abs=1e-5)
    assert area(shape.reversed()) == pytest.approx(-want, abs=1e-6)
    assert area(shape.mirrored((0, 0), (1, 2))) == pytest.approx(-want, abs=1e-6)


@settings(max_examples=30, deadline=None, derandomize=True)
@given(paths(), st.sampled_from([1.0, 0.02, 0.001]))
def test_the_polyline_is_as_near_as_asked(p, tolerance: float) -> None:
    points = flatten(p, tolerance)
    assert points[0].tolist() == list(p.start)
    assert points[-1].tolist() == list(p.end)
    assert nearest_many(p, points)[1].max() < 1e-6
    u = np.linspace(0, len(p), 301)
    assert nearest_many(polyline(_apart(points)), points_at(p, u))[1].max() <= tolerance + 1e-6


def _apart(points: np.ndarray) -> np.ndarray:
    keep = np.concatenate([[True], np.hypot(*np.diff(points, axis=0).T) > 0])
    return points[keep]


def test_polylines_are_no_finer_than_needed() -> None:
    assert len(flatten(SQUARE)) == 5
    # A chord of a circle with sagitta s spans 2 acos(1 - s / r): at 0.02 of 100 mm, 79 of them.
    least = math.pi / math.acos(1 - 0.02 / 100)
    assert least <= len(flatten(circle(100, 8), 0.02)) - 1 < 1.2 * least


def test_bounds_are_those_of_the_curve() -> None:
    assert bounds(quarter(10)) == (0, 0, 10, 10)
    assert bounds(circle(10, 7).turned(0.2)) == pytest.approx((-10, -10, 10, 10), abs=2e-3)
    # y = 120 t (1 - t) peaks at 30; x = 180 t (1 - 3 t + 2 t^2) turns at 1/2 -+ sqrt(1/12), where
    # it is +-(180 / 4) (1/3) sqrt(4/3).
    hump = cubic((0, 0), (60, 40), (-60, 40), (0, 0))
    reach = 180 / 12 * math.sqrt(4 / 3)
    assert bounds(hump) == pytest.approx((-reach, 0, reach, 30), abs=1e-12)
    assert bounds(line((5, 1), (2, 8))) == (2, 1, 5, 8)


@settings(max_examples=30, deadline=None, derandomize=True)
@given(paths())
def test_bounds_hold_every_point_and_are_reached(p) -> None:
    xmin, ymin, xmax, ymax = bounds(p)
    xy = points_at(p, np.linspace(0, len(p), 6001))
    assert [xmin, ymin] == pytest.approx(xy.min(axis=0), abs=1e-3)
    assert [xmax, ymax] == pytest.approx(xy.max(axis=0), abs=1e-3)
    assert (xy >= np.array([xmin, ymin]) - 1e-9).all()
    assert (xy <= np.array([xmax, ymax]) + 1e-9).all()


def test_paths_that_cross_themselves() -> None:
    assert is_simple(SQUARE)
    assert is_simple(three())
    assert not is_simple(EIGHT)
    assert not is_simple(cubic((0, 0), (100, 100), (-60, 100), (40, 0)))


def test_the_polygon_is_that_of_the_path() -> None:
    assert polygon(SQUARE).area == 100.0
    ring = circle(100, 8)
    assert polygon(ring, 1e-4).area == pytest.approx(area(ring), abs=2 * math.pi * 100 * 1e-4)
    with pytest.raises(CurveError, match="not closed"):
        polygon(three())
    with pytest.raises(CurveError, match="tolerance"):
        flatten(three(), 0.0)
