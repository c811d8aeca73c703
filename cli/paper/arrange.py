"""Where each piece lies on the sheet that home pages are cut from: fewest pages.

Pieces are rastered to cells of a few millimetres; where one may not lie beside another is found for
all positions at once and kept (packing irregular shapes on a raster is standard; see e.g. Bennell &
Oliveira, "The geometry of nesting problems", European Journal of Operational Research 184, 2008;
cited from memory). Which home pages a position makes
necessary depends only on the piece, its turn and its phase against the page grid, and is counted
beforehand from summed-area tables. A beam search over the order of the pieces keeps the layouts
that waste the fewest pages. Nothing is random and nothing looks at the clock: same pieces, same
layout.

All quarter turns of every piece are tried, so pages lying on their side need no trial of their
own: turning every piece by 90° and standing the pages up gives the same set of pages.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations, permutations
from typing import TypeAlias

import numpy as np
import shapely
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from outseam.cli.paper.grid import TileGrid, needed_cells
from outseam.cli.paper.placement import Placement
from outseam.cli.paper.raster import (
    Mask,
    Meetings,
    Raster,
    piece_rasters,
    stamp,
)
from outseam.curves.path import Floats

#: Cells of about this size: smaller costs time, larger costs paper (up to a cell per side). Over 37
#: patterns cells of 6 mm and half as many evaluations again took 789 pages, these take 788.
_CELL_MM = 9.0

#: No outline comes closer than this to the edge of the outermost windows, so that lines of any
#: usual width are printed whole.
_EDGE_MM = 2.0

#: More pages than any layout has.
_NEVER = 10_000

#: Evaluations (one piece against one layout: all turns and positions) a search may spend.
_EVALUATIONS = 120

#: Most layouts kept side by side, pieces tried next on each, continuations kept of each trial.
_BEAM, _NEXT, _BRANCHES = 24, 3, 6

#: Layouts improved at the end by lifting pieces, and how many ways of lifting are tried on each.
_IMPROVED, _LIFTS = 4, 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrangement:
    """Pieces on one large sheet (placements in the order given) and the grid of pages over it.

    The sheet is as large as the grid, its origin the grid's. `pages` counts the pages that show
    an outline or the inside of one.
    """

    placements: tuple[Placement, ...]
    grid: TileGrid
    pages: int

    @property
    def columns(self) -> int:
        """Columns of the grid."""
        return self.grid.columns

    @property
    def rows(self) -> int:
        """Rows of the grid."""
        return self.grid.rows


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Cost:
    """How many new pages each position needs; pages and right end of the best if all is free."""

    pages: NDArray[np.int16]
    at_best: tuple[int, float]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Option:
    """A piece at one turn, ready for the search.

    `need` says, shape (phases up, phases across, page rows, page columns), which pages the piece
    needs when its mask starts at that phase of the grid; `allowed` which phases it may have.
    `patterns` are the different sets of pages among them, (n, pages), and `pattern_of` which one
    each phase has; `under` are the pages of the sheet, one beyond it counted along, that lie under
    these pages from each page of the sheet on.
    `costs` keeps the answers of `_page_cost` per set of used pages: many layouts share one.
    """

    raster: Raster
    need: Mask
    patterns: NDArray[np.int16]
    pattern_of: NDArray[np.intp]
    under: NDArray[np.intp]
    allowed: Mask
    costs: dict[bytes, _Cost] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Layout:
    """A partial arrangement; `chosen` holds (piece, option, row, column) in lattice cells."""

    occupied: Mask
    used: Mask
    chosen: tuple[tuple[int, int, int, int], ...]
    filled_cells: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Sheet:
    """The lattice of cells under the search; pairs are (up, across)."""

    pages: tuple[int, int]
    per_page: tuple[int, int]
    strip: tuple[int, int]
    cell_mm: tuple[float, float]
    shape: tuple[int, int]
    side_mm: tuple[float, float]


def arrange_pieces(
    polygons: Sequence[Floats],
    window_w_mm: float,
    window_h_mm: float,
    overlap_mm: float,
    gap_mm: float = 10.0,
    may_split: Sequence[bool] | None = None,
) -> Arrangement:
    """Place the outlines, each of shape (m, 2) in mm, so that few home pages are needed.

    Pieces keep `gap_mm` between them and are turned by quarter turns only, never mirrored. A piece
    whose `may_split` is False is not cut by a page edge if it fits a window at all. Raises
    ValueError when there is nothing to place.
    """
    if not polygons:
        raise ValueError("no pieces to arrange")
    window, overlap = (window_h_mm, window_w_mm), overlap_mm
    pitch = (window[0] - overlap, window[1] - overlap)
    per_page = (max(4, round(pitch[0] / _CELL_MM)), max(4, round(pitch[1] / _CELL_MM)))
    cell = (pitch[0] / per_page[0], pitch[1] / per_page[1])
    rasters = [piece_rasters(p, (cell[1], cell[0]), _EDGE_MM, gap_mm) for p in polygons]
    splits = may_split if may_split is not None else [True] * len(polygons)
    layouts: list[_Layout] = []
    spare = 1
    while not layouts:
        sheet = _search_sheet(rasters, per_page, cell, overlap, spare)
        options = [_piece_options(r, sheet, sp) for r, sp in zip(rasters, splits, strict=True)]
        known = _Known()
        layouts = _beam_search(options, sheet, known)
        spare *= 2
    layouts = [_improved(layout, options, sheet, known) for layout in layouts[:_IMPROVED]]
    found = [_finished(x, polygons, options, sheet, window, overlap) for x in layouts]
    return min(found, key=lambda a: (a.pages, a.columns * a.rows, a.columns + a.rows))


def _search_sheet(
    rasters: Sequence[Sequence[Raster]],
    per_page: tuple[int, int],
    cell_mm: tuple[float, float],
    overlap_mm: float,
    spare: int,
) -> _Sheet:
    """Return a sheet with room for every layout worth having, but not much more."""
    tall = max(max(turns[0].mask.shape[0], turns[1].mask.shape[0]) for turns in rasters)
    slim = max(min(turns[0].mask.shape[1], turns[1].mask.shape[1]) for turns in rasters)
    rows = math.ceil(tall / per_page[0]) + 1
    area = sum(turns[0].halo.sum() for turns in rasters)
    columns = spare + math.ceil(
        max(slim / per_page[1], 1.5 * area / (rows * per_page[0] * per_page[1]))
    )
    strip = (int(overlap_mm / cell_mm[0] + 1e-9), int(overlap_mm / cell_mm[1] + 1e-9))
    shape = (rows * per_page[0] + strip[0] + 1, columns * per_page[1] + strip[1] + 1)
    return _Sheet(
        pages=(rows, columns),
        per_page=per_page,
        strip=strip,
        cell_mm=cell_mm,
        shape=shape,
        side_mm=(
            rows * per_page[0] * cell_mm[0] + overlap_mm,
            columns * per_page[1] * cell_mm[1] + overlap_mm,
        ),
    )


def _piece_options(turns: Sequence[Raster], sheet: _Sheet, may_split: bool) -> list[_Option]:
    """Return the turns of a piece that fit the sheet."""
    fitting = [
        r for r in turns if all(s <= t for s, t in zip(r.mask.shape, sheet.shape, strict=True))
    ]
    # An oblong is the same at half a turn.
    shapes = [(r.mask.shape, r.mask.tobytes()) for r in fitting]
    needs = {s: _needed_pages(r.mask, sheet) for s, r in zip(shapes, fitting, strict=True)}
    single = {s: need.sum(axis=(2, 3)) == 1 for s, need in needs.items()}
    whole = not may_split and any(mask.any() for mask in single.values())
    found: dict[tuple[tuple[int, ...], bytes], _Option] = {}
    options = []
    for shape, raster in zip(shapes, fitting, strict=True):
        if shape not in found:
            patterns, pattern_of = _patterns(needs[shape])
            found[shape] = _Option(
                raster=raster,
                need=needs[shape],
                patterns=patterns,
                pattern_of=pattern_of,
                under=_pages_under(sheet.pages, needs[shape].shape[2:]),
                allowed=single[shape] if whole else np.ones_like(single[shape]),
            )
        mask = found[shape].raster.mask
        options.append(replace(found[shape], raster=replace(raster, mask=mask)))
    return options


def _pages_under(sheet: tuple[int, int], pages: tuple[int, ...]) -> NDArray[np.intp]:
    """Return which pages of a sheet, (rows, columns, n), lie under so many from each of them on.

    All that lie beyond the sheet are the one after its last.
    """
    (rows, columns), (high, wide) = sheet, pages
    numbers = np.full((rows + high - 1, columns + wide - 1), rows * columns)
    numbers[:rows, :columns] = np.arange(rows * columns).reshape(sheet)
    return sliding_window_view(numbers, (high, wide)).reshape(rows, columns, high * wide)


def _patterns(need: Mask) -> tuple[NDArray[np.int16], NDArray[np.intp]]:
    """Return the different sets of pages in `need`, and which of them each phase has."""
    rows = need.reshape(need.shape[0] * need.shape[1], -1)
    found: dict[bytes, int] = {}
    which = [found.setdefault(row.tobytes(), len(found)) for row in rows]
    sets = np.frombuffer(b"".join(found), dtype=bool).reshape(len(found), -1)
    return sets.astype(np.int16), np.array(which).reshape(need.shape[:2])


def _needed_pages(mask: Mask, sheet: _Sheet) -> Mask:
    """Return the pages a mask needs at every phase: see `_Option.need`.

    The rule is that of `grid.choose_cells`, for all phases at once: what only one page shows makes
    it needed; a strip none of the needed pages shows adds the page before it.
    """
    table = np.zeros((mask.shape[0] + 1, mask.shape[1] + 1), dtype=np.int32)
    table[1:, 1:] = mask.cumsum(axis=0).cumsum(axis=1)
    up = _band_ends(mask.shape[0], sheet.per_page[0], sheet.strip[0])
    across = _band_ends(mask.shape[1], sheet.per_page[1], sheet.strip[1])
    counts = np.diff(np.diff(table[up][:, :, across], axis=1), axis=3) > 0
    touched = counts.transpose(0, 2, 1, 3)
    need = touched[:, :, 1::2, 1::2].copy()
    rows, columns = need.shape[2:]
    for j in range(2 * rows + 1):
        for i in range(2 * columns + 1):
            if j % 2 and i % 2:
                continue
            shown_by = [
                (r, c)
                for r in ({j // 2} if j % 2 else {j // 2 - 1, j // 2})
                for c in ({i // 2} if i % 2 else {i // 2 - 1, i // 2})
                if 0 <= r < rows and 0 <= c < columns
            ]
            shown = np.logical_or.reduce([need[:, :, r, c] for r, c in shown_by])
            r, c = min(shown_by)
            need[:, :, r, c] |= touched[:, :, j, i] & ~shown
    return np.asarray(need)


def _band_ends(length: int, per_page: int, strip: int) -> NDArray[np.int64]:
    """Return where strips and page cores begin along a mask, for every phase: (phases, bands)."""
    pages = (length + 2 * per_page - 2) // per_page
    starts = np.arange(pages + 1)[:, None] * per_page + (0, strip)
    ends = np.clip(starts.ravel()[None, :] - np.arange(per_page)[:, None], 0, length)
    return np.asarray(ends, dtype=np.int64)


def _empty_layout(sheet: _Sheet) -> _Layout:
    return _Layout(
        occupied=np.zeros(sheet.shape, dtype=bool),
        used=np.zeros(sheet.pages, dtype=bool),
        chosen=(),
        filled_cells=0,
    )


def _beam_search(
    options: Sequence[Sequence[_Option]], sheet: _Sheet, known: _Known
) -> list[_Layout]:
    """Return the best complete layouts found, the best first."""
    sizes = [int(turns[0].raster.mask.sum()) for turns in options]
    by_size = sorted(range(len(options)), key=lambda piece: (-sizes[piece], piece))
    ahead = _NEXT if len(options) <= 5 else 2
    width = max(2, min(_BEAM, _EVALUATIONS // (ahead * len(options))))
    beam = [_empty_layout(sheet)]
    for _ in by_size:
        grown: dict[bytes, _Layout] = {}
        for layout in beam:
            placed = {piece for piece, *_ in layout.chosen}
            waiting = [piece for piece in by_size if piece not in placed][:ahead]
            for piece in waiting:
                for new in _continuations(layout, piece, options, sheet, known):
                    grown.setdefault(new.used.tobytes() + new.occupied.tobytes(), new)
        beam = sorted(grown.values(), key=lambda x: _badness(x, sheet))[:width]
    return beam


def _improved(
    layout: _Layout, options: Sequence[Sequence[_Option]], sheet: _Sheet, known: _Known
) -> _Layout:
    """Take pieces out, one or two at a time, and put them back better, until nothing is won."""
    count = len(options)
    lifted = [*combinations(range(count), 1), *combinations(range(count), 2)]
    better = True
    while better:
        better = False
        for out in lifted[:_LIFTS]:
            for order in permutations(out):
                new = _without(layout, set(out), options, sheet)
                for piece in order:
                    grown = _continuations(new, piece, options, sheet, known, most=1)
                    if not grown:
                        break
                    new = grown[0]
                    if new.used.sum() > layout.used.sum():
                        break  # pages are never given back
                complete = len(new.chosen) == count
                if complete and _badness(new, sheet) < _badness(layout, sheet):
                    layout, better = new, True
    return layout


def _without(
    layout: _Layout, lifted: set[int], options: Sequence[Sequence[_Option]], sheet: _Sheet
) -> _Layout:
    """Return the layout with some pieces taken out."""
    rest = _empty_layout(sheet)
    for piece, *place in layout.chosen:
        if piece not in lifted:
            rest = _added(
                rest, piece, options[piece][place[0]], (place[0], place[1], place[2]), sheet
            )
    return rest


def _badness(layout: _Layout, sheet: _Sheet) -> tuple[float, int, int]:
    """Rank layouts: pages beyond what the placed pieces fill, then how far they spread."""
    per_page = sheet.per_page[0] * sheet.per_page[1]
    rows, columns = np.nonzero(layout.used)
    spread = int((rows[-1] - rows[0] + 1) * (columns.max() - columns.min() + 1))
    reach = int(np.flatnonzero(layout.occupied.any(axis=0))[-1])
    return round(len(rows) - layout.filled_cells / per_page, 6), spread, reach


#: (new pages, right end, option, row, column), the best first.
_Places: TypeAlias = list[tuple[int, float, int, int, int]]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Known:
    """What a search has worked out: different orders and liftings lead to the same sheets."""

    meetings: Meetings = field(default_factory=Meetings)
    places: dict[tuple[bytes, bytes, int], tuple[int, _Places]] = field(default_factory=dict)


def _continuations(
    layout: _Layout,
    piece: int,
    options: Sequence[Sequence[_Option]],
    sheet: _Sheet,
    known: _Known,
    most: int = _BRANCHES,
) -> list[_Layout]:
    """Return the layout with the piece added, at the best `most` positions."""
    cells = np.packbits(layout.occupied).tobytes()
    key = (cells, layout.used.tobytes(), piece)
    asked, found = known.places.get(key, (0, []))
    if asked < most:
        placed = [(options[p][n].raster, r, c) for p, n, r, c in layout.chosen]
        found = _best_places(layout, placed, options[piece], sheet, known, most)
        known.places[key] = (most, found)
    return [
        _added(layout, piece, options[piece][n], (n, r, c), sheet) for _, _, n, r, c in found[:most]
    ]


def _best_places(
    layout: _Layout,
    placed: Sequence[tuple[Raster, int, int]],
    options: Sequence[_Option],
    sheet: _Sheet,
    known: _Known,
    most: int,
) -> _Places:
    """Return the best `most` positions for a piece."""
    # The whole layout turned by half a turn is the same layout: a first piece has two turns.
    turns = range(len(options) if layout.chosen else min(2, len(options)))
    costs = {number: _cost_of(layout.used, options[number], sheet) for number in turns}
    ranked: set[tuple[int, float, int, int, int]] = set()
    taken: dict[int, Mask] = {}
    for number in sorted(turns, key=lambda n: costs[n].at_best):
        if len(ranked) >= most and costs[number].at_best > sorted(ranked)[most - 1][:2]:
            break  # even where nothing is in the way, it is worse than the best so far
        option, cost = options[number], costs[number].pages
        mask = id(option.raster.mask)
        if mask not in taken:
            taken[mask] = known.meetings.taken(placed, option.raster, cost.shape)
        cost = np.where(taken[mask], _NEVER, cost)
        least = int(cost.min())
        if least >= _NEVER:
            continue
        rows, columns = np.nonzero(cost == least)
        right = columns + option.raster.mask.shape[1]
        for key in (right + rows / 100, right - rows / 100, right + rows, right - rows):
            at = int(np.argmin(key))
            ranked.add((least, float(right[at]), number, int(rows[at]), int(columns[at])))
    return sorted(ranked)[:most]


def _cost_of(used: Mask, option: _Option, sheet: _Sheet) -> _Cost:
    """Return what each position costs, worked out once for each set of used pages."""
    key = used.tobytes()
    if key not in option.costs:
        pages = _page_cost(used, option, sheet)
        least = int(pages.min())
        first = int((pages == least).any(axis=0).argmax()) + option.raster.mask.shape[1]
        option.costs[key] = _Cost(pages=pages, at_best=(least, float(first)))
    return option.costs[key]


def _page_cost(used: Mask, option: _Option, sheet: _Sheet) -> NDArray[np.int16]:
    """Return how many new pages each position of the piece needs, `_NEVER` where not allowed."""
    free = np.append(~used, False).astype(np.int16)
    # Free pages under the piece, times the pages it needs, for all positions and phases at once.
    counted = free[option.under] @ option.patterns.T
    cost = counted.transpose(0, 2, 1)[:, option.pattern_of].transpose(0, 1, 3, 2)
    if not option.allowed.all():
        cost = cost + np.where(option.allowed, 0, _NEVER).astype(np.int16)[None, :, None, :]
    whole = cost.reshape(cost.shape[0] * cost.shape[1], -1)
    last = [
        int((side - size) / cell + 1e-9) + 1
        for side, size, cell in zip(
            sheet.side_mm, reversed(option.raster.size_mm), sheet.cell_mm, strict=True
        )
    ]
    return whole[: last[0], : last[1]]


def _added(
    layout: _Layout, piece: int, option: _Option, place: tuple[int, int, int], sheet: _Sheet
) -> _Layout:
    """Return the layout with the piece added; `place` is (option number, row, column)."""
    number, row, column = place
    (page_row, up), (page_column, across) = (
        divmod(row, sheet.per_page[0]),
        divmod(column, sheet.per_page[1]),
    )
    used = layout.used.copy()
    part = used[page_row : page_row + option.need.shape[2], :][
        :, page_column : page_column + option.need.shape[3]
    ]
    part |= option.need[up, across, : part.shape[0], : part.shape[1]]
    return _Layout(
        occupied=stamp(layout.occupied, option.raster, row, column),
        used=used,
        chosen=(*layout.chosen, (piece, number, row, column)),
        filled_cells=layout.filled_cells + int(option.raster.mask.sum()),
    )


def _finished(
    layout: _Layout,
    polygons: Sequence[Floats],
    options: Sequence[Sequence[_Option]],
    sheet: _Sheet,
    window_mm: tuple[float, float],
    overlap_mm: float,
) -> Arrangement:
    """Return a layout in millimetres, cut down to the pages it uses, its pages counted exactly."""
    rows, columns = np.nonzero(layout.used)
    corner = (
        rows.min() * sheet.per_page[0] * sheet.cell_mm[0],
        columns.min() * sheet.per_page[1] * sheet.cell_mm[1],
    )
    placements = []
    for piece, number, row, column in sorted(layout.chosen):
        raster = options[piece][number].raster
        placements.append(
            Placement(
                piece=piece,
                dx_mm=float(column * sheet.cell_mm[1] - corner[1] - raster.lower_left[0]),
                dy_mm=float(row * sheet.cell_mm[0] - corner[0] - raster.lower_left[1]),
                turn_deg=raster.turn_deg,
            )
        )
    grid = TileGrid(
        columns=int(np.ptp(columns)) + 1,
        rows=int(np.ptp(rows)) + 1,
        window_w_mm=window_mm[1],
        window_h_mm=window_mm[0],
        overlap_mm=overlap_mm,
    )
    shapes = [shapely.make_valid(shapely.Polygon(p.applied(polygons[p.piece]))) for p in placements]
    pages = len(needed_cells(grid, shapes))
    return Arrangement(placements=tuple(placements), grid=grid, pages=pages)
