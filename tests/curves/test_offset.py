"""Parallel paths: exact circles and lines, bounded errors, joins, and what is refused."""

import math
from itertools import pairwise

import numpy as np
import pytest
from figures import angles, circle, gentle_paths, quarter, three
from hypothesis import example, given, settings
from hypothesis import strategies as st
from splines import through

from outseam.curves.errors import CurveError
from outseam.curves.evaluate import curvatures_all, direction_at, directions_at, points_at
from outseam.curves.length import length
from outseam.curves.meet import nearest_many
from outseam.curves.offset import offset, outset, outset_all
from outseam.curves.path import Path, cubic, join, line, path, polyline
from outseam.curves.region import area, is_simple


def corners(p: Path) -> list[tuple[float, float]]:
    """The ends of the segments, rounded: what one would measure on paper."""
    xy = np.concatenate([p.cubics[:, 0], p.cubics[-1:, 3]])
    return [tuple(q) for q in (np.round(xy, 6) + 0.0).tolist()]


def rectangle(width: float, height: float) -> tuple[Path, ...]:
    xy = [(0, 0), (width, 0), (width, height), (0, height), (0, 0)]
    return tuple(line(p, q) for p, q in pairwise(xy))


def true_parallel(p: Path, distance: float, samples: int = 2001) -> np.ndarray:
    u = np.linspace(0, len(p), samples)
    x, y = directions_at(p, u).T
    return points_at(p, u) + distance * np.column_stack([y, -x])


def error(p: Path, distance: float, q: Path) -> float:
    """How far `q` and the true parallel stray from each other, both ways, mm."""
    there = nearest_many(q, true_parallel(p, distance))[1].max()
    back = np.abs(
        nearest_many(p, points_at(q, np.linspace(0, len(q), 2001)))[1] - abs(distance)
    ).max()
    return float(max(there, back))


def test_a_line_moves_to_its_right() -> None:
    assert offset(line((0, 0), (30, 0)), 5).cubics == pytest.approx(line((0, -5), (30, -5)).cubics)
    assert corners(offset(line((0, 0), (30, 40)), 10)) == [(8, -6), (38, 34)]
    assert corners(offset(line((0, 0), (30, 40)), -10)) == [(-8, 6), (22, 46)]


@pytest.mark.parametrize("distance", [-90.0, -20.0, 0.0, 10.0, 300.0])
def test_a_circle_becomes_a_circle(distance: float) -> None:
    ring = circle(100, 16)  # its own error is below 1e-5 mm
    q = offset(ring, distance, 1e-3)
    assert np.hypot(*points_at(q, np.linspace(0, len(q), 999)).T) == pytest.approx(
        100 + distance, abs=1.1e-3
    )
    assert q.closed
    assert len(q) == 16


@pytest.mark.parametrize("accuracy", [0.5, 0.1, 0.02, 0.004, 0.0005])
@pytest.mark.parametrize("distance", [-15.0, 8.0, 30.0])
def test_the_accuracy_holds(distance: float, accuracy: float) -> None:
    q = offset(three(), distance, accuracy)
    assert error(three(), distance, q) <= accuracy


def test_finer_accuracy_costs_pieces_and_coarse_does_not() -> None:
    counts = [len(offset(three(), 10, a)) for a in (0.1, 0.02, 1e-3, 1e-5)]
    assert counts == sorted(counts)
    assert counts[1] <= 6
    assert counts[3] > counts[1]


def test_ends_and_end_tangents_are_exact() -> None:
    p = three()
    q = offset(p, 12)
    assert q.start == pytest.approx((0, -12), abs=1e-12)
    assert q.end == pytest.approx((200, 228), abs=1e-12)
    assert direction_at(q, 0) == pytest.approx(direction_at(p, 0), abs=1e-12)
    assert direction_at(q, len(q)) == pytest.approx(direction_at(p, 3), abs=1e-12)


