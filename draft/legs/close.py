"""A close leg: follows thigh, knee, calf and ankle; the hem opens far enough for the foot."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from outseam.draft.body.limb import Floats, GirthLine
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.words import measure, most_allowed, words
from outseam.draft.legs.leg import (
    LegContext,
    LegLine,
    LegShape,
    calf_height_mm,
    from_first,
    only,
    splined,
    station_on,
    steady,
)

#: A little more at the middle of the thigh, so far down from the thigh to the lower thigh: that
#: leaves the seam one line from fork to knee.
MID_ROOM, MID_AT = 1.009, 0.6
#: Girth where the foot begins to decide, over the hem's: below it the leg is nearly a tube.
ANKLE_ROOM = 1.08
#: ... at most this share of the way from the hem up to the calf: where the foot makes the hem
#: nearly as wide as the calf, a leg that followed the calf down to it would have a step there.
ANKLE_SHARE = 0.72
#: How far the leg still narrows at the hem, over its mean slope from there up.
HEM_LEAN = 0.5
#: Lower thigh and knee are one station, this share of the way from the knee up.
KNEE_UP = 0.34
#: No part of the leg is stretched beyond this share of what wears well.
PINCH_SHARE = 0.74
#: Two stations lie at least this far apart.
_APART_MM = 60.0
#: What the forks add runs out so far below the crotch line, and farther the more they add, so
#: that the inseam leans out about as much for everybody.
FADE_MM, FADE_GROWS, LEAST_FORKS_MM = 6.0, 1.9, 35.0


def line(c: LegContext) -> LegLine:
    """Return the leg as the body has it, in one smooth line."""
    m = c.measures
    knots = c.limb.line.x
    low, mid = float(knots[3]), float(MID_AT * knots[3] + (1.0 - MID_AT) * knots[5])
    hem = c.hem_width_mm or max(c.fitted_mm(m.ankle), c.foot_hem_mm)
    top = c.top_height_mm
    girths = c.eased_mm(np.array((top, mid, low)))
    points = [(top, float(girths[0]))]
    if c.hem_height_mm > low - _APART_MM:
        return from_first((only(c, hem),))
    points.append((mid, MID_ROOM * float(girths[1])))
    calf_height = calf_height_mm(c)
    calf = c.fitted_mm(m.calf)
    height, knee = _knee(c, low, float(girths[2]), points[-1][1])
    if c.knee_width_mm is None and c.hem_height_mm < calf_height - _APART_MM:
        knee = max(knee, calf)
    if c.hem_height_mm < height - _APART_MM:
        points.append((height, knee))
    # A hem wider than the calf is let out from the knee on: a leg that met it at the ankle already
    # would have a bulge there.
    opens = hem > max(calf, c.foot_hem_mm)
    if c.hem_height_mm < calf_height - _APART_MM and not opens:
        points.append((calf_height, max(calf, min(hem, knee))))
    waves = c.hem_width_mm is not None and ANKLE_ROOM * hem > calf
    ankle = None if opens or waves else _ankle(c, hem, calf_height)
    if ankle is not None:
        points.append((ankle, ANKLE_ROOM * hem))
    points.append((c.hem_height_mm, hem))
    between = np.linspace(max(calf_height, c.hem_height_mm), mid, 12)
    if ankle is not None:
        between = np.concatenate((np.linspace(ankle, calf_height, 6), between))
    smooth = splined(points)
    pinch = _pinch(c, smooth, between)
    if pinch > 1.0:
        points = [(h, g * pinch if c.hem_height_mm < h < top else g) for h, g in points]
        smooth = splined(points)
    more = max(LEAST_FORKS_MM, c.top_girth_mm - float(girths[0]))
    first = max(top - FADE_MM - FADE_GROWS * more, (top + 3.5 * low) / 4.5)
    rest = sorted((p[0] for p in points if p[0] <= height), reverse=True)
    heights = [first, (first + height) / 2.0, *rest]
    stations = [station_on(smooth, h) for h in heights]
    if ankle is not None:
        # Below, nearly a tube.
        mean = (stations[-2].girth_mm - hem) / (stations[-2].height_mm - c.hem_height_mm)
        stations[-1] = replace(stations[-1], girth_slope=HEM_LEAN * mean)
    stations = steady(stations)
    return LegLine(
        stations=tuple(stations),
        base_mm=float(girths[0]),
        base_slope=float(smooth.slope_at(top)),
    )


def _pinch(c: LegContext, smooth: GirthLine, heights: Floats) -> float:
    """Return by how much the leg has to be wider where a body bulges between the places of the
    tape, so that its line does not pinch; 1 or less where it does not.
    """
    wears = 1.0 + PINCH_SHARE * c.ease.wear_strain
    return float((c.limb.at(heights) / (smooth.at(heights) * wears)).max())


def _knee(c: LegContext, low: float, low_girth: float, most_mm: float) -> tuple[float, float]:
    """Return height and girth of the knee. Raises InputError for one wider than the thigh."""
    if c.knee_width_mm is None:
        # Lower thigh and knee as one: a seam that followed both would wave.
        knee = KNEE_UP * low_girth + (1.0 - KNEE_UP) * c.fitted_mm(c.measures.knee)
        return KNEE_UP * low + (1.0 - KNEE_UP) * c.knee_height_mm, knee
    if c.knee_width_mm > most_mm:
        raise InputError(
            "style.knee_width",
            words("{wide} on a close leg", wide=measure(c.knee_width_mm)),
            words("{most} or less, the middle of the thigh", most=most_allowed(most_mm)),
            'leg = "straight" or "palazzo" is wider at the knee',
        )
    return c.knee_height_mm, c.knee_width_mm


def _ankle(c: LegContext, hem_mm: float, calf_height: float) -> float | None:
    """Return the height below the calf where the leg is nearly as narrow as its hem, no nearer to
    the calf than lets the taper be seen as one line; None where that lies too near to either.
    """
    heights = np.linspace(c.hem_height_mm + _APART_MM, calf_height - _APART_MM, 40)
    if heights[0] >= heights[-1]:
        return None
    girths = c.eased_mm(heights)
    found = np.flatnonzero(girths < ANKLE_ROOM * hem_mm)
    if not len(found):
        return None
    highest = c.hem_height_mm + ANKLE_SHARE * (calf_height - c.hem_height_mm)
    return min(float(heights[found[-1]]), highest)


LEG = LegShape(
    name="close",
    says="follows the leg down to the ankle",
    hem_mm=(200.0, 240.0),
    line=line,
    lean=1.0,
    inseam_share=0.6,
    split_slope=0.039,
    to_ankle=True,
    follows_forks=True,
)
