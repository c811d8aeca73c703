"""The worksheet: its figures against the pattern's, its two forms against each other, its pages."""

from __future__ import annotations

import io
import os
import re
import subprocess
import sys
import unicodedata
from collections import Counter
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pdfplumber
import pikepdf
import pypdf
import pytest
import shapely
from rich.console import Console

import outseam.draft.answer
from outseam.cli.commands.common import read_answer
from outseam.cli.document import layout
from outseam.cli.document.blocks import (
    Blanks,
    BulletList,
    Document,
    Drawing,
    Notices,
    Paragraph,
    Section,
    Table,
)
from outseam.cli.document.layout import pages_of
from outseam.cli.main import run
from outseam.cli.pattern.drawing import pieces_to_print
from outseam.cli.pattern.overview import size_of
from outseam.cli.pattern.strain_chart import PLOT_MM, rows, scale_of
from outseam.cli.scene.scene import Label
from outseam.cli.scene.text import wrap_text
from outseam.cli.wording.fabric import centimetres_needed
from outseam.cli.wording.findings import finding_words
from outseam.cli.wording.report import finished_table
from outseam.cli.wording.sheet import size_words, strain_words
from outseam.cli.worksheet.content import worksheet_content
from outseam.cli.worksheet.files import NAMES, worksheet_files, worksheet_html
from outseam.curves.path import join, line
from outseam.curves.region import bounds, flatten
from outseam.draft.alter import AlterationEntry
from outseam.draft.answer import Answer
from outseam.draft.body.estimate import Body
from outseam.draft.buying.shopping_list import to_buy_mm
from outseam.draft.checks.strain import Level, levels
from outseam.draft.checks.verdict import at_most
from outseam.draft.fabric import Fabric
from outseam.draft.figures.finished import finished
from outseam.draft.figures.sensitivity import Effect, estimate_effects
from outseam.draft.fits import ease_for, fit_named
from outseam.draft.inputs.show import per_cent, show_length
from outseam.draft.inputs.words import Words, measure
from outseam.draft.lay.ways.quick import FabricLength
from outseam.draft.model import Pattern
from outseam.draft.pattern import draft_pattern
from outseam.draft.piece.piece import Line
from outseam.draft.spec.spec import Spec, parse_spec
from outseam.draft.style import Style

GALLERY = tuple(sorted((Path(__file__).parents[2] / "gallery").glob("*.toml")))
ONE = next(p for p in GALLERY if p.stem == "slim-101")
INCHES = next(p for p in GALLERY if p.stem == "straight-97")

TIGHT = """
title = "Tight <b>&amp; loud</b>"
[body]
name = "<script>alert('x')</script>"
height = 168
waist = 82
hip = 104
inside_leg = 77
crotch_length = 70
[fabric]
name = 'cloth "no. 1" & more'
kind = "woven"
[style]
leg = "slim"
hem_width = 24
inseam = 79.5
"""


@cache
def answer(path: Path) -> Answer:
    return read_answer(path)


def drafted(path: Path) -> tuple[Pattern, tuple[Effect, ...]]:
    return answer(path).pattern, answer(path).effects


@cache
def tight() -> tuple[Pattern, tuple[Effect, ...]]:
    pattern = draft_pattern(parse_spec(TIGHT, "a test"))
    return pattern, estimate_effects(pattern)


@cache
def laid(path: Path) -> FabricLength:
    return answer(path).fabric


@cache
def page_of(path: Path) -> ElementTree.Element:
    pattern, effects = drafted(path)
    return parsed(worksheet_html(worksheet_content(pattern, effects, fabric=laid(path))))


def parsed(html: str) -> ElementTree.Element:
    return ElementTree.fromstring(html)


def words(element: ElementTree.Element) -> str:
    return plain("".join(element.itertext()))


def plain(text: str) -> str:
    return " ".join(unicodedata.normalize("NFKC", text).split())


def section(page: ElementTree.Element, key: str) -> ElementTree.Element:
    found = page.find(f".//section[@id='{key}']")
    assert found is not None, key
    return found


def table(page: ElementTree.Element, key: str) -> list[list[str]]:
    found = section(page, key).find(".//tbody")
    assert found is not None
    return [[words(cell) for cell in row] for row in found]


def group(page: ElementTree.Element, drawing: str, layer: str) -> ElementTree.Element:
    found = page.find(f".//figure[@id='{drawing}-drawing']//g[@class='{layer}']")
    assert found is not None, layer
    return found


def extent(path: ElementTree.Element) -> tuple[float, float, float, float]:
    """Return the extent of an SVG path of straight lines and cubics, by its points."""
    numbers = [float(v) for v in re.findall(r"-?\d+(?:\.\d+)?(?:e-?\d+)?", path.attrib["d"])]
    x, y = numbers[0::2], numbers[1::2]
    return min(x), min(y), max(x), max(y)


# --- what it says ---------------------------------------------------------------------------------


def test_sections_stand_in_the_order_of_the_work() -> None:
    keys = [s.get("id") for s in page_of(ONE).iter("section")]
    assert keys == [
        *("project", "cut", "finished", "strain", "pull-on"),
        *("materials", "seams", "findings", "estimates", "cautions", "sewing"),
    ]


