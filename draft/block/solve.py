"""The solver: the draft that departs least from the handbook and still fits the tape.

A handbook's proportions suit a typical figure, and its crotch seam then has whatever length it
has. Here they are where the search starts, and the seam lengths are conditions:

    minimise  sum ((p - mean) / sd)^2   so that   crotch seam = target, inseams match,
                                                  thigh wide enough, p within limits.

How far each proportion had to move, in sd, is what the pattern says about the figure.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from outseam.draft.block.shape import (
    Frame,
    Number,
    PanelShape,
    Params,
    back_shape,
    crotch_width,
    curved_lengths,
    front_shape,
    straight_length,
)
from outseam.draft.fits import Fit
from outseam.draft.inputs.errors import UnsolvableError
from outseam.draft.inputs.words import joined, measure, words

Floats = NDArray[np.float64]

#: Every condition is met to this before a solution is accepted; the checks allow 0.5 mm.
SOLVED_MM = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Prior:
    """One proportion's belief: standard deviation and limits; the mean may come from the fit.

    Means and limits as the handbooks draw them: Aldrich, Metric Pattern Cutting for Women's Wear
    (front fork hip/16 + 0.5 cm, back fork half as much again beyond, lift 2 cm, slope 7 degrees),
    Armstrong, Patternmaking for Fashion Design (forks 1/16 and 1/8 of the hip; from memory) and
    the college method of Zhang Wenbin (slope 11 degrees; from memory).
    """

    name: str
    says: str
    mean: float | None
    sd: float
    low: float
    high: float


PRIORS: tuple[Prior, ...] = (
    Prior(name="drop", says="crotch line below the crotch", mean=None, sd=12.0, low=-10.0, high=90),
    Prior(name="front_fork", says="front fork", mean=None, sd=0.010, low=0.025, high=0.12),
    Prior(name="back_fork", says="back fork", mean=None, sd=0.015, low=0.05, high=0.21),
    Prior(name="front_raise", says="centre front raised", mean=0.0, sd=10.0, low=-60.0, high=60.0),
    Prior(name="back_raise", says="centre back raised", mean=30.0, sd=12.0, low=-30, high=110.0),
    Prior(name="slant", says="lean of the centre back", mean=0.15, sd=0.05, low=0.0, high=0.40),
    Prior(
        name="front_fullness", says="front crotch curve", mean=0.60, sd=0.06, low=0.35, high=0.90
    ),
    Prior(name="back_fullness", says="back crotch curve", mean=0.62, sd=0.06, low=0.35, high=0.90),
    # Not a belief about the body but about the draft: handbooks lower the back crotch point by
    # 5-10 mm; the inseams decide.
    Prior(
        name="fork_lowered", says="back crotch point lowered", mean=7.5, sd=7.5, low=-25, high=60.0
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """Conditions of one draft, mm, all measured at the waist tape (before the rise is taken off).

    `crotch_mm` is the whole seam; `split_mm` (front, back) replaces it where both were measured.
    `inseam_ease_mm`: front inseam minus back inseam, stretched on when sewn. `thigh_mm`: least
    girth of the pattern at the crotch line, `thigh_scale` of it a millimetre of the body's.
    """

    crotch_mm: float
    split_mm: tuple[float, float] | None
    inseam_ease_mm: float
    thigh_mm: float
    thigh_scale: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """Solved proportions and how far each had to move from the handbook, in sd."""

    params: Params
    means: Params
    moved_sd: Params


def prior_means(fit: Fit) -> Floats:
    """Return the priors' means for a fit, in the order of `PRIORS`."""
    own = {
        "drop": fit.drop_mm,
        "front_fork": fit.front_fork_ratio,
        "back_fork": fit.back_fork_ratio,
    }
    return np.array([own.get(p.name, p.mean) for p in PRIORS], dtype=np.float64)


_SD = np.array([p.sd for p in PRIORS])
_LOW = np.array([p.low for p in PRIORS])
_HIGH = np.array([p.high for p in PRIORS])
_STEP = 1e-20  # of the imaginary part: differences of complex steps cannot cancel, so tiny is exact
_STEPS = [complex(0.0, sd * _STEP) for sd in _SD.tolist()]

