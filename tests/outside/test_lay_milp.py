"""The exact rows of the border lay against a mixed-integer solver (HiGHS, through scipy).

The solver knows nothing of orders: for every pair it chooses freely which lies to the right.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import numpy as np
import pytest
from lay_pieces import box_piece, orientation_of, part
from scipy.optimize import LinearConstraint, milp

from outseam.draft.fabric import Fabric
from outseam.draft.lay.model.orientations import Item
from outseam.draft.lay.model.positions import Slides
from outseam.draft.lay.nest.fixed_rows import FixedPlace, Match, best_rows

BIG = 1e5


def leg_like(chance: np.random.Generator) -> list[tuple[float, float]]:
    """A tall shape with four bends, narrow and wide in turn."""
    heights = np.sort(chance.uniform(0, 900, 4))
    half = chance.uniform(60, 220, 6)
    ys = [0.0, *heights.tolist(), 950.0]
    lean = np.linspace(0, chance.uniform(-120, 120), 6)
    right = [(float(x + s), y) for x, s, y in zip(half, lean, ys, strict=True)]
    left = [
        (float(-x * chance.uniform(0.5, 1.0) + s), y)
        for x, s, y in zip(half, lean, ys, strict=True)
    ]
    return [*right, *reversed(left)]


def rails_of(chance: np.random.Generator, count: int, repeat: bool) -> list[FixedPlace]:
    """Legs on both selvedges of a fabric and a box or two like bands."""
    from lay_pieces import polygon_piece

    found = []
    for n in range(count):
        if n < count - 2:
            piece = polygon_piece(f"leg{n}", leg_like(chance))
        else:
            piece = box_piece(f"band{n}", float(chance.uniform(200, 450)), 120.0)
        one = part(piece, turns=(90, 270))
        far = bool(chance.integers(2)) and not repeat
        orientation = orientation_of(one, Fabric(), 5.0, "up", 270 if far else 90)
        y = 1400.0 - orientation.breadth_mm - 20.0 if far else 20.0
        item = Item(part=one, orientations=(orientation,))
        match = Match(group="legs", at_mm=float(chance.uniform(0, 300))) if repeat else None
        found.append(
            FixedPlace(
                item=item,
                orientation=orientation,
                y_mm=y,
                side="far" if far else "near",
                match=match,
            )
        )
    return found


def solved_mm(places: Sequence[FixedPlace], repeat_mm: float | None) -> float:
    """The shortest row by mixed-integer programming."""
    n, slides = len(places), Slides()
    pairs = []
    for i, j in combinations(range(n), 2):
        rows = slides.blocked(
            places[i].orientation, places[j].orientation, places[j].y_mm - places[i].y_mm
        )
        if rows:
            pairs.append((i, j, rows[0][0], rows[-1][1]))
    # x (n), binaries (pairs), whole repeats (n), phase, length
    size = n + len(pairs) + n + 2
    matrix, low, high = [], [], []

    def row(entries: dict[int, float], least: float, most: float = np.inf) -> None:
        line = np.zeros(size)
        for k, v in entries.items():
            line[k] = v
        matrix.append(line)
        low.append(least)
        high.append(most)

    for b, (i, j, before, after) in enumerate(pairs):
        row({j: 1, i: -1, n + b: BIG}, after)  # j to the right of i
        row({j: -1, i: 1, n + b: -BIG}, -before - BIG)  # or i to the right of j
    for i, r in enumerate(places):
        row({size - 1: 1, i: -1}, r.orientation.length_mm)
        if repeat_mm and r.match:
            whole = n + len(pairs) + i
            row({i: 1, size - 2: -1, whole: -repeat_mm}, -r.match.at_mm, -r.match.at_mm)
    upper = np.full(size, BIG)
    upper[n : n + len(pairs)] = 1
    lower = np.zeros(size)
    lower[n + len(pairs) : -2] = -50
    upper[n + len(pairs) : -2] = 50
    whole = np.zeros(size)
    whole[n:-2] = 1
    cost = np.zeros(size)
    cost[-1] = 1
    found = milp(
        cost,
        constraints=LinearConstraint(np.array(matrix), low, high),
        bounds=(lower, upper),
        integrality=whole,
        options={"mip_rel_gap": 1e-7},
    )
    assert found.success, found.message
    return float(found.fun)


@pytest.mark.parametrize("seed", range(12))
def test_rows_are_as_short_as_the_integer_solver_finds(seed: int) -> None:
    chance = np.random.default_rng(seed)
    places = rails_of(chance, 5, repeat=False)
    found = best_rows([[r] for r in places], Slides())
    assert found.proved
    assert found.rows[0].length_mm == pytest.approx(solved_mm(places, None), abs=0.05)


@pytest.mark.parametrize("seed", range(6))
def test_rows_with_a_repeat_too(seed: int) -> None:
    chance = np.random.default_rng(100 + seed)
    repeat = float(chance.uniform(150, 400))
    places = rails_of(chance, 5, repeat=True)
    found = best_rows([[r] for r in places], Slides(), repeat_mm=repeat)
    assert found.rows[0].length_mm == pytest.approx(solved_mm(places, repeat), abs=0.05)
    starts = [
        s.x_mm + r.match.at_mm
        for s, r in zip(found.rows[0].positions, places, strict=True)
        if r.match
    ]
    off = (np.array(starts) - starts[0]) / repeat
    assert np.abs(off - np.round(off)).max() < 1e-6
