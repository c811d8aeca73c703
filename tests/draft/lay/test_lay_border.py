"""Border lays: hems on the border, bands on its eye, figures matched, what does not fit is said."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from itertools import permutations

import pytest
from lay_pieces import box_piece, items, orientation_of, part

from outseam.cli.wording.lay import steps
from outseam.curves.region import bounds
from outseam.draft.border.levels import above_hem_mm, face_middle_mm, hem_mm, is_leg
from outseam.draft.fabric import Fabric
from outseam.draft.figures.finished import finished
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.words import in_units
from outseam.draft.lay.model.cloth import Cloth, cloth_of
from outseam.draft.lay.model.positions import Slides
from outseam.draft.lay.model.result import Lay, Placed
from outseam.draft.lay.model.turning import border_turns
from outseam.draft.lay.nest.fixed_rows import FixedPlace, Match, best_rows
from outseam.draft.lay.ways.border import search_border
from outseam.draft.lay.ways.border_report import (
    border_marks,
    check_border,
    figures_mm,
    pin_mm,
    stands_far,
)
from outseam.draft.lay.ways.hold import holds, off_print
from outseam.draft.lay.ways.plan import plan, plan_lay
from outseam.draft.lay.ways.quick import fabric_length
from outseam.draft.model import Pattern
from outseam.draft.piece.ruler import ruler_length
from outseam.draft.piece.shrinkage import grown
from outseam.draft.trial import trial_pattern

Make = Callable[..., Pattern]


def printed(**more: object) -> Fabric:
    values: dict[str, object] = {
        "stretch_across": 0.5,
        "stretch_along": 0.5,
        "width": 1500.0,
        "border": "both",
        "border_height": 220.0,
        "border_from_selvedge": 60.0,
        "borders_alike": True,
        "one_way": False,
    }
    if more.get("border") == "one":
        values.pop("borders_alike")
    return Fabric(**(values | more))  # type: ignore[arg-type]


def failing(lay: Lay, pattern: Pattern) -> set[str]:
    return {f.check for f in check_border(lay, [pattern]) if f.level in ("warning", "error")}


@pytest.mark.parametrize("leg", ["straight", "flare", "palazzo"])
@pytest.mark.parametrize("above", [0.0, 25.0, -30.0])
def test_hems_run_along_the_border_and_bands_sit_on_the_eye(
    make_pattern: Make, leg: str, above: float
) -> None:
    fabric = printed(
        border_eye=90.0, border_from_selvedge=90.0, shrink_across=0.04, shrink_along=0.02
    )
    pattern = make_pattern(fabric=fabric, leg=leg, border_above_hem=above)
    lay = plan_lay([pattern])
    assert not lay.errors
    assert lay.how.startswith("border")
    legs = bands = 0
    for p in lay.placed:
        far = p.lie.turn_deg == 270
        if is_leg(p.piece):
            for path, at in (("outseam", "end"), ("inseam", "start")):
                _, y = getattr(p.lie.path(p.piece.edge(path).path), at)
                inside = (1500.0 - y if far else y) - 90.0
                # On the fabric in hand; washed, it is as much smaller as the fabric shrinks.
                assert -inside * 0.96 == pytest.approx(above, abs=0.05)
            legs += 1
        else:
            _, y = p.lie.points([(0.0, face_middle_mm(p.piece))])[0]
            assert (1500.0 - y if far else y) == pytest.approx(90.0 + 90.0, abs=0.02)
            bands += 1
    assert (legs, bands) == (4, 2)
    assert failing(lay, pattern) <= {"border meets at the seams"}


def test_the_row_is_the_shortest_of_all_orders(make_pattern: Make) -> None:
    """All 720 orders by brute force, each piece as early as those before it allow."""
    pattern = make_pattern(fabric=printed(border="one"), band_from="border")
    lay = search_border([pattern], cloth_of(pattern.spec.fabric))
    assert lay.bound_mm == pytest.approx(lay.length_mm, abs=0.011)
    again = {p.key: p for p in lay.placed}
    orientations = {
        k: orientation_of(p.part, pattern.spec.fabric, 5.0, p.lie.face, p.lie.turn_deg)
        for k, p in again.items()
    }
    slides = Slides()
    after = {
        (a, b): (rows[-1][1] if rows else -1e9)
        for a in orientations
        for b in orientations
        if a != b
        for rows in [
            slides.blocked(orientations[a], orientations[b], again[b].y_mm - again[a].y_mm)
        ]
    }
    best = 1e9
    for order in permutations(orientations):
        x: dict[str, float] = {}
        for k in order:
            x[k] = max([0.0, *(x[q] + after[q, k] for q in x)])
        best = min(best, max(x[k] + orientations[k].length_mm for k in x))
    assert lay.length_mm == pytest.approx(best, abs=0.02)


def test_both_selvedges_are_used_only_if_that_saves(make_pattern: Make) -> None:
    one = plan_lay([make_pattern(fabric=printed(border="one"), leg="flare", band_from="plain")])
    both = plan_lay([make_pattern(fabric=printed(), leg="flare", band_from="plain")])
    assert {p.lie.turn_deg for p in one.placed if is_leg(p.piece)} == {90}
    assert both.length_mm <= one.length_mm + 1e-6
    if {p.lie.turn_deg for p in both.placed if is_leg(p.piece)} == {90, 270}:
        assert both.length_mm < one.length_mm - 20.0
    napped = make_pattern(fabric=printed(one_way=True), leg="flare", band_from="plain")
    assert {p.lie.turn_deg for p in plan_lay([napped]).placed} == {90}


def test_figures_match_over_outseams_and_left_to_right(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=printed(border_repeat=290.0))
    lay = plan_lay([pattern])
    assert not lay.errors
    assert failing(lay, pattern) == set()
    creases = {
        (p.piece.name, p.lie.face): p.lie.path(
            next(k.path for k in p.piece.lines if k.kind == "crease")
        ).start[0]
        for p in lay.placed
        if is_leg(p.piece)
    }
    off = (creases["front", "up"] - creases["front", "down"]) / 290.0
    assert off == pytest.approx(round(off), abs=1e-4)
    middles = [p.x_mm + p.length_mm / 2.0 for p in lay.placed if "band" in p.piece.name]
    assert ((middles[0] - middles[1]) / 290.0) % 1.0 == pytest.approx(0.0, abs=1e-4) or (
        (middles[1] - middles[0]) / 290.0
    ) % 1.0 == pytest.approx(0.0, abs=1e-4)


@pytest.mark.parametrize("shift", [0.0, 50.0, 200.0])
def test_one_leg_on_each_border_where_the_shift_is_known(make_pattern: Make, shift: float) -> None:
    """The crease line of either leg falls on the same figure, the far border's shift taken off."""
    fabric = printed(width=1480.0, border_repeat=320.0, border_shift=shift)
    pattern = make_pattern(fabric=fabric, leg="palazzo", band_from="plain")
    lay = plan_lay([pattern])
    assert not lay.errors
    assert failing(lay, pattern) == set()
    apart = plan_lay([make_pattern(fabric=replace(fabric, border_shift=None), leg="palazzo")])
    assert lay.length_mm < apart.length_mm - 20.0
    legs = {(p.piece.name, p.lie.face): p for p in lay.placed if p.piece.name in ("front", "back")}
    for front, back in (("up", "down"), ("down", "up")):
        assert legs["front", front].lie.turn_deg == legs["back", back].lie.turn_deg
    assert {p.lie.turn_deg for p in legs.values()} == {90, 270}

    def crease(p: Placed) -> float:
        line = next(k.path for k in p.piece.lines if k.kind == "crease")
        return p.lie.path(line).start[0] - (shift if p.lie.turn_deg == 270 else 0.0)

    off = (crease(legs["front", "up"]) - crease(legs["front", "down"])) / 320.0
    assert off == pytest.approx(round(off), abs=1e-4)
    # A leg whose halves stand on different borders does not meet at its seams.
    torn = tuple(
        replace(p, lie=replace(p.lie, turn_deg=360 - p.lie.turn_deg))  # type: ignore[arg-type]
        if (p.piece.name, p.lie.face) == ("back", "up")
        else p
        for p in lay.placed
    )
    assert "leg on one border" in failing(replace(lay, placed=torn), pattern)


