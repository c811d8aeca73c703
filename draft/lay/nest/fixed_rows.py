"""Pieces whose place across the fabric is fixed slide along it only: the shortest row, proved.

Each piece stands on its place; for every pair the least distance is exact (`profile`). Every order
of the pieces, and every choice of places, is tried or ruled out by a bound that none of its
continuations can undercut (branch and bound), so the best row found is the best there is of those
in which each piece lies to the right of all earlier ones where they meet.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import permutations, product

import numpy as np

from outseam.draft.lay.model.orientations import Item, Orientation
from outseam.draft.lay.model.positions import Position, Positions, Slides
from outseam.draft.lay.nest.row_bounds import MOST_PIECES, least_rests

#: Rows longer than the best by less than this share are kept as well, up to so many: other pieces
#: may fit into them better.
_NEAR_SHARE, _NEAR_MOST = 0.03, 16
#: Steps after which the search gives up the proof: some seconds, more than one garment needs.
MOST_STEPS = 400_000
#: A start that misses its phase by less than this has it, mm.
_HAIR_MM = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """Where a piece meets the repeat: `at_mm` from its leftmost point has to fall on the phase.

    All pieces of a `group` have one phase, which the first of them sets: the cut end is free.
    `repeat_mm` is that of its own print where that has another than the row's (None: the row's).
    """

    group: str
    at_mm: float
    repeat_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FixedPlace:
    """One way an item may stand: its orientation, the height of its lowest point, its match.

    Items of one `tie` stand on the same side (empty: tied to none).
    """

    item: Item
    orientation: Orientation
    y_mm: float
    side: str
    match: Match | None = None
    tie: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FixedRow:
    """A row of pieces. `length_mm` is where it ends."""

    positions: Positions
    length_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FixedRows:
    """The best row first, then others hardly longer; whether the best is proved, and a bound.

    There are no rows where none is shorter than the limit that was set.
    """

    rows: tuple[FixedRow, ...]
    proved: bool
    bound_mm: float
    steps: int


def best_rows(
    places: Sequence[Sequence[FixedPlace]],
    slides: Slides,
    *,
    repeat_mm: float | None = None,
    near: bool = False,
    most_steps: int = MOST_STEPS,
    limit_mm: float = math.inf,
) -> FixedRows:
    """Return the shortest row of items, each on one of its places, if it is below `limit_mm`.

    `near`: rows hardly longer than the best are returned too. Items that can stand on either side
    are symmetric in the whole: the first of them is held to its first place.
    """
    search = _Search(slides, repeat_mm, near=near, most_steps=most_steps, limit_mm=limit_mm)
    choices = [list(r) for r in places]
    for one in choices:
        if len(one) > 1 and len({r.side for r in one}) > 1:
            del one[1:]
            break
    tasks = [
        _Task(set_off, slides, repeat_mm)
        for chosen in product(*choices)
        if _together(chosen)
        for set_off in _in_phase(chosen, slides, repeat_mm)
    ]
    if tasks and len(choices) <= MOST_PIECES:
        tables = least_rests(
            np.array([t.after for t in tasks]), np.array([t.lengths for t in tasks])
        )
        for task, table in zip(tasks, tables.tolist(), strict=True):
            task.beyond = table
    for task in sorted(tasks, key=lambda t: t.bound_mm):
        search.run(task)
    rows = tuple(sorted(search.found, key=lambda r: r.length_mm))
    best = rows[0].length_mm if rows else limit_mm
    kept = tuple(r for r in rows if r.length_mm <= best * (1.0 + _NEAR_SHARE))[:_NEAR_MOST]
    matches = [r.match for one in choices for r in one if r.match and repeat_mm]
    groups, repeats = {m.group for m in matches}, {m.repeat_mm for m in matches}
    proved = search.steps <= most_steps and not any(t.hollow for t in tasks)
    proved = proved and len(groups) <= 2 and len(repeats) <= 1
    bound = best if proved else min(t.bound_mm for t in tasks)
    return FixedRows(
        rows=kept if near else kept[:1], proved=proved, bound_mm=bound, steps=search.steps
    )


def _together(places: Sequence[FixedPlace]) -> bool:
    """Return whether items that are tied to each other stand on one side."""
    sides: dict[str, str] = {}
    return all(not r.tie or sides.setdefault(r.tie, r.side) == r.side for r in places)


def _in_phase(
    places: Sequence[FixedPlace], slides: Slides, repeat_mm: float | None
) -> Iterator[tuple[FixedPlace, ...]]:
    """Yield the places with their two groups brought into one phase, in every way worth trying.

    In a shortest row nothing can be moved toward the cut end. Then either a piece of one group
    lies against one of the other, or both groups begin at the cut end: each such pair gives one
    way in which the phases can stand to each other. Other numbers of groups are left as they are.
    """
    matches = [r.match for r in places]
    groups = sorted({m.group for m in matches if m is not None})
    repeats = {m.repeat_mm for m in matches if m is not None}
    if not repeat_mm or len(groups) != 2 or len(repeats) != 1:
        yield tuple(places)
        return
    shifts = set()
    for a, b in permutations(places, 2):
        if a.match is None or b.match is None or (a.match.group, b.match.group) != tuple(groups):
            continue
        apart = b.match.at_mm - a.match.at_mm
        rows = slides.blocked(a.orientation, b.orientation, b.y_mm - a.y_mm)
        ends = (0.0, rows[-1][1], rows[0][0]) if rows else (0.0,)
        shifts |= {round((apart + end) % repeat_mm, 6) for end in ends}
    for shift in sorted(shifts):
        yield tuple(
            r
            if r.match is None
            else replace(
                r,
                match=replace(
                    r.match,
                    group="all",
                    at_mm=r.match.at_mm - (shift if r.match.group == groups[1] else 0.0),
                ),
            )
            for r in places
        )


def _next_in_phase(
    apart_mm: float, a: Match | None, b: Match | None, repeat_mm: float | None
) -> float:
    """Return the least distance from a's start to b's, not below `apart_mm`, that keeps phase."""
    if not repeat_mm or a is None or b is None or a.group != b.group:
        return apart_mm
    own = a.repeat_mm or repeat_mm
    if own != (b.repeat_mm or repeat_mm):
        return apart_mm
    wait = (a.at_mm - b.at_mm - apart_mm) % own
    return apart_mm + (0.0 if wait > own - _HAIR_MM else wait)


class _Task:
    """One choice of places: distances between all pairs, and a bound for the whole row.

    `hollow` says that some pair has more than one blocked range: a piece could then lie in the
    other's hollow, which the search does not use.
    """

    def __init__(
        self, places: Sequence[FixedPlace], slides: Slides, repeat_mm: float | None
    ) -> None:
        n = len(places)
        self.places = tuple(places)
        self.lengths = [r.orientation.length_mm for r in places]
        self.after = [[-math.inf] * n for _ in range(n)]
        self.hollow = False
        self.beyond: list[list[float]] = []
        for i in range(n):
            for j in range(i + 1, n):
                rows = slides.blocked(
                    places[i].orientation, places[j].orientation, places[j].y_mm - places[i].y_mm
                )
                if rows:
                    a, b = places[i].match, places[j].match
                    self.after[i][j] = _next_in_phase(rows[-1][1], a, b, repeat_mm)
                    self.after[j][i] = _next_in_phase(-rows[0][0], b, a, repeat_mm)
                    self.hollow |= len(rows) > 1
        sides = {r.side for r in places}
        self.chains = [
            [i for i, r in enumerate(places) if r.side == side] for side in sorted(sides)
        ]
        # The least that any neighbour before it on its side adds.
        self.least = [
            min((self.after[i][j] for i in chain if i != j), default=0.0)
            for chain in self.chains
            for j in chain
        ]
        order = [j for chain in self.chains for j in chain]
        self.least = [self.least[order.index(j)] for j in range(n)]
        self.bound_mm = self.bound([0.0] * n, range(n), 0.0)

    def bound(self, earliest: Sequence[float], rest: Sequence[int] | range, end: float) -> float:
        """Return what a row cannot undercut whose `rest` may start at `earliest` at best."""
        # Asked for at every step of the search, so written out in one pass.
        found, only = end, len(self.chains) == 1
        for chain in self.chains:
            count, apart, widest, closest = 0, 0.0, 0.0, math.inf
            start = shortest = math.inf
            for j in rest if only else [j for j in chain if j in rest]:
                at, long, step = earliest[j], self.lengths[j], self.least[j]
                found = at + long if at + long > found else found
                count, apart = count + 1, apart + step
                start = at if at < start else start
                shortest = long if long < shortest else shortest
                widest = step if step > widest else widest
                closest = step if step < closest else closest
            if count > 1 and closest > 0.0:
                found = max(found, start + apart - widest + shortest)
        return found


class _Search:
    """Depth first over orders, nearest next piece first, cut off by the best row so far."""

    def __init__(
        self,
        slides: Slides,
        repeat_mm: float | None,
        *,
        near: bool,
        most_steps: int,
        limit_mm: float,
    ) -> None:
        self.found: list[FixedRow] = []
        self.steps = 0
        self._best = limit_mm
        self._repeat, self._near, self._most = repeat_mm, near, most_steps

    def run(self, task: _Task) -> None:
        """Try all orders of one choice of places."""
        n = len(task.places)
        self._deeper(task, [0.0] * n, list(range(n)), (1 << n) - 1, [0.0] * n, 0.0, {})

    def _limit(self) -> float:
        return self._best * (1.0 + _NEAR_SHARE) if self._near else self._best - _HAIR_MM

    def _deeper(
        self,
        task: _Task,
        x: list[float],
        rest: list[int],
        left: int,
        earliest: list[float],
        end: float,
        phases: dict[str, float],
    ) -> None:
        """Go on with the pieces of `rest`, which `left` has as bits."""
        self.steps += 1
        if not rest:
            positions = tuple(
                Position(item=r.item, orientation=r.orientation, x_mm=at, y_mm=r.y_mm)
                for r, at in zip(task.places, x, strict=True)
            )
            self.found.append(FixedRow(positions=positions, length_mm=end))
            self._best = min(self._best, end)
            return
        if task.bound(earliest, rest, end) >= self._limit() or (
            self.steps > self._most and (self.found or self._best < math.inf)
        ):
            return
        # Taken some thousand times, so nothing is made here that need not be.
        for at, j in sorted([(self._start(task, j, earliest[j], phases), j) for j in rest]):
            others = left ^ 1 << j
            if task.beyond and at + task.beyond[others][j] >= self._limit():
                continue
            match, then = task.places[j].match, phases
            if match is not None and self._repeat and match.group not in phases:
                then = {**phases, match.group: at + match.at_mm}
            x[j] = at
            behind = [at + d for d in task.after[j]]
            self._deeper(
                task,
                x,
                [k for k in rest if k != j],
                others,
                [a if a > b else b for a, b in zip(earliest, behind, strict=True)],
                max(end, at + task.lengths[j]),
                then,
            )

    def _start(self, task: _Task, j: int, earliest: float, phases: dict[str, float]) -> float:
        """Return the least start not before `earliest` at which the piece has its phase."""
        match = task.places[j].match
        if match is None or not self._repeat or match.group not in phases:
            return earliest
        repeat = match.repeat_mm or self._repeat
        wait = (phases[match.group] - match.at_mm - earliest) % repeat
        return earliest + (0.0 if wait > repeat - _HAIR_MM else wait)
