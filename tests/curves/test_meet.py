"""Crossings and nearest points."""

import math

import numpy as np
import pytest
from figures import CIRCLE_ERROR, angles, circle, parabola, paths, three
from hypothesis import given, settings
from hypothesis import strategies as st

from outseam.curves.evaluate import directions_at, point_at, points_at
from outseam.curves.meet import intersections, leaving, nearest, nearest_many
from outseam.curves.path import cubic, line, polyline
from outseam.curves.split import extend, subpath


def where(a, b, **how) -> list[tuple[float, float]]:
    """The places of all crossings, the same on both paths."""
    places = []
    for ua, ub in intersections(a, b, **how):
        p = point_at(a, ua)
        assert point_at(b, ub) == pytest.approx(p, abs=1e-6)
        places.append(p)
    return places


def test_two_lines() -> None:
    assert intersections(line((0, 0), (10, 10)), line((0, 8), (8, 0))) == (
        (pytest.approx(0.4), pytest.approx(0.5)),
    )


def test_a_line_and_a_parabola() -> None:
    # y = 30 (x / 40)^2 and y = x / 2: at 0 and at x = 80 / 3.
    found = where(parabola(40, 30), line((-10, -5), (40, 20)))
    assert found == [pytest.approx((0, 0), abs=1e-9), pytest.approx((80 / 3, 40 / 3), abs=1e-9)]


@pytest.mark.parametrize("high", [0.01, 0.1, 1.0, 10.0])
@pytest.mark.parametrize(
    "roots", [(0.05, 0.1), (0.05, 0.95), (0.3, 0.35), (0.6, 0.9), (0.7, 0.8), (0.7, 0.95)]
)
def test_a_flat_bow_is_crossed_twice_wherever_that_is(
    roots: tuple[float, float], high: float
) -> None:
    """y = high (t - first)(t - second) over x = 100 t, in Bernstein form: the roots are known."""
    first, second = roots
    c, b, a = high * first * second, -high * (first + second), high
    ys = (c, c + b / 3, c + 2 * b / 3 + a / 3, c + b + a)
    bow = cubic(*[(100 * i / 3, y) for i, y in enumerate(ys)])
    level = line((0, 0), (100, 0))
    for found in (intersections(bow, level), intersections(level, bow)):
        assert found == (
            pytest.approx([first] * 2, abs=1e-3),
            pytest.approx([second] * 2, abs=1e-3),
        )


def test_two_circles() -> None:
    a, b = circle(50, 16), circle(50, 16).moved(60, 0)
    found = sorted(where(a, b))
    assert found == [pytest.approx((30, -40), abs=1e-3), pytest.approx((30, 40), abs=1e-3)]


@pytest.mark.parametrize(
    ("a", "b", "place"),
    [
        # end on end, end on middle, end on a joint, and the seam of a closed path
        (line((0, 0), (10, 0)), line((10, 0), (10, 5)), (10, 0)),
        (line((0, 0), (10, 0)), line((4, 0), (4, 5)), (4, 0)),
        (polyline([(0, 0), (5, 0), (9, 3)]), line((5, 0), (5, 5)), (5, 0)),
        (circle(10), line((10, 0), (20, 0)), (10, 0)),
        (circle(10), line((0, 0), (20, 0)), (10, 0)),
    ],
)
def test_touching_ends_count_once(a, b, place) -> None:
    assert where(a, b) == [pytest.approx(place, abs=1e-9)]
    assert where(b, a) == [pytest.approx(place, abs=1e-9)]


def test_a_gap_is_no_meeting_unless_the_accuracy_spans_it() -> None:
    a, b = line((0, 0), (10, 0)), line((5, 0.01), (5, 5))
    assert intersections(a, b) == ()
    assert len(intersections(a, b, accuracy=0.02)) == 1
    assert intersections(a, line((0, 3), (10, 3))) == ()


@pytest.mark.parametrize("gap", [1e-4, 1e-2, 1.0])
def test_shallow_double_crossings_are_both_found(gap: float) -> None:
    # The parabola y = x^2 / 100 on [-50, 37] and the line y = gap.
    bowl = subpath(cubic((-50, 25), (-50 / 3, -25 / 3), (50 / 3, -25 / 3), (50, 25)), 0, 0.87)
    found = where(line((-60, gap), (60, gap)), bowl)
    x = 10 * math.sqrt(gap)
    assert [p[0] for p in found] == pytest.approx([-x, x], abs=1e-5)
    assert intersections(line((-60, -gap), (60, -gap)), bowl) == ()


