"""What a leg shape is: girths at a few heights below the crotch, and how they change there.

A leg is described as it reaches the hem; the block cuts a shorter one off the whole leg.
Heights are above the floor, girths are of the finished garment all round, both in mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from outseam.draft.block.shape import arc_length, hermite
from outseam.draft.body.estimate import Measures
from outseam.draft.fits import Ease
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.words import least_allowed, measure, words

#: Calf and ankle heights as shares of the knee's: fullest calf about 0.72, smallest ankle about
#: 0.24 (from memory of anthropometric tables; only the strain chart and close legs use them).
CALF_OF_KNEE = 0.72
ANKLE_OF_KNEE = 0.24

#: Two stations nearer than this are one.
_NEAR_MM = 40.0

#: The hip girths between which default hem widths run from the narrow to the wide end of a range.
_HIP_RANGE_MM = (840.0, 1320.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A level of the leg: height above the floor, girth, and change of girth per mm of height."""

    height_mm: float
    girth_mm: float
    girth_slope: float

    @property
    def half_slope(self) -> float:
        """Change of half a panel's width per mm of height (a panel's half is a quarter leg)."""
        return self.girth_slope / 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LegContext:
    """What a leg shape may look at. `top_girth_mm` is the pattern's girth at the crotch line as
    the handbook's proportions give it, `top_height_mm` that line's height.
    """

    measures: Measures
    ease: Ease
    hem_height_mm: float
    hem_width_mm: float | None
    knee_width_mm: float | None
    flare_from: str | float
    top_girth_mm: float
    top_height_mm: float

    @property
    def knee_height_mm(self) -> float:
        """Height of the knee line."""
        return self.measures.knee_height

    def fitted_mm(self, girth_mm: float, extra_mm: float = 0.0) -> float:
        """Return a limb's girth with the fit's ease."""
        return girth_mm * (1.0 + self.ease.limb_ratio) + extra_mm

    @property
    def knee_mm(self) -> float:
        """Girth of a fitted leg at the knee, or the width the style asks for."""
        return self.knee_width_mm or self.fitted_mm(self.measures.knee)

    def tapered_mm(self, share: float) -> float:
        """Return a share of the girth at the crotch line: less would pinch the thigh."""
        return share * self.top_girth_mm

    @property
    def foot_hem_mm(self) -> float:
        """Narrowest hem that passes the foot when stretched, with a little to spare."""
        return self.measures.foot / (1.0 + self.ease.pull_strain) * 1.02

    def hem_from(self, narrow_mm: float, wide_mm: float) -> float:
        """Return the hem asked for, or a default between two widths that follows the hip."""
        if self.hem_width_mm is not None:
            return self.hem_width_mm
        low, high = _HIP_RANGE_MM
        share = (self.measures.hip - low) / (high - low)
        return max(narrow_mm + (wide_mm - narrow_mm) * share, 0.9 * narrow_mm, self.foot_hem_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """One leg shape. `hem_mm` is the usual range of its hem, all round (common practice)."""

    name: str
    says: str
    hem_mm: tuple[float, float]
    stations: Callable[[LegContext], tuple[Station, ...]]
    #: whether `flare_from` has a meaning for it
    flares: bool = False


def joined(context: LegContext, points: list[tuple[float, float]]) -> tuple[Station, ...]:
    """Return stations through (height, girth) points, top first, with shape-keeping slopes.

    The slopes are those of the monotone cubic (Fritsch and Carlson 1980, in scipy), so a leg
    never bulges between two stations; the crotch line is the first point of the curve.
    """
    from scipy.interpolate import PchipInterpolator

    top = (context.top_height_mm, context.top_girth_mm)
    rows = sorted([p for p in points if p[0] < top[0] - _NEAR_MM] + [top])
    h, g = np.array(rows).T
    slope = PchipInterpolator(h, g).derivative()(h)
    found = [
        Station(height_mm=float(a), girth_mm=float(b), girth_slope=float(c))
        for a, b, c in zip(h, g, slope, strict=True)
    ]
    return tuple(reversed(found[:-1]))


def straight_below(context: LegContext, knee_mm: float, hem_mm: float) -> tuple[Station, ...]:
    """Return a leg that runs straight from the knee to the hem."""
    top, bottom = context.knee_height_mm, context.hem_height_mm
    if top - bottom < _NEAR_MM:
        return (_only(context, context.hem_width_mm or knee_mm),)
    slope = (knee_mm - hem_mm) / (top - bottom)
    return (
        Station(height_mm=top, girth_mm=knee_mm, girth_slope=slope),
        Station(height_mm=bottom, girth_mm=hem_mm, girth_slope=slope),
    )


def _only(context: LegContext, girth_mm: float) -> Station:
    """Return the single station of a leg that ends above its first one."""
    drop = context.top_height_mm - context.hem_height_mm
    slope = 0.5 * (context.top_girth_mm - girth_mm) / max(drop, 1.0)
    return Station(height_mm=context.hem_height_mm, girth_mm=girth_mm, girth_slope=slope)


def _arc_ratio(half_slope: float) -> float:
    """Return a hem's length over its width where the edges lean by `half_slope`.

    A hem meets both edges at right angles, so that of a leaning edge is an arc.
    """
    x, y = 1.0 / math.hypot(1.0, half_slope), half_slope / math.hypot(1.0, half_slope)
    return float(arc_length(*hermite((0.0, 0.0), (x, y), (1.0, 0.0), (x, -y))))


def refuse_no_leg(context: LegContext) -> None:
    """Raise InputError when the hem lies so high that there is no leg."""
    below = context.top_height_mm - context.hem_height_mm
    if below < 2 * _NEAR_MM:
        raise InputError(
            "style.inseam",
            words("the hem would lie {below} below the crotch line", below=measure(below)),
            words("{least} or more", least=least_allowed(2 * _NEAR_MM)),
            "give a longer inseam or a named length",
        )


def leg_stations(leg: Leg, context: LegContext) -> tuple[Station, ...]:
    """Return the leg's stations from the first below the crotch to the hem, top first."""
    stations = leg.stations(context)
    if context.hem_width_mm is None:
        return stations
    # The hem asked for is measured along its edge: narrow the width until the arc is as long.
    asked = context.hem_width_mm
    for _ in range(4):
        width = asked / _arc_ratio(stations[-1].half_slope)
        stations = leg.stations(replace(context, hem_width_mm=width))
    return stations