@pytest.mark.parametrize("path", GALLERY, ids=lambda p: p.stem)
def test_every_piece_is_listed_and_drawn_to_the_scale_that_is_told(path: Path) -> None:
    pattern, _ = drafted(path)
    page = page_of(path)
    cutting = section(page, "cut")
    scale = int(re.search(r"All pieces at 1 : (\d+)", words(cutting)).group(1))  # type: ignore[union-attr]
    listed = table(page, "cut")
    assert [row[:3] for row in listed] == [
        [str(i), p.title, p.cut_note] for i, p in enumerate(pattern.pieces, start=1)
    ]
    # The heavy lines of the picture are the cutting lines, in the order of the list.
    drawn = group(page, "pieces", "pieces")
    heavy = [e for e in drawn if e.get("stroke-width") == "0.45" and e.attrib["d"].endswith("Z")]
    assert len(heavy) == len(pattern.pieces)
    sizes = set()
    for element in heavy:
        x0, y0, x1, y1 = extent(element)
        sizes.add((round((x1 - x0) * scale), round((y1 - y0) * scale)))
    for piece, row in zip(pieces_to_print(pattern), listed, strict=True):
        outline = flatten(join(list(piece.cut)))
        wide, high = np.ptp(outline, axis=0)
        assert row[4] == plain(size_words(wide, high, pattern.spec.units))
        # Handles of curves reach a little beyond them.
        assert any(abs(w - wide) < 15 and abs(h - high) < 15 for w, h in sizes), piece.name
    texts = {words(e) for e in drawn.iter("text")}
    for i, piece in enumerate(pattern.pieces, start=1):
        assert f"{i} {piece.title}" in texts
        assert piece.cut_note in texts
    svg = cutting.find(".//svg")
    assert svg is not None
    assert float(svg.attrib["width"].removesuffix("mm")) <= 180.0
    for element in drawn.iter("path"):
        x0, y0, x1, y1 = extent(element)
        # Handles reach beyond their curves.
        assert min(x0, y0) > -2.0, "nothing is cut off"
        assert x1 < 180.0


@pytest.mark.parametrize(("path", "long_mm"), [(ONE, 200.0), (INCHES, 254.0)])
def test_scale_bar_is_as_long_as_it_says(path: Path, long_mm: float) -> None:
    bar = group(page_of(path), "pieces", "bar")
    scale = int(re.search(r"1 : (\d+)", words(bar)).group(1))  # type: ignore[union-attr]
    x0, _, x1, _ = extent(next(bar.iter("path")))
    assert (x1 - x0) * scale == pytest.approx(long_mm, abs=0.01)
    assert words(bar).startswith(show_length(long_mm, drafted(path)[0].spec.units))


def test_finished_size_leaves_out_what_is_turned_in_and_halves_what_is_folded() -> None:
    pattern, _ = drafted(ONE)
    front, band = pattern.piece("front"), pattern.piece("front_band")
    size = size_of(front, front)
    seam, hem = pattern.spec.style.seam_allowance, pattern.spec.style.hem_allowance
    hem_edge = join([e.path for e in front.edges])
    low = flatten(hem_edge)[:, 1].min()
    top = flatten(hem_edge)[:, 1].max()
    assert size.finished_mm[1] == pytest.approx(top - low - hem, abs=1.0)
    assert size.cut_mm[1] - size.finished_mm[1] == pytest.approx(hem + seam, abs=3.0)
    folded = size_of(band, band)
    assert folded.finished_mm[1] == pytest.approx(finished(pattern)["band_height"], abs=0.01)
    both = folded.finished_mm[0] + size_of(pattern.piece("back_band"), band).finished_mm[0]
    assert both == pytest.approx(finished(pattern)["waistband"], abs=0.01)


def test_a_fold_that_is_drawn_with_a_gap_still_folds() -> None:
    pattern, _ = drafted(ONE)
    band = pattern.piece("front_band")
    fold = next(x for x in band.lines if x.kind == "fold").path
    (x0, y), (x1, _) = fold.start, fold.end
    parts = tuple(
        Line(kind="fold", path=line((a, y), (b, y))) for a, b in ((x0, 50.0), (120.0, x1))
    )
    broken = replace(band, lines=(*(x for x in band.lines if x.kind != "fold"), *parts))
    assert size_of(broken, broken).finished_mm == pytest.approx(size_of(band, band).finished_mm)


def test_pieces_that_shrink_are_told_larger_as_cut_only() -> None:
    palazzo = next(p for p in GALLERY if p.stem == "palazzo-116")
    pattern, _ = drafted(palazzo)
    piece = pattern.piece("front_band")
    size = size_of(piece, pieces_to_print(pattern)[pattern.pieces.index(piece)])
    seam = pattern.spec.style.seam_allowance
    wide = size.finished_mm[0] + 2.0 * seam
    assert size.cut_mm[0] == pytest.approx(wide / (1.0 - 0.01), abs=0.01)
    told = words(section(page_of(palazzo), "cut"))
    assert "1 % across and 3.1 % along larger" in told
    assert "Do not wash it first" in told
    assert "washed" not in words(section(page_of(palazzo), "materials"))


