"""What stands on home pages besides the drawing, against what a person does with scissors.

A window of 190 by 254 mm, as the tests of the tiles have it; millimetres from its lower left.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely

from outseam.cli.paper.first_page import FirstPage, first_page_items
from outseam.cli.paper.free_space import occupancy_of
from outseam.cli.paper.furniture import (
    CUT_LINE,
    FREE_LINE,
    HAIR,
    LAY_LINE,
    Joint,
    PageEdge,
    TilePage,
    calibration_note,
    half_disc,
    tile_items,
)
from outseam.cli.paper.grid import Shapes, TileGrid
from outseam.cli.paper.joints import _code, _mark_box, number_spots, page_joints
from outseam.cli.scene.extent import label_corners
from outseam.cli.scene.scene import Label, Layer, Scene, SceneItem, Stroke
from outseam.cli.scene.validate import refuse_nonfinite
from outseam.curves.region import area

W, H = 190.0, 254.0
SIDES: tuple[PageEdge, ...] = ("left", "right", "top", "bottom")


def page(*sides: PageEdge, lap: float = 10.0, **more: object) -> TilePage:
    joints = {s: Joint(code=f"{s[0].upper()}1", page=n, at_mm=80.0) for n, s in enumerate(sides, 2)}
    fields: dict[str, object] = {
        "joints": joints,
        "number": 7,
        "pages": 12,
        "row": 2,
        "column": 3,
        "title": "Straight pants",
    }
    sizes = {"window_w_mm": W, "window_h_mm": H, "overlap_mm": lap, "tag_at": (4.0, 240.0)}
    return TilePage(**(fields | sizes | more))  # type: ignore[arg-type]


def ends(stroke: Stroke) -> tuple[tuple[float, float], ...]:
    return tuple(sorted((stroke.path.start, stroke.path.end)))


def lines(items: list[SceneItem], pen: object) -> set[tuple[tuple[float, float], ...]]:
    return {ends(i) for i in items if isinstance(i, Stroke) and i.pen == pen}


def labels(items: list[SceneItem]) -> dict[str, Label]:
    return {i.text: i for i in items if isinstance(i, Label)}


def discs(items: list[SceneItem]) -> list[Stroke]:
    return [i for i in items if isinstance(i, Stroke) and i.pen is None and i.fill == 0.0]


LEFT, TOP = ((0.0, 0.0), (0.0, H)), ((0.0, H), (W, H))
RIGHT, BOTTOM = ((W, 0.0), (W, H)), ((0.0, 0.0), (W, 0.0))


def test_a_page_is_cut_left_and_above_and_laid_on_to_the_right_and_below() -> None:
    """Only where there is a neighbour; the lines to lay on are an overlap inside the window."""
    assert lines(tile_items(page()), FREE_LINE) == {LEFT, TOP, RIGHT, BOTTOM}
    whole = tile_items(page(*SIDES))
    assert lines(whole, CUT_LINE) == {LEFT, TOP}
    assert lines(whole, FREE_LINE) == {RIGHT, BOTTOM}
    assert lines(whole, LAY_LINE) == {((180.0, 0.0), (180.0, H)), ((0.0, 10.0), (W, 10.0))}
    assert lines(tile_items(page("top")), CUT_LINE) == {TOP}
    assert lines(tile_items(page("left", "right")), LAY_LINE) == {((180.0, 0.0), (180.0, H))}
    assert lines(tile_items(page("left", "bottom")), LAY_LINE) == {((0.0, 10.0), (W, 10.0))}


def test_pages_without_overlap_are_cut_wherever_they_meet() -> None:
    items = tile_items(page("right", "top", lap=0.0))
    assert lines(items, CUT_LINE) == {RIGHT, TOP}
    assert not lines(items, LAY_LINE)


@pytest.mark.parametrize("lap", [0.0, 10.0])
def test_two_half_discs_of_a_join_make_one(lap: float) -> None:
    """The page to the right is laid so that its left side lies on this one's line, and so above."""
    for near, far, shift in (
        ("right", "left", (W - lap, 0.0)),
        ("bottom", "top", (0.0, -(H - lap))),
    ):
        (one,) = discs(tile_items(page(near, lap=lap)))  # type: ignore[arg-type]
        (two,) = discs(tile_items(page(far, lap=lap)))  # type: ignore[arg-type]
        moved = two.path.moved(*shift)
        both = shapely.union_all([shapely.Polygon(p.cubics[:, 0]) for p in (one.path, moved)])
        assert both.geom_type == "Polygon"
        radius = 3.4
        assert area(one.path) + area(moved) == pytest.approx(math.pi * radius**2, rel=1e-3)
        x0, y0, x1, y1 = both.bounds
        assert x1 - x0 == pytest.approx(2 * radius)
        assert y1 - y0 == pytest.approx(2 * radius)
        middle = (W - lap, 80.0) if near == "right" else (80.0, lap)
        assert ((x0 + x1) / 2, (y0 + y1) / 2) == pytest.approx(middle)
        # Where there is room the other half is drawn as an outline, to lay the disc on.
        items = tile_items(page(near, lap=lap))  # type: ignore[arg-type]
        outlined = [i.path for i in items if isinstance(i, Stroke) and i.pen == HAIR]
        assert len(outlined) == bool(lap)
        for half in outlined:
            drawn = shapely.Polygon(half.cubics[:, 0])
            assert drawn.symmetric_difference(shapely.Polygon(moved.cubics[:, 0])).area < 1e-6


