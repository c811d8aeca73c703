"""Arc length: closed forms over a sweep of accuracies, cusps, and the way back."""

import math

import numpy as np
import pytest
from figures import angles, parabola, parabola_length, paths, quarter, three
from hypothesis import given, settings
from hypothesis import strategies as st

from outseam.curves.errors import CurveError
from outseam.curves.evaluate import points_at
from outseam.curves.length import (
    NODES,
    WEIGHTS,
    length,
    lengths,
    lengths_at,
    param_at_length,
    params_at_lengths,
)
from outseam.curves.path import cubic, join, line, path
from outseam.curves.split import extend

ACCURACIES = [1.0, 1e-2, 1e-4, 1e-6, 1e-9]
#: Rounding of sums of a few hundred millimetres.
ROUNDING = 1e-10


def test_the_rule_is_exact_to_degree_31() -> None:
    for k in range(32):
        assert (NODES**k) @ WEIGHTS == pytest.approx(1 / (k + 1), rel=1e-14)
    assert abs(((2 * NODES - 1) ** 32) @ WEIGHTS - 1 / 33) > 1e-10


@pytest.mark.parametrize("accuracy", ACCURACIES)
@pytest.mark.parametrize("height", [0.0, 1.0, 30.0, 400.0, 5000.0])
def test_parabola(height: float, accuracy: float) -> None:
    want = parabola_length(40, height) if height else 40.0
    assert abs(length(parabola(40, height), accuracy) - want) <= accuracy + ROUNDING


@pytest.mark.parametrize("accuracy", ACCURACIES)
@pytest.mark.parametrize("a", [1e-9, 1e-6, 1e-3, 0.1, 10.0, 60.0, 120.0])
def test_sharp_turn(a: float, accuracy: float) -> None:
    # x = a t, y = 100 t^2 for t in [-1, 1], walked as one cubic: a turn of radius a^2 / 200.
    third = 2 / 3
    p = cubic(
        (-a, 100), (-a + third * a, 100 - third * 200), (a - third * a, 100 - third * 200), (a, 100)
    )
    q = 200 / a
    want = a * (math.sqrt(1 + q * q) + math.asinh(q) / q)
    assert abs(length(p, accuracy) - want) <= accuracy + ROUNDING


@pytest.mark.parametrize("accuracy", ACCURACIES)
@pytest.mark.parametrize("t", [0.5, 0.2, 0.31415926, 0.0123, 0.9999])
def test_cusp(t: float, accuracy: float) -> None:
    # x = 3 (s - t)^2 k, y = 2 (s - t)^3 k: a semicubical parabola with its cusp at s = t, whose
    # length from the cusp is 2 k ((1 + s^2)^1.5 - 1), the first curve ever rectified.
    k = 50.0
    xy = [(3 * k * (s - t) ** 2, 2 * k * (s - t) ** 3) for s in (0.0, 1.0)]
    v = [(6 * k * (s - t), 6 * k * (s - t) ** 2) for s in (0.0, 1.0)]
    handles = [
        (xy[0][0] + v[0][0] / 3, xy[0][1] + v[0][1] / 3),
        (xy[1][0] - v[1][0] / 3, xy[1][1] - v[1][1] / 3),
    ]
    p = cubic(xy[0], *handles, xy[1])
    want = sum(2 * k * ((1 + s * s) ** 1.5 - 1) for s in (t, 1 - t))
    assert abs(length(p, accuracy) - want) <= accuracy + ROUNDING
    assert (
        abs(lengths_at(p, [t], accuracy)[0] - 2 * k * ((1 + t * t) ** 1.5 - 1))
        <= accuracy + ROUNDING
    )


@pytest.mark.parametrize("accuracy", ACCURACIES)
def test_a_line_that_runs_back_on_itself(accuracy: float) -> None:
    # x = 300 t (1 - t): out to 75 and back.
    there_and_back = cubic((0, 0), (100, 0), (100, 0), (0, 0))
    assert abs(length(there_and_back, accuracy) - 150) <= accuracy + ROUNDING


def test_straight_lines_and_uneven_handles() -> None:
    assert length(line((0, 0), (30, 40))) == pytest.approx(50, abs=1e-12)
    uneven = cubic((0, 0), (0, 0), (29.9, 0), (30, 0))
    assert length(uneven, 1e-9) == pytest.approx(30, abs=1e-9)
    assert length(line((3, 4), (3, 4))) == 0.0


def test_quarter_circle_is_longer_than_the_circle_by_its_known_bulge() -> None:
    # The mean bulge is about half of the largest; the cubic cannot be shorter than the arc here.
    assert 0 < length(quarter(100), 1e-9) - 50 * math.pi < 100 * math.pi / 2 * 2.7253e-4
    assert length(quarter(100), 1e-9) - 50 * math.pi == pytest.approx(0.0220371, abs=1e-6)


