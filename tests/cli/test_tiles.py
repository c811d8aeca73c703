"""Home pages: which are printed, what stands on them, and what is refused."""

import io
import itertools
import math
import re
from dataclasses import replace

import numpy as np
import pikepdf
import pytest
import shapely
from shapely import affinity

from outseam.cli.paper.first_page import FirstPage, first_page_items
from outseam.cli.paper.free_space import occupancy_of
from outseam.cli.paper.furniture import FURNITURE_MM, Joint, TilePage, tile_items
from outseam.cli.paper.grid import TileGrid, grid_for_sheet, needed_cells, scene_shapes
from outseam.cli.paper.tiles import PAPERS, TileOptions, _tile_pages, check_options, tile_pdf
from outseam.cli.scene.extent import label_corners
from outseam.cli.scene.scene import Label, Layer, Pen, Scene, Stroke
from outseam.curves.path import line, polyline
from outseam.draft.inputs.errors import InputError

PEN = Pen(width_mm=0.5)


def scene_of(*items, width, height, title="Sheet"):
    layer = Layer(name="lines", items=tuple(items))
    return Scene(title=title, width_mm=width, height_mm=height, layers=(layer,))


def box(x0, y0, x1, y1):
    return Stroke(path=polyline([(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)]), pen=PEN)


def grid(columns=3, rows=2, overlap=10.0):
    return TileGrid(
        columns=columns, rows=rows, window_w_mm=190, window_h_mm=254, overlap_mm=overlap
    )


def needed(g, *items):
    scene = scene_of(*items, width=g.width_mm, height=g.height_mm)
    shapes = scene_shapes(scene)
    return set(needed_cells(g, shapes.all, shapes.half_pen_mm))


def test_grid_is_the_smallest_that_covers():
    assert (grid().width_mm, grid().height_mm) == (550, 498)
    for width, columns in ((1, 1), (190, 1), (190.001, 2), (370, 2), (370.1, 3), (550, 3)):
        assert grid_for_sheet(width, 100, 190, 254, 10).columns == columns
    assert grid_for_sheet(380, 508, 190, 254, 0) == grid(2, 2, 0.0)


def test_pages_are_counted_from_the_upper_left_and_hang_on_the_lower_left():
    g = grid()
    assert list(g.cells()) == [(0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (1, 2)]
    assert g.corner((1, 0)) == (0, 0)
    assert g.corner((0, 2)) == (360, 244)


@pytest.mark.parametrize(
    ("overlap", "across", "up"),
    [(10.0, [180, 190, 360, 370], [244, 254]), (0.0, [190, 380], [254])],
)
def test_joints_are_where_one_page_ends_or_the_next_begins(overlap, across, up):
    """Over the whole sheet, each once; the rim of the sheet is none."""
    g = grid(overlap=overlap)
    wide, high = g.width_mm, g.height_mm
    upright = [[[x, 0.0], [x, high]] for x in across]
    level = [[[0.0, y], [wide, y]] for y in up]
    assert sorted(j.tolist() for j in g.joints()) == sorted([*upright, *level])
    assert list(grid(1, 1, overlap).joints()) == []


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"window_w_mm": 202.0}, "print.window"),
        ({"window_h_mm": 289.0}, "print.window"),
        ({"window_w_mm": 60.0}, "print.window"),
        ({"window_h_mm": 60.0}, "print.window"),
        ({"overlap_mm": 0.0}, "print.overlap"),
        ({"overlap_mm": 190.0 / 4.0}, "print.overlap"),
        ({"calibration": (1.05, 1.05), "window_w_mm": 192.0, "window_h_mm": 274.8}, "print"),
        ({"calibration": (0.95, 0.95)}, "print"),
    ],
)
def test_what_just_fits_the_paper_is_taken_and_a_hair_more_is_not(change, field):
    """Six centimetres up to A4 less 4 mm on every side, stretched or not; an overlap up to a
    quarter of the window; five per cent.
    """
    check_options("a4", TileOptions(**change))
    for key, value in change.items():
        by = -0.1 if value in (60.0, 0.0) else 0.1
        off = -0.01 if value == (0.95, 0.95) else 0.01
        more = tuple(v + off for v in value) if key == "calibration" else value + by
        with pytest.raises(InputError) as refused:
            check_options("a4", TileOptions(**(change | {key: more})))
        assert refused.value.field.startswith(field)
        if field == "print.overlap":
            assert "0 to 4.7 cm" in str(refused.value)