@pytest.mark.parametrize("towards", [(1, 0), (-1, 0), (0, 1), (0, -1)])
def test_half_a_disc_lies_on_its_side(towards: tuple[int, int]) -> None:
    half = half_disc((10.0, 20.0), towards, 3.0)
    assert half.closed
    assert area(half) == pytest.approx(math.pi * 9.0 / 2.0, rel=1e-3)
    away = (half.cubics.reshape(-1, 2) - (10.0, 20.0)) @ np.array(towards)
    assert away.min() == pytest.approx(0.0, abs=1e-12)
    assert away.max() == pytest.approx(3.0)


@pytest.mark.parametrize("side", SIDES)
def test_codes_stand_beside_their_disc_on_their_own_page(side: PageEdge) -> None:
    """Within a finger's breadth of it, and not on it; the page it goes to beside the code."""
    items = tile_items(page(side))
    (disc,) = discs(items)
    spot = shapely.Polygon(disc.path.cubics[:, 0])
    told = labels(items)
    for text, size in ((f"{side[0].upper()}1", 4.0), ("p. 2", 2.4)):
        place = shapely.Polygon(label_corners(told[text]))
        assert 0.3 < spot.distance(place) < 4.5, text
        assert shapely.box(0, 0, W, H).contains(place)
        assert told[text].size_mm == size


@pytest.mark.parametrize("side", SIDES)
def test_the_room_kept_for_a_mark_holds_the_longest_one(side: PageEdge) -> None:
    """And hardly more on its own page: more would keep marks from places that are free."""
    joint = Joint(code="AB9", page=188, at_mm=80.0)
    items = tile_items(replace(page(side), joints={side: joint}))
    told = labels(items)
    ink = [shapely.Polygon(label_corners(told[t])) for t in ("AB9", "p. 188")]
    ink += [
        shapely.Polygon(i.path.cubics[:, 0]) for i in items if isinstance(i, Stroke) and not i.pen
    ]
    room = shapely.box(*_mark_box(grid_of(2, 2), side, joint))
    assert room.contains(shapely.union_all(ink))
    x0, y0, x1, y1 = (
        abs(a - b) for a, b in zip(room.bounds, shapely.union_all(ink).bounds, strict=True)
    )
    inner = {"left": x1, "right": x0, "top": y0, "bottom": y1}[side]
    assert max(inner, *((y0, y1) if side in ("left", "right") else (x0, x1))) < 1.8
    assert min(y1 if side in ("left", "right") else x1, inner) < 1.4


