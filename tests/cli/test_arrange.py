"""Placing pieces on home pages and wide sheets; shapely judges the result."""

import itertools

import numpy as np
import pytest
import shapely

from outseam.cli.paper.arrange import arrange_pieces
from outseam.cli.paper.grid import grid_for_sheet, needed_cells
from outseam.cli.paper.whole_pages import TooLargeError, arrange_whole

WINDOW = (190.0, 254.0)
GAP = 10.0

# Invented outlines of the size and kind of a front and a back leg, mm.
FRONT = [(0, 0), (230, 0), (222, 400), (240, 560), (258, 700), (300, 800), (262, 850), (250, 950)]
FRONT += [(245, 1080), (40, 1070), (18, 950), (0, 800), (12, 600), (20, 400), (8, 200)]
BACK = [(20, 0), (290, 0), (285, 400), (296, 560), (312, 700), (360, 800), (300, 850), (270, 950)]
BACK += [(240, 1120), (60, 1080), (20, 950), (0, 800), (22, 600), (38, 400), (30, 200)]


def oblong(width, height, at=(0.0, 0.0)):
    return np.array([(0, 0), (width, 0), (width, height), (0, height)], dtype=float) + at


TYPICAL = [
    np.array(FRONT, dtype=float),
    np.array(BACK, dtype=float) - (500, 200),
    oblong(480, 130),
    oblong(490, 130, (40, 1000)),
]
MANY = [*TYPICAL, *(oblong(w, h) for w, h in [(180, 200)] * 2 + [(160, 170)] * 2 + [(900, 60)] * 2)]


def placed(arrangement, polygons):
    return [shapely.Polygon(p.applied(polygons[p.piece])) for p in arrangement.placements]


def assert_apart(shapes, gap):
    for a, b in itertools.combinations(shapes, 2):
        assert a.distance(b) >= gap


def shelf_pages(polygons, overlap):
    """Pages of a plain arrangement: bounding boxes side by side on shelves, at the best width."""
    sizes = sorted((tuple(np.ptp(p, axis=0)) for p in polygons), key=lambda s: -s[1])
    counts = []
    for width in range(400, 1700, 60):
        x = y = high = 0.0
        boxes = []
        for w, h in sizes:
            if x and x + w > width:
                x, y, high = 0.0, y + high + GAP, 0.0
            boxes.append(shapely.box(x, y, x + w, y + h))
            x, high = x + w + GAP, max(high, h)
        right, top = shapely.total_bounds(boxes)[2:]
        counts.append(len(needed_cells(grid_for_sheet(right, top, *WINDOW, overlap), boxes)))
    return min(counts)


@pytest.mark.parametrize("overlap", [0.0, 10.0, 20.0])
@pytest.mark.parametrize("polygons", [TYPICAL, MANY], ids=["typical", "many"])
def test_pieces_keep_apart_on_the_sheet_and_the_pages_are_counted_right(polygons, overlap):
    found = arrange_pieces(polygons, *WINDOW, overlap, gap_mm=GAP)
    assert [p.piece for p in found.placements] == list(range(len(polygons)))
    shapes = placed(found, polygons)
    assert_apart(shapes, GAP)
    x0, y0, x1, y1 = shapely.total_bounds(shapes)
    assert min(x0, y0) >= 1.98
    assert x1 <= found.grid.width_mm - 1.98
    assert y1 <= found.grid.height_mm - 1.98
    assert found.pages == len(needed_cells(found.grid, shapes))
    assert found.pages <= found.columns * found.rows
    for shape, polygon in zip(shapes, polygons, strict=True):
        assert shape.area == pytest.approx(shapely.Polygon(polygon).area, rel=1e-12)


def test_the_typical_pattern_needs_fewer_pages_than_boxes_on_shelves():
    ours = arrange_pieces(TYPICAL, *WINDOW, 10.0, gap_mm=GAP).pages
    assert ours <= 21
    assert ours < shelf_pages(TYPICAL, 10.0)
    # no arrangement can do with less than the pieces' own area
    assert ours * 180 * 244 > sum(shapely.Polygon(p).area for p in TYPICAL)


def test_the_same_pieces_get_the_same_layout():
    one, two = (arrange_pieces(MANY, *WINDOW, 10.0) for _ in range(2))
    assert one == two


@pytest.mark.parametrize(
    ("size", "pages"),
    [((180, 240), 1), ((240, 180), 1), ((186, 250), 1), ((188, 100), 2), ((366, 494), 4)],
)
def test_one_oblong_takes_the_pages_it_must(size, pages):
    # 2 mm stay free all round, so a window holds 186 x 250 mm and four hold 366 x 494
    found = arrange_pieces([oblong(*size)], *WINDOW, 10.0)
    wanted = 1 if size == (188, 100) else pages  # turned, it fits one page
    assert found.pages == wanted


def test_small_pieces_share_a_page():
    found = arrange_pieces([oblong(80, 110)] * 4, *WINDOW, 10.0, gap_mm=5.0)
    assert found.pages == 1


def test_a_piece_that_may_not_be_split_stays_on_one_page():
    pockets = [oblong(150, 170), oblong(150, 170)]
    polygons = [*TYPICAL, *pockets]
    split = [True] * len(TYPICAL) + [False] * len(pockets)
    found = arrange_pieces(polygons, *WINDOW, 10.0, may_split=split)
    for shape in placed(found, polygons)[len(TYPICAL) :]:
        assert len(needed_cells(found.grid, [shape])) == 1
    assert_apart(placed(found, polygons), GAP)


def test_a_piece_too_large_for_a_page_is_split_in_spite_of_the_wish():
    assert arrange_pieces([oblong(400, 100)], *WINDOW, 10.0, may_split=[False]).pages == 2


@pytest.mark.parametrize("page", [(821.0, 1169.0), (900.0, 5000.0), (574.0, 1169.0)])
def test_whole_pieces_lie_on_the_page_and_apart(page):
    pages = arrange_whole(MANY, *page, gap_mm=GAP)
    assert sorted(p.piece for one in pages for p in one.placements) == list(range(len(MANY)))
    for one in pages:
        shapes = placed(one, MANY)
        assert_apart(shapes, GAP)
        x0, y0, x1, y1 = shapely.total_bounds(shapes)
        assert min(x0, y0) >= -1e-9
        assert (x1, y1) == pytest.approx((one.width_mm, one.height_mm))
        assert x1 <= page[0]
        assert y1 <= page[1]


def test_the_typical_pattern_fits_one_a0_sheet():
    # ISO 216 A0 is 841 x 1189 mm; a margin of 10 mm all round is left
    assert len(arrange_whole(TYPICAL, 821.0, 1169.0, gap_mm=GAP)) == 1


def test_pieces_as_large_as_the_page_take_one_each():
    pages = arrange_whole([oblong(821, 1169), oblong(1169, 821)], 821.0, 1169.0)
    assert [len(one.placements) for one in pages] == [1, 1]
    assert pages[0].height_mm == pytest.approx(1169.0)


def test_a_piece_larger_than_the_paper_is_refused_in_words():
    words = r"82.1 cm x 116.9 cm .*80 cm x 110 cm.*choose wider paper"
    with pytest.raises(TooLargeError, match=words):
        arrange_whole([oblong(821, 1169)], 800.0, 1100.0)