@pytest.mark.parametrize("path", [ONE, INCHES], ids=("cm", "in"))
def test_finished_measurements_are_the_patterns(path: Path) -> None:
    pattern, _ = drafted(path)
    told: dict[str, str] = {}
    for row in table(page_of(path), "finished"):
        told |= {row[0]: row[1], row[3]: row[4]}
    told.pop("", None)
    assert told == {
        k.replace("_", " ").capitalize(): show_length(mm, pattern.spec.units)
        for k, mm in finished(pattern).items()
    }
    assert all('"' in v for v in told.values()) == (pattern.spec.units == "in")


@pytest.mark.parametrize("path", GALLERY, ids=lambda p: p.stem)
def test_strain_table_says_what_the_levels_are(path: Path) -> None:
    pattern, _ = drafted(path)
    u, stretch = pattern.spec.units, pattern.spec.fabric.stretch_across_ratio
    for row, level in zip(table(page_of(path), "strain"), levels(pattern), strict=True):
        # Half of the stretch in wear, four fifths in pulling on (common practice, no source).
        assert row[0] == level.name.capitalize()
        assert row[1] == show_length(level.body_mm, u)
        assert row[2] == show_length(level.pattern_mm, u)
        assert row[4] == show_length(level.pattern_mm * (1 + 0.5 * stretch), u)
        assert row[5] == show_length(level.pattern_mm * (1 + 0.8 * stretch), u)
        strain = level.body_mm / level.pattern_mm - 1.0
        if strain >= 0.005:
            assert f"{100 * strain:.0f} %" in row[6]
        else:
            assert row[6].startswith("Not stretched")


@pytest.mark.parametrize("path", GALLERY, ids=lambda p: p.stem)
def test_chart_is_drawn_in_proportion(path: Path) -> None:
    pattern, _ = drafted(path)
    page, found = page_of(path), rows(pattern)
    scale = scale_of(found)
    bars = [extent(e) for e in group(page, "strain", "pattern").iter("path")]
    body = [extent(e) for e in group(page, "strain", "body").iter("path")]
    boxes = [
        extent(e) for e in group(page, "strain", "wear").iter("path") if e.attrib["d"].endswith("Z")
    ]
    pulls = [extent(e) for e in group(page, "strain", "pull").iter("path")]
    assert len(bars) == len(body) == len(found)
    # One scale for all: a bar's length over its girth is the same everywhere.
    assert [b[2] - b[0] for b in bars] == pytest.approx(
        [r.level.pattern_mm * scale for r in found], abs=0.001
    )
    assert [(b[0] + b[2]) / 2 - bars[0][0] for b in body] == pytest.approx(
        [r.level.body_mm * scale for r in found], abs=0.001
    )
    rigid = pattern.spec.fabric.stretch_across_ratio == 0.0
    assert len(boxes) == len(pulls) == (0 if rigid else len(found))
    for box, pull, row, bar in zip(boxes, pulls, found, bars, strict=False):
        assert box[0] == pytest.approx(bar[2])
        assert box[2] - bar[0] == pytest.approx(row.wear_mm * scale, abs=0.001)
        assert pull[2] - bar[0] == pytest.approx(row.pull_mm * scale, abs=0.001)
        assert (pull[1], pull[3]) == pytest.approx((bar[1], bar[3]))
    assert max(b[2] for b in (*bars, *body, *pulls)) <= PLOT_MM + 1.1
    # The axis' numbers stand where that girth ends.
    unit = {"cm": 10.0, "in": 25.4, "mm": 1.0}[pattern.spec.units]
    texts = list(group(page, "strain", "words").iter("text"))
    numbers = [(float(words(e)), float(e.attrib["x"])) for e in texts if words(e).isdigit()]
    assert len(numbers) >= 5
    for value, x in numbers:
        assert x - bars[0][0] == pytest.approx(value * unit * scale, abs=0.01)


def test_chart_says_it_in_words_too() -> None:
    pattern, _ = drafted(ONE)
    texts = group(page_of(ONE), "strain", "words").iter("text")
    told = " ".join(words(e) for e in texts)
    hip = next(x for x in levels(pattern) if x.name == "hip")
    assert (
        f"Hip body {show_length(hip.body_mm, 'cm')}, pattern {show_length(hip.pattern_mm, 'cm')}: "
        f"{strain_words(hip, pattern.block.ease, 'cm')}"
    ) in told
    assert "of room" in told


@pytest.mark.parametrize(
    ("pattern_mm", "said"),
    [
        (1000.0, "not stretched, 0 cm of room"),
        (1080.0, "not stretched, 8 cm of room"),
        (961.5, "stretched 4 %, wears well up to 25 %"),
        (770.0, "stretched 30 %, more than the 25 % that wear well"),
        (690.0, "would have to stretch 45 %, more than this fabric can"),
    ],
)
def test_strain_in_words(pattern_mm: float, said: str) -> None:
    level = Level(name="hip", height_mm=800.0, body_mm=1000.0, pattern_mm=pattern_mm)
    assert strain_words(level, ease_for(fit_named("easy"), 0.5, 1000.0), "cm") == said


