"""The trial is the same draft cut short: everything above the knee is untouched."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from outseam.cli.fitting.trial_files import trial_steps
from outseam.curves.length import length
from outseam.draft.alter import AlterationEntry
from outseam.draft.body.table import Body
from outseam.draft.checks.outlines import allowance_errors_mm
from outseam.draft.fabric import Fabric
from outseam.draft.inputs.show import Units
from outseam.draft.legs import LEG_NAMES
from outseam.draft.model import Pattern
from outseam.draft.pattern import draft_pattern
from outseam.draft.spec.spec import Spec
from outseam.draft.style import Style
from outseam.draft.trial import trial_pattern

BODY = Body(height=1640.0, waist=830.0, hip=1070.0, inside_leg=745.0, crotch_length=730.0)

Make = Callable[..., Pattern]


@pytest.mark.parametrize("hem_line", ["square", "straight"])
@pytest.mark.parametrize("leg", LEG_NAMES)
def test_the_same_draft_above_the_knee(make_pattern: Make, leg: str, hem_line: str) -> None:
    whole = make_pattern(leg=leg, hem_line=hem_line)
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


@pytest.mark.parametrize("length", ["cropped", "full", "capri"])
def test_a_hem_drawn_straight_leaves_no_corner_where_the_leg_is_cut(length: str) -> None:
    """Its bend once began so near the knee that the rest of a seam was too short to be let out."""
    body = Body(height=1700.0, waist=800.0, hip=1020.0, inside_leg=780.0)
    style = Style(fit="loose", leg="straight", length=length, hem_line="straight")
    whole = draft_pattern(Spec(body=body, fabric=Fabric(kind="woven"), style=style))
    assert not trial_pattern(whole).errors


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


WORN = Style(fit="loose", pocket=("scoop",), belt="wide", elastic_width=50.8)


@pytest.mark.parametrize(("units", "wide"), [("cm", 25.0), ("in", 25.4)])
def test_it_can_be_let_out_and_has_nothing_that_hangs_on_it(units: Units, wide: float) -> None:
    spec = Spec(
        body=BODY,
        units=units,
        style=WORN,
        fabric=Fabric(
            stretch_across=0.3,
            stretch_along=0.2,
            border="both",
            border_height=220.0,
            border_from_selvedge=15.0,
        ),
    )
    trial = trial_pattern(draft_pattern(spec))
    assert not trial.errors
    assert {p.name for p in trial.pieces} == {"front", "back", "front_band", "back_band"}
    for piece in trial.pieces:
        widths = {e.name: e.allowance_mm for e in piece.edges}
        let_out = {"outseam", "inseam", "outseam_turn", "inseam_turn"}
        if piece.name == "back":
            let_out.add("crotch")
        for name, mm in widths.items():
            if name != "hem_cut":
                assert mm == (wide if name in let_out and "band" not in piece.name else 10.0)
        # Where pants are let out the cutting line lies an inch outside the seam line.
        off = allowance_errors_mm(piece.edges, piece.cut)
        assert abs(off).max() < 0.1
        said = " ".join((*piece.notes, *(x.label for x in piece.lines)))
        assert "border" not in said
        assert "cross grain" not in said
    told = " ".join(trial_steps(trial, spec.fabric))
    assert "Round the body the good fabric stretches 20 %, along its selvedge." in told
    assert "20 % from selvedge to selvedge" in told
    assert "border" not in told
    assert ("2.5 cm" if units == "cm" else '1"') in told
    assert "seam line" in told


@pytest.mark.parametrize("what", ["", "scooped back curve", "filled back curve", "full thigh"])
@pytest.mark.parametrize(("hip", "waist", "height"), [(840, 640, 1500), (1400, 1300, 1850)])
def test_extremes_can_be_let_out_too(hip: float, waist: float, height: float, what: str) -> None:
    body = Body(height=height, waist=waist, hip=hip, inside_leg=0.46 * height)
    alter = (AlterationEntry(what=what, amount=7.0),) if what else ()
    for fit in ("close", "loose"):
        style = Style(fit=fit, elastic_width=25.4, band="turned")
        knit = Fabric(stretch_across=0.6)
        whole = draft_pattern(Spec(body=body, fabric=knit, style=style, alter=alter))
        if not whole.errors:
            assert not trial_pattern(whole).errors


@pytest.mark.parametrize("ankle", ["slit", "zip"])
def test_it_ends_above_what_is_asked_of_ankle_and_hem(make_pattern: Make, ankle: str) -> None:
    whole = make_pattern(leg="slim", ankle=ankle, hem_width=320.0)
    assert "ankle_underlap" in {p.name for p in whole.pieces}
    trial = trial_pattern(whole)
    assert {p.name for p in trial.pieces} == {"front", "back", "front_band", "back_band"}
    assert not [line for p in trial.pieces for line in p.lines if line.role == "ankle stitching"]
    assert not [f for f in trial.findings if f.check == "hem as asked"]
