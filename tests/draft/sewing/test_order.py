"""The sewing order: complete, without contradiction, and every number from the pattern.

What a registry holds (bands, features) is sewn here without a line being changed: a seam, edge or
notch that no step sees to fails the matrix.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from covering import covering

from outseam.draft.bands import BAND_NAMES
from outseam.draft.block.block import Block, build_block
from outseam.draft.body.estimate import Body, complete
from outseam.draft.buying.notions import elastic_of, stitches_for
from outseam.draft.checks.seams import measured_mm
from outseam.draft.fabric import Fabric
from outseam.draft.features import all_features
from outseam.draft.figures.finished import finished
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import Units, show_given, show_length
from outseam.draft.model import Pattern
from outseam.draft.pattern import assemble, draft_measures, draft_pattern
from outseam.draft.sewing.order import STEPS, sewing_order
from outseam.draft.sewing.tools import settings as trade
from outseam.draft.sewing.tools.job import Job
from outseam.draft.spec.spec import Spec, parse_spec
from outseam.draft.step import Step
from outseam.draft.style import ANKLES, Style

BODY = Body(height=1680.0, waist=806.0, hip=1040.0, inside_leg=770.0)
MEASURES = complete(BODY)

FABRICS = {
    "firm knit": Fabric(stretch_across=0.5, weight=330.0),
    "stable knit, folded": Fabric(stretch_across=0.25, fold="folded"),
    "slippery knit": Fabric(stretch_across=0.6, slippery=True),
    "woven": Fabric(kind="woven"),
    "stable knit, narrow fold": Fabric(stretch_across=0.25, fold="narrow"),
    "stretch woven": Fabric(kind="woven", stretch_across=0.3, fold="folded"),
    "knit with a border": Fabric(
        stretch_across=0.5,
        stretch_along=0.4,
        slippery=True,
        border="both",
        border_height=220.0,
        border_from_selvedge=60.0,
    ),
    "woven with a border": Fabric(kind="woven", border="one", border_height=150.0),
}
POCKETS = tuple(f.value for f in all_features() if f.key == "pocket")
BELTS = tuple(f.value for f in all_features() if f.key == "belt")


def draft(
    fabric: Fabric | None = None, *, units: Units = "cm", alter: tuple[Any, ...] = (), **style: Any
) -> Pattern:
    style.setdefault("fit", "loose")
    spec = Spec(
        body=BODY,
        fabric=fabric or FABRICS["firm knit"],
        style=Style(**style),
        units=units,
        alter=alter,
    )
    return draft_measures(spec, MEASURES)


@cache
def matrix() -> dict[tuple[str, str, str, str], Pattern]:
    """Bands, pockets, belts, fabrics and ankles: of all that can be had, any two somewhere."""
    found = {}
    every = (BAND_NAMES, ("none", *POCKETS), ("none", *BELTS), tuple(FABRICS), tuple(ANKLES))
    for band, pocket, belt, cloth, ankle in covering(every, 2):
        narrow = 50.8 if band == "folded" else 25.4
        style = Style(
            fit="loose",
            pocket=(pocket,),
            belt=belt,
            band=band,
            elastic_width=narrow,
            ankle=ankle,
        )
        spec = Spec(body=BODY, fabric=FABRICS[cloth], style=style)
        try:
            found[band, pocket, belt, cloth] = assemble(spec, MEASURES, block_of(band, cloth))
        except InputError:
            continue
    return found


@cache
def block_of(band: str, cloth: str) -> Block:
    """The block, which pockets and belts do not change."""
    narrow = 50.8 if band == "folded" else 25.4
    style = Style(fit="loose", band=band, elastic_width=narrow)
    return build_block(MEASURES, FABRICS[cloth], style)


#: Steps by pattern: nothing changes a pattern, and a lay along a border takes its time.
_ORDERED: dict[int, tuple[Pattern, tuple[Step, ...]]] = {}


def ordered(pattern: Pattern) -> tuple[Step, ...]:
    if id(pattern) not in _ORDERED:
        _ORDERED[id(pattern)] = pattern, sewing_order(pattern)
    return _ORDERED[id(pattern)][1]


def steps_of(pattern: Pattern) -> dict[str, Step]:
    return {s.key: s for s in ordered(pattern)}


def told(pattern: Pattern, *keys: str) -> str:
    """All sentences of the order, or of some steps."""
    u = pattern.spec.units
    steps = [s for s in ordered(pattern) if not keys or s.key in keys]
    return " ".join(t for s in steps for t in (*s.sentences(u), s.warned(u)) if t)


# --- complete and without contradiction -----------------------------------------------------------


def test_the_matrix_is_not_hollow() -> None:
    keys = list(matrix())
    assert len(keys) > 15
    for i, choices in enumerate((BAND_NAMES, ("none", *POCKETS), ("none", *BELTS), FABRICS)):
        assert {k[i] for k in keys} == set(choices)


def test_each_seam_edge_and_notch_belongs_to_one_step() -> None:
    for key, pattern in matrix().items():
        steps = ordered(pattern)
        seams = Counter(name for s in steps for name in s.seams)
        assert seams == Counter(s.name for s in pattern.seams), key
        edges = Counter(e for s in steps for e in s.edges)
        loose = {(p.part, e.name) for p, e in pattern.unsewn_edges()}
        assert edges == Counter(loose), key
        notches = Counter(n for s in steps for n in s.notches)
        assert notches == Counter({(n.edge, n.role) for p in pattern.pieces for n in p.notches})


def test_a_step_speaks_of_the_notches_that_are_its_own() -> None:
    said = {
        "crotch": "crotch notches",
        "hip": "the hip",
        "knee": "knee",
        "band quarter": "quarters",
        "quarter": "quarters",
        "centre front": "single notch to the front",
        "centre back": "double one to the back",
        "pocket opening, top": "upper notch “pocket opening”",
        "pocket opening, end": "lower one",
        "pocket mouth": "“pocket mouth”",
        "pocket mouth, waist": "“pocket mouth”",
        "fold": "notches",
        "hem fold": "from notch to notch",
        "belt": "basted|Baste",
        "ankle opening": "notch “ankle opening”",
        "border begins": "the border begins",
        "border ends": "the border (begins .* and )?ends",
    }
    for key, pattern in matrix().items():
        for step in ordered(pattern):
            text = " ".join(step.sentences("cm"))
            for _, says in step.notches:
                assert re.search(said[says], text), (key, step.key, says)


def test_steps_are_there_exactly_where_the_pattern_asks_for_them() -> None:
    for key, pattern in matrix().items():
        band, pocket, belt, cloth = key
        steps = steps_of(pattern)
        assert len(steps) == len(ordered(pattern)), "no step twice"
        elastic = {"elastic", "thread", "ditch"}
        assert (elastic & steps.keys()) == (elastic if band != "flat" else set()), key
        assert ("casing" in steps) == (band == "turned")
        assert ({"ring", "join"} & steps.keys()) == (
            set() if band == "turned" else {"ring", "join"}
        )
        assert ("belt" in steps) == (belt != "none")
        assert ("patch" in steps) == (pocket == "patch")
        assert ({"scoop-mouth", "scoop-bag"} <= steps.keys()) == (pocket == "scoop")
        assert ("side-pocket" in steps) == (pocket == "side-seam")
        assert ("border" in steps) == ("border" in cloth)
        text = told(pattern).lower()
        assert ("elastic" in text) == (band != "flat"), key
        assert ("belt" in text) == (belt != "none"), key
        assert ("pocket" in text) == (pocket != "none"), key
        assert ("border" in text) == ("border" in cloth), key
        assert ("overlock, " in text and "no stitch may break" in text) == ("knit" in cloth), key
        assert ("frays" in text) == ("woven" in cloth), key


def test_the_order_is_that_of_the_work() -> None:
    for key, pattern in matrix().items():
        at = {s.key: i for i, s in enumerate(ordered(pattern))}
        legs = {at["outseam"], at["inseam"]}
        assert [at[k] for k in ("setup", "cut", "mark")] == [0, 1, 2]
        for pocket in ("patch", "scoop-mouth", "scoop-bag", "side-pocket", "border"):
            assert at.get(pocket, -1) < min(legs), key
        assert max(legs) < at.get("ankle", at["crotch"]) <= at["crotch"] < at["hem"] < at["finish"]
        waist = ("casing", "belt", "ring", "join", "elastic", "thread", "ditch")
        there = [at[k] for k in waist if k in at]
        assert there == sorted(there)
        assert at["crotch"] < there[0]
        assert there[-1] < at["hem"]


def test_every_maker_of_the_registry_makes_a_step_somewhere() -> None:
    for make in STEPS:
        assert any(make(Job(pattern=p)) for p in matrix().values()), make


# --- every number from the pattern ----------------------------------------------------------------


def test_no_number_is_typed_into_a_sentence() -> None:
    for pattern in matrix().values():
        for step in ordered(pattern):
            for template in (*step.text, step.caution, step.title):
                bare = re.sub(r"\{[a-z_]+\}", "", template)
                assert not re.search(r"\d", bare), template


def test_every_figure_is_used_and_every_place_filled() -> None:
    for key, pattern in matrix().items():
        for step in ordered(pattern):
            asked = set(re.findall(r"\{([a-z_]+)\}", " ".join((*step.text, step.caution))))
            given = [f.name for f in step.figures]
            assert asked == set(given), (key, step.key)
            assert len(given) == len(set(given))
            assert all(t and "{" not in t for t in step.sentences("in"))


def figures(pattern: Pattern, key: str) -> dict[str, float | str]:
    return {f.name: f.value for f in steps_of(pattern)[key].figures}


def test_allowances_are_those_of_the_style() -> None:
    for seam, hem in ((9.525, 25.4), (15.0, 40.0)):
        pattern = draft(seam_allowance=seam, hem_allowance=hem, pocket=("scoop",), belt="narrow")
        for step in ordered(pattern):
            for f in step.figures:
                if f.name == "seam":
                    assert f.value == seam
        assert figures(pattern, "mark")["snip"] == pytest.approx(seam / 3.0)
        assert figures(pattern, "mark")["hem"] == figures(pattern, "hem")["hem"] == hem
        assert f"{show_given(seam, 'cm')} from the edge" in told(pattern, "outseam")
        assert f"Turn {show_given(hem, 'cm')} to the wrong side" in told(pattern, "hem")


@pytest.mark.parametrize("units", ["cm", "mm", "in"])
def test_lengths_of_seams_are_measured_on_the_pieces(units: Units) -> None:
    pattern = draft(units=units, pocket=("scoop",))
    sizes = finished(pattern)
    long = sizes["outseam"] - sizes["band_height"]
    assert f"from fold to top it is {show_length(long, units)} long" in told(pattern, "outseam")
    back = sum(measured_mm(pattern, s.b) for s in pattern.seams if s.b.edge == "inseam")
    assert f"the back is {show_length(back, units)} long" in told(pattern, "inseam")
    front = sizes["front_rise"] - sizes["band_height"]
    rear = sizes["back_rise"] - sizes["band_height"]
    assert (f"{show_length(front, units)} of front and {show_length(rear, units)} of back") in told(
        pattern, "crotch"
    )
    assert f"finished hem is {show_length(sizes['hem'], units)} round" in told(pattern, "hem")
    above = show_length(sizes["hem_above_floor"], units)
    assert f"{above} above the floor" in told(pattern, "hem")


def test_the_band_is_told_with_edge_girth_and_share() -> None:
    pattern = draft(fit="easy", band="folded")
    sizes = finished(pattern)
    edge, girth = sizes["top_edge"], sizes["waistband"]
    share = 100.0 * (edge / girth - 1.0)
    assert 3.0 < share < 40.0
    text = told(pattern, "join")
    assert f"The edge is {show_length(edge, 'cm')} round" in text
    assert f"the band {show_length(girth, 'cm')}: between the pins stretch" in text
    assert f"by {share:.0f} %" in text
    assert show_length(sizes["band_height"], "cm") in told(pattern, "ring")
    # A casing is as long as its edge: nothing is stretched.
    casing = draft(fit="easy", band="casing", elastic_width=25.4)
    assert "neither is stretched" in told(casing, "join")
    assert "by" not in told(casing, "join").split("neither")[0].split("round")[-1]
    # A woven does not stretch: what is longer is eased or gathered.
    woven = draft(FABRICS["woven"], fit="easy", rise="high")
    gap = finished(woven)["top_edge"] / finished(woven)["waistband"] - 1.0
    assert ("neither" if gap < 0.005 else "gather" if gap > 0.08 else "ease the") in told(
        woven, "join"
    )


def test_the_elastic_is_that_of_the_materials() -> None:
    for band in BAND_NAMES:
        cloth = FABRICS["firm knit"]
        pattern = draft(cloth, fit="easy", band=band, elastic_width=31.75, units="in")
        elastic = elastic_of(pattern)
        if elastic is None:
            assert band == "flat"
            assert "open at" not in told(pattern)
            continue
        # Ends overlap by half an inch, the gap is an inch wider (common practice, no source).
        assert f"{show_length(elastic.length_mm + 12.7, 'in')} long" in told(pattern, "elastic")
        assert f"{show_length(elastic.length_mm, 'in')} when it is joined" in told(pattern)
        assert '1 1/4" wide' in told(pattern, "elastic")
        assert 'leave 2 1/4" open at the centre back' in told(pattern)
        assert 'sew the gap of 2 1/4" shut' in told(pattern, "thread")


def test_a_gap_is_an_inch_wider_than_its_elastic_and_two_at_least() -> None:
    for wide, gap in ((76.2, 4), (50.8, 3), (25.4, 2), (12.7, 2)):
        assert f'leave {gap}" open' in told(draft(elastic_width=wide, units="in"), "join")
    for wide, gap in ((75.0, 10), (50.0, 7.5), (25.0, 5), (12.0, 5)):
        assert f"leave {gap} cm open" in told(draft(elastic_width=wide), "join")


def test_a_casing_cut_on_the_leg_is_stitched_below_its_elastic() -> None:
    pattern = draft(FABRICS["woven"], band="turned", elastic_width=25.4, units="in")
    # Elastic, a quarter inch of room, a quarter inch turned under (common practice, no source).
    assert figures(pattern, "casing")["turn"] == pytest.approx(25.4 + 6.35 + 6.35)
    # The line holds the edge that is pressed under, close to it.
    assert figures(pattern, "casing")["down"] == pytest.approx(25.4 + 6.35 - 2.0)
    assert figures(pattern, "ditch")["held"] == pytest.approx(25.4 + 6.35 - 2.0)
    assert 'press 1/4" of it' in told(pattern, "casing")


def test_a_pocket_is_told_with_its_own_sizes() -> None:
    patch = draft(pocket=("patch",), patch_width=150.0, patch_height=165.0)
    assert "15 cm wide, 16.5 cm high" in told(patch, "patch")
    scoop = draft(pocket=("scoop",), pocket_opening=160.0)
    assert "wrong side: 16 cm" in told(scoop, "scoop-mouth")
    side = draft(pocket=("side-seam",), pocket_opening=170.0)
    ends = figures(side, "side-pocket")
    assert float(ends["to"]) - float(ends["from"]) == pytest.approx(170.0)
    assert {float(ends["from"]), float(ends["to"])} == {
        n.at_mm for n in side.piece("back").notches if n.role.startswith("pocket opening")
    }


def test_a_belt_is_told_as_it_is_turned() -> None:
    for belt, share in (("wide", 1.0), ("narrow", 0.5)):
        pattern = draft(belt=belt)
        wide = share * finished(pattern)["band_height"]
        piece = pattern.piece("belt")
        long = piece.edge("long_right").path
        tall = abs(long.end[1] - long.start[1])
        assert f"{show_length(wide, 'cm')} wide, {show_length(tall, 'cm')} long" in told(pattern)
    assert "between the two notches" in told(draft(belt="narrow"), "belt")
    assert "to the fold" in told(draft(belt="wide"), "belt")


def test_settings_agree_with_the_list_of_materials() -> None:
    """The worksheet's two places that tell stitches are written apart."""
    woven, knit = (" ".join(stitches_for(FABRICS[k], ("sewing",))) for k in ("woven", "firm knit"))
    assert f"{trade.SEAM_STITCH_MM:g} mm long" in woven
    assert f"straight stitch {trade.TOP_STITCH_MM:g} mm long" in woven
    assert f"zigzag {trade.ZIGZAG_WIDE_MM:g} mm wide, {trade.SEAM_STITCH_MM:g} mm long" in knit