def test_free_pieces_use_the_hollows(make_pattern: Make) -> None:
    """Pockets, belts and a plain band between the legs: the row of legs alone is as long."""
    fabric = printed(width=1480.0, border_repeat=320.0)
    pattern = make_pattern(fabric=fabric, leg="palazzo", pocket="patch", belt="narrow")
    lay = plan_lay([pattern])
    assert len(lay.placed) == 10
    assert lay.length_mm == pytest.approx(lay.bound_mm, abs=0.01)


def test_a_plain_band_is_turned_only_where_the_knit_stretches_that_way_too(
    make_pattern: Make,
) -> None:
    both = make_pattern(fabric=printed(border="one"), band_from="plain")
    assert 0 in border_turns(both, both.piece("front_band"))
    stiff = make_pattern(fabric=printed(border="one", stretch_across=0.0), band_from="plain")
    assert border_turns(stiff, stiff.piece("front_band")) == (90, 270)


def test_a_fit_too_close_for_the_stretch_speaks_of_the_body(make_pattern: Make) -> None:
    with pytest.raises(InputError, match="stretches 5 % round the body"):
        make_pattern(fabric=printed(stretch_along=0.05), fit="close")


def test_damage_is_seen_by_its_own_check(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=printed(border_repeat=290.0))
    lay = plan_lay([pattern])

    def moved(which: Callable[..., bool], dx: float, dy: float) -> Lay:
        placed = tuple(
            replace(p, lie=p.lie.moved(dx, dy), x_mm=p.x_mm + dx, y_mm=p.y_mm + dy)
            if which(p)
            else p
            for p in lay.placed
        )
        return replace(lay, placed=placed)

    def back_up(p: object) -> bool:
        return p.piece.name == "back" and p.lie.face == "up"  # type: ignore[attr-defined]

    def front_up(p: object) -> bool:
        return p.piece.name == "front" and p.lie.face == "up"  # type: ignore[attr-defined]

    def band(p: object) -> bool:
        return p.piece.name == "front_band"  # type: ignore[attr-defined]

    assert failing(moved(back_up, 4.0, 0.0), pattern) == {"repeat at the outseam"}
    assert failing(moved(front_up, 4.0, 0.0), pattern) == {
        "repeat at the outseam",
        "repeat left and right",
    }
    assert failing(moved(band, 4.0, 0.0), pattern) == {"repeat in the band"}
    assert failing(moved(band, 0.0, -4.0), pattern) == {"eye in the middle of the band"}
    assert "border above the hem" in failing(moved(front_up, 0.0, 1.0), pattern)


