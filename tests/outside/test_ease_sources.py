"""Ease and reduction against their sources.

Keith Richardson, Designing and Patternmaking for Stretch Fabrics (from memory); New Mexico State
University Cooperative Extension, Guide C-209 (woven ease, inches); common practice where said.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from outseam.draft.body.estimate import Body
from outseam.draft.checks.strain import levels
from outseam.draft.fabric import Fabric
from outseam.draft.fits import FITS, ease_for, fit_named
from outseam.draft.legs import LEG_NAMES
from outseam.draft.model import Pattern

Make = Callable[..., Pattern]

INCH = 25.4


@pytest.mark.parametrize(
    ("stretch", "reduction"), [(0.18, 0.0), (0.25, 0.02), (0.50, 0.03), (1.00, 0.05)]
)
def test_reductions_by_stretch_class(stretch: float, reduction: float) -> None:
    """Richardson (from memory): stable 0, moderate 2, stretchy 3, super-stretch 5 %."""
    assert ease_for(fit_named("easy"), stretch, 1000.0).hip_ratio == pytest.approx(-reduction)


@pytest.mark.parametrize(
    ("stretch", "low", "high"), [(0.50, 0.05, 0.10), (0.75, 0.10, 0.20), (1.0, 0.10, 0.20)]
)
def test_reductions_of_close_leggings(stretch: float, low: float, high: float) -> None:
    """5-10 % at 50 % stretch, 10-20 % at 75-100 %: common practice, no source."""
    assert low <= -ease_for(fit_named("close"), stretch, 1000.0).hip_ratio <= high


def test_a_reduction_and_the_strain_it_makes(make_pattern: Make, measured: Body) -> None:
    """Arithmetic: a hip of 96 reduced by 10 % is 86.4, and worn it is strained by 11.1 %."""
    close = fit_named("close")
    stretches = np.linspace(0.5, 1.0, 5001)
    ratios = [ease_for(close, s, 960.0).hip_ratio for s in stretches]
    stretch = float(stretches[int(np.argmin(np.abs(np.array(ratios) + 0.10)))])
    body = replace(measured, hip=960.0)
    pattern = make_pattern(body, Fabric(stretch_across=stretch), fit="close", leg="close")
    assert pattern.block.hip_mm == pytest.approx(864.0, abs=0.5)
    (hip,) = [x for x in levels(pattern) if x.name == "hip"]
    # Measured across the panels, which lean a little at the centre.
    assert hip.pattern_mm == pytest.approx(864.0, abs=1.5)
    assert hip.strain == pytest.approx(0.111, abs=0.002)


def woven(make_pattern: Make, hip: float, fit: str, leg: str) -> Pattern:
    body = Body(height=1660.0, waist=0.78 * hip, hip=hip, inside_leg=765.0)
    return make_pattern(body, Fabric(kind="woven"), fit=fit, leg=leg)


@pytest.mark.parametrize("hip", [840.0, 960.0, 1080.0, 1200.0, 1320.0])
def test_woven_ease_at_the_hip(make_pattern: Make, hip: float) -> None:
    """Guide C-209: 2-4 in for trousers with a fitted waist; pull-on, relaxed, 8-12 cm (common
    practice). The easy fit lies in both bands, the loose one in the second.
    """
    ease = woven(make_pattern, hip, "easy", "straight").block.hip_mm - hip
    assert 2 * INCH <= ease <= 4 * INCH
    for fit in ("easy", "loose"):
        ease = woven(make_pattern, hip, fit, "straight").block.hip_mm - hip
        assert 79.9 <= ease <= 120.1


@pytest.mark.parametrize("hip", [840.0, 1080.0, 1320.0])
@pytest.mark.parametrize("leg", [n for n in LEG_NAMES if n != "close"])
def test_woven_ease_at_thigh_and_knee(make_pattern: Make, leg: str, hip: float) -> None:
    """Guide C-209: thigh 1-2 in, knee at least 1 in. What is asked for at the thigh is the least
    girth; the forks may draw it fuller.
    """
    pattern = woven(make_pattern, hip, "easy", leg)
    at = {x.name: x for x in levels(pattern)}
    assert at["knee"].ease_mm >= INCH
    assert at["thigh"].ease_mm >= INCH
    least = pattern.measures.thigh * pattern.block.ease.thigh_ratio
    assert INCH <= least <= 2.2 * INCH


def test_crotch_depth_ease() -> None:
    """Guide C-209: 1/2, 3/4 or 1 in by the hip; pull-on, relaxed, 2-3 cm (common practice).

    Our drop is below a crotch height taken with a firm rod, which lies about 2 cm above the seat
    of a chair that a rise is measured to (from memory, give or take half a centimetre).
    """
    against_seat = {f.name: f.drop_mm - 20.0 for f in FITS}
    assert against_seat["close"] == pytest.approx(0.0, abs=5.0)
    assert 0.5 * INCH - 5.0 <= against_seat["easy"] <= 1.0 * INCH + 5.0
    assert 20.0 - 5.0 <= against_seat["loose"] <= 30.0 + 5.0
