"""Lays to begin from: legs head to foot, smaller pieces between them, and shapes of squares."""

from __future__ import annotations

import numpy as np
import pytest
from lay_pieces import box_piece, items, part, polygon_piece

from outseam.draft.lay.model.cloth import Cloth
from outseam.draft.lay.model.orientations import Item
from outseam.draft.lay.nest.board import ALONG_MM, Board
from outseam.draft.lay.nest.rows import Rows, meeting
from outseam.draft.lay.nest.starts import starts
from outseam.draft.lay.nest.written import Laying

#: Broad at one end: four of them head to foot take 900 across, all one way 1200.
WEDGE = [(0, 0), (300, 0), (200, 900), (100, 900)]
CLOTH = Cloth(width_mm=1100.0)


def laid(parts: tuple[Item, ...], breadth_mm: float) -> Laying:
    return Laying(parts, Board(breadth_mm, 0.0, 4000.0))


def wedges() -> list[Item]:
    wedge = polygon_piece("wedge", WEDGE)
    return list(items([part(wedge, n, turns=(0, 180)) for n in (1, 2, 3, 4)], CLOTH))


def test_legs_lie_head_to_foot() -> None:
    (best, *_) = starts(laid(tuple(wedges()), 990.0))
    assert best.length * ALONG_MM <= 900.0 + 2.0 * ALONG_MM
    turns = {one.form.orientation.turn_deg for one in best.laid}
    assert turns == {0, 180}


def test_small_pieces_go_in_between() -> None:
    """Boxes beside the narrow ends of the outer two lengthen nothing."""
    small = items([part(box_piece("box", 60.0, 300.0), n, turns=(0,)) for n in (1, 2)], CLOTH)
    found = starts(laid((*wedges(), *small), 1090.0))
    assert found[0].length * ALONG_MM <= 900.0 + 2.0 * ALONG_MM
    assert all(len(list(lay.laid)) == 6 for lay in found)
    assert [lay.length for lay in found] == sorted(lay.length for lay in found)


def test_without_room_there_is_none() -> None:
    (box,) = items([part(box_piece("box", 200.0, 300.0))], CLOTH)
    assert starts(Laying([box], Board(250.0, 0.0, 100.0))) == []


@pytest.mark.parametrize("high", [1, 2, 5, 12])
def test_a_rectangle_meets_what_its_rows_meet(high: int) -> None:
    """Told from one row of it; here row by row, at every offset."""
    chance = np.random.default_rng(high)
    left = chance.uniform(0.0, 3.0, 9)
    right = left + chance.uniform(0.5, 3.0, 9)
    shape = Rows(rows=np.arange(9), left=left, right=right, high=9, long=6)
    box = Rows(
        rows=np.arange(high), left=np.full(high, 0.3), right=np.full(high, 3.6), high=high, long=4
    )
    expected = np.zeros((9, 8 + high), dtype=bool)
    for x in range(9):
        for y in range(8 + high):
            along, across = x - 3, y - high + 1
            expected[x, y] = any(
                left[n] < 3.6 + along - 1e-6 and 0.3 + along < right[n] - 1e-6
                for n in range(9)
                if 0 <= n - across < high
            )
    assert (meeting(shape, box) == expected).all()
    assert (meeting(box, shape) == expected[::-1, ::-1]).all()
