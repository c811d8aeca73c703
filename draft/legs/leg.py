"""What a leg shape is: girths at a few heights below the crotch, and how they change there.

A leg is described once, as if it reached its full length; a shorter one is the same leg cut off.
Heights are above the floor, girths are of the finished garment all round, both in mm.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from draft.body import Measures
from draft.errors import InputError
from draft.fits import Ease
from draft.lengths import LENGTHS

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
        return (_only(context, knee_mm),)
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


def _cut(context: LegContext, stations: tuple[Station, ...], height: float) -> tuple[Station, ...]:
    """Return the leg cut off at `height`."""
    from scipy.interpolate import CubicHermiteSpline

    top = Station(
        height_mm=context.top_height_mm,
        girth_mm=context.top_girth_mm,
        girth_slope=(context.top_girth_mm - stations[0].girth_mm)
        / (context.top_height_mm - stations[0].height_mm),
    )
    rows = tuple(reversed((top, *stations)))
    curve = CubicHermiteSpline(
        [s.height_mm for s in rows], [s.girth_mm for s in rows], [s.girth_slope for s in rows]
    )
    end = Station(
        height_mm=height,
        girth_mm=float(curve(height)),
        girth_slope=float(curve.derivative()(height)),
    )
    kept = [s for s in stations if s.height_mm > height + _NEAR_MM]
    return (*kept, end)


def leg_stations(leg: Leg, context: LegContext) -> tuple[Station, ...]:
    """Return the leg's stations from the first below the crotch to the hem, top first.

    Raises InputError when the hem lies so high that there is no leg.
    """
    m = context.measures
    if context.hem_height_mm > context.top_height_mm - 2 * _NEAR_MM:
        raise InputError(
            "style.inseam",
            f"the hem would lie {(context.top_height_mm - context.hem_height_mm) / 10:.1f} cm "
            "below the crotch line",
            "8 cm or more",
            "give a longer inseam or a named length",
        )
    full = next(x for x in LENGTHS if x.name == "full").hem_height_mm(m)
    if context.hem_width_mm is not None or context.hem_height_mm <= full + _NEAR_MM:
        return leg.stations(context)
    whole = LegContext(
        measures=m,
        ease=context.ease,
        hem_height_mm=full,
        hem_width_mm=None,
        knee_width_mm=context.knee_width_mm,
        flare_from=context.flare_from,
        top_girth_mm=context.top_girth_mm,
        top_height_mm=context.top_height_mm,
    )
    return _cut(whole, leg.stations(whole), context.hem_height_mm)
