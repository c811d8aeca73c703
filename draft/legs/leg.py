"""What a leg shape is: girths at a few heights below the crotch, and how they change there.

A leg is described as it reaches the hem; the block cuts a shorter one off the whole leg.
Heights are above the floor, girths are of the finished garment all round, both in mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from outseam.curves.cubic_formulas import arc_length, hermite
from outseam.draft.body.estimate import Measures
from outseam.draft.body.limb import CALF_OF_KNEE, Floats, GirthLine, Limb, spline_slopes
from outseam.draft.fits import Ease
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.words import least_allowed, measure, words

#: Two stations nearer than this are one.
_NEAR_MM = 40.0

#: Where between a height and the crotch line a leg is held against the body.
_UP = np.linspace(0.0, 0.85, 9)

#: The hip girths between which default hem widths run from the narrow to the wide end of a range.
_HIP_RANGE_MM = (840.0, 1320.0)

#: A foot passes a stretched opening with this much to spare.
FOOT_ROOM = 1.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A level of the leg: height above the floor, girth, and change of girth per mm of height."""

    height_mm: float
    girth_mm: float
    girth_slope: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LegLine:
    """A leg below the crotch line: its stations, top first, and what the forks are added to.

    Without forks the leg would have the girth `base_mm` at the crotch line and change there by
    `base_slope` per mm of height; what the forks make it wider runs out at the first station.
    """

    stations: tuple[Station, ...]
    base_mm: float
    base_slope: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LegContext:
    """What a leg shape may look at. `top_girth_mm` is the pattern's girth at the crotch line as
    the handbook's proportions give it, `top_height_mm` that line's height.
    """

    measures: Measures
    ease: Ease
    limb: Limb
    hem_height_mm: float
    hem_width_mm: float | None
    knee_width_mm: float | None
    flare_from: str | float
    #: whether the foot goes through the closed hem
    closed: bool
    top_girth_mm: float
    top_height_mm: float

    @property
    def knee_height_mm(self) -> float:
        """Height of the knee line."""
        return self.measures.knee_height

    def fitted_mm(self, girth_mm: float, extra_mm: float = 0.0) -> float:
        """Return a limb's girth with the fit's ease."""
        return girth_mm * (1.0 + self.ease.limb_ratio) + extra_mm

    def eased_mm(self, heights: Floats) -> Floats:
        """Return the leg's girth at heights with the fit's ease, the hip's at the thigh, running
        smoothly to the limb's above the knee.
        """
        low, high = self.limb.line.x[[3, 5]]
        t = np.clip((heights - low) / (high - low), 0.0, 1.0)
        ratio = self.ease.limb_ratio + (self.ease.thigh_ratio - self.ease.limb_ratio) * (
            t * t * (3.0 - 2.0 * t)
        )
        found: Floats = self.limb.at(heights) * (1.0 + ratio)
        return found

    def tapered_mm(self, share: float) -> float:
        """Return a share of the girth at the crotch line: less would pinch the thigh."""
        return share * self.top_girth_mm

    def clearing_mm(self, height_mm: float, lean: float) -> float:
        """Return the least girth at a height from which the leg, drawn up to the crotch line with
        `lean` there, holds the body with its ease everywhere between.
        """
        u = _UP
        span = self.top_height_mm - height_mm
        need = self.eased_mm(height_mm + u * span)
        share = top_share(u, lean)
        return float(((need - self.top_girth_mm * share) / (1.0 - share)).max())

    @property
    def foot_hem_mm(self) -> float:
        """Narrowest hem that passes the foot, 0 where a slit or zip lets it through."""
        return foot_hem_mm(self.measures.foot, self.ease) if self.closed else 0.0

    def usual_hem_mm(self, narrow_mm: float, wide_mm: float) -> float:
        """Return a default hem between two widths that follows the hip."""
        low, high = _HIP_RANGE_MM
        share = (self.measures.hip - low) / (high - low)
        return max(narrow_mm + (wide_mm - narrow_mm) * share, 0.9 * narrow_mm)

    def hem_from(self, narrow_mm: float, wide_mm: float) -> float:
        """Return the hem asked for, or a default between two widths that follows the hip."""
        if self.hem_width_mm is not None:
            return self.hem_width_mm
        return max(self.usual_hem_mm(narrow_mm, wide_mm), self.foot_hem_mm)


def foot_hem_mm(foot_mm: float, ease: Ease) -> float:
    """Return the narrowest hem that passes a foot when stretched, with a little to spare."""
    return foot_mm / (1.0 + ease.pull_strain) * FOOT_ROOM


