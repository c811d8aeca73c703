"""How much the pattern hangs on estimates: redrafted by hand, with the estimate one sd off."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest

from draft.block.block import build_block
from draft.body import Body, complete, with_measure
from draft.fabric import Fabric
from draft.landmarks import landmarks, largest_move
from draft.pattern import Pattern
from draft.sensitivity import Effect, estimate_effects
from draft.spec import Spec
from draft.style import Style

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


def test_effects_are_those_of_a_redraft(make_pattern: Make) -> None:
    pattern = make_pattern(FEW)
    m, spec = pattern.measures, pattern.spec
    found = effects(pattern)
    for name in ("crotch_length", "waist_height", "knee", "thigh"):
        estimate = m.estimate(name)
        assert estimate is not None
        other = build_block(with_measure(m, name, estimate.sd_mm), spec.fabric, spec.style)
        before, after = landmarks(pattern.block), landmarks(other)
        moved = {k: math.dist(before[k], after[k]) for k in before}
        assert found[name].moves_mm == pytest.approx(max(moved.values()), abs=1e-9)
        if found[name].where:
            assert moved[found[name].where] == pytest.approx(max(moved.values()), abs=1e-9)


def test_what_a_draft_does_not_look_at_moves_nothing(make_pattern: Make) -> None:
    found = effects(make_pattern(FEW, leg="palazzo"))
    for name in ("ankle", "calf"):
        assert found[name].moves_mm < 0.1
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


def test_a_draft_that_fails_one_sd_up_is_tried_one_sd_down() -> None:
    """An estimate near the end of what drafts: the effect is still found."""
    m = complete(FEW)
    wide = replace(
        m,
        estimates=tuple(
            replace(e, sd_mm=600.0) if e.name == "crotch_length" else e for e in m.estimates
        ),
    )
    spec = Spec(body=FEW, fabric=Fabric(stretch_across=0.5), style=Style())
    block = build_block(m, spec.fabric, spec.style)
    pattern = Pattern(
        spec=spec,
        measures=wide,
        block=block,
        band=None,
        pieces=(),
        seams=(),  # type: ignore[arg-type]
    )
    # Neither 60 cm more nor 60 cm less can be drafted: nothing is claimed, nothing is raised.
    assert effects(pattern)["crotch_length"].moves_mm == 0.0


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
