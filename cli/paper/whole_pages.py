"""Pieces whole on sheets of a given size, or on a roll that is to be cut off short.

Pieces are placed one after the other where they reach least far up the page, found for all places
at once on rasters, as in `arrange`. The order makes the difference, so several
are tried. Nothing is random and nothing looks at the clock.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from outseam.cli.paper.placement import Placement
from outseam.cli.paper.raster import (
    Meetings,
    Raster,
    piece_rasters,
)
from outseam.curves.path import Floats
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.words import measure, words

#: Cells of about this size: smaller costs time, larger costs paper (up to a cell per side).
_CELL_MM = 6.0


@dataclass(frozen=True, slots=True, kw_only=True)
class WholePage:
    """Pieces that lie whole on one page, and the width and height they use of it."""

    placements: tuple[Placement, ...]
    width_mm: float
    height_mm: float


class TooLargeError(InputError):
    """A piece that no sheet of the paper holds whole, in any quarter turn."""


def arrange_whole(
    polygons: Sequence[Floats],
    page_w_mm: float,
    page_h_mm: float,
    gap_mm: float = 10.0,
    *,
    cut_short: bool = False,
) -> tuple[WholePage, ...]:
    """Place the outlines whole on as few pages of the given usable size as can be.

    Within a page the pieces are packed towards its lower edge. `cut_short` is for a roll (a page
    as wide as the roll and as long as a file may be): what counts beside the pages is then how
    long they are together, see `WholePage.height_mm`. Raises TooLargeError when a piece fits no
    page in any quarter turn.
    """
    cell = (_CELL_MM, _CELL_MM)
    rasters = [piece_rasters(p, cell, 0.0, gap_mm) for p in polygons]
    fitting = [
        [r for r in turns if r.size_mm[0] <= page_w_mm and r.size_mm[1] <= page_h_mm]
        for turns in rasters
    ]
    for turns, options in zip(rasters, fitting, strict=True):
        if not options:
            w, h = turns[0].size_mm
            raise TooLargeError(
                "print",
                words(
                    "a piece of {wide} x {high} on paper of which {w} x {h} can be printed",
                    wide=measure(w),
                    high=measure(h),
                    w=measure(page_w_mm),
                    h=measure(page_h_mm),
                ),
                "pieces that fit the paper whole",
                "choose wider paper or home pages, which are taped together",
            )
    size = [(float(t[0].mask.sum()), max(t[0].size_mm), min(t[0].size_mm)) for t in rasters]
    orders = {tuple(sorted(range(len(polygons)), key=lambda i: (-size[i][k], i))) for k in range(3)}
    known = Meetings()
    found = [(_pack_whole(o, fitting, page_w_mm, page_h_mm, known), o) for o in sorted(orders)]
    best, order = min(found, key=lambda one: _worth(one[0]))
    filled = sum(one[0] for one in size) * _CELL_MM**2
    if cut_short or len(best) > math.ceil(filled / (page_w_mm * page_h_mm)):
        page = (page_w_mm, page_h_mm)
        return _with_better_order(best, order, fitting, page, known, cut_short=cut_short)
    return best


#: Packings in another order that a search may try after the first three.
_TRIES_ROLL, _TRIES_SHEETS = 120, 24
#: Fewer where there is much paper and many pieces: this many cells times pieces in all.
_WORK = 40_000_000


def _worth(pages: Sequence[WholePage]) -> tuple[int, float]:
    return len(pages), sum(page.height_mm for page in pages)


def _with_better_order(
    best: tuple[WholePage, ...],
    order: tuple[int, ...],
    rasters: Sequence[Sequence[Raster]],
    page_mm: tuple[float, float],
    known: Meetings,
    *,
    cut_short: bool,
) -> tuple[WholePage, ...]:
    """Move one piece at a time to another turn in the order, as long as that saves paper."""
    width, height = page_mm
    tried, changed = {order}, True
    cells = sum(page.height_mm for page in best) * width / _CELL_MM**2
    most = min(_TRIES_ROLL if cut_short else _TRIES_SHEETS, int(_WORK / (cells * len(order))))
    while changed and (cut_short or len(best) > 1):
        changed = False
        for new in _neighbours(order):
            if new in tried or len(tried) > most:
                continue
            tried.add(new)
            # On a single page there is no need to look higher than what is to be beaten.
            limit = min(height, best[0].height_mm) if len(best) == 1 else height
            pages = _pack_whole(new, rasters, width, limit, known, most=len(best))
            if pages and _worth(pages) < _worth(best):
                best, order, changed = pages, new, True
                break
    return best


def _neighbours(order: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
    """Walk the orders in which one piece has another turn, the earliest turns first."""
    for to in range(len(order)):
        for at in range(len(order)):
            if at != to:
                rest = (*order[:at], *order[at + 1 :])
                yield (*rest[:to], order[at], *rest[to:])


def _pack_whole(
    order: Sequence[int],
    rasters: Sequence[Sequence[Raster]],
    page_w_mm: float,
    page_h_mm: float,
    known: Meetings,
    most: int = 1_000,
) -> tuple[WholePage, ...]:
    """Place the pieces in the given order, each on the first page with room, lowest place first.

    Returns nothing if more than `most` pages are needed.
    """
    pages: list[list[tuple[Raster, int, int, Placement]]] = []
    for piece in order:
        for number in range(len(pages) + 1):
            if number == len(pages):
                if number == most:
                    return ()
                pages.append([])
            laid = [one[:3] for one in pages[number]]
            place = _lowest_place(laid, rasters[piece], (page_h_mm, page_w_mm), known)
            if place:
                raster, row, column = place
                x, y = raster.lower_left
                at = Placement(
                    piece=piece,
                    dx_mm=column * _CELL_MM - x,
                    dy_mm=row * _CELL_MM - y,
                    turn_deg=raster.turn_deg,
                )
                pages[number].append((raster, row, column, at))
                break
            if number + 1 == most:
                return ()
    return tuple(_whole_page([(r, at) for r, _, _, at in placed]) for placed in pages)


def _lowest_place(
    placed: Sequence[tuple[Raster, int, int]],
    options: Sequence[Raster],
    side_mm: tuple[float, float],
    known: Meetings,
) -> tuple[Raster, int, int] | None:
    """Return the turn and position whose upper edge is lowest, then furthest left."""
    best: tuple[tuple[float, int], Raster, int, int] | None = None
    for raster in options:
        last_row = int((side_mm[0] - raster.size_mm[1]) / _CELL_MM + 1e-9) + 1
        last_column = int((side_mm[1] - raster.size_mm[0]) / _CELL_MM + 1e-9) + 1
        if last_row < 1 or last_column < 1:
            continue
        taken = known.taken(placed, raster, (last_row, last_column))
        row, column = divmod(int(taken.argmin()), last_column)
        if not taken[row, column]:
            reach = (row * _CELL_MM + raster.size_mm[1], column)
            if best is None or reach < best[0]:
                best = (reach, raster, row, column)
    return best[1:] if best else None


def _whole_page(placed: Sequence[tuple[Raster, Placement]]) -> WholePage:
    right = [r.lower_left[0] + p.dx_mm + r.size_mm[0] for r, p in placed]
    high = [r.lower_left[1] + p.dy_mm + r.size_mm[1] for r, p in placed]
    placements = sorted((p for _, p in placed), key=lambda p: p.piece)
    return WholePage(placements=tuple(placements), width_mm=max(right), height_mm=max(high))
