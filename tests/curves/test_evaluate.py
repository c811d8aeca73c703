"""Points, directions and curvatures against closed forms."""

import math

import numpy as np
import pytest
from figures import CIRCLE_ERROR, circle, parabola, quarter, three

from outseam.curves.errors import CurveError
from outseam.curves.evaluate import (
    cubic_hermite,
    curvatures_all,
    direction_at,
    directions_at,
    point_at,
    points_at,
)
from outseam.curves.path import cubic, join, line


def test_parabola_points_directions_and_curvatures() -> None:
    p = parabola(40, 30)
    u = np.linspace(0, 1, 11)
    x = 40 * u
    slope = 2 * 30 * x / 40**2
    assert points_at(p, u) == pytest.approx(np.column_stack([x, 30 * u**2]), abs=1e-12)
    d = directions_at(p, u)
    assert d[:, 1] / d[:, 0] == pytest.approx(slope, abs=1e-12)
    assert np.hypot(*d.T) == pytest.approx(1.0, abs=1e-14)
    assert curvatures_all([p], [u])[0] == pytest.approx(
        2 * 30 / 40**2 / (1 + slope**2) ** 1.5, rel=1e-12
    )


def test_curvature_is_positive_to_the_left() -> None:
    assert curvatures_all([circle(50)], [np.array([0.5])])[0][0] == pytest.approx(1 / 50, rel=2e-2)
    assert curvatures_all([circle(50).reversed()], [np.array([0.5])])[0][0] == pytest.approx(
        -1 / 50, rel=2e-2
    )


def test_quarter_circle_has_its_known_error() -> None:
    r = np.hypot(*points_at(quarter(1.0), np.linspace(0, 1, 4001)).T)
    assert r.max() - 1 == pytest.approx(CIRCLE_ERROR, rel=1e-4)
    assert r.min() == pytest.approx(1.0, abs=1e-12)


def test_single_values_are_those_of_the_arrays() -> None:
    p = three()
    for u in (0.0, 0.3, 1.0, 1.7, 3.0):
        assert point_at(p, u) == pytest.approx(points_at(p, [u])[0], abs=1e-12)
        assert direction_at(p, u) == pytest.approx(directions_at(p, [u])[0], abs=1e-14)


def test_ends_and_joints_are_exact() -> None:
    p = three()
    assert point_at(p, 0) == p.start
    assert point_at(p, 3) == p.end
    assert point_at(p, 2) == tuple(p.cubics[2, 0])
    assert points_at(p, [0, 1, 3]).tolist() == [[0, 0], [100, 100], [200, 240]]


def test_a_joint_has_the_direction_that_leaves_it() -> None:
    p = join([line((0, 0), (30, 0)), line((30, 0), (30, 30))])
    assert direction_at(p, 1.0) == pytest.approx((0, 1))
    assert direction_at(p, 2.0) == pytest.approx((0, 1))
    assert directions_at(p, [0.0, 1.0, 2.0]) == pytest.approx(np.array([(1, 0), (0, 1), (0, 1)]))


@pytest.mark.parametrize(
    ("points", "at_start", "at_end"),
    [
        # First handle retracted: the path leaves towards the second.
        ([(0, 0), (0, 0), (30, 40), (90, 40)], (0.6, 0.8), (1, 0)),
        # Second handle retracted: it arrives from the first.
        ([(0, 0), (30, 0), (60, 80), (60, 80)], (1, 0), (0.351123, 0.936329)),
        # Both retracted: straight.
        ([(0, 0), (0, 0), (30, 40), (30, 40)], (0.6, 0.8), (0.6, 0.8)),
        # First three controls together: the third derivative leads.
        ([(0, 0), (0, 0), (0, 0), (30, 40)], (0.6, 0.8), (0.6, 0.8)),
    ],
)
def test_direction_where_the_velocity_is_zero(points, at_start, at_end) -> None:
    p = cubic(*points)
    assert direction_at(p, 0.0) == pytest.approx(at_start, abs=1e-6)
    assert direction_at(p, 1.0) == pytest.approx(at_end, abs=1e-6)
    assert p.start_direction == pytest.approx(at_start, abs=1e-6)
    assert p.end_direction == pytest.approx(at_end, abs=1e-6)


def test_direction_at_an_inner_cusp_is_the_way_out() -> None:
    p = cubic((0, 0), (100, 100), (0, 100), (100, 0))  # velocity is zero at one half
    assert point_at(p, 0.5) == pytest.approx((50, 75))
    assert direction_at(p, 0.5) == pytest.approx((0, -1), abs=1e-9)


def test_hermite_cubic_has_the_given_ends() -> None:
    s, t = ((math.cos(a), math.sin(a)) for a in (0.8, 0.3))
    p = cubic_hermite((1, 2), s, (50, 40), t, 12, 20)
    assert (p.start, p.end) == ((1, 2), (50, 40))
    assert direction_at(p, 0) == pytest.approx(s)
    assert direction_at(p, 1) == pytest.approx(t)
    assert math.dist(p.cubics[0, 0], p.cubics[0, 1]) == pytest.approx(12)
    assert math.dist(p.cubics[0, 3], p.cubics[0, 2]) == pytest.approx(20)


@pytest.mark.parametrize("u", [-0.1, 3.1, math.nan, math.inf])
def test_a_parameter_outside_is_refused(u: float) -> None:
    for call in (point_at, direction_at):
        with pytest.raises(CurveError, match="must lie in"):
            call(three(), u)
    with pytest.raises(CurveError, match="must lie in"):
        points_at(three(), [0.5, u])


def test_a_segment_without_length_has_no_direction() -> None:
    with pytest.raises(CurveError, match="no length"):
        direction_at(line((3, 4), (3, 4)), 0.5)
