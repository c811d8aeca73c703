"""The figure in words: what was measured shows up under its own name."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from outseam.draft.body.estimate import Body
from outseam.draft.figures.body_shape import figure_traits
from outseam.draft.model import Pattern

Make = Callable[..., Pattern]


def names(make: Make, body: Body) -> dict[str, float]:
    return {t.name: t.mm for t in figure_traits(make(body))}


def split(body: Body, front: float, back: float) -> Body:
    return replace(
        body, crotch_length=front + back, front_crotch_length=front, back_crotch_length=back
    )


def test_more_back_crotch_length_is_a_fuller_seat(make_pattern: Make, measured: Body) -> None:
    found = names(make_pattern, split(measured, 305.0, 445.0))
    assert found["fuller seat"] > 4.0
    assert found["deeper seat"] > 10.0  # the fork takes its share first
    assert "flatter seat" not in found


def test_less_back_crotch_length_is_a_flatter_seat(make_pattern: Make, measured: Body) -> None:
    assert names(make_pattern, split(measured, 320.0, 325.0))["flatter seat"] < -5.0


def test_a_full_thigh_is_named_with_its_amount(make_pattern: Make, measured: Body) -> None:
    assert measured.thigh is not None
    full = names(make_pattern, replace(measured, thigh=measured.thigh + 60.0))
    slim = names(make_pattern, replace(measured, thigh=measured.thigh - 60.0))
    assert full["full thigh"] > 30.0
    assert slim["slim thigh"] < -30.0
