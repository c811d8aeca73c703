"""What a path is, and its rigid and affine images."""

import math

import numpy as np
import pytest
from figures import three

from outseam.curves.errors import CurveError
from outseam.curves.evaluate import points_at
from outseam.curves.path import join, line, path, polyline


def test_a_line_has_its_handles_at_the_thirds() -> None:
    p = line((0, 0), (30, 60))
    assert p.cubics.tolist() == [[[0, 0], [10, 20], [20, 40], [30, 60]]]
    assert points_at(p, [0.25]).tolist() == [[7.5, 15.0]]
    assert line((1, 2), (7, 9)).cubics == pytest.approx(polyline([(1, 2), (7, 9)]).cubics)


def test_a_path_cannot_be_changed() -> None:
    for p in (line((0, 0), (1, 1)), three().moved(1, 2), three().reversed()):
        with pytest.raises(ValueError, match="read-only"):
            p.cubics[0, 0, 0] = 5.0


def test_small_gaps_are_closed_and_large_ones_refused() -> None:
    a, b = line((0, 0), (10, 0)), line((10 + 5e-7, 0), (20, 0))
    assert join([a, b]).cubics[1, 0].tolist() == [10, 0]
    with pytest.raises(CurveError, match="do not meet") as error:
        join([a, line((10.01, 0), (20, 0))])
    assert error.value.data["gap_mm"] == pytest.approx(0.01)


@pytest.mark.parametrize("bad", [math.nan, math.inf])
def test_numbers_must_be_finite(bad: float) -> None:
    with pytest.raises(CurveError, match="finite"):
        line((0, 0), (1, bad))
    with pytest.raises(CurveError, match="finite"):
        polyline([(0, 0), (1, bad), (2, 2)])


@pytest.mark.parametrize("shape", [(0, 4, 2), (1, 3, 2), (4, 2)])
def test_shapes_are_checked(shape: tuple[int, ...]) -> None:
    with pytest.raises(CurveError, match="shape"):
        path(np.zeros(shape))


@pytest.mark.parametrize("shape", [(3, 3), (1, 2), (0, 2), (4,), (2, 2, 2)])
def test_a_polyline_needs_two_points_of_the_plane(shape: tuple[int, ...]) -> None:
    with pytest.raises(CurveError, match="shape"):
        polyline(np.zeros(shape))


def test_mapping_moves_the_points_and_keeps_the_joints() -> None:
    p, u = three(), np.linspace(0, 3, 13)
    xy = points_at(p, u)
    q = p.mapped(2, 1, -1, 3, 5, 7)
    want = np.column_stack([2 * xy[:, 0] - xy[:, 1] + 5, xy[:, 0] + 3 * xy[:, 1] + 7])
    assert points_at(q, u) == pytest.approx(want, abs=1e-11)
    assert (q.cubics[1:, 0] == q.cubics[:-1, 3]).all()
    turned = p.turned(math.pi / 2)
    assert points_at(turned, u) == pytest.approx(np.column_stack([-xy[:, 1], xy[:, 0]]), abs=1e-11)


def test_mirroring_twice_is_nothing_and_keeps_the_axis() -> None:
    p, axis = three(), ((10.0, 5.0), (40.0, 70.0))
    once = p.mirrored(*axis)
    assert once.mirrored(*axis).cubics == pytest.approx(p.cubics, abs=1e-11)
    assert once.cubics != pytest.approx(p.cubics, abs=1.0)
    assert line(*axis).mirrored(*axis).cubics == pytest.approx(line(*axis).cubics, abs=1e-11)
    assert line((0, 3), (5, 3)).mirrored((0, 0), (1, 0)).end == (5, -3)


def test_reversing() -> None:
    p = three()
    assert p.reversed().start == p.end
    assert p.reversed().end_direction == pytest.approx(tuple(-x for x in p.start_direction))
    assert not p.closed
    assert join([p, line(p.end, p.start)]).closed
