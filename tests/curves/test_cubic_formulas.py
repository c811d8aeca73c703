"""One cubic as formulas: beside the paths of the package, elementwise, and as derivatives."""

from __future__ import annotations

import math

import numpy as np
import pytest

from outseam.curves.cubic_formulas import arc_length, hermite, unit
from outseam.curves.length import length
from outseam.curves.path import path


def test_lengths_are_those_of_the_path() -> None:
    chance = np.random.default_rng(3)
    gentle = np.array([[0, 0], [100, 0], [200, 0], [300, 0]]) + chance.uniform(-40, 40, (50, 4, 2))
    one_by_one = [length(path(c[None]), 1e-9) for c in gentle]
    together = arc_length(*((gentle[:, k, 0], gentle[:, k, 1]) for k in range(4)))
    assert together == pytest.approx(one_by_one, abs=1e-4)
    for c, mm in zip(gentle, one_by_one, strict=True):
        assert arc_length(*(tuple(p) for p in c)) == pytest.approx(mm, abs=1e-4)


def test_a_straight_line_is_as_long_as_it_is_and_so_is_its_derivative() -> None:
    """Complex step: the imaginary part over the step is the derivative, cos of the slope here when
    the end moves across and its sine when it moves up.
    """
    step = 1e-30
    end = (300.0 + 1j * step * np.array([1.0, 0.0]), 400.0 + 1j * step * np.array([0.0, 1.0]))
    thirds = [(end[0] * k / 3.0, end[1] * k / 3.0) for k in range(4)]
    mm = arc_length(*thirds)
    assert mm.real == pytest.approx(500.0)
    assert mm.imag / step == pytest.approx([0.6, 0.8])


def test_handles_lie_along_the_directions() -> None:
    p, q = (10.0, 20.0), (40.0, 60.0)
    one, two = unit(3.0, 4.0), unit(0.0, -2.0)
    assert one == pytest.approx((0.6, 0.8))
    a, b, c, d = hermite(p, one, q, two, (0.2, 0.4))
    assert (a, d) == (p, q)
    assert b == pytest.approx((16.0, 28.0))
    assert c == pytest.approx((40.0, 80.0))
    b, c = hermite(p, one, q, two)[1:3]
    assert [math.dist(p, b), math.dist(q, c)] == pytest.approx([50.0 / 3.0] * 2)
