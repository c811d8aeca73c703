"""A lay in the time of a draft, the same on every machine: for figures that are called "about".

Two ways, the shorter counts. Bottom left is `nest.bottom_left` at its plainest. The other looks for
legs that lie abreast: head to foot, each as near to the one below as their outlines let it, slid a
little along where that helps; the small pieces then go where there is room. What is found is a
real lay, checked like any other, so a figure from it may be generous and is never short.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, islice

import numpy as np

from outseam.draft.fabric import Fabric
from outseam.draft.inputs.errors import InputError
from outseam.draft.lay.model.bounds import area_mm2
from outseam.draft.lay.model.cloth import Cloth, cloth_of
from outseam.draft.lay.model.fits_width import fitting_orientations, too_broad
from outseam.draft.lay.model.orientations import (
    COARSE_MM,
    FINE_MM,
    Item,
    Orientation,
    around,
    items_of,
)
from outseam.draft.lay.model.parts import TurnRule, opened_out, parts_of
from outseam.draft.lay.model.placement import Floats
from outseam.draft.lay.model.positions import Once, Position, Positions, Slides, reach_mm, spread
from outseam.draft.lay.model.result import Lay, placed_positions
from outseam.draft.lay.model.turning import alike_rules, shortest_of
from outseam.draft.lay.nest.bottom_left import bottom_left, orders
from outseam.draft.lay.nest.compaction import compacted
from outseam.draft.lay.nest.search import garment_names, lining_pieces
from outseam.draft.lay.nest.shelf import shelf
from outseam.draft.lay.ways.plan import plan_lay
from outseam.draft.lay.ways.rules import rules_of
from outseam.draft.lay.ways.saved import Stale
from outseam.draft.model import Pattern

#: Outlines are compared in columns this wide, mm.
_CELL_MM = 5.0
#: A row of legs abreast is made this much longer than its longest, in steps, so that they can be
#: slid along each other.
_LONGER = (1.0, 1.06, 1.12, 1.18, 1.25, 1.32, 1.4, 1.5, 1.6)
#: Heights are tried this far apart, beside those next to every neighbour, mm.
_STEP_MM = 24.0
#: So many steps are spent on one stack at most.
_MOST_STEPS = 500
_ROWS = 4
#: So many of the largest pieces are laid abreast: the legs of one pair of pants. A piece smaller
#: than this share of the largest is none of them.
_LEGS = 4
_LARGE_SHARE = 0.45
#: A lay this near to the least possible length is not improved on.
_GOOD_RATIO = 1.05


def slow_because(fabric: Fabric) -> str:
    """Return what makes even a plain lay on a fabric take a second or more; empty if nothing."""
    if fabric.fold not in ("single", "folded"):
        return "a narrow fold"
    if fabric.border == "none" and (fabric.repeat_along or fabric.repeat_across):
        return "stripes to match"
    return ""


def quick_lay(pattern: Pattern) -> Lay:
    """Return a lay of one pattern on its fabric, found at once; positions not looked over.

    Deterministic. Where `slow_because` says so it takes a second or two. Raises InputError, naming
    the piece, where one does not fit across the fabric, and where a border, stripes or a narrow
    fold cannot be laid.
    """
    fabric = pattern.spec.fabric
    cloth = cloth_of(fabric, pattern.spec.units)
    if cloth.border is not None or slow_because(fabric):
        return plan_lay([pattern], seconds=0.0)
    return shortest_of(alike_rules([pattern]), lambda turns: _by_rule(pattern, cloth, turns))


def _by_rule(pattern: Pattern, cloth: Cloth, turns: TurnRule) -> Lay:
    """Return a quick lay whose pieces are turned as a rule allows."""
    fabric = pattern.spec.fabric
    items = items_of(parts_of([pattern], cloth, turns), [fabric], cloth)
    complaint = too_broad(items, cloth)
    if complaint is not None:
        raise complaint
    area = area_mm2(items)
    least = max(area / cloth.width_mm, *(min(f.length_mm for f in i.orientations) for i in items))
    positions, start = _in_parts(items, cloth, _GOOD_RATIO * least)
    on_fold = frozenset(i.key for i in items if i.at_fold)
    if on_fold:
        parts = opened_out([i.part for i in items], on_fold, turns, [pattern])
        other = _in_parts(items_of(parts, [fabric], cloth), cloth, _GOOD_RATIO * least)
        positions, start = min((positions, start), other, key=lambda found: reach_mm(found[0]))
    placed = placed_positions(positions)
    return Lay(
        cloth=cloth,
        names=garment_names([pattern]),
        placed=placed,
        length_mm=round(max(p.end_mm for p in placed), 2),
        bound_mm=least,
        area_mm2=area,
        opened_mm=None if start is None else round(start, 2),
        how="quick",
        left_out=lining_pieces([pattern]),
    )


def _in_parts(
    items: Sequence[Item], cloth: Cloth, good_mm: float
) -> tuple[Positions, float | None]:
    """Return the items laid, and where folded fabric is opened out for those that need it."""
    main = [_fitting(i, cloth.breadth_mm) for i in items if i.part.zone != "opened"]
    opened = [_fitting(i, cloth.width_mm) for i in items if i.part.zone == "opened"]
    positions = _shortest(main, cloth.breadth_mm, good_mm) if main else ()
    if not opened:
        return positions, None
    start = reach_mm(positions) + (cloth.gap_mm if positions else 0.0)
    behind = _shortest(opened, cloth.width_mm, math.inf)
    return (*positions, *spread(behind, start)), start


def _fitting(item: Item, breadth_mm: float) -> Item:
    return replace(item, orientations=fitting_orientations(item, breadth_mm))


def _shortest(items: Sequence[Item], breadth_mm: float, good_mm: float) -> Positions:
    """Return the shortest lay of the items on one strip; the first that is good enough will do."""
    slides = Once(coarse=True)
    best = shelf(items, breadth_mm)
    assert best is not None, "every orientation fits"
    for positions in _lays(items, breadth_mm, slides):
        if reach_mm(positions) < reach_mm(best):
            best = positions
        if reach_mm(best) <= good_mm:
            break
    return best


def _lays(items: Sequence[Item], breadth_mm: float, slides: Slides) -> Iterator[Positions]:
    if not any(i.at_fold for i in items):
        yield from _abreast(items, breadth_mm, slides)
    for order in dict.fromkeys(orders(items)):
        positions = bottom_left(order, breadth_mm, slides, step_mm=_STEP_MM)
        if positions is not None:
            yield positions


# --- legs abreast -------------------------------------------------------------------------------


def _abreast(items: Sequence[Item], breadth_mm: float, slides: Slides) -> Iterator[Positions]:
    """Yield lays whose largest pieces lie in one row across the fabric, or in two."""
    by_area = sorted(items, key=lambda i: (-i.area_mm2, i.key))
    least = _LARGE_SHARE * by_area[0].area_mm2
    large = [i for i in by_area[:_LEGS] if i.area_mm2 >= least]
    small = by_area[len(large) :]
    outlines = {f: _around(f) for i in large for f in i.orientations}
    one_row, shortest = False, math.inf
    for row, rest in _rows(large):
        if rest and one_row:
            break
        for positions in _row(row, breadth_mm, outlines):
            one_row = one_row or not rest
            behind = next(_row(rest, breadth_mm, outlines), None) if rest else ()
            if behind is None:
                break
            end = reach_mm(positions) + (positions[0].orientation.gap_mm if behind else 0.0)
            whole = compacted((*positions, *spread(behind, end)), slides)
            if whole and reach_mm(whole) < shortest:
                full = bottom_left(small, breadth_mm, slides, placed=whole, step_mm=_STEP_MM)
                if full:
                    shortest = min(shortest, reach_mm(full))
                    yield full
            if rest:
                break


def _rows(large: Sequence[Item]) -> Iterator[tuple[tuple[Item, ...], tuple[Item, ...]]]:
    """Yield the large pieces in one row, then in two, like to like first."""
    yield tuple(large), ()
    if len(large) == _LEGS:
        for first in combinations(large, 2):
            rest = tuple(i for i in large if i not in first)
            if first[0] is large[0]:
                yield first, rest


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Pose:
    """A piece in one orientation at a place along a row: its top and bottom in every column, mm."""

    item: int
    orientation: Orientation
    x_mm: float
    top: Floats
    bottom: Floats


def _row(
    items: Sequence[Item], breadth_mm: float, outlines: Mapping[Orientation, Floats]
) -> Iterator[Positions]:
    """Yield the items abreast in rows that get longer, the first few that have room."""
    longest = max(min(f.length_mm for f in i.orientations) for i in items)
    rows = (_stacked(items, breadth_mm, times * longest, outlines) for times in _LONGER)
    yield from islice((positions for positions in rows if positions is not None), _ROWS)


def _stacked(
    items: Sequence[Item],
    breadth_mm: float,
    length_mm: float,
    outlines: Mapping[Orientation, Floats],
) -> Positions | None:
    """Return the items one above the other across the fabric, in the lowest stack that was found.

    Depth first over orders, orientations and places along, the lowest first; a stack is given up as
    soon as one of the items left would end too high, and the search after `_MOST_STEPS`.
    """
    poses = [p for n, i in enumerate(items) for p in _poses(n, i, length_mm, outlines)]
    owner = np.array([p.item for p in poses])
    if len(set(owner.tolist())) < len(items):
        return None
    tops, bottoms = np.stack([p.top for p in poses]), np.stack([p.bottom for p in poses])
    rise = (tops[:, None, :] - bottoms[None, :, :]).max(axis=2)
    high = np.array([p.orientation.breadth_mm for p in poses])
    starts = np.searchsorted(owner, np.arange(len(items)))
    best: list[tuple[int, float]] = []
    limit, steps = breadth_mm, 0
    stack: list[tuple[int, float]] = []

    def climb(left: frozenset[int], lies: Floats, below_mm: float) -> None:
        """`lies` is how low each pose could lie on the stack, inf for items that are in it."""
        nonlocal best, limit, steps
        steps += 1
        if not left:
            best, limit = list(stack), below_mm - 1e-6
            return
        ends = np.maximum(lies + high, below_mm)
        lowest = np.minimum.reduceat(ends, starts)
        if max(lowest[list(left)].tolist()) > limit:
            return
        for n in np.argsort(ends, kind="stable")[: int((ends <= limit).sum())].tolist():
            if ends[n] > limit or steps > _MOST_STEPS:
                return
            y = float(lies[n])
            on_it = np.maximum(lies, y + rise[n])
            on_it[owner == owner[n]] = np.inf
            stack.append((n, y))
            climb(left - {poses[n].item}, on_it, float(ends[n]))
            stack.pop()

    climb(frozenset(range(len(items))), np.zeros(len(poses)), 0.0)
    if not best:
        return None
    return tuple(
        Position(
            item=items[poses[n].item], orientation=poses[n].orientation, x_mm=poses[n].x_mm, y_mm=y
        )
        for n, y in best
    )


def _poses(
    number: int, item: Item, length_mm: float, outlines: Mapping[Orientation, Floats]
) -> Iterator[_Pose]:
    """Yield an item's orientations along the fabric, at both ends of a row and in its middle."""
    cells = math.ceil(length_mm / _CELL_MM) + 2
    for orientation in item.orientations:
        slack = length_mm - orientation.length_mm
        if orientation.turn_deg % 180 or slack < -1e-9:
            continue
        for share in (0.0, 0.5, 1.0) if slack > 4.0 * _CELL_MM else (0.0,):
            x = share * slack
            top, bottom = _columns(outlines[orientation] + (x, 0.0), cells)
            yield _Pose(item=number, orientation=orientation, x_mm=x, top=top, bottom=bottom)


