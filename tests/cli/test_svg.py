"""Scene -> SVG: size, layers, the turned y axis, text, and numbers that must be refused."""

import io
import math
import re
from xml.etree import ElementTree

import cairosvg
import numpy as np
import pytest
from PIL import Image
from svgwrite.validator2 import get_validator

from outseam.cli.paper.tiles import tile_pdf
from outseam.cli.scene.scene import Label, Layer, Pen, Scene, Stroke
from outseam.cli.write.pdf import write_sheet_pdf
from outseam.cli.write.svg import write_svg_text
from outseam.curves.path import Path, cubic, line, polyline

SVG = "{http://www.w3.org/2000/svg}"
EDITOR = "{http://www.inkscape.org/namespaces/inkscape}"
PEN = Pen(width_mm=0.5)


def scene_of(*items, title="Sheet", name="lines", width=120.0, height=80.0):
    layer = Layer(name=name, items=tuple(items))
    return Scene(title=title, width_mm=width, height_mm=height, layers=(layer,))


def parsed(scene, **options):
    """Read a drawing; svgwrite judges every attribute but an editor's own by SVG 1.1."""
    root = ElementTree.fromstring(write_svg_text(scene, **options))
    judge = get_validator("full", debug=True)
    for element in root.iter():
        for name, value in element.attrib.items():
            if EDITOR not in name:
                judge.check_svg_attribute_value(element.tag.removeprefix(SVG), name, value)
    return root


def darkness(scene, scale=4.0):
    """Ink of each pixel, 0 to 1, drawn by cairosvg at `scale` pixels per mm."""
    png = cairosvg.svg2png(
        bytestring=write_svg_text(scene).encode(),
        output_width=round(scene.width_mm * scale),
        output_height=round(scene.height_mm * scale),
        background_color="white",
    )
    return 1 - np.asarray(Image.open(io.BytesIO(png)).convert("L")) / 255


def test_size_and_units_are_true():
    root = parsed(scene_of(Stroke(path=line((0, 0), (10, 10)), pen=PEN), width=1234.5, height=900))
    assert (root.get("width"), root.get("height")) == ("1234.5mm", "900mm")
    assert root.get("viewBox") == "0 0 1234.5 900"


def test_cairosvg_makes_a_page_of_the_sheets_size():
    # cairosvg 2.x as an outside reader of the size: points on its PDF page
    pdf = cairosvg.svg2pdf(bytestring=write_svg_text(scene_of(width=210, height=297)).encode())
    box = re.search(rb"MediaBox \[ ?([\d. ]+)\]", pdf)
    assert [float(v) for v in box[1].split()] == pytest.approx(
        [0, 0, 210 * 72 / 25.4, 297 * 72 / 25.4], abs=0.01
    )


def test_y_is_turned_over_once():
    root = parsed(scene_of(Stroke(path=line((10, 20), (30, 70)), pen=PEN)))
    assert root.find(f".//{SVG}path").get("d") == "M10,60L30,10"
    ink = darkness(scene_of(Stroke(path=polyline([(10, 70), (20, 70), (20, 60)]), pen=PEN)))
    rows, columns = np.nonzero(ink > 0.5)
    assert rows.max() < 22 * 4
    assert columns.max() < 21 * 4


def test_curves_lines_and_closed_paths_are_told_apart():
    triangle = polyline([(0, 0), (30, 0), (0, 30), (0, 0)])
    curve = cubic((0, 0), (1.23456789, 10), (20, 10), (30, 0))
    root = parsed(scene_of(Stroke(path=triangle, pen=PEN), Stroke(path=curve, pen=None)))
    closed, curved = (p.get("d") for p in root.iter(f"{SVG}path"))
    assert closed == "M0,80L30,80L0,50L0,80Z"
    assert curved == "M0,80C1.2346,70 20,70 30,80"


def test_layers_are_groups_an_editor_lists_and_hidden_ones_start_off():
    layers = tuple(Layer(name=n, items=()) for n in ("cut", "sew <&> \x01", "words"))
    scene = Scene(title="x", width_mm=10, height_mm=10, layers=layers)
    groups = parsed(scene, hidden_layers=["words"]).findall(f"{SVG}g")
    assert [g.get(f"{EDITOR}groupmode") for g in groups] == ["layer"] * 3
    assert [g.get(f"{EDITOR}label") for g in groups] == ["cut", "sew <&> �", "words"]
    assert [g.get("style") for g in groups] == [None, None, "display:none"]


