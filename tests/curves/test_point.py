"""Points and directions of the plane, by hand."""

from __future__ import annotations

import math

import pytest
from figures import angles
from hypothesis import given
from hypothesis import strategies as st

from outseam.curves.point import left_of, right_of, turn, unit


def at(angle: float, size: float = 1.0) -> tuple[float, float]:
    return size * math.cos(angle), size * math.sin(angle)


@given(angles, st.floats(-3.1, 3.1), st.floats(0.1, 50.0), st.floats(0.1, 50.0))
def test_a_turn_is_the_angle_between_directions_of_any_length(
    angle: float, by: float, one: float, other: float
) -> None:
    assert turn(at(angle, one), at(angle + by, other)) == pytest.approx(by, abs=1e-9)


@given(angles, st.floats(0.1, 50.0))
def test_left_and_right_are_square_to_a_direction(angle: float, size: float) -> None:
    assert left_of(at(angle, size)) == pytest.approx(at(angle + math.pi / 2, size), abs=1e-9)
    assert right_of(at(angle, size)) == pytest.approx(at(angle - math.pi / 2, size), abs=1e-9)
    assert unit(at(angle, size)) == pytest.approx(at(angle), abs=1e-9)