@settings(max_examples=30, deadline=None, derandomize=True)
@given(gentle_paths(), st.sampled_from([-10.0, 6.0, 15.0]), angles)
def test_parallels_of_seam_like_curves(p: Path, distance: float, angle: float) -> None:
    q = offset(p, distance)
    assert error(p, distance, q) <= 0.02
    # A parallel differs in length by the turning of the curve times the distance.
    turned = math.atan2(*reversed(p.end_direction)) - math.atan2(*reversed(p.start_direction))
    assert length(q) == pytest.approx(length(p) + distance * turned, abs=0.02)
    moved = offset(p.turned(angle), distance)
    assert moved.cubics == pytest.approx(q.turned(angle).cubics, abs=1e-8)
    back = offset(p.reversed(), -distance).reversed()
    assert back.cubics == pytest.approx(q.cubics, abs=1e-8)
    home = offset(q, -distance)
    assert nearest_many(home, points_at(p, np.linspace(0, len(p), 101)))[1].max() <= 0.05


def test_a_retracted_handle() -> None:
    # The curvature is infinite at the start, the parallel still well defined on the outer side.
    p = cubic((0, 0), (0, 0), (60, 0), (100, 60))
    assert error(p, 10, offset(p, 10)) <= 0.02
    with pytest.raises(CurveError, match="radius of curvature"):
        offset(p, -10)
    flat = cubic((0, 0), (0, 0), (60, 0), (60, 0))
    assert corners(offset(flat, 5)) == [(0, -5), (60, -5)]


@pytest.mark.parametrize("distance", [-5.0, 5.0, 20.0])
@pytest.mark.parametrize("accuracy", [0.02, 1.0, 5.0])
def test_a_parallel_never_turns_round_at_a_joint(distance: float, accuracy: float) -> None:
    """Handles on an end, or close to it: fitted handles go on the way that the curve goes."""
    rng = np.random.default_rng(1)
    drawn = 0
    for k in range(45):
        z = rng.uniform(-60, 60, (4, 2)) + np.array([(0, 0), (0, 0), (150, 0), (150, 0)])
        near = (0.0, 0.02)[k % 2]
        if k % 3 < 2:
            z[1] = z[0] + near * (z[1] - z[0])
        if k % 3 > 0:
            z[2] = z[3] + near * (z[2] - z[3])
        p = path([z])
        try:
            q = offset(p, distance, accuracy)
        except CurveError:  # bends too sharply for this distance
            continue
        drawn += 1
        assert q.start_direction == pytest.approx(p.start_direction, abs=1e-6)
        assert q.end_direction == pytest.approx(p.end_direction, abs=1e-6)
        for n in range(1, len(q)):
            assert np.dot(direction_at(q, n - 1e-6), direction_at(q, n + 1e-6)) > 0.99
    assert drawn > 5


@pytest.mark.parametrize("radius", [20.0, 100.0])
def test_the_radius_of_curvature_is_the_limit(radius: float) -> None:
    inside = quarter(radius)
    tightest = 1 / curvatures_all([inside], [np.linspace(0, 1, 10001)])[0].max()
    assert len(offset(inside, -0.98 * tightest)) >= 1
    for distance in (-1.02 * radius, -2 * radius):
        with pytest.raises(CurveError, match="radius of curvature") as refused:
            offset(inside, distance)
        assert refused.value.data["radius_mm"] == pytest.approx(radius, rel=0.03)
        assert refused.value.data["distance_mm"] == distance
        assert math.hypot(*refused.value.data["at"]) == pytest.approx(radius, rel=1e-3)
    # On the other side there is no limit.
    assert len(offset(inside, 100 * radius)) >= 1


def test_a_narrow_bend_between_gentle_stretches_is_noticed() -> None:
    bend = through([(0, 0), (100, 0), (108, 3), (111, 11), (111, 111)], (1, 0), (0, 1))
    assert is_simple(offset(bend, 8))
    with pytest.raises(CurveError, match="radius of curvature"):
        offset(bend, -16)


def test_a_cusp_has_no_parallel() -> None:
    with pytest.raises(CurveError, match="cusp"):
        offset(cubic((0, 0), (100, 100), (0, 100), (100, 0)), 1)
    with pytest.raises(CurveError, match="no length"):
        offset(line((1, 1), (1, 1)), 1)


def test_corners_of_an_open_path() -> None:
    bend = polyline([(0, 0), (100, 0), (100, 50)])
    assert corners(offset(bend, 10)) == [(0, -10), (110, -10), (110, 50)]
    assert corners(offset(bend, -10)) == [(0, 10), (90, 10), (90, 50)]