def test_only_pages_that_show_something_are_needed():
    assert needed(grid(), Stroke(path=line((20, 20), (40, 40)), pen=PEN)) == {(1, 0)}
    diagonal = Stroke(path=line((20, 20), (530, 480)), pen=PEN)
    assert needed(grid(), diagonal) == {(1, 0), (1, 1), (0, 1), (0, 2)}
    assert needed(grid(), Label(text="words", at=(300, 400), size_mm=5)) == {(0, 1)}
    filled = Stroke(path=polyline([(20, 20), (40, 20), (40, 40), (20, 20)]), pen=None, fill=0.5)
    assert needed(grid(), filled) == {(1, 0)}
    assert needed(grid(), replace(filled, fill=None)) == set()
    assert needed(grid()) == set()


def test_a_turned_label_needs_the_pages_it_crosses_and_no_others_of_its_bounding_box():
    slanting = Label(text="m" * 39, at=(100, 100), size_mm=8, angle_deg=45)
    far = label_corners(slanting).max(axis=0)
    assert far.min() > 300
    assert needed(grid(), slanting) == {(1, 0), (1, 1), (0, 1)}


def test_the_paper_inside_a_piece_is_needed_even_without_ink():
    around = box(20, 20, 530, 480)
    assert needed(grid(), around) == set(grid().cells())
    wide = grid(3, 3)
    frame = box(20, 20, 530, 730)
    opened = Stroke(path=polyline([(20, 20), (530, 20), (530, 730), (20, 730)]), pen=PEN)
    assert (1, 1) in needed(wide, frame)
    assert (1, 1) not in needed(wide, opened)
    triangle = Stroke(path=polyline([(20, 20), (530, 20), (275, 730), (20, 20)]), pen=PEN)
    assert len(triangle.path) == 3
    assert (1, 1) in needed(wide, triangle)


def test_what_lies_in_an_overlap_is_printed_once_if_that_is_enough():
    # the strip shared by the first two columns is x = 180 to 190
    strip = Stroke(path=line((185, 20), (185, 100)), pen=PEN)
    assert len(needed(grid(), strip)) == 1
    assert needed(grid(), box(20, 20, 189, 100)) == {(1, 0)}
    assert needed(grid(), box(20, 20, 190.5, 100)) == {(1, 0), (1, 1)}
    assert needed(grid(), box(181, 20, 300, 100)) == {(1, 1)}
    corner = Stroke(path=line((182, 246), (188, 252)), pen=PEN)
    assert len(needed(grid(), corner)) == 1


def test_every_strip_shared_by_two_pages_is_printed_on_one_that_shows_it():
    g = grid(5, 5)
    for k in range(4):
        level = Stroke(path=line((20, 244 * k + 247), (60, 244 * k + 251)), pen=PEN)
        assert needed(g, level) <= {(4 - k, 0), (3 - k, 0)}
        upright = Stroke(path=line((180 * k + 183, 20), (180 * k + 187, 60)), pen=PEN)
        assert needed(g, upright) <= {(4, k), (4, k + 1)}
        assert len(needed(g, level)) == len(needed(g, upright)) == 1
        # Nor does it count that all other pages of the row or the column are printed.
        rest = [n for n in range(5) if n not in (k, k + 1)]
        others = [Stroke(path=line((30, 244 * n + 90), (60, 244 * n + 99)), pen=PEN) for n in rest]
        assert len(needed(g, level, *others) & {(4 - k, 0), (3 - k, 0)}) == 1
        others = [Stroke(path=line((180 * n + 90, 30), (180 * n + 99, 60)), pen=PEN) for n in rest]
        assert len(needed(g, upright, *others) & {(4, k), (4, k + 1)}) == 1


@pytest.mark.parametrize(("width", "pages"), [(0.3, {(0, 0)}), (0.5, {(0, 0), (0, 1)})])
def test_a_line_beside_the_border_needs_the_page_its_ink_reaches(width, pages):
    """0.2 mm from the edge of its page; half the pen lies on either side of the line."""
    beside = Stroke(path=line((189.8, 20), (189.8, 100)), pen=Pen(width_mm=width))
    assert needed(grid(2, 1, 0.0), beside) == pages
    fine = Stroke(path=line((20, 20), (30, 30)), pen=Pen(width_mm=0.1))
    assert needed(grid(2, 1, 0.0), fine, beside) == pages
    scene = scene_of(fine, beside, width=380, height=254)
    assert tile_pdf(scene, "a4", TileOptions(overlap_mm=0.0)).tiles == len(pages)


def test_every_point_of_random_drawings_is_on_a_needed_page():
    rng = np.random.default_rng(7)
    for overlap in (0.0, 10.0, 25.0):
        g = grid(4, 3, overlap)
        windows = {
            c: shapely.box(*g.corner(c), *np.add(g.corner(c), (190, 254))) for c in g.cells()
        }
        for _ in range(20):
            points = rng.uniform(0.01, 0.99, (3, 2)) * (g.width_mm, g.height_mm)
            kept = needed(g, Stroke(path=polyline(points), pen=PEN))
            drawn = shapely.LineString(points)
            shown = shapely.union_all([windows[c] for c in kept])
            assert drawn.difference(shown.buffer(1e-6)).length == 0
            for cell in kept:
                assert drawn.distance(windows[cell]) <= PEN.width_mm