def test_what_is_said_in_the_margins() -> None:
    told = labels(tile_items(page("left", "top", calibration=(1.0121, 0.98))))
    assert told["row 2, column 3  ·  page 7 of 12"].anchor == "end"
    assert told["row 2, column 3  ·  page 7 of 12"].at[0] == W
    assert told["Straight pants"].at[0] == 0.0
    head = "Print at 100 % (actual size)  ·  CALIBRATED × 1.0121 across, × 0.9800 along"
    assert told[head].at[0] == 0.0
    assert told[head].at[1] > H
    assert told["Straight pants"].at[1] < 0.0
    assert told["✂ cut along this side, join to page 3"].at[0] == W
    beside = told["✂ cut along this side, join to page 2"]
    assert (beside.at[1], beside.angle_deg, beside.anchor) == (H / 2, 90.0, "middle")
    assert {"7", "row 2", "column 3"} <= told.keys()
    assert told["7"].size_mm >= 2 * told["row 2"].size_mm
    tag = shapely.box(4.0, 240.0, 4.0 + 26.0, 240.0 + 9.0)
    for text in ("7", "row 2", "column 3"):
        assert tag.buffer(0.5).contains(shapely.Polygon(label_corners(told[text]))), text
    assert told["row 2"].at[1] > told["column 3"].at[1]
    assert calibration_note((1.0, 1.0)) == ""
    assert calibration_note((1.0, 1.01)) != ""


@pytest.mark.parametrize("wide", [80.0, 100.0, 130.0, W])
@pytest.mark.parametrize("factor", [1.0, 1.0123])
def test_words_in_the_margins_never_run_into_each_other(wide: float, factor: float) -> None:
    """However narrow the page: what has no room is cut short, and nothing leaves its side."""
    one = page(*SIDES, window_w_mm=wide, calibration=(factor, factor), title="Straight " * 40)
    margins = [
        shapely.Polygon(label_corners(i))
        for i in tile_items(one)
        if isinstance(i, Label) and not 0.0 <= i.at[1] <= H
    ]
    assert len(margins) >= 3
    for n, a in enumerate(margins):
        assert not any(a.intersects(b) for b in margins[:n])
        assert a.bounds[0] >= -1e-6
        assert a.bounds[2] <= max(wide, 112.0) + 1e-6


@pytest.mark.parametrize("items", [tile_items(page(*SIDES)), tile_items(page(*SIDES, lap=0.0))])
def test_everything_can_be_drawn_and_read(items: list[SceneItem]) -> None:
    legible(items)


def legible(items: list[SceneItem]) -> None:
    """Greys between black and white; words dark enough on paper, and of a size that is read."""
    layer = Layer(name="page", items=tuple(items))
    refuse_nonfinite(Scene(title="page", width_mm=300.0, height_mm=300.0, layers=(layer,)))
    for label in (i for i in items if isinstance(i, Label)):
        assert 0.0 <= label.colour <= 0.5, label.text
        assert label.size_mm >= 2.0, label.text
    for stroke in (i for i in items if isinstance(i, Stroke) and i.pen):
        assert stroke.pen is not None
        assert 0.0 <= stroke.pen.colour <= 0.75
        assert 0.1 <= stroke.pen.width_mm <= 0.5


# Codes and places -----------------------------------------------------------------------------


def test_codes_leave_out_letters_that_look_like_digits_and_never_repeat() -> None:
    codes = [_code(n) for n in range(9 * 24 * 25)]
    assert codes[:10] == [*(f"A{n}" for n in range(1, 10)), "B1"]
    assert codes[9 * 24 - 1 : 9 * 24 + 1] == ["Z9", "AA1"]
    assert codes[-1] == "ZZ9"
    assert len(set(codes)) == len(codes)
    assert not any(set(code) & set("IO") for code in codes)


