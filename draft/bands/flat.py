"""A flat band without elastic, doubled, for a fabric that springs back by itself."""

from __future__ import annotations

from outseam.draft.bands.band import Band, BandContext, BandPlan
from outseam.draft.bands.tube import tube
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import per_cent

#: Such a band is tall, so that it holds by area and not by cutting in.
HEIGHT_MM = 100.0
#: It is drafted smaller than the body by this share of the stretch that wears well, and needs at
#: least this strain to hold (common practice, no source).
GRIP_SHARE = 0.5
LEAST_STRAIN = 0.06


def plan(c: BandContext) -> BandPlan:
    """Return front and back band. Raises InputError for a fabric that cannot hold them up."""
    strain = GRIP_SHARE * c.ease.wear_strain
    if strain < LEAST_STRAIN or not c.firm_recovery:
        need = LEAST_STRAIN / GRIP_SHARE / 0.5
        raise InputError(
            "style.band",
            '"flat" in a fabric that does not hold it up',
            f'a fabric that stretches {per_cent(need)} or more across and has recovery = "firm"',
            'choose band = "folded" or "casing", which hold by an elastic',
        )
    girth = min(c.edge_mm, max(c.body_girth_mm / (1.0 + strain), c.over_hip_mm))
    pieces, seams = tube(c, girth, ("fold lengthwise, wrong sides together; no elastic",))
    return BandPlan(pieces=pieces, seams=seams, girth_mm=girth, elastic_mm=None)


BAND = Band(
    name="flat",
    says="a tall doubled band without elastic, for a knit with firm recovery",
    height=lambda *_: HEIGHT_MM,
    plan=plan,
)