def test_no_fabric_below_the_border_says_what_is_allowed(make_pattern: Make) -> None:
    fabric = printed(border_from_selvedge=10.0)
    with pytest.raises(InputError, match="border_above_hem") as caught:
        make_pattern(fabric=fabric, hem_allowance=40.0, leg="straight", border_above_hem=0.0)
    # 4 cm of allowance and 1 cm there: 3 cm of the border have to be turned up, and a little for
    # the hem's curve.
    allowed = float(caught.value.allowed.split("at most ")[1].split(" cm")[0])
    assert -3.3 < allowed <= -3.0
    fits = make_pattern(
        fabric=fabric, hem_allowance=40.0, leg="straight", border_above_hem=allowed * 10.0
    )
    assert not plan_lay([fits]).errors


def test_a_leg_longer_than_the_fabric_is_wide_is_measured(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=printed())
    back = max(bounds(c)[3] - hem_mm(pattern.piece("back")) for c in pattern.piece("back").cut)
    with pytest.raises(InputError, match=r"longer than the fabric is wide") as caught:
        make_pattern(fabric=printed(width=950.0))
    over = float(caught.value.got.split("leg is ")[1].split(" cm")[0]) * 10.0
    assert over == pytest.approx(back + 60.0 - 950.0, abs=1.0)


def test_the_draft_follows_the_stretch_that_comes_round_the_body(make_pattern: Make) -> None:
    turned = make_pattern(fabric=printed(stretch_along=0.25))
    straight = make_pattern(fabric=Fabric(stretch_across=0.25, stretch_along=0.5))
    assert finished(turned)["hip"] == pytest.approx(finished(straight)["hip"])
    assert finished(turned)["hip"] > finished(make_pattern(fabric=printed()))["hip"] + 5.0
    notes = [f for f in plan_lay([turned]).findings if f.check == "turned fabric"]
    assert notes[0].level == "note"
    assert "25 %" in in_units(notes[0].says, "cm")
    assert re.search(r", \d[0-9 /]*\" wider at the hip", in_units(notes[0].says, "in"))


