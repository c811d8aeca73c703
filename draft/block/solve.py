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
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from outseam.draft.block.proportions import FORKS_MOST, PRIORS, Conditions, Target, belief_of
from outseam.draft.block.refuse import nearest, unsolvable
from outseam.draft.block.shape import Below, Frame, Params
from outseam.draft.fits import Fit

Floats = NDArray[np.float64]

#: Every condition is met to this before a solution is accepted; the checks allow 0.5 mm.
SOLVED_MM = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """Solved proportions, where they would be without a tape, and the difference in sd."""

    params: Params
    means: Params
    moved_sd: Params
    #: departures of the unknowns, in sd: where a search for a draft like this one may begin
    z: tuple[float, ...] = ()


#: Steps of the search; it takes four to seven where there is a draft.
_MOST_STEPS = 40
#: One that learns takes a dozen at most, or was misled.
_LEARNING_STEPS = 14
#: A step shorter than this, in sd, is the last: what it leaves is shorter by far. The second is for
#: figures that are told to a millimetre.
SETTLED, NEARLY_SETTLED = 1e-6, 0.02
#: A step tells how the conditions bend if what it missed lies along it by at least this cosine.
_TELLING = 1e-8
#: Weight of a condition's miss, cm, against the sum of squares, when a step is judged.
_MERIT = 100.0


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


def search(
    conditions: Conditions, z0: Floats, settled: float = SETTLED, *, learns: bool = True
) -> tuple[Floats, bool]:
    """Return the last place of the search from `z0`, and whether it is the draft looked for.

    A step shorter than `settled`, in sd, is the last. One that `learns` how the conditions bend
    takes fewer steps, but may be misled far from any draft.
    """
    b = conditions.belief
    low, high = (b.low - b.mean) / b.sd, (b.high - b.mean) / b.sd
    z = np.clip(z0, low, high)
    g, r, dg, dr = conditions.at(z)
    last, bend = np.zeros(len(z)), np.zeros((len(z), len(z)))
    for _ in range(_LEARNING_STEPS if learns else _MOST_STEPS):
        hessian, slope = np.eye(len(z)) + dr.T @ dr + bend, z + dr.T @ r
        step, pull = quadratic_step(hessian, slope, dg, -g, low - z, high - z)
        size = float(np.abs(step).max())
        if size < settled:
            # So short a step does what the linearised conditions say of it.
            z, g = z + step, g + dg @ step
            break
        before = 0.5 * (z @ z + r @ r) + _MERIT * np.abs(g).sum()
        # Two steps to and fro: the conditions bend so much that each goes twice too far.
        share = 0.5 if not learns and step @ last < -0.5 * (last @ last) else 1.0
        last = step
        while True:
            at = z + share * step
            found = conditions.at(at)
            after = 0.5 * (at @ at + found[1] @ found[1]) + _MERIT * np.abs(found[0]).sum()
            if after <= before + 1e-9 or share < 0.02 or size < 1e-3:
                break
            share /= 2.0
        moved, dg_before = at - z, dg
        z, (g, r, dg, dr) = at, found
        miss = z + dr.T @ r - slope + pull @ (dg - dg_before) - hessian @ moved
        along = miss @ moved
        if learns and abs(along) > _TELLING * math.sqrt((miss @ miss) * (moved @ moved)):
            bend += np.outer(miss, miss) / along
    return z, bool(np.abs(g).max() * 10.0 <= SOLVED_MM and np.isfinite(z).all())


def solve_block(
    frame: Frame,
    below: Below,
    fit: Fit,
    target: Target,
    start: Solution | None = None,
    settled: float = SETTLED,
) -> Solution:
    """Return the draft nearest to the handbook that meets `target`; `start` warms the search.

    `settled` as `search` has it.

    Raises UnsolvableError, naming the measurement and its nearest drafting value.
    """
    belief = belief_of(fit, frame, target)
    conditions = Conditions(frame, below, target, belief)
    if belief.low[1] > FORKS_MOST:
        raise unsolvable(conditions)
    z0 = np.zeros(9) if start is None else np.array(start.z)
    z, good = search(conditions, z0, settled)
    if not good:
        z, good = search(conditions, z0, settled, learns=False)
    if not good:
        z, good = search(conditions, np.clip(z, -1.0, 1.0), learns=False)
    if not good:
        z, good = search(conditions, nearest(conditions), learns=False)
    if not good:
        raise unsolvable(conditions)
    params, means = conditions.params(z), conditions.params(np.zeros(9))
    sds = {prior.name: prior.sd for prior in PRIORS}
    moved = ((a - b) / sds[name] for name, a, b in zip(Params._fields, params, means, strict=True))
    return Solution(
        params=params, means=means, moved_sd=Params(*moved), z=tuple(float(v) for v in z)
    )