def test_the_tiled_file_leaves_empty_pages_out():
    scene = scene_of(Stroke(path=line((20, 20), (530, 480)), pen=PEN), width=550, height=498)
    tiled = tile_pdf(scene, "a4")
    assert (tiled.pages, tiled.tiles, tiled.columns, tiled.rows) == (5, 4, 3, 2)
    assert tiled.empty == ((0, 0), (1, 2))
    with pikepdf.open(io.BytesIO(tiled.data)) as pdf:
        assert len(pdf.pages) == 5


def test_an_empty_sheet_gives_the_first_page_alone():
    assert tile_pdf(scene_of(width=300, height=300), "letter").pages == 1


def test_the_drawing_is_stored_once_however_many_pages_show_it():
    rng = np.random.default_rng(3)
    points = rng.uniform(5, 1300, (4000, 2))
    small = tile_pdf(scene_of(Stroke(path=polyline(points), pen=PEN), width=370, height=498), "a4")
    large = tile_pdf(
        scene_of(Stroke(path=polyline(points), pen=PEN), width=1300, height=1300), "a4"
    )
    assert (small.tiles, large.tiles) == (4, 48)
    assert len(large.data) < 2 * len(small.data)


def test_a_calibrated_page_is_stretched_about_its_middle():
    """So that nothing leaves the paper on one side only; every page alike, the first one too."""
    scene = scene_of(box(20, 20, 500, 400), width=550, height=498)
    data = tile_pdf(scene, "a4", TileOptions(calibration=(1.02, 0.97))).data
    with pikepdf.open(io.BytesIO(data)) as pdf:
        for page in pdf.pages:
            operators = pikepdf.parse_content_stream(page, "cm")
            a, b, c, d, e, f = (float(x) for x in operators[0].operands)
            assert (a, b, c, d) == (1.02, 0, 0, 0.97)
            x, y = (float(v) / 2 for v in page.mediabox[2:])
            assert (a * x + e, d * y + f) == pytest.approx((x, y), abs=0.001)


@pytest.mark.parametrize(
    ("paper", "wide", "high"), [("a4", 210.0, 297.0), ("letter", 215.9, 279.4)]
)
def test_the_first_page_lies_in_the_middle_of_its_paper(paper, wide, high):
    """Its area is 190 by 254 mm; a square of 10 cm and one of 4 in stand a hair from its left."""
    data = tile_pdf(scene_of(width=100, height=100), paper).data
    with pikepdf.open(io.BytesIO(data)) as pdf:
        squares = pikepdf.parse_content_stream(pdf.pages[0], "re")
        boxes = [[float(x) / 72.0 * 25.4 for x in s.operands] for s in squares]
    left, low = (wide - 190.0) / 2.0 + 0.25, (high - 254.0) / 2.0
    assert boxes[0] == pytest.approx([left, low + 119.0, 100.0, 100.0], abs=1e-3)
    assert boxes[1] == pytest.approx([left, low + 0.25, 101.6, 101.6], abs=1e-3)


def test_a_window_that_is_refused_is_named_with_both_its_sides():
    """And with the most of both: A4 less 4 mm on every side."""
    with pytest.raises(
        InputError, match=r"20\.5 cm x 25\.4 cm.*6 cm x 6 cm up to 20\.2 cm x 28\.9 cm"
    ):
        check_options("a4", TileOptions(window_w_mm=205))


def test_same_input_same_bytes():
    scene = scene_of(box(20, 20, 500, 400), width=550, height=498)
    assert (
        tile_pdf(scene, "a4", notes=("a", "b")).data == tile_pdf(scene, "a4", notes=("a", "b")).data
    )


def extreme_pages():
    for overlap, calibration, title, further in itertools.product(
        (0.0, 10.0, 20.0), ((1.0, 1.0), (1.05, 1.05)), ("Short", "W" * 1_000_000), (0.0, 15.0)
    ):
        joints = {
            side: Joint(code="AB9", page=188, at_mm=at, further_mm=further)
            for side, at in (("left", 127.0), ("right", 127.0), ("top", 95.0), ("bottom", 95.0))
        }
        yield TilePage(
            number=188,
            pages=199,
            row=12,
            column=17,
            title=title,
            window_w_mm=190,
            window_h_mm=254,
            overlap_mm=overlap,
            joints=joints,
            tag_at=(20.0, 200.0),
            calibration=calibration,
        )