def grid_of(columns: int, rows: int, lap: float = 10.0) -> TileGrid:
    return TileGrid(columns=columns, rows=rows, window_w_mm=W, window_h_mm=H, overlap_mm=lap)


def occupied(g: TileGrid, *drawn: shapely.LineString) -> object:
    shapes = Shapes(lines=drawn, labels=(), areas=(), half_pen_mm=0.0)
    return occupancy_of(shapes, g.width_mm, g.height_mm)


FAR = shapely.LineString([(2.0, 2.0), (5.0, 2.0)])


def test_a_join_stands_in_the_middle_unless_something_is_drawn_there() -> None:
    g = grid_of(2, 2)
    numbers = {cell: n for n, cell in enumerate(g.cells(), 2)}
    free = page_joints(g, numbers, occupied(g, FAR))  # type: ignore[arg-type]
    assert {s: j.page for s, j in free[0, 0].items()} == {"right": 3, "bottom": 4}
    assert {s: j.page for s, j in free[1, 1].items()} == {"left": 4, "top": 3}
    for cell, sides in free.items():
        for side, joint in sides.items():
            middle = (H if side in ("left", "right") else W) / 2.0
            assert joint.at_mm == pytest.approx(middle), (cell, side)
    assert free[0, 0]["right"].code == free[0, 1]["left"].code
    assert free[0, 0]["bottom"].code == free[1, 0]["top"].code
    codes = [j.code for sides in free.values() for j in sides.values()]
    assert sorted(codes) == sorted(2 * ["A1", "A2", "A3", "A4"])
    # A line across the middle of the upright join above: its mark makes room, the others stay.
    x, y = 180.0, 244.0 + H / 2.0
    line = shapely.LineString([(x - 30.0, y), (x + 30.0, y)])
    moved = page_joints(g, numbers, occupied(g, FAR, line))  # type: ignore[arg-type]
    at = moved[0, 0]["right"].at_mm
    assert at == moved[0, 1]["left"].at_mm
    assert 5.0 <= abs(at - H / 2.0) <= 14.0
    assert moved[1, 0]["right"].at_mm == H / 2.0
    # One that reaches far up and a little down: the nearest free place lies below.
    high = shapely.LineString([(x, y - 8.0), (x, y + 60.0)])
    below = page_joints(g, numbers, occupied(g, FAR, high))  # type: ignore[arg-type]
    assert 8.0 <= H / 2.0 - below[0, 0]["right"].at_mm <= 25.0
    assert moved[0, 0]["bottom"].at_mm == W / 2.0


@pytest.mark.parametrize(("side", "other"), [("right", "left"), ("bottom", "top")])
def test_a_code_stands_beyond_a_line_that_runs_along_its_join(
    side: PageEdge, other: PageEdge
) -> None:
    """A cutting line 8 mm off the join on one page, all the way: no word and no disc over it."""
    upright = side == "right"
    g = grid_of(2, 1) if upright else grid_of(1, 2)
    numbers = {cell: n for n, cell in enumerate(g.cells(), 2)}
    first, second = numbers
    x, y = g.pitch_w_mm - 8.0, g.pitch_h_mm + g.overlap_mm + 8.0
    ends = [(x, 0.0), (x, H)] if upright else [(0.0, y), (W, y)]
    line = shapely.LineString(ends)
    joints = page_joints(g, numbers, occupied(g, FAR, line))  # type: ignore[arg-type]
    here, there = joints[first][side], joints[second][other]
    assert here.further_mm > 0.0 == there.further_mm
    assert here.at_mm == there.at_mm == (H if upright else W) / 2.0
    at = g.corner(first)
    drawn = shapely.affinity.translate(line, -at[0], -at[1])
    words = labels(tile_items(page(joints={side: here})))
    for text in (here.code, f"p. {here.page}"):
        assert shapely.Polygon(label_corners(words[text])).distance(drawn) > 0.3, text


