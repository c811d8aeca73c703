"""The projector's page: one page, true size, layers that readers switch, crosses 10 cm apart."""

import io
from collections import Counter

import numpy as np
import pdfplumber
import pikepdf
import pypdf
import pypdfium2
import pytest
import shapely

from outseam.cli.paper.print_job import PrintJob
from outseam.cli.paper.projector import HIDDEN, projector_page, projector_scenes
from outseam.cli.paper.whole_pages import TooLargeError
from outseam.cli.pattern.drawing import pieces_to_print
from outseam.cli.scene.extent import label_corners
from outseam.cli.scene.scene import Label, Stroke
from outseam.curves.path import join

MM = 25.4 / 72


@pytest.fixture(scope="module")
def pattern(make_pattern):
    return make_pattern(leg="bootcut", pocket="patch", belt="wide")


@pytest.fixture(scope="module")
def printed(pattern):
    return projector_page(PrintJob(pattern=pattern))


def test_crosses_of_an_inch_file_are_four_inches_apart(make_pattern):
    (scene,) = projector_scenes(make_pattern(units="in"), "x")
    (grid,) = [layer.items for layer in scene.layers if layer.name == "grid"]
    middles = {
        tuple(np.round(np.mean([i.path.start, i.path.end], axis=0), 3))
        for i in grid
        if isinstance(i, Stroke)
    }
    for column in (0, 1):
        places = sorted({m[column] for m in middles})
        assert np.diff(places) == pytest.approx(101.6, abs=0.01)
        assert places[0] == pytest.approx(50.8)
    assert [scene.width_mm % 101.6, scene.height_mm % 101.6] == pytest.approx([0.0, 0.0], abs=0.01)
    (says,) = [i.text for i in grid if isinstance(i, Label)]
    assert says.startswith("4 in from cross to cross")


@pytest.fixture(scope="module")
def boxes(printed):
    """The box of every path that pdfplumber finds, mm: left, bottom, right, top."""
    with pdfplumber.open(io.BytesIO(printed.data)) as pdf:
        page = pdf.pages[0]
        found = [*page.lines, *page.curves, *page.rects]
        return MM * np.array([[o["x0"], o["y0"], o["x1"], o["y1"]] for o in found])


def test_it_is_one_page_with_its_layers_and_two_of_them_off(printed):
    assert printed.pages == {"pages": 1}
    with pikepdf.open(io.BytesIO(printed.data)) as pdf:
        assert len(pdf.pages) == 1
        groups = pdf.Root.OCProperties
        names = [str(g.Name) for g in groups.OCGs]
        assert {"grid", "cut", "sew", "notches", "lines", "words", "names"} <= set(names)
        assert {str(g.Name) for g in groups.D.OFF} == set(HIDDEN)
    page = pypdf.PdfReader(io.BytesIO(printed.data)).pages[0]
    sides = [float(page.mediabox.width) * MM, float(page.mediabox.height) * MM]
    assert sides == pytest.approx([round(s, -2) for s in sides], abs=0.01)  # whole crosses
    assert page.rotation == 0
    assert page.user_unit == 1


def test_crosses_measure_ten_centimetres_both_ways(boxes):
    size = boxes[:, 2:] - boxes[:, :2]
    middle = (boxes[:, :2] + boxes[:, 2:]) / 2
    # The arms of crosses are 24 mm long.
    level = middle[(abs(size[:, 0] - 24.0) < 0.01) & (size[:, 1] < 0.01)]
    steep = middle[(abs(size[:, 1] - 24.0) < 0.01) & (size[:, 0] < 0.01)]
    for arms in (level, steep):
        columns, rows = (np.unique(arms[:, k].round(2)) for k in (0, 1))
        assert len(arms) == len(columns) * len(rows) > 60
        for steps in (np.diff(columns), np.diff(rows)):
            assert steps == pytest.approx(np.full(len(steps), 100.0), abs=0.1)


