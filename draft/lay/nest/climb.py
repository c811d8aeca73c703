"""Lays by climbing on squared paper: what is changed stays if the lay gets no longer.

A lay is written as the order in which the pieces are put down, for each an orientation or the best
of all, and the corner into which it is pushed; `board` makes the lay of it. It begins with the
large pieces first, and with the legs abreast, each pushed as far as it goes onto the one before.
Seeded, so the same every time.
"""

from __future__ import annotations

import math
import random
import time
from collections.abc import Sequence
from itertools import cycle

from outseam.draft.lay.model.orientations import Item
from outseam.draft.lay.model.positions import Positions, Slides, reach_mm
from outseam.draft.lay.nest.board import ALONG_MM, CORNERS, Board
from outseam.draft.lay.nest.compaction import compacted
from outseam.draft.lay.nest.shelf import shelf
from outseam.draft.lay.nest.starts import starts
from outseam.draft.lay.nest.written import Gene, Laying, Written, merit

#: After so many lays that are no shorter it is begun anew, with another lay of the first ones.
_PATIENCE = 80
#: A lay of so many pieces has all the tries that are asked for: one pair of pants.
_USUAL = 10


class Climber:
    """Climbing lays of some items on one strip of fabric.

    Copies of a piece that nothing pulls lie alike, all along the fabric or all across.
    """

    def __init__(
        self,
        items: Sequence[Item],
        breadth_mm: float,
        *,
        board: Board | None = None,
        seed: int = 1,
    ) -> None:
        """`board` is one that has served for a longer lay of the same orientations."""
        rows = shelf(items, breadth_mm)
        assert rows is not None, "every orientation fits"
        self._shelf, gap_mm = rows, items[0].orientations[0].gap_mm
        self._laying = Laying(items, board or Board(breadth_mm, gap_mm, reach_mm(rows)))
        self._chance = random.Random(seed)
        begins = starts(self._laying)
        if not begins:
            # Where rows of boxes lie shorter than anything else, there has to be room to begin.
            self._laying = Laying(items, Board(breadth_mm, gap_mm, 1.5 * reach_mm(rows)))
            begins = starts(self._laying)
        self._begins = cycle(begins)
        self._lay_now = self._best = next(self._begins) if begins else None
        self._idle = 0
        self._ends: list[Written] = []

    @property
    def board(self) -> Board:
        """The board, to be used again."""
        return self._laying.board

    def climb(self, tries: int, *, until: float = math.inf, good_mm: float = 0.0) -> Positions:
        """Return the best lay of all after so many more tries.

        None is begun after a time by the clock, nor once a lay is about as short as `good_mm`.
        """
        if self._best is None or self._lay_now is None:
            return self._shelf
        best, now = self._best, self._lay_now
        for _ in range(tries if len(self._laying.items) > 1 else 0):
            if best.length * ALONG_MM <= good_mm or time.monotonic() > until:
                break
            found = self._laying.lay(self._changed(now), now.length, now)
            self._idle += 1
            if found is not None and merit(found) <= merit(now):
                if found.length < now.length:
                    self._idle = 0
                now = found
            if merit(now) < merit(best):
                best = now
            if self._idle > _PATIENCE:
                self._ends.append(now)
                now, self._idle = next(self._begins), 0
        self._best, self._lay_now = best, now
        return self._laying.board.positions(best.laid)

    def several(self, most: int) -> list[Positions]:
        """Return the shortest lays that climbing came to so far, up to so many, all different."""
        if self._lay_now is None:
            return [self._shelf]
        found = {merit(lay): lay for lay in (*self._ends, self._lay_now)}
        return [self._laying.board.positions(found[m].laid) for m in sorted(found)[:most]]

    def _changed(self, lay: Written) -> list[Gene]:
        """Return a lay as it is written, with one or two things changed."""
        chance, found = self._chance, list(lay.genes)
        for _ in range(1 if chance.random() < 0.6 else 2):
            kind, n = chance.random(), chance.randrange(len(found))
            if kind < 0.2:
                other = chance.randrange(len(found))
                found[n], found[other] = found[other], found[n]
            elif 0.4 <= kind < 0.6:
                forms = len(self._laying.forms[found[n].item])
                found[n] = found[n]._replace(form=chance.randrange(-1, forms))
            else:
                gene = found.pop(n)
                if kind >= 0.6:
                    corner, within = chance.choice(CORNERS), lay.length - 1
                    gene = gene._replace(corner=corner, within=within)
                n = n if kind >= 0.75 else chance.randrange(len(found) + 1)
                found.insert(n, gene)
        return found


def climbed(
    items: Sequence[Item],
    breadth_mm: float,
    *,
    tries: int,
    seconds: float = math.inf,
    most: int = 1,
    seed: int = 1,
) -> list[Positions]:
    """Return the shortest lays of so many tries, none begun after `seconds`; up to `most` of them.

    Of many items fewer are tried, as each takes longer. Every item must fit across the fabric in
    each of its orientations.
    """
    until = time.monotonic() + seconds
    climber = Climber(items, breadth_mm, seed=seed)
    climber.climb(max(1, int(tries * min(1.0, (_USUAL / len(items)) ** 3))), until=until)
    slides = Slides()
    return [compacted(found, slides) or found for found in climber.several(most)]