def test_pages_that_are_left_out_are_not_joined() -> None:
    g = grid_of(3, 1)
    free = page_joints(g, {(0, 0): 2, (0, 2): 3}, occupied(g, FAR))  # type: ignore[arg-type]
    assert free == {(0, 0): {}, (0, 2): {}}


def test_the_number_stands_upper_left_or_where_there_is_room() -> None:
    g = grid_of(2, 1)
    numbers = {cell: n for n, cell in enumerate(g.cells(), 2)}
    occupancy = occupied(g, FAR)
    joints = page_joints(g, numbers, occupancy)  # type: ignore[arg-type]
    spots = number_spots(g, joints, occupancy)  # type: ignore[arg-type]
    assert spots[0, 0] == spots[0, 1] == (4.0, H - 9.0 - 3.0)
    # The upper half of the first page is hatched all over: the number goes below it.
    hatch = [shapely.LineString([(0.0, y), (175.0, y)]) for y in np.arange(130.0, H, 2.0).tolist()]
    full = occupied(g, FAR, *hatch)
    lower = number_spots(g, joints, full)  # type: ignore[arg-type]
    assert 100.0 < lower[0, 0][1] + 9.0 < 130.0
    assert lower[0, 1] == spots[0, 1]
    # All of it: the number stands somewhere on the page even so.
    hatch = [shapely.LineString([(0.0, y), (180.0, y)]) for y in np.arange(0.0, H, 2.0).tolist()]
    (x, y), _ = number_spots(g, joints, occupied(g, *hatch)).values()  # type: ignore[arg-type]
    assert 0.0 <= x <= W - 26.0
    assert 0.0 <= y <= H - 9.0


def test_what_is_taken_is_counted_cell_by_cell() -> None:
    """A line 60 mm long in cells of 3 mm; boxes on it, beside it and over its end."""
    shapes = Shapes(
        lines=(shapely.LineString([(30.0, 31.0), (90.0, 31.0)]),),
        labels=(shapely.box(120.0, 60.0, 150.0, 70.0),),
        areas=(),
        half_pen_mm=0.0,
    )
    free = occupancy_of(shapes, 200.0, 100.0)
    boxes = np.array(
        [
            [33.0, 28.0, 53.9, 34.0],  # seven cells of the line
            [30.0, 40.0, 90.0, 50.0],
            [0.0, 0.0, 200.0, 100.0],
            [135.0, 63.0, 137.9, 65.9],  # one cell of the label
            [-50.0, -50.0, -10.0, -10.0],
            [88.0, 28.0, 110.0, 34.0],
        ]
    )
    on, beside, whole, label, outside, end = free.taken(boxes).tolist()
    assert (on, beside, label, outside) == (7, 0, 1, 0)
    assert whole == 21 + 11 * 4
    assert end == 2


def test_the_edges_of_a_sheet_are_seen_as_its_middle_is() -> None:
    """Lines along all four edges of a sheet of 90 by 60 mm: 30 by 20 cells, the corners shared."""
    ring = shapely.LineString([(0.5, 0.5), (89.5, 0.5), (89.5, 59.5), (0.5, 59.5), (0.5, 0.5)])
    outside = shapely.LineString([(-20.0, 30.0), (-5.0, 30.0), (-5.0, 80.0)])
    shapes = Shapes(lines=(ring, outside), labels=(), areas=(), half_pen_mm=0.0)
    free = occupancy_of(shapes, 90.0, 60.0)
    assert free.table.shape == (22, 32)
    boxes = [
        *([0.0, 0.0, 90.0, 60.0], [0.0, 0.0, 2.9, 59.9], [87.1, 0.1, 89.9, 59.9]),
        *([0.1, 0.1, 89.9, 2.9], [0.1, 57.1, 89.9, 59.9], [3.1, 3.1, 86.9, 56.9]),
        *([-9.0, -9.0, 0.5, 0.5], [89.0, 59.0, 99.0, 99.0]),
    ]
    assert free.taken(np.array(boxes)).tolist() == [96, 20, 20, 30, 30, 0, 1, 1]


