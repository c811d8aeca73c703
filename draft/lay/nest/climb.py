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
from collections.abc import Iterator, Sequence
from itertools import cycle, permutations
from typing import NamedTuple

from outseam.draft.lay.model.orientations import Item
from outseam.draft.lay.model.positions import Positions, Slides, reach_mm
from outseam.draft.lay.nest.board import ALONG_MM, CORNERS, Board, Corner, Form, Spot
from outseam.draft.lay.nest.bottom_left import orders
from outseam.draft.lay.nest.compaction import compacted
from outseam.draft.lay.nest.shelf import shelf

#: So many of the largest pieces are laid abreast: the legs of one pair of pants. A piece smaller
#: than this share of the largest is none of them.
_LEGS, _LARGE_SHARE = 4, 0.45
#: Legs abreast may be slid along each other as far as a row so much longer than the longest holds.
_LONGER = (1.0, 1.06, 1.12, 1.2, 1.3, 1.4, 1.5)
#: After so many lays that are no shorter it is begun anew, with another lay of the first ones.
_PATIENCE = 80
#: A lay of so many pieces has all the tries that are asked for: one pair of pants.
_USUAL = 10


class _Gene(NamedTuple):
    """How an item is put down: in one of its forms by number, or in the best (-1).

    `within` is how long a row it is pushed in, squares, where it is pushed across.
    """

    item: int
    form: int = -1
    corner: Corner = "low"
    within: int = 0


class _Lay(NamedTuple):
    """A lay: how long it is and how far its pieces reach in all, in squares, and where they are."""

    length: int
    reach: int
    genes: Sequence[_Gene]
    placed: Sequence[Spot]


