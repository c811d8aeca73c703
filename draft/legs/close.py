"""A close leg: follows knee, calf and ankle; the hem opens far enough for the foot."""

from __future__ import annotations

from outseam.draft.legs.leg import CALF_OF_KNEE, Leg, LegContext, Station, joined


def stations(c: LegContext) -> tuple[Station, ...]:
    """Return knee, calf and hem as the body has them."""
    m = c.measures
    hem = c.hem_width_mm or max(c.fitted_mm(m.ankle), c.foot_hem_mm)
    calf_height = m.knee_height * CALF_OF_KNEE
    points = [(c.hem_height_mm, hem)]
    if c.hem_height_mm < calf_height - 40.0:
        points.append((calf_height, max(c.fitted_mm(m.calf), min(hem, c.knee_mm))))
    if c.hem_height_mm < m.knee_height - 40.0:
        points.append((m.knee_height, c.knee_mm))
    return joined(c, points)


LEG = Leg(
    name="close",
    says="follows the leg down to the ankle",
    hem_mm=(200.0, 240.0),
    stations=stations,
)
