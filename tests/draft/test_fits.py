"""Ease from fit and fabric: monotone, without jumps, and refused where the fabric cannot."""

from __future__ import annotations

import numpy as np
import pytest

from outseam.draft.fits import (
    FIT_NAMES,
    FITS,
    KNIT_STRETCH,
    PULL_SHARE,
    RIGID_STRETCH,
    WEAR_SHARE,
    Fit,
    ease_for,
    fit_named,
)
from outseam.draft.inputs.errors import InputError

WOVEN_FITS = tuple(f for f in FITS if f.woven_hip_mm is not None)
ids = [f.name for f in FITS]


@pytest.mark.parametrize("fit", FITS, ids=ids)
def test_reductions_are_met_at_their_stretch_and_run_straight_between(fit: Fit) -> None:
    for (s0, e0), (s1, e1) in zip(fit.knit_ease, fit.knit_ease[1:], strict=False):
        for share in (0.0, 0.25, 1.0):
            got = ease_for(fit, s0 + share * (s1 - s0), 1000.0).hip_ratio
            assert got == pytest.approx(e0 + share * (e1 - e0))
    # A fabric that stretches beyond the table is not drafted ever smaller.
    assert ease_for(fit, 3.0, 1000.0).hip_ratio == pytest.approx(fit.knit_ease[-1][1])


@pytest.mark.parametrize("fit", FITS, ids=ids)
def test_more_stretch_never_means_more_ease(fit: Fit) -> None:
    start = 0.0 if fit.woven_hip_mm is not None else KNIT_STRETCH
    ratios = [ease_for(fit, s, 980.0).hip_ratio for s in np.linspace(start, 1.5, 301)]
    assert (np.diff(ratios) <= 1e-12).all()


@pytest.mark.parametrize("fit", WOVEN_FITS, ids=lambda f: f.name)
def test_from_woven_to_knit_there_is_no_jump(fit: Fit) -> None:
    stretches = np.linspace(0.0, 0.3, 601)
    ratios = np.array([ease_for(fit, s, 1040.0).hip_ratio for s in stretches])
    steepest = max(abs(np.diff(ratios) / np.diff(stretches)))
    assert steepest < 1.0
    rigid = ease_for(fit, RIGID_STRETCH, 1040.0)
    assert rigid.hip_ratio == pytest.approx(ease_for(fit, 0.0, 1040.0).hip_ratio)
    assert ratios[0] > ratios[-1]


@pytest.mark.parametrize("fit", WOVEN_FITS, ids=lambda f: f.name)
@pytest.mark.parametrize("hip", [840.0, 1320.0])
def test_a_woven_has_its_ease_in_millimetres_at_the_hip(fit: Fit, hip: float) -> None:
    assert fit.woven_hip_mm is not None
    assert ease_for(fit, 0.0, hip).hip_ratio * hip == pytest.approx(fit.woven_hip_mm)


def test_a_close_fit_is_refused_in_a_fabric_that_does_not_stretch() -> None:
    close = fit_named("close")
    with pytest.raises(InputError) as error:
        ease_for(close, KNIT_STRETCH - 0.01, 1000.0)
    assert error.value.field == "style.fit"
    assert "17 %" in error.value.got
    assert "18 %" in error.value.allowed
    assert ease_for(close, KNIT_STRETCH, 1000.0).hip_ratio < 0.0


@pytest.mark.parametrize("stretch", [0.18, 0.25, 0.5, 0.75, 1.0, 2.0])
def test_fits_come_in_the_order_of_their_ease(stretch: float) -> None:
    close, easy, loose = (
        ease_for(fit_named(n), stretch, 1000.0) for n in ("close", "easy", "loose")
    )
    assert close.hip_ratio < easy.hip_ratio < loose.hip_ratio
    assert close.limb_ratio < easy.limb_ratio < loose.limb_ratio
    assert close.fit.crotch_ease_mm < easy.fit.crotch_ease_mm < loose.fit.crotch_ease_mm
    # Only close is worn stretched over the leg; loose everywhere stands off the body.
    assert close.limb_ratio < 0.0 < loose.hip_ratio


@pytest.mark.parametrize("fit", FITS, ids=ids)
@pytest.mark.parametrize("stretch", [0.18, 0.25, 0.5, 0.75, 1.0])
def test_no_fit_strains_a_fabric_beyond_what_wears_well(fit: Fit, stretch: float) -> None:
    ease = ease_for(fit, stretch, 1000.0)
    worn = 1.0 / (1.0 + min(ease.hip_ratio, ease.thigh_ratio, ease.limb_ratio)) - 1.0
    assert worn <= ease.wear_strain
    assert ease.wear_strain == WEAR_SHARE * stretch
    assert ease.pull_strain == PULL_SHARE * stretch
    assert 0.0 < ease.wear_strain < ease.pull_strain < stretch


@pytest.mark.parametrize("fit", FITS, ids=ids)
def test_the_waist_is_never_eased_more_than_the_hip(fit: Fit) -> None:
    for stretch in (0.18, 0.5, 1.0):
        ease = ease_for(fit, stretch, 1000.0)
        assert abs(ease.waist_ratio) <= abs(ease.hip_ratio)


def test_names() -> None:
    assert len(set(FIT_NAMES)) == len(FITS)
    assert all(fit_named(name).name == name for name in FIT_NAMES)