# --- an option changes the text -------------------------------------------------------------------


def other_options() -> Iterator[tuple[str, dict[str, Any], dict[str, Any]]]:
    knit = {"fabric": FABRICS["firm knit"]}
    woven = {"fabric": FABRICS["woven"]}
    for band in BAND_NAMES[1:]:
        yield f"band {band}", {}, {"band": band}
    for pocket in POCKETS:
        yield f"pocket {pocket}", {}, {"pocket": (pocket,)}
    for belt in BELTS:
        yield f"belt {belt}", {}, {"belt": belt}
    for ankle in ("slit", "zip"):
        yield f"ankle {ankle}", {}, {"ankle": ankle}
    yield "belt's width", {"belt": "wide"}, {"belt": "narrow"}
    yield "kind of fabric", knit, woven
    yield "stretch class", knit, {"fabric": Fabric(stretch_across=0.25, weight=330.0)}
    yield "slippery", knit, {"fabric": Fabric(stretch_across=0.5, weight=330.0, slippery=True)}
    yield "folded", knit, {"fabric": Fabric(stretch_across=0.5, weight=330.0, fold="folded")}
    yield "nap", knit, {"fabric": Fabric(stretch_across=0.5, weight=330.0, one_way=True)}
    yield "shrinks", knit, {"fabric": Fabric(stretch_across=0.5, weight=330.0, shrink_along=0.05)}
    yield "stripes", knit, {"fabric": Fabric(stretch_across=0.5, weight=330.0, repeat_along=60.0)}
    yield "a heavier needle", woven, {"fabric": Fabric(kind="woven", weight=400.0)}
    yield "easing", woven, {**woven, "inseam_easing": 0.0}
    yield "hem", {}, {"hem_allowance": 40.0}
    yield "seam", {}, {"seam_allowance": 12.0}
    yield "length", {}, {"length": "capri"}
    yield "elastic", {}, {"elastic_width": 31.75}
    yield "units", {}, {"units": "in"}