def test_pulling_on_is_told_with_numbers() -> None:
    pattern, _ = drafted(ONE)
    sizes, hip = finished(pattern), pattern.measures.hip
    told = {row[0]: row for row in table(page_of(ONE), "pull-on")}
    open_by = 1.0 + 0.8 * 0.3  # four fifths of the 30 % of this fabric
    for name, at_rest in (("Top edge of the legs", "top_edge"), ("Waistband", "waistband")):
        opened = sizes[at_rest] * open_by
        assert told[name][2:5] == [show_length(v, "cm") for v in (hip, sizes[at_rest], opened)]
        assert told[name][5] == f"passes, {show_length(opened - hip, 'cm')} to spare"
    foot = pattern.measures.foot
    assert told["Hem"][1:5] == [
        "heel and instep",
        *(show_length(v, "cm") for v in (foot, sizes["hem"], sizes["hem"] * open_by)),
    ]
    assert per_cent(hip / sizes["elastic"] - 1.0) in told["Elastic"][5]
    assert "were estimated, ± 1 cm" in words(section(page_of(ONE), "pull-on"))


def test_what_does_not_pass_is_said_so() -> None:
    pattern, effects = tight()
    page = parsed(worksheet_html(worksheet_content(pattern, effects)))
    told = {row[0]: row[5] for row in table(page, "pull-on")}
    short = pattern.measures.foot - finished(pattern)["hem"]
    assert told["Hem"] == f"does not pass, {show_length(short, 'cm')} short"


@pytest.mark.parametrize("path", [ONE, INCHES], ids=("cm", "in"))
def test_elastic_is_told_with_width_length_and_overlap(path: Path) -> None:
    pattern, _ = drafted(path)
    length = finished(pattern)["elastic"]
    u = pattern.spec.units
    told = words(section(page_of(path), "materials"))
    wide, lap, mm = ('2"', '1/2"', 12.7) if u == "in" else ("5 cm", "1 cm", 10.0)
    assert (
        f"{wide} wide. Joined it goes round {show_length(length, u)}; with {lap} overlap cut "
        f"{show_length(length + mm, u)}."
    ) in told
    assert "Pin it round your waist" in told


def test_a_lay_puts_its_length_where_a_blank_was() -> None:
    pattern, effects = drafted(ONE)
    found = laid(ONE)
    assert found.lay is not None
    without = parsed(worksheet_html(worksheet_content(pattern, effects)))
    given = parsed(worksheet_html(worksheet_content(pattern, effects, fabric=found)))
    assert "length, from a lay" in words(section(without, "materials"))
    told = words(section(given, "materials"))
    assert "length, from a lay" not in told
    assert f"about {centimetres_needed(found.lay.length_mm)} cm, " in told
    bought = to_buy_mm(found.lay.length_mm, pattern.spec.fabric, "cm")
    assert f"To buy: {bought / 10:.0f} cm" in told


def test_the_small_lay_is_drawn_to_the_scale_that_is_told() -> None:
    pattern, effects = drafted(ONE)
    found = laid(ONE)
    assert found.lay is not None
    sheet = worksheet_content(pattern, effects, fabric=found)
    (materials,) = [s for s in sheet.sections if s.key == "materials"]
    (drawing,) = [b for b in materials.blocks if isinstance(b, Drawing)]
    scale = float(drawing.caption.split("1 : ")[1].split(",")[0])
    layers = {layer.name: layer.items for layer in drawing.scene.layers}
    boxes = [bounds(k.path) for k in layers["lay-fabric"] if not isinstance(k, Label)]
    wide = max(b[2] for b in boxes) - min(b[0] for b in boxes)
    high = max(b[3] for b in boxes) - min(b[1] for b in boxes)
    assert wide * scale == pytest.approx(found.lay.length_mm, abs=0.1)
    assert high * scale == pytest.approx(found.lay.cloth.width_mm, abs=0.1)
    drawn = [k for k in layers["lay-pieces"] if not isinstance(k, Label)]
    assert len(drawn) == len(found.lay.placed) == sum(p.copies for p in pattern.pieces)
    for stroke, placed in zip(drawn, found.lay.placed, strict=True):
        x0, y0, x1, y1 = bounds(stroke.path)
        assert (x1 - x0) * scale == pytest.approx(placed.length_mm, abs=0.1)
        assert (y1 - y0) * scale == pytest.approx(placed.breadth_mm, abs=0.1)
        assert (stroke.fill == 1.0) == (placed.lie.face == "up")
    # Each piece is named by its number on the cutting list.
    numbers = Counter(
        k.text.split()[0]
        for k in layers["lay-words"]
        if isinstance(k, Label) and k.text[0] in "123456789" and "cm" not in k.text
    )
    assert numbers == {str(n): p.copies for n, p in enumerate(pattern.pieces, start=1)}
    assert drawing.scene.width_mm <= layout.WIDTH_MM


def test_fabric_that_cannot_be_laid_leaves_the_blank_and_says_why() -> None:
    pattern, effects = drafted(ONE)
    found = FabricLength(width_mm=300.0, why="30 cm is too narrow")
    given = parsed(worksheet_html(worksheet_content(pattern, effects, fabric=found)))
    told = words(section(given, "materials"))
    assert "No lay was found at once: 30 cm is too narrow." in told
    assert "length, from a lay" in told


