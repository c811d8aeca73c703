"""Belts: as wide as the band or half of it, caught at the sides, long enough to be tied."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

import pytest

from outseam.cli.wording.findings import finding_line
from outseam.cli.worksheet.content import cutting
from outseam.curves.length import length
from outseam.curves.path import line
from outseam.curves.region import bounds
from outseam.draft.body.table import Body
from outseam.draft.checks.belt import check_belt
from outseam.draft.checks.seams import measured_mm
from outseam.draft.fabric import EITHER_GRAIN, Fabric
from outseam.draft.inputs.errors import InputError
from outseam.draft.model import Pattern
from outseam.draft.pattern import draft_pattern
from outseam.draft.piece.piece import Piece
from outseam.draft.spec.spec import Spec
from outseam.draft.style import Style

Make = Callable[..., Pattern]

SHARES = {"wide": 1.0, "narrow": 0.5}


WORN_BY = Body(height=1640.0, waist=830.0, hip=1070.0, inside_leg=745.0)


def size(piece: Piece, edge: str) -> float:
    return length(piece.edge(edge).path)


@pytest.mark.parametrize("band", ["folded", "casing", "flat"])
@pytest.mark.parametrize("belt", SHARES)
def test_a_belt_follows_the_finished_band(make_pattern: Make, belt: str, band: str) -> None:
    pattern = make_pattern(belt=belt, band=band)
    assert pattern.errors == ()
    assert all(f.level == "pass" for f in check_belt(pattern))
    piece, front = pattern.piece("belt"), pattern.piece("front_band")
    width = SHARES[belt] * size(front, "left") / 2.0
    seam = pattern.spec.style.seam_allowance
    assert piece.copies == 2
    # A tube folded lengthwise, with the seam allowance all round.
    low_x, low_y, high_x, high_y = (
        f(bounds(c)[k] for c in piece.cut) for k, f in enumerate((min, min, max, max))
    )
    assert high_x - low_x == pytest.approx(2.0 * width + 2.0 * seam)
    assert high_y - low_y == pytest.approx(size(piece, "long_left") + 2.0 * seam)
    fold = [x.path for x in piece.lines if x.kind == "fold"]
    assert [x for p in fold for x, _ in (p.start, p.end)] == pytest.approx([width] * 2)


def test_a_half_reaches_the_centre_front_and_goes_on_as_a_tie(make_pattern: Make) -> None:
    pattern = make_pattern(belt="narrow", belt_tie=430.0)
    half = size(pattern.piece("front_band"), "lower") / 2.0
    assert size(pattern.piece("belt"), "long_right") == pytest.approx(half + 430.0, abs=0.01)
    usual = make_pattern(belt="narrow")
    width = size(usual.piece("belt"), "side") / 2.0
    # A bow: two loops and two ends of a good hand each (common practice, no source).
    assert size(usual.piece("belt"), "long_right") - half == pytest.approx(450.0 + 2.0 * width)


@pytest.mark.parametrize("belt", SHARES)
def test_its_end_is_caught_in_both_side_seams_of_the_front(make_pattern: Make, belt: str) -> None:
    pattern = make_pattern(belt=belt)
    seams = [s for s in pattern.seams if s.a.piece == "belt" and s.b.piece != "belt"]
    assert {(s.b.piece, s.b.edge) for s in seams} == {
        ("front_band", "left"),
        ("front_band", "right"),
    }
    height = pattern.block.band_height_mm
    for s in seams:
        # The tube is double, so it lies twice on its part of the side, on the band's outer half.
        assert measured_mm(pattern, s.a) == pytest.approx(measured_mm(pattern, s.b), abs=1e-6)
        assert s.b.to_mm - s.b.from_mm == pytest.approx(SHARES[belt] * height)
        outer = (0.0, height) if s.b.edge == "right" else (height, 2.0 * height)
        assert s.b.from_mm + s.b.to_mm == pytest.approx(sum(outer))
    marks = {
        name: sorted(
            (n.edge, round(n.at_mm, 6)) for n in pattern.piece(name).notches if n.role == "belt"
        )
        for name in ("front_band", "back_band")
    }
    assert marks["front_band"] == marks["back_band"]
    assert len(marks["front_band"]) == (2 if belt == "wide" else 4)


@pytest.mark.parametrize("belt", SHARES)
def test_a_band_without_side_seams_cannot_hold_a_belt(make_pattern: Make, belt: str) -> None:
    with pytest.raises(InputError, match="no side seams") as error:
        make_pattern(belt=belt, band="turned", elastic_width=25.0)
    assert error.value.field == "style.belt"
    for word in re.findall(r'"(\w+)"', error.value.allowed):
        assert make_pattern(belt=belt, band=word, elastic_width=25.0).errors == ()


def test_a_narrow_tube_is_told_and_a_narrower_one_refused(make_pattern: Make) -> None:
    narrow = make_pattern(belt="narrow", elastic_width=20.0)
    doubts = [f for f in check_belt(narrow) if f.level != "pass"]
    assert [(f.where, f.level) for f in doubts] == [("narrowest", "warning")]
    with pytest.raises(InputError, match="cannot be turned") as error:
        make_pattern(belt="narrow", elastic_width=10.0)
    assert "20 mm" in error.value.allowed or "2 cm" in error.value.allowed
    assert 'belt = "wide"' in error.value.hint
    assert make_pattern(belt="wide", elastic_width=10.0).errors == ()


def test_a_short_tie_is_told(make_pattern: Make) -> None:
    pattern = make_pattern(belt="wide", belt_tie=200.0)
    assert [f.where for f in check_belt(pattern) if f.level == "warning"] == ["tie"]
    # A knot takes two widths of the belt, its ends another 20 cm (common practice, no source).
    wide, narrow = (
        next(f for f in check_belt(make_pattern(belt=kind, belt_tie=430.0)) if f.where == "tie")
        for kind in ("wide", "narrow")
    )
    height = pattern.block.band_height_mm
    assert wide.expected == pytest.approx(200.0 + 2.0 * height, abs=0.1)
    assert narrow.expected == pytest.approx(200.0 + height, abs=0.1)


def test_damage_to_a_belt_is_found(make_pattern: Make) -> None:
    pattern = make_pattern(belt="wide")
    belt = pattern.piece("belt")

    def errors(piece: Piece) -> list[str]:
        pieces = tuple(piece if p.name == "belt" else p for p in pattern.pieces)
        return [f.where for f in check_belt(replace(pattern, pieces=pieces)) if f.level == "error"]

    wider = tuple(
        replace(e, path=line((0.0, 0.0), (e.path.end[0] + 2.0, 0.0))) if e.name == "side" else e
        for e in belt.edges
    )
    assert errors(belt) == []
    assert errors(replace(belt, edges=wider))[0] == "width"
    moved = tuple(
        replace(x, path=x.path.moved(2.0, 0.0)) if x.kind == "fold" else x for x in belt.lines
    )
    assert errors(replace(belt, lines=moved)) == ["fold"]


def test_no_belt_no_word(make_pattern: Make) -> None:
    assert not list(check_belt(make_pattern()))


def test_the_grain_of_a_belt_is_told_one_way_everywhere() -> None:
    """On the paper, in the worksheet's key and in its table; with the legs turned, too."""
    for border in ({}, {"border": "both", "border_height": 200.0, "border_from_selvedge": 40.0}):
        cloth = Fabric(stretch_across=0.4, stretch_along=0.3, **border)
        pattern = draft_pattern(
            Spec(body=WORN_BY, fabric=cloth, style=Style(fit="loose", belt="wide"))
        )
        (arrow,) = [x.label for x in pattern.piece("belt").lines if x.kind == "grain"]
        assert arrow == EITHER_GRAIN
        drawing, table, *_ = cutting(pattern).blocks
        assert f"(belt: {EITHER_GRAIN})" in drawing.caption
        (row,) = [r for r in table.rows if r[1] == "Belt"]
        assert row[3].startswith(f"{EITHER_GRAIN} along the selvedge")


def test_the_width_warning_says_which_belt_is_hard_to_turn() -> None:
    style = Style(fit="loose", belt="narrow", elastic_width=22.0)
    pattern = draft_pattern(Spec(body=WORN_BY, fabric=Fabric(stretch_across=0.4), style=style))
    (found,) = [f for f in pattern.findings if f.where == "narrowest"]
    assert found.level == "warning"
    said = finding_line(found, "cm")
    assert "narrower than 1.5 cm is hard to turn" in said
    assert found.measured < 15.0