def test_what_a_lay_says_is_in_the_units_of_the_file(make_pattern: Make) -> None:
    figured = printed(stretch_along=0.25, border_repeat=83.0, border_eye=20.0)
    said = [f.says for f in plan_lay([make_pattern(fabric=figured)]).findings]
    metric = " ".join(in_units(s, "cm") for s in said)
    assert re.search(r"\d cm apart", metric)
    assert not re.search(r"\d mm\b", metric)
    assert not re.search(r"\d (?:mm|cm)\b", " ".join(in_units(s, "in") for s in said))


def test_stretch_along_is_asked_for_and_never_taken_for_none(make_pattern: Make) -> None:
    """It goes round the body on turned cloth; a woven that is not said to stretch does not."""
    with pytest.raises(InputError, match="goes round the body") as caught:
        make_pattern(fabric=printed(stretch_along=None))
    assert caught.value.field == "fabric.stretch_along"
    stretchy = printed(kind="woven", stretch_across=0.2, stretch_along=None)
    with pytest.raises(InputError, match="goes round the body"):
        make_pattern(fabric=stretchy, fit="loose")
    rigid = printed(kind="woven", stretch_across=None, stretch_along=None)
    assert make_pattern(fabric=rigid, fit="loose").spec.fabric.stretch_round_ratio == 0.0
    given = make_pattern(fabric=printed(stretch_along=0.3))
    assert any("round the body: stretch along, 30 %" in n for n in given.piece("front").notes)
    assert any("round the body: stretch along, 30 %" in n for n in given.piece("back_band").notes)


def test_printed_pieces_grow_the_way_they_are_laid(make_pattern: Make) -> None:
    fabric = printed(shrink_across=0.05, shrink_along=0.0)
    piece = make_pattern(fabric=fabric).piece("front_band")
    width, height = piece.edges[0].path.end[0], piece.edges[1].path.end[1]
    cut = grown(piece, fabric)
    # Round the body lies along the fabric, which does not shrink; its height lies across.
    assert cut.edges[0].path.end[0] == pytest.approx(width)
    assert cut.edges[1].path.end[1] == pytest.approx(height / 0.95)


def test_marks_are_where_front_and_back_meet(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=printed(border_eye=100.0), leg="flare", border_above_hem=20.0)
    border = cloth_of(pattern.spec.fabric).border
    assert border is not None
    marks = border_marks(pattern, border)
    assert {(m.seam, m.level) for m in marks} == {
        (s, n) for s in ("outseam", "inseam") for n in ("edge", "eye", "inner end")
    }
    for m in marks:
        want = 20.0 + {"edge": 0.0, "eye": 100.0, "inner end": 220.0}[m.level]
        assert m.above_hem_mm == pytest.approx(want)
        # Along a seam that slopes, the distance is longer than the height, by a few per cent.
        assert want <= m.front_mm < 1.1 * want
        assert abs(m.mismatch_mm) < 1.0
    back = pattern.piece("back")
    edges = tuple(
        replace(e, path=e.path.mapped(1.0, 0.0, 0.6, 1.0)) if e.name == "inseam" else e
        for e in back.edges
    )
    pieces = tuple(replace(p, edges=edges) if p.name == "back" else p for p in pattern.pieces)
    slanted = border_marks(replace(pattern, pieces=pieces), border)
    assert any(abs(m.mismatch_mm) > 4.5 for m in slanted if m.seam == "inseam")


def test_free_pieces_lie_as_the_legs_do(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=printed(), pocket="patch")
    lay = plan_lay([pattern])
    assert not lay.errors
    turns = {p.piece.name: p.lie.turn_deg for p in lay.placed}
    assert turns["patch_pocket"] in (90, 270)
    assert lay.bound_mm <= lay.length_mm


def test_border_lays_are_kept_and_drawn_again(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=printed(border_repeat=300.0))
    first = plan([pattern])
    assert first.fresh
    again = plan([pattern], kept=first.keep)
    assert not again.fresh
    assert [(p.key, p.lie, p.border) for p in again.lay.placed] == [
        (p.key, p.lie, p.border) for p in first.lay.placed
    ]
    assert again.lay.bound_mm == pytest.approx(first.lay.bound_mm, abs=0.01)
    assert failing(again.lay, pattern) == failing(first.lay, pattern)
    found = fabric_length(pattern, first.keep)
    assert found.kept
    # Another place on the border, or another border, is another lay.
    for fabric, above in (
        (printed(border_repeat=300.0), -10.0),
        (printed(border_repeat=310.0), 0.0),
    ):
        other = plan([make_pattern(fabric=fabric, border_above_hem=above)], kept=first.keep)
        assert other.fresh
        assert "the border, or where the pieces lie on it, has changed" in other.remark


