"""Variants side by side and laid on each other: true to scale, told apart, nothing off the page."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations, pairwise
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pypdf
import pytest
import shapely

import outseam.cli.paper.print_job
from outseam.cli.commands.compare import comparison_of, home_pages
from outseam.cli.compare.figures import (
    FigureRow,
    difference_text,
    notices_of,
    numbers_text,
    rows_of,
    value_text,
)
from outseam.cli.compare.files import compare_files
from outseam.cli.compare.frame import MARGIN_MM, PAGE_MM, scenes_of
from outseam.cli.compare.legs import legs_of
from outseam.cli.compare.overlay import _spread, overlay_pages
from outseam.cli.compare.side import label_lines, side_page
from outseam.cli.compare.table import table_pages
from outseam.cli.main import run
from outseam.cli.paper.tiles import TileOptions, tile_pdf
from outseam.cli.pattern.drawing import pattern_scene
from outseam.cli.scene.extent import label_corners, path_points
from outseam.cli.scene.line_styles import LINE_STYLES
from outseam.cli.scene.scene import Label, Pen, Scene
from outseam.cli.scene.text import text_width_mm
from outseam.curves.path import join
from outseam.curves.region import bounds
from outseam.draft.block.panels import Panel
from outseam.draft.figures.finished import finished
from outseam.draft.inputs.show import Units
from outseam.draft.model import Pattern
from outseam.draft.variants import Comparison

SPEC = (
    'title = "Trousers & <friends>"\nunits = "cm"\n[body]\nheight = 168\nwaist = 82\nhip = 104\n'
    "inside_leg = 77\ncrotch_length = 70\n"
)
KNIT = '[fabric]\nstretch_across = "50 %"\n'
WOVEN = '[fabric]\nkind = "woven"\n'
NAMES = {"compare.svg", "compare.pdf", "compare.html", "compare.json", "preview.png"}
GRID = ("rise=high,mid,-9 cm", "leg=straight,flare,close")


def write(path: Path, more: str = KNIT, base: str = SPEC) -> Path:
    path.write_text(base + more)
    return path


def called(capsys: pytest.CaptureFixture[str], *arguments: str | Path) -> tuple[int, str, str]:
    with pytest.raises(SystemExit) as stopped:
        run(["compare", *map(str, arguments)])
    out, err = capsys.readouterr()
    return int(stopped.value.code or 0), out, err


def compared(folder: Path, *vary: str, more: str = KNIT, base: str = SPEC) -> Comparison:
    return comparison_of([write(folder / "s.toml", more, base)], vary, None, None)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("compare")


@pytest.fixture(scope="module")
def grid(folder: Path) -> Comparison:
    return compared(folder, *GRID)


@pytest.fixture(scope="module")
def files(grid: Comparison) -> dict[str, bytes]:
    return compare_files(grid)


@pytest.fixture(scope="module")
def fits(folder: Path) -> Comparison:
    return compared(folder, "fit=close,easy,loose")


# --- reading the drawing back -------------------------------------------------------------------


@dataclass(frozen=True)
class Drawn:
    """A path of an SVG: where its segments end (n, 2), y up from the page's bottom, and its pen."""

    ends: np.ndarray
    width: float
    dash: str
    filled: bool

    @property
    def box(self) -> tuple[float, float, float, float]:
        return (*self.ends.min(axis=0).tolist(), *self.ends.max(axis=0).tolist())

    @property
    def level(self) -> bool:
        return self.box[1] == self.box[3]


def layer(svg: bytes, name: str) -> tuple[Drawn, ...]:
    label = "{http://www.inkscape.org/namespaces/inkscape}label"
    root = ElementTree.fromstring(svg)
    (group,) = [g for g in root if g.get(label) == name]
    high = float(str(root.get("viewBox")).split()[3])
    found = []
    for path in group.iter("{http://www.w3.org/2000/svg}path"):
        segments = re.findall(r"[MLC][^MLCZ]*", str(path.get("d")))
        xy = np.array([re.findall(r"-?[\d.]+", s)[-2:] for s in segments], dtype=float)
        found.append(
            Drawn(
                ends=xy * (1, -1) + (0, high),
                width=float(path.get("stroke-width", 0)),
                dash=path.get("stroke-dasharray", ""),
                filled=path.get("fill") not in (None, "none"),
            )
        )
    return tuple(found)