def _around(orientation: Orientation) -> Floats:
    """Return points round an orientation, no two of them further apart along than a column is wide.

    Half the gap is round it, as it is round what `Slides` compares.
    """
    a = around(orientation.outline, orientation.gap_mm / 2.0 + FINE_MM, COARSE_MM)
    b = np.roll(a, -1, axis=0)
    found = []
    for start, end in zip(a, b, strict=True):
        steps = math.ceil(abs(end[0] - start[0]) / _CELL_MM) + 1
        found.append(start + np.linspace(0.0, 1.0, steps, endpoint=False)[:, None] * (end - start))
    return np.concatenate(found)


def _columns(points: Floats, cells: int) -> tuple[Floats, Floats]:
    """Return the highest and lowest of the points in every column; -inf and inf where none is.

    Each column takes its neighbours in as well, so nothing between two points is missed.
    """
    at = (points[:, 0] / _CELL_MM).astype(int)
    top, bottom = np.full(cells, -np.inf), np.full(cells, np.inf)
    for shift in (-1, 0, 1):
        where = np.clip(at + shift, 0, cells - 1)
        np.maximum.at(top, where, points[:, 1])
        np.minimum.at(bottom, where, points[:, 1])
    return top, bottom


# --- how much fabric ------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class FabricLength:
    """How much fabric of a usable width a pattern takes, as cut, mm.

    `kept` says that the lay was searched for before and kept, else it is a quick one and the length
    is an "about". Without a lay `why` says in a few words why there is none; `narrow` that the
    width is what is wrong, `slow` that one could be had, but would take long.
    """

    width_mm: float
    lay: Lay | None = None
    kept: bool = False
    why: str = ""
    narrow: bool = False
    slow: bool = False

    @property
    def length_mm(self) -> float | None:
        """Length of the lay; None where there is none."""
        return None if self.lay is None else self.lay.length_mm


