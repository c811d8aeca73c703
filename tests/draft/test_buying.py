"""What to buy: never too little. Bought cloth is washed and squared here with shapely."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity, box

from outseam.curves.path import join
from outseam.curves.region import polygon
from outseam.draft.buying.notions import LOCKSTITCH, OVERLOCK_4, ThreadUse, elastic_of, thread_of
from outseam.draft.buying.shopping_list import (
    SOLD_CM,
    SQUARING_MM,
    WASH_ACROSS_RATIO,
    WASH_ALONG_RATIO,
    BuyList,
    Entry,
    buy_list,
    fabric_reason,
    need_of,
    openings_mm,
    plan_buying,
    rounded_up_mm,
    spools_for,
    to_buy_mm,
    usable_mm,
    washed_first,
)
from outseam.draft.fabric import Fabric
from outseam.draft.lay.ways.quick import FabricLength, length_on, quick_lay
from outseam.draft.model import Pattern
from outseam.draft.piece.ruler import ruler_length

Make = Callable[..., Pattern]

YARD_MM = 914.4
KNIT = Fabric(stretch_across=0.5, stretch_along=0.1)
WOVEN = Fabric(kind="woven", stretch_across=0.0)


def on(pattern: Pattern, **fabric: object) -> Pattern:
    cloth = replace(pattern.spec.fabric, **fabric)  # type: ignore[arg-type]
    return replace(pattern, spec=replace(pattern.spec, fabric=cloth))


@pytest.fixture(scope="module")
def knit(make_pattern: Make) -> Pattern:
    return make_pattern(fabric=KNIT)


def listed(pattern: Pattern) -> BuyList:
    """The list without a lay; only the other lines are looked at."""
    return buy_list(pattern, FabricLength(width_mm=1500.0, why="not laid"), ())


def entries(pattern: Pattern, kind: str) -> list[Entry]:
    return [e for e in listed(pattern).entries if e.kind == kind]


# --- lengths --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("fabric", "units", "lay", "bought"),
    [
        # 1000 x 1.03 / 0.95 + 50 = 1134.2
        (Fabric(), "cm", 1000.0, 1150.0),
        # Pieces are cut larger: 1000 x 1.03 + 50 = 1080
        (Fabric(shrink_along=0.05), "cm", 1000.0, 1100.0),
        # The shrinkage across says nothing about that along.
        (Fabric(shrink_across=0.05), "cm", 1000.0, 1150.0),
        # A fabric that grows is known to: 1080.
        (Fabric(shrink_along=-0.02), "cm", 1000.0, 1100.0),
        # 1134.2 / 114.3 = 9.92 eighths
        (Fabric(), "in", 1000.0, 1143.0),
        (Fabric(shrink_along=0.05), "in", 1000.0, 1143.0),
        # 1029 / 114.3 = 9.003: a hair over nine
        (Fabric(shrink_along=0.05), "in", 950.5, 1143.0),
    ],
)
def test_what_is_added_to_a_lay(fabric: Fabric, units: str, lay: float, bought: float) -> None:
    assert to_buy_mm(lay, fabric, units) == pytest.approx(bought)  # type: ignore[arg-type]


def test_steps_of_the_shop() -> None:
    assert rounded_up_mm(1150.0, "cm") == 1150.0
    assert rounded_up_mm(1150.1, "mm") == 1200.0
    assert rounded_up_mm(1150.0000000001, "cm") == 1150.0
    assert rounded_up_mm(YARD_MM, "in") == pytest.approx(YARD_MM)
    assert rounded_up_mm(YARD_MM + 1.0, "in") == pytest.approx(YARD_MM * 1.125)


def test_usable_width_of_what_is_sold() -> None:
    # (1400 - 20) x 0.97
    assert usable_mm(1400.0, Fabric()) == pytest.approx(1338.6)
    assert usable_mm(1400.0, Fabric(shrink_across=0.08)) == pytest.approx(1380.0)
    assert usable_mm(1400.0, Fabric(shrink_along=0.08)) == pytest.approx(1338.6)


@settings(max_examples=8)
@given(
    across=st.sampled_from([0.0, 0.02, 0.08]),
    along=st.sampled_from([0.0, 0.03, 0.1]),
    sold=st.sampled_from([1120.0, 1400.0, 1600.0]),
    units=st.sampled_from(["cm", "in"]),
)
def test_bought_cloth_washed_and_squared_still_holds_the_lay(
    knit: Pattern, across: float, along: float, sold: float, units: str
) -> None:
    """Whatever the file gives: after the wash the pieces as sewn lie apart on what is left."""
    pattern = on(knit, shrink_across=across, shrink_along=along)
    fabric = pattern.spec.fabric
    usable = usable_mm(sold, fabric)
    found = length_on(pattern, usable)
    assert found.lay is not None
    need = need_of(found, fabric, units, sold)  # type: ignore[arg-type]
    assert need.buy_mm is not None
    # The shop's cloth, its ends squared and its selvedges off, through the worst wash.
    wash_x, wash_y = along or WASH_ALONG_RATIO, across or WASH_ACROSS_RATIO
    left = box(0, 0, (need.buy_mm - SQUARING_MM) * (1 - wash_x), (sold - 20.0) * (1 - wash_y))
    # Outlines on the cloth as cut; where that is before the wash they shrink with it.
    shapes = [
        affinity.scale(
            polygon(p.lie.path(join(list(p.piece.cut)))), 1 - along, 1 - across, origin=(0, 0)
        )
        for p in found.lay.placed
    ]
    for placed, shape in zip(found.lay.placed, shapes, strict=True):
        assert left.buffer(0.05).contains(shape)
        sewn = polygon(join(list(placed.part.piece.cut)))
        assert shape.area == pytest.approx(sewn.area, rel=1e-4)
    for a, b in combinations(shapes, 2):
        assert a.intersection(b).area < 1.0
    # And something is to spare along.
    assert left.bounds[2] - max(s.bounds[2] for s in shapes) > 0.02 * found.lay.length_mm
    assert need.washed_mm == pytest.approx(max(s.bounds[2] for s in shapes), abs=0.1)


def test_a_narrower_width_sold_takes_no_less(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=WOVEN, fit="loose")
    found = plan_buying(pattern)
    assert [n.sold_mm for n in found.widths] == list(SOLD_CM)
    bought = [n.buy_mm for n in found.widths]
    assert None not in bought
    assert bought == sorted(bought, reverse=True)  # type: ignore[type-var]
    assert found.fabric.sold_mm is None
    assert found.fabric.usable_mm == 1500.0
    assert found.fabric.about


def test_widths_where_it_cannot_lie_say_why_and_the_others_stay(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=KNIT)
    found = plan_buying(pattern, None, [250.0, 1400.0])
    bad, good = found.widths
    assert bad.buy_mm is bad.lay_mm is bad.washed_mm is None
    assert "too narrow for the" in bad.why
    assert good.buy_mm is not None
    assert good.why == ""


def test_a_kept_lay_is_no_about(make_pattern: Make) -> None:
    lay = quick_lay(make_pattern(fabric=KNIT))
    kept = need_of(FabricLength(width_mm=1500.0, lay=lay, kept=True), KNIT, "cm", None)
    assert not kept.about
    assert kept.lay_mm == lay.length_mm


def test_the_reason_tells_the_two_ways_apart(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=KNIT)
    plain = listed(pattern).reason
    assert "5 % for a wash before cutting" in plain
    assert "do not wash it first" not in plain
    given_ = listed(on(pattern, shrink_along=0.04)).reason
    assert "4 % along" in given_
    assert "do not wash it first" in given_
    assert "wash before cutting" not in given_
    assert washed_first(on(pattern, shrink_along=0.04).spec.fabric) == (WASH_ACROSS_RATIO, 0.0)


@pytest.mark.parametrize(("inches", "yards"), [(50.0, 2.625), (36.0, 3.25)])
def test_within_the_band_of_old_tables(make_pattern: Make, inches: float, yards: float) -> None:
    """Full-length woven pants: about 2 5/8 yd at 50 in, 3 1/4 yd at 35 to 36 in.

    Old commercial tables, of low grade: a sanity band only. It reaches further down than up, as
    legs that lie head to foot save cloth.
    """
    for leg in ("straight", "palazzo"):
        pattern = make_pattern(fabric=WOVEN, fit="loose", leg=leg)
        found = length_on(pattern, usable_mm(inches * 25.4, WOVEN))
        assert found.length_mm is not None
        bought = to_buy_mm(found.length_mm, WOVEN, "in") / YARD_MM
        assert 0.67 * yards <= bought <= 1.25 * yards


# --- the other lines ------------------------------------------------------------------------------


def test_elastic_with_something_to_try_it_on(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=KNIT)
    (line,) = entries(pattern, "elastic")
    elastic = elastic_of(pattern)
    assert elastic is not None
    assert line.needed_mm == elastic.cut_mm
    assert line.buy_mm is not None
    assert 100.0 <= line.buy_mm - elastic.cut_mm < 150.0
    assert line.buy_mm % 50.0 == 0.0
    assert entries(make_pattern(fabric=KNIT, band="flat"), "elastic") == []


def test_elastic_width_is_told_as_it_is_sold(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=KNIT, elastic_width=31.75)
    sold = make_pattern(fabric=KNIT, elastic_width=50.0)
    assert entries(sold, "elastic")[0].what == "elastic, 5 cm wide"
    inches = replace(pattern, spec=replace(pattern.spec, units="in"))
    assert entries(pattern, "elastic")[0].what == "elastic, 3.17 cm wide"
    assert entries(inches, "elastic")[0].what == 'elastic, 1 1/4" wide'


@pytest.mark.parametrize(
    ("stitch", "metres", "spools"),
    [
        (LOCKSTITCH, 10.0, 1),
        (LOCKSTITCH, 100.0, 1),
        (LOCKSTITCH, 100.5, 2),
        # Four threads; a looper takes up to two fifths.
        (OVERLOCK_4, 130.0, 4),
        (OVERLOCK_4, 250.0, 4),
        (OVERLOCK_4, 251.0, 8),
    ],
)
def test_whole_spools(stitch: object, metres: float, spools: int) -> None:
    use = ThreadUse(stitch=stitch, lines=(), seam_mm=0.0, thread_mm=1000.0 * metres)  # type: ignore[arg-type]
    assert spools_for(use) == spools


def test_thread_for_every_stitch(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=WOVEN, fit="loose")
    lines = entries(pattern, "thread")
    assert [x.needed_mm for x in lines] == [t.thread_mm for t in thread_of(pattern)]
    assert all(x.spools >= 1 for x in lines)
    # One spool is in the machine and no thread is longer than all spools.
    assert all(x.needed_mm is not None and x.needed_mm <= x.spools * 1e5 for x in lines)
    assert {x.what.split("(")[1] for x in lines} == {"class 301)", "class 504)"}


def test_needles_and_thread_by_the_machines_there_are(make_pattern: Make) -> None:
    knit = make_pattern(fabric=KNIT)

    def bought(*machines: str) -> tuple[list[Entry], list[Entry]]:
        pattern = replace(knit, spec=replace(knit.spec, machines=machines))
        return entries(pattern, "needle"), entries(pattern, "thread")

    needles, threads = bought("sewing")
    assert [n.what.split(",")[0] for n in needles] == [
        "needles",
        "twin needle for stretch fabric",
    ]
    assert all(n.packets == 1 for n in needles)
    # One spool serves all that the sewing machine sews, two where two needles run.
    (thread,) = threads
    assert thread.what.startswith("thread for the sewing machine")
    assert thread.spools == 2
    assert "overlock" not in thread.what + thread.reason + needles[0].reason
    needles, threads = bought("sewing", "overlock", "coverstitch")
    assert len(needles) == 1
    assert {t.what.split(" (")[0] for t in threads} == {
        "thread for the sewing machine",
        "thread for overlock, four threads",
        "thread for cover stitch, three needles",
    }


def test_tape_for_pocket_openings(make_pattern: Make) -> None:
    scoop = make_pattern(fabric=KNIT, pocket="scoop")
    mouth = ruler_length(scoop.piece("front").edge("mouth").path)
    assert openings_mm(scoop) == pytest.approx(2.0 * mouth)
    side = make_pattern(fabric=KNIT, pocket="side-seam", pocket_opening=160.0)
    assert openings_mm(side) == pytest.approx(320.0)
    (line,) = entries(side, "tape")
    assert line.needed_mm == pytest.approx(320.0 + 4 * 20.0)
    for none in ({}, {"pocket": "patch"}):
        assert openings_mm(make_pattern(fabric=KNIT, **none)) == 0.0
        assert entries(make_pattern(fabric=KNIT, **none), "tape") == []


def test_interfacing_only_where_something_needs_it(make_pattern: Make) -> None:
    heavy = replace(KNIT, weight=300.0)
    light = replace(KNIT, weight=130.0)
    assert entries(make_pattern(fabric=heavy, belt="wide"), "interfacing") == []
    assert entries(make_pattern(fabric=heavy, pocket="scoop"), "interfacing") == []
    belted = make_pattern(fabric=light, belt="wide")
    (belt,) = entries(belted, "interfacing")
    long = ruler_length(belted.piece("belt").edge("long_left").path)
    # Both halves side by side: 90 cm hold far more.
    assert belt.needed_mm == pytest.approx(long)
    assert belt.buy_mm is not None
    assert belt.buy_mm * 0.95 >= long
    (patch,) = entries(make_pattern(fabric=heavy, pocket="patch"), "interfacing")
    assert patch.needed_mm == pytest.approx(30.0)
    unknown = entries(make_pattern(fabric=KNIT, belt="wide"), "interfacing")[0]
    assert "not given" in unknown.reason


def test_a_flat_band_gets_none_and_is_told_why(make_pattern: Make) -> None:
    (line,) = entries(make_pattern(fabric=replace(KNIT, weight=300.0), band="flat"), "interfacing")
    assert line.buy_mm is None
    assert "stretch over the hip" in line.reason


def test_lining_where_there_are_pieces_of_it(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=KNIT, pocket="scoop")
    found = plan_buying(pattern, None, [1400.0])
    (line,) = [e for e in found.entries if e.kind == "lining"]
    assert "pocket bag (cut 2 of lining, mirrored)" in line.reason
    assert line.needed_mm is not None
    assert line.buy_mm is not None
    assert line.buy_mm >= line.needed_mm / 0.95 + 50.0
    plain = plan_buying(make_pattern(fabric=KNIT), None, [1400.0])
    assert [e for e in plain.entries if e.kind == "lining"] == []


def test_every_line_says_why_and_where_that_is_from(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=KNIT, pocket="scoop", belt="wide")
    found = plan_buying(pattern, None, [1400.0])
    kinds = [e.kind for e in found.entries]
    assert set(kinds) == {"lining", "elastic", "thread", "needle", "tape", "interfacing"}
    assert all(
        e.reason and ("no source" in e.source or "memory" in e.source) for e in found.entries
    )


def test_a_wider_fabric_takes_no_more_than_a_narrower_one(make_pattern: Make) -> None:
    """What lies on less lies on more too, however well each was laid."""
    pattern = make_pattern(fabric=KNIT, leg="slim", pocket="side-seam")
    found = plan_buying(pattern, None, [1120.0, 1390.0, 1400.0, 1410.0, 1600.0])
    rows = sorted((found.fabric, *found.widths), key=lambda n: n.usable_mm)
    lengths = [n.lay_mm for n in rows if n.lay_mm is not None]
    assert len(lengths) == 6
    assert lengths == sorted(lengths, reverse=True)
    assert [n.sold_mm for n in found.widths] == [1120.0, 1390.0, 1400.0, 1410.0, 1600.0]
    assert [n.usable_mm for n in found.widths] == [
        usable_mm(mm, KNIT) for mm in (1120.0, 1390.0, 1400.0, 1410.0, 1600.0)
    ]


@pytest.mark.parametrize("shrink", [0.0, 0.04])
def test_the_repeat_that_placing_the_first_leg_may_cost_is_bought(shrink: float) -> None:
    """Up to one whole repeat of a border's figures, or of stripes (common practice, no source)."""
    bordered = Fabric(border="one", border_height=200.0, border_repeat=320.0, shrink_along=shrink)
    striped = Fabric(repeat_along=60.0, shrink_along=shrink)
    plain = Fabric(shrink_along=shrink)
    wash = 1.0 if shrink else 0.95
    for fabric, repeat in ((bordered, 320.0), (striped, 60.0), (plain, 0.0)):
        bought = to_buy_mm(2000.0, fabric, "cm")
        need = (2000.0 * 1.03 + repeat) / wash + 50.0
        assert need <= bought < need + 50.0
        assert ("one repeat" in fabric_reason(fabric, "cm")) == bool(repeat)
    assert "one repeat of 32 cm" in fabric_reason(bordered, "cm")