@pytest.mark.parametrize(
    ("one", "other"),
    [pytest.param(a, b, id=name) for name, a, b in other_options()],
)
def test_an_option_changes_the_text(one: dict[str, Any], other: dict[str, Any]) -> None:
    assert told(draft(**one)) != told(draft(**other))


def test_easing_is_told_and_moves_the_inseam_first() -> None:
    eased = draft(FABRICS["woven"], inseam_easing=7.0)
    keys = [s.key for s in ordered(eased)]
    assert keys.index("inseam") < keys.index("outseam")
    assert "the back is 0.7 cm shorter" in told(eased, "inseam")
    back = sum(measured_mm(eased, s.b) for s in eased.seams if s.b.edge == "inseam")
    assert f"the back is {show_length(back, 'cm')} long" in told(eased, "inseam")
    # A pocket in the outseam is finished flat, so that seam comes first.
    with_pocket = draft(FABRICS["woven"], inseam_easing=7.0, pocket=("side-seam",))
    keys = [s.key for s in ordered(with_pocket)]
    assert keys.index("outseam") < keys.index("inseam")
    assert "0.7 cm shorter" in told(with_pocket, "inseam")
    assert "shorter" not in told(draft(FABRICS["woven"], inseam_easing=0.0), "inseam")


def test_one_layer_or_two() -> None:
    single, folded = told(draft(), "cut"), told(draft(FABRICS["stable knit, folded"]), "cut")
    assert "turn the paper face down" in single
    assert "single layer" in single
    assert "Each cut gives two pieces" in folded
    assert "turn the paper" not in folded
    narrow = told(draft(FABRICS["stable knit, narrow fold"]), "cut")
    assert "Turn one selvedge in" in narrow
    assert "single part beside it" in narrow
    # Slippery and folded: said, with the way out.
    both = told(draft(Fabric(stretch_across=0.5, slippery=True, fold="folded")), "cut")
    assert "slides off the grain" in both
    assert "turn it face down, and cut again" in both


