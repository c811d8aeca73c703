"""Elastic, thread and needles against lengths added up by hand on the pieces."""

from __future__ import annotations

from dataclasses import replace

import pytest

from outseam.draft.buying.notions import (
    centre_seams,
    elastic_of,
    materials_of,
    needle_for,
    separate_seams,
    stitch_lines,
    stitches_for,
    thread_of,
    times_sewn,
)
from outseam.draft.fabric import Fabric
from outseam.draft.figures.finished import finished
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Seam, Stretch
from outseam.draft.piece.ruler import ruler_length
from outseam.draft.sewing.order import sewing_order
from outseam.draft.spec.spec import USUAL_MACHINES

KNIT = Fabric(stretch_across=0.5, stretch_along=0.25)
WOVEN = Fabric(kind="woven", stretch_across=0.0)


def edge_mm(pattern: Pattern, *names: str) -> float:
    """Return the length of edges written as "front.outseam", added up."""
    return sum(
        ruler_length(pattern.piece(p).edge(e).path) for p, e in (n.split(".") for n in names)
    )


def lines_of(pattern: Pattern) -> dict[str, float]:
    return {f"{x.use} {x.name}": x.length_mm for x in stitch_lines(pattern)}


def test_every_line_of_stitching_is_counted_once(make_pattern) -> None:
    pattern = make_pattern()
    sides = ("front", "back")
    leg = {
        name: edge_mm(pattern, f"front.{name}")
        + (edge_mm(pattern, *(f"{s}.{name}_turn" for s in sides)) / 2.0)
        for name in ("outseam", "inseam")
    }
    expected = {
        "seam outseam": 2.0 * leg["outseam"],
        "seam inseam": 2.0 * leg["inseam"],
        "seam crotch": edge_mm(pattern, "front.crotch", "back.crotch"),
        # The legs' edge is the longer side of the waist seam, and there are two legs.
        "seam waist": 2.0 * edge_mm(pattern, "front.waist", "back.waist"),
        "open band side": edge_mm(pattern, "front_band.left", "front_band.right"),
        "hem hem": 2.0 * edge_mm(pattern, "front.hem_cut", "back.hem_cut"),
        "top elastic held at the side seams": 2.0 * finished(pattern)["band_height"],
    }
    assert lines_of(pattern) == pytest.approx(expected, abs=0.5)


def test_a_casing_cut_on_the_leg_is_a_hem_at_the_top(make_pattern) -> None:
    found = lines_of(make_pattern(band="turned", elastic_width=19.0))
    pattern = make_pattern(band="turned", elastic_width=19.0)
    assert found["hem casing"] == pytest.approx(
        2.0 * edge_mm(pattern, "front.casing_cut", "back.casing_cut"), abs=0.5
    )
    # Stitched in the ditch of both side seams, as wide as the elastic.
    assert found["top elastic held at the side seams"] == pytest.approx(2.0 * 19.0)
    assert "seam waist" not in found
    whole = edge_mm(pattern, *(f"{s}.{e}" for s in ("front", "back") for e in ("crotch",)))
    turned = edge_mm(pattern, *(f"{s}.crotch_casing" for s in ("front", "back")))
    assert turned > 20.0
    assert found["seam crotch"] == pytest.approx(whole + turned, abs=0.5)


def test_a_folded_bands_second_edge_is_caught_in(make_pattern) -> None:
    pattern = make_pattern()
    caught = {seam.name for seam, separate in separate_seams(pattern) if not separate}
    assert caught == {"band edges, front", "band edges, back"}


def test_seams_of_one_edge_in_parts_are_all_sewn_and_then_the_edge_is_used_up(make_pattern) -> None:
    """A facing at either side, cut twice, joins the band once each; a third would be caught in."""
    pattern = make_pattern()
    facing = replace(pattern.piece("front_band"), name="facing", copies=2)
    width = ruler_length(facing.edge("lower").path)
    part = Stretch(piece="facing", edge="left", from_mm=0.0, to_mm=40.0)

    def to_band(name: str, low: float, high: float) -> Seam:
        band = Stretch(piece="front_band", edge="lower", from_mm=low, to_mm=high)
        return Seam(name=name, a=part, b=band)

    seams = (
        to_band("left", 0.0, 40.0),
        to_band("right", width - 40.0, width),
        Seam(
            name="middle",
            a=Stretch(piece="back_band", edge="lower", from_mm=0.0, to_mm=width - 80.0),
            b=Stretch(piece="front_band", edge="lower", from_mm=40.0, to_mm=width - 40.0),
        ),
        Seam(
            name="whole",
            a=Stretch(piece="front_band", edge="lower", from_mm=0.0, to_mm=width),
            b=Stretch(piece="front_band", edge="upper", from_mm=0.0, to_mm=width),
        ),
    )
    changed = replace(pattern, pieces=(*pattern.pieces, facing), seams=seams)
    assert [s for _, s in separate_seams(changed)] == [True, True, True, False]
    assert [times_sewn(changed, s) for s in seams] == [1, 1, 1, 1]


def test_legs_are_sewn_twice_and_the_waist_once(make_pattern) -> None:
    pattern = make_pattern()
    times = {s.name: times_sewn(pattern, s) for s in pattern.seams}
    assert times["outseam, hem to knee"] == times["inseam, knee to crotch point"] == 2
    assert times["waist, front"] == times["band side, left"] == 1