def test_pens_and_fills():
    pen = Pen(width_mm=0.35, dash_mm=(3.0, 1.5), colour=0.5)
    path = parsed(scene_of(Stroke(path=line((0, 0), (9, 0)), pen=pen, fill=1.0))).find(
        f".//{SVG}path"
    )
    look = {k: path.get(k) for k in ("stroke", "stroke-width", "stroke-dasharray", "fill")}
    assert look == {
        "stroke": "#808080",
        "stroke-width": "0.35",
        "stroke-dasharray": "3,1.5",
        "fill": "#ffffff",
    }


@pytest.mark.parametrize("nasty", ["<b>&\"'</b>", "]]>", "a\x00\x08b\ufffe\ud800", "日本 ½"])
def test_text_is_escaped_and_cleaned(nasty):
    label = Label(text=nasty, at=(10, 20), size_mm=5)
    root = parsed(scene_of(label, title=nasty, name=nasty))
    shown = re.sub("[\x00\x08\ufffe\ud800]", "�", nasty)
    assert root.find(f".//{SVG}text").text == shown
    assert root.find(f"{SVG}title").text == shown


def test_label_is_turned_counter_clockwise_about_its_place():
    ink = darkness(
        scene_of(Label(text="Illll", at=(60, 40), size_mm=8, angle_deg=90, anchor="start"))
    )
    rows, columns = np.nonzero(ink > 0.5)
    assert rows.max() <= 40 * 4
    assert np.ptp(rows) > 1.2 * np.ptp(columns)
    assert columns.max() <= 61 * 4
    assert columns.min() >= 50 * 4


def test_label_sizes_are_millimetres():
    # the letter I of DejaVu Sans is 0.729 em high (from memory, the font's cap height)
    ink = darkness(scene_of(Label(text="I", at=(60, 40), size_mm=20)), scale=10)
    rows, _ = np.nonzero(ink > 0.5)
    assert (np.ptp(rows) + 1) / 10 == pytest.approx(0.729 * 20, abs=0.2)


def broken_path(value):
    cubics = np.zeros((1, 4, 2))
    cubics[0, 2, 1] = value
    return Path(cubics)


def broken_scenes():
    good = line((0, 0), (1, 1))
    for bad in (math.nan, math.inf, -math.inf):
        yield scene_of(Stroke(path=broken_path(bad), pen=PEN), name="cut")
        yield scene_of(Stroke(path=good, pen=Pen(width_mm=bad)), name="cut")
        yield scene_of(Stroke(path=good, pen=Pen(width_mm=1, dash_mm=(1, bad))), name="cut")
        yield scene_of(Stroke(path=good, pen=Pen(width_mm=1, colour=bad)), name="cut")
        yield scene_of(Stroke(path=good, pen=None, fill=bad), name="cut")
        yield scene_of(Label(text="x", at=(0, bad), size_mm=4), name="cut")
        yield scene_of(Label(text="x", at=(0, 0), size_mm=bad), name="cut")
        yield scene_of(Label(text="x", at=(0, 0), size_mm=4, angle_deg=bad), name="cut")
    yield scene_of(Stroke(path=good, pen=Pen(width_mm=1, dash_mm=(0.0, 0.0))), name="cut")
    yield scene_of(Stroke(path=good, pen=Pen(width_mm=-1)), name="cut")
    yield scene_of(Label(text="x", at=(0, 0), size_mm=0), name="cut")


@pytest.mark.parametrize("scene", list(broken_scenes()))
def test_every_writer_refuses_numbers_that_cannot_be_drawn_and_names_the_layer(scene):
    for write in (write_svg_text, lambda s: write_sheet_pdf([s]), lambda s: tile_pdf(s, "a4")):
        with pytest.raises(ValueError, match="'cut'"):
            write(scene)


@pytest.mark.parametrize("size", [math.nan, math.inf, 0.0, -5.0])
def test_every_writer_refuses_a_sheet_without_size(size):
    scene = Scene(title="x", width_mm=size, height_mm=10, layers=())
    for write in (write_svg_text, lambda s: write_sheet_pdf([s]), lambda s: tile_pdf(s, "a4")):
        with pytest.raises(ValueError, match="size"):
            write(scene)