def test_the_cutting_list_counts_every_piece() -> None:
    for key, pattern in matrix().items():
        listed = figures(pattern, "cut")["list"]
        assert isinstance(listed, str)
        for piece in pattern.pieces:
            (group,) = [g for g in listed.split("; ") if piece.title.lower() in g.lower()]
            pairs = {2: "in a mirrored pair", 4: "in 2 mirrored pairs"}
            want = pairs[piece.copies] if piece.mirrored else {1: "once", 2: "twice"}[piece.copies]
            assert group.startswith(want), (key, group)
            assert ("from lining" in group) == piece.lining


# --- borders --------------------------------------------------------------------------------------


def test_a_border_is_notched_at_its_own_height() -> None:
    pattern = draft(FABRICS["knit with a border"], border_above_hem=20.0, leg="straight")
    found = figures(pattern, "border")
    # Along a seam that is nearly upright at the hem: 2 cm above the hem and 22 cm of border.
    for seam in ("outseam", "inseam"):
        assert found[f"{seam}_begins_front"] == pytest.approx(20.0, abs=0.5)
        assert found[f"{seam}_ends_front"] == pytest.approx(240.0, abs=3.0)
    assert found["baste"] == 25.0
    assert "baste 2.5 cm either side" in told(pattern, "border")
    assert "the border's edge 2 cm above the finished hem" in told(pattern, "cut")
    assert "waistband comes from the border" in told(pattern, "cut")
    plain = draft(FABRICS["knit with a border"], band_from="plain")
    assert "waistband comes from the border" not in told(plain, "cut")
    deep = draft(FABRICS["knit with a border"], border_above_hem=-15.0)
    assert "1.5 cm of the border below the fold" in told(deep, "cut")
    assert figures(deep, "border")["outseam_ends_front"] == pytest.approx(205.0, abs=3.0)
    assert "outseam_begins_front" not in figures(deep, "border")


