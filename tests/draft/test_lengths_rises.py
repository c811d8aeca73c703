"""Named lengths and rises reach the places they name, on the drafted legs."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

import pytest

from outseam.cli.wording.sheet import length_words
from outseam.curves.length import length
from outseam.draft.block.block import crotch_target_mm, rise_of
from outseam.draft.body.estimate import Body, complete
from outseam.draft.body.population import load_model
from outseam.draft.checks.floor import hem_clearance_mm
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import show_length
from outseam.draft.legs import LEG_NAMES
from outseam.draft.lengths import LENGTH_NAMES, LENGTHS, length_named
from outseam.draft.model import Pattern
from outseam.draft.rises import RISE_NAMES, RISES, rise_named
from outseam.draft.style import Style

Make = Callable[..., Pattern]


def crotch_mm(pattern: Pattern) -> tuple[float, float]:
    return length(pattern.block.front.crotch), length(pattern.block.back.crotch)


# Lengths ---------------------------------------------------------------------------------------


def test_lengths_come_in_the_order_of_the_registry(measured: Body) -> None:
    m = complete(measured)
    heights = [x.hem_height_mm(m) for x in LENGTHS]
    assert heights == sorted(heights)
    assert len(set(LENGTH_NAMES)) == len(LENGTHS)
    assert all(length_named(n).name == n for n in LENGTH_NAMES)


def test_ankle_length_is_five_centimetres_above_full(measured: Body) -> None:
    """Common practice, no source."""
    m = complete(measured)
    up = length_named("ankle").hem_height_mm(m) - length_named("full").hem_height_mm(m)
    assert up == pytest.approx(50.0)


def test_words_and_figure_of_a_length_agree(make_pattern: Make) -> None:
    """The top of the foot lies a hand's breadth up; a full hem falls over it and is told so."""
    for name in LENGTH_NAMES:
        pattern = make_pattern(length=name)
        told = length_words(pattern)
        assert told.endswith(
            f"hangs {show_length(hem_clearance_mm(pattern), 'cm')} above the floor without shoes"
        )
        assert "reaches the top of the foot" not in told


def test_cropped_is_understood_and_ends_between_calf_and_ankle(make_pattern: Make) -> None:
    cropped = make_pattern(length="cropped")
    m = cropped.measures
    hem = hem_clearance_mm(cropped)
    assert length_named("seven-eighths").hem_height_mm(m) < hem < m.knee_height - 100.0


@pytest.mark.parametrize("name", LENGTH_NAMES)
@pytest.mark.parametrize("leg", LEG_NAMES)
def test_the_hem_meets_the_seams_at_its_height(make_pattern: Make, name: str, leg: str) -> None:
    p = make_pattern(leg=leg, length=name)
    wanted = length_named(name).hem_height_mm(p.measures)
    # Front and back lose equally much of a seam, so their levels may part a trifle.
    for panel in (p.block.front, p.block.back):
        for end in (panel.hem.start, panel.hem.end):
            assert end[1] + p.block.crotch_line_height_mm == pytest.approx(wanted, abs=1.0)


def test_the_inseam_follows_from_crotch_and_hem(make_pattern: Make) -> None:
    """A full straight leg: no shorter than the drop from crotch line to hem, hardly longer."""
    for name in LENGTH_NAMES:
        b = make_pattern(leg="straight", length=name).block
        drop = -b.front.hem_y
        assert drop < length(b.front.inseam) < 1.04 * drop


# Rises -----------------------------------------------------------------------------------------


def test_rises_fall_in_the_order_of_the_registry() -> None:
    above = [r.above_natural_mm for r in RISES]
    assert above == sorted(above, reverse=True)
    assert len(set(RISE_NAMES)) == len(RISES)


@pytest.mark.parametrize("low", [-30.0, -75.0])
def test_a_lower_rise_takes_as_much_off_front_side_and_back(make_pattern: Make, low: float) -> None:
    high, lower = make_pattern(rise=0.0), make_pattern(rise=low)
    for before, after in zip(crotch_mm(high), crotch_mm(lower), strict=True):
        assert before - after == pytest.approx(-low, abs=0.01)
    for side in ("front", "back"):
        before, after = getattr(high.block, side), getattr(lower.block, side)
        assert length(before.outseam) - length(after.outseam) == pytest.approx(-low, abs=0.01)
        # Nothing else moves: the leg is the same below.
        assert after.inseam.cubics == pytest.approx(before.inseam.cubics)
    assert high.block.crotch_target_mm - lower.block.crotch_target_mm == pytest.approx(-2 * low)