def test_centre_seams_join_each_leg_to_its_mirror_image(make_pattern) -> None:
    pattern = make_pattern()
    assert {p.name: mm for p, mm in centre_seams(pattern)} == pytest.approx(
        {n: edge_mm(pattern, f"{n}.crotch") for n in ("front", "back")}
    )


def test_topstitching_counts_on_every_copy(make_pattern) -> None:
    pattern = make_pattern()
    back = pattern.piece("back")
    crease = next(x for x in back.lines if x.kind == "crease")
    marked = replace(back, lines=(*back.lines, replace(crease, kind="topstitch")))
    changed = replace(
        pattern, pieces=tuple(marked if p.name == "back" else p for p in pattern.pieces)
    )
    assert lines_of(changed)["top topstitching, back leg"] == pytest.approx(
        2.0 * ruler_length(crease.path)
    )


def test_thread_of_a_knit(make_pattern) -> None:
    pattern = make_pattern(fabric=KNIT)
    found = {t.stitch.number: t for t in thread_of(pattern)}
    assert set(found) == {"514", "304", "2 × 301", "301"}
    by_use = dict.fromkeys(("seam", "open", "hem", "top"), 0.0)
    for x in stitch_lines(pattern):
        by_use[x.use] += x.length_mm
    assert found["514"].seam_mm == pytest.approx(by_use["seam"])
    assert found["304"].seam_mm == pytest.approx(by_use["open"])
    assert found["2 × 301"].seam_mm == pytest.approx(by_use["hem"])
    # 1.25: a quarter to spare; 20 times the seam for four threads (common practice, no source).
    assert found["514"].thread_mm == pytest.approx(by_use["seam"] * 20.0 * 1.25)
    assert "crotch" in found["514"].lines
    assert [t.thread_mm for t in thread_of(pattern)] == sorted(
        (t.thread_mm for t in found.values()), reverse=True
    )


def test_thread_of_a_woven_is_stitched_once_and_neatened_on_both_edges(make_pattern) -> None:
    pattern = make_pattern(fabric=WOVEN, fit="loose")
    found = {t.stitch.number: t.seam_mm for t in thread_of(pattern)}
    total = dict.fromkeys(("seam", "open", "hem", "top"), 0.0)
    for x in stitch_lines(pattern):
        total[x.use] += x.length_mm
    assert set(found) == {"301", "504"}
    assert found["301"] == pytest.approx(sum(total.values()))
    assert found["504"] == pytest.approx(2.0 * (total["seam"] + total["open"]) + total["hem"])


def test_what_is_sewn_by_zigzag_takes_no_overlock_thread(make_pattern) -> None:
    pattern = make_pattern(fabric=KNIT, belt="wide")
    found = {t.stitch.number: t for t in thread_of(pattern)}
    for name in ("belt", "band side"):
        assert name in found["304"].lines
        assert name not in found["514"].lines


def test_stitches_follow_the_machines(make_pattern) -> None:
    pattern = make_pattern(fabric=KNIT)
    seams = sum(x.length_mm for x in stitch_lines(pattern) if x.use in ("seam", "open"))

    def on(*machines: str) -> Pattern:
        return replace(pattern, spec=replace(pattern.spec, machines=machines))

    plain = {t.stitch.number: t.seam_mm for t in thread_of(on("sewing"))}
    assert set(plain) == {"301", "2 × 301", "304"}
    assert plain["304"] == pytest.approx(seams)
    assert "605" in {t.stitch.number for t in thread_of(on("sewing", "overlock", "coverstitch"))}
    assert "overlock" not in " ".join(stitches_for(KNIT, ("sewing",)))
    told = " ".join(
        text for step in sewing_order(on("sewing")) for text in step.text if step.key != "try"
    )
    assert "overlock" not in told


def test_elastic_is_cut_longer_by_half_an_inch(make_pattern) -> None:
    pattern = make_pattern(units="in", elastic_width=31.75, elastic_ratio=0.85)
    elastic = elastic_of(pattern)
    assert elastic is not None
    assert elastic.width_mm == 31.75
    assert elastic.length_mm == finished(pattern)["elastic"]
    assert elastic.cut_mm - elastic.length_mm == pytest.approx(25.4 / 2.0)


def test_a_band_that_holds_by_itself_has_no_elastic(make_pattern) -> None:
    pattern = make_pattern(band="flat")
    assert elastic_of(pattern) is None
    assert materials_of(pattern).elastic is None
    assert not any("elastic" in x.name for x in stitch_lines(pattern))


@pytest.mark.parametrize(
    ("fabric", "needle"),
    [
        (Fabric(stretch_across=0.3), "ballpoint, size 80/12"),
        (Fabric(stretch_across=0.5), "stretch, size 75/11"),
        (Fabric(stretch_across=0.3, weight=320), "ballpoint, size 90/14"),
        (Fabric(stretch_across=0.8, weight=130), "stretch, size 70/10"),
        (WOVEN, "universal, size 80/12"),
        (Fabric(kind="woven", weight=120), "universal, size 70/10"),
        (Fabric(kind="woven", weight=300), "universal, size 90/14"),
    ],
)
def test_needle_follows_fabric(fabric: Fabric, needle: str) -> None:
    assert needle_for(fabric) == needle


def test_a_knit_is_warned_of_the_straight_stitch_and_a_woven_is_told_to_use_it() -> None:
    knit, woven = (" ".join(stitches_for(cloth, USUAL_MACHINES)) for cloth in (KNIT, WOVEN))
    assert "breaks" in knit
    assert "overlock" in knit
    assert "straight stitch, 2.5 mm" in woven
    assert "zigzag 0.5" not in woven
