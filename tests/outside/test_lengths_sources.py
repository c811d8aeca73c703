"""Lengths, rises, hems and size tables against what the trade and the standards say.

Length, rise and hem bands: common practice, no source. Knee and crotch heights: ANSUR II. Sizes:
EN 13402-3 (women, from memory) and ASTM D5585-95 (misses, from memory).
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from outseam.curves.length import length
from outseam.draft.body.estimate import Body, complete
from outseam.draft.body.population import BUILDS, NAMES, Build, condition, load_model
from outseam.draft.fabric import Fabric
from outseam.draft.fits import FIT_NAMES
from outseam.draft.lengths import length_named
from outseam.draft.model import Pattern
from outseam.draft.rises import rise_named

Make = Callable[..., Pattern]

INCH = 25.4

#: Share of the inside leg.
LENGTH_BANDS = {
    "full": (0.96, 1.00),
    "ankle": (0.90, 0.93),
    "seven-eighths": (0.85, 0.88),
    "cropped": (0.79, 0.84),
    "capri": (0.70, 0.80),
    "knee": (0.40, 0.45),
}
#: Top edge above the natural waist.
RISE_BANDS = {"high": (0.0, 50.0), "mid": (-60.0, -40.0), "low": (-110.0, -80.0)}
#: Finished hem, all round one leg. That of a close leg is stretched.
HEM_BANDS = {
    "close": (200.0, 240.0),
    "slim": (300.0, 360.0),
    "straight": (400.0, 460.0),
    "bootcut": (460.0, 520.0),
    "flare": (540.0, 660.0),
    "palazzo": (700.0, 1200.0),
}

#: waist and hip, cm
EN_13402 = (
    *((60, 84), (64, 88), (68, 92), (72, 96), (76, 100), (80, 104), (84, 108), (88, 112)),
    *((94, 117), (100, 122), (106, 127), (112, 132)),
)
#: misses 2-20: waist and hip, inches
ASTM_D5585 = tuple(
    zip(
        (24, 25, 26, 27, 28, 29.5, 31, 32.5, 34.5, 36.5),
        (34.5, 35.5, 36.5, 37.5, 38.5, 40, 41.5, 43, 45, 47),
        strict=True,
    )
)


def median(build: Build, name: str) -> float:
    model = load_model(build)
    at = NAMES.index(name)
    return 10 * float(np.exp(model.mean[at])) + float(model.lift_mm[at])


def average(build: Build) -> Body:
    height, waist, hip, leg = (median(build, n) for n in ("height", "waist", "hip", "inside_leg"))
    return Body(build=build, height=height, waist=waist, hip=hip, inside_leg=leg)


@pytest.mark.parametrize("build", BUILDS)
@pytest.mark.parametrize("name", LENGTH_BANDS)
def test_lengths_are_the_usual_share_of_the_inside_leg(build: Build, name: str) -> None:
    m = complete(average(build))
    low, high = LENGTH_BANDS[name]
    assert low <= 1.0 - length_named(name).hem_height_mm(m) / m.inside_leg <= high


@pytest.mark.parametrize("build", BUILDS)
def test_a_knee_is_where_the_survey_has_it(build: Build) -> None:
    """Mean knee height over crotch height .574 (women; men .577), so a leg that ends there has an
    inseam of .426.
    """
    ratio = median(build, "knee_height") / median(build, "inside_leg")
    assert ratio == pytest.approx(0.574, abs=0.006)
    assert length_named("knee").ratio == pytest.approx(1.0 - 0.574, abs=0.005)
    m = complete(average(build))
    assert length_named("knee").hem_height_mm(m) == pytest.approx(m.knee_height, abs=8.0)


@pytest.mark.parametrize("name", RISE_BANDS)
def test_rises_lie_where_the_trade_has_them(name: str) -> None:
    low, high = RISE_BANDS[name]
    assert low <= rise_named(name).above_natural_mm <= high


@pytest.mark.parametrize("hip", [960.0, 980.0, 1000.0])
@pytest.mark.parametrize("leg", HEM_BANDS)
def test_default_hems_of_an_average_woman(make_pattern: Make, leg: str, hip: float) -> None:
    body = Body(height=1660.0, waist=0.76 * hip, hip=hip, inside_leg=765.0)
    block = make_pattern(body, fit="close" if leg == "close" else "easy", leg=leg).block
    low, high = HEM_BANDS[leg]
    assert low <= length(block.front.hem) + length(block.back.hem) <= high


def test_the_full_inseam_of_the_average_woman(make_pattern: Make) -> None:
    """Between 28 and 30 in: the lengths that ready-made trousers come in (common practice)."""
    block = make_pattern(average("women"), leg="straight").block
    assert 28.0 * INCH <= length(block.front.inseam) <= 30.0 * INCH


def sized(waist_mm: float, hip_mm: float, height_mm: float) -> Body:
    """A woman of a size table; the leg she is not given is that of women of her height."""
    known = ("height", "waist", "hip")
    found = condition("women", known, (height_mm, waist_mm, hip_mm))
    leg = float(found.mm[found.names.index("inside_leg")])
    return Body(height=height_mm, waist=waist_mm, hip=hip_mm, inside_leg=leg)


SIZES = {
    **{f"EN {w}/{h}": sized(10.0 * w, 10.0 * h, 1680.0) for w, h in EN_13402},
    **{
        f"misses {2 * i + 2}": sized(w * INCH, h * INCH, 1651.0 + 5 * i)
        for i, (w, h) in enumerate(ASTM_D5585)
    },
}


@pytest.mark.parametrize("name", SIZES)
def test_every_size_of_the_tables_drafts_in_every_fit(make_pattern: Make, name: str) -> None:
    body = SIZES[name]
    for fit, leg, fabric in zip(
        FIT_NAMES,
        ("close", "straight", "palazzo"),
        (Fabric(stretch_across=0.75), Fabric(stretch_across=0.25), Fabric(kind="woven")),
        strict=True,
    ):
        pattern = make_pattern(body, fabric, fit=fit, leg=leg)
        assert [f for f in pattern.findings if f.level in ("error", "warning")] == []
        # A figure of a size table is an ordinary one: no proportion has to move far. In the largest
        # the crotch line comes to lie lower than handbooks draw it (see `drop`).
        moved = max(map(abs, pattern.block.solution.moved_sd))
        assert moved < (2.5 if body.hip <= 1125.0 else 4.0)


def test_larger_sizes_are_drafted_larger(make_pattern: Make) -> None:
    blocks = [make_pattern(SIZES[f"EN {w}/{h}"]).block for w, h in EN_13402]
    for get in (
        lambda b: b.hip_mm,
        lambda b: b.front.point[0] + b.back.point[0],
        lambda b: length(b.front.waist) + length(b.back.waist),
        lambda b: length(b.front.hem) + length(b.back.hem),
    ):
        assert (np.diff([get(b) for b in blocks]) > 0.0).all()
