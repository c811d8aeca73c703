"""A palazzo leg: falls from the hip in one line to a very wide hem."""

from __future__ import annotations

from outseam.draft.legs.leg import LegContext, LegLine, LegShape, Station, from_first

#: The hem over the girth at the crotch line, at the least.
LEAST_OPENING = 1.08


def line(c: LegContext) -> LegLine:
    """Return knee and hem: the seams run from the crotch line to the hem in a straight line."""
    hem = c.hem_width_mm or max(c.hem_from(*LEG.hem_mm), LEAST_OPENING * c.top_girth_mm)
    slope = (c.top_girth_mm - hem) / (c.top_height_mm - c.hem_height_mm)
    end = Station(height_mm=c.hem_height_mm, girth_mm=hem, girth_slope=slope)
    if c.knee_height_mm - c.hem_height_mm < 40.0:
        return from_first((end,))
    girth = hem + slope * (c.knee_height_mm - c.hem_height_mm)
    return from_first((Station(height_mm=c.knee_height_mm, girth_mm=girth, girth_slope=slope), end))


LEG = LegShape(
    name="palazzo",
    says="falls wide from the hip",
    hem_mm=(700.0, 1100.0),
    line=line,
    lean=1.0,
    straight=True,
    split_slope=0.030,
)
