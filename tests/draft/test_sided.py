"""Legs that differ: each side gets what it is meant to get, and left and right still join."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import HealthCheck, given, reject, settings
from hypothesis import strategies as st

from outseam.draft.alter import (
    ALTERATIONS,
    SIDES,
    AlterationEntry,
    alteration_named,
    read_alterations,
)
from outseam.draft.body.estimate import Body
from outseam.draft.buying.notions import centre_seams, stitch_lines
from outseam.draft.checks import _WHOLE, run_checks
from outseam.draft.checks.strain import levels
from outseam.draft.fabric import Fabric
from outseam.draft.figures.finished import finished
from outseam.draft.inputs.errors import InputError
from outseam.draft.legs import LEG_NAMES
from outseam.draft.model import Pattern
from outseam.draft.pattern import draft_pattern
from outseam.draft.piece.divided_edge import edge_length
from outseam.draft.piece.piece import Piece
from outseam.draft.piece.ruler import ruler_length
from outseam.draft.spec.spec import Spec
from outseam.draft.style import Style
from outseam.draft.trial import trial_pattern

KNIT = Fabric(stretch_across=0.5, stretch_along=0.25, recovery="firm", weight=320.0)
ONE_SIDED = tuple(a.name for a in ALTERATIONS if a.legs != "both")
STYLES = (
    Style(),
    Style(pocket=("scoop",), belt="wide", rise="high"),
    Style(pocket=("side-seam",), band="casing"),
    Style(pocket=("patch",), band="turned"),
    Style(pocket=("scoop", "patch"), rise="high"),
)

few = settings(
    max_examples=4,
    derandomize=True,
    deadline=None,
    database=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)


#: Drawn with the outseam on the left and the right side up, a front is the wearer's right one. A
#: pocket's bag lies wrong side out.
DRAWN = {"front": "right", "back": "left", "pocket_facing": "right", "pocket_bag": "left"}


def sided(spec: Spec, *asked: tuple[str, float, str]) -> Pattern:
    entries = tuple(AlterationEntry(what=what, amount=mm, side=side) for what, mm, side in asked)
    return draft_pattern(replace(spec, alter=entries))


@pytest.fixture(scope="module")
def plain(measured: Body) -> Spec:
    return Spec(body=measured, fabric=KNIT, style=Style())


@pytest.fixture(scope="module")
def specs(make_people: Callable[..., tuple[Body, ...]]) -> tuple[Spec, ...]:
    people = (*make_people("women", 6, 21), *make_people("men", 4, 22, split=True))
    return tuple(
        Spec(
            body=body,
            fabric=KNIT,
            style=replace(STYLES[i % len(STYLES)], leg=LEG_NAMES[i % len(LEG_NAMES)]),
        )
        for i, body in enumerate(people)
    )


def same_cut(a: Piece, b: Piece) -> bool:
    return all(np.array_equal(x.cubics, y.cubics) for x, y in zip(a.cut, b.cut, strict=True))


@pytest.mark.parametrize("name", ONE_SIDED)
@given(data=st.data())
@few
def test_one_side_changes_the_other_stays_and_all_checks_pass(
    name: str, specs: tuple[Spec, ...], data: st.DataObject
) -> None:
    spec = data.draw(st.sampled_from(specs))
    side = data.draw(st.sampled_from(["left", "right"]))
    amount = data.draw(st.floats(2.0, 8.0 if name == "hip lower" else 20.0))
    before = draft_pattern(spec)
    try:
        after = sided(spec, (name, amount, side))
    except InputError as refused:
        # Some tops take no wide casing once they are altered: said, and no matter of sides.
        if "turn in at the casing" not in str(refused):
            raise
        reject()
    assert not after.errors
    other = {"left": "right", "right": "left"}[side]
    names = {"left": "{}", "right": "{}_right"}
    shares = alteration_named(name).other is not None
    own = {"seat": "back", "front": "front"}.get(name.split()[1], "")
    for part in ("front", "back"):
        if shares:
            # The panel that is not altered is the same on both sides, but for the last digits.
            if part != own:
                for leg in (side, other):
                    altered = after.piece(names[leg].format(part))
                    for a, b in zip(altered.cut, before.piece(part).cut, strict=True):
                        np.testing.assert_allclose(a.cubics, b.cubics, atol=1e-5)
            continue
        assert same_cut(after.piece(names[other].format(part)), before.piece(part))
        if part == "back" or "seat" not in name:  # the seat's width is the back's alone
            assert not same_cut(after.piece(names[side].format(part)), before.piece(part))
    crotch = [
        [ruler_length(after.piece(n.format(part)).edge("crotch").path) for n in names.values()]
        for part in ("front", "back")
    ]
    for left, right in crotch:
        assert left == pytest.approx(right, abs=0.01)


@pytest.mark.parametrize("name", ["full seat", "flat seat", "full front", "flat front"])
@pytest.mark.parametrize("side", ["left", "right"])
def test_a_seat_fuller_on_one_side_joins_at_one_point(plain: Spec, name: str, side: str) -> None:
    """The seam gains what is asked on both legs, only the fuller side has the fork for it.

    Both end in one point: from the crotch point up to the top they are equally long.
    """
    part = "back" if "seat" in name else "front"
    sign = 1.0 if "full" in name else -1.0
    before, after = draft_pattern(plain), sided(plain, (name, 12.0, side))
    assert not after.errors
    assert after.legs is not None
    legs = dict(zip(("left", "right"), after.legs, strict=True))
    was = ruler_length(before.piece(part).edge("crotch").path)
    for leg in legs.values():
        now = ruler_length(leg.piece(part).edge("crotch").path)
        assert now - was == pytest.approx(sign * 12.0, abs=0.05)

    def fork(pattern: Pattern) -> float:
        panel = pattern.block.back if part == "back" else pattern.block.front
        return panel.point[0] - panel.crease_x

    (other,) = {"left", "right"} - {side}
    # The same fork as the alteration gives on both sides.
    asked = (AlterationEntry(what=name, amount=12.0),)
    both = draft_pattern(replace(plain, alter=asked))
    assert sign * (fork(both) - fork(before)) > 5.0
    assert fork(legs[side]) == pytest.approx(fork(both), abs=0.01)
    assert fork(legs[other]) == pytest.approx(fork(before), abs=0.01)
    # Both tops end within a few millimetres of one height, so the waist runs on over the centre.
    tops = [
        (leg.block.back if part == "back" else leg.block.front).crotch.end[1]
        for leg in legs.values()
    ]
    assert abs(tops[0] - tops[1]) < 6.0
    # The seam lines lie where they lay: nothing but the length differs on the other leg.
    seams = [f for f in after.findings if f.check == "centre seams match"]
    assert seams
    assert all(f.level == "pass" for f in seams)


@pytest.mark.parametrize(("name", "sign"), [("hip higher", 1.0), ("hip lower", -1.0)])
def test_a_higher_hip_gets_a_longer_side(plain: Spec, name: str, sign: float) -> None:
    before, after = draft_pattern(plain), sided(plain, (name, 16.0, "right"))
    assert after.legs is not None
    for part in ("front", "back"):
        gain = edge_length(after.legs[1], part, "outseam") - edge_length(before, part, "outseam")
        # The side leans a little, so 16 mm up is at most that much along it.
        assert 15.5 < sign * gain <= 16.0 + 0.01
        moved = after.legs[1].block.front.waist.end[1] - before.block.front.waist.end[1]
        assert sign * moved == pytest.approx(16.0, abs=0.5)


@pytest.mark.parametrize("style", STYLES, ids=lambda s: f"{s.band} {'+'.join(s.pocket)}")
def test_nothing_is_lost_or_doubled_when_legs_are_told_apart(plain: Spec, style: Style) -> None:
    """With next to no difference the pieces, cut once each, add up to the plain pattern's."""
    spec = replace(plain, style=style)
    before, after = draft_pattern(spec), sided(spec, ("hip higher", 1e-3, "left"))

    def copies(pattern: Pattern) -> dict[str, int]:
        found: dict[str, int] = {}
        for p in pattern.pieces:
            found[p.part] = found.get(p.part, 0) + p.copies
        return found

    assert copies(after) == copies(before)
    lines = {(x.name, x.use): x.length_mm for x in stitch_lines(before)}
    for x in stitch_lines(after):
        if x.use != "top":  # topstitching is named after the piece it is on
            assert x.length_mm == pytest.approx(lines.pop((x.name, x.use)), abs=0.5), x.name
    assert not [key for key in lines if key[1] != "top"]
    tops = [sum(x.length_mm for x in stitch_lines(p) if x.use == "top") for p in (before, after)]
    assert tops[0] == pytest.approx(tops[1], abs=0.5)
    assert sum(mm for _, mm in centre_seams(after)) == pytest.approx(
        2.0 * sum(mm for _, mm in centre_seams(before)), abs=0.1
    )


