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
    crotch_width,
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
_EYE = np.diag(_SD) * (1j * _STEP)


@lru_cache(maxsize=16)
def _bounds(fit: Fit) -> tuple[Floats, list[tuple[float, float]]]:
    mean = prior_means(fit)
    low, high = (_LOW - mean) / _SD, (_HIGH - mean) / _SD
    return mean, [(float(a), float(b)) for a, b in zip(low, high, strict=True)]


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
        thigh = crotch_width(self.frame, p, front, back=False) + crotch_width(
            self.frame, p, back, back=True
        )
        g = np.stack([*rows, thigh - t.thigh_mm]) / 10.0
        return np.ascontiguousarray(g[:, 0].real), g.imag / _STEP


def _objective(z: Floats) -> tuple[float, Floats]:
    return 0.5 * float(z @ z), z


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
        z = _search(conditions, bounds, best)
        if z is None:
            raise _unsolvable(conditions, bounds, best)
    return Solution(
        params=Params(*(float(v) for v in mean + _SD * z)),
        means=Params(*(float(v) for v in mean)),
        moved_sd=Params(*(float(v) for v in z)),
    )


def _search(
    conditions: _Conditions, bounds: list[tuple[float, float]], z0: Floats
) -> Floats | None:
    """Return the solution that sequential quadratic programming finds from `z0`, None if none."""
    from scipy.optimize import minimize

    constraints: Any = [
        conditions.constraint("eq", slice(None, -1)),
        conditions.constraint("ineq", slice(-1, None)),
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
    if not np.isfinite(z).all():
        return None
    g = conditions.at(z)[0] * 10.0
    return z if np.abs(g[:-1]).max() <= SOLVED_MM and g[-1] >= -SOLVED_MM else None


def _least_miss(conditions: _Conditions, bounds: list[tuple[float, float]]) -> Floats:
    """Return the draft inside the limits that misses the conditions by least."""
    from scipy.optimize import least_squares

    low, high = np.array(bounds).T

    def misses(z: Floats) -> Floats:
        g = conditions.at(z)[0]
        return np.concatenate([g[:-1], [min(0.0, float(g[-1]))], 1e-5 * z])

    def slopes(z: Floats) -> Floats:
        g, j = conditions.at(z)
        spare = j[-1:] * float(g[-1] < 0.0)
        return np.concatenate([j[:-1], spare, 1e-5 * np.eye(len(z))])

    start = np.clip(np.zeros(len(low)), low, high)
    found = least_squares(misses, start, slopes, bounds=(low, high), max_nfev=200)
    return np.asarray(found.x, dtype=np.float64)


#: A suggested value is taken this far inside what drafts, so that rounding it keeps it there.
_INSIDE_MM = 3.0


def _unsolvable(
    conditions: _Conditions, bounds: list[tuple[float, float]], best: Floats
) -> UnsolvableError:
    """Return the error that names the measurement which would have to give, and by how much.

    One measurement at a time is let go while the others hold, the crotch seam first.
    """
    target = conditions.target
    seams = ["crotch_length"]
    if target.split_mm is not None:
        seams = ["front_crotch_length", "back_crotch_length"]
    changes = _nearest(conditions, bounds, best, free=list(range(len(seams))))
    if changes is not None:
        rows = changes[: len(seams)]
        worst = int(np.argmax(np.abs(rows)))
        parts = [
            f"{abs(float(off)) / 10 + _INSIDE_MM / 10:.1f} cm {'longer' if off > 0 else 'shorter'}"
            + (f" ({name})" if len(seams) > 1 else "")
            for name, off in zip(seams, rows, strict=True)
            if abs(off) > SOLVED_MM
        ]
        return UnsolvableError(
            "The crotch seam",
            float(rows[worst]),
            seams[worst],
            f"It would draft {' and '.join(parts)}; the rise (waist_height or body_rise, "
            "inside_leg) and the hip may be the ones that are off.",
        )
    thigh = _nearest(conditions, bounds, best, free=[len(seams) + 1])
    short = 0.0 if thigh is None else -float(thigh[-1]) / target.thigh_scale
    return UnsolvableError(
        "The thigh",
        short,
        "thigh",
        f"A thigh {short / 10 + _INSIDE_MM / 10:.1f} cm smaller would draft."
        if short
        else "Several measurements contradict each other; measure hip, crotch length and rise too.",
    )


def _nearest(
    conditions: _Conditions, bounds: list[tuple[float, float]], z0: Floats, free: list[int]
) -> Floats | None:
    """Return by how much the freed conditions miss, mm, when they miss as little as can be.

    All other conditions hold exactly; None where even that cannot be.
    """
    from scipy.optimize import minimize

    count = len(conditions.at(z0)[0])
    held = [i for i in range(count - 1) if i not in free]

    def cost(z: Floats) -> tuple[float, Floats]:
        g, j = conditions.at(z)
        miss, slope = g[free].copy(), j[free]
        if count - 1 in free:  # the thigh may be as wide as it likes
            miss = np.minimum(miss, 0.0)
        return float(miss @ miss + 1e-6 * (z @ z)), 2.0 * (miss @ slope) + 2e-6 * z

    constraints: Any = [conditions.constraint("eq", held)] if held else []
    if count - 1 not in free:
        constraints.append(conditions.constraint("ineq", slice(-1, None)))
    objective: Any = cost
    found = minimize(
        objective,
        z0,
        jac=True,
        method="SLSQP",
        bounds=bounds,
        constraints=constraints,
        options={"ftol": 1e-12, "maxiter": 200},
    )
    g = conditions.at(np.asarray(found.x, dtype=np.float64))[0] * 10.0
    kept = np.abs(g[held]).max(initial=0.0) <= 10.0 * SOLVED_MM
    if count - 1 not in free:
        kept = kept and g[-1] >= -10.0 * SOLVED_MM
    return np.asarray(g) if kept else None
