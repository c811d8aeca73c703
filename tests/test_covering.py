"""Covering designs: everything that should meet does, in far fewer rows than there are."""

from __future__ import annotations

from itertools import combinations, product

import pytest
from covering import covering

CHOICES = (tuple("abcdef"), tuple("gh"), tuple("ijkl"), tuple("mno"), tuple("pqrst"))


@pytest.mark.parametrize(("strength", "most"), [(1, 8), (2, 45), (3, 190)])
def test_all_choices_of_any_columns_meet(strength: int, most: int) -> None:
    rows = covering(CHOICES, strength)
    for columns in combinations(range(len(CHOICES)), strength):
        met = {tuple(row[i] for i in columns) for row in rows}
        assert met == set(product(*(CHOICES[i] for i in columns)))
    # At least as many as the two or three widest columns have together: 6, 30 and 120.
    assert len(rows) <= most
    assert rows == covering(CHOICES, strength)
    assert rows != covering(CHOICES, strength, seed=1)