@pytest.mark.parametrize("depth", [1e-4, 0.02, 0.09])
def test_an_end_that_just_passes_a_bow_has_met_it(depth: float) -> None:
    """Between a bow and its chords as well: radii of a circle that end a little way inside."""
    bow = circle(100, 4)
    for angle in np.linspace(0.01, 2 * math.pi, 37):
        x, y = math.cos(angle), math.sin(angle)
        # The cubics lie up to 0.03 mm outside the circle: the depth is below the curve itself.
        r = math.hypot(*point_at(bow, nearest(bow, (110 * x, 110 * y))[0]))
        spoke = line((110 * x, 110 * y), ((r - depth) * x, (r - depth) * y))
        for found in (where(spoke, bow), where(bow, spoke)):
            assert found == [pytest.approx((r * x, r * y), abs=1e-3)]
        short = line((110 * x, 110 * y), ((r + depth) * x, (r + depth) * y))
        assert intersections(short, bow) == ()


def test_tangent_curves_touch_once() -> None:
    bowl = cubic((-50, 25), (-50 / 3, -25 / 3), (50 / 3, -25 / 3), (50, 25))
    for tangent in (line((-60, 0), (77, 0)), bowl.mapped(1, 0, 0, -0.5)):
        found = where(tangent, bowl)
        assert found == [pytest.approx((0, 0), abs=0.02)]


def test_nine_crossings_of_two_cubics() -> None:
    # The most that two cubics can have (Bezout).
    a = cubic((0, 0), (400, 300), (-300, 300), (100, 0))
    wave = cubic((0, 0), (67, 700), (133, -500), (200, 200))
    b = wave.mapped(0, 1, 1, 0)
    assert len(intersections(wave, b)) == 9
    assert len(intersections(b, wave)) == 9
    assert len(intersections(a, line((60, -50), (60, 300)))) == 3


def test_distance_to_a_circle() -> None:
    p = circle(100, 16)
    rng = np.random.default_rng(4)
    points = rng.uniform(-200, 200, (200, 2))
    u, d = nearest_many(p, points)
    r = np.hypot(*points.T)
    assert d == pytest.approx(np.abs(r - 100), abs=100 * CIRCLE_ERROR / 100)
    assert points_at(p, u) == pytest.approx(points / r[:, None] * 100, abs=0.1)


def test_distance_to_a_line_and_to_its_ends() -> None:
    p = polyline([(0, 0), (10, 0), (10, 10)])
    assert nearest(p, (4, 3)) == (pytest.approx(0.4), pytest.approx(3.0))
    assert nearest(p, (-3, -4)) == (0.0, pytest.approx(5.0))
    assert nearest(p, (13, 14)) == (2.0, pytest.approx(5.0))
    assert nearest(p, (12, -1)) == (pytest.approx(1.0), pytest.approx(math.sqrt(5)))
    assert nearest(p, (7, 0)) == (pytest.approx(0.7), pytest.approx(0.0, abs=1e-12))


@settings(max_examples=30, deadline=None, derandomize=True)
@given(paths(), st.integers(0, 1000))
def test_nothing_on_the_path_is_nearer(p, seed: int) -> None:
    points = np.random.default_rng(seed).uniform(-400, 1000, (20, 2))
    u, d = nearest_many(p, points)
    assert np.hypot(*(points_at(p, u) - points).T) == pytest.approx(d, abs=1e-9)
    samples = points_at(p, np.linspace(0, len(p), 3001))
    brute = np.hypot(*(points[:, None] - samples).transpose(2, 0, 1)).min(axis=1)
    assert (d <= brute + 1e-9).all()


@pytest.mark.parametrize("fold", [0.3, 3.0, 12.0, 60.0])
def test_a_fold_smaller_than_a_chord_is_seen(fold: float) -> None:
    # It sets out to the left and turns back after a fraction of a millimetre.
    p = cubic((0, 0), (0, 0), (-fold, 0), (700, 1))
    points = points_at(p, np.linspace(0, 0.06, 601))
    assert nearest_many(p, points)[1].max() < 1e-6


