"""Parts of paths keep points and lengths."""

import math

import numpy as np
import pytest
from figures import paths, three
from hypothesis import given, settings
from hypothesis import strategies as st

from outseam.curves.errors import CurveError
from outseam.curves.evaluate import direction_at, point_at, points_at
from outseam.curves.length import length, lengths_at
from outseam.curves.offset import offset
from outseam.curves.path import cubic, line, polyline
from outseam.curves.split import extend, split, subpath


@pytest.mark.parametrize("u", [0.25, 1.0, 1.6, 2.999])
def test_splitting(u: float) -> None:
    p = three()
    a, b = split(p, u)
    assert a.end == b.start == pytest.approx(point_at(p, u), abs=1e-12)
    assert (a.start, b.end) == (p.start, p.end)
    assert (len(a), len(b)) == (math.ceil(u), 3 - math.floor(u))
    assert length(a) == pytest.approx(lengths_at(p, [u])[0], abs=2e-4)
    assert length(a) + length(b) == pytest.approx(length(p), abs=3e-4)


def test_splitting_a_cubic_in_half_gives_the_averages() -> None:
    a, b = split(cubic((0, 0), (0, 8), (8, 8), (8, 0)), 0.5)
    assert a.cubics.tolist() == [[[0, 0], [0, 4], [2, 6], [4, 6]]]
    assert b.cubics.tolist() == [[[4, 6], [6, 6], [8, 4], [8, 0]]]


@settings(max_examples=30, deadline=None, derandomize=True)
@given(paths(), st.floats(0, 0.9), st.floats(0.05, 1))
def test_a_part_is_the_same_curve(p, first: float, share: float) -> None:
    n = len(p)
    u0 = first * n
    u1 = u0 + share * (n - u0)
    q = subpath(p, u0, u1)
    assert q.start == pytest.approx(point_at(p, u0), abs=1e-9)
    assert q.end == pytest.approx(point_at(p, u1), abs=1e-9)
    assert length(q, 1e-7) == pytest.approx(
        lengths_at(p, [u1], 1e-7)[0] - lengths_at(p, [u0], 1e-7)[0], abs=4e-7
    )
    # Inside one segment the parameter is mapped linearly.
    k = int(u0)
    if u1 <= k + 1:
        t = np.linspace(0, 1, 7)
        assert points_at(q, t) == pytest.approx(points_at(p, u0 + t * (u1 - u0)), abs=1e-9)


def test_parts_at_joints_have_no_slivers() -> None:
    p = three()
    assert len(subpath(p, 1.0, 2.0)) == 1
    assert subpath(p, 1.0, 2.0).cubics[0].tolist() == p.cubics[1].tolist()
    assert len(subpath(p, 1.0 - 1e-14, 2.0 + 1e-14)) == 1
    assert subpath(p, 0.0, 3.0).cubics.tolist() == p.cubics.tolist()


def test_extensions_are_straight_and_as_long_as_asked() -> None:
    p = three()
    q = extend(p, 15, 40)
    assert len(q) == 5
    assert length(q) == pytest.approx(length(p) + 55, abs=1e-3)
    assert q.start == pytest.approx((-15, 0))
    assert q.end == pytest.approx((240, 240))
    assert direction_at(q, 0.5) == pytest.approx(direction_at(p, 0), abs=1e-12)
    assert extend(p).cubics.tolist() == p.cubics.tolist()
    assert extend(line((0, 0), (3, 4)), at_end_mm=5).end == pytest.approx((6, 8))


@pytest.mark.parametrize("u", [0.0, 3.0, -1.0, 4.0, math.nan])
def test_splitting_at_or_beyond_an_end_is_refused(u: float) -> None:
    with pytest.raises(CurveError, match="inside"):
        split(three(), u)


@pytest.mark.parametrize("ends", [(1.0, 1.0), (2.0, 1.0), (-0.5, 1.0), (1.0, 3.5), (0.0, math.nan)])
def test_parts_must_run_forward_on_the_path(ends: tuple[float, float]) -> None:
    with pytest.raises(CurveError, match="must rise"):
        subpath(three(), *ends)


def test_negative_extensions_are_refused() -> None:
    with pytest.raises(CurveError, match="negative"):
        extend(three(), -1.0)


def test_a_cut_just_beside_a_joint_leaves_no_stub() -> None:
    path = polyline([(0, -9), (0, 0), (10, 0), (10, 30), (0, 30)])
    for u in (2.0, 2.0 + 1e-10, 2.0 - 1e-10):
        assert subpath(path, 0.0, u).end_direction == pytest.approx((1.0, 0.0))
        assert subpath(path, u, 4.0).start_direction == pytest.approx((0.0, 1.0))
        assert len(subpath(path, 0.0, u)) == len(subpath(path, u, 4.0)) == 2


@pytest.mark.parametrize("off_mm", [1e-9, 2e-6, 9e-5])
def test_a_cut_as_near_to_a_joint_as_lengths_are_measured_leaves_no_stub(off_mm: float) -> None:
    """Its end stays where it was cut: the next path begins there."""
    path = polyline([(0, -9), (0, 0), (10, 0), (10, 30), (0, 30)])
    before, after = 2.0 + off_mm / 30.0, 2.0 - off_mm / 10.0
    low, high = subpath(path, 0.0, before), subpath(path, after, 4.0)
    assert len(low) == len(high) == 2
    assert low.end == pytest.approx((10.0, off_mm), abs=1e-12)
    assert high.start == pytest.approx((10.0 - off_mm, 0.0), abs=1e-12)
    assert low.end_direction == pytest.approx((1.0, 0.0), abs=1e-4)
    assert high.start_direction == pytest.approx((0.0, 1.0), abs=1e-4)
    assert offset(low, 3.0).end == pytest.approx((10.0, -3.0), abs=1e-3)


def test_a_part_of_no_length_to_speak_of_is_still_a_path() -> None:
    """Shorter than what counts as a gap, and all that is left."""
    part = subpath(line((0, 0), (100, 0)), 0.5, 0.5 + 4e-9)
    assert len(part) == 1
    assert part.start == pytest.approx((50.0, 0.0))
