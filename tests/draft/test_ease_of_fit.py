"""A pattern looser than its fit is said to be so, with the fit that is closer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from outseam.cli.wording.findings import finding_words
from outseam.draft.body.estimate import Body
from outseam.draft.checks.ease import check_ease, closer_fit
from outseam.draft.checks.strain import levels
from outseam.draft.fabric import Fabric
from outseam.draft.fits import ease_for, fit_named
from outseam.draft.inputs.show import show_length
from outseam.draft.inputs.words import in_units
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Finding

Make = Callable[..., Pattern]


def noted(pattern: Pattern) -> list[Finding]:
    return [f for f in check_ease(pattern) if f.level == "note"]


@pytest.mark.parametrize("fit", ["close", "easy", "loose"])
def test_an_ordinary_body_is_drafted_as_the_fit_intends(make_pattern: Make, fit: str) -> None:
    assert noted(make_pattern(fit=fit, leg="straight")) == []


def test_a_slim_thigh_is_told_with_the_fit_that_is_closer(
    make_pattern: Make, measured: Body
) -> None:
    (found,) = noted(make_pattern(replace(measured, thigh=500.0), fit="loose", leg="straight"))
    assert found.where == "thigh"
    says = finding_words(found, "cm")
    assert says.startswith("At the thigh these pants come out")
    assert says.endswith('A closer one is fit = "easy".')


@pytest.mark.parametrize("off_mm", [-0.6, 0.6, -30.0, 30.0])
def test_looser_than_meant_is_told_as_smaller_or_larger_than_the_body(
    make_pattern: Make, off_mm: float
) -> None:
    """Both figures have their own sign; two hundredths of the hip are let."""
    pattern = make_pattern(fit="easy", leg="straight")
    girth = next(level.pattern_mm for level in levels(pattern) if level.name == "hip")
    hip = girth - off_mm
    slimmer = replace(pattern, measures=replace(pattern.measures, hip=hip))
    for beyond, level in ((0.0205, "note"), (0.0195, "pass")):
        ease = replace(pattern.block.ease, hip_ratio=off_mm / hip - beyond)
        block = replace(pattern.block, ease=ease)
        found = {f.where: f for f in check_ease(replace(slimmer, block=block))}["hip"]
        assert found.level == level
        way = "larger" if off_mm > 0.0 else "smaller"
        by = show_length(abs(off_mm), "cm")
        says = str(in_units(found.advice, "cm"))
        assert f"come out {by} {way} than the body" in says


def test_a_palazzo_is_meant_to_stand_off_the_thigh(make_pattern: Make, measured: Body) -> None:
    slim = replace(measured, thigh=500.0)
    assert noted(make_pattern(slim, fit="loose", leg="palazzo")) == []


def test_no_fit_is_named_that_the_fabric_cannot_have(make_pattern: Make) -> None:
    knit, woven = (make_pattern(fabric=f, fit="easy", leg="straight").block.ease
                   for f in (Fabric(stretch_across=0.5), Fabric(kind="woven")))  # fmt: skip
    closer = closer_fit(knit)
    assert closer is not None
    assert closer.name == "close"
    assert closer_fit(woven) is None
    assert closer_fit(ease_for(fit_named("close"), 0.5, 1000.0)) is None