# --- two borders ----------------------------------------------------------------------------------


def stands(lay: Lay) -> tuple[set[bool], set[bool]]:
    """On which border legs and waistband stand: far or not."""
    placed = [p for p in lay.placed if p.border]
    return (
        {stands_far(p, lay) for p in placed if is_leg(p.piece)},
        {stands_far(p, lay) for p in placed if not is_leg(p.piece)},
    )


def test_borders_not_said_to_be_alike_are_never_mixed(make_pattern: Make) -> None:
    """With or without a repeat: all legs on one border, and a waistband never from both."""
    for more in ({}, {"border_repeat": 320.0}, {"border_repeat": 320.0, "border_shift": 40.0}):
        for one_way in (None, False, True):
            fabric = printed(width=1480.0, borders_alike=False, one_way=one_way, **more)
            pattern = make_pattern(fabric=fabric, leg="palazzo")
            assert stands(plan_lay([pattern])) == ({False}, {False})
            other = make_pattern(
                fabric=replace(fabric, other_border_height=120.0),
                leg="palazzo",
                band_from="other border",
            )
            lay = plan_lay([other])
            assert stands(lay) == ({False}, {True})
            turns = {p.lie.turn_deg for p in lay.placed if p.border and not is_leg(p.piece)}
            # In a field with an up the band stands the way the legs do.
            assert turns == ({90} if one_way else {270})


def test_alike_with_an_up_stays_on_one_border(make_pattern: Make) -> None:
    alike = make_pattern(fabric=printed(width=1480.0), leg="palazzo")
    assert stands(plan_lay([alike]))[0] == {False, True}
    up = make_pattern(fabric=printed(width=1480.0, one_way=True), leg="palazzo")
    assert stands(plan_lay([up])) == ({False}, {False})
    with pytest.raises(InputError, match="has an up") as caught:
        make_pattern(fabric=printed(one_way=None))
    assert caught.value.field == "fabric.one_way"


@pytest.mark.parametrize("one_way", [False, True])
def test_the_band_lies_on_the_eye_of_its_own_border(make_pattern: Make, one_way: bool) -> None:
    fabric = printed(
        borders_alike=False,
        one_way=one_way,
        other_border_height=160.0,
        other_border_from_selvedge=70.0,
        other_border_eye=50.0,
    )
    pattern = make_pattern(fabric=fabric, band_from="other border")
    lay = plan_lay([pattern])
    assert "eye in the middle of the band" not in failing(lay, pattern)
    for p in lay.placed:
        if not is_leg(p.piece):
            _, y = p.lie.points([(0.0, face_middle_mm(p.piece))])[0]
            assert y == pytest.approx(1500.0 - 70.0 - 50.0, abs=0.02)


def test_a_figure_stands_at_the_centre_of_legs_and_band(make_pattern: Make) -> None:
    """Measured on the placed pieces: creases and middles of the bands on figures of one border."""
    for more, style in (
        ({"border": "one", "border_repeat": 290.0}, {"band_from": "border"}),
        (
            {
                "borders_alike": False,
                "other_border_height": 120.0,
                "border_repeat": 290.0,
                "border_shift": 70.0,
            },
            {"band_from": "other border"},
        ),
    ):
        pattern = make_pattern(fabric=printed(**more), figure_at="centre", **style)
        lay = plan_lay([pattern])
        assert not failing(lay, pattern)
        figures = figures_mm(lay, [pattern])
        assert figures
        seen = 0
        for p in lay.placed:
            far = stands_far(p, lay)
            if p.piece.name == "front":
                crease = next(k.path for k in p.piece.lines if k.kind == "crease")
                x = p.lie.path(crease).start[0]
            elif "band" in p.piece.name:
                x = p.x_mm + p.length_mm / 2.0
            else:
                continue
            near = [f for f in figures if (f[1] > 750.0) == far]
            assert min(abs(f[0] - x) for f in near) < 0.05, p.key
            seen += 1
        assert seen == 4
        free = plan_lay([make_pattern(fabric=printed(**more), **style)])
        assert free.length_mm <= lay.length_mm + 1e-6
        assert figures_mm(free, [make_pattern(fabric=printed(**more), **style)]) == ()


