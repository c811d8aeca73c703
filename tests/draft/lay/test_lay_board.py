"""Squared paper: what it calls free is free by shapely, and corners are where they should be."""

from __future__ import annotations

from itertools import combinations

import pytest
from lay_pieces import box_piece, items, part, polygon_piece
from shapely import Polygon, affinity

from outseam.draft.lay.model.cloth import Cloth
from outseam.draft.lay.model.orientations import Item
from outseam.draft.lay.model.positions import Positions, reach_mm
from outseam.draft.lay.nest.board import ACROSS_MM, ALONG_MM, CORNERS, Board, OnBoard
from outseam.draft.lay.nest.climb import Climber, climbed

#: A leg of a kind: it has no mirror image in itself and a hollow on one side.
LEG = [(0, 0), (260, 0), (230, 420), (330, 640), (250, 690), (240, 980), (20, 1000), (70, 400)]
CLOTH = Cloth(width_mm=900.0, gap_mm=6.0)


def shapes(positions: Positions) -> list[Polygon]:
    return [affinity.translate(Polygon(s.orientation.outline), s.x_mm, s.y_mm) for s in positions]


def legs(gap_mm: float = 6.0) -> tuple[Item, ...]:
    leg = polygon_piece("leg", LEG)
    parts = [
        part(leg, 1, faces=("up",), turns=(0, 180, 90, 270)),
        part(leg, 2, faces=("down",), turns=(0, 180, 90, 270)),
        part(box_piece("band", 500.0, 90.0)),
    ]
    return items(parts, Cloth(width_mm=1500.0, gap_mm=gap_mm))


@pytest.mark.parametrize("gap_mm", [0.0, 6.0, 25.0])
def test_what_is_free_on_the_board_is_free_by_shapely(gap_mm: float) -> None:
    """Every two of the orientations, in every corner: nothing comes nearer than the gap."""
    laid = legs(gap_mm)
    board = Board(1500.0, gap_mm, 4000.0)
    seen = 0
    for a in laid:
        for first in board.forms(a):
            for b in laid:
                for second in board.forms(b):
                    for corner in CORNERS:
                        on_it = board.put(None, a, first, 37 + 5 * board.stride)
                        at = board.place(on_it, second, corner, within=90)
                        assert at is not None
                        one, other = shapes(board.positions(board.put(on_it, b, second, at)))
                        assert one.distance(other) >= gap_mm - 1e-6
                        seen += 1
    # Eight ways of the legs and one of the band, which is its own mirror image both ways.
    assert seen == 9 * 9 * len(CORNERS)


def test_a_hollow_is_used() -> None:
    """A box as broad as the notch in another piece goes into it, not behind it."""
    block = polygon_piece(
        "block",
        [(0, 0), (600, 0), (600, 400), (400, 400), (400, 150), (200, 150), (200, 400), (0, 400)],
    )
    parts = [part(block, turns=(0,)), part(box_piece("box", 180.0, 240.0))]
    boxes = items(parts, Cloth(width_mm=620.0))
    board = Board(620.0, 0.0, 2000.0)
    laid: OnBoard | None = None
    for item in boxes:
        form = board.forms(item)[0]
        at = board.place(laid, form, "low", 0)
        assert at is not None
        laid = board.put(laid, item, form, at)
    assert laid is not None
    assert reach_mm(board.positions(laid)) < 400.0 + 2.0 * ALONG_MM


def test_corners() -> None:
    (box,) = items([part(box_piece("box", 200.0, 300.0))], CLOTH)
    board = Board(900.0, 6.0, 2000.0)
    form = board.forms(box)[0]

    def level(corner: str, laid: OnBoard | None) -> float:
        at = board.place(laid, form, corner, within=board.long)  # type: ignore[arg-type]
        assert at is not None
        return board.positions(board.put(None, box, form, at))[0].y_mm

    for corner, y in (
        ("low", 0.0),
        ("high", 700.0),
        ("selvedge", 0.0),
        ("far", 700.0),
        ("below", 0.0),
        ("above", 700.0),
    ):
        assert level(corner, None) == pytest.approx(y, abs=ACROSS_MM)
    # Beside one at the selvedge, `low` goes above it and `selvedge` behind it.
    first = board.put(None, box, form, 0)
    assert level("low", first) == pytest.approx(206.0, abs=2.0 * ACROSS_MM)
    assert level("selvedge", first) == pytest.approx(0.0, abs=ACROSS_MM)


def test_no_room_is_none() -> None:
    (box,) = items([part(box_piece("box", 200.0, 300.0))], CLOTH)
    board = Board(210.0, 6.0, 300.0)
    form = board.forms(box)[0]
    assert board.place(None, form, "low", 0) == 0
    assert board.place(board.put(None, box, form, 0), form, "low", 0) is None
    assert board.place(None, form, "below", within=5) is None


def test_climbing_keeps_the_gap_and_is_the_same_every_time() -> None:
    laid = items([part(polygon_piece("leg", LEG), n) for n in (1, 2, 3, 4)], CLOTH)
    found = [climbed(laid, 900.0, tries=150, most=3) for _ in range(2)]
    for positions in found[0]:
        for one, other in combinations(shapes(positions), 2):
            assert one.distance(other) >= 6.0 - 1e-6
        assert min(s.y_mm for s in positions) >= 0.0
        assert max(s.top_mm for s in positions) <= 900.0 + 1e-9
    assert [[(s.x_mm, s.y_mm) for s in p] for p in found[0]] == [
        [(s.x_mm, s.y_mm) for s in p] for p in found[1]
    ]


def test_more_tries_are_never_longer() -> None:
    laid = items([part(polygon_piece("leg", LEG), n) for n in (1, 2, 3, 4, 5)], CLOTH)
    climber = Climber(laid, 900.0)
    lengths = [reach_mm(climber.climb(tries)) for tries in (0, 50, 200)]
    assert lengths[1] <= lengths[0] + ALONG_MM
    assert lengths[2] <= lengths[1] + ALONG_MM
    # It stops where it is good enough.
    assert reach_mm(Climber(laid, 900.0).climb(200, good_mm=1e6)) == lengths[0]


def test_copies_that_nothing_pulls_lie_alike() -> None:
    belt = box_piece("belt", 90.0, 700.0, copies=2, any_grain=True)
    parts = [part(belt, n, turns=(0, 180, 90, 270)) for n in (1, 2)]
    parts.append(part(box_piece("leg", 560.0, 800.0), turns=(0,)))
    # One of each turn would lie shorter: one behind the leg, one beside it.
    for positions in climbed(items(parts, CLOTH), 790.0, tries=200, most=4):
        turns = {s.orientation.turn_deg % 180 for s in positions if s.item.part.piece is belt}
        assert len(turns) == 1