@pytest.mark.parametrize("path", GALLERY, ids=lambda p: p.stem)
def test_every_seam_is_listed_with_both_lengths(path: Path) -> None:
    pattern, _ = drafted(path)
    u = pattern.spec.units
    listed = table(page_of(path), "seams")
    assert len(listed) == len(pattern.seams) + 2
    for seam, row in zip(pattern.seams, listed, strict=False):
        assert row[0].lower() == seam.says
        for cell, stretch in ((3, seam.a), (5, seam.b)):
            told, mm = row[cell], stretch.length_mm
            assert told in {show_length(mm + d, u) for d in (-0.05, 0.0, 0.05)}
        if abs(seam.ease_mm) < 0.5:
            assert row[6] == "equal"
        else:
            assert show_length(abs(seam.ease_mm), u) in row[6]
    assert [row[0] for row in listed[-2:]] == ["Centre front", "Centre back"]


def test_a_woven_is_eased_and_a_knit_stretched() -> None:
    woven = next(p for p in GALLERY if p.stem == "palazzo-116")
    by = {row[0]: row[6] for row in table(page_of(woven), "seams")}
    assert by["Waistband to front"].startswith("ease in the front leg by")
    by = {row[0]: row[6] for row in table(page_of(ONE), "seams")}
    assert by["Waistband to front"].startswith("stretch the front waistband by")


def test_findings_are_all_told_and_passes_counted() -> None:
    drawn, effects = tight()
    higher = Words("The top sits {by} higher than usual.", (("by", measure(23.0)),))
    note = at_most("rise", "top edge", 23.0, 1.0, "it is usual", fails="note", advice=higher)
    pattern = replace(drawn, findings=(note, *drawn.findings))
    page = parsed(worksheet_html(worksheet_content(pattern, effects)))
    part = section(page, "findings")
    bad = [f for f in pattern.findings if f.level != "pass"]
    assert {f.check for f in bad} >= {"foot goes through", "hem clears the floor"}
    items = [(e.get("class"), words(e)) for e in part.iter("li")]
    assert len(items) == len(bad) + len(pattern.measures.notes)
    told = {"foot goes through": "Your foot may stick", "hem clears the floor": "trips people"}
    for check, phrase in told.items():
        found = [k for k, text in items if phrase in text]
        assert found == ["warning"], check
    # Warnings come before notes, whatever the order of the checks.
    assert items[-1][0] == "note"
    assert ("note", "note The top sits 2.3 cm higher than usual.") in items
    passed = sum(f.level == "pass" for f in pattern.findings)
    judged = sum(f.level != "note" for f in pattern.findings)
    assert f"Checks: {passed} of {judged} passed, {judged - passed} to look at" in words(part)


def test_nothing_to_question_is_said_when_all_pass() -> None:
    pattern, effects = drafted(ONE)
    # The gallery's people have not measured the halves of the crotch length, which is noted.
    passed = tuple(f for f in pattern.findings if f.level == "pass")
    assert {f.level for f in pattern.findings if f not in passed} == {"note"}
    pattern = replace(pattern, findings=passed)
    page = worksheet_html(worksheet_content(pattern, effects, fabric=laid(ONE)))
    part = words(section(parsed(page), "findings"))
    assert "Nothing to question" in part
    assert f"Checks: all {len(pattern.findings)} passed" in part


def test_a_finding_of_an_unknown_check_is_still_a_sentence_and_not_a_claim() -> None:
    f = at_most("tails are long", "left tail", 120.0, 100.0, "the tail is short", fails="warning")
    said = finding_words(f, "cm")
    assert said == (
        "Doubtful: tails are long, left tail. Wanted: the tail is short. "
        "It measures 12 cm against 10 cm."
    )


def test_estimates_come_with_their_spread_and_what_they_move() -> None:
    _, effects = drafted(ONE)
    listed = table(page_of(ONE), "estimates")
    assert len(listed) == len(effects) > 3
    for row, e in zip(listed, effects, strict=True):
        assert row[0].lower() == e.estimate.name.replace("_", " ")
        assert row[1:3] == [
            show_length(e.estimate.mm, "cm"),
            f"± {show_length(e.estimate.sd_mm, 'cm')}",
        ]
        if e.moves_mm >= 2.0:
            assert row[3] == f"{e.where} by {show_length(e.moves_mm, 'cm')}"


def test_cautions_are_there() -> None:
    told = words(section(page_of(ONE), "cautions"))
    for word in ("elastic", "cutters", "needles", "irons", "floor", "nightwear", "trial"):
        assert word in told


# --- the page -------------------------------------------------------------------------------------


def test_markup_in_names_is_text() -> None:
    pattern, effects = tight()
    html = worksheet_html(worksheet_content(pattern, effects))
    page = parsed(html)
    assert not list(page.iter("script"))
    assert not list(page.iter("b"))
    assert words(page.find(".//h1")) == "Tight <b>&amp; loud</b>"  # type: ignore[arg-type]
    told = words(section(page, "project"))
    assert "<script>alert('x')</script>" in told
    assert 'cloth "no. 1" & more' in told


