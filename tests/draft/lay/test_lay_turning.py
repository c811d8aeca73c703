"""Which way up, and whether a quarter turned."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from outseam.draft.fabric import Fabric
from outseam.draft.lay.model.turning import band_turned, legs_turned, turned_fabric, turns_of
from outseam.draft.model import Pattern


def knit(along: float | None, **more: object) -> Fabric:
    return Fabric(stretch_across=0.5, stretch_along=along, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("fabric", "turns"),
    [
        (knit(0.5), (0, 180, 90, 270)),
        (knit(0.1), (0, 180)),
        (knit(None), (0, 180)),
        (knit(0.5, one_way=True), (0,)),
        (Fabric(kind="woven"), (0, 180)),
    ],
)
def test_turns_of_a_leg(
    make_pattern: Callable[..., Pattern], fabric: Fabric, turns: tuple[int, ...]
) -> None:
    pattern = make_pattern(fabric=fabric, fit="easy" if fabric.kind == "knit" else "loose")
    assert turns_of(pattern, pattern.piece("front")) == turns


def test_a_piece_that_nothing_stretches_may_lie_anyhow_but_against_the_nap(
    make_pattern: Callable[..., Pattern],
) -> None:
    pattern = make_pattern(fabric=knit(None))
    belt = replace(pattern.piece("front_band"), name="tie", any_grain=True)
    assert turns_of(pattern, belt) == (0, 180, 90, 270)
    napped = make_pattern(fabric=knit(None, one_way=True))
    assert turns_of(napped, belt) == (0,)


def test_ease_drafted_for_less_stretch_allows_less_along(
    make_pattern: Callable[..., Pattern],
) -> None:
    """A loose fit hardly counts on the stretch; a close one needs nearly all of it."""
    loose = make_pattern(fabric=knit(0.47), fit="loose")
    close = make_pattern(fabric=knit(0.47), fit="close")
    assert legs_turned(loose)
    assert not legs_turned(close)


def test_band_and_legs_are_judged_apart(make_pattern: Callable[..., Pattern]) -> None:
    """The band has to pass the hip when pulled on; the legs' own ease is another matter."""
    pattern = make_pattern(fabric=knit(0.30), fit="loose")
    turned = {p.name: len(turns_of(pattern, p)) for p in pattern.pieces}
    assert band_turned(pattern) == (turned["front_band"] == 4)
    assert legs_turned(pattern) == (turned["front"] == 4)


def test_turned_fabric_swaps_everything() -> None:
    fabric = Fabric(stretch_across=0.5, stretch_along=0.2, shrink_across=0.01, shrink_along=0.04)
    turned = turned_fabric(fabric)
    assert (turned.stretch_across, turned.stretch_along) == (0.2, 0.5)
    assert (turned.shrink_across, turned.shrink_along) == (0.04, 0.01)