UNLIKE = {
    "borders_alike": False,
    "other_border_height": 120.0,
    "border_repeat": 290.0,
    "other_border_repeat": 130.0,
}


def by_side(lay: Lay) -> tuple[list[float], list[float]]:
    """Where the creases of the fronts and the middles of the bands lie, from the cut end."""
    creases, middles = [], []
    for p in lay.placed:
        if p.piece.name == "front":
            crease = next(k.path for k in p.piece.lines if k.kind == "crease")
            creases.append(p.lie.path(crease).start[0])
        elif p.border and not is_leg(p.piece):
            middles.append(p.x_mm + p.length_mm / 2.0)
    return creases, middles


def off_whole(mm: float, repeat: float) -> float:
    return abs((mm + repeat / 2.0) % repeat - repeat / 2.0)


def test_each_of_two_borders_has_its_own_repeat(make_pattern: Make) -> None:
    """Legs repeat by the one, pieces of the band by the other; a repeat is worth nothing there."""
    pattern = make_pattern(fabric=printed(**UNLIKE), band_from="other border")
    lay = plan_lay([pattern])
    assert not failing(lay, pattern)
    creases, middles = by_side(lay)
    assert len(creases) == len(middles) == 2
    assert off_whole(creases[1] - creases[0], 290.0) < 0.1
    assert off_whole(middles[1] - middles[0], 130.0) < 0.1
    # With one repeat for both the pieces of the band would lie elsewhere.
    alone = make_pattern(
        fabric=printed(**{**UNLIKE, "other_border_repeat": None}), band_from="other border"
    )
    _, same = by_side(plan_lay([alone]))
    assert off_whole(same[1] - same[0], 290.0) < 0.1
    told = " ".join(steps(lay, "cm"))
    assert "29 cm" in told
    assert "13 cm" in told
    # By hand each moves by whole repeats of its own border.
    assert not off_print(lay, [pattern])
    hold = holds(lay, [pattern])
    assert {h.along_mm for k, h in hold.items() if "band" in k} == {130.0}
    assert {h.along_mm for k, h in hold.items() if "front" in k and "band" not in k} == {290.0}


def test_figures_of_two_unlike_borders_at_one_centre(make_pattern: Make) -> None:
    """From the figure that the shift was measured at, the band's figures lie where it says."""
    fabric = printed(**UNLIKE, border_shift=40.0)
    pattern = make_pattern(fabric=fabric, band_from="other border", figure_at="centre")
    lay = plan_lay([pattern])
    assert not failing(lay, pattern)
    pin = pin_mm(lay, [pattern])
    assert pin is not None
    assert 0.0 <= pin <= lay.length_mm
    creases, middles = by_side(lay)
    for x in creases:
        assert off_whole(x - pin, 290.0) < 0.1
    for x in middles:
        assert off_whole(x - pin - 40.0, 130.0) < 0.1
    for x, y in figures_mm(lay, [pattern]):
        far = y > 750.0
        assert off_whole(x - pin - (40.0 if far else 0.0), 130.0 if far else 290.0) < 0.1
    assert "border_shift" in " ".join(steps(lay, "cm", centred=True, pin_mm=pin))


@pytest.mark.parametrize(
    ("fabric", "style", "field"),
    [
        ({"other_border_repeat": 130.0}, {}, "fabric.other_border_repeat"),
        ({"border": "one", "other_border_repeat": 1.0}, {}, "fabric.other_border_repeat"),
        ({"border": "one"}, {"band_from": "other border"}, "style.band_from"),
        ({"borders_alike": False}, {"band_from": "other border"}, "fabric.other_border_height"),
        ({"other_border_height": 90.0}, {}, "fabric.other_border_height"),
        ({"border": "one", "borders_alike": True}, {}, "fabric.borders_alike"),
        ({}, {"figure_at": "centre"}, "style.figure_at"),
        (
            {"borders_alike": False, "border_repeat": 300.0, "other_border_height": 99.0},
            {"figure_at": "centre", "band_from": "other border"},
            "fabric.border_shift",
        ),
        ({"border_above": None}, {"border_above_hem": 0.0, "hem_allowance": 80.0}, "style.border"),
    ],
)
def test_what_two_borders_ask_is_asked_before_anything_is_drawn(
    make_pattern: Make, fabric: dict[str, object], style: dict[str, object], field: str
) -> None:
    more = {k: v for k, v in fabric.items() if k != "border_above"}
    with pytest.raises(InputError) as caught:
        make_pattern(fabric=printed(**more), **style)
    assert caught.value.field.startswith(field)


