"""The trial is the same draft cut short: everything above the knee is untouched."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from outseam.curves.length import length
from outseam.draft.legs import LEG_NAMES
from outseam.draft.model import Pattern
from outseam.draft.trial import trial_pattern

Make = Callable[..., Pattern]


@pytest.mark.parametrize("leg", LEG_NAMES)
def test_the_same_draft_above_the_knee(make_pattern: Make, leg: str) -> None:
    whole = make_pattern(leg=leg)
    trial = trial_pattern(whole)
    assert not trial.errors
    for name in ("front", "back"):
        a, b = whole.piece(name), trial.piece(name)
        for edge in ("crotch", "waist"):
            assert (a.edge(edge).path.cubics == b.edge(edge).path.cubics).all()
        assert a.edge("outseam").path.start == b.edge("outseam").path.start
        assert b.edge("outseam").path.end[1] == pytest.approx(b.edge("inseam").path.start[1], abs=2)
    front, back = trial.block.front, trial.block.back
    assert length(front.outseam) == pytest.approx(length(back.outseam), abs=0.01)
    assert length(front.inseam) == pytest.approx(length(back.inseam), abs=0.01)
    knee = whole.measures.knee_height - whole.block.crotch_line_height_mm
    assert front.hem_y == pytest.approx(knee, abs=8.0)


def test_it_says_that_it_is_a_trial_and_has_lines_to_judge_by(make_pattern: Make) -> None:
    trial = trial_pattern(make_pattern())
    assert all(p.title.startswith("TRIAL") for p in trial.pieces)
    labels = [x.label for x in trial.piece("back").lines]
    assert sum("balance line" in t for t in labels) == 2
    assert {"hip", "crotch line"} <= set(labels)
    assert not [x for x in trial.piece("back").lines if x.kind == "lengthen"]


def test_a_short_leg_keeps_its_length(make_pattern: Make) -> None:
    whole = make_pattern(length="knee")
    trial = trial_pattern(whole)
    assert length(trial.block.front.inseam) == pytest.approx(length(whole.block.front.inseam))
