"""A palazzo leg: falls from the hip in one line to a very wide hem."""

from __future__ import annotations

from outseam.draft.legs.leg import Leg, LegContext, Station


def stations(c: LegContext) -> tuple[Station, ...]:
    """Return a straight line from the crotch to the hem, held at the knee."""
    hem = c.hem_width_mm or max(c.hem_from(*LEG.hem_mm), 1.08 * c.top_girth_mm)
    slope = (c.top_girth_mm - hem) / (c.top_height_mm - c.hem_height_mm)
    end = Station(height_mm=c.hem_height_mm, girth_mm=hem, girth_slope=slope)
    if c.knee_height_mm - c.hem_height_mm < 40.0:
        return (end,)
    girth = hem + slope * (c.knee_height_mm - c.hem_height_mm)
    return (Station(height_mm=c.knee_height_mm, girth_mm=girth, girth_slope=slope), end)


LEG = Leg(
    name="palazzo",
    says="falls wide from the hip",
    hem_mm=(700.0, 1100.0),
    stations=stations,
)