def drawn_with(drawn: tuple[Drawn, ...], pen: Pen) -> list[Drawn]:
    """What a pen drew but for its sample in the legend, which is one straight line."""
    dash = ",".join(f"{x:g}" for x in pen.dash_mm)
    return [
        d
        for d in drawn
        if d.width == pen.width_mm and d.dash == dash and not d.filled and len(d.ends) > 2
    ]


def ends_of(panel: Panel) -> np.ndarray:
    """Where the segments of a panel's outline end, from the top of the side round."""
    path = join([panel.outseam, panel.hem, panel.inseam, panel.crotch, panel.waist])
    return np.concatenate([path.cubics[:1, 0], path.cubics[:, 3]])


def outline(panel: Panel) -> tuple[float, float, float, float]:
    return bounds(join([panel.outseam, panel.hem, panel.inseam, panel.crotch, panel.waist]))


def patterns(comparison: Comparison) -> list[Pattern]:
    return [v.pattern for v in comparison.drafted if v.pattern is not None]


def test_all_legs_are_drawn_to_one_scale(files: dict[str, bytes], grid: Comparison) -> None:
    """Every corner of every leg lies where the block has it, the back leg mirrored."""
    scale = json.loads(files["compare.json"])["scales"]["side by side"]
    legs = [d for d in layer(files["compare.svg"], "side by side") if d.filled and d.width == 0.4]
    assert len(legs) == 2 * 9
    for pattern, front, back in zip(patterns(grid), legs[::2], legs[1::2], strict=True):
        for panel, drawn, flip in ((pattern.block.front, front, 1), (pattern.block.back, back, -1)):
            wanted = ends_of(panel) * (flip, 1)
            off = (drawn.ends - drawn.ends[0]) * scale - (wanted - wanted[0])
            assert np.abs(off).max() < 0.02


def test_hip_lines_are_as_long_as_the_figures_say(fits: Comparison) -> None:
    """The hip of a garment is twice both panels: the drawing agrees with the table, but for what
    the line crosses of the crotch curve, which goes between the legs.
    """
    found = compare_files(fits)
    scale = json.loads(found["compare.json"])["scales"]["side by side"]
    drawn = layer(found["compare.svg"], "side by side")
    levels = [d for d in drawn if d.width == 0.15 and d.level]
    # Of each variant the floor, then hip and knee of the front and of the back leg.
    assert len(levels) == 3 * 5
    hips = [figures["hip"] for figures in map(finished, patterns(fits))]
    for i, hip in enumerate(hips):
        front, back = levels[5 * i + 1], levels[5 * i + 3]
        wide = sum(d.box[2] - d.box[0] for d in (front, back))
        assert hip - 0.05 <= 2 * wide * scale <= hip + 20.0
    assert hips[2] / hips[0] > 1.1


def test_all_stand_on_one_floor(files: dict[str, bytes], grid: Comparison) -> None:
    """In a row the floor is level, and the hem's corner is as high over it as it will hang."""
    scale = json.loads(files["compare.json"])["scales"]["side by side"]
    drawn = layer(files["compare.svg"], "side by side")
    legs = [d for d in drawn if d.filled and d.width == 0.4]
    floors = [d.box[1] for d in drawn if d.width == 0.15 and d.level][::5]
    assert len(set(floors)) == 3
    for pattern, front, floor in zip(patterns(grid), legs[::2], floors, strict=True):
        block = pattern.block
        corner = front.ends[len(block.front.outseam)]
        height = block.front.outseam.end[1] + block.crotch_line_height_mm
        assert (corner[1] - floor) * scale == pytest.approx(height, abs=0.02)