@pytest.mark.parametrize("style", [STYLES[0], STYLES[1]], ids=["plain", "scoop"])
def test_the_legs_cover_the_band_once(plain: Spec, style: Style) -> None:
    pattern = sided(replace(plain, style=style), ("hip higher", 20.0, "left"))
    for side in ("front", "back"):
        parts = sorted(
            (s.b.from_mm, s.b.to_mm, s.name)
            for s in pattern.seams
            if s.name.startswith(f"waist, {side}")
        )
        width = ruler_length(pattern.piece(f"{side}_band").edge("lower").path)
        assert parts[0][0] == 0.0
        assert parts[-1][1] == pytest.approx(width, abs=0.01)
        for (_, end, _), (start, _, _) in pairwise(parts):
            assert start == pytest.approx(end, abs=1e-6)
        # Seen from outside, a front band begins on the wearer's right and a back band on her left.
        assert ("right leg" in parts[0][2]) is (side == "front")


def test_sides_are_told_on_the_pieces_and_half_lie_printed_side_down(plain: Spec) -> None:
    spec = replace(plain, style=STYLES[1])
    pattern = sided(spec, ("hip higher", 12.0, "left"))
    for part, drawn in DRAWN.items():
        left, right = pattern.piece(part), pattern.piece(f"{part}_right")
        assert (left.title.split(", ")[1], right.title.split(", ")[1]) == ("left", "right")
        assert (left.side, right.side) == ("left", "right")
        assert left.turned_over is (drawn == "right")
        assert right.turned_over is (drawn == "left")
        down = next(p for p in (left, right) if p.turned_over)
        assert down.cut_note.endswith("printed side down")
    assert "altered: hip higher 1.2 cm, left leg" in pattern.piece("front").notes
    assert not any("altered" in n for n in pattern.piece("front_right").notes)


