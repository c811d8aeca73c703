"""Waistbands, each of the registry: long enough to pass the hip, never longer than its edge."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest

from outseam.curves.length import length
from outseam.draft.bands import BAND_NAMES, BANDS, Band, BandContext, BandPlan, band_named
from outseam.draft.bands.altered import altered_band
from outseam.draft.block.block import crotch_target_mm
from outseam.draft.body.estimate import Body
from outseam.draft.fabric import Fabric
from outseam.draft.fits import Ease, ease_for, fit_named
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import Units
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece

Make = Callable[..., Pattern]

SEWN_ON = tuple(b for b in BANDS if b.height(50.0, "in") > 0.0)
ids = [b.name for b in BANDS]


def ease(fit: str = "easy", stretch: float = 0.5) -> Ease:
    return ease_for(fit_named(fit), stretch, 1000.0)


def context(**change: object) -> BandContext:
    plain = BandContext(
        front_edge_mm=225.0,
        back_edge_mm=235.0,
        body_girth_mm=800.0,
        hip_mm=1000.0,
        height_mm=54.0,
        elastic_ratio=None,
        seam_mm=10.0,
        ease=ease(),
        firm_recovery=True,
    )
    return replace(plain, **change)  # type: ignore[arg-type]


def size(plan: BandPlan, name: str, edge: str) -> float:
    piece = next(p for p in plan.pieces if p.name == name)
    return length(piece.edge(edge).path)


@pytest.mark.parametrize("band", BANDS, ids=ids)
@pytest.mark.parametrize("body_mm", [700.0, 860.0, 920.0, 1000.0])
@pytest.mark.parametrize("stretch", [0.25, 0.5, 1.0])
def test_a_band_passes_the_hip_and_never_exceeds_its_edge(
    band: Band, body_mm: float, stretch: float
) -> None:
    c = context(body_girth_mm=body_mm, ease=ease(stretch=stretch))
    try:
        plan = band.plan(c)
    except InputError:
        assert (band.name, stretch) == ("flat", 0.25)
        return
    assert plan.girth_mm <= c.edge_mm + 1e-9
    assert plan.girth_mm >= min(c.edge_mm, c.hip_mm / (1.0 + c.ease.pull_strain)) - 1e-9
    if plan.elastic_mm is not None:
        assert plan.elastic_mm <= plan.girth_mm
        # No elastic strains the body more than 0.85 of the girth would (common practice).
        assert (
            0.85 * body_mm <= plan.elastic_mm <= 0.95 * body_mm or plan.elastic_mm == plan.girth_mm
        )


@pytest.mark.parametrize("band", SEWN_ON, ids=lambda b: b.name)
def test_the_sides_of_band_and_leg_meet(band: Band) -> None:
    """Front and back band are shortened alike, and the pieces add up to the girth."""
    c = context()
    plan = band.plan(c)
    front, back = size(plan, "front_band", "lower"), size(plan, "back_band", "lower")
    assert front + back == pytest.approx(plan.girth_mm)
    assert front / back == pytest.approx(c.front_edge_mm / c.back_edge_mm)
    for name in ("front_band", "back_band"):
        assert size(plan, name, "upper") == pytest.approx(size(plan, name, "lower"))
        for side in ("left", "right"):
            # Folded in half, the band is as tall as the draft took off the legs.
            assert size(plan, name, side) == pytest.approx(2.0 * c.height_mm)


@pytest.mark.parametrize("band", SEWN_ON, ids=lambda b: b.name)
def test_every_edge_of_a_sewn_band_is_in_a_seam(band: Band) -> None:
    plan = band.plan(context())
    sewn = {(s.piece, s.edge) for seam in plan.seams for s in (seam.a, seam.b)}
    edges = {(p.name, e.name) for p in plan.pieces for e in p.edges}
    assert edges <= sewn
    assert {("front", "waist"), ("back", "waist")} <= sewn
    for seam in plan.seams:
        a, b = seam.a.length_mm, seam.b.length_mm
        assert a - b == pytest.approx(seam.ease_mm, abs=1e-9)
        assert seam.ease_mm >= -1e-9
    whole = {(p.name, e.name): length(e.path) for p in plan.pieces for e in p.edges}
    for part in (part for seam in plan.seams for part in (seam.a, seam.b)):
        assert (part.from_mm, part.to_end) == (0.0, True)
        if "band" in part.piece:
            assert part.length_mm == pytest.approx(whole[part.piece, part.edge])
        else:  # the same edge of both legs
            assert (part.times, part.to_mm) == (2, {"front": 225.0, "back": 235.0}[part.piece])


@pytest.mark.parametrize("band", SEWN_ON, ids=lambda b: b.name)
def test_what_is_drawn_on_a_band_lies_where_it_is_used(band: Band) -> None:
    """Folded along its middle; grain upright; quarters and centre notched along both edges."""
    for piece in band.plan(context(grain_says="along the stretch")).pieces:
        wide, tall = size_of(piece)
        fold = next(x.path for x in piece.lines if x.kind == "fold")
        assert sorted((fold.start, fold.end)) == [(0.0, tall / 2.0), (wide, tall / 2.0)]
        (grain,) = (x for x in piece.lines if x.kind == "grain")
        (x0, y0), (x1, y1) = grain.path.start, grain.path.end
        assert x0 == x1
        assert 0.05 * wide < x0 < 0.2 * wide  # left of the words
        assert 0.05 * tall < y0 < 0.3 * tall
        assert 0.7 * tall < y1 < 0.95 * tall
        assert grain.label == "along the stretch"
        centre = ("centre front", 1) if piece.name == "front_band" else ("centre back", 2)
        for edge in ("lower", "upper"):
            found = [(n.at_mm, n.role, n.count) for n in piece.notches if n.edge == edge]
            assert found == [
                (pytest.approx(wide / 4.0), "quarter", 1),
                (pytest.approx(wide / 2.0), *centre),
                (pytest.approx(wide * 0.75), "quarter", 1),
            ]
        assert piece.copies == 1
        (x, y), rest = piece.label_at, piece.rest_at
        assert rest is not None
        assert x0 < x < x + piece.label_width_mm < wide
        assert tall / 2.0 < y < tall
        # The rest hangs below the fold, which parts it from the first two lines.
        assert rest == pytest.approx((x, tall / 2.0 - 2.0))


def size_of(piece: Piece) -> tuple[float, float]:
    """Width and height of a rectangle, from its corners; it stands on the origin."""
    corners = [e.path.start for e in piece.edges]
    assert min(corners) == (0.0, 0.0)
    assert len(set(corners)) == 4
    wide, tall = max(corners)
    assert set(corners) == {(0.0, 0.0), (wide, 0.0), (0.0, tall), (wide, tall)}
    return wide, tall


@pytest.mark.parametrize(
    ("name", "units", "elastic", "height", "turn"),
    [
        # Common practice, no source: 2 in and 1/8 in of room; 1 in and 1/4 in to thread it, and
        # 1/4 in more where the edge is turned under.
        ("folded", "in", 50.8, 50.8 + 25.4 / 8.0, 0.0),
        ("casing", "in", 25.4, 25.4 * 1.25, 0.0),
        ("turned", "in", 25.4, 0.0, 25.4 * 1.5),
        ("folded", "cm", 50.0, 53.0, 0.0),
        ("casing", "cm", 20.0, 26.0, 0.0),
        ("turned", "cm", 20.0, 0.0, 32.0),
        ("flat", "cm", 50.0, 100.0, 0.0),
    ],
)
def test_heights_by_hand(
    name: str, units: Units, elastic: float, height: float, turn: float
) -> None:
    band = band_named(name)
    assert band.height(elastic, units) == pytest.approx(height)
    assert band.turn(elastic, units) == pytest.approx(turn)


@pytest.mark.parametrize(
    ("name", "body", "hip", "waist_ratio", "girth"),
    [
        # The fabric wears 20 % well and pulls on by 40 %; the edge is 920 mm.
        ("folded", 800.0, 900.0, 0.0, 760.0),  # grips a twentieth
        ("folded", 800.0, 900.0, -0.1, 684.0),  # of a waist that is drafted smaller
        ("folded", 800.0, 900.0, 0.1, 760.0),  # and not of one that is drafted larger
        ("folded", 800.0, 1120.0, 0.0, 800.0),  # 1120 / 1.4 to pass the hip
        ("folded", 800.0, 1400.0, 0.0, 920.0),  # never longer than its edge
        ("folded", 1000.0, 900.0, 0.0, 920.0),
        ("flat", 880.0, 900.0, 0.0, 800.0),  # 880 / 1.1
        ("flat", 880.0, 1190.0, 0.0, 850.0),
        ("flat", 1100.0, 900.0, 0.0, 920.0),
        ("casing", 800.0, 900.0, 0.0, 920.0),
        ("turned", 800.0, 900.0, 0.0, 920.0),
    ],
)
def test_girths_by_hand(
    name: str, body: float, hip: float, waist_ratio: float, girth: float
) -> None:
    knit = replace(ease(), wear_strain=0.2, pull_strain=0.4, waist_ratio=waist_ratio)
    plan = band_named(name).plan(context(body_girth_mm=body, hip_mm=hip, ease=knit))
    assert plan.girth_mm == pytest.approx(girth)
    if plan.elastic_mm is not None:
        # Nine tenths of the body, no longer than what holds it (common practice, no source).
        assert plan.elastic_mm == pytest.approx(min(0.9 * body, girth))


@pytest.mark.parametrize(("wear", "holds"), [(0.121, True), (0.119, False)])
def test_a_flat_band_needs_six_per_cent_of_strain(wear: float, holds: bool) -> None:
    """Half of what the fabric wears well; in words: a stretch of 24 %."""
    c = context(ease=replace(ease(), wear_strain=wear))
    if holds:
        assert band_named("flat").plan(c).girth_mm == pytest.approx(800.0 / (1.0 + wear / 2.0))
        return
    with pytest.raises(InputError, match=r"stretches 24 % or more"):
        band_named("flat").plan(c)


def test_a_band_altered_after_a_trial() -> None:
    """With an elastic only that changes; without one the band itself is cut longer or shorter."""
    folded, flat = band_named("folded"), band_named("flat")
    plain = folded.plan(context())
    more = altered_band(folded, context(), 15.0)
    assert plain.elastic_mm is not None
    assert (more.elastic_mm, more.girth_mm) == (plain.elastic_mm + 15.0, plain.girth_mm)
    assert altered_band(folded, context(), 0.0).elastic_mm == plain.elastic_mm
    knit = replace(ease(), wear_strain=0.2, pull_strain=0.4)
    tight = context(ease=knit, body_girth_mm=880.0, hip_mm=900.0)
    for by in (-20.0, 20.0):
        assert altered_band(flat, tight, by).girth_mm == pytest.approx(800.0 + by)
    for by, says in ((-170.0, "17 cm tighter"), (130.0, "13 cm looser")):
        with pytest.raises(InputError, match=says):
            altered_band(flat, tight, by)


@pytest.mark.parametrize("band", SEWN_ON, ids=lambda b: b.name)
def test_half_a_centimetre_off_the_folded_band_is_one_off_the_flat_piece(band: Band) -> None:
    """Common practice, no source."""
    tall, short = (
        size(band.plan(context(height_mm=h)), "front_band", "left") for h in (54.0, 49.0)
    )
    assert tall - short == pytest.approx(10.0)


@pytest.mark.parametrize("band", BANDS, ids=ids)
def test_an_elastic_ratio_is_of_the_body_where_the_band_sits(band: Band) -> None:
    plan = band.plan(context(elastic_ratio=0.8))
    if band.name == "flat":
        assert plan.elastic_mm is None
    else:
        assert plan.elastic_mm == pytest.approx(640.0)


@pytest.mark.parametrize("band", BANDS, ids=ids)
def test_a_band_is_drafted_onto_a_whole_pattern(make_pattern: Make, band: Band) -> None:
    pattern = make_pattern(band=band.name, elastic_width=20.0)
    assert [f for f in pattern.findings if f.level in ("error", "warning")] == []
    edge = 2.0 * (length(pattern.block.front.waist) + length(pattern.block.back.waist))
    assert pattern.band.girth_mm <= edge + 1e-6
    assert pattern.block.band_height_mm == band.height(20.0, "cm")
    assert {p.name for p in pattern.pieces} >= {"front", "back"}


@pytest.mark.parametrize("band", BANDS, ids=ids)
def test_the_top_is_where_the_rise_says_whatever_the_band(make_pattern: Make, band: Band) -> None:
    """Seam and band together reach equally high: only their shares differ."""
    pattern = make_pattern(band=band.name, elastic_width=20.0, rise=-20.0)
    block = pattern.block
    seams = length(block.front.crotch) + length(block.back.crotch)
    worn = seams + 2.0 * block.band_height_mm
    at_tape, _ = crotch_target_mm(pattern.measures, pattern.spec.fabric, block.ease)
    assert worn == pytest.approx(at_tape - 40.0, abs=0.02)


def test_a_casing_cut_on_the_leg_has_no_pieces_of_its_own() -> None:
    for band in BANDS:
        assert (band.plan(context()).pieces == ()) is (band not in SEWN_ON)
        assert (band.turn(20.0, "cm") > 20.0) is (band not in SEWN_ON)


def test_a_height_is_taken_by_bands_that_are_sewn_on(make_pattern: Make) -> None:
    for band in BANDS:
        assert band.takes_height is (band in SEWN_ON)
        if band.takes_height:
            assert make_pattern(band=band.name, band_height=70.0).block.band_height_mm == 70.0
        else:
            with pytest.raises(InputError) as error:
                make_pattern(band=band.name, band_height=70.0)
            assert error.value.field == "style.band_height"


def test_a_band_without_elastic_needs_a_fabric_that_springs_back(make_pattern: Make) -> None:
    for fabric in (
        Fabric(kind="woven"),
        Fabric(stretch_across=0.1),
        Fabric(stretch_across=0.5, recovery="soft"),
    ):
        with pytest.raises(InputError) as error:
            make_pattern(fabric=fabric, band="flat")
        assert error.value.field == "style.band"
        assert "folded" in error.value.hint
    assert make_pattern(fabric=Fabric(stretch_across=0.5), band="flat").band.elastic_mm is None


@pytest.mark.parametrize("name", ["folded", "casing", "turned"])
def test_a_woven_top_passes_the_hip_without_stretching(
    make_pattern: Make, measured: Body, name: str
) -> None:
    pattern = make_pattern(fabric=Fabric(kind="woven"), band=name, elastic_width=25.0)
    edge = 2.0 * (length(pattern.block.front.waist) + length(pattern.block.back.waist))
    assert edge >= measured.hip
    assert pattern.band.girth_mm >= measured.hip
    assert [f for f in pattern.findings if f.level in ("error", "warning")] == []


def test_names() -> None:
    assert len(set(BAND_NAMES)) == len(BANDS)
    assert all(band_named(n).name == n for n in BAND_NAMES)


@pytest.mark.parametrize("band", SEWN_ON, ids=lambda b: b.name)
def test_halves_that_differ_by_a_millimetre_are_made_equal(band: Band) -> None:
    c = context(front_edge_mm=230.0, back_edge_mm=230.5)
    plan = band.plan(c)
    front, back = (size(plan, f"{side}_band", "lower") for side in ("front", "back"))
    assert front == back
    assert front + back == pytest.approx(plan.girth_mm)
    ratio = plan.girth_mm / c.edge_mm
    told = band.plan(context(front_edge_mm=230.0, back_edge_mm=230.0 + 1.25 / ratio))
    differ = size(told, "back_band", "lower") - size(told, "front_band", "lower")
    assert differ == pytest.approx(2.5, abs=0.1)
    apart = band.plan(context(front_edge_mm=225.0, back_edge_mm=235.0))
    assert size(apart, "back_band", "lower") > size(apart, "front_band", "lower") + 5.0


@pytest.mark.parametrize(
    ("stretch", "grip"), [(0.08, 0.02), (0.12, 0.03), (0.2, 0.05), (0.6, 0.05)]
)
def test_a_folded_band_grips_less_in_a_stiff_fabric(stretch: float, grip: float) -> None:
    """By a twentieth, or half of what the fabric wears well where that is less."""
    held = replace(ease(stretch=stretch), waist_ratio=0.0)
    assert held.wear_strain == pytest.approx(stretch / 2.0)
    plan = band_named("folded").plan(context(ease=held, hip_mm=700.0))
    assert plan.girth_mm == pytest.approx(800.0 * (1.0 - grip))


@pytest.mark.parametrize(
    ("more_mm", "why"),
    [
        (30.0, "looser, but then it would be longer than the edge"),
        *((0.6, "looser, but then it would be longer"), (-0.6, "tighter, but then it would no")),
        (-30.0, "tighter, but then it would no longer pass the hip"),
    ],
)
def test_a_band_that_misses_what_is_asked_by_a_tenth_is_refused(more_mm: float, why: str) -> None:
    """A stand-in that holds back: by a hair it is rounding, by more the person is told."""

    def holding_back(by_mm: float) -> Band:
        def plan(c: BandContext) -> BandPlan:
            miss = 0.0 if c.body_girth_mm == 800.0 else math.copysign(by_mm, more_mm)
            return BandPlan(pieces=(), seams=(), girth_mm=c.body_girth_mm - miss, elastic_mm=None)

        return Band(name="stand-in", says="", height=lambda _: 50.0, plan=plan)

    made = altered_band(holding_back(0.09), context(), more_mm)
    assert made.girth_mm == pytest.approx(800.0 + more_mm, abs=0.0901)
    with pytest.raises(InputError, match=why):
        altered_band(holding_back(0.11), context(), more_mm)
