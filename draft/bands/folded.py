"""A folded waistband over a wide elastic, in two pieces so that front and back keep their sides.

Common practice, no source: the flat piece is twice (elastic + seam allowance + 1/8 in room), so
2 in elastic with 3/8 in allowance gives 5 in flat, 2 1/2 in folded. The band is shorter than the
edge it joins and is stretched to fit; its side seams meet the leg's.
"""

from __future__ import annotations

from outseam.draft.bands.band import Band, BandContext, BandPlan, elastic_mm
from outseam.draft.bands.tube import tube
from outseam.draft.inputs.show import Units
from outseam.draft.inputs.usual import BAND_ROOM

#: A band this much shorter than the body (or the edge, if that is smaller) grips without cutting;
#: in a fabric that hardly stretches, by no more than half of what it wears well.
GRIP = 0.05


def height_mm(elastic_width_mm: float, units: Units) -> float:
    """Return the finished height of the band, mm."""
    return elastic_width_mm + BAND_ROOM.mm(units)


def band_girth_mm(c: BandContext) -> float:
    """Return the band's girth: it grips the body, passes the hip and never exceeds its edge."""
    grip = min(GRIP, c.ease.wear_strain / 2.0)
    wish = c.body_girth_mm * (1.0 + min(0.0, c.ease.waist_ratio)) * (1.0 - grip)
    return min(c.edge_mm, max(wish, c.over_hip_mm))


def plan(c: BandContext) -> BandPlan:
    """Return front and back band, in proportion to the leg's edges."""
    girth = band_girth_mm(c)
    pieces, seams = tube(c, girth, ("fold lengthwise over the elastic",))
    return BandPlan(pieces=pieces, seams=seams, girth_mm=girth, elastic_mm=elastic_mm(c, girth))


BAND = Band(
    name="folded",
    says="a folded band over a wide elastic, front and back piece",
    height=height_mm,
    plan=plan,
)