#: The proportions that each panel is drawn from; it does not change with the others.
_FRONT_NAMES = ("drop", "front_fork", "front_raise", "front_fullness")
_BACK_NAMES = ("drop", "back_fork", "back_raise", "slant", "back_fullness", "fork_lowered")
#: Seam, inseam and width of the back count so against those of the front.
_SIGNS = np.array((1.0, -1.0, 1.0))
_FRONT, _BACK = ([Params._fields.index(n) for n in names] for names in (_FRONT_NAMES, _BACK_NAMES))


@lru_cache(maxsize=16)
def _bounds(fit: Fit) -> tuple[Floats, list[tuple[float, float]]]:
    mean = prior_means(fit)
    low, high = (_LOW - mean) / _SD, (_HIGH - mean) / _SD
    return mean, [(float(a), float(b)) for a, b in zip(low, high, strict=True)]


#: The search is tried again from the draft that misses least if that misses by no more than this.
_NEAR_MM = 1.0
#: Weights of a condition that is held against one that may give, one after the other, the last so
#: large that what is held is held; and the weight of staying near the handbook.
_HELD, _CALM = (30.0, 1e3), 1e-5
#: Steps a search for the least miss may take; and evaluations of the search for the draft, which
#: takes under thirty where there is one and many hundreds before it gives up where there is none.
_MOST_STEPS, _MOST_TRIES = 40, 100


class _Conditions:
    """Residuals of the conditions (cm) and their exact derivatives, remembered per point.

    The last row is the spare girth of the thigh, which must not be negative; the others must be
    zero.
    """

    def __init__(self, frame: Frame, target: Target, mean: Floats) -> None:
        self.frame, self.target, self.mean = frame, target, mean
        self._key: bytes = b""
        self._value: tuple[Floats, Floats] | None = None

    def at(self, z: Floats) -> tuple[Floats, Floats]:
        key = z.tobytes()
        if self._value is None or key != self._key:
            self._key, self._value = key, self._evaluate(z)
        return self._value

    def constraint(self, kind: str, rows: slice | list[int]) -> dict[str, Any]:
        """Return some of the conditions as scipy takes them, "eq" zero or "ineq" not negative."""
        return {
            "type": kind,
            "fun": lambda z: self.at(z)[0][rows],
            "jac": lambda z: self.at(z)[1][rows],
        }

    def _evaluate(self, z: Floats) -> tuple[Floats, Floats]:
        at = (self.mean + _SD * z).tolist()
        panels = tuple(self._varied(at, back=back) for back in (False, True))
        curved, slopes = curved_lengths([[s for s, _, _ in panel] for panel in panels])
        lines = np.array([(line, width) for panel in panels for _, line, width in panel])
        n = len(_FRONT)
        halves = np.zeros((2, 3))  # seam, inseam and width of front and back
        halves[:, :2], halves[:, 2] = curved, lines[(0, n), 1].real
        halves[:, 0] += lines[(0, n), 0].real
        moves = np.column_stack((slopes, lines[:, 1].imag))
        moves[:, 0] += lines[:, 0].imag
        jacobian = np.zeros((2, 3, len(at)))
        jacobian[0][:, _FRONT], jacobian[1][:, _BACK] = moves[:n].T, moves[n:].T
        t, signs = self.target, _SIGNS
        met, slope = halves[0] + halves[1] * signs, jacobian[0] + jacobian[1] * signs[:, None]
        wanted: tuple[float, ...] = (t.crotch_mm, t.inseam_ease_mm, t.thigh_mm)
        if t.split_mm is not None:
            met = np.array((*halves[:, 0], *met[1:]))
            slope = np.concatenate((jacobian[:, 0], slope[1:]))
            wanted = (*t.split_mm, *wanted[1:])
        return (met - wanted) / 10.0, slope / (10.0 * _STEP)

    def _varied(self, at: list[float], *, back: bool) -> list[tuple[PanelShape, Number, Number]]:
        """Return a panel moved along each proportion it has, with its straight seam and width."""
        found = []
        for i in _BACK if back else _FRONT:
            p = Params._make((*at[:i], at[i] + _STEPS[i], *at[i + 1 :]))
            s = (back_shape if back else front_shape)(self.frame, p)
            width = crotch_width(self.frame, p, s, back=back)
            found.append((s, straight_length(s), width))
        return found


