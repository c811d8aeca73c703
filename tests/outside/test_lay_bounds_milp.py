"""The bound of a lay against bin packing solved exactly (HiGHS, through scipy).

Boxes of one length lie in rows across the fabric; the fewest rows are a bin-packing problem. A row
may end where no other does, so a lay can be shorter than whole rows, never shorter than the bound.
"""

from __future__ import annotations

import numpy as np
import pytest
from lay_pieces import box_piece, items, part
from scipy.optimize import LinearConstraint, milp

from outseam.draft.lay.model.bounds import area_mm2, bound_mm
from outseam.draft.lay.model.cloth import Cloth

WIDTH, LONG = 1000.0, 100.0


def fewest_rows(breadths: list[float]) -> int:
    """The fewest bins of the fabric's width, by integer programming."""
    n = len(breadths)
    size = n * n + n  # piece i in bin j, bin j used
    rows, low, high = [], [], []
    for i in range(n):
        line = np.zeros(size)
        line[i * n : (i + 1) * n] = 1
        rows.append(line)
        low.append(1.0)
        high.append(1.0)
    for j in range(n):
        line = np.zeros(size)
        line[j : n * n : n] = breadths
        line[n * n + j] = -WIDTH
        rows.append(line)
        low.append(-np.inf)
        high.append(0.0)
    cost = np.concatenate([np.zeros(n * n), np.ones(n)])
    found = milp(
        cost,
        constraints=LinearConstraint(np.array(rows), low, high),
        bounds=(0, 1),
        integrality=np.ones(size),
    )
    assert found.success, found.message
    return round(float(found.fun))


@pytest.mark.parametrize("seed", range(10))
def test_never_more_than_the_fewest_rows(seed: int) -> None:
    chance = np.random.default_rng(seed)
    breadths = [float(b) for b in chance.uniform(200, 700, 7)]
    cloth = Cloth(width_mm=WIDTH)
    boxes = items(
        [part(box_piece(f"b{n}", b, LONG), turns=(0, 180)) for n, b in enumerate(breadths)], cloth
    )
    bound = bound_mm(boxes, cloth)
    assert bound <= LONG * fewest_rows(breadths) + 1e-6
    assert bound >= area_mm2(boxes) / WIDTH - 1e-6


def test_the_bound_is_often_above_the_area_and_sometimes_exact() -> None:
    """Over forty sets of boxes: what the columns add to the area, so that it stays added."""
    chance = np.random.default_rng(1)
    cloth = Cloth(width_mm=WIDTH)
    above = exact = 0
    for _ in range(40):
        breadths = [float(b) for b in chance.uniform(200, 700, 6)]
        boxes = items([part(box_piece(f"b{n}", b, LONG)) for n, b in enumerate(breadths)], cloth)
        bound = bound_mm(boxes, cloth)
        above += bound > area_mm2(boxes) / WIDTH + 1.0
        exact += bound > LONG * fewest_rows(breadths) - 1.0
    assert above >= 20
    assert exact >= 8
