"""The smooth path through points."""

import math

import numpy as np
import pytest
from figures import angles
from hypothesis import given, settings
from hypothesis import strategies as st

from outseam.curves.errors import CurveError
from outseam.curves.evaluate import curvatures_all, direction_at, points_at
from outseam.curves.path import Path, line
from outseam.curves.through import through

POINTS = [(0, 0), (40, 5), (70, 40), (75, 120), (80, 200)]


def bend(p: Path, u: float) -> float:
    return float(curvatures_all([p], [np.array([u])])[0][0])


def test_it_passes_the_points_with_the_tangents_asked_for() -> None:
    p = through(POINTS, (1, 0), (0, 7))
    assert points_at(p, range(5)) == pytest.approx(np.array(POINTS), abs=1e-12)
    assert direction_at(p, 0) == pytest.approx((1, 0))
    assert direction_at(p, 4) == pytest.approx((0, 1))


def test_second_derivatives_agree_at_the_joints() -> None:
    c = through(POINTS, (1, 0), None).cubics
    h = np.hypot(*(c[:, 3] - c[:, 0]).T)[:, None]
    at_start = 6 * (c[:, 0] - 2 * c[:, 1] + c[:, 2]) / h**2
    at_end = 6 * (c[:, 1] - 2 * c[:, 2] + c[:, 3]) / h**2
    assert at_start[1:] == pytest.approx(at_end[:-1], abs=1e-12)
    velocity_in, velocity_out = 3 * (c[:, 3] - c[:, 2]) / h, 3 * (c[:, 1] - c[:, 0]) / h
    assert velocity_out[1:] == pytest.approx(velocity_in[:-1], abs=1e-12)
    assert np.hypot(*velocity_out[0]) == pytest.approx(1.0)


def test_an_end_without_tangent_is_straight_there() -> None:
    p = through(POINTS)
    assert bend(p, 0.0) == pytest.approx(0.0, abs=1e-14)
    assert bend(p, 4.0) == pytest.approx(0.0, abs=1e-14)
    assert abs(bend(p, 2.0)) > 1e-3


def test_two_points() -> None:
    assert through([(0, 0), (30, 60)]).cubics == pytest.approx(line((0, 0), (30, 60)).cubics)
    p = through([(0, 0), (30, 40)], (1, 0), (0, 1))
    assert p.cubics[0, 1] == pytest.approx((50 / 3, 0))
    assert p.cubics[0, 2] == pytest.approx((30, 40 - 50 / 3))


def test_a_circle_is_met_closely() -> None:
    a = np.radians([0, 15, 30, 45, 60, 75, 90])
    p = through(100 * np.column_stack([np.cos(a), np.sin(a)]), (0, 1), (-1, 0))
    assert np.hypot(*points_at(p, np.linspace(0, 6, 200)).T) == pytest.approx(100, abs=0.01)


@pytest.mark.parametrize(
    ("points", "tangent", "says"),
    [
        ([(1, 1)], None, "two points"),
        ([(0, 0), (5, 5), (5, 5)], None, "coincide"),
        ([(0, 0), (math.nan, 5)], None, "coincide"),
        ([(0, 0), (5, 5)], (0, 0), "direction"),
        ([(0, 0), (5, 5)], (math.nan, 0), "direction"),
    ],
)
def test_nonsense_is_refused(points, tangent, says: str) -> None:
    with pytest.raises(CurveError, match=says):
        through(points, tangent)


@settings(max_examples=30, deadline=None, derandomize=True)
@given(st.lists(st.floats(-50, 50), min_size=3, max_size=6), angles)
def test_it_moves_with_its_points_and_can_be_walked_back(ys: list[float], angle: float) -> None:
    points = np.column_stack([40.0 * np.arange(len(ys)), ys])
    c, s = math.cos(angle), math.sin(angle)
    turned = through(points @ np.array([[c, s], [-s, c]]), (c, s))
    assert turned.cubics == pytest.approx(through(points, (1, 0)).turned(angle).cubics, abs=1e-10)
    back = through(points[::-1], None, (-1, 0)).reversed()
    assert back.cubics == pytest.approx(through(points, (1, 0)).cubics, abs=1e-10)