def test_page_needs_nothing_from_outside() -> None:
    pattern, effects = drafted(ONE)
    html = worksheet_html(worksheet_content(pattern, effects))
    rest = html.replace('xmlns="http://www.w3.org/2000/svg"', "")
    for sign in ("http:", "https:", "src=", "href=", "url(", "@import", "<link", "<script"):
        assert sign not in rest, sign
    ids = [e.get("id") for e in parsed(html).iter() if e.get("id")]
    assert len(ids) == len(set(ids))


def test_same_input_same_bytes_in_another_process() -> None:
    program = (
        "import sys, pathlib, hashlib\n"
        "from outseam.cli.commands.common import read_answer\n"
        "from outseam.cli.worksheet.files import worksheet_files\n"
        "for d in worksheet_files(read_answer(pathlib.Path(sys.argv[1]))).values():\n"
        "    print(hashlib.sha256(d).hexdigest())\n"
    )
    import hashlib

    here = [hashlib.sha256(d).hexdigest() for d in worksheet_files(answer(INCHES)).values()]
    done = subprocess.run(
        [sys.executable, "-c", program, str(INCHES)],
        capture_output=True,
        text=True,
        check=True,
        env=os.environ | {"PYTHONHASHSEED": "7"},
        cwd=Path(__file__).parents[2],
    )
    assert done.stdout.split() == here


# --- the PDF --------------------------------------------------------------------------------------


@cache
def pdf_of(path: Path) -> bytes:
    return worksheet_files(answer(path))["worksheet.pdf"]


@pytest.mark.parametrize("path", [ONE, INCHES], ids=("cm", "in"))
def test_pdf_holds_every_word_of_the_page(path: Path) -> None:
    read = pypdf.PdfReader(io.BytesIO(pdf_of(path)))
    text = plain(" ".join(p.extract_text() for p in read.pages))
    letters = set(text.split())
    # The title of a picture is for those who cannot see it; it is not drawn.
    shown = [e for e in page_of(path).iter() if e.tag not in ("title", "style")]
    told = [t for e in shown for t in (e.text, e.tail) if t]
    assert len(told) > 200
    missing = set(" ".join(plain(t) for t in told).split()) - letters
    assert not missing
    assert f"page {len(read.pages)} of {len(read.pages)}" in text


def test_pdf_tells_markup_as_typed() -> None:
    data = worksheet_files(Answer(spec=tight()[0].spec))["worksheet.pdf"]
    text = pypdf.PdfReader(io.BytesIO(data)).pages[0].extract_text()
    assert "<script>alert('x')</script>" in text
    assert "Tight <b>&amp; loud</b>" in text


@pytest.mark.parametrize("path", [*GALLERY[::2], INCHES], ids=lambda p: p.stem)
def test_pages_are_of_home_paper_and_everything_lies_within_margins(path: Path) -> None:
    # Who sews in inches has letter paper: there the same drawing has less above and below.
    letter = path == INCHES
    size, above, below = ((612.0, 792.0), 5.0, 4.5) if letter else ((595.276, 841.890), 14.0, 12.0)
    with pdfplumber.open(io.BytesIO(pdf_of(path))) as pdf:
        assert 6 <= len(pdf.pages) <= 11
        for page in pdf.pages:
            assert (page.width, page.height) == pytest.approx(size, abs=0.01)
            mm = 72 / 25.4
            for thing in (*page.chars, *page.lines, *page.rects, *page.curves):
                assert thing["x0"] >= 15.0 * mm
                assert thing["x1"] <= page.width - 15.0 * mm
                assert thing["top"] >= above * mm
                assert thing["bottom"] <= page.height - below * mm


def test_the_font_is_embedded() -> None:
    pdf = pikepdf.open(io.BytesIO(pdf_of(ONE)))
    fonts = [
        o for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and o.get("/Type") == "/Font"
    ]
    described = [o for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and "/FontName" in o]
    assert fonts
    assert described
    assert all("/FontFile2" in o for o in described)
    assert {str(o.FontName).split("+")[1] for o in described} == {"DejaVuSans"}


# --- the layout -----------------------------------------------------------------------------------


def sheet_of(*blocks: object) -> Document:
    part = Section(key="x", title="Part", blocks=blocks)  # type: ignore[arg-type]
    return Document(title="Sheet", lead="lead", sections=(part,))


def texts_by_page(sheet: Document) -> list[list[str]]:
    return [
        [k.text for layer in p.layers for k in layer.items if isinstance(k, Label)]
        for p in pages_of(sheet)
    ]


def rows_table(count: int) -> Table:
    return Table(
        head=("name", "value"),
        rows=tuple((f"row {i}", f"{i} cm") for i in range(count)),
        shares=(0.5, 0.5),
        right=(1,),
    )


@pytest.mark.parametrize("before", [5, 20, 30, 36, 40, 44])
def test_a_table_that_fits_on_a_page_is_not_cut_in_two(before: int) -> None:
    filler = BulletList(items=tuple(f"point {i}" for i in range(before)))
    pages = texts_by_page(sheet_of(filler, rows_table(25)))
    holding = {n for n, page in enumerate(pages) for t in page if t.startswith("row ")}
    assert len(holding) == 1
    (page,) = holding
    assert "name" in pages[page]


