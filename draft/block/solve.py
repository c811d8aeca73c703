"""The solver: the draft that departs least from the handbook and still fits the tape.

A handbook's proportions suit a typical figure, and its crotch seam then has whatever length it
has. Here they are where the search starts, and the seam lengths are conditions:

    minimise  sum (departure / sd)^2   so that   crotch seam = target, inseams match,
                                                 thigh wide enough, proportions within limits.

Departures are those of nine unknowns from their means, of the halves of the crotch seam from the
body's, and of the girth at the crotch line from the thigh's. How far each proportion had to move,
in sd, is what the pattern says about the figure.

The method is Gauss and Newton's with the conditions linearised at each step and the limits kept
by an active set (Nocedal and Wright, Numerical Optimization, ch. 16 and 18).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from outseam.curves.cubic_formulas import Number
from outseam.draft.block.shape import (
    Below,
    Frame,
    Params,
    below_length,
    inseam_length,
    seam_length,
    shapes,
)
from outseam.draft.fits import FORK_PROPORTION, Fit

Floats = NDArray[np.float64]

#: Every condition is met to this before a solution is accepted; the checks allow 0.5 mm.
SOLVED_MM = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Prior:
    """One proportion as it is told: name, words, standard deviation and limits.

    Means and limits as the handbooks draw them: Aldrich, Metric Pattern Cutting for Women's Wear
    (front fork hip/16 + 0.5 cm, back fork half as much again beyond, lift 2 cm, slope 7 degrees),
    Armstrong, Patternmaking for Fashion Design (forks 1/16 and 1/8 of the hip; from memory) and
    the college method of Zhang Wenbin (slope 11 degrees; from memory).
    """

    name: str
    says: str
    sd: float
    low: float
    high: float


#: Forks together over the hip, and the back fork over the front's: what handbooks draw is .14-.21
#: and 1.5-2.4, and half as far again is let.
FORKS_LOW, FORKS_HIGH = 0.14, 0.21
#: A thigh that needs it gets longer forks, up to this.
FORKS_MOST = 0.30
PROPORTION_LOW, PROPORTION_HIGH, PROPORTION_SD = 1.3, 3.0, 0.28
#: The centre back stands as high as its lean lets the waist edge run down to the side in one bow:
#: it lies below that line by a little. Mean and sd, mm; more would bend the edge both ways.
SLACK_MM, SLACK_SD_MM, SLACK_HIGH_MM = 1.5, 4.0, 20.0
#: What the edge still falls where the centre back stands highest, mm.
WAIST_FALL_MM = 9.5
#: The back lean grows with what the hip has over the waist, from a share of .20 of the hip on, and
#: the forks with the depth of the seat, from .228 of the hip on (both common practice, calibrated).
LEAN_BY_WAIST, WAIST_USUAL = 0.08, 0.20
FORKS_BY_DEPTH, DEPTH_USUAL = 0.5, 0.228
#: Highest the centre back may stand above the side, mm.
BACK_RAISE_HIGH_MM = 95.0
#: The drafted halves of the crotch seam keep to measured ones as well as anybody can say where
#: between the legs the inseam meets the seam: 18-20 mm, so half of that for each half.
SPLIT_SD_MM = 6.0

#: The depth of the crotch line is the style's: surplus of the tape goes elsewhere.
DROP_SD_MM = 3.9

PRIORS: tuple[Prior, ...] = (
    Prior(name="drop", says="crotch line below the crotch", sd=DROP_SD_MM, low=-10.0, high=100.0),
    Prior(name="front_fork", says="front fork", sd=0.0065, low=0.03, high=0.10),
    Prior(name="back_fork", says="back fork", sd=0.011, low=0.07, high=0.17),
    Prior(name="front_raise", says="centre front raised", sd=8.0, low=-45.0, high=45.0),
    Prior(name="back_raise", says="centre back raised", sd=6.0, low=-30.0, high=95.0),
    Prior(name="slant", says="lean of the centre back", sd=0.026, low=0.02, high=0.42),
    Prior(name="front_fullness", says="front crotch curve", sd=0.03, low=0.35, high=0.75),
    Prior(name="back_fullness", says="back crotch curve", sd=0.03, low=0.40, high=0.85),
    # Not a belief about the body but about the draft: handbooks lower the back crotch point by
    # 5-10 mm; the inseams decide.
    Prior(name="fork_lowered", says="back crotch point lowered", sd=7.5, low=-25.0, high=60.0),
)
#: Means of what no fit moves.
FRONT_FULLNESS, BACK_FULLNESS, LOWERED_MM = 0.50, 0.52, 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """Conditions of one draft, mm, all measured at the waist tape (before the rise is taken off).

    `crotch_mm` is the whole seam; its front half less its back half is to be near `halves_mm`,
    with the standard deviation `halves_sd_mm`; `halves_given`: both were measured.
    `inseam_ease_mm`: front inseam minus back inseam,
    stretched on when sewn. `thigh_mm`: least girth of the pattern at the crotch line, `thigh_scale`
    of it a millimetre of the body's; near `thigh_wish_mm` with sd `thigh_sd_mm`. The rest is
    what the means of the proportions go by: `front_raise_mm` on top of the fit's, `waist_share`,
    what the hip has over the waist, and
    `seat_depth`, both over the hip, and `back_waist`: height from hip to waist, and the width that
    the back panel would have at the waist with an upright centre.
    """

    crotch_mm: float
    halves_mm: float
    halves_sd_mm: float
    halves_given: bool
    inseam_ease_mm: float
    thigh_mm: float
    thigh_scale: float
    thigh_wish_mm: float
    thigh_sd_mm: float
    waist_share: float
    seat_depth: float
    front_raise_mm: float
    back_waist: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """Solved proportions, where they would be without a tape, and the difference in sd."""

    params: Params
    means: Params
    moved_sd: Params
    #: departures of the unknowns, in sd: where a search for a draft like this one may begin
    z: tuple[float, ...] = ()


class Free(NamedTuple):
    """The unknowns of the search. `proportion` is the logarithm of back fork over front fork;
    `slack` how far the centre back stands below the highest that its lean allows.
    """

    drop: Number
    forks: Number
    proportion: Number
    front_raise: Number
    slant: Number
    slack: Number
    lowered: Number
    front_fullness: Number
    back_fullness: Number


def params_of(free: Free, back_waist: tuple[float, float]) -> Params:
    """Return the proportions that unknowns stand for."""
    rise, wide = back_waist
    width = wide - free.slant * rise
    ratio = np.exp(free.proportion)
    front = free.forks / (1.0 + ratio)
    return Params(
        drop=free.drop,
        front_fork=front,
        back_fork=free.forks - front,
        front_raise=free.front_raise,
        back_raise=free.slant * width - WAIST_FALL_MM - free.slack,
        slant=free.slant,
        front_fullness=free.front_fullness,
        back_fullness=free.back_fullness,
        fork_lowered=free.lowered,
    )


@dataclass(frozen=True, slots=True)
class Belief:
    """Means, standard deviations and limits of the unknowns for one draft, (9,) each."""

    mean: Floats
    sd: Floats
    low: Floats
    high: Floats


def belief_of(fit: Fit, frame: Frame, t: Target) -> Belief:
    """Return what is believed before the tape is looked at."""
    forks = fit.fork_ratio + FORKS_BY_DEPTH * (t.seat_depth - DEPTH_USUAL)
    slant = fit.slant + LEAN_BY_WAIST * (t.waist_share - WAIST_USUAL)
    least = max(FORKS_LOW, t.thigh_mm / frame.hip_mm - 0.5)
    steepest = (BACK_RAISE_HIGH_MM + WAIST_FALL_MM) / (t.back_waist[1] - slant * t.back_waist[0])
    rows = (
        (fit.drop_mm, DROP_SD_MM, -10.0, 100.0),
        (forks, fit.fork_sd, least, max(FORKS_HIGH, least + 0.01)),
        (math.log(FORK_PROPORTION), PROPORTION_SD, math.log(PROPORTION_LOW), _LN_HIGH),
        (fit.front_raise_mm + t.front_raise_mm, 8.0, -45.0, 45.0),
        (slant, 0.026, 0.02, min(0.42, steepest)),
        (SLACK_MM, SLACK_SD_MM, 0.0, SLACK_HIGH_MM),
        (LOWERED_MM, 7.5, -25.0, 60.0),
        (FRONT_FULLNESS, 0.03, 0.35, 0.75),
        (BACK_FULLNESS, 0.03, 0.32, 0.85),
    )
    mean, sd, low, high = np.array(rows).T
    return Belief(mean, sd, low, high)


_LN_HIGH = math.log(PROPORTION_HIGH)


def prior_means(fit: Fit, frame: Frame, target: Target) -> Params:
    """Return the proportions of a draft that nothing but the handbook decides."""
    belief = belief_of(fit, frame, target)
    return Params(*map(float, params_of(Free(*belief.mean), target.back_waist)))


_STEP = 1e-20  # of the imaginary part: differences of complex steps cannot cancel, so tiny is exact
_MOVES = 1j * _STEP * np.eye(9)


class Conditions:
    """Residuals of a draft at a place: what must vanish (cm), what should be small (sd).

    `at(z)` returns the conditions (2,) and departures (2,) and their derivatives (2, 9) each.
    """

    def __init__(self, frame: Frame, below: Below, target: Target, belief: Belief) -> None:
        self.frame, self.below, self.target, self.belief = frame, below, target, belief

    def params(self, z: Floats) -> Params:
        """Return the proportions at `z`."""
        unknown = Free(*(self.belief.mean + self.belief.sd * z))
        return Params(*map(float, params_of(unknown, self.target.back_waist)))

    def at(self, z: Floats) -> tuple[Floats, Floats, Floats, Floats]:
        """Return conditions, departures and their derivatives at `z`."""
        b, t = self.belief, self.target
        unknown = (b.mean + b.sd * z)[:, None] + b.sd[:, None] * _MOVES
        p = params_of(Free(*unknown), t.back_waist)
        s = shapes(self.frame, p)
        seams = seam_length(s)
        inseams = inseam_length(s) + below_length(self.frame, self.below, p)
        width = self.frame.hip_mm * (0.5 + p.front_fork + p.back_fork)
        g = np.stack((seams[0] + seams[1], inseams[0] - inseams[1])) / 10.0
        r = np.stack(
            (
                (seams[0] - seams[1] - t.halves_mm) / t.halves_sd_mm,
                (width - t.thigh_wish_mm) / t.thigh_sd_mm,
            )
        )
        wanted = np.array((t.crotch_mm, t.inseam_ease_mm)) / 10.0
        return g[:, 0].real - wanted, r[:, 0].real, g.imag / _STEP, r.imag / _STEP


#: Steps of the search; it takes four to seven where there is a draft.
_MOST_STEPS = 40
#: Weight of a condition's miss, cm, against the sum of squares, when a step is judged.
_MERIT = 100.0


def quadratic_step(
    hessian: Floats, gradient: Floats, rows: Floats, wanted: Floats, low: Floats, high: Floats
) -> Floats:
    """Return the d, low <= d <= high, least in d.H.d / 2 + g.d with rows.d = wanted.

    By an active set: what leaves the limits is held there until its multiplier says otherwise.
    Where the limits do not let the conditions be met, they are met as nearly as the last free
    unknowns let them.
    """
    n, m = len(gradient), len(wanted)
    held = np.zeros(n, dtype=bool)
    d = np.zeros(n)
    for _ in range(3 * n):
        free = ~held
        k = int(free.sum())
        d[held] = np.where(d[held] < 0.5 * (low + high)[held], low[held], high[held])
        kkt = np.zeros((k + m, k + m))
        kkt[:k, :k] = hessian[np.ix_(free, free)]
        kkt[:k, k:], kkt[k:, :k] = rows[:, free].T, rows[:, free]
        right = np.concatenate(
            (
                -gradient[free] - hessian[np.ix_(free, held)] @ d[held],
                wanted - rows[:, held] @ d[held],
            )
        )
        try:
            found = np.linalg.solve(kkt, right)
        except np.linalg.LinAlgError:
            found = np.linalg.lstsq(kkt, right, rcond=None)[0]
        d[free] = found[:k]
        over = np.maximum(d - high, low - d)
        over[held] = 0.0
        worst = int(np.argmax(over))
        if over[worst] > 1e-12 and k > m:
            d[worst] = low[worst] if d[worst] < low[worst] else high[worst]
            held[worst] = True
            continue
        if not held.any():
            break
        pull = hessian @ d + gradient + rows.T @ found[k:]
        pull = np.where(d <= low + 1e-12, -pull, pull)
        pull[free] = 0.0
        loose = int(np.argmax(pull))
        if pull[loose] <= 1e-9:
            break
        held[loose] = False
    return np.clip(d, low, high)


def search(conditions: Conditions, z0: Floats) -> tuple[Floats, bool]:
    """Return the last place of the search from `z0`, and whether it is the draft looked for."""
    b = conditions.belief
    low, high = (b.low - b.mean) / b.sd, (b.high - b.mean) / b.sd
    z = np.clip(z0, low, high)
    g, r, dg, dr = conditions.at(z)
    for _ in range(_MOST_STEPS):
        hessian = np.eye(len(z)) + dr.T @ dr
        step = quadratic_step(hessian, z + dr.T @ r, dg, -g, low - z, high - z)
        size = float(np.abs(step).max())
        before = 0.5 * (z @ z + r @ r) + _MERIT * np.abs(g).sum()
        share = 1.0
        while True:
            at = z + share * step
            found = conditions.at(at)
            after = 0.5 * (at @ at + found[1] @ found[1]) + _MERIT * np.abs(found[0]).sum()
            if after <= before + 1e-9 or share < 0.02 or size < 1e-3:
                break
            share /= 2.0
        z, (g, r, dg, dr) = at, found
        if size < 1e-6:
            break
    return z, bool(np.abs(g).max() * 10.0 <= SOLVED_MM and np.isfinite(z).all())


def solve_block(
    frame: Frame, below: Below, fit: Fit, target: Target, start: Solution | None = None
) -> Solution:
    """Return the draft nearest to the handbook that meets `target`; `start` warms the search.

    Raises UnsolvableError, naming the measurement and its nearest drafting value.
    """
    from outseam.draft.block.refuse import unsolvable

    belief = belief_of(fit, frame, target)
    conditions = Conditions(frame, below, target, belief)
    if belief.low[1] > FORKS_MOST:
        raise unsolvable(conditions)
    z, good = search(conditions, np.zeros(9) if start is None else np.array(start.z))
    if not good:
        z, good = search(conditions, np.clip(z, -1.0, 1.0))
    if not good:
        raise unsolvable(conditions)
    params, means = conditions.params(z), conditions.params(np.zeros(9))
    sds = {prior.name: prior.sd for prior in PRIORS}
    moved = ((a - b) / sds[name] for name, a, b in zip(Params._fields, params, means, strict=True))
    return Solution(
        params=params, means=means, moved_sd=Params(*moved), z=tuple(float(v) for v in z)
    )