class _EnoughError(Exception):
    """Ends a search that has used up its evaluations."""


def solve_block(frame: Frame, fit: Fit, target: Target, start: Solution | None = None) -> Solution:
    """Return the draft nearest to the handbook that meets `target`; `start` warms the search.

    Raises UnsolvableError, naming the measurement and its nearest drafting value.
    """
    mean, bounds = _bounds(fit)
    conditions = _Conditions(frame, target, mean)
    z0 = np.zeros(len(mean)) if start is None else (np.array(start.params) - mean) / _SD
    z = _search(conditions, bounds, z0)
    if z is None:
        # The search can stall on a body far from the handbook: try again from the draft that
        # misses least before refusing it.
        best = _least_miss(conditions, bounds)
        g = conditions.at(best)[0] * 10.0
        near = np.abs(g[:-1]).max() <= _NEAR_MM and g[-1] >= -_NEAR_MM
        z = _search(conditions, bounds, best) if near else None
        if z is None:
            # Letting the seams go may lead to where they need not give at all.
            rows = range(1 if target.split_mm is None else 2)
            nearest = _nearest(conditions, bounds, best, free=list(rows))
            if nearest is not None and np.abs(nearest[0][rows]).max() <= SOLVED_MM:
                z = _search(conditions, bounds, nearest[1], tries=10 * _MOST_TRIES)
        if z is None:
            raise _unsolvable(conditions, bounds, best, nearest)
    return Solution(
        params=Params(*(float(v) for v in mean + _SD * z)),
        means=Params(*(float(v) for v in mean)),
        moved_sd=Params(*(float(v) for v in z)),
    )


def _search(
    conditions: _Conditions,
    bounds: list[tuple[float, float]],
    z0: Floats,
    tries: int = _MOST_TRIES,
) -> Floats | None:
    """Return the solution that sequential quadratic programming finds from `z0`, None if none."""
    from scipy.optimize import minimize

    constraints: Any = [
        conditions.constraint("eq", slice(None, -1)),
        conditions.constraint("ineq", slice(-1, None)),
    ]
    spent = 0

    def cost(z: Floats) -> tuple[float, Floats]:
        nonlocal spent
        spent += 1
        if spent > tries:
            raise _EnoughError
        return 0.5 * float(z @ z), z

    objective: Any = cost
    try:
        result = minimize(
            objective,
            z0,
            jac=True,
            method="SLSQP",
            bounds=bounds,
            constraints=constraints,
            options={"ftol": 1e-10, "maxiter": 80},
        )
    except _EnoughError:
        return None
    z = np.asarray(result.x, dtype=np.float64)
    if not np.isfinite(z).all():
        return None
    g = conditions.at(z)[0] * 10.0
    return z if np.abs(g[:-1]).max() <= SOLVED_MM and g[-1] >= -SOLVED_MM else None


def _least_miss(
    conditions: _Conditions,
    bounds: list[tuple[float, float]],
    free: Sequence[int] = (),
    held: float = 1.0,
    start: Floats | None = None,
) -> Floats:
    """Return the draft inside the limits that misses the conditions by least.

    Conditions that are not `free` weigh `held` times as much.
    """
    from scipy.optimize import least_squares

    low, high = np.array(bounds).T
    z0 = np.zeros(len(low)) if start is None else start
    count = len(conditions.at(z0)[0])
    weight = np.full(count, held)
    weight[list(free)] = 1.0
    calm = _CALM * np.eye(len(low))

    def misses(z: Floats) -> Floats:
        g = conditions.at(z)[0] * weight
        g[-1] = min(0.0, g[-1])  # the thigh may be as wide as it likes
        return np.concatenate((g, _CALM * z))

    def slopes(z: Floats) -> Floats:
        g, j = conditions.at(z)
        j = j * weight[:, None]
        j[-1] *= g[-1] < 0.0
        return np.concatenate((j, calm))

    found = least_squares(
        misses, np.clip(z0, low, high), slopes, bounds=(low, high), max_nfev=_MOST_STEPS
    )
    return np.asarray(found.x, dtype=np.float64)