def test_a_longer_table_goes_on_with_its_head_and_loses_no_row() -> None:
    pages = texts_by_page(sheet_of(rows_table(100)))
    found = [t for page in pages for t in page if t.startswith("row ")]
    assert found == [f"row {i}" for i in range(100)]
    for page in pages:
        count = sum(t.startswith("row ") for t in page)
        assert page.count("name") == 1
        assert count >= 3


@pytest.mark.parametrize("before", range(20, 50, 3))
def test_a_heading_and_the_words_above_a_table_stay_with_it(before: int) -> None:
    filler = Section(
        key="a",
        title="First",
        blocks=(BulletList(items=tuple(f"point {i}" for i in range(before))),),
    )
    part = Section(key="b", title="Second", blocks=(Paragraph(text="words above"), rows_table(12)))
    pages = texts_by_page(Document(title="Sheet", lead="lead", sections=(filler, part)))
    where = {
        t: n
        for n, page in enumerate(pages)
        for t in page
        if t in ("Second", "words above", "row 0")
    }
    assert len(set(where.values())) == 1


@pytest.mark.parametrize("path", GALLERY, ids=lambda p: p.stem)
def test_no_drawing_is_cut_in_two(path: Path) -> None:
    pattern, effects = drafted(path)
    sheet = worksheet_content(pattern, effects)
    pages = texts_by_page(sheet)
    drawings = [b for s in sheet.sections for b in s.blocks if isinstance(b, Drawing)]
    assert len(drawings) == 3
    for drawing in drawings:
        told = {
            k.text for layer in drawing.scene.layers for k in layer.items if isinstance(k, Label)
        }
        assert any(told <= set(page) for page in pages)


def test_numbers_are_not_torn_at_the_end_of_a_line() -> None:
    for width in np.linspace(18.0, 60.0, 60):
        for part in wrap_text(
            'cut it 37 5/8" long and 12.5 cm wide, ± 4 %, 3 × 4', 3.0, float(width)
        ):
            assert not re.search(r"(\d|±|×)$", part) or part.endswith("4"), part
            assert not re.match(r"\d/\d|cm|%|×", part), part
    assert " ".join(wrap_text("a b c", 3.0, 100.0)) == "a b c"


def test_a_number_too_wide_for_its_room_is_torn_and_not_cut() -> None:
    assert wrap_text("1042.9 mm", 2.8, 12.0) == ("1042.9", "mm")


@pytest.mark.parametrize("units", ["mm", "cm", "in"])
def test_no_number_is_cut_short(units: str) -> None:
    k = {"mm": 1.0, "cm": 0.1, "in": 1 / 25.4}[units]
    body = {"height": 1685, "waist": 1223, "hip": 1334, "inside_leg": 771}
    given = "\n".join(f"{key} = {mm * k:.3f}" for key, mm in body.items())
    spec = f'units = "{units}"\n[body]\n{given}\n[fabric]\nstretch_across = "100 %"\n'
    sheet = worksheet_content(draft_pattern(parse_spec(spec, "a test")), ())
    texts = [t for page in texts_by_page(sheet) for t in page]
    assert len(texts) > 150
    assert not [t for t in texts if "…" in t]


def test_long_words_and_blanks_keep_to_their_room() -> None:
    word = "W" * 120
    sheet = Document(
        title=word,
        lead=word,
        sections=(
            Section(
                key="x",
                title=word,
                blocks=(
                    Paragraph(text=word),
                    Notices(items=(("warning", word), ("note", word))),
                    Blanks(labels=(word, word)),
                    Table(head=(word, "b"), rows=((word, word),), shares=(0.2, 0.8), right=(0,)),
                ),
            ),
        ),
    )
    from outseam.cli.scene.extent import label_corners

    for page in pages_of(sheet):
        for layer in page.layers:
            for item in layer.items:
                if isinstance(item, Label):
                    corners = label_corners(item)
                    assert corners[:, 0].min() >= layout.MARGIN_MM - 0.01
                    assert corners[:, 0].max() <= 210.0 - layout.MARGIN_MM + 0.01


def test_labels_of_the_pictures_do_not_overlap() -> None:
    from outseam.cli.scene.extent import label_corners

    for path in GALLERY:
        sheet = worksheet_content(*drafted(path), fabric=laid(path))
        for section_ in sheet.sections:
            for block in section_.blocks:
                if isinstance(block, Drawing):
                    boxes = [
                        shapely.Polygon(label_corners(k)).buffer(-0.2)
                        for layer in block.scene.layers
                        for k in layer.items
                        if isinstance(k, Label)
                    ]
                    for i, a in enumerate(boxes):
                        assert not any(a.intersects(b) for b in boxes[i + 1 :]), path.stem


# --- the command ----------------------------------------------------------------------------------


def called(capsys: pytest.CaptureFixture[str], *arguments: str | Path) -> tuple[int, str, str]:
    with pytest.raises(SystemExit) as stopped:
        run([str(a) for a in arguments])
    out, err = capsys.readouterr()
    return int(stopped.value.code or 0), out, err