# --- the border on the legs -----------------------------------------------------------------------


def test_the_default_place_above_the_hem_can_be_cut(make_pattern: Make) -> None:
    """A border 1.5 cm from the selvedge and a hem of 2.5 cm: a centimetre of it is turned up."""
    for edge in (0.0, 15.0, 60.0):
        pattern = make_pattern(fabric=printed(border_from_selvedge=edge), leg="palazzo")
        above = above_hem_mm(pattern.spec, pattern.pieces)
        assert above == 0.0 if edge == 60.0 else edge - 25.0 - 10.0 < above <= edge - 25.0
        lay = plan_lay([pattern])
        assert not lay.errors
        assert "border above the hem" not in failing(lay, pattern)
    asked = printed(border_from_selvedge=15.0)
    with pytest.raises(InputError, match="border_above_hem"):
        make_pattern(fabric=asked, leg="palazzo", border_above_hem=0.0)


@pytest.mark.parametrize("shrink", [0.0, 0.04])
def test_the_border_is_drawn_and_notched_on_the_legs(make_pattern: Make, shrink: float) -> None:
    fabric = printed(border_eye=90.0, shrink_across=shrink)
    pattern = make_pattern(fabric=fabric, leg="flare", border_above_hem=20.0)
    distances: dict[tuple[str, str], list[float]] = {}
    for name in ("front", "back"):
        piece = pattern.piece(name)
        grown_piece = grown(piece, fabric)
        hem = hem_mm(grown_piece)
        edge = 20.0 / (1.0 - shrink)
        for role, above in (
            ("border begins", edge),
            ("border figure", edge + 90.0),
            ("border ends", edge + 220.0),
        ):
            line = grown_piece.line(role)  # type: ignore[arg-type]
            assert line is not None
            assert line.path.start[1] == pytest.approx(hem + above, abs=1e-6)
            assert line.path.end[1] == pytest.approx(hem + above, abs=1e-6)
        for n in piece.notches:
            if n.role.startswith("border"):
                whole = ruler_length(piece.edge(n.edge).path)
                at = whole - n.at_mm if n.edge == "outseam" else n.at_mm
                distances.setdefault((n.edge, n.role), []).append(at)
    assert {k: len(v) for k, v in distances.items()} == {
        (seam, role): 2
        for seam in ("outseam", "inseam")
        for role in ("border begins", "border ends")
    }
    assert all(abs(a - b) < 1e-9 for a, b in distances.values())
    plain = make_pattern(leg="flare")
    assert not any(n.role.startswith("border") for n in plain.piece("front").notches)


@pytest.mark.parametrize("height", [120.0, 220.0, 400.0])
def test_a_leg_is_not_lengthened_within_its_border(make_pattern: Make, height: float) -> None:
    pattern = make_pattern(fabric=printed(border_height=height), leg="palazzo")
    for name in ("front", "back"):
        piece = pattern.piece(name)
        end = piece.line("border ends")
        assert end is not None
        levels = [k.path.start[1] for k in piece.lines if k.kind in ("level", "lengthen")]
        found = [k.path.start[1] for k in piece.lines if k.kind == "lengthen"]
        assert found
        for y in found:
            assert y >= end.path.start[1] + 44.9
            assert sorted(abs(y - other) for other in levels)[1] >= 44.9


def test_where_the_border_lies_by_itself_is_told(make_pattern: Make) -> None:
    near = make_pattern(fabric=printed(border_from_selvedge=15.0))
    (told,) = [f for f in near.findings if f.check == "border on the hem"]
    assert told.level == "note"
    assert told.measured == -above_hem_mm(near.spec, near.pieces)
    assert "turned up with the hem" in in_units(told.advice, "cm")
    far = make_pattern(fabric=printed(border_from_selvedge=60.0))
    assert [f.level for f in far.findings if f.check == "border on the hem"] == ["pass"]


def test_a_trial_knows_nothing_of_the_border(make_pattern: Make) -> None:
    trial = trial_pattern(make_pattern(fabric=printed(stretch_along=0.3), leg="palazzo"))
    for piece in trial.pieces:
        assert not any("border" in text for text in (*piece.notes, *(k.label for k in piece.lines)))
        assert not any(n.role.startswith("border") for n in piece.notches)
    assert trial.spec.fabric.stretch_round_ratio == 0.3


