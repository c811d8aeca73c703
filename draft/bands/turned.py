"""A casing cut on the leg: the top edge is turned in over a narrow elastic and stitched down."""

from __future__ import annotations

from outseam.draft.bands.band import Band, BandContext, BandPlan, elastic_mm
from outseam.draft.inputs.show import Units
from outseam.draft.inputs.usual import CASING_EDGE, CASING_ROOM


def turn_mm(elastic_width_mm: float, units: Units) -> float:
    """Return how much is turned in, mm: elastic, room to thread it, and the edge."""
    return elastic_width_mm + CASING_ROOM.mm(units) + CASING_EDGE.mm(units)


def plan(c: BandContext) -> BandPlan:
    """Return no pieces: the legs carry the casing."""
    return BandPlan(pieces=(), seams=(), girth_mm=c.edge_mm, elastic_mm=elastic_mm(c, c.edge_mm))


BAND = Band(
    name="turned",
    says="a casing cut on the leg: the top is turned in over a narrow elastic",
    height=lambda *_: 0.0,
    plan=plan,
    turn=turn_mm,
    takes_height=False,
    side_seams=False,
)