def test_a_closed_path_stays_closed() -> None:
    square = join(rectangle(100, 50))
    assert area(offset(square, 10)) == pytest.approx(120 * 70)
    assert area(offset(square, -10)) == pytest.approx(80 * 30)
    drop = cubic((0, 0), (150, 100), (-150, 100), (0, 0))  # one cubic with a corner at its seam
    for distance in (-8.0, 8.0):
        q = offset(drop.reversed(), distance)
        assert q.closed
        assert is_simple(q)
        away = nearest_many(drop, points_at(q, np.linspace(0, len(q), 201)))[1]
        assert away.min() == pytest.approx(8.0, abs=0.02)


def test_each_edge_has_its_own_distance() -> None:
    bottom, right, top, left = outset(rectangle(100, 50), (40, 10, 7, 0))
    assert corners(bottom) == [(0, -40), (110, -40)]
    assert corners(right) == [(110, -40), (110, 57)]
    assert corners(top) == [(110, 57), (0, 57)]
    assert corners(left) == [(0, 57), (0, -40)]


def test_a_step_where_a_straight_outline_changes_its_distance() -> None:
    a, b, c, d = rectangle(100, 50)
    first, second = line((0, 0), (60, 0)), line((60, 0), (100, 0))
    cut = outset((first, second, b, c, d), (10, 30, 10, 10, 10))
    # The step is shared as 10 to 30, so its middle part lies 5 mm below the narrow line.
    assert corners(cut[0]) == [(-10, -10), (60, -10), (60, -15)]
    assert corners(cut[1]) == [(60, -15), (60, -30), (110, -30)]
    fold = outset((first, second, b, c, d), (0, 30, 10, 10, 10))
    assert corners(fold[0]) == [(-10, 0), (60, 0)]
    assert sum(length(e) for e in (a, b, c, d)) == pytest.approx(300)


def test_an_inside_corner_is_trimmed() -> None:
    xy = [(0, 0), (100, 0), (100, 100), (60, 100), (60, 40), (0, 40), (0, 0)]
    edges = [line(p, q) for p, q in pairwise(xy)]
    cut = outset(edges, (10, 10, 10, 10, 20, 10))
    assert corners(cut[3]) == [(50, 110), (50, 60)]
    assert corners(cut[4]) == [(50, 60), (-10, 60)]
    assert area(join(cut)) == pytest.approx(120 * 70 + 60 * 50)


def test_the_mitre_limit() -> None:
    # A corner of 2 atan(1/10) = 11.4 degrees: the mitre would be 10.05 times the distance long.
    edges = (line((0, 0), (100, -10)), line((100, -10), (100, 10)), line((100, 10), (0, 0)))
    tip = corners(outset(edges, (1, 1, 1), mitre_limit=11)[0])[0]
    assert tip == pytest.approx((-math.hypot(10, 1), 0), abs=1e-6)
    cut = outset(edges, (1, 1, 1))
    outline = join(cut)
    assert cut[0].start == cut[2].end == pytest.approx((-(10 + 1) / math.hypot(10, 1), 0))
    assert is_simple(outline)
    # Cut off square, but nowhere nearer to the outline than the distance.
    away = nearest_many(join(edges), points_at(outline, np.linspace(0, len(outline), 400)))[1]
    assert away.min() == pytest.approx(1.0, abs=1e-9)


@pytest.mark.parametrize(("ratio", "mitred"), [(3.95, True), (4.05, False)])
def test_a_mitre_may_be_four_times_the_distance_long(ratio: float, mitred: bool) -> None:
    """Of the larger distance where two meet: from corner to tip it is 1 / sin(half the corner)."""
    half = math.asin(1.0 / ratio)
    x, y = 100.0 * math.cos(half), 100.0 * math.sin(half)
    edges = (line((0, 0), (x, -y)), line((x, -y), (x, y)), line((x, y), (0, 0)))
    cut = outset(edges, (3, 3, 3))
    assert (math.hypot(*cut[0].start) > 3.0 * (ratio - 0.01)) is mitred
    assert (len(cut[0]) == 1) is mitred