def test_parts_add_up() -> None:
    p = join([three(), cubic((200, 240), (300, 340), (200, 340), (300, 240))])
    each = lengths(p, 1e-8)
    assert len(each) == 4
    assert each.sum() == pytest.approx(length(p, 1e-8), abs=1e-8)
    assert lengths_at(p, [0, 1, 2, 3, 4], 1e-8) == pytest.approx(
        np.concatenate([[0], np.cumsum(each)]), abs=2e-8
    )
    assert each[3] == pytest.approx(length(cubic(*p.cubics[3].tolist()), 1e-8), abs=1e-8)


@pytest.mark.parametrize("accuracy", ACCURACIES)
def test_there_and_back_again(accuracy: float) -> None:
    p = join([three(), cubic((200, 240), (300, 340), (200, 340), (300, 240))])
    s = np.linspace(0, length(p, 1e-9), 41)[1:-1]
    u = params_at_lengths(p, s, accuracy)
    assert np.abs(lengths_at(p, u, 1e-9) - s).max() <= accuracy + 1e-8
    assert (np.diff(u) > 0).all() or accuracy > 1e-2


def test_equal_steps_on_a_circle_are_equal_angles() -> None:
    p = quarter(100)
    u = params_at_lengths(p, length(p, 1e-9) * np.array([0.25, 0.5, 0.75]), 1e-9)
    x, y = points_at(p, u).T
    assert np.degrees(np.arctan2(y, x)) == pytest.approx([22.5, 45, 67.5], abs=2e-2)


def test_the_ends_are_reached() -> None:
    p = three()
    total = length(p)
    assert param_at_length(p, 0.0) == 0.0
    assert param_at_length(p, total) == pytest.approx(3.0, abs=1e-6)
    assert param_at_length(p, total + 5e-5) == pytest.approx(3.0, abs=1e-6)


@pytest.mark.parametrize("s", [-1.0, 1e4, math.nan])
def test_lengths_outside_are_refused(s: float) -> None:
    with pytest.raises(CurveError, match="not that long"):
        param_at_length(three(), s)


def test_nonsense_is_refused() -> None:
    with pytest.raises(CurveError, match="accuracy"):
        length(three(), 0.0)
    with pytest.raises(CurveError, match="must lie in"):
        lengths_at(three(), [3.5])


@settings(max_examples=30, deadline=None, derandomize=True)
@given(paths(), angles, st.floats(-500, 500))
def test_length_does_not_see_motions(p, angle: float, shift: float) -> None:
    want = length(p, 1e-7)
    assert length(p.turned(angle).moved(shift, -shift), 1e-7) == pytest.approx(want, abs=2e-7)
    assert length(p.reversed(), 1e-7) == pytest.approx(want, abs=2e-7)
    assert length(p.mirrored((0, 0), (3, 1)), 1e-7) == pytest.approx(want, abs=2e-7)
    chords = np.hypot(*np.diff(p.cubics[:, [0, 3]], axis=1)[:, 0].T).sum()
    polygon = np.hypot(*np.diff(p.cubics, axis=1).reshape(-1, 2).T).sum()
    assert chords - 1e-7 <= want <= polygon + 1e-7


@pytest.mark.parametrize("accuracy", [1e-1, 1e-2, 1e-4])
def test_the_accuracy_is_of_the_whole_path_however_many_segments(accuracy: float) -> None:
    one = cubic((0, 0), (80, 60), (20, 60), (100, 0))
    fine = length(one, 1e-10)
    many = join([one.moved(100.0 * i, 0.0) for i in range(200)])
    assert length(many, accuracy) == pytest.approx(200 * fine, abs=accuracy)


def test_what_was_asked_coarsely_is_not_kept_for_a_finer_question() -> None:
    """A sharp turn, whose segments are halved as often as the accuracy asks."""
    sharp = [[(0, 0), (100, 4), (-60, 4), (40, 0)]]
    first, second = path(sharp), path(sharp)
    fine, far = length(second), param_at_length(second, 40.0)
    assert abs(length(first, 2.0) - fine) < 2.0
    assert abs(param_at_length(first, 40.0, 2.0) - far) < 0.1
    assert length(first, 1e-9) == length(path(sharp), 1e-9) != length(first, 2.0)
    assert length(first) == fine
    assert param_at_length(first, 40.0) == far


@pytest.mark.parametrize("more", [1e-3, 0.4, 0.9, 3.0])
def test_a_path_grows_by_what_it_is_extended(more: float) -> None:
    p = three()
    for longer in (extend(p, more), extend(p, 0.0, more)):
        assert length(longer) - length(p) == pytest.approx(more, abs=1e-6)