def test_legs_are_laid_on_each_other_at_crotch_line_and_crease(fits: Comparison) -> None:
    """The first pen is seen whole; the last draws the widest legs, of which sides are seen."""
    found = compare_files(fits)
    scale = json.loads(found["compare.json"])["scales"]["overlay"]
    drawn = layer(found["compare.svg"], "overlay")
    rules = [d for d in drawn if d.width == 0.15]
    crotch_lines = [d for d in rules if d.level]
    creases = [d.box[0] for d in rules if not d.level]
    assert len(crotch_lines) == len(creases) == 2
    assert crotch_lines[0].box[1] == crotch_lines[1].box[1]
    middle = sum(creases) / 2
    for number, tolerance in ((1, 0.5), (3, 3.0)):
        block = patterns(fits)[number - 1].block
        bits = drawn_with(drawn, LINE_STYLES[number - 1])
        for panel, crease, flip in ((block.front, creases[0], 1), (block.back, creases[1], -1)):
            mine = [b.ends for b in bits if (b.ends[:, 0].mean() < middle) == (flip == 1)]
            points = np.concatenate(mine)
            x = flip * (points[:, 0] - crease) * scale + panel.crease_x
            y = (points[:, 1] - crotch_lines[0].box[1]) * scale
            got = (x.min(), y.min(), x.max(), y.max())
            assert got == pytest.approx(outline(panel), abs=tolerance)
    assert outline(patterns(fits)[2].block.front)[0] < outline(patterns(fits)[0].block.front)[0] - 9


def test_where_lines_run_together_one_is_drawn(folder: Path) -> None:
    """Only the rise differs: below the lowest top nothing is seen of the later variants."""
    found = compare_files(compared(folder, "rise=0,-3,-6"))
    drawn = layer(found["compare.svg"], "overlay")
    level = next(d for d in drawn if d.width == 0.15 and d.level).box[1]
    for pen in LINE_STYLES[1:3]:
        bits = drawn_with(drawn, pen)
        assert len(bits) == 2, "one waist edge on the front, one on the back"
        assert all(d.box[1] > level for d in bits)
    assert min(d.box[1] for d in drawn_with(drawn, LINE_STYLES[0])) < level


def test_lines_nearer_than_the_eye_tells_are_one(folder: Path) -> None:
    """A quarter of a millimetre on paper is no second line; a whole one is."""
    data = {}
    for far in (44.6, 48.0):
        found = compare_files(compared(folder, f"hem_width=44,{far}", "length=full"))
        drawn = layer(found["compare.svg"], "overlay")
        data[far] = sum(np.ptp(d.ends[:, 1]) > 20 for d in drawn_with(drawn, LINE_STYLES[1]))
    assert data == {44.6: 0, 48.0: 4}


def test_enlarged_tops_end_below_the_crotch(fits: Comparison) -> None:
    whole, tops = overlay_pages(fits, legs_of(fits))
    assert tops.scale < whole.scale


# --- pens, words, pages -------------------------------------------------------------------------


def test_pens_are_told_apart_without_colour() -> None:
    assert len(LINE_STYLES) == 12
    for a, b in combinations(LINE_STYLES, 2):
        assert a.colour == b.colour == 0.0
        if len(a.dash_mm) == len(b.dash_mm):
            rhythm = [abs(x - y) / max(x, y) for x, y in zip(a.dash_mm, b.dash_mm, strict=True)]
            heavier = max(a.width_mm, b.width_mm) / min(a.width_mm, b.width_mm)
            assert heavier >= 1.7 or max(rhythm, default=0.0) >= 0.3, (a, b)
    for pen in LINE_STYLES:
        assert 0.2 <= pen.width_mm <= 0.7
        assert sum(pen.dash_mm) <= 16.0, "a sample of 25 mm shows the pattern at least once"


def scenes(comparison: Comparison) -> tuple[Scene, ...]:
    legs = legs_of(comparison)
    return scenes_of(
        comparison.title,
        comparison.units,
        [
            side_page(comparison, legs),
            *overlay_pages(comparison, legs),
            *table_pages(comparison, rows_of(comparison)),
        ],
    )


