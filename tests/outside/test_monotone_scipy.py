"""The curve that keeps the shape of its values, against scipy's."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator

from outseam.curves.errors import CurveError
from outseam.curves.monotone import monotone_slopes, monotone_value


def test_slopes_and_values() -> None:
    chance = np.random.default_rng(6)
    for _ in range(300):
        n = int(chance.integers(2, 8))
        x = np.cumsum(chance.uniform(0.1, 200.0, n)).tolist()
        y = chance.choice([chance.uniform(300, 1200, n), np.repeat(700.0, n)]).tolist()
        curve = PchipInterpolator(x, y)
        assert monotone_slopes(x, y) == pytest.approx(curve.derivative()(x), abs=1e-9)
        for at in (x[0], x[-1], *chance.uniform(x[0], x[-1], 9).tolist()):
            assert monotone_value(x, y, at) == pytest.approx(float(curve(at)), abs=1e-9)


def test_places_that_do_not_rise_are_refused() -> None:
    with pytest.raises(CurveError):
        monotone_slopes([1.0, 1.0], [0.0, 1.0])
    with pytest.raises(CurveError):
        monotone_slopes([1.0], [0.0])
    with pytest.raises(CurveError):
        monotone_slopes([1.0, 2.0, 3.0], [0.0, 1.0])
    with pytest.raises(CurveError):
        monotone_value([0.0, 1.0], [0.0, 1.0], 1.5)