def test_the_cutting_step_tells_the_lay_as_it_is() -> None:
    """Which border the pieces stand on, which stretch goes round, how left and right look."""
    two = FABRICS["knit with a border"]
    said = told(draft(two), "cut")
    assert "stretch along the selvedge goes round the body: 40 %" in said
    assert "All legs stand on the border of the near selvedge" in said
    assert "cut from the border of the near selvedge" in said
    other = replace(two, other_border_height=120.0, border_repeat=300.0, border_shift=0.0)
    pattern = draft(other, band_from="other border", figure_at="centre")
    said = told(pattern, "cut")
    assert "cut from the border of the far selvedge" in said
    assert "crease line of both fronts and at the centre front of the waistband" in said
    assert "left and right front show the same, not mirrored" in said
    mirrored = draft(replace(other, border_mirrors=True), figure_at="centre")
    assert "mirror images, so left and right leg are too" in told(mirrored, "cut")
    alike = replace(two, borders_alike=True, one_way=False, width=1480.0)
    assert "Legs stand on both borders" in told(draft(alike, leg="palazzo"), "cut")


# --- cautions -------------------------------------------------------------------------------------


def test_cautions_stand_where_they_apply() -> None:
    long = steps_of(draft(length="full"))
    assert "cutters" in long["cut"].caution
    assert "Needles" in long["setup"].caution
    assert "irons" in long["setup"].caution
    assert "nightwear" in long["setup"].caution
    assert "blood flow" in long["elastic"].caution
    assert "trips" in long["hem"].caution
    assert steps_of(draft(length="capri"))["hem"].caution == ""
    dragging = draft(inseam=800.0)
    assert finished(dragging)["hem_above_floor"] < 5.0
    assert "comes down to the floor" in steps_of(dragging)["hem"].caution
    assert "above the floor" not in told(dragging, "hem").split("!")[0].split("As drafted")[0]


