"""What a row cannot undercut, beside every order of its pieces laid one by one."""

from __future__ import annotations

from itertools import pairwise, permutations

import numpy as np
import pytest

from outseam.draft.lay.nest.row_bounds import least_rests


@pytest.mark.parametrize("n", [1, 2, 4])
def test_least_rests_are_those_of_the_best_order(n: int) -> None:
    chance = np.random.default_rng(n)
    after = chance.uniform(-50.0, 400.0, (3, n, n))
    lengths = chance.uniform(100.0, 500.0, (3, n))
    found = least_rests(after, lengths)
    assert found.shape == (3, 2**n, n)

    def end(row: int, order: tuple[int, ...]) -> float:
        at, reach = 0.0, lengths[row, order[0]]
        for a, b in pairwise(order):
            at += after[row, a, b]
            reach = max(reach, at + lengths[row, b])
        return float(reach)

    for row in range(3):
        for first in range(n):
            others = [k for k in range(n) if k != first]
            best = min(end(row, (first, *order)) for order in permutations(others))
            assert found[row, sum(1 << k for k in others), first] == pytest.approx(best)
            assert found[row, 0, first] == lengths[row, first]


def test_pieces_that_never_meet_bound_nothing() -> None:
    after = np.full((1, 2, 2), -np.inf)
    found = least_rests(after, np.array([[300.0, 500.0]]))
    assert found[0, 2].tolist() == [300.0, 500.0]
