"""The proportions of a draft: what handbooks believe of them, and what the tape asks of them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from outseam.curves.cubic_formulas import Numeric
from outseam.draft.block.shape import (
    Below,
    Frame,
    Params,
    below_length,
    seam_lengths,
    shapes,
)
from outseam.draft.fits import FORK_PROPORTION, Fit

Floats = NDArray[np.float64]


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
#: The edge's tangents at both ends meet at least this share of its length from the side: nearer,
#: it would turn there as sharply as a hook, or bend both ways.
WAIST_TURN = 0.135
#: The back lean grows with what the hip has over the waist, from a share of .20 of the hip on, and
#: the forks with the depth of the seat, from .228 of the hip on (both common practice, calibrated).
LEAN_BY_WAIST, WAIST_USUAL = 0.08, 0.20
FORKS_BY_DEPTH, DEPTH_USUAL = 0.5, 0.228
#: Highest the centre back may stand above the side, mm.
BACK_RAISE_HIGH_MM = 95.0
#: The drafted halves of the crotch seam keep to measured ones as well as anybody can say where
#: between the legs the inseam meets the seam: 18-20 mm, so half of that for each half.
SPLIT_SD_MM = 5.0

PRIORS: tuple[Prior, ...] = (
    # The depth of the crotch line is the style's: surplus of the tape goes elsewhere.
    Prior(name="drop", says="crotch line below the crotch", sd=3.6, low=-10.0, high=115.0),
    Prior(name="front_fork", says="front fork", sd=0.0065, low=0.03, high=0.10),
    Prior(name="back_fork", says="back fork", sd=0.011, low=0.07, high=0.17),
    Prior(name="front_raise", says="centre front raised", sd=8.0, low=-45.0, high=45.0),
    Prior(name="back_raise", says="centre back raised", sd=6.0, low=-30.0, high=BACK_RAISE_HIGH_MM),
    Prior(name="slant", says="lean of the centre back", sd=0.026, low=0.02, high=0.42),
    Prior(name="front_hollow", says="front crotch curve", sd=0.015, low=0.25, high=0.45),
    Prior(name="back_hollow", says="back crotch curve", sd=0.015, low=0.27, high=0.43),
    # Not a belief about the body but about the draft: handbooks lower the back crotch point by
    # 5-10 mm; the inseams decide.
    Prior(name="fork_lowered", says="back crotch point lowered", sd=7.5, low=-25.0, high=60.0),
)
_SPREAD = {p.name: (p.sd, p.low, p.high) for p in PRIORS}
#: Means of what no fit moves.
FRONT_HOLLOW, BACK_HOLLOW, LOWERED_MM = 0.385, 0.347, 5.0


class BackWaist(NamedTuple):
    """The back above the hip line: height up to the waist, width there with an upright centre, and
    the lean of the side at the waist.
    """

    rise: float
    width: float
    side_lean: float

    def highest(self, slant: Numeric) -> Numeric:
        """Return how high the centre may stand over the side with a lean of `slant`."""
        # The edge is as wide as the lean leaves it at the height to which the centre is raised.
        width = self.width - slant * self.rise
        steep = slant - WAIST_TURN * (slant + self.side_lean)
        return steep * width / (1.0 + slant * steep)


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
    `seat_depth`, both over the hip, and `back_waist`.
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
    back_waist: BackWaist


class Free(NamedTuple):
    """The unknowns of the search. `proportion` is the logarithm of back fork over front fork;
    `slack` how far the centre back stands below the highest that its lean allows.
    """

    drop: Numeric
    forks: Numeric
    proportion: Numeric
    front_raise: Numeric
    slant: Numeric
    slack: Numeric
    lowered: Numeric
    front_hollow: Numeric
    back_hollow: Numeric


def params_of(free: Free, back_waist: BackWaist) -> Params:
    """Return the proportions that unknowns stand for."""
    ratio = np.exp(free.proportion)
    front = free.forks / (1.0 + ratio)
    return Params(
        drop=free.drop,
        front_fork=front,
        back_fork=free.forks - front,
        front_raise=free.front_raise,
        back_raise=back_waist.highest(free.slant) - free.slack,
        slant=free.slant,
        front_hollow=free.front_hollow,
        back_hollow=free.back_hollow,
        fork_lowered=free.lowered,
    )


class Belief(NamedTuple):
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
    steepest = slant * BACK_RAISE_HIGH_MM / t.back_waist.highest(slant)
    slant_sd, least_slant, most_slant = _SPREAD["slant"]
    rows = (
        (fit.drop_mm, *_SPREAD["drop"]),
        (forks, fit.fork_sd, least, max(FORKS_HIGH, least + 0.01)),
        (math.log(FORK_PROPORTION), PROPORTION_SD, math.log(PROPORTION_LOW), _LN_HIGH),
        (fit.front_raise_mm + t.front_raise_mm, *_SPREAD["front_raise"]),
        (slant, slant_sd, least_slant, min(most_slant, steepest)),
        (SLACK_MM, SLACK_SD_MM, 0.0, SLACK_HIGH_MM),
        (LOWERED_MM, *_SPREAD["fork_lowered"]),
        (FRONT_HOLLOW, *_SPREAD["front_hollow"]),
        (BACK_HOLLOW, *_SPREAD["back_hollow"]),
    )
    mean, sd, low, high = np.array(rows).T
    return Belief(mean, sd, low, high)


_LN_HIGH = math.log(PROPORTION_HIGH)


_STEP = 1e-20  # of the imaginary part: differences of complex steps cannot cancel, so tiny is exact
_MOVES = 1j * _STEP * np.eye(9)


class Conditions:
    """Residuals of a draft at a place: what must vanish (cm), what should be small (sd).

    `at(z)` returns the conditions (2,) and departures (2,) and their derivatives (2, 9) each; of
    drafts `together` for places (n, 9), all with n as the first axis.
    """

    def __init__(self, frame: Frame, below: Below, target: Target, belief: Belief) -> None:
        self.frame, self.below, self.target, self.belief = frame, below, target, belief

    @property
    def kind(self) -> tuple[bool, int]:
        """What drafts must have in common to be looked at together."""
        return self.frame.on_line, len(self.below.weights)

    def params(self, z: Floats) -> Params:
        """Return the proportions at `z` (9,)."""
        return Params(*(float(v[0]) for v in self.proportions(z)))

    def proportions(self, z: Floats, moves: Any = 0.0) -> Params:
        """Return the proportions at `z`, arrays (..., 1), or moved (9, n) sd, (..., n)."""
        b = self.belief
        unknown = (b.mean + b.sd * z)[..., None] + b.sd[..., None] * moves
        return params_of(Free(*unknown.swapaxes(0, -2)), self.target.back_waist)

    def at(self, z: Floats) -> tuple[Floats, Floats, Floats, Floats]:
        """Return conditions, departures and their derivatives at `z`."""
        t, p = self.target, self.proportions(z, _MOVES)
        s = shapes(self.frame, p)
        seams, upper = seam_lengths(s)
        inseams = upper + below_length(self.frame, self.below, s.leg)
        width = self.frame.hip_mm * (0.5 + p.front_fork + p.back_fork)
        found = np.array(
            (
                (seams[0] + seams[1] - t.crotch_mm) / 10.0,
                (inseams[0] - inseams[1] - t.inseam_ease_mm) / 10.0,
                (seams[0] - seams[1] - t.halves_mm) / t.halves_sd_mm,
                (width - t.thigh_wish_mm) / t.thigh_sd_mm,
            )
        ).swapaxes(0, -2)
        value, slope = found[..., 0].real, found.imag / _STEP
        return value[..., :2], value[..., 2:], slope[..., :2, :], slope[..., 2:, :]


def together(drafts: Sequence[Conditions]) -> Conditions:
    """Return the conditions of drafts of one `kind` as one: every number an array (n, 1)."""
    if len(drafts) == 1:
        return drafts[0]
    return Conditions(
        _together([d.frame for d in drafts]),
        Below(
            np.stack([d.below.weights for d in drafts]),
            np.stack([d.below.slopes for d in drafts])[:, None],
        ),
        _together([d.target for d in drafts]),
        Belief(*np.stack([d.belief for d in drafts], axis=1)),
    )


def _together(parts: Sequence[Any]) -> Any:
    """Return records of one type as one: numbers as arrays (n, 1), truths as the first has them."""
    first = parts[0]
    names = getattr(first, "_fields", None) or [f.name for f in fields(first)]
    return type(first)(**{name: _column([getattr(one, name) for one in parts]) for name in names})


def _column(values: list[Any]) -> Any:
    if isinstance(values[0], BackWaist):
        return _together(values)
    return values[0] if isinstance(values[0], bool) else np.array(values)[:, None]