# --- alterations and sides ------------------------------------------------------------------------


ALTERED = """
units = "cm"
[body]
height = 168
waist = 80
hip = 104
inside_leg = 77
[[alter]]
what = "full seat"
amount = 1
"""


def test_alterations_are_said_to_be_in_the_pieces() -> None:
    altered = draft_pattern(parse_spec(ALTERED, "a test"))
    assert "(full seat 1 cm): add nothing" in told(altered, "cut")
    assert "alterations" not in told(draft())


def test_legs_that_differ_are_labelled_and_told_apart() -> None:
    text = ALTERED.replace('"full seat"', '"hip higher"\nside = "left"')
    pattern = draft_pattern(parse_spec(text + '[style]\npocket = "scoop"\n', "a test"))
    steps = ordered(pattern)
    assert Counter(n for s in steps for n in s.seams) == Counter(s.name for s in pattern.seams)
    assert {e for s in steps for e in s.edges} == {
        (p.part, e.name) for p, e in pattern.unsewn_edges()
    }
    cut = told(pattern, "cut")
    assert "Chalk L or R" in cut
    assert "printed side down: left front leg" in cut
    assert "mirror" not in cut
    long = {
        side: sum(
            measured_mm(pattern, s.b)
            for s in pattern.seams
            if s.b.edge == "outseam" and pattern.piece(s.b.piece).side == side
        )
        for side in ("left", "right")
    }
    assert long["left"] > long["right"] + 5.0
    assert (
        f"{show_length(long['left'], 'cm')} long on the left and "
        f"{show_length(long['right'], 'cm')} long on the right"
    ) in told(pattern, "outseam")
    assert "on the left" not in told(pattern, "inseam")
    assert "L or R" not in told(draft())


