"""Covering designs: few rows in which every choice meets every other one.

Of faults that come of choices meeting, nearly all need two or three of them at once (D. R. Kuhn,
D. R. Wallace, A. M. Gallo, Software fault interactions and implications for software testing, IEEE
Transactions on Software Engineering 30(6), 2004; cited from memory), so rows in which all triples
of choices occur find almost what all rows find.
"""

from __future__ import annotations

import random
from collections.abc import Hashable, Sequence
from itertools import combinations, product
from typing import Any, TypeVar

import pytest

T = TypeVar("T", bound=Hashable)

_MOST_ROWS = 8000


def covering(choices: Sequence[Sequence[T]], strength: int, seed: int = 0) -> list[tuple[T, ...]]:
    """Return rows, one choice of each column, in which all of any `strength` columns' meet.

    Greedy over all rows in an order that the seed gives: those that bring most that is new first.
    Of very many rows a sample is looked at, in which what should meet does so many times over.
    """
    rows = list(product(*choices))
    random.Random(seed).shuffle(rows)
    del rows[_MOST_ROWS:]
    columns = list(combinations(range(len(choices)), strength))
    seen: set[tuple[object, ...]] = set()
    kept: list[tuple[T, ...]] = []
    for least in sorted({len(columns), *(len(columns) * n // 10 for n in range(9, 0, -1)), 1})[
        ::-1
    ]:
        left = []
        for row in rows:
            new = [(c, *(row[i] for i in c)) for c in columns]
            new = [n for n in new if n not in seen]
            if len(new) >= max(1, least):
                seen.update(new)
                kept.append(row)
            elif new:
                left.append(row)
        rows = left
    return kept


def in_turns(first: Sequence[object], second: Sequence[object]) -> list[Any]:
    """Return parameters for a test: every choice of the first with one of the second, in turns.

    All other combinations are marked `full`.
    """
    return [
        pytest.param(a, b, marks=[] if n % len(second) == m else [pytest.mark.full])
        for n, a in enumerate(first)
        for m, b in enumerate(second)
    ]
