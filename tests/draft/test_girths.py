"""The girth of a leg at every height, and the profile of a pattern against it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from scipy.interpolate import CubicSpline

from outseam.draft.block.profile import inseam_lean_deg, leg_widths, profile_of
from outseam.draft.body.estimate import Body, complete
from outseam.draft.body.limb import (
    ANKLE_OF_KNEE,
    CALF_OF_KNEE,
    limb_of,
    lower_thigh_mm,
    spline_slopes,
)
from outseam.draft.model import Pattern
from outseam.draft.piece.ruler import x_at

Make = Callable[..., Pattern]


def test_slopes_are_those_of_the_spline_of_scipy() -> None:
    x = np.array([0.0, 1.0, 2.5, 2.8, 6.0])
    y = np.array([3.0, 1.0, 4.0, 4.2, -1.0])
    natural = CubicSpline(x, y, bc_type="natural").derivative()(x)
    assert spline_slopes(x, y) == pytest.approx(natural)
    flat = CubicSpline(x, y, bc_type=((1, 0.0), (2, 0.0))).derivative()(x)
    assert spline_slopes(x, y, 0.0) == pytest.approx(flat)


def test_the_curve_runs_through_what_was_measured(measured: Body) -> None:
    m = complete(measured)
    limb = limb_of(m)
    for share, girth in ((ANKLE_OF_KNEE, m.ankle), (CALF_OF_KNEE, m.calf), (1.0, m.knee)):
        assert limb.at(share * m.knee_height) == pytest.approx(girth)
    assert limb.at(m.inside_leg - 15.0) == pytest.approx(m.thigh)
    # No jump of curvature anywhere between.
    h = np.linspace(ANKLE_OF_KNEE * m.knee_height + 1.0, m.inside_leg - 16.0, 4000)
    bend = np.diff(limb.line.slope_at(h)) / np.diff(h)
    assert np.abs(np.diff(bend)).max() < 0.002


def test_what_was_not_measured_is_less_sure(measured: Body) -> None:
    m = complete(measured)
    guessed = complete(replace(measured, thigh=None, knee=None, calf=None, ankle=None))
    h = np.array([m.knee_height, 0.5 * (m.knee_height + m.inside_leg), m.inside_leg - 15.0])
    sure, unsure = limb_of(m).sd_at(h), limb_of(guessed).sd_at(h)
    assert sure[0] == pytest.approx(0.0)
    assert (unsure > sure).all()
    assert 5.0 < sure[1] < 25.0


def test_the_lower_thigh_of_the_mean_woman(measured: Body) -> None:
    """ANSUR II, women: thigh 61.2, lower thigh 39.8 cm (means of the survey's figures)."""
    mm, sd = lower_thigh_mm(complete(measured))
    assert mm / measured.thigh == pytest.approx(39.8 / 61.2, abs=0.06)  # type: ignore[operator]
    assert 8.0 < sd < 20.0


def test_the_profile_is_that_of_the_drawn_panels(make_pattern: Make) -> None:
    pattern = make_pattern(leg="close", fit="close")
    block = pattern.block
    profile = profile_of(block, pattern.measures)
    assert np.diff(profile.heights) == pytest.approx(-20.0)
    assert profile.heights[0] == pytest.approx(block.front.hip_y + block.crotch_line_height_mm)
    for height, girth in zip(profile.heights, profile.pattern, strict=True):
        y = height - block.crotch_line_height_mm
        if y > -10.0:
            continue
        wide = 0.0
        for panel in (block.front, block.back):
            left, right = x_at(panel.outseam, y), x_at(panel.inseam, y)
            assert left is not None
            assert right is not None
            wide += right - left
        assert girth == pytest.approx(wide, abs=0.01)
        assert leg_widths(block, np.array([y]))[0] == pytest.approx(wide, abs=0.01)


def test_leans_are_those_of_the_drawn_inseams(make_pattern: Make) -> None:
    upright = inseam_lean_deg(make_pattern(leg="palazzo", fit="loose").block)
    leaning = inseam_lean_deg(make_pattern(leg="close", fit="close").block)
    assert upright["front"] < leaning["front"] < 30.0
    assert upright["back"] < leaning["back"] < 30.0