def test_an_end_is_nearest_where_the_bend_is_farthest() -> None:
    # Short flat arcs seen from beyond their centres, where the distance has a top, not a dip.
    rng = np.random.default_rng(1)
    for _ in range(300):
        a, b, c, d = rng.uniform((0.2, -0.03, 0.5, -0.03), (0.5, 0.03, 0.8, 0.03)).tolist()
        p = cubic((0, 0), (8 * a, 8 * b), (8 * c, 8 * d), (8, 0))
        points = rng.uniform((-5, -300), (13, 300), (20, 2))
        samples = points_at(p, np.linspace(0, 1, 1001))
        brute = np.hypot(*(points[:, None] - samples).transpose(2, 0, 1)).min(axis=1)
        assert (nearest_many(p, points)[1] <= brute + 1e-6).all()


def test_a_retracted_handle_hides_nothing() -> None:
    # The velocity is zero at the start, and so is the slope of every distance.
    p = cubic((0, 0), (0, 0), (60, 0), (100, 60))
    u = np.linspace(0, 0.3, 121)
    x, y = directions_at(p, u).T
    beside = points_at(p, u) + 5 * np.column_stack([y, -x])
    found, d = nearest_many(p, beside)
    assert d == pytest.approx(5.0, abs=1e-6)
    assert found == pytest.approx(u, abs=1e-6)
    for at in (0.01, 0.05, 0.2):
        a, b = points_at(p, [at, at])
        assert where(p, line((a[0], a[1] - 5), (b[0], b[1] + 5))) == [pytest.approx(tuple(a))]


def test_points_about_the_centre_of_a_bend() -> None:
    # Near the centre the distance has several dips along the bend; the ellipse's own are known.
    ring = circle(1, 32).mapped(100, 0, 0, 101)
    points = np.array([(x, y) for x in (-1.5, -0.01, 0.0, 2.0) for y in (-1.9, 0.0, 0.3)])
    t = np.linspace(0, 2 * math.pi, 400001)
    ellipse = np.column_stack([100 * np.cos(t), 101 * np.sin(t)])
    want = [np.hypot(*(ellipse - p).T).min() for p in points]
    assert nearest_many(ring, points)[1] == pytest.approx(want, abs=1e-6)


@settings(max_examples=30, deadline=None, derandomize=True)
@given(paths(), angles)
def test_points_of_the_path_are_at_no_distance(p, angle: float) -> None:
    u = np.linspace(0, len(p), 17)
    assert nearest_many(p, points_at(p, u))[1] == pytest.approx(0.0, abs=1e-6)
    turned = p.turned(angle)
    a, b = nearest(p, (10.0, 20.0))[1], nearest(turned, line((0, 0), (10, 20)).turned(angle).end)[1]
    assert a == pytest.approx(b, abs=1e-6)
    assert nearest(p.reversed(), (10.0, 20.0))[1] == pytest.approx(a, abs=1e-6)


def test_crossings_seen_from_the_other_path_are_the_same() -> None:
    a, b = three(), line((0, 150), (200, 20))
    assert [(v, u) for u, v in intersections(b, a)] == [
        (pytest.approx(u), pytest.approx(v)) for u, v in intersections(a, b)
    ]


def test_leaving_is_the_first_of_all_intersections() -> None:
    rng = np.random.default_rng(7)
    found = 0
    for _ in range(200):
        lean, bend = rng.uniform(-20.0, 20.0, 2)
        side = cubic((0.0, 0.0), (lean, -15.0), (lean + bend, -30.0), (lean, -45.0))
        arc = cubic((-9.0, -20.0), (40.0, -20.0 - bend), (80.0, -20.0 + bend), (120.0, -20.0))
        cut = extend(arc, 40.0, 40.0)
        near, whole = leaving(side, cut), intersections(side, cut)
        if near is not None:
            found += 1
            assert near == pytest.approx(whole[0], abs=1e-6)
    assert found > 150


def test_leaving_tells_nothing_where_nothing_is_met() -> None:
    assert leaving(line((0.0, 0.0), (0.0, 5.0)), line((-9.0, 9.0), (9.0, 9.0))) is None


def test_leaving_looks_near_the_start_of_the_other_only() -> None:
    """Its second segment is near, its third is not."""
    far = polyline([(-30.0, 9.0), (-20.0, 9.0), (-10.0, 9.0), (10.0, 1.0)])
    up = line((0.0, 0.0), (0.0, 20.0))
    assert intersections(up, far) == (pytest.approx((0.25, 2.5)),)
    assert leaving(up, far) is None
    assert leaving(up, subpath(far, 1.0, 3.0)) == pytest.approx((0.25, 1.5))
