"""The solver: the draft that departs least from the handbook and still fits the tape.

A handbook's proportions suit a typical figure, and its crotch seam then has whatever length it
has. Here they are where the search starts, and the seam lengths are conditions:

    minimise  sum (departure / sd)^2   so that   crotch seam = target, inseams match,
                                                 thigh wide enough, proportions within limits.

Departures are those of nine unknowns from their means, of the halves of the crotch seam from the
body's, and of the girth at the crotch line from the thigh's. How far each proportion had to move,
in sd, is what the pattern says about the figure.

The method is Gauss and Newton's with the conditions linearised at each step and the limits kept
by an active set; how the conditions bend is learnt on the way, by symmetric rank one updates
(Nocedal and Wright, Numerical Optimization, ch. 16, 18 and 6.2).

Many drafts take their steps together, which costs little more than one: a draft is a generator
that asks for what it needs solved (`Question`), and `answered_together` runs many of them.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple, TypeAlias, TypeVar

import numpy as np
from numpy.typing import NDArray

from outseam.draft.block.proportions import (
    FORKS_MOST,
    PRIORS,
    Conditions,
    Target,
    belief_of,
    together,
)
from outseam.draft.block.refuse import nearest, unsolvable
from outseam.draft.block.shape import Below, Frame, PanelShape, Params, shapes, side_of
from outseam.draft.fits import Fit
from outseam.draft.inputs.errors import UnsolvableError

Floats: TypeAlias = NDArray[np.float64]
Bools: TypeAlias = NDArray[np.bool_]
T = TypeVar("T")

#: Every condition is met to this before a solution is accepted; the checks allow 0.5 mm.
SOLVED_MM = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """Solved proportions, where they would be without a tape, and the difference in sd.

    `panels` are the points of front and back with these proportions, where they were asked for.
    """

    params: Params
    means: Params
    moved_sd: Params
    panels: tuple[PanelShape, ...] = ()
    #: departures of the unknowns, in sd: where a search for a draft like this one may begin
    z: tuple[float, ...] = ()


_SD_OF = {prior.name: prior.sd for prior in PRIORS}
_SDS = tuple(_SD_OF[name] for name in Params._fields)

#: Steps of the search; it takes four to seven where there is a draft.
_MOST_STEPS = 40
#: One that learns takes a dozen at most, or was misled.
_LEARNING_STEPS = 14
#: A step that leaves less than this, in sd, is the last. The second is for figures that are told to
#: a millimetre.
SETTLED, NEARLY_SETTLED = 1e-6, 0.02
#: Steps shorter than this, in sd, get shorter each by more than the one before.
_CLOSING = 5e-5
#: A step shorter than this, in sd, is taken whole. So near the draft what it makes the conditions
#: miss is less than the next one takes back, but more than the merit lets pass (Maratos).
_NEAR = 0.1
#: A step tells how the conditions bend if what it missed lies along it by at least this cosine.
_TELLING = 1e-8
#: Weight of a condition's miss, cm, against the sum of squares, when a step is judged.
_MERIT = 100.0


@dataclass(frozen=True, slots=True)
class Question:
    """What a draft asks the solver: the draft nearest to the handbook that meets `target`.

    `start` warms the search; `settled` as `search` has it; `drawn`: the panels are wanted too.
    """

    frame: Frame
    below: Below
    fit: Fit
    target: Target
    start: Solution | None = None
    settled: float = SETTLED
    drawn: bool = True


def quadratic_step(
    hessian: Floats, gradient: Floats, rows: Floats, wanted: Floats, low: Floats, high: Floats
) -> tuple[Floats, Floats]:
    """Return the d, low <= d <= high, least in d.H.d / 2 + g.d with rows.d = wanted.

    With it the multipliers of the conditions.

    By an active set: what leaves the limits is held there until its multiplier says otherwise.
    Where the limits do not let the conditions be met, they are met as nearly as the last free
    unknowns let them.
    """
    n, m = len(gradient), len(wanted)
    whole = np.zeros((n + m, n + m))
    whole[:n, :n], whole[:n, n:], whole[n:, :n] = hessian, rows.T, rows
    right = np.concatenate((-gradient, wanted))
    keep = np.ones(n + m, dtype=bool)
    free = keep[:n]
    d = np.zeros(n)
    for _ in range(3 * n):
        k = int(np.count_nonzero(free))
        kkt, rest, held = whole, right, ~free
        if k < n:
            d[held] = np.where(d[held] < 0.5 * (low + high)[held], low[held], high[held])
            rest = (right - whole[:, :n] @ np.where(held, d, 0.0))[keep]
            kkt = whole[keep][:, keep]
        try:
            found = np.linalg.solve(kkt, rest)
        except np.linalg.LinAlgError:
            found = np.linalg.lstsq(kkt, rest, rcond=None)[0]
        d[free] = found[:k]
        over = np.maximum(d - high, low - d)
        over[held] = 0.0
        worst = int(np.argmax(over))
        if over[worst] > 1e-12 and k > m:
            d[worst] = low[worst] if d[worst] < low[worst] else high[worst]
            free[worst] = False
            continue
        if k == n:
            break
        pull = hessian @ d + gradient + rows.T @ found[k:]
        pull = np.where(d <= low + 1e-12, -pull, pull)
        pull[free] = 0.0
        loose = int(np.argmax(pull))
        if pull[loose] <= 1e-9:
            break
        free[loose] = True
    pulls = np.asarray(found[k:], dtype=np.float64)
    return np.minimum(np.maximum(d, low), high), pulls


def quadratic_steps(
    hessian: Floats, gradient: Floats, rows: Floats, wanted: Floats, low: Floats, high: Floats
) -> tuple[Floats, Floats]:
    """Return `quadratic_step` of many searches, the first axis of every argument."""
    k, m, n = rows.shape
    whole = np.zeros((k, n + m, n + m))
    whole[:, :n, :n], whole[:, :n, n:], whole[:, n:, :n] = hessian, rows.swapaxes(1, 2), rows
    right = np.concatenate((-gradient, wanted), axis=1)
    try:
        right[:] = np.linalg.solve(whole, right[..., None])[..., 0]
    except np.linalg.LinAlgError:
        right[:] = np.nan
    d, pulls = right[:, :n], right[:, n:]
    free = ((d <= high + 1e-12) & (d >= low - 1e-12)).all(axis=1)
    for i in np.flatnonzero(~free):
        d[i], pulls[i] = quadratic_step(
            hessian[i], gradient[i], rows[i], wanted[i], low[i], high[i]
        )
    return np.minimum(np.maximum(d, low), high), pulls


class _Place(NamedTuple):
    """Where searches are: unknowns (k, 9), conditions and departures (k, 2), their derivatives.

    `slope` (k, 9) is that of half the sum of squares, `merit` (k) what a step should lessen.
    """

    z: Floats
    g: Floats
    r: Floats
    dg: Floats
    dr: Floats
    slope: Floats
    merit: Floats


def _place(conditions: Conditions, z: Floats) -> _Place:
    g, r, dg, dr = conditions.at(z)
    slope = z + (r[:, None] @ dr)[:, 0]
    merit = 0.5 * (np.vecdot(z, z) + np.vecdot(r, r)) + _MERIT * np.abs(g).sum(axis=1)
    return _Place(z, g, r, dg, dr, slope, merit)


def search(
    drafts: Sequence[Conditions], z0: Floats, settled: float = SETTLED, *, learns: bool = True
) -> tuple[Floats, Bools]:
    """Return the last places (k, 9) of searches from `z0` (k, 9), and which are drafts looked for.

    A step that leaves less than `settled`, in sd, is the last. A search that `learns` how the
    conditions bend takes fewer steps, but may be misled far from any draft. Drafts of one kind step
    together, each as it would alone.
    """
    ends, good = z0.copy(), np.zeros(len(z0), dtype=bool)
    conditions = together(drafts)
    mean, sd, low, high = conditions.belief
    low, high = (np.broadcast_to((limit - mean) / sd, z0.shape) for limit in (low, high))
    who, taken, halved = np.arange(len(z0)), np.zeros(len(z0), dtype=int), np.zeros(len(z0))
    last, bend = np.full_like(z0, 1e-300), np.zeros((*z0.shape, 9))
    z = np.minimum(np.maximum(z0, low), high)
    here = _place(conditions, z)
    while True:
        hessian = np.eye(9) + here.dr.swapaxes(1, 2) @ here.dr + bend
        limits = low - here.z, high - here.z
        step, pull = quadratic_steps(hessian, here.slope, here.dg, -here.g, *limits)
        size = np.abs(step).max(axis=1)
        # What it leaves: the next would be shorter again by as much as it is than the one before.
        less = np.minimum(size / np.abs(last).max(axis=1), 1.0)
        left = np.where(size < _CLOSING, size * less, size)
        ended = (left < settled) | (taken == (_LEARNING_STEPS if learns else _MOST_STEPS))
        if ended.any():
            # So short a step does what the linearised conditions say of it.
            final = (step * (left < settled)[:, None])[ended]
            missed = here.g[ended] + (here.dg[ended] @ final[..., None])[..., 0]
            ends[who[ended]] = here.z[ended] + final
            good[who[ended]] = np.abs(missed).max(axis=1) * 10.0 <= SOLVED_MM
            if ended.all():
                return ends, good & np.isfinite(ends).all(axis=1)
            on = ~ended
            who, taken, halved, last, bend, low, high = (
                x[on] for x in (who, taken, halved, last, bend, low, high)
            )
            here = _Place(*(x[on] for x in here))
            conditions = together([drafts[i] for i in who])
            continue
        share = 0.5**halved
        if not learns:
            # Two steps to and fro: the conditions bend so much that each goes twice too far.
            share[np.vecdot(step, last) < -0.5 * np.vecdot(last, last)] /= 2.0
        there = _place(conditions, here.z + share[:, None] * step)
        enough = (there.merit <= here.merit + 1e-9) | (share < 0.02) | (size < _NEAR)
        if learns:
            learnt = _learnt(here, there, hessian, pull)
            learnt[~enough] = 0.0
            bend += learnt
        if enough.all():
            here, last = there, step
        else:
            here = _Place(*(_where(enough, new, old) for new, old in zip(there, here, strict=True)))
            last = _where(enough, step, last)
        taken, halved = taken + enough, np.where(enough, 0.0, halved + 1.0)


def _learnt(here: _Place, there: _Place, hessian: Floats, pull: Floats) -> Floats:
    """Return what steps tell of how the conditions bend, (k, 9, 9): the rank one update."""
    moved = there.z - here.z
    bent = (pull[:, None] @ (there.dg - here.dg))[:, 0]
    miss = there.slope - here.slope + bent - (hessian @ moved[..., None])[..., 0]
    along = np.vecdot(miss, moved)
    telling = _TELLING * np.sqrt(np.vecdot(miss, miss) * np.vecdot(moved, moved))
    along[np.abs(along) <= telling] = np.inf
    found: Floats = miss[:, :, None] * miss[:, None] / along[:, None, None]
    return found


def _where(rows: Bools, a: Floats, b: Floats) -> Floats:
    """Return `a` with the other rows from `b`."""
    found = b.copy()
    found[rows] = a[rows]
    return found


def solve_together(questions: Sequence[Question]) -> list[Solution | UnsolvableError]:
    """Return the solution of every question, or the error that names the measurement in doubt.

    Every condition is met to SOLVED_MM; a hint tells the nearest value that would draft.
    """
    drafts = [
        Conditions(q.frame, q.below, q.target, belief_of(q.fit, q.frame, q.target))
        for q in questions
    ]
    alike: dict[object, list[int]] = {}
    for i, (q, draft) in enumerate(zip(questions, drafts, strict=True)):
        if draft.belief.low[1] <= FORKS_MOST:
            alike.setdefault((draft.kind, q.settled, q.drawn), []).append(i)
    found: dict[int, Solution] = {}
    for rows in alike.values():
        starts = [questions[i].start for i in rows]
        z0 = np.array([np.zeros(9) if start is None else start.z for start in starts])
        z, good = _searched([drafts[i] for i in rows], z0, questions[rows[0]].settled)
        solved = [i for i, well in zip(rows, good, strict=True) if well]
        if solved:
            drawn = questions[rows[0]].drawn
            solutions = _solutions([drafts[i] for i in solved], z[good], drawn=drawn)
            found |= zip(solved, solutions, strict=True)
    return [found[i] if i in found else unsolvable(draft) for i, draft in enumerate(drafts)]


def _searched(drafts: list[Conditions], z0: Floats, settled: float) -> tuple[Floats, Bools]:
    """Search as `search` does; what goes astray begins anew, ever more carefully."""
    z, good = search(drafts, z0, settled)
    anew: tuple[tuple[Callable[[int], Floats], float], ...] = (
        (lambda i: z0[i], settled),
        (lambda i: np.clip(z[i], -1.0, 1.0), SETTLED),
        (lambda i: nearest(drafts[i]), SETTLED),
    )
    for start, near in anew:
        rows = np.flatnonzero(~good)
        if not len(rows):
            break
        starts = np.array([start(i) for i in rows.tolist()])
        z[rows], good[rows] = search([drafts[i] for i in rows], starts, near, learns=False)
    return z, good


def _solutions(drafts: list[Conditions], z: Floats, *, drawn: bool) -> Iterator[Solution]:
    """Yield the solutions of drafts of one kind at `z` (k, 9)."""
    conditions = together(drafts)
    params, means = conditions.proportions(z), conditions.proportions(0.0 * z)
    both = shapes(conditions.frame, params) if drawn else None
    for i, at in enumerate(z.tolist()):
        here, usual = (Params(*(float(v[i, 0]) for v in p)) for p in (params, means))
        yield Solution(
            params=here,
            means=usual,
            moved_sd=Params(*((a - b) / sd for a, b, sd in zip(here, usual, _SDS, strict=True))),
            panels=() if both is None else (side_of(both, 0, i, 0), side_of(both, 1, i, 0)),
            z=tuple(at),
        )


#: A draft on its way: it asks, is given the solution, and returns what it makes of it.
Asking: TypeAlias = Generator[Question, Solution, T]


def answered(work: Asking[T]) -> T:
    """Return what comes of a draft. Raises what it raises."""
    found = answered_together([work])[0]
    if isinstance(found, Exception):
        raise found
    return found


def answered_together(works: Sequence[Asking[T]]) -> list[T | Exception]:
    """Return what comes of each of many drafts, or what it raised.

    Whenever all of them wait for a solution, all questions are solved together.
    """
    found: dict[int, T | Exception] = {}
    told: dict[int, Solution | UnsolvableError | None] = dict.fromkeys(range(len(works)))
    while told:
        asked: dict[int, Question] = {}
        for i, solution in told.items():
            try:
                if isinstance(solution, UnsolvableError):
                    asked[i] = works[i].throw(solution)
                else:
                    asked[i] = works[i].send(solution)  # type: ignore[arg-type]
            except StopIteration as end:
                found[i] = end.value
            except Exception as e:  # what one draft meets must not take the others with it
                found[i] = e
        solved = solve_together(list(asked.values()))
        told = dict(zip(asked, solved, strict=True))
    return [found[i] for i in range(len(works))]