def test_outlines_together_have_the_parallels_of_each_alone() -> None:
    bow = (cubic((0, 0), (30, -30), (70, -30), (100, 0)), line((100, 0), (0, 0)))
    outlines, distances = (bow, rectangle(100, 50), bow), ((10, 5), (40, 10, 7, 0), (3, 20))
    found = outset_all(outlines, distances)
    for edges, by, cut in zip(outlines, distances, found, strict=True):
        for alone, one in zip(outset(edges, by), cut, strict=True):
            assert one.cubics == pytest.approx(alone.cubics, abs=1e-9)
    assert outset_all((), ()) == []
    with pytest.raises(CurveError):
        outset_all((bow, bow[:1]), ((1, 1), (1,)))


def test_a_mitre_between_curves_goes_straight_on() -> None:
    bow = cubic((0, 0), (30, -30), (70, -30), (100, 0))
    cut = outset((bow, line((100, 0), (0, 0))), (10, 10))
    # The bow ends at 45 degrees: its tangent, 10 mm out, meets the line y = 10.
    x = 100 + 10 * math.sqrt(2) + 10
    assert cut[0].end == cut[1].start == pytest.approx((x, 10))
    assert direction_at(cut[0], len(cut[0])) == pytest.approx((math.sqrt(0.5), math.sqrt(0.5)))
    assert corners(cut[1]) == [(round(x, 6), 10), (round(100 - x, 6), 10)]


def test_an_inside_corner_between_curves_is_trimmed_on_both() -> None:
    # A heart: two bows that meet at an inside corner at the top.
    left = cubic((0, 0), (-20, 60), (-100, 60), (-60, -60))
    heart = (cubic((-60, -60), (-20, -110), (20, -110), (60, -60)), left.mirrored((0, 0), (0, 1)))
    edges = (heart[0], heart[1].reversed(), left)
    cut = outset(edges, (6, 8, 8))
    assert cut[1].end == cut[2].start
    assert cut[1].end[0] == pytest.approx(0, abs=1e-9)
    assert nearest_many(join(edges), [cut[1].end])[1][0] == pytest.approx(8, abs=0.02)
    assert is_simple(join(cut))
    unlike = outset(edges, (6, 5, 9))
    d = [nearest_many(e, [unlike[1].end])[1][0] for e in edges[1:]]
    assert d == pytest.approx([5, 9], abs=0.02)


def test_one_edge_is_extended_to_where_the_other_is_trimmed() -> None:
    # An obtuse corner between a narrow and a wide distance: the wide one loses length.
    a = line((0, 0), (100, 0))
    b = through([(100, 0), (130, 60), (140, 130)])
    c = line((140, 130), (0, 0))
    cut = outset((a, b, c), (0, 40, 10))
    assert cut[0].end == cut[1].start
    assert cut[0].end[1] == pytest.approx(0, abs=1e-9)
    assert nearest_many(b, [cut[0].end])[1][0] == pytest.approx(40, abs=3)
    assert is_simple(join(cut))


@settings(max_examples=30, deadline=None, derandomize=True)
@given(
    st.lists(st.floats(150, 300), min_size=3, max_size=6),
    st.lists(st.sampled_from([0.0, 6.0, 10.0, 25.0]), min_size=6, max_size=6),
    st.floats(-25, 25),
    angles,
)
# A prolongation that meets a bow twice ends at the nearer crossing, from whichever side it comes.
@example([150.0, 150.0, 272.0, 150.0, 197.0, 150.0], [0.0, 0.0, 0.0, 25.0, 0.0, 0.0], 23.0, 0.0)
# One that meets it nowhere, as the bow falls away from it, becomes a step.
@example([150.0, 150.0, 172.0, 150.0, 205.0, 150.0], [0.0, 0.0, 10.0, 25.0, 0.0, 0.0], 25.0, 0.0)
def test_outlines_of_curved_edges(
    radii: list[float], widths: list[float], bow: float, angle: float
) -> None:
    n = len(radii)
    a = 2 * math.pi * np.arange(n) / n
    xy = np.array(radii)[:, None] * np.column_stack([np.cos(a), np.sin(a)])
    edges = []
    for p, q in zip(xy, np.roll(xy, -1, axis=0), strict=True):
        ahead = (q - p) / np.hypot(*(q - p))
        edges.append(through([p, (p + q) / 2 + bow * np.array([ahead[1], -ahead[0]]), q]))
    cut = outset(edges, widths[:n])
    outline = join(cut)
    assert outline.closed
    assert is_simple(outline)
    assert area(outline) >= area(join(edges)) - 1e-6
    for before, after in zip(cut, cut[1:] + cut[:1], strict=True):
        assert before.end == after.start
    turned = outset([e.turned(angle) for e in edges], widths[:n])
    assert area(join(turned)) == pytest.approx(area(outline), rel=1e-9)
    back = outset([e.reversed() for e in edges[::-1]], [-w for w in widths[:n][::-1]])
    assert area(join(back)) == pytest.approx(-area(outline), rel=1e-9)


