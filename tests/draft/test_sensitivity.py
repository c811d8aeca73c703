"""How much the pattern hangs on estimates: redrafted by hand, with the estimate one sd off."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from outseam.draft.block.block import Block, build_block
from outseam.draft.body.estimate import Body, complete
from outseam.draft.figures.landmarks import landmarks, largest_move
from outseam.draft.figures.sensitivity import Effect, estimate_effects
from outseam.draft.inputs.errors import OutseamError
from outseam.draft.model import Pattern

Make = Callable[..., Pattern]

FEW = Body(height=1680.0, waist=800.0, hip=1040.0, inside_leg=770.0)


def effects(pattern: Pattern) -> dict[str, Effect]:
    return {x.estimate.name: x for x in estimate_effects(pattern)}


def test_every_estimate_has_its_effect_largest_first(make_pattern: Make) -> None:
    pattern = make_pattern(FEW)
    found = estimate_effects(pattern)
    assert {x.estimate.name for x in found} == {e.name for e in pattern.measures.estimates}
    moves = [x.moves_mm for x in found]
    assert moves == sorted(moves, reverse=True)
    assert moves[0] > 5.0


def test_a_body_measured_in_full_has_none(make_pattern: Make) -> None:
    assert estimate_effects(make_pattern()) == ()


def redrafted(pattern: Pattern, name: str, off_mm: float) -> Block | None:
    """The block of the body with one estimate measured `off_mm` beside itself; None: no draft."""
    spec, e = pattern.spec, pattern.measures.estimate(name)
    assert e is not None
    values: dict[str, Any] = {name: e.mm + off_mm}
    try:
        return build_block(complete(replace(spec.body, **values)), spec.fabric, spec.style)
    except OutseamError:
        return None


def moved(before: Block, after: Block) -> dict[str, float]:
    one, other = landmarks(before), landmarks(after)
    return {k: math.dist(one[k], other[k]) for k in one}


#: Effects are told to a tenth of a millimetre or coarser; a redraft need be no nearer.
TOLD_MM = 0.05


def test_effects_are_those_of_a_redraft(make_pattern: Make) -> None:
    pattern = make_pattern(FEW)
    found = effects(pattern)
    for name in ("crotch_length", "waist_height", "knee", "thigh"):
        estimate = pattern.measures.estimate(name)
        assert estimate is not None
        other = redrafted(pattern, name, estimate.sd_mm)
        assert other is not None
        how_far = moved(pattern.block, other)
        assert found[name].moves_mm == pytest.approx(max(how_far.values()), abs=TOLD_MM)
        if found[name].where:
            assert how_far[found[name].where] == pytest.approx(max(how_far.values()), abs=TOLD_MM)


@pytest.mark.parametrize("build", ["women", "men"])
@pytest.mark.parametrize(
    "known",
    [
        (),
        ("crotch_length",),
        ("waist_height",),
        ("crotch_length", "waist_height"),
        ("crotch_length", "waist_height", "waist_above_navel"),
        ("crotch_length", "waist_height", "front_crotch_length", "waist_above_navel"),
        ("body_rise", "thigh", "calf"),
    ],
    ids=lambda known: "+".join(known) or "four",
)
def test_what_is_named_first_is_what_moves_the_pattern_most(
    make_pattern: Make, build: str, known: tuple[str, ...]
) -> None:
    """Against a redraft of every missing measurement, both ways, by every landmark."""
    more = {
        "crotch_length": 705.0,
        "waist_height": 1035.0,
        "front_crotch_length": 325.0,
        "waist_above_navel": 30.0,
        "body_rise": 285.0,
        "thigh": 610.0,
        "calf": 375.0,
    }
    values: dict[str, Any] = {key: more[key] for key in known} | {"build": build}
    pattern = make_pattern(replace(FEW, **values))
    moves: dict[str, float] = {}
    for e in pattern.measures.estimates:
        others = [redrafted(pattern, e.name, sign * e.sd_mm) for sign in (1.0, -1.0)]
        far = [max(moved(pattern.block, o).values()) for o in others if o is not None]
        moves[e.name] = max(far, default=0.0)
    # The high hip shapes the band and not the legs: see below.
    named = next(e for e in estimate_effects(pattern) if e.estimate.name != "high_hip")
    assert moves[named.estimate.name] >= 0.98 * max(moves.values())
    assert named.moves_mm == pytest.approx(moves[named.estimate.name], rel=0.05)


def test_a_high_hip_moves_the_band_where_it_sits_below_the_waist(make_pattern: Make) -> None:
    for rise, least in (("low", 4.0), ("mid", 2.0), ("high", 0.0)):
        pattern = make_pattern(FEW, rise=rise)
        (found,) = (e for e in estimate_effects(pattern) if e.estimate.name == "high_hip")
        assert found.where == "side of the waistband" or not least
        more = replace(FEW, high_hip=found.estimate.mm + found.estimate.sd_mm)
        longer = make_pattern(more, rise=rise).band.elastic_mm
        assert longer is not None
        assert pattern.band.elastic_mm is not None
        by = longer - pattern.band.elastic_mm
        assert by >= 4.0 * least
        assert found.moves_mm == pytest.approx(by / 4.0, rel=0.15, abs=0.5)


def test_what_a_draft_does_not_look_at_moves_nothing(make_pattern: Make) -> None:
    found = effects(make_pattern(FEW, leg="palazzo"))
    for name in ("ankle", "calf"):
        assert found[name].moves_mm < 1.0
        assert found[name].where == ""
    assert found["crotch_length"].where


def test_a_measurement_settles_its_estimate(make_pattern: Make) -> None:
    """Measuring what mattered most leaves less in doubt."""
    before = make_pattern(FEW)
    crotch = before.measures.crotch_length
    after = make_pattern(replace(FEW, crotch_length=crotch))
    assert "crotch_length" in effects(before)
    assert "crotch_length" not in effects(after)
    doubt = [sum(x.moves_mm**2 for x in estimate_effects(p)) for p in (before, after)]
    assert doubt[1] < doubt[0]


@pytest.mark.parametrize(("mm", "sd_mm", "drafts"), [(500.0, 220.0, True), (450.0, 400.0, False)])
def test_a_draft_that_fails_one_sd_up_is_tried_one_sd_down(
    make_pattern: Make, mm: float, sd_mm: float, drafts: bool
) -> None:
    """A kneecap above the crotch cannot be: the effect is still found if one below it can."""
    pattern = make_pattern(FEW)
    m = pattern.measures
    odd = tuple(
        replace(e, mm=mm, sd_mm=sd_mm) if e.name == "knee_height" else e for e in m.estimates
    )
    pattern = replace(pattern, measures=replace(m, estimates=odd))
    assert redrafted(pattern, "knee_height", sd_mm) is None
    assert (redrafted(pattern, "knee_height", -sd_mm) is not None) is drafts
    # Where neither can be drafted nothing is claimed, and nothing raised.
    assert (effects(pattern)["knee_height"].moves_mm > 1.0) is drafts


def test_landmarks_lie_on_the_paper(make_pattern: Make) -> None:
    """The origin is where crease and hem meet, so the hem's ends lie at height zero."""
    block = make_pattern().block
    points = landmarks(block)
    for side in ("front", "back"):
        for end in ("outseam", "inseam"):
            assert points[f"{side} hem at the {end}"][1] == pytest.approx(0.0, abs=1e-6)
        left, right = (points[f"{side} hem at the {e}"][0] for e in ("outseam", "inseam"))
        assert left == pytest.approx(-right, abs=1e-6)
        assert points[f"centre {side}"][1] > points[f"{side} crotch point"][1] > 600.0
    assert largest_move(block, block)[1] == 0.0