def _merit(lay: _Lay) -> tuple[int, int]:
    """Return what is compared of lays, less is better."""
    return lay.length, lay.reach


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
        self._items = tuple(items)
        gap_mm = items[0].orientations[0].gap_mm
        rows = shelf(items, breadth_mm)
        assert rows is not None, "every orientation fits"
        self._shelf = rows
        self._board = board or Board(breadth_mm, gap_mm, reach_mm(rows))
        self._forms = [self._board.forms(i) for i in items]
        self._alike = [i.part.piece.any_grain and i.part.piece.copies > 1 for i in items]
        self._chance = random.Random(seed)
        starts = list(self._starts())
        if not starts:
            # Where rows of boxes lie shorter than anything else, there has to be room to begin.
            self._board = Board(breadth_mm, gap_mm, 1.5 * reach_mm(rows))
            self._forms = [self._board.forms(i) for i in items]
            starts = list(self._starts())
        self._begins = cycle(sorted(starts, key=_merit))
        self._lay_now = self._best = next(self._begins) if starts else None
        self._idle = 0
        self._ends: list[_Lay] = []

    @property
    def board(self) -> Board:
        """The board, to be used again."""
        return self._board

    def climb(self, tries: int, *, until: float = math.inf, good_mm: float = 0.0) -> Positions:
        """Return the best lay of all after so many more tries.

        None is begun after a time by the clock, nor once a lay is about as short as `good_mm`.
        """
        if self._best is None or self._lay_now is None:
            return self._shelf
        best, now = self._best, self._lay_now
        for _ in range(tries if len(self._items) > 1 else 0):
            if best.length * ALONG_MM <= good_mm or time.monotonic() > until:
                break
            found = self._lay(self._changed(now), now.length, now)
            self._idle += 1
            if found is not None and _merit(found) <= _merit(now):
                if found.length < now.length:
                    self._idle = 0
                now = found
            if _merit(now) < _merit(best):
                best = now
            if self._idle > _PATIENCE:
                self._ends.append(now)
                now, self._idle = next(self._begins), 0
        self._best, self._lay_now = best, now
        return self._board.positions(best.placed)

    def several(self, most: int) -> list[Positions]:
        """Return the shortest lays that climbing came to so far, up to so many, all different."""
        if self._lay_now is None:
            return [self._shelf]
        found = {_merit(lay): lay for lay in (*self._ends, self._lay_now)}
        return [self._board.positions(found[m].placed) for m in sorted(found)[:most]]

    def _starts(self) -> Iterator[_Lay]:
        number = {i.key: n for n, i in enumerate(self._items)}
        by_size: list[list[_Gene]] = [
            [_Gene(item=number[i.key]) for i in order] for order in orders(self._items)
        ]
        for genes in by_size:
            found = self._lay(genes)
            if found is not None:
                yield found
        for legs in self._abreast():
            taken = {g.item for g in legs}
            found = self._lay([*legs, *(g for g in by_size[1] if g.item not in taken)])
            if found is not None:
                yield found

    def _abreast(self) -> Iterator[list[_Gene]]:
        """Yield the legs abreast, in the order that takes least of the breadth, row by row."""
        by_area = sorted(range(len(self._items)), key=lambda n: (-self._items[n].area_mm2, n))
        least = _LARGE_SHARE * self._items[by_area[0]].area_mm2
        legs = [n for n in by_area[:_LEGS] if self._items[n].area_mm2 >= least]
        if len(legs) < 2:
            return
        longest = max(min(f.shape.long for f in self._forms[n]) for n in legs)
        area = sum(self._forms[n][0].shape.area for n in legs)
        for share in _LONGER:
            within = math.ceil(share * longest)
            if area > within * self._board.high:
                continue
            found = []
            for order in permutations(legs):
                # Seen in a mirror across the fabric, the other copy would come first.
                if order.index(legs[0]) > order.index(legs[-1]):
                    continue
                genes = [_Gene(item=n, corner="below", within=within) for n in order]
                lay = self._lay(genes, within)
                if lay is not None:
                    high = max(at % self._board.stride + f.shape.high for _, f, at in lay.placed)
                    found.append((high, genes))
            if found:
                yield min(found, key=lambda f: f[0])[1]

    def _changed(self, lay: _Lay) -> list[_Gene]:
        """Return a lay as it is written, with one or two things changed."""
        chance, found = self._chance, list(lay.genes)
        for _ in range(1 if chance.random() < 0.6 else 2):
            kind, n = chance.random(), chance.randrange(len(found))
            if kind < 0.2:
                other = chance.randrange(len(found))
                found[n], found[other] = found[other], found[n]
            elif 0.4 <= kind < 0.6:
                forms = len(self._forms[found[n].item])
                found[n] = found[n]._replace(form=chance.randrange(-1, forms))
            else:
                gene = found.pop(n)
                if kind >= 0.6:
                    corner, within = chance.choice(CORNERS), lay.length - 1
                    gene = gene._replace(corner=corner, within=within)
                n = n if kind >= 0.75 else chance.randrange(len(found) + 1)
                found.insert(n, gene)
        return found

    def _lay(
        self, genes: Sequence[_Gene], limit: int | None = None, known: _Lay | None = None
    ) -> _Lay | None:
        """Return the lay; None where it gets longer than the limit or something fits nowhere.

        As far as it is written like a known one it lies like that.
        """
        most = self._board.long if limit is None else limit
        placed: list[Spot] = []
        length = reach = 0
        for n, gene in enumerate(genes):
            if known is not None and gene == known.genes[n]:
                spot: Spot | None = known.placed[n]
            else:
                known, spot = None, self._spot(gene, placed)
            if spot is None:
                return None
            _, form, at = spot
            end = at // self._board.stride + form.shape.long
            if end > most:
                return None
            placed.append(spot)
            length, reach = max(length, end), reach + end * form.shape.high
        return _Lay(length, reach, genes, placed)

    def _spot(self, gene: _Gene, placed: Sequence[Spot]) -> Spot | None:
        """Return where an item goes: nearest to the cut end, or furthest across if so pushed."""
        item, forms, stride = self._items[gene.item], self._forms[gene.item], self._board.stride
        if gene.form >= 0:
            forms = forms[gene.form : gene.form + 1]
        grain = None
        if self._alike[gene.item]:
            alike = (f for i, f, _ in placed if i.part.piece is item.part.piece)
            grain = next((f.orientation.turn_deg % 180 for f in alike), None)
        best: tuple[int, Form, int] | None = None
        for form in forms:
            if grain is not None and form.orientation.turn_deg % 180 != grain:
                continue
            at = self._board.place(placed, form, gene.corner, gene.within)
            if at is None:
                continue
            if gene.corner == "below":
                merit = at % stride + form.shape.high
            elif gene.corner == "above":
                merit = -(at % stride)
            else:
                merit = at // stride + form.shape.long
            if best is None or merit < best[0]:
                best = merit, form, at
        return None if best is None else (item, best[1], best[2])


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
