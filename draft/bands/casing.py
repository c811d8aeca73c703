"""A separate casing: a narrow folded band as long as its edge, gathered by a narrow elastic."""

from __future__ import annotations

from outseam.draft.bands.band import Band, BandContext, BandPlan, elastic_mm
from outseam.draft.bands.tube import tube
from outseam.draft.inputs.show import Units
from outseam.draft.inputs.usual import CASING_ROOM


def height_mm(elastic_width_mm: float, units: Units) -> float:
    """Return the finished height of the casing, mm: elastic and the room to thread it."""
    return elastic_width_mm + CASING_ROOM.mm(units)


def plan(c: BandContext) -> BandPlan:
    """Return front and back casing, as long as the legs' edge."""
    pieces, seams = tube(c, c.edge_mm, ("fold lengthwise; thread the elastic through",))
    return BandPlan(
        pieces=pieces, seams=seams, girth_mm=c.edge_mm, elastic_mm=elastic_mm(c, c.edge_mm)
    )


BAND = Band(
    name="casing",
    says="a separate casing for a narrow elastic, as long as the edge it joins",
    height=height_mm,
    plan=plan,
)