def test_a_centre_that_does_not_meet_is_an_error(plain: Spec) -> None:
    pattern = sided(plain, ("hip higher", 12.0, "left"))
    piece = pattern.piece("back_right")
    longer = tuple(
        replace(e, path=e.path.mapped(1.002, 0.0, 0.0, 1.002)) if e.name == "crotch" else e
        for e in piece.edges
    )
    damaged = replace(
        pattern,
        pieces=tuple(
            replace(p, edges=longer) if p.name == "back_right" else p for p in pattern.pieces
        ),
    )
    found = [f for f in run_checks(damaged) if f.check == "centre seams match"]
    assert [(f.where, f.level) for f in found] == [
        ("centre front", "pass"),
        ("centre back", "error"),
    ]
    assert found[1].measured == pytest.approx(-0.002 * ruler_length(piece.edge("crotch").path))


def test_a_finding_of_one_leg_names_it_and_one_of_both_stands_once(plain: Spec) -> None:
    pattern = sided(plain, ("hip higher", 12.0, "left"))
    assert pattern.legs is not None
    of_whole = {f.check for check in _WHOLE for f in check(pattern)}
    told = {(f.check, f.where): f for f in pattern.findings if f.check not in of_whole}
    assert len(told) == sum(f.check not in of_whole for f in pattern.findings)
    sides = Counter(f.side for f in told.values())
    assert sides["left"] == sides["right"] > 1
    assert sides[""] > 5
    for side, leg in zip(("left", "right"), pattern.legs, strict=True):
        for f in leg.findings:
            if f.check not in of_whole:
                one = told.get((f.check, f.where)) or told[f.check, f"{f.where}, {side} leg"]
                assert one.side == ("" if one.where == f.where else side)
                assert (one.level, one.measured) == (f.level, pytest.approx(f.measured, abs=1e-6))


