"""The solver: the draft that departs least from the handbook and still fits the tape.

A handbook's proportions suit a typical figure, and its crotch seam then has whatever length it
has. Here they are where the search starts, and the seam lengths are conditions:

    minimise  sum ((p - mean) / sd)^2   so that   crotch seam = target, inseams match,
                                                  thigh wide enough, p within limits.

How far each proportion had to move, in sd, is what the pattern says about the figure.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from draft.block.shape import (
    Frame,
    Params,
    back_shape,
    front_shape,
    inseam_length,
    seam_length,
)
from draft.errors import UnsolvableError
from draft.fits import Fit

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
    girth of the pattern at the crotch line.
    """

    crotch_mm: float
    split_mm: tuple[float, float] | None
    inseam_ease_mm: float
    thigh_mm: float


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
_EYE = np.diag(_SD) * (1j * _STEP)


@lru_cache(maxsize=16)
def _bounds(fit: Fit) -> tuple[Floats, list[tuple[float, float]]]:
    mean = prior_means(fit)
    low, high = (_LOW - mean) / _SD, (_HIGH - mean) / _SD
    return mean, [(float(a), float(b)) for a, b in zip(low, high, strict=True)]


class _Conditions:
    """Residuals of the seam conditions (cm) and their exact derivatives, remembered per point."""

    def __init__(self, frame: Frame, target: Target, mean: Floats) -> None:
        self.frame, self.target, self.mean = frame, target, mean
        self._key: bytes = b""
        self._value: tuple[Floats, Floats] | None = None

    def at(self, z: Floats) -> tuple[Floats, Floats]:
        key = z.tobytes()
        if self._value is None or key != self._key:
            self._key, self._value = key, self._evaluate(z)
        return self._value

    def _evaluate(self, z: Floats) -> tuple[Floats, Floats]:
        p = Params(*((self.mean + _SD * z)[:, None] + _EYE))
        front, back = front_shape(self.frame, p), back_shape(self.frame, p)
        t = self.target
        inseam = inseam_length(front) - inseam_length(back) - t.inseam_ease_mm
        if t.split_mm is None:
            rows = [seam_length(front) + seam_length(back) - t.crotch_mm, inseam]
        else:
            rows = [
                seam_length(front) - t.split_mm[0],
                seam_length(back) - t.split_mm[1],
                inseam,
            ]
        g = np.stack(rows) / 10.0
        return np.ascontiguousarray(g[:, 0].real), g.imag / _STEP


def _objective(z: Floats) -> tuple[float, Floats]:
    return 0.5 * float(z @ z), z


def solve_block(frame: Frame, fit: Fit, target: Target, start: Solution | None = None) -> Solution:
    """Return the draft nearest to the handbook that meets `target`; `start` warms the search.

    Raises UnsolvableError, naming the measurement and its nearest drafting value.
    """
    from scipy.optimize import minimize

    mean, bounds = _bounds(fit)
    conditions = _Conditions(frame, target, mean)
    hip = frame.hip_mm / 10.0
    row = np.array([[0.0, hip * _SD[1], hip * _SD[2], 0, 0, 0, 0, 0, 0]])
    spare = np.array([hip / 2.0 + hip * (mean[1] + mean[2]) - target.thigh_mm / 10.0])
    z0 = np.zeros(len(mean)) if start is None else (np.array(start.params) - mean) / _SD
    constraints: Any = [
        {
            "type": "eq",
            "fun": lambda z: conditions.at(z)[0],
            "jac": lambda z: conditions.at(z)[1],
        },
        {"type": "ineq", "fun": lambda z: row @ z + spare, "jac": lambda z: row},
    ]
    objective: Any = _objective
    result = minimize(
        objective,
        z0,
        jac=True,
        method="SLSQP",
        bounds=bounds,
        constraints=constraints,
        options={"ftol": 1e-10, "maxiter": 80},
    )
    z = np.asarray(result.x, dtype=np.float64)
    miss = float(np.abs(conditions.at(z)[0]).max()) * 10.0
    thin = float(-(row @ z + spare)[0]) * 10.0
    if not np.isfinite(z).all() or miss > SOLVED_MM or thin > SOLVED_MM:
        raise _unsolvable(conditions, mean, bounds, row, spare)
    return Solution(
        params=Params(*(float(v) for v in mean + _SD * z)),
        means=Params(*(float(v) for v in mean)),
        moved_sd=Params(*(float(v) for v in z)),
    )


def _unsolvable(
    conditions: _Conditions,
    mean: Floats,
    bounds: list[tuple[float, float]],
    row: Floats,
    spare: Floats,
) -> UnsolvableError:
    """Find the draft that misses least, and say which measurement would have to give."""
    from scipy.optimize import least_squares

    low, high = np.array(bounds).T

    def misses(z: Floats) -> Floats:
        short = np.maximum(0.0, -(row @ z + spare))
        return np.concatenate([conditions.at(z)[0], short, 1e-4 * z])

    best = least_squares(misses, np.clip(np.zeros(len(mean)), low, high), bounds=(low, high))
    g = conditions.at(np.asarray(best.x))[0] * 10.0
    short = float(np.maximum(0.0, -(row @ best.x + spare))[0]) * 10.0
    if short > float(np.abs(g).max()):
        return UnsolvableError(
            "The thigh", short, "thigh", f"A thigh {short / 10:.1f} cm smaller would draft."
        )
    if conditions.target.split_mm is None:
        names = ["crotch_length"]
    else:
        names = ["front_crotch_length", "back_crotch_length"]
    worst = int(np.argmax(np.abs(g[: len(names)])))
    off = float(g[worst])
    more = "longer" if off > 0 else "shorter"
    return UnsolvableError(
        "The crotch seam",
        off,
        names[worst],
        f"It would draft about {abs(off) / 10:.1f} cm {more}; the rise (waist_height or body_rise, "
        "inside_leg) and the hip may be the ones that are off.",
    )
