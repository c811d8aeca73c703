"""Lays by climbing on squared paper: what is changed stays if the lay gets no longer.

A lay is written as the order in which the pieces are put down, for each an orientation or the best
of all, and the corner into which it is pushed; `board` makes the lay of it. Seeded, so the same
every time.
"""

from __future__ import annotations

import math
import random
import time
from collections.abc import Sequence
from typing import NamedTuple

from outseam.draft.lay.model.orientations import Item
from outseam.draft.lay.model.positions import Positions, Slides
from outseam.draft.lay.nest.board import CORNERS, Board, Corner, Form, Spot
from outseam.draft.lay.nest.bottom_left import orders
from outseam.draft.lay.nest.compaction import compacted


class _Gene(NamedTuple):
    """How an item is put down: in one of its forms by number, or in the best (-1)."""

    item: int
    form: int
    corner: Corner


class Climber:
    """Climbing lays of some items on one strip of fabric."""

    def __init__(self, items: Sequence[Item], breadth_mm: float, seed: int = 1) -> None:
        self._items = tuple(items)
        gap_mm = items[0].orientations[0].gap_mm
        longest = sum(max(f.length_mm for f in i.orientations) + 3 * gap_mm + 40 for i in items)
        self.board = Board(breadth_mm, gap_mm, longest)
        self._forms = [self.board.forms(i) for i in items]
        self._chance = random.Random(seed)
        self._best: tuple[tuple[int, int], list[_Gene], list[Spot]] | None = None

    def climb(self, tries: int, until: float = math.inf) -> Positions:
        """Return the best lay of so many more tries, none begun after a time by the clock."""
        number = {i.key: n for n, i in enumerate(self._items)}
        if self._best is None:
            for order in orders(self._items):
                genes = [_Gene(number[i.key], -1, "low") for i in order]
                found = self._lay(genes, None)
                if found and (self._best is None or found[0] < self._best[0]):
                    self._best = found[0], genes, found[1]
        assert self._best is not None, "every orientation fits"
        for _ in range(tries if len(self._items) > 1 else 0):
            if time.monotonic() > until:
                break
            genes = self._changed(self._best[1])
            found = self._lay(genes, self._best[0][0])
            if found is not None and found[0] <= self._best[0]:
                self._best = found[0], genes, found[1]
        return self.board.positions(self._best[2])

    def _changed(self, genes: Sequence[_Gene]) -> list[_Gene]:
        """Return a lay with one or two things changed."""
        chance, found = self._chance, list(genes)
        for _ in range(1 if chance.random() < 0.6 else 2):
            kind, n = chance.random(), chance.randrange(len(found))
            if kind < 0.35:
                other = chance.randrange(len(found))
                found[n], found[other] = found[other], found[n]
            elif kind < 0.6:
                gene = found.pop(n)
                found.insert(chance.randrange(len(found) + 1), gene)
            elif kind < 0.8:
                forms = len(self._forms[found[n].item])
                found[n] = found[n]._replace(form=chance.randrange(-1, forms))
            else:
                found[n] = found[n]._replace(corner=chance.choice(CORNERS))
        return found

    def _lay(
        self, genes: Sequence[_Gene], limit: int | None
    ) -> tuple[tuple[int, int], list[Spot]] | None:
        """Return a lay, its length in squares, and how far its pieces reach in all; or None.

        None where it gets longer than the limit.
        """
        placed: list[Spot] = []
        length = reach = 0
        for gene in genes:
            forms = self._forms[gene.item]
            if gene.form >= 0:
                forms = forms[gene.form : gene.form + 1]
            best: tuple[int, Form, int] | None = None
            for form in forms:
                at = self.board.place(placed, form, gene.corner)
                end = at // self.board.stride + form.shape.long
                if best is None or end < best[0]:
                    best = end, form, at
            assert best is not None, "every item has a form"
            end, form, at = best
            if end > self.board.long or (limit is not None and end > limit):
                return None
            placed.append((self._items[gene.item], form, at))
            length, reach = max(length, end), reach + end * form.shape.high
        return (length, reach), placed


def climbed(
    items: Sequence[Item], breadth_mm: float, *, tries: int, seconds: float = math.inf
) -> Positions:
    """Return the best lay of so many tries, none begun after `seconds`, each piece settled.

    Every item must fit across the fabric in each of its orientations.
    """
    until = time.monotonic() + seconds
    positions = Climber(items, breadth_mm).climb(tries, until)
    return compacted(positions, Slides(coarse=True)) or positions