def test_alterations_of_both_and_of_one_side_add_up(plain: Spec) -> None:
    many = (("hip higher", 9.0, "left"), ("full seat", 8.0, ""), ("full calf", 12.0, "right"))
    a, b = sided(plain, *many), sided(plain, *many[::-1])
    assert all(same_cut(p, q) for p, q in zip(a.pieces, b.pieces, strict=True))
    both = draft_pattern(replace(plain, alter=(AlterationEntry(what="full seat", amount=8.0),)))
    assert a.legs is not None
    for leg in a.legs:
        got = ruler_length(leg.piece("back").edge("crotch").path)
        assert got == pytest.approx(ruler_length(both.piece("back").edge("crotch").path), abs=0.01)
    assert not a.errors


def test_a_trial_keeps_the_sides_apart(plain: Spec) -> None:
    trial = trial_pattern(sided(plain, ("hip higher", 15.0, "right")))
    assert not trial.errors
    titles = [p.title for p in trial.pieces if p.part in ("front", "back")]
    assert titles == [
        f"TRIAL {part} leg, {side}" for part in ("front", "back") for side in ("left", "right")
    ]
    assert trial.legs is not None
    left, right = (edge_length(leg, "front", "outseam") for leg in trial.legs)
    assert right - left == pytest.approx(15.0, abs=0.5)


@pytest.mark.parametrize(
    ("entry", "says"),
    [
        ({"what": "hip higher", "amount": 1}, "without a side"),
        ({"what": "deeper crotch", "amount": 1, "side": "left"}, "on the left side only"),
        ({"what": "full calf", "amount": 1, "side": "middle"}, '"left" or "right"'),
    ],
)
def test_a_side_where_it_makes_no_sense_is_refused(entry: dict[str, object], says: str) -> None:
    with pytest.raises(InputError, match=says):
        read_alterations([entry], "cm")


def test_opposites_on_different_sides_are_no_contradiction() -> None:
    raw = [
        {"what": "hip higher", "amount": 1, "side": "left"},
        {"what": "hip lower", "amount": 1, "side": "right"},
    ]
    assert [a.side for a in read_alterations(raw, "cm")] == ["left", "right"]
    raw[1]["side"] = "left"
    with pytest.raises(InputError, match="undo each other"):
        read_alterations(raw, "cm")


def test_limits_hold_for_each_side() -> None:
    raw: list[dict[str, object]] = [
        {"what": "full calf", "amount": 4, "side": "left"},
        {"what": "full calf", "amount": 4, "side": "right"},
    ]
    assert len(read_alterations(raw, "cm")) == 2
    with pytest.raises(InputError, match="in all"):
        read_alterations([*raw, {"what": "full calf", "amount": 3}], "cm")


@pytest.mark.parametrize("shift", ["knock knees", "bow legs"])
@pytest.mark.parametrize("thigh", ["full thigh", "slim thigh"])
def test_a_leg_moved_sideways_beside_another_thigh_still_joins(
    plain: Spec, shift: str, thigh: str
) -> None:
    """The thigh lengthens the crotch seam by a curve that leans with the leg."""
    pattern = sided(plain, (shift, 20.0, "left"), (thigh, 15.0, ""))
    assert not pattern.errors
    for f in pattern.findings:
        if f.check == "centre seams match":
            assert abs(f.measured) < 0.01


@pytest.mark.parametrize("side", SIDES)
def test_round_the_hips_both_legs_count(plain: Spec, side: str) -> None:
    """A seat narrower on one side takes half as much off the hips as one that is on both."""
    was, both = (draft_pattern(s) for s in (plain, with_seat(plain, "")))
    pattern = draft_pattern(with_seat(plain, side))
    assert pattern.legs is not None
    hips = {round(finished(p)["hip"], 6) for p in (pattern, *pattern.legs)}
    (hip,) = hips
    whole = finished(was)["hip"], finished(both)["hip"]
    assert whole[0] - whole[1] > 15.0
    assert hip == pytest.approx(sum(whole) / 2.0, abs=0.01)
    (told,) = (level for level in levels(pattern) if level.name == "hip")
    assert told.pattern_mm == pytest.approx(hip)


def with_seat(spec: Spec, side: str) -> Spec:
    return replace(spec, alter=(AlterationEntry(what="narrow seat", amount=20.0, side=side),))