#: A suggested value is taken this far inside what drafts, so that rounding it keeps it there.
_INSIDE_MM = 3.0
#: Half a millimetre more or less is no advice.
_TOLD_MM = 0.5


def _unsolvable(
    conditions: _Conditions,
    bounds: list[tuple[float, float]],
    best: Floats,
    nearest: tuple[Floats, Floats] | None,
) -> UnsolvableError:
    """Return the error that names the measurement which would have to give, and by how much.

    One measurement at a time is let go while the others hold, the crotch seam first: `nearest` is
    what came of that.
    """
    target = conditions.target
    seams = ["crotch_length"]
    if target.split_mm is not None:
        seams = ["front_crotch_length", "back_crotch_length"]
    if nearest is not None:
        rows = nearest[0][: len(seams)]
        worst = int(np.argmax(np.abs(rows)))
        changes = [
            words(
                "{by} {way}{name}",
                by=measure(abs(float(off)) + _INSIDE_MM),
                way="longer" if off > 0 else "shorter",
                name=f" ({name})" if len(seams) > 1 else "",
            )
            for name, off in zip(seams, rows, strict=True)
            if abs(off) >= min(_TOLD_MM, abs(float(rows[worst])))
        ]
        return UnsolvableError(
            "The crotch seam",
            float(rows[worst]),
            seams[worst],
            words(
                "It would draft {changes}; the rise (waist_height or body_rise, inside_leg) and "
                "the hip may be the ones that are off.",
                changes=joined(" and ", changes),
            ),
        )
    thigh = _nearest(conditions, bounds, best, free=[len(seams) + 1])
    short = 0.0 if thigh is None else -float(thigh[0][-1]) / target.thigh_scale
    return UnsolvableError(
        "The thigh",
        short,
        "thigh",
        words("A thigh {by} smaller would draft.", by=measure(short + _INSIDE_MM))
        if short
        else "Several measurements contradict each other; measure hip, crotch length and rise too.",
    )


def _nearest(
    conditions: _Conditions, bounds: list[tuple[float, float]], z0: Floats, free: list[int]
) -> tuple[Floats, Floats] | None:
    """Return by how much the conditions miss, mm, where the freed ones miss least, and that draft.

    All other conditions hold; None where even that cannot be. The held conditions first weigh much
    more than the freed ones, which comes near quickly; then they bind, for some steps more.
    """
    from scipy.optimize import minimize

    z = z0
    for weight in _HELD:
        z = _least_miss(conditions, bounds, free, weight, z)
    last = len(conditions.at(z)[0]) - 1
    held = [i for i in range(last) if i not in free]
    least: tuple[float, Floats, Floats] | None = None
    spent = 0

    def cost(z: Floats) -> tuple[float, Floats]:
        nonlocal least, spent
        spent += 1
        g, j = conditions.at(z)
        miss = g[free]
        if last in free:  # the thigh may be as wide as it likes
            miss = np.minimum(miss, 0.0)
        value = float(miss @ miss)
        off = np.abs(g[held]).max(initial=0.0 if last in free else max(0.0, -float(g[last])))
        if off <= SOLVED_MM and (least is None or value < least[0]):
            least = value, g * 10.0, z.copy()
        if spent > _MOST_STEPS:
            raise _EnoughError
        return value + 1e-6 * float(z @ z), 2.0 * (miss @ j[free]) + 2e-6 * z

    constraints: Any = [conditions.constraint("eq", held)] if held else []
    if last not in free:
        constraints.append(conditions.constraint("ineq", slice(-1, None)))
    objective: Any = cost
    with suppress(_EnoughError):
        minimize(
            objective,
            z,
            jac=True,
            method="SLSQP",
            bounds=bounds,
            constraints=constraints,
            options={"ftol": 1e-8},
        )
    return None if least is None else least[1:]
