"""Slides along the fabric: which ones bring two outlines together."""

from __future__ import annotations

import numpy as np
import pytest

from outseam.draft.lay.model.orientations import around
from outseam.draft.lay.model.profile import blocked, first_free, merged, profile_of

SQUARE = np.array([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)])
#: A U lying on its side: two arms, open to the right, hollow from y = 4 to 6.
FORK = np.array([(0, 0), (20, 0), (20, 4), (5, 4), (5, 6), (20, 6), (20, 10), (0, 10)], dtype=float)


def test_two_squares_block_each_other_within_a_side() -> None:
    square = profile_of(SQUARE)
    assert blocked(square, square, 3.0) == ((-10.0, 10.0),)


def test_even_squares_are_free() -> None:
    square = profile_of(SQUARE)
    assert blocked(square, square, 10.0) == ()


def test_a_slanted_side_blocks_by_its_nearest_level() -> None:
    # Right side from (10, 0) to (0, 10): at the square's low level, y = 6, it stands at x = 4.
    wedge = profile_of(np.array([(0.0, 0.0), (10.0, 0.0), (0.0, 10.0)]))
    assert blocked(wedge, profile_of(SQUARE), 6.0)[0][1] == pytest.approx(4.0)


def test_a_small_piece_goes_into_a_hollow_from_its_open_side() -> None:
    peg = np.array([(0.0, 0.0), (8.0, 0.0), (8.0, 1.0), (0.0, 1.0)])
    # Its right end at the fork's back, or its left end at the bottom of the hollow.
    assert blocked(profile_of(FORK), profile_of(peg), 4.5) == ((-8.0, 5.0),)
    assert blocked(profile_of(FORK), profile_of(peg), 3.5) == ((-8.0, 20.0),)


def test_two_intervals_stay_apart() -> None:
    post = profile_of(np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 10.0), (0.0, 10.0)]))
    gate = np.array(
        [(0, 0), (20, 0), (20, 10), (18, 10), (18, 2), (2, 2), (2, 10), (0, 10)], dtype=float
    )
    # The post stands above the gate's sill; between its two jambs it has play from 2 to 17.
    rows = blocked(profile_of(gate), post, 3.0)
    assert rows == ((-1.0, 2.0), (17.0, 20.0))
    assert first_free(rows, -0.5) == 2.0
    assert first_free(rows, 5.0) == 5.0
    assert first_free(rows, 17.5) == 20.0


def test_merged_joins_what_overlaps_and_nothing_else() -> None:
    rows = [(5.0, 7.0), (0.0, 2.0), (1.0, 4.0), (7.5, 8.0)]
    assert merged(rows) == ((0.0, 4.0), (5.0, 7.0), (7.5, 8.0))


def test_a_hairs_breadth_between_two_intervals_is_no_place() -> None:
    assert merged([(0.0, 1.0), (1.0, 2.0)]) == ((0.0, 2.0),)
    assert merged([]) == ()


def test_around_never_comes_nearer_and_keeps_to_its_box() -> None:
    tip = np.array([(0.0, 0.0), (100.0, 5.0), (0.0, 10.0)])
    wide = around(tip, 3.0, 0.5)
    assert wide[:, 0].max() == pytest.approx(103.5, abs=0.6)
    assert wide[:, 0].max() <= 103.5 + 1e-9
    from shapely import Polygon

    assert Polygon(wide).covers(Polygon(tip).buffer(2.99))
