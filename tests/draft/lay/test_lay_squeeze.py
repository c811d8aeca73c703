"""Lays drawn together: closed forms, and never nearer than the gap by shapely."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations

import pytest
from lay_pieces import box_piece, items, part, polygon_piece
from shapely import Polygon, affinity

from outseam.draft.lay.model.cloth import Cloth
from outseam.draft.lay.model.positions import Position, Positions, reach_mm
from outseam.draft.lay.nest.climb import climbed
from outseam.draft.lay.nest.squeeze import Squeeze


def disc(radius: float, corners: int = 90) -> list[tuple[float, float]]:
    """A disc as a polygon just round it."""
    out = radius / math.cos(math.pi / corners)
    angles = [2.0 * math.pi * (n + 0.5) / corners for n in range(corners)]
    return [(out * math.cos(a), out * math.sin(a)) for a in angles]


def apart(positions: Positions) -> float:
    shapes = [affinity.translate(Polygon(s.orientation.outline), s.x_mm, s.y_mm) for s in positions]
    return min(a.distance(b) for a, b in combinations(shapes, 2))


def in_a_row(cloth: Cloth, *names: str, radius: float = 100.0) -> Positions:
    parts = [part(polygon_piece(n, disc(radius)), turns=(0,)) for n in names]
    found, x = [], 0.0
    for n, item in enumerate(items(parts, cloth)):
        orientation = item.orientations[0]
        # Just side by side they would stay: their outlines are flat there.
        y = 70.0 if n % 2 else 0.0
        found.append(Position(item=item, orientation=orientation, x_mm=x, y_mm=y))
        x += orientation.length_mm + cloth.gap_mm + 10.0
    return tuple(found)


@pytest.mark.parametrize("gap_mm", [0.0, 8.0])
@pytest.mark.parametrize("coarse", [False, True])
def test_two_discs_in_a_strip(gap_mm: float, coarse: bool) -> None:
    """Closed form: centres 2r + gap apart, as far from each other across as the strip allows."""
    r, high = 100.0, 300.0
    start = in_a_row(Cloth(width_mm=high, gap_mm=gap_mm), "one", "two", radius=r)
    found = Squeeze(high, coarse=coarse).squeezed(start)
    best = 2.0 * r + math.sqrt((2.0 * r + gap_mm) ** 2 - (high - 2.0 * r) ** 2)
    assert best - 0.2 <= reach_mm(found) <= best + (10.0 if coarse else 0.6)
    assert apart(found) >= gap_mm - 1e-6


def test_nothing_changes_sides_and_nothing_gets_longer() -> None:
    cloth = Cloth(width_mm=500.0, gap_mm=5.0)
    start = in_a_row(cloth, "a", "b", "c", "d")
    found = Squeeze(500.0).squeezed(start)
    assert reach_mm(found) <= reach_mm(start)
    assert apart(found) >= 5.0 - 1e-6
    order = sorted(range(4), key=lambda n: found[n].x_mm)
    assert order == [0, 1, 2, 3]
    # Few steps are on the way to many.
    assert reach_mm(found) <= reach_mm(Squeeze(500.0).squeezed(start, 1)) <= reach_mm(start)


def test_what_lies_on_the_fold_stays_there_and_all_stay_on_the_fabric() -> None:
    cloth = Cloth(width_mm=1000.0, folded=True, gap_mm=5.0)
    parts = [part(box_piece("band", 400.0, 120.0), zone="fold")]
    wedge = polygon_piece("wedge", [(0, 0), (300, 0), (180, 700)])
    parts += [part(wedge, n) for n in (1, 2)]
    laid = items(parts, cloth)
    start = climbed(laid, 500.0, tries=0)[0]
    spread = tuple(replace(s, x_mm=1.5 * s.x_mm + 20.0) for s in start)
    found = Squeeze(500.0).squeezed(spread)
    assert reach_mm(found) < reach_mm(spread) - 19.0
    assert apart(found) >= 5.0 - 1e-6
    for s in found:
        assert s.x_mm >= -1e-9
        assert s.y_mm >= -1e-9
        assert s.top_mm <= 500.0 + 1e-9
        if s.item.at_fold:
            assert s.top_mm == pytest.approx(500.0)


def test_one_piece_and_none() -> None:
    cloth = Cloth(width_mm=300.0)
    (one,) = in_a_row(cloth, "one")
    (found,) = Squeeze(300.0).squeezed((replace(one, x_mm=25.0),))
    assert found.x_mm == pytest.approx(0.0)
    assert Squeeze(300.0).squeezed(()) == ()
