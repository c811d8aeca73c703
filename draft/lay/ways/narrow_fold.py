"""A lay on a narrow fold: one selvedge turned in only as far as the double pieces need.

What lies in the double part gives a pair, or a whole piece that has its middle on the fold; beside
it the fabric is single and takes the rest. Both parts share the length, so the depth of the fold
is right where neither waits for the other. Every division of the pieces over the two parts is
ranked by what it cannot undercut, at the depths at which some pieces just lie side by side; the
most promising are laid (common practice, no source: the fold is as deep as the broadest piece in
it, or two of them).
"""

from __future__ import annotations

import math
import time
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, product

from outseam.draft.inputs.errors import InputError
from outseam.draft.lay.model.bounds import area_mm2, narrow_bound_mm
from outseam.draft.lay.model.cloth import Cloth
from outseam.draft.lay.model.fits_width import fitting_orientations, too_broad
from outseam.draft.lay.model.orientations import Item, items_of
from outseam.draft.lay.model.parts import Either, TurnRule, eithers_of, narrow_parts
from outseam.draft.lay.model.positions import Positions, Slides, reach_mm
from outseam.draft.lay.model.result import (
    Lay,
    garment_names,
    in_order,
    lining_pieces,
    placed_positions,
)
from outseam.draft.lay.nest.bottom_left import bottom_left, orders
from outseam.draft.lay.nest.climb import climbed
from outseam.draft.lay.nest.compaction import compacted, tidied
from outseam.draft.lay.nest.search import face_up
from outseam.draft.lay.nest.shelf import shelf
from outseam.draft.lay.nest.solver import solve
from outseam.draft.lay.nest.squeeze import Squeeze
from outseam.draft.model import Pattern

#: Pieces whose place is tried in both parts; smaller ones beyond that lie in the single part.
_MOST_FREE = 8
#: Pieces that a depth is made for lie side by side at most so many.
_ABREAST = 3
#: Divisions that are laid, and of those the best that are then improved.
_MOST_TRIED, _MOST_IMPROVED = 60, 3
#: Lays made by climbing for a part: quickly, and where there is time.
_FEW_TRIES, _MANY_TRIES = 500, 10_000
#: So many of the lays that climbing comes to are looked at further.
_SEVERAL = 4
#: Share of the time that climbing may take where the solver has to do without the fold.
_CLIMB_SHARE = 0.3
_HAIR_MM = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Division:
    """Which items lie double and which single, how deep the fold is, and what that comes to.

    `bound_mm` by area and the longest piece.
    """

    double: tuple[Item, ...]
    single: tuple[Item, ...]
    depth_mm: float
    bound_mm: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Found:
    """A division that is laid; each part in coordinates of its own, from its near edge."""

    division: _Division
    double: Positions
    single: Positions

    @property
    def length_mm(self) -> float:
        """Where the longer of the two parts ends."""
        return max(reach_mm(self.double), reach_mm(self.single))


def search_narrow(
    patterns: Sequence[Pattern],
    cloth: Cloth,
    turns: TurnRule,
    *,
    seconds: float,
) -> Lay:
    """Return the shortest lay found on a narrow fold in about `seconds`; not yet checked.

    Below one second it is deterministic. Raises InputError where a piece does not fit across the
    fabric, or none can lie in the double part.
    """
    stop = time.monotonic() + seconds
    fabrics = [p.spec.fabric for p in patterns]
    choices = eithers_of(patterns, turns)
    singles = items_of(narrow_parts(choices, frozenset()), fabrics, cloth)
    complaint = too_broad(singles, cloth)
    if complaint is not None:
        raise complaint
    search = _Search(choices, patterns, cloth)
    found = search.quick()
    if not found:
        raise InputError(
            "fabric.fold",
            '"narrow", and no piece can lie in a part that is folded over beside the others',
            '"single", or a wider fabric',
            'try fold = "folded" if every piece is narrower than half the fabric',
        )
    best = min(found, key=lambda f: f.length_mm)
    for n, one in enumerate(sorted(found, key=lambda f: f.length_mm)[:_MOST_IMPROVED]):
        rest = (stop - time.monotonic()) / (_MOST_IMPROVED - n)
        improved = search.improved(one, rest if seconds >= 1.0 else 0.0)
        best = min(best, improved, key=lambda f: f.length_mm)
    return _lay(search.tidy(best), singles, patterns, cloth)