def test_a_rise_above_the_tape_goes_straight_on(make_pattern: Make) -> None:
    p = make_pattern(rise=90.0)
    up = 90.0 - p.block.band_height_mm
    assert up > 30.0
    at_tape = make_pattern(rise=p.block.band_height_mm + 1.0)
    for a, b in zip(crotch_mm(p), crotch_mm(at_tape), strict=True):
        assert a - b == pytest.approx(up - 1.0, abs=0.01)
    a, b = p.block.back.crotch, at_tape.block.back.crotch
    assert a.end_direction == pytest.approx(b.end_direction, abs=1e-9)
    assert [f for f in p.findings if f.level == "error"] == []


def test_the_band_sits_on_what_the_rise_leaves(make_pattern: Make) -> None:
    """Seam and band together are the body's crotch length and its ease, less twice the rise."""
    for rise in (20.0, -40.0):
        p = make_pattern(rise=rise, elastic_width=30.0)
        worn = sum(crotch_mm(p)) + 2.0 * p.block.band_height_mm
        at_tape, _ = crotch_target_mm(p.measures, p.spec.fabric, p.block.ease)
        assert worn == pytest.approx(at_tape + 2.0 * rise, abs=0.02)


def test_front_and_back_may_have_rises_of_their_own(make_pattern: Make) -> None:
    level, dipped = make_pattern(rise=-40.0), make_pattern(rise=-40.0, front_rise=-60.0)
    (f0, b0), (f1, b1) = crotch_mm(level), crotch_mm(dipped)
    assert f0 - f1 == pytest.approx(20.0, abs=0.01)
    assert b0 == pytest.approx(b1, abs=0.01)
    rise = dipped.block.rise
    assert (rise.front_mm, rise.side_mm, rise.back_mm) == (-60.0, -50.0, -40.0)
    assert [f for f in dipped.findings if f.level == "error"] == []


@pytest.mark.parametrize("name", RISE_NAMES)
def test_a_named_rise_is_meant_from_the_natural_waist(measured: Body, name: str) -> None:
    """Whoever says where the tape was gets the named rise there, wherever the tape was."""
    usual = load_model("women").above_navel_mm
    for above_navel in (usual, usual - 30.0):
        m = complete(replace(measured, waist_above_navel=above_navel))
        tops = {m.waist_height + rise_of(Style(rise=name), m).back_mm}
        assert tops == {m.waist_height + usual - above_navel + rise_named(name).above_natural_mm}
    unknown = complete(replace(measured, waist_above_navel=None))
    assert rise_of(Style(rise=name), unknown).side_mm == rise_named(name).above_natural_mm


def test_a_distance_is_meant_from_the_tape(measured: Body) -> None:
    for above_navel in (35.0, 0.0, None):
        m = complete(replace(measured, waist_above_navel=above_navel))
        rise = rise_of(Style(rise=-25.0), m)
        assert (rise.front_mm, rise.side_mm, rise.back_mm) == (-25.0, -25.0, -25.0)


def test_too_low_a_rise_is_refused_with_the_limit(make_pattern: Make) -> None:
    with pytest.raises(InputError) as error:
        make_pattern(rise=-190.0)
    assert error.value.field == "style.rise"
    limit = re.search(r"([\d.]+) cm or less", error.value.allowed)
    assert limit is not None
    # What is said to be allowed is drafted, and what lies beyond is not.
    spare = 10.0 * float(limit[1])
    band = make_pattern().block.band_height_mm
    p = make_pattern(rise=band - spare)
    assert p.errors == ()
    with pytest.raises(InputError):
        make_pattern(rise=band - spare - 1.01)


def test_a_narrower_elastic_leaves_more_leg(make_pattern: Make) -> None:
    wide, narrow = make_pattern(elastic_width=50.0), make_pattern(elastic_width=20.0)
    for a, b in zip(crotch_mm(wide), crotch_mm(narrow), strict=True):
        assert b - a == pytest.approx(30.0, abs=0.01)