def test_the_pieces_lie_on_it_in_full_size(pattern, boxes):
    for piece in pieces_to_print(pattern):
        # The reader's boxes go round the ends of a curve's segments.
        wanted = np.ptp(join(list(piece.cut)).cubics[:, [0, 3]].reshape(-1, 2), axis=0)
        off = np.abs(boxes[:, 2:] - boxes[:, :2] - wanted).max(axis=1)
        assert off.min() < 0.1
        # Negative control: no line of the page passes for the piece at 99.5 %.
        off = np.abs((boxes[:, 2:] - boxes[:, :2]) * 0.995 - wanted).max(axis=1)
        assert off.min() > 0.1


def ink(data):
    document = pypdfium2.PdfDocument(data)
    try:
        bitmap = document[0].render(scale=0.5, grayscale=True)
        return 1.0 - bitmap.to_numpy().squeeze() / 255.0
    finally:
        document.close()


def switched(data, off):
    """The file with other layers off."""
    with pikepdf.open(io.BytesIO(data)) as pdf:
        groups = pdf.Root.OCProperties
        groups.D.OFF = pikepdf.Array([g for g in groups.OCGs if str(g.Name) in off])
        out = io.BytesIO()
        pdf.save(out)
        return out.getvalue()


def test_pdfium_shows_what_is_switched_on_and_nothing_else(printed):
    as_it_is, everything = ink(printed.data), ink(switched(printed.data, ()))
    assert everything.sum() > 1.02 * as_it_is.sum()
    assert (everything - as_it_is).min() > -0.02  # switching on takes nothing away
    with pikepdf.open(io.BytesIO(printed.data)) as pdf:
        names = {str(g.Name) for g in pdf.Root.OCProperties.OCGs}
    assert ink(switched(printed.data, names)).max() == 0.0
    only_cut = ink(switched(printed.data, names - {"cut"}))
    assert 0.1 * as_it_is.sum() < only_cut.sum() < as_it_is.sum()


def test_lines_are_several_times_as_heavy_as_on_paper(pattern):
    (scene,) = projector_scenes(pattern, "x")
    (cut,) = [layer for layer in scene.layers if layer.name == "cut"]
    assert {i.pen.width_mm for i in cut.items} == {2.8}
    pens = [i.pen.width_mm for i in scene.items if isinstance(i, Stroke)]
    assert min(pens) >= 1.0


def test_names_are_large_and_clear_of_lines(make_pattern):
    pattern = make_pattern(leg="straight")
    (scene,) = projector_scenes(pattern, "x")
    layers = {layer.name: layer.items for layer in scene.layers}
    titles = [i for i in layers["names"] if isinstance(i, Label)]
    assert Counter(t.text for t in titles)["Front leg"] == 1
    assert min(t.size_mm for t in titles) >= 6.0
    (front,) = [t for t in titles if t.text == "Front leg"]
    assert front.size_mm >= 13.0
    word = shapely.Polygon(label_corners(front))
    drawn = [
        shapely.LineString(i.path.cubics[:, [0, 3]].reshape(-1, 2))
        for name in ("grid", "cut", "lines")
        for i in layers[name]
        if isinstance(i, Stroke)
    ]
    assert not any(word.intersects(one) for one in drawn)


def test_what_a_file_cannot_hold_on_one_page_goes_on_another(pattern):
    """5,080 mm is the longest page; a smaller limit shows what happens beyond it."""
    scenes = projector_scenes(pattern, "x", limit_mm=1400.0)
    assert len(scenes) > 1
    assert all(max(s.width_mm, s.height_mm) <= 1400.0 for s in scenes)
    cuts = [i for s in scenes for y in s.layers if y.name == "cut" for i in y.items]
    assert len(cuts) == len(pattern.pieces)
    with pytest.raises(TooLargeError, match="front leg"):
        projector_scenes(pattern, "x", limit_mm=500.0)