LONG = 'title = "' + "An endless name for pants " * 4 + '"\n'
INCHES = "[body]\nheight = 66\nwaist = 33\nhip = 41\ninside_leg = 30.5\n"

HARD = {
    "grid of nine": (GRID, SPEC + KNIT),
    "twelve": (("rise=high,mid,low,+2,-3,-7 cm", "fit=close,loose"), SPEC + KNIT),
    "two": (("rise=high,low",), SPEC + KNIT),
    "long words, inches, refusals": (
        ("hem_width=8,9 1/2,17 1/2 in,20", "fit=close,easy,loose"),
        LONG + 'units = "in"\n' + INCHES + WOVEN,
    ),
    "under the floor": (("inseam=50,110",), SPEC + KNIT),
    "wide and long": (("leg=palazzo,slim,flare", "length=full,capri,knee"), SPEC + WOVEN),
}


@pytest.mark.parametrize("name", HARD)
def test_nothing_leaves_the_page(name: str, folder: Path) -> None:
    vary, text = HARD[name]
    comparison = compared(folder, *vary, more="", base=text)
    for scene in scenes(comparison):
        assert (scene.width_mm, scene.height_mm) == PAGE_MM
        for item in scene.layers[0].items:
            points = label_corners(item) if isinstance(item, Label) else path_points([item.path])[0]
            (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
            what = item.text if isinstance(item, Label) else item
            assert x0 >= MARGIN_MM - 0.5, what
            assert x1 <= PAGE_MM[0] - MARGIN_MM + 0.5, what
            assert y0 >= MARGIN_MM - 1.0, what
            assert y1 <= PAGE_MM[1] - MARGIN_MM + 0.5, what


@pytest.mark.parametrize("name", HARD)
def test_no_word_stands_on_another(name: str, folder: Path) -> None:
    vary, text = HARD[name]
    comparison = compared(folder, *vary, more="", base=text)
    for scene in scenes(comparison):
        labels = [i for i in scene.layers[0].items if isinstance(i, Label)]
        assert all(label.size_mm >= 2.0 for label in labels)
        boxes = [shapely.Polygon(label_corners(label)).buffer(-0.5) for label in labels]
        for (a, one), (b, two) in combinations(zip(labels, boxes, strict=True), 2):
            assert not one.intersects(two), (scene.title, a.text, b.text)


def test_the_last_figure_of_a_table_is_not_alone_on_a_page(fits: Comparison) -> None:
    row = rows_of(fits)[0]
    name = "figure number"
    parted = set()
    for count in range(24, 40):
        rows = [replace(row, name=f"{name} {n}") for n in range(count)]
        pages = [p for p in table_pages(fits, rows) if p.heading.startswith("figures")]
        on_each = [
            sum(isinstance(i, Label) and i.text.startswith(name) for i in p.items) for p in pages
        ]
        assert sum(on_each) == count
        assert min(on_each) > 1, on_each
        parted.add(len(on_each))
    assert len(parted) > 1, "no table in the range is just too long for its page"


def test_pages_are_a4_across_and_tell_their_scale(files: dict[str, bytes]) -> None:
    pdf = pypdf.PdfReader(io.BytesIO(files["compare.pdf"]))
    scales = json.loads(files["compare.json"])["scales"]
    for page in pdf.pages:
        assert float(page.mediabox.width) == pytest.approx(297 / 25.4 * 72, abs=0.01)
        assert float(page.mediabox.height) == pytest.approx(210 / 25.4 * 72, abs=0.01)
    for page, scale in zip(pdf.pages, scales.values(), strict=False):
        assert f"1 : {scale}" in page.extract_text()
    assert f"page 1 of {len(pdf.pages)}" in pdf.pages[0].extract_text()


def test_the_bar_is_as_long_as_it_says(fits: Comparison) -> None:
    for page in [side_page(fits, legs_of(fits)), *overlay_pages(fits, legs_of(fits))]:
        for units, unit_mm in (("cm", 10.0), ("in", 25.4)):
            (scene,) = scenes_of("x", units, [page])  # type: ignore[arg-type]
            items = scene.layers[0].items
            boxes = [
                path_points([i.path])[0]
                for i in items
                if not isinstance(i, Label) and i.pen and i.pen.width_mm == 0.2 and i.fill in (0, 1)
            ]
            points = np.concatenate(boxes)
            (told,) = [
                i.text
                for i in items
                if isinstance(i, Label) and re.fullmatch(r"\d+ (cm|in)", i.text)
            ]
            number, unit = told.split()
            assert unit == units
            assert np.ptp(points[:, 0]) * page.scale == pytest.approx(float(number) * unit_mm)


def test_labels_break_where_they_are_read() -> None:
    label = "hem width 17 1/2 in, fit loose"
    wide = text_width_mm(label, 4.0)
    assert label_lines(label, 4.0, wide + 0.1) == (label,)
    assert label_lines(label, 4.0, wide - 0.1) == ("hem width 17 1/2 in,", "fit loose")
    assert label_lines(label, 4.0, 30.0) == ("hem width", "17 1/2 in,", "fit loose")


def test_numbers_beside_ends_keep_apart_and_in_order() -> None:
    found = _spread([0.0, 0.1, 0.2, 10.0, 10.1], [2.0] * 5)
    assert all(b - a >= 2.0 - 1e-9 for a, b in pairwise(found))
    assert found[1] == pytest.approx(0.1)
    assert found[3] + found[4] == pytest.approx(20.1)
    assert _spread([0.0, 5.0], [2.0, 2.0]) == [0.0, 5.0]


# --- figures ------------------------------------------------------------------------------------


def row_of(comparison: Comparison, key: str, group: str = "Finished measurements") -> FigureRow:
    (row,) = [r for r in rows_of(comparison) if r.key == key and r.group == group]
    return row


def test_a_rise_is_taken_off_the_outseam(folder: Path) -> None:
    """Only the top moves with the rise, along the seams: by as much as was asked for."""
    found = compared(folder, "rise=0,-3 cm,+2.5 cm")
    for key in ("outseam", "front_rise", "back_rise"):
        row = row_of(found, key)
        assert [difference_text(row, i, 0, "cm") for i in range(3)] == ["", "-3", "+2.5"]
    row = row_of(found, "hem")
    assert [difference_text(row, i, 0, "cm") for i in range(3)] == ["", "=", "="]
    top = row_of(found, "side", "Finished top against the waist tape")
    assert [value_text(top, i, "cm") for i in range(3)] == ["0 cm", "-3 cm", "+2.5 cm"]


@pytest.mark.parametrize(
    ("kind", "value", "first", "units", "shown", "off"),
    [
        ("length", 1043.0, 1022.0, "cm", "104.3 cm", "+2.1"),
        ("length", 1022.0, 1043.0, "mm", "1022 mm", "-21"),
        ("length", 444.5, 419.1, "in", '17 1/2"', "+1"),
        ("length", 444.5, 454.0, "in", '17 1/2"', "-3/8"),
        ("length", 1000.4, 1000.0, "cm", "100 cm", "="),
        ("signed", -30.0, 20.0, "cm", "-3 cm", "-5"),
        ("signed", 0.2, 20.0, "cm", "0 cm", "-2"),
        ("strain", 0.093, -0.05, "cm", "9 %", "+9"),
        ("strain", -0.2, 0.04, "cm", "not", "-4"),
        ("count", 14.0, 12.0, "cm", "14", "+2"),
        ("count", 14.0, 14.0, "cm", "14", "="),
        ("length", None, 10.0, "cm", "–", ""),
    ],
)
def test_figures_and_differences_as_shown(
    kind: str, value: float | None, first: float, units: Units, shown: str, off: str
) -> None:
    row = FigureRow(group="", key="", name="", kind=kind, values=(first, value))  # type: ignore[arg-type]
    assert value_text(row, 1, units) == shown
    assert difference_text(row, 1, 0, units) == off
    assert difference_text(row, 0, 0, units) == ""


def test_a_reader_who_subtracts_gets_the_difference(grid: Comparison) -> None:
    checked = 0
    for row in rows_of(grid):
        if row.kind not in ("length", "signed"):
            continue
        shown = [float(value_text(row, i, "cm").removesuffix(" cm")) for i in range(9)]
        for i in range(1, 9):
            off = difference_text(row, i, 0, "cm")
            assert (0.0 if off == "=" else float(off)) == pytest.approx(shown[i] - shown[0])
            checked += off != "="
    assert checked > 40


def test_what_strains_too_much_is_marked_and_said(folder: Path) -> None:
    more = '[fabric]\nstretch_across = "20 %"\n'
    found = compared(folder, "knee_width=32,50", more=more, base=SPEC + "knee = 40\n")
    limit = patterns(found)[0].block.ease.wear_strain
    marks = {
        row.key: [value_text(row, i, "cm").endswith("!") for i in range(2)]
        for row in rows_of(found)
        if row.group == "Stretched in wear"
    }
    for row in rows_of(found):
        if row.group == "Stretched in wear" and row.key != "limit":
            assert marks[row.key] == [v is not None and v > limit + 0.002 for v in row.values]
    said = [n for n in notices_of(found) if n.level == "warning" and "stretched" in n.text]
    marked = {key for key, (first, _) in marks.items() if first}
    assert marked
    # A stretch of heights over the limit is told once, by its worst place.
    assert any(1 in n.numbers for n in said)
    assert not any(2 in n.numbers for n in said)


def test_what_all_warn_of_is_said_once(folder: Path) -> None:
    found = compared(folder, "hem_width=20,22,60", "rise=high,low", more=WOVEN)
    hems = [n for n in notices_of(found) if "heel and instep" in n.text]
    assert [n.numbers for n in hems] == [(1, 2, 4, 5)]
    assert "opens to 20 cm" in hems[0].text


def test_numbers_in_words() -> None:
    assert numbers_text([1, 2, 3, 5, 7, 8]) == "1–3, 5, 7, 8"
    assert numbers_text([4]) == "4"


def test_home_pages_are_those_that_are_printed(
    grid: Comparison, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Counted without drawing them; arranging is left out here, as it takes seconds."""
    pattern = patterns(grid)[0]
    scene = pattern_scene(pattern)
    monkeypatch.setattr(outseam.cli.paper.print_job, "home_scene", lambda _: scene)
    options = TileOptions(overlap_mm=pattern.spec.print.overlap)
    assert home_pages(pattern) == tile_pdf(scene, "a4", options).pages


# --- files and the command ----------------------------------------------------------------------


def texts(html: bytes, path: str) -> list[str]:
    root = ElementTree.fromstring(html)
    return ["".join(e.itertext()).strip() for e in root.iterfind(path)]


def test_html_is_well_formed_and_needs_nothing(files: dict[str, bytes], grid: Comparison) -> None:
    html = files["compare.html"]
    text = html.decode()
    assert "http" not in text
    assert not re.search(r"<(script|link|img|iframe|object)\b|url\(|@import|\b(src|href)=", text)
    root = ElementTree.fromstring(html)
    assert root.get("lang") == "en"
    pictures = list(root.iter("svg"))
    assert len(pictures) == 3
    for picture in pictures:
        assert picture.get("role") == "img"
        assert picture.findtext("title")
    ids = [e.get("id") for e in root.iter() if e.get("id")]
    assert len(set(ids)) == len(ids)
    columns = root.findall(".//thead/tr/th[@scope='col']")
    assert len(columns) == 1 + len(grid.variants)
    assert root.find(".//table/caption") is not None
    rows = root.findall(".//tbody/tr")
    assert all(tr.find("th") is not None for tr in rows)
    assert {len(tr.findall("td")) for tr in rows if tr.find("th[@scope='row']") is not None} == {9}
    assert "Trousers & <friends>" in texts(html, ".//h1")


def test_the_drawing_has_no_style_sheet(files: dict[str, bytes]) -> None:
    text = files["compare.svg"].decode()
    assert "<style" not in text
    assert "style=" not in text
    assert "class=" not in text


def test_figures_are_the_same_everywhere(files: dict[str, bytes], grid: Comparison) -> None:
    data = json.loads(files["compare.json"])
    cells = dict(
        zip(
            texts(files["compare.html"], ".//tbody/tr/th[@scope='row']"),
            ElementTree.fromstring(files["compare.html"]).findall(
                ".//tbody/tr/th[@scope='row']/.."
            ),
            strict=True,
        )
    )
    own = next(i for i, v in enumerate(grid.variants) if v.as_written)
    for i, pattern in enumerate(patterns(grid)):
        sizes = finished(pattern)
        told = data["variants"][i]
        assert told["finished_mm"]["outseam"] == pytest.approx(sizes["outseam"], abs=1e-3)
        first = finished(patterns(grid)[own])["outseam"]
        assert told["difference_mm"]["outseam"] == pytest.approx(sizes["outseam"] - first, abs=1e-3)
        shown = (cells["outseam"].findall("td/span")[i].text or "").split(" cm")[0]
        assert float(shown) == pytest.approx(sizes["outseam"] / 10, abs=0.051)
    assert data["differences_from"] == own + 1
    assert [v["status"] for v in data["variants"]] == ["drafted"] * 9


def test_same_input_same_bytes(files: dict[str, bytes], folder: Path) -> None:
    assert compare_files(compared(folder, *GRID)) == files


def test_a_grid_of_nine_as_typed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    spec = write(tmp_path / "s.toml")
    out = tmp_path / "out"
    code, said, err = called(capsys, spec, "--vary", GRID[0], "--vary", GRID[1], "--out", out)
    assert (code, err) == (0, "")
    assert {p.name for p in out.iterdir()} == NAMES
    assert "leg close" in said
    assert "outseam" in said
    data = json.loads((out / "compare.json").read_text())
    assert data["columns"] == 3
    assert data["variants"][8]["style"]["leg"] == "close"
    assert data["variants"][8]["top_above_waist_tape_mm"]["side_mm"] == -90


def test_the_demo_serves_without_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, said, _ = called(capsys, "--vary", "rise=low", "--out", tmp_path / "out")
    assert code == 0
    assert "as in the file" in said


def test_several_files_and_one_that_is_not_there(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    other = tmp_path / "other"
    other.mkdir()
    specs = [
        write(tmp_path / "pants.toml"),
        tmp_path / "gone.toml",
        write(other / "pants.toml", KNIT + '[style]\nleg = "palazzo"\n'),
    ]
    code, said, _ = called(capsys, *specs, "--out", tmp_path / "out")
    assert code == 0
    data = json.loads((tmp_path / "out" / "compare.json").read_text())
    assert [v["status"] for v in data["variants"]] == ["drafted", "refused", "drafted"]
    assert "no such file" in data["variants"][1]["says"]
    assert "no such file" in said
    assert [v["label"] for v in data["variants"]] == [
        (tmp_path / "pants").as_posix(), "gone", (other / "pants").as_posix(),
    ]  # fmt: skip
    changes = [c["key"] for c in data["variants"][2]["changes"]]
    assert changes == ["style.leg"]


def test_before_and_after_say_what_changed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = write(tmp_path / "old.toml", KNIT + "[style]\nrise = -5\n")
    after = write(tmp_path / "new.toml", KNIT + "[style]\nrise = -7\nhem_width = 50\n")
    out = tmp_path / "out"
    code, said, _ = called(capsys, "--before", before, "--after", after, "--out", out)
    assert code == 0
    assert "style.rise: -5 cm → -7 cm" in " ".join(said.split())
    html = (out / "compare.html").read_text()
    assert "style.hem_width: as the leg shape has it → 50 cm" in html
    pdf = pypdf.PdfReader(out / "compare.pdf")
    assert "style.rise: -5 cm → -7 cm" in pdf.pages[1].extract_text()
    data = json.loads((out / "compare.json").read_text())
    assert [c["key"] for c in data["variants"][1]["changes"]] == ["style.hem_width", "style.rise"]
    off = data["variants"][1]["difference_mm"]
    assert off["front_rise"] + off["back_rise"] == pytest.approx(-40, abs=0.1)
    assert off["hem"] == pytest.approx(500 - data["variants"][0]["finished_mm"]["hem"], abs=0.5)


def test_a_refused_variant_is_shown_with_its_reason(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    spec = write(tmp_path / "s.toml", WOVEN)
    out = tmp_path / "out"
    code, said, _ = called(capsys, spec, "--vary", "fit=close,easy,loose", "--out", out)
    assert code == 0
    assert "CANNOT BE HAD" in said
    svg = " ".join(ElementTree.fromstring((out / "compare.svg").read_bytes()).itertext())
    assert "Cannot be had" in svg
    assert "stretches 0 %" in svg
    pdf = pypdf.PdfReader(out / "compare.pdf")
    assert "CANNOT BE HAD" in "".join(page.extract_text() for page in pdf.pages)
    html = (out / "compare.html").read_text()
    assert "1 more cannot be had" in html
    data = json.loads((out / "compare.json").read_text())
    assert [v["status"] for v in data["variants"]] == ["refused", "drafted", "drafted"]
    assert data["differences_from"] == 2
    assert "pen" not in data["variants"][0]


def test_all_refused_writes_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    spec = write(tmp_path / "s.toml", WOVEN + '[style]\nfit = "close"\n')
    out = tmp_path / "out"
    code, said, err = called(capsys, spec, "--vary", "leg=slim,flare", "--out", out)
    assert code == 2
    assert said == ""
    assert err.startswith("1–3: style.fit")
    assert "nothing was written" in err
    assert not out.exists()


def bad() -> Iterator[tuple[tuple[str, ...], tuple[str, ...]]]:
    yield (), ("nothing to compare", "--vary rise=")
    yield ("S",), ("nothing to compare",)
    yield ("S", "S", "--vary", "rise=low"), ("--vary with 2 files",)
    yield ("--before", "S"), ("only --before",)
    yield ("--after", "S"), ("only --after",)
    yield ("S", "--before", "S", "--after", "S"), ("other files",)
    yield ("--before", "S", "--after", "S", "--vary", "rise=low"), ("--vary", "alone")
    yield ("S", "--vary", "rise=lo"), ("--vary rise", "did you mean", '"low"')
    yield ("S", "--vary", "risse=low"), ("did you mean", '"rise"')
    yield ("gone.toml", "--vary", "rise=low"), ("no such file",)
    yield ("S", "--vary", "hem_width=1000"), ("--vary hem_width", "1000")


@pytest.mark.parametrize(("arguments", "words"), list(bad()))
def test_bad_input_is_one_sentence(
    arguments: tuple[str, ...],
    words: tuple[str, ...],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    spec = write(tmp_path / "s.toml")
    out = tmp_path / "out"
    typed = [str(spec) if a == "S" else a for a in arguments]
    code, said, err = called(capsys, *typed, "--out", out)
    assert (code, said) == (2, "")
    assert err.startswith("outseam: ")
    assert err.count("\n") == 1
    for word in words:
        assert word in err
    assert not out.exists()


def test_nothing_is_half_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    spec = write(tmp_path / "s.toml")
    out = tmp_path / "out"
    (out / "compare.pdf").mkdir(parents=True)
    (out / "compare.svg").write_text("earlier")
    code, _, err = called(capsys, spec, "--vary", "rise=high,low", "--out", out)
    assert code == 2
    assert "not written" in err
    assert (out / "compare.svg").read_text() == "earlier"
    assert sorted(p.name for p in out.iterdir()) == ["compare.pdf", "compare.svg"]
