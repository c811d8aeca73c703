"""Slit and zip at the ankle: how narrow the leg gets, how far it opens, where it is told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
import shapely
from scipy.optimize import brentq

from outseam.curves.length import length
from outseam.curves.region import flatten
from outseam.draft.block.profile import leg_widths
from outseam.draft.body.estimate import complete
from outseam.draft.buying.notions import stitch_lines
from outseam.draft.buying.shopping_list import plan_buying
from outseam.draft.checks.foot import check_foot, foot_girth_mm, hem_girth_mm, open_from_hem_mm
from outseam.draft.fabric import Fabric
from outseam.draft.inputs.errors import InputError
from outseam.draft.legs.leg import foot_hem_mm
from outseam.draft.model import Pattern
from outseam.draft.piece.ruler import run_at_y
from outseam.draft.sewing.order import sewing_order

Make = Callable[..., Pattern]


def knit(stretch: float) -> Fabric:
    return Fabric(stretch_across=stretch, stretch_along=stretch / 2.0)


@pytest.mark.parametrize("stretch", [0.18, 0.5])
@pytest.mark.parametrize("ankle", ["slit", "zip"])
def test_an_open_ankle_is_as_narrow_as_the_leg(
    make_pattern: Make, ankle: str, stretch: float
) -> None:
    closed = make_pattern(fabric=knit(stretch), leg="close", fit="close")
    opened = make_pattern(fabric=knit(stretch), leg="close", fit="close", ankle=ankle)
    m, ease = opened.measures, opened.block.ease
    assert hem_girth_mm(opened) == pytest.approx(m.ankle * (1.0 + ease.limb_ratio), abs=0.5)
    assert hem_girth_mm(opened) < hem_girth_mm(closed) - 10.0
    # Above the opening the foot goes through, and not much above where it would.
    girth, _ = foot_girth_mm(opened)
    assert girth * (1.0 + ease.pull_strain) >= m.foot
    up = open_from_hem_mm(opened.piece("front"))
    assert up == pytest.approx(open_from_hem_mm(opened.piece("back")), abs=1e-6)
    outseam = opened.block.front.outseam
    ys = np.arange(opened.block.front.outseam.end[1] + 3.0, -300.0, 1.0)
    fits = ys[leg_widths(opened.block, ys) * (1.0 + ease.pull_strain) >= 1.02 * m.foot][0]
    needed = length(outseam) - run_at_y(outseam, float(fits))
    assert max(100.0, needed) - 1.0 <= up <= max(100.0, needed + 21.0)
    assert not opened.errors
    assert not [f for f in opened.findings if f.check == "foot decides the hem" and f.advice == ""]


def test_it_is_said_when_the_foot_decides(make_pattern: Make) -> None:
    def found(**style: str) -> str:
        pattern = make_pattern(fabric=knit(0.5), **style)
        (one,) = [f for f in pattern.findings if f.check == "foot decides the hem"]
        return one.level

    assert found(leg="close", fit="close") == "note"
    assert found(leg="close", fit="close", ankle="slit") == "pass"
    assert found(leg="close", fit="close", length="capri") == "pass"
    assert found(leg="straight") == "pass"
    wide = make_pattern(fabric=knit(1.0), leg="close", fit="close")
    assert [f.level for f in wide.findings if f.check == "foot decides the hem"] == ["pass"]


@pytest.mark.parametrize(("more", "level"), [(4.9, "pass"), (5.1, "note")])
def test_half_a_centimetre_for_the_foot_is_not_told(
    make_pattern: Make, more: float, level: str
) -> None:
    """And nothing where the style or the ankle asks for a hem at least as wide."""
    pattern = make_pattern(fabric=knit(0.5), leg="close", fit="close")
    found = list(check_foot(replace(pattern, block=replace(pattern.block, foot_widens_mm=more))))
    assert {f.check: f.level for f in found} == {
        "foot decides the hem": level,
        "foot goes through": "pass",
    }
    assert [f.about for f in found if f.check == "foot goes through"] == [("hem",)]
    # Told or not, what the foot may add unnoticed is half a centimetre.
    asked = replace(pattern.spec, style=replace(pattern.spec.style, hem_width=300.0))
    for p in (replace(pattern, spec=asked), make_pattern(leg="straight")):
        (untold,) = [f for f in check_foot(p) if f.check == "foot decides the hem"]
        assert untold.expected - untold.measured == pytest.approx(5.0)
    slit = make_pattern(fabric=knit(0.5), leg="close", fit="close", ankle="slit")
    assert [f.about for f in check_foot(slit) if f.check == "foot goes through"] == [()]


@pytest.mark.parametrize(("off", "level"), [(1.4, "pass"), (-1.4, "pass"), (1.6, "warning")])
def test_a_hem_is_as_asked_to_a_millimetre_and_a_half(
    make_pattern: Make, off: float, level: str
) -> None:
    pattern = make_pattern(leg="straight", hem_width=420.0)
    wanted = replace(pattern.spec.style, hem_width=hem_girth_mm(pattern) + off)
    found = check_foot(replace(pattern, spec=replace(pattern.spec, style=wanted)))
    assert [f.level for f in found if f.check == "hem as asked"] == [level]


@pytest.mark.parametrize(("wider", "level"), [(2.5, "note"), (3.5, "pass")])
def test_a_hem_wider_than_the_foot_needs_is_not_for_its_sake(
    make_pattern: Make, wider: float, level: str
) -> None:
    """As where a leg is cut off above what shapes it: three millimetres are the difference."""
    pattern = make_pattern(fabric=knit(0.5), leg="close", fit="close")
    ease, wanted = pattern.block.ease, hem_girth_mm(pattern) - wider
    foot = brentq(lambda mm: foot_hem_mm(mm, ease) - wanted, 100.0, 500.0)
    smaller = replace(pattern, measures=replace(pattern.measures, foot=foot))
    told = check_foot(replace(smaller, block=replace(pattern.block, foot_widens_mm=20.0)))
    assert [f.level for f in told if f.check == "foot decides the hem"] == [level]


def test_the_opening_is_as_asked_and_warned_of_where_too_short(make_pattern: Make) -> None:
    short = make_pattern(
        fabric=knit(0.18), leg="close", fit="close", ankle="zip", ankle_opening=60.0
    )
    assert open_from_hem_mm(short.piece("back")) == pytest.approx(60.0)
    (stuck,) = [f for f in short.findings if f.check == "foot goes through"]
    assert stuck.level == "warning"
    assert stuck.where == "leg above the opening"
    with pytest.raises(InputError, match="40 cm"):
        make_pattern(fabric=knit(0.5), leg="close", fit="close", ankle="slit", ankle_opening=400.0)
    with pytest.raises(InputError, match="ankle_opening"):
        make_pattern(ankle_opening=100.0)


@pytest.mark.parametrize("pocket", ["none", "scoop", "side-seam"])
def test_the_seam_begins_at_the_notch(make_pattern: Make, pocket: str) -> None:
    style = {"leg": "close", "fit": "close", "ankle": "slit", "pocket": (pocket,)}
    pattern = make_pattern(fabric=knit(0.5), **style)
    (low,) = [s for s in pattern.seams if s.name.startswith("outseam, ankle opening")]
    for side in (low.a, low.b):
        piece = pattern.piece(side.piece)
        mark = next(n for n in piece.notches if n.role == "ankle opening")
        assert side.to_mm == pytest.approx(mark.at_mm, abs=1e-4)
    steps = {s.key: s for s in sewing_order(pattern)}
    assert "ankle opening" in " ".join(steps["outseam"].sentences("cm"))
    assert list(steps).index("ankle") < list(steps).index("hem")
    assert not pattern.errors


def test_two_zips_are_bought(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=knit(0.5), leg="close", fit="close", ankle="zip")
    (line,) = [e for e in plan_buying(pattern, None, [1400.0]).entries if e.kind == "zip"]
    assert line.needed_mm == pytest.approx(open_from_hem_mm(pattern.piece("front")))
    assert line.what.startswith("2 zips")
    slit = make_pattern(fabric=knit(0.5), leg="close", fit="close", ankle="slit")
    assert not [e for e in plan_buying(slit, None, [1400.0]).entries if e.kind == "zip"]


@pytest.mark.parametrize("ankle", ["slit", "zip"])
def test_an_underlap_lies_behind_the_opening(make_pattern: Make, ankle: str) -> None:
    """As long as what is open, on the back's edge; its stitching is drawn and its thread bought."""
    style = {"leg": "close", "fit": "close"}
    closed = make_pattern(fabric=knit(0.5), **style)
    pattern = make_pattern(fabric=knit(0.5), ankle=ankle, **style)
    up = open_from_hem_mm(pattern.piece("front"))
    strip = pattern.piece("ankle_underlap")
    assert strip.copies == 2
    assert length(strip.edge("long_left").path) == pytest.approx(up)
    (sewn,) = [s for s in pattern.seams if s.name == "underlap to back"]
    assert (sewn.b.piece, sewn.b.edge) == ("back", "outseam")
    assert sewn.b.length_mm == pytest.approx(up)
    for name in ("front", "back"):
        leg = pattern.piece(name)
        line = leg.line("ankle stitching")
        assert line is not None
        assert line.kind == "topstitch"
        seam = shapely.LineString(flatten(leg.edge("outseam").path, 0.01))
        run = flatten(line.path, 0.01)
        # It begins on the seam at the notch, and then keeps 7 mm of it: 3 less than the allowance.
        at = next(n.at_mm for n in leg.notches if n.role == "ankle opening")
        assert seam.project(shapely.Point(run[0])) == pytest.approx(at, abs=0.1)
        assert seam.distance(shapely.Point(run[-1])) == pytest.approx(7.0, abs=0.05)
        assert shapely.LineString(run[1:]).hausdorff_distance(
            shapely.LineString(run[1:]).intersection(seam.buffer(7.05))
        ) == pytest.approx(0.0, abs=0.05)
        assert run[-1][1] == pytest.approx(leg.edge("outseam").path.end[1], abs=1.0)
    thread = {x.name: x.length_mm for x in stitch_lines(pattern)}
    for name in ("front leg", "back leg"):
        # Both legs, down and across.
        assert thread[f"topstitching, {name}"] == pytest.approx(2.0 * (up + 7.0), rel=0.03)
    assert not any("leg" in x.name for x in stitch_lines(closed) if x.use == "top")
    assert thread["underlap to back"] == pytest.approx(2.0 * up)
    assert not pattern.errors


def test_legs_that_differ_have_both_ankles(make_pattern: Make) -> None:
    from dataclasses import replace

    from outseam.draft.alter import AlterationEntry
    from outseam.draft.pattern import draft_measures

    plain = make_pattern(fabric=knit(0.5), leg="close", fit="close", ankle="zip")
    entry = AlterationEntry(what="full calf", amount=20.0, side="left")
    pattern = draft_measures(replace(plain.spec, alter=(entry,)), complete(plain.spec.body))
    assert not pattern.errors
    assert sum(s.name.startswith("outseam, ankle opening") for s in pattern.seams) == 2
