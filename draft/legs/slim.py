"""A slim leg: fitted at the knee, then straight down to a narrow hem."""

from __future__ import annotations

from outseam.draft.legs.leg import LegContext, LegLine, LegShape, calf_height_mm, straight_below

#: Room at the knee over the fitted girth.
KNEE_ROOM_MM = 15.0
#: Least girth at the knee over the girth at the crotch line.
LEAST_TAPER = 0.50


def line(c: LegContext) -> LegLine:
    """Return knee and hem, the knee wide enough that the straight edge clears thigh and calf."""
    m = c.measures
    hem = c.hem_from(*LEG.hem_mm)
    fitted = max(c.fitted_mm(m.knee, KNEE_ROOM_MM), c.clearing_mm(m.knee_height, LEG.lean))
    knee = c.knee_width_mm or max(fitted, hem, c.tapered_mm(LEAST_TAPER))
    if c.knee_width_mm is None and c.hem_height_mm < calf_height_mm(c) - 40.0:
        share = (m.knee_height - calf_height_mm(c)) / (m.knee_height - c.hem_height_mm)
        calf = c.fitted_mm(m.calf)
        knee = max(knee, (calf - share * hem) / (1.0 - share))
    return straight_below(c, knee, hem)


LEG = LegShape(
    name="slim",
    says="narrows from the knee to the hem",
    hem_mm=(300.0, 360.0),
    line=line,
    lean=1.0,
)