@dataclass(frozen=True, slots=True, kw_only=True)
class LegShape:
    """One leg shape. `hem_mm` is the usual range of its hem, all round (common practice)."""

    name: str
    says: str
    hem_mm: tuple[float, float]
    line: Callable[[LegContext], LegLine]
    #: whether `flare_from` has a meaning for it
    flares: bool = False
    #: how the seams leave the crotch line: their lean there over the mean lean to the first
    #: station, of what the forks add, and whether that lean lasts to the first station, in a line
    lean: float = 0.7
    straight: bool = False
    #: share of what the forks add to a panel that is drawn at its inseam
    inseam_share: float = 0.5
    #: what the back leg is wider than the front changes by no more than this per mm of length, so
    #: that both edges of a seam leave the vertical alike; twice the angle between them
    split_slope: float = 0.063
    #: whether the hem lies as close to the ankle as the fit says, whatever `hem_mm`
    to_ankle: bool = False
    #: whether its stations depend on what the forks add at the crotch line, once they are known
    follows_forks: bool = False

    def foot_widens_mm(self, c: LegContext, line: LegLine) -> float:
        """Return how much wider the hem is than the leg has it by itself, so that a foot passes."""
        if c.hem_width_mm is not None:
            return 0.0
        own = c.fitted_mm(c.measures.ankle) if self.to_ankle else c.usual_hem_mm(*self.hem_mm)
        more = c.foot_hem_mm - own
        decides = abs(line.stations[-1].girth_mm - c.foot_hem_mm) < 0.1
        return max(0.0, more) if decides else 0.0


def top_share(u: Floats, lean: float) -> Floats:
    """Return how much of what is added at the crotch line is left at shares `u` of the way up."""
    found: Floats = (3.0 - lean) * u**2 + (lean - 2.0) * u**3
    return found


def splined(points: list[tuple[float, float]]) -> GirthLine:
    """Return the smooth line through (height, girth) points, which may come in any order."""
    x, y = np.array(sorted(points)).T
    return GirthLine(x, y, spline_slopes(x, y))


def station_on(line: GirthLine, height_mm: float) -> Station:
    """Return the station of a line at a height."""
    return Station(
        height_mm=height_mm,
        girth_mm=float(line.at(height_mm)),
        girth_slope=float(line.slope_at(height_mm)),
    )


def steady(stations: list[Station]) -> list[Station]:
    """Return stations with slopes such that the leg neither swells nor dips between two of them.

    No slope is steeper than three times the mean slope on either side, nor against it (Fritsch and
    Carlson 1980).
    """
    found = list(stations)
    for i, j in pairwise(range(len(found))):
        high, low = found[i], found[j]
        mean = (high.girth_mm - low.girth_mm) / (high.height_mm - low.height_mm)
        for k in (i, j):
            slope = found[k].girth_slope
            least, most = min(0.0, 3.0 * mean), max(0.0, 3.0 * mean)
            found[k] = replace(found[k], girth_slope=min(most, max(least, slope)))
    return found


def from_first(stations: tuple[Station, ...]) -> LegLine:
    """Return a leg whose seams run from the crotch line to the first station in one curve."""
    return LegLine(stations=stations, base_mm=stations[0].girth_mm, base_slope=0.0)


def straight_below(context: LegContext, knee_mm: float, hem_mm: float) -> LegLine:
    """Return a leg that runs straight from the knee to the hem."""
    top, bottom = context.knee_height_mm, context.hem_height_mm
    if top - bottom < _NEAR_MM:
        return from_first((only(context, context.hem_width_mm or knee_mm),))
    slope = (knee_mm - hem_mm) / (top - bottom)
    return from_first(
        (
            Station(height_mm=top, girth_mm=knee_mm, girth_slope=slope),
            Station(height_mm=bottom, girth_mm=hem_mm, girth_slope=slope),
        )
    )


def only(context: LegContext, girth_mm: float) -> Station:
    """Return the single station of a leg that ends above its first one."""
    drop = context.top_height_mm - context.hem_height_mm
    slope = 0.5 * (context.top_girth_mm - girth_mm) / max(drop, 1.0)
    return Station(height_mm=context.hem_height_mm, girth_mm=girth_mm, girth_slope=slope)


def calf_height_mm(context: LegContext) -> float:
    """Return the height of the fullest calf."""
    return context.measures.knee_height * CALF_OF_KNEE


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


def leg_line(leg: LegShape, context: LegContext) -> LegLine:
    """Return the leg from the first station below the crotch to the hem."""
    line = leg.line(context)
    if context.hem_width_mm is None:
        return line
    # The hem asked for is measured along its edge: narrow the width until the arc is as long.
    asked = context.hem_width_mm
    for _ in range(4):
        width = asked / _arc_ratio(hem_half_slope(line))
        line = leg.line(replace(context, hem_width_mm=width))
    return line


def hem_half_slope(line: LegLine) -> float:
    """Return the change of half a panel's width per mm of height at the hem."""
    return line.stations[-1].girth_slope / 4.0
