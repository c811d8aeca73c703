"""A flared leg: opens from the knee, from the thigh, or from any height to a wide hem."""

from __future__ import annotations

import numpy as np

from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.words import least_allowed, measure, most_allowed, words
from outseam.draft.legs.leg import LegContext, LegLine, LegShape, Station, from_first

KNEE_ROOM_MM = 10.0
#: Least girth at the knee over the girth at the crotch line.
LEAST_TAPER = 0.50
#: Room where a flare begins above the knee: cloth that hangs from there must not cling.
START_ROOM_MM = 15.0
#: A default hem is at least this much wider than the knee, or nobody would call it a flare.
OPENS_MM = 130.0
#: "thigh": the flare begins this share of the way from the knee up to the crotch line.
THIGH_SHARE = 0.42
#: The edge is vertical where the flare begins and leans at the hem by this multiple of the mean
#: lean, so that it opens in one even sweep: 1.5 would be a parabola's, 1 nearly straight.
HEM_LEAN = 1.25
#: A flare that begins nearer to the hem than this would be a kink.
LEAST_FLARE_MM = 80.0


def opening(
    c: LegContext, leg: LegShape, room_mm: float, opens_mm: float, start_mm: float
) -> LegLine:
    """Return a leg fitted at height `start_mm` that opens from there by at least `opens_mm`."""
    hem = c.hem_from(*leg.hem_mm)
    above = max(start_mm, c.knee_height_mm)
    room = START_ROOM_MM if start_mm > c.knee_height_mm else room_mm
    least = max(float(c.eased_mm(np.array(above))) + room, c.clearing_mm(above, leg.lean))
    girth = max(least, c.tapered_mm(LEAST_TAPER))
    if start_mm <= c.knee_height_mm:
        girth = c.knee_width_mm or girth
    if c.hem_width_mm is None:
        hem = max(hem, girth + opens_mm)
    if start_mm - c.hem_height_mm < LEAST_FLARE_MM:
        slope = 0.5 * (c.top_girth_mm - hem) / (c.top_height_mm - c.hem_height_mm)
        return from_first((Station(height_mm=c.hem_height_mm, girth_mm=hem, girth_slope=slope),))
    lean = (girth - hem) / (start_mm - c.hem_height_mm)
    stations = [
        Station(height_mm=start_mm, girth_mm=girth, girth_slope=0.0),
        Station(height_mm=c.hem_height_mm, girth_mm=hem, girth_slope=HEM_LEAN * lean),
    ]
    if start_mm < c.knee_height_mm - 40.0:
        # Below the knee: fitted at the knee, then straight down to where the flare begins.
        stations.insert(0, Station(height_mm=c.knee_height_mm, girth_mm=girth, girth_slope=0.0))
    return from_first(tuple(stations))


def start_height_mm(c: LegContext) -> float:
    """Return the height above the floor at which the flare begins.

    Raises InputError for a height outside the leg.
    """
    if c.flare_from == "knee":
        return c.knee_height_mm
    if c.flare_from == "thigh":
        return c.knee_height_mm + THIGH_SHARE * (c.top_height_mm - c.knee_height_mm)
    start = float(c.flare_from)
    low, high = c.hem_height_mm + LEAST_FLARE_MM, c.top_height_mm - 60.0
    if not low <= start <= high:
        raise InputError(
            "style.flare_from",
            words("{start} above the floor", start=measure(start)),
            words(
                "{low} to {high} for this leg, or knee or thigh",
                low=least_allowed(low),
                high=most_allowed(high),
            ),
            "the flare has to begin between the crotch and the hem",
        )
    return start


def line(c: LegContext) -> LegLine:
    """Return where the flare begins and the hem."""
    return opening(c, LEG, KNEE_ROOM_MM, OPENS_MM, start_height_mm(c))


LEG = LegShape(
    name="flare",
    says="opens from the knee, the thigh or any height to a wide hem",
    hem_mm=(540.0, 660.0),
    line=line,
    flares=True,
    inseam_share=0.54,
    split_slope=0.030,
)