def kept_lay(pattern: Pattern, kept: object) -> Lay | None:
    """Return the lay that was kept, if it still serves this pattern and passes its checks.

    `kept` is what `Plan.keep` was, read back from a file; anything else is no lay.
    """
    if kept is None:
        return None
    found = rules_of([pattern], cloth_of(pattern.spec.fabric, pattern.spec.units)).kept(kept)
    return None if isinstance(found, Stale) else found


def fabric_length(
    pattern: Pattern, kept: object = None, *, patient: bool = False, seconds: float = 0.0
) -> FabricLength:
    """Return the length on the file's own width: of the kept lay if it serves, else a quick one.

    Never fails: a lay that cannot be had, or would take long and the caller is not `patient`, is
    told in `why`. From one second on it is searched for as well, where the quick lay may be worth
    improving; then the length is not quite the same every time.
    """
    width = pattern.spec.fabric.width_mm(pattern.spec.units)
    try:
        lay = kept_lay(pattern, kept)
        if lay is not None:
            return FabricLength(width_mm=width, lay=lay, kept=True)
        slow = slow_because(pattern.spec.fabric)
        if slow and not patient:
            return FabricLength(width_mm=width, why=f"{slow} takes longer to lay", slow=True)
        lay = quick_lay(pattern)
        if not slow and seconds >= 1.0 and lay.length_mm > _GOOD_RATIO * lay.bound_mm:
            searched = plan_lay([pattern], seconds=seconds)
            if not searched.errors and searched.length_mm < lay.length_mm:
                lay = searched
        return FabricLength(width_mm=width, lay=lay)
    except InputError as error:
        e = error.in_units(pattern.spec.units)
        narrow = e.field == "fabric.width"
        return FabricLength(width_mm=width, why=e.got if narrow else str(e), narrow=narrow)


def length_on(pattern: Pattern, width_mm: float, *, seconds: float = 0.0) -> FabricLength:
    """Return the length on another usable width, found as `fabric_length` does. Never fails."""
    other = _on(pattern, replace(pattern.spec.fabric, width=width_mm))
    return fabric_length(other, patient=True, seconds=seconds)


def lining_length(pattern: Pattern, width_mm: float) -> FabricLength | None:
    """Return the length of lining of a usable width for the pieces cut from it; None without any.

    They are laid upright on plain cloth, cut as much larger as those of the fabric.
    """
    pieces = tuple(replace(p, lining=False) for p in pattern.pieces if p.lining)
    if not pieces:
        return None
    fabric = pattern.spec.fabric
    shrinks = max(0.0, fabric.shrink_across, fabric.shrink_along)
    cloth = Fabric(
        kind="woven",
        width=width_mm,
        gap=fabric.gap,
        shrink_across=shrinks,
        shrink_along=shrinks,
    )
    return fabric_length(_on(replace(pattern, pieces=pieces), cloth))


def _on(pattern: Pattern, fabric: Fabric) -> Pattern:
    return replace(pattern, spec=replace(pattern.spec, fabric=fabric))