def test_a_path_that_turns_back_is_walked_round_its_tip() -> None:
    """Where two tangents are opposite there is no mitre: the cap goes on by the distance."""
    there_and_back = offset(polyline([(0, 0), (100, 0), (0, 0)]), 10)
    ring = [(110, -10), (110, 0), (110, 10), (-10, 10), (-10, 0), (-10, -10), (110, -10)]
    seen = corners(there_and_back)
    assert seen in [ring[n:] + ring[1 : n + 1] for n in range(len(ring))]
    sharp = offset(polyline([(0, 0), (100, 0), (10, 20)]), 10)
    assert direction_at(sharp, 0.5) == pytest.approx((1, 0))
    assert corners(sharp)[:2] == [(0, -10), (110, -10)]
    tip = points_at(sharp, np.linspace(0, len(sharp), 400))
    away = nearest_many(polyline([(0, 0), (100, 0), (10, 20)]), tip)[1]
    assert away.min() >= 10 - 1e-6
    assert away.max() <= 10 * math.sqrt(2.0) + 1e-6


@pytest.mark.parametrize("distance", [-12.0, -6.0, -3.0, 6.0])
@pytest.mark.parametrize("angle", [0.0, 2.0])
def test_an_edge_that_ends_where_it_began_is_cut_or_prolonged_there(
    distance: float, angle: float
) -> None:
    """A drop, one cubic alone: inside, its parallel crosses itself and loses both its ends."""
    drop = cubic((0, 0), (90, 70), (-90, 70), (0, 0)).turned(angle)
    (cut,) = outset((drop,), (distance,))
    assert cut.closed
    assert is_simple(cut)
    away = nearest_many(drop, points_at(cut, np.linspace(0, len(cut), 500)))[1]
    assert away.min() == pytest.approx(abs(distance), abs=0.02)
    if distance < 0.0:
        assert away.max() == pytest.approx(-distance, abs=0.02)
    assert (area(cut) > area(drop)) is (distance > 0.0)


def test_what_is_refused() -> None:
    square = rectangle(100, 50)
    with pytest.raises(CurveError, match="do not meet"):
        outset(square[:3], (1, 1, 1))
    with pytest.raises(CurveError, match="one distance"):
        outset(square, (1, 1, 1))
    with pytest.raises(CurveError, match="disappears"):
        outset(square, (-30, -30, -30, -30))
    notch = [(0, 0), (100, 0), (100, 50), (60, 50), (50, 40), (40, 50), (0, 50), (0, 0)]
    edges = [line(p, q) for p, q in pairwise(notch)]
    assert is_simple(join(outset(edges, [10] * 7)))
    with pytest.raises(CurveError, match=r"short edges|disappears"):
        outset(edges, [80] * 7)


def test_ends_that_nearly_meet_are_moved_together_without_a_stub() -> None:
    """Lines that turn by a hundred-thousandth: their parallels end a quarter of a micron apart."""
    a, b, c, d = (0.0, 0.0), (100.0, 0.0), (200.0, 100.0 * 1e-5), (100.0, 150.0)
    edges = [line(p, q) for p, q in ((a, b), (b, c), (c, d), (d, a))]
    cut = outset(edges, [25.0] * 4)
    chords = np.concatenate([p.cubics[:, 3] - p.cubics[:, 0] for p in cut])
    assert np.hypot(*chords.T).min() > 1.0
    assert cut[0].end == cut[1].start == pytest.approx((100.0, -25.0), abs=1e-3)
