"""Lays to begin climbing from: pieces by size, and the legs in the best orders with the rest in.

The legs decide how long a lay gets. They are laid abreast, or each as near to the cut end as it
goes, one after the other: of the ways to lay the same of them with the same one last only the best
are gone on with (beam search). Then each smaller piece goes in before the piece where it is best.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from functools import cache
from itertools import islice

from outseam.draft.lay.nest.board import Corner, OnBoard
from outseam.draft.lay.nest.bottom_left import orders
from outseam.draft.lay.nest.written import Gene, Laying, Written, merit

#: So many of the largest pieces are taken for legs: those of one pair of pants. A piece smaller
#: than this share of the largest is none of them.
_LEGS, _LARGE_SHARE = 4, 0.45
#: Legs abreast may be slid along each other as far as a row so much longer than the longest holds;
#: the shortest rows in which they have room are looked at, so many of them.
_LONGER = (1.0, 1.06, 1.12, 1.2, 1.3, 1.4, 1.5)
_ROWS = 2
#: Legs abreast never fill more of their row.
_DENSEST = 0.85
#: Of the legs laid alike so many are gone on with where they are not abreast, and so many ways to
#: lay all of them are looked at further.
_BEAM, _MOST = 4, 8
#: Into so many of these the smaller pieces are put one by one, each in these ways; lays of more
#: pieces than one pair of pants has are begun from so few, and with the rest put behind.
_FILLED, _USUAL, _FEW = 8, 10, 6
_WAYS: tuple[Corner, ...] = ("low", "below", "above")


def starts(laying: Laying) -> list[Written]:
    """Return lays of all items, the shortest first; none if they have no room."""
    number = {i.key: n for n, i in enumerate(laying.items)}
    by_size = [[Gene(item=number[i.key]) for i in order] for order in orders(laying.items)]
    found = [laying.lay(genes) for genes in by_size]
    legs = _legs(laying)
    if len(legs) > 1:
        rest = [g for g in by_size[1] if g.item not in legs]
        few = len(laying.items) <= _USUAL
        begun: dict[tuple[int, int], Written] = {}
        for laid in islice(_legs_laid(laying, legs), None if few else _FEW):
            whole = laying.lay([*laid.genes, *rest], known=laid)
            if whole is not None:
                found.append(whole)
                begun.setdefault(merit(whole), laid)
        least = min((lay.length for lay in begun.values()), default=0)
        for m in sorted(begun)[: _FILLED if few else 0]:
            if min(lay.length for lay in found if lay is not None) <= least:
                break
            found.append(_filled(laying, begun[m], [g.item for g in rest]))
    return sorted((lay for lay in found if lay is not None), key=merit)


def _legs(laying: Laying) -> list[int]:
    areas = [round(i.area_mm2) for i in laying.items]
    by_area = sorted(range(len(areas)), key=lambda n: (-areas[n], n))[:_LEGS]
    return [n for n in by_area if areas[n] >= _LARGE_SHARE * areas[by_area[0]]]


def _legs_laid(laying: Laying, legs: Sequence[int]) -> Iterator[Written]:
    """Yield the legs abreast, and unless that is as short as one of them, laid otherwise."""
    longest = max(min(f.shape.long for f in laying.forms[n]) for n in legs)
    area = sum(laying.forms[n][0].shape.area for n in legs)
    widths = dict.fromkeys(math.ceil(share * longest) for share in _LONGER)
    rows = [w for w in widths if area <= _DENSEST * w * laying.board.high]

    @cache
    def row(n: int) -> list[Written]:
        return _beam(laying, legs, ("below",), rows[n], 1)[:_MOST]

    first = bisect_left(range(len(rows)), True, key=lambda n: bool(row(n)))
    shortest = math.inf
    for n in range(len(rows))[first : first + _ROWS]:
        for lay in row(n):
            shortest = min(shortest, lay.length)
            yield lay
    if shortest > longest:
        yield from _beam(laying, legs, ("low", "high"), 0, _BEAM)[:_MOST]


def _beam(
    laying: Laying, legs: Sequence[int], corners: Sequence[Corner], within: int, most: int
) -> list[Written]:
    """Return lays of the legs pushed into the corners, the best first: up to `most` of those alike.

    Abreast those are best that take least of the breadth.
    """

    def worth(lay: Written) -> tuple[int, int]:
        tops = (one.at % laying.board.stride + one.form.shape.high for one in lay.laid)
        return merit(lay) if "low" in corners else (max(tops), lay.laid.reach)

    level = [Written((), ())]
    for _ in legs:
        after: dict[tuple[frozenset[int], int, int], list[Written]] = {}
        for lay in level:
            for gene, laid in _next(laying, lay, legs, corners, within):
                more = Written((*lay.genes, gene), (*lay.steps, laid))
                alike = frozenset(g.item for g in more.genes), gene.item, gene.form
                after.setdefault(alike, []).append(more)
        level = [lay for found in after.values() for lay in sorted(found, key=worth)[:most]]
    return sorted(level, key=worth)


def _next(
    laying: Laying, lay: Written, legs: Sequence[int], corners: Sequence[Corner], within: int
) -> Iterator[tuple[Gene, OnBoard]]:
    """Yield the ways to lay one leg more."""
    used, seen = {g.item for g in lay.genes}, set()
    for n in legs:
        for k, form in enumerate(() if n in used else laying.forms[n]):
            # The first is laid in one of two ways that are mirror images of each other.
            mirror = form.base.number, form.along if "low" in corners else form.across
            if not used and mirror in seen:
                continue
            seen.add(mirror)
            for corner in corners if used else corners[:1]:
                gene = Gene(n, k, corner, within)
                laid = laying.put(gene, lay.steps[-1] if lay.steps else None)
                if laid is not None:
                    yield gene, laid


def _filled(laying: Laying, lay: Written, rest: Sequence[int]) -> Written | None:
    """Return a lay with other items put in; None if one fits nowhere."""
    for item in rest:
        best: Written | None = None
        for n in range(len(lay.genes), -1, -1):
            for corner in _WAYS:
                gene = Gene(item, corner=corner, within=lay.length)
                genes = [*lay.genes[:n], gene, *lay.genes[n:]]
                found = laying.lay(genes, None if best is None else best.length, lay)
                if found is not None and (best is None or merit(found) < merit(best)):
                    best = found
            if best is not None and best.length == lay.length:
                break
        if best is None:
            return None
        lay = best
    return lay