@pytest.mark.parametrize(
    ("more", "field"),
    [
        ({"border_height": None}, "fabric.border_height"),
        ({"fold": "folded"}, "fabric.fold"),
        ({"border_eye": 300.0}, "fabric.border_eye"),
        ({"border_height": 700.0}, "fabric.border_height"),
        ({"border": "one", "border_height": 1450.0}, "fabric.border_height"),
        ({"border_shift": 10.0}, "fabric.border_shift"),
        ({"border": "one", "border_repeat": 90.0, "border_shift": 1.0}, "fabric.border_shift"),
    ],
)
def test_borders_that_cannot_be(make_pattern: Make, more: dict[str, object], field: str) -> None:
    with pytest.raises(InputError) as caught:
        plan_lay([make_pattern(fabric=printed(**more))])
    assert caught.value.field == field


def test_giving_up_the_proof_says_so(make_pattern: Make) -> None:
    from outseam.draft.lay.model.orientations import items_of
    from outseam.draft.lay.model.parts import parts_of
    from outseam.draft.lay.model.turning import border_turns
    from outseam.draft.lay.ways.border import fixed_place

    pattern = make_pattern(fabric=printed())
    cloth = cloth_of(pattern.spec.fabric)
    parts = parts_of([pattern], cloth, border_turns)
    places = [
        [fixed_place(part, item, pattern, cloth, "near")[0]]
        for part, item in zip(parts, items_of(parts, [pattern.spec.fabric], cloth), strict=True)
    ]
    hasty = best_rows(places, Slides(), most_steps=5)
    full = best_rows(places, Slides())
    assert not hasty.proved
    assert full.proved
    assert hasty.bound_mm <= full.rows[0].length_mm <= hasty.rows[0].length_mm


@pytest.mark.parametrize(
    ("groups", "own", "proved"),
    [
        *((1, None, True), (2, None, True), (3, None, False), (9, None, False)),
        *((2, 50.0, False), (2, 30.0, False)),
    ],
)
def test_more_than_two_groups_in_phase_are_not_proved(
    groups: int, own: float | None, proved: bool
) -> None:
    """How the phases of two groups may stand to each other is tried; of more it is not, nor where
    a piece has a repeat of its own.
    """
    boxes = items(
        [part(box_piece(f"box{n}", 100.0, 130.0 + n), turns=(0,)) for n in range(groups)],
        Cloth(width_mm=150.0),
    )
    places = [
        [
            FixedPlace(
                item=one,
                orientation=one.orientations[0],
                y_mm=0.0,
                side="near",
                match=Match(group=f"g{n}", at_mm=10.0, repeat_mm=own if n else None),
            )
        ]
        for n, one in enumerate(boxes)
    ]
    found = best_rows(places, Slides(), repeat_mm=50.0, most_steps=2000)
    assert found.proved is proved
    assert found.bound_mm <= found.rows[0].length_mm + 1e-6
    if proved:
        assert found.bound_mm == pytest.approx(found.rows[0].length_mm)


def test_a_border_in_an_inch_file_is_refused_in_inches(make_pattern: Make) -> None:
    fabric = Fabric(
        stretch_across=0.5, stretch_along=0.4, width=1500.0, border="one", border_height=1600.0
    )
    pattern = make_pattern()
    inches = replace(pattern, spec=replace(pattern.spec, fabric=fabric, units="in"))
    with pytest.raises(InputError, match=r'63", beginning 0" .* at most 59"'):
        plan_lay([inches])


def test_pieces_along_a_border_say_so_and_not_where_the_fabric_stretches_most() -> None:
    from outseam.draft.body.estimate import Body
    from outseam.draft.pattern import draft_pattern
    from outseam.draft.spec.spec import Spec
    from outseam.draft.style import Style

    body = Body(build="women", height=1680.0, waist=820.0, hip=1040.0, inside_leg=770.0)
    fabric = Fabric(
        stretch_across=0.5, stretch_along=0.45, width=1480.0, border="both", border_height=220.0
    )
    pieces = draft_pattern(Spec(body=body, fabric=fabric, style=Style())).pieces
    assert all("along" in " ".join(p.notes) for p in pieces)
    assert not any("greatest stretch" in note for p in pieces for note in p.notes)
