"""A boot-cut leg: fitted at the knee, a little wider at the hem."""

from __future__ import annotations

from outseam.draft.legs.flare import opening
from outseam.draft.legs.leg import LegContext, LegLine, LegShape

KNEE_ROOM_MM = 15.0
#: A default hem is at least this much wider than the knee.
OPENS_MM = 40.0


def line(c: LegContext) -> LegLine:
    """Return the knee and a hem that opens from it."""
    return opening(c, LEG, KNEE_ROOM_MM, OPENS_MM, c.knee_height_mm)


LEG = LegShape(
    name="bootcut",
    says="fitted to the knee, then opens a little",
    hem_mm=(460.0, 520.0),
    line=line,
    split_slope=0.030,
)