def test_the_number_keeps_clear_of_a_mark() -> None:
    g = grid_of(2, 1)
    mark = Joint(code="A1", page=3, at_mm=H - 9.0)
    spots = number_spots(g, {(0, 1): {"left": mark}, (0, 0): {}}, occupied(g, FAR))  # type: ignore[arg-type]
    x, y = spots[0, 1]
    assert spots[0, 0] == (4.0, H - 12.0)
    # The mark reaches 13.5 mm into the page and 4.5 mm up and down along its side.
    assert x >= 13.5 or y + 9.0 <= H - 13.5
    assert math.dist((x, y), (4.0, H - 12.0)) < 20.0


# The first page -------------------------------------------------------------------------------


def first(g: TileGrid, numbers: dict[tuple[int, int], int], **more: object) -> FirstPage:
    drawn = [shapely.LineString([(5, 5), (300, 5), (300, 200), (5, 5)])]
    fields = {"title": "Straight pants", "lines": drawn, "grid": g, "numbers": numbers}
    return FirstPage(pages=len(numbers) + 1, paper="A4", **(fields | more))  # type: ignore[arg-type]


@pytest.mark.parametrize("lap", [0.0, 10.0])
def test_the_map_shows_each_page_where_it_will_lie(lap: float) -> None:
    """Boxes side by side, each number in the middle of its own, empty pages crossed out."""
    g = grid_of(3, 2, lap)
    numbers = {cell: n for n, cell in enumerate(g.cells(), 2) if cell != (0, 2)}
    items = first_page_items(first(g, numbers))
    told = labels(items)
    scale = 81.0 / g.width_mm  # as wide as the column from 109 mm on
    for (row, column), number in numbers.items():
        label = told[str(number)]
        x, y = g.corner((row, column))
        seen_w = W - lap if column < 2 else W
        low = lap if row < 1 else 0.0
        middle = 109.0 + scale * (x + seen_w / 2.0)
        corners = label_corners(label)
        assert label.anchor == "middle"
        assert label.at[0] == pytest.approx(middle)
        height = 119.0 + 100.0 - scale * g.height_mm + scale * (y + (low + H) / 2.0)
        assert corners[:, 1].mean() == pytest.approx(height, abs=0.3 * label.size_mm)
    cells = [
        shapely.Polygon(i.path.cubics[:, 0])
        for i in items
        if isinstance(i, Stroke) and i.pen and (i.pen.width_mm, i.pen.colour) == (0.15, 0.45)
    ]
    whole = shapely.union_all(cells)
    assert len(cells) == 6
    assert sum(c.area for c in cells) == pytest.approx(whole.area)
    assert whole.area == pytest.approx(81.0 * scale * g.height_mm)
    grounds = [i for i in items if isinstance(i, Stroke) and i.fill == 1.0]
    for ground, number in zip(grounds, numbers.values(), strict=True):
        under = shapely.Polygon(ground.path.cubics[:, 0])
        digits = shapely.Polygon(label_corners(told[str(number)]))
        assert under.centroid.x == pytest.approx(digits.centroid.x, abs=0.05)
        assert under.buffer(0.6).contains(digits)
        assert under.area < 2.0 * digits.area
        assert told[str(number)].size_mm == pytest.approx(3.4)
    crossed = [i for i in items if isinstance(i, Stroke) and i.pen and i.pen.width_mm == 0.12]
    assert len(crossed) == 2
    one, two = (shapely.LineString([i.path.start, i.path.end]) for i in crossed)
    at = one.intersection(two)
    assert at.x == pytest.approx(109.0 + scale * (g.corner((0, 2))[0] + W / 2.0))
    assert at.distance(shapely.Point(*one.centroid.coords[0])) < 1e-9
    assert "5 pages of A4, 1 empty left out" in told
    assert not any(text.startswith("CALIBRATED") for text in told)