def test_command_writes_both_files(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "here"
    code, said, _ = called(capsys, "worksheet", ONE, "--out", out)
    assert code == 0
    assert sorted(p.name for p in out.iterdir()) == sorted(NAMES)
    assert all(name in said for name in NAMES)
    assert (out / "worksheet.pdf").read_bytes() == pdf_of(ONE)


def test_bad_input_is_one_sentence_and_leaves_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    spec, out = tmp_path / "bad.toml", tmp_path / "out"
    spec.write_text("[body]\nheight = 168\nwaist = 82\nhip = 10400\ninside_leg = 77\n")
    code, said, err = called(capsys, "worksheet", spec, "--out", out)
    assert code == 2
    assert not said
    assert err.count("\n") == 1
    assert "body.hip" in err
    assert not out.exists()


def test_a_place_that_cannot_be_written_is_left_as_it_was(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    (out / "worksheet.pdf").mkdir(parents=True)
    (out / "worksheet.html").write_text("before")
    code, _, err = called(capsys, "worksheet", ONE, "--out", out)
    assert code == 2
    assert err.count("\n") == 1
    assert (out / "worksheet.html").read_text() == "before"
    assert sorted(p.name for p in out.iterdir()) == sorted(NAMES)


def test_a_pattern_that_fails_is_reported_and_not_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    pattern, _ = drafted(ONE)
    wrong = at_most("seams match", "outseam", 9.0, 0.5, "the two sides are equal")
    failed = replace(pattern, findings=(*pattern.findings, wrong))
    monkeypatch.setattr(outseam.draft.answer, "draft_pattern", lambda spec: failed)
    out = tmp_path / "out"
    code, said, err = called(capsys, "worksheet", ONE, "--out", out)
    assert code == 1
    assert not said
    assert "nothing was written" in err
    assert not out.exists()


def test_seams_are_named_as_a_person_says_them() -> None:
    part = words(section(parsed(worksheet_html(worksheet_content(*drafted(ONE)))), "seams"))
    assert "Outseam from knee to hip" in part
    assert "Inseam from knee to crotch point" in part
    assert "Outseam, " not in part


def test_a_seam_with_a_pocket_is_named_by_it(measured: Body) -> None:
    def said(*alter: AlterationEntry, **style: Any) -> set[str]:
        fabric = Fabric(stretch_across=0.5, stretch_along=0.25)
        spec = Spec(body=measured, fabric=fabric, style=Style(**style), alter=alter)
        return {seam.says for seam in draft_pattern(spec).seams}

    plain = said(pocket=("scoop",), rise="high", belt="wide")
    assert plain >= {
        *("outseam from knee to hip", "outseam from hip to pocket", "outseam from pocket to top"),
        *("inseam from hem to knee", "waistband to front", "waistband to back"),
        *("waistband to pocket facing, left", "waistband to pocket facing, right", "pocket mouth"),
        *("both edges of the back waistband", "right side of the waistband"),
        *("belt in the left side", "belt along its length"),
    }
    higher = AlterationEntry(what="hip higher", amount=10.0, side="left")
    legs = said(higher, pocket=("scoop",), rise="high")
    assert legs >= {
        *("inseam from knee to crotch point, left leg", "outseam from pocket to top, right leg"),
        *("waistband to pocket facing, left leg", "waistband to pocket facing, right leg"),
    }
    assert "outseam from ankle opening to knee" in said(leg="close", fit="close", ankle="slit")


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_leg_that_ends_above_the_ankle_has_none_there(measured: Body, side: str) -> None:
    shorter = AlterationEntry(what="shorter below the knee", amount=97.0, side=side)
    body, style = replace(measured, waist_height=1035.0), Style(length="ankle")
    spec = Spec(body=body, fabric=Fabric(stretch_across=0.5), style=style, alter=(shorter,))
    pattern = draft_pattern(spec)
    assert pattern.legs is not None
    sizes = [finished(leg) for leg in pattern.legs]
    left, right = (one.get("ankle") for one in sizes)
    assert [left is None, right is None] == [side == "left", side == "right"]
    told = {cells[i]: cells[i + 1] for cells in _finished_cells(pattern) for i in (0, 3)}
    other = {"left": "right", "right": "left"}[side]
    assert told["Ankle"] == f"{show_length(left or right or 0.0, 'cm')} {other} only"
    inseams = [show_length(one["inseam"], "cm") for one in sizes]
    assert told["Inseam"] == f"{inseams[0]} left, {inseams[1]} right"
    console = Console(file=io.StringIO(), width=110)
    console.print(finished_table(pattern))
    lines = console.file.getvalue().splitlines()  # type: ignore[attr-defined]
    (ankle,) = (line.split("│") for line in lines if " ankle " in line)
    assert ankle[2 if side == "left" else 3].strip() == "none"


def _finished_cells(pattern: Pattern) -> tuple[tuple[str, ...], ...]:
    sheet = worksheet_content(pattern, ())
    (section,) = (s for s in sheet.sections if s.key == "finished")
    (table,) = section.blocks
    assert isinstance(table, Table)
    return table.rows