def _lay(found: _Found, singles: Sequence[Item], patterns: Sequence[Pattern], cloth: Cloth) -> Lay:
    depth = found.division.depth_mm
    near = cloth.width_mm - 2.0 * depth
    raised = tuple(s.at(s.x_mm, s.y_mm + near) for s in found.double)
    placed = in_order((*placed_positions(raised), *placed_positions(found.single)))
    return Lay(
        cloth=cloth,
        names=garment_names(patterns),
        placed=placed,
        length_mm=round(max(p.end_mm for p in placed), 2),
        bound_mm=narrow_bound_mm(singles, cloth),
        area_mm2=area_mm2(singles),
        fold_mm=depth,
        how="narrow fold",
        left_out=lining_pieces(patterns),
    )


class _Search:
    """The divisions of one set of pieces, and the parts laid so far, which come up again."""

    def __init__(
        self, choices: Sequence[Either], patterns: Sequence[Pattern], cloth: Cloth
    ) -> None:
        fabrics = [p.spec.fabric for p in patterns]
        self._cloth = cloth
        self._coarse, self._fine = Slides(coarse=True), Slides()
        self._known: dict[tuple[tuple[str, ...], bool, float], Positions | None] = {}
        self._singles = [items_of(c.singles, fabrics, cloth) for c in choices]
        doubles = [c.double for c in choices]
        made = items_of([d for d in doubles if d is not None], fabrics, cloth)
        by_key = {i.key: i for i in made}
        self._doubles = [None if d is None else by_key[d.key] for d in doubles]
        for n, item in enumerate(self._doubles):
            if item is not None and not fitting_orientations(item, cloth.width_mm / 2.0):
                self._doubles[n] = None

    def quick(self) -> list[_Found]:
        """Return the most promising divisions, laid bottom left; none that cannot beat the best."""
        found: list[_Found] = []
        best = math.inf
        ranked = sorted(self._divisions(), key=lambda d: d.bound_mm)
        for division in ranked:
            if division.bound_mm >= best or len(found) >= _MOST_TRIED:
                break
            double = self._strip(division.double, division.depth_mm, folded=True)
            if double is None or reach_mm(double) >= best + self._cloth.gap_mm:
                continue
            single = self._strip(division.single, self._beside(division.depth_mm), folded=False)
            if single is None:
                continue
            one = _Found(division=division, double=double, single=single)
            found.append(one)
            best = min(best, one.length_mm)
        return found

    def _beside(self, depth_mm: float) -> float:
        """Return the breadth of the single part, the gap from the turned-in selvedge kept."""
        return self._cloth.width_mm - 2.0 * depth_mm - self._cloth.gap_mm

    def _divisions(self) -> Iterator[_Division]:
        """Yield every division at every depth worth trying."""
        open_to = [n for n, d in enumerate(self._doubles) if d is not None]
        names: dict[str, list[int]] = {}
        for n in sorted(open_to, key=lambda n: -self._singles[n][0].area_mm2):
            key = self._singles[n][0].key
            piece = self._singles[n][0].part.piece.name
            names.setdefault(key if len(open_to) <= _MOST_FREE else piece, []).append(n)
        groups = list(names.values())[:_MOST_FREE]
        for chosen in product((True, False), repeat=len(groups)):
            doubled = {n for group, yes in zip(groups, chosen, strict=True) if yes for n in group}
            if not doubled:
                continue
            double = tuple(d for n, d in enumerate(self._doubles) if n in doubled and d)
            single = tuple(
                i for n, some in enumerate(self._singles) if n not in doubled for i in some
            )
            longest = _longest((*double, *single))
            area, beside = sum(i.area_mm2 for i in double), sum(i.area_mm2 for i in single)
            for depth in self._depths(double, single):
                width = self._beside(depth)
                bound = max(longest, area / depth, beside / width if single else 0.0)
                yield _Division(double=double, single=single, depth_mm=depth, bound_mm=bound)

    def _depths(self, double: Sequence[Item], single: Sequence[Item]) -> list[float]:
        """Return depths, whole mm, at which pieces of one part just lie side by side."""
        width, gap = self._cloth.width_mm, self._cloth.gap_mm
        least = max(_least_breadth(i) for i in double)
        most = width / 2.0
        if single:
            most = (width - gap - max(_least_breadth(i) for i in single)) / 2.0
        found = {math.ceil(mm - _HAIR_MM) for mm in _abreast(double, gap, width / 2.0)}
        found |= {math.floor((width - gap - mm) / 2.0) for mm in _abreast(single, gap, width)}
        found.add(math.floor(most + _HAIR_MM))
        return sorted(float(d) for d in found if least - _HAIR_MM <= d <= most + _HAIR_MM)

    def _strip(self, items: Sequence[Item], breadth_mm: float, *, folded: bool) -> Positions | None:
        """Return the items laid on a strip of fabric, quickly; None if one is too broad."""
        if not items:
            return ()
        key = tuple(i.key for i in items), folded, round(breadth_mm, 3)
        if key not in self._known:
            tries = [bottom_left(o, breadth_mm, self._coarse) for o in orders(items)]
            laid = [s for s in (*tries, shelf(items, breadth_mm)) if s is not None]
            self._known[key] = min(laid, key=reach_mm) if laid else None
        return self._known[key]

    def improved(self, found: _Found, seconds: float) -> _Found:
        """Return a division with the part that is longer laid better, then the other if it is."""
        done: set[bool] = set()
        best = found
        while len(done) < 2:
            longer = reach_mm(best.double) > reach_mm(best.single)
            if longer in done:
                break
            done.add(longer)
            part = best.double if longer else best.single
            depth = best.division.depth_mm
            breadth = depth if longer else self._beside(depth)
            items = best.division.double if longer else best.division.single
            better = self._better(items, breadth, part, seconds / 2.0)
            best = replace(best, double=better) if longer else replace(best, single=better)
        return best

    def _better(
        self, items: Sequence[Item], breadth_mm: float, known: Positions, seconds: float
    ) -> Positions:
        """Return a strip laid by climbing and, where it can, by the solver."""
        fitting = [replace(i, orientations=fitting_orientations(i, breadth_mm)) for i in items]
        on_fold = [i for i in fitting if i.at_fold]
        free = [i for i in fitting if not i.at_fold]
        tries = _MANY_TRIES if seconds > 0.0 else _FEW_TRIES
        time_s = _CLIMB_SHARE * seconds if seconds > 0.0 else math.inf
        found = [known, *climbed(fitting, breadth_mm, tries=tries, seconds=time_s, most=_SEVERAL)]
        bases: list[Positions] = []
        if on_fold and free:
            bases += climbed(free, breadth_mm, tries=tries, seconds=time_s, most=_SEVERAL)
        if seconds >= 1.0 and len(free) > 1:
            left = max(1.0, (1.0 - _CLIMB_SHARE) * seconds)
            bases += solve(free, breadth_mm, seconds=left, slides=self._fine)
        for base in bases:
            rows = orders(on_fold) if on_fold else [()]
            found += _if_any(*(bottom_left(o, breadth_mm, self._fine, placed=base) for o in rows))
        closer = [s for s in (compacted(s, self._fine) for s in found) if s is not None]
        squeeze = Squeeze(breadth_mm)
        drawn = [squeeze.squeezed(s) for s in sorted(closer, key=reach_mm)[:_SEVERAL]]
        settled = [s for s in (compacted(s, self._fine) for s in drawn) if s is not None]
        return min((known, *closer, *settled), key=reach_mm)

    def tidy(self, found: _Found) -> _Found:
        """Return the lay on whole millimetres, along edges and neighbours, more pieces face up."""
        depth = found.division.depth_mm
        double = face_up(found.double)
        double = tidied(double, self._fine, depth) or double
        single = tidied(found.single, self._fine, self._beside(depth)) or found.single
        return replace(found, double=double, single=single)


def _if_any(*positions: Positions | None) -> list[Positions]:
    return [s for s in positions if s is not None]


def _longest(items: Iterable[Item]) -> float:
    return max(min(f.length_mm for f in i.orientations) for i in items)


def _least_breadth(item: Item) -> float:
    return min(f.breadth_mm for f in item.orientations)


def _abreast(items: Sequence[Item], gap_mm: float, most_mm: float) -> set[float]:
    """Return how broad up to three of the items are side by side, in their orientations, mm."""
    breadths = [sorted({round(f.breadth_mm, 3) for f in i.orientations}) for i in items]
    found = set()
    for count in range(1, _ABREAST + 1):
        for some in combinations(breadths, count):
            for chosen in product(*some):
                total = sum(chosen) + gap_mm * (count - 1)
                if total <= most_mm + _HAIR_MM:
                    found.add(total)
    return found