def test_the_miniature_is_the_drawing_in_small() -> None:
    """Its closed lines if it has any, else all of them; specks are left out."""
    g = grid_of(2, 2)
    numbers = {cell: n for n, cell in enumerate(g.cells(), 2)}
    scale = 81.0 / g.width_mm
    triangle = shapely.LineString([(5, 5), (300, 5), (300, 200), (5, 5)])
    open_line, speck = (shapely.LineString(p) for p in ([(5, 5), (300, 100)], [(9, 9), (10, 9)]))

    def drawn(*lines: shapely.LineString) -> list[Stroke]:
        items = first_page_items(first(g, numbers, lines=list(lines)))
        return [i for i in items if isinstance(i, Stroke) and i.pen and i.pen.width_mm == 0.25]

    (one,) = drawn(triangle, open_line, speck)
    xy = one.path.cubics[:, 0]
    assert np.ptp(xy, axis=0) == pytest.approx(np.array([295.0, 195.0]) * scale, abs=0.1)
    left, low = 109.0, 119.0 + 100.0 - scale * g.height_mm
    assert xy.min(axis=0) == pytest.approx([left + 5.0 * scale, low + 5.0 * scale], abs=0.1)
    (other,) = drawn(open_line, speck)
    assert ends(other)[1][0] - ends(other)[0][0] == pytest.approx(295.0 * scale, abs=0.1)
    assert drawn() == []


@pytest.mark.parametrize("lap", [0.0, 10.0])
def test_the_picture_shows_how_two_pages_are_joined(lap: float) -> None:
    """The cut side of one, the other's line to lay it on, the same code twice, an arrow between."""
    g = grid_of(2, 1, lap)
    items = first_page_items(first(g, {(0, 0): 2, (0, 1): 3}))
    legible(items)
    codes = [i for i in items if isinstance(i, Label) and i.text == "A1"]
    halves = [shapely.Polygon(d.path.cubics[:, 0]) for d in discs(items)]
    assert len(codes) == len(halves) == 2
    (cut,) = lines(items, CUT_LINE)
    laid = lines(items, LAY_LINE)
    assert len(laid) == bool(lap)
    pages = [
        shapely.Polygon([*i.path.cubics[:, 0], i.path.end])
        for i in items
        if isinstance(i, Stroke) and i.pen and len(i.path) in (3, 4) and i.pen.colour == 0.35
    ]
    one, two = sorted((p for p in pages if p.area > 500.0), key=lambda p: p.bounds[0])
    assert one.bounds[2] + 10.0 < two.bounds[0]  # apart, so that the arrow has room
    x = one.bounds[2] - (6.0 if lap else 0.0)
    if laid:
        assert laid == {((x, one.bounds[1]), (x, one.bounds[3]))}
    assert cut == ((two.bounds[0], two.bounds[1]), (two.bounds[0], two.bounds[3]))
    left, right = sorted(halves, key=lambda h: h.bounds[0])
    assert left.bounds[2] == pytest.approx(x)
    assert right.bounds[0] == pytest.approx(two.bounds[0])
    for half, sheet in ((left, one), (right, two)):
        assert sheet.buffer(1e-6).contains(half)
        (code,) = (c for c in codes if sheet.contains(shapely.Polygon(label_corners(c))))
        assert shapely.Polygon(label_corners(code)).distance(half) < 3.0
    # The arrow points from the second page to the first and touches neither.
    between = [i for i in items if isinstance(i, Stroke) and i.pen and len(i.path) <= 2]
    between = [
        i for i in between if one.bounds[2] < min(i.path.start[0], i.path.end[0]) < two.bounds[0]
    ]
    shaft = next(i for i in between if len(i.path) == 1)
    head = next(i for i in between if len(i.path) == 2)
    tip = min(shaft.path.start, shaft.path.end)
    assert tuple(head.path.cubics[1, 0]) == pytest.approx(tip)
    (ax, ay), (bx, by) = head.path.start, head.path.end
    assert ax == bx == pytest.approx(tip[0] + 2.5)
    assert ay - tip[1] == pytest.approx(tip[1] - by)