def text_boxes(items):
    return [
        (item.text, shapely.Polygon(label_corners(item)))
        for item in items
        if isinstance(item, Label)
    ]


def assert_texts_apart(items):
    for (one, a), (other, b) in itertools.combinations(text_boxes(items), 2):
        assert a.intersection(b).area < 0.01, (one[:40], other[:40])


@pytest.mark.parametrize("page", list(extreme_pages()))
def test_texts_of_a_page_stand_apart_and_on_the_paper(page):
    items = tile_items(page)
    assert_texts_apart(items)
    room = shapely.box(-FURNITURE_MM, -FURNITURE_MM, 190 + FURNITURE_MM, 254 + FURNITURE_MM)
    for text, place in text_boxes(items):
        assert room.contains(place), text[:40]


@pytest.mark.parametrize("count", [0, 3, 40])
@pytest.mark.parametrize("shape", [(1, 1), (6, 6), (2, 12), (14, 2), (11, 11)])
@pytest.mark.parametrize("overlap", [0.0, 10.0])
def test_texts_of_the_first_page_stand_apart_and_on_the_paper(count, shape, overlap):
    g = grid(*shape, overlap)
    items = first_page_items(
        FirstPage(
            title="Ж" * 999_999,
            lines=[shapely.LineString([(5, 5), (100, 5), (100, 100), (5, 5)])],
            grid=g,
            numbers={cell: n + 2 for n, cell in enumerate(g.cells())},
            pages=shape[0] * shape[1] + 1,
            paper="Letter",
            notes=tuple(f"note {i} " + "long words " * 30 for i in range(count)),
            calibration=(1.0499, 0.9501),
        )
    )
    assert_texts_apart(items)
    room = shapely.box(0, -FURNITURE_MM, 190.001, 254)
    for text, place in text_boxes(items):
        assert room.contains(place), text[:40]


def test_texts_keep_clear_of_the_drawing_where_it_leaves_room():
    # a curve through the middle of every seam, where the marks would stand otherwise
    t = np.linspace(0, 1, 300)
    wave = np.stack([20 + 510 * t, 250 + 8 * np.sin(9 * t)], axis=1)
    upright = np.stack([185 + 4 * np.sin(9 * t), 20 + 460 * t], axis=1)
    number = Stroke(path=polyline([(4, 485), (40, 485)]), pen=PEN)
    lines = [Stroke(path=polyline(p), pen=PEN) for p in (wave, upright)]
    scene = scene_of(*lines, number, width=550, height=498)
    g = grid()
    numbers = {cell: n for n, cell in enumerate(g.cells(), start=2)}
    shapes = scene_shapes(scene)
    occupancy = shapely.union_all(shapes.lines)
    free = occupancy_of(shapes, scene.width_mm, scene.height_mm)
    pages = _tile_pages("Sheet", g, numbers, free, TileOptions())
    for page, cell in zip(pages, numbers, strict=True):
        for text, place in text_boxes(tile_items(page)):
            if re.fullmatch(r"\d+|row \d+|column \d+", text):
                moved = affinity.translate(place, *g.corner(cell))
                assert not moved.intersects(occupancy), (cell, text)


@pytest.mark.parametrize("factors", [(0.94, 1.0), (1.0, 1.0501), (math.nan, 1.0), (1.0, -1.0)])
def test_a_factor_no_printer_needs_is_refused_with_the_likely_reason(factors):
    scene = scene_of(width=100, height=100)
    with pytest.raises(InputError, match="fit-to-page") as caught:
        tile_pdf(scene, "a4", TileOptions(calibration=factors))
    name = "across" if factors[0] != 1.0 else "along"
    assert caught.value.field == f"print.calibrate_{name}"


@pytest.mark.parametrize(
    ("paper", "options", "field"),
    [
        ("a3", TileOptions(), "print.papers"),
        ("a4", TileOptions(window_w_mm=205), "print.window"),
        ("letter", TileOptions(window_h_mm=275), "print.window"),
        ("a4", TileOptions(window_w_mm=math.nan), "print.window"),
        ("a4", TileOptions(window_w_mm=20), "print.window"),
        ("a4", TileOptions(overlap_mm=-1), "print.overlap"),
        ("a4", TileOptions(overlap_mm=90), "print.overlap"),
        ("a4", TileOptions(overlap_mm=math.inf), "print.overlap"),
    ],
)
def test_options_that_cannot_be_printed_are_refused(paper, options, field):
    with pytest.raises(InputError) as caught:
        check_options(paper, options)
    assert caught.value.field == field


def test_the_usual_window_fits_both_papers_at_the_largest_factors():
    for paper in PAPERS:
        check_options(paper, TileOptions(calibration=(1.05, 1.05)))
