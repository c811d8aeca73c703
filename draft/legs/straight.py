"""A straight leg: one straight line from the knee to a hem that is hardly narrower."""

from __future__ import annotations

from outseam.draft.legs.leg import LegContext, LegLine, LegShape, straight_below

#: Least room at the knee over the fitted girth, so that a straight leg hangs free.
KNEE_ROOM_MM = 25.0
#: The knee is this much wider than the hem, half of what Aldrich's tailored trouser has (49.2 over
#: 44 cm); without it the eye sees the leg widen downward.
KNEE_OVER_HEM_MM = 25.0
#: Least girth at the knee over the girth at the crotch line; a full thigh keeps its line below.
LEAST_TAPER = 0.62


def line(c: LegContext) -> LegLine:
    """Return knee and hem; the knee is as wide as the body needs."""
    hem = c.hem_from(*LEG.hem_mm)
    clearing = c.clearing_mm(c.knee_height_mm, LEG.lean)
    fitted = max(c.fitted_mm(c.measures.knee, KNEE_ROOM_MM), clearing)
    full = c.tapered_mm(LEAST_TAPER)
    knee = c.knee_width_mm or max(hem + KNEE_OVER_HEM_MM, fitted, full)
    if c.hem_width_mm is None and c.knee_width_mm is None:
        hem = max(hem, knee - 2.0 * KNEE_OVER_HEM_MM)
    return straight_below(c, knee, hem)


LEG = LegShape(
    name="straight",
    says="falls straight from the knee",
    hem_mm=(400.0, 460.0),
    line=line,
)