def test_long_seams_are_basted_and_tried_on_before_they_are_sewn() -> None:
    for key, pattern in matrix().items():
        steps = [s.key for s in ordered(pattern)]
        for later in ("outseam", "inseam", "crotch"):
            assert steps.index("try") < steps.index(later), key
        told_later = told(pattern, "outseam", "inseam", "crotch", "join")
        assert "let out" not in told_later, "what an overlock has cut off cannot be let out"


def test_what_has_to_meet_is_basted_where_it_meets() -> None:
    pattern = draft(belt="wide")
    for key in ("crotch", "ring", "join"):
        assert "Baste" in told(pattern, key) or "baste" in told(pattern, key), key


@pytest.mark.parametrize("band", [b for b in BAND_NAMES if b != "flat"])
def test_the_elastic_is_quartered_before_it_is_stitched_in_the_ditch(band: str) -> None:
    pattern = draft(band=band, elastic_width=25.4)
    elastic = elastic_of(pattern)
    assert elastic is not None
    keys = [s.key for s in ordered(pattern)]
    assert keys.index("elastic") < keys.index("ditch")
    quarter = show_length(elastic.length_mm / 4.0, "cm")
    assert f"quarters while it lies flat, {quarter} apart" in told(pattern, "elastic")
    said = told(pattern, "ditch")
    assert said.index("quarter marks") < said.index("sew exactly in the groove")
