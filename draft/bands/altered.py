"""A waistband made tighter or looser after a trial."""

from __future__ import annotations

from dataclasses import replace

from outseam.draft.bands.band import Band, BandContext, BandPlan
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.words import measure, words

#: A band that cannot follow what is asked for within this is refused.
_NEAR_MM = 0.1


def altered_band(band: Band, context: BandContext, more_mm: float) -> BandPlan:
    """Return the waistband with what holds the waist longer by `more_mm`: its elastic, if any.

    Raises InputError where a band without elastic would no longer pass the hip, or would be longer
    than the edge it joins.
    """
    plan = band.plan(context)
    if not more_mm:
        return plan
    if plan.elastic_mm is not None:
        return replace(plan, elastic_mm=plan.elastic_mm + more_mm)
    want = plan.girth_mm + more_mm
    body = context.body_girth_mm * want / plan.girth_mm
    made = band.plan(replace(context, body_girth_mm=body))
    if abs(made.girth_mm - want) > _NEAR_MM:
        why = "be longer than the edge it joins" if more_mm > 0 else "no longer pass the hip"
        raise InputError(
            "alter",
            words(
                "the waistband is to be {more} {way}, but then it would {why}",
                more=measure(abs(more_mm)),
                way="looser" if more_mm > 0 else "tighter",
                why=why,
            ),
            hint='use less, or choose band = "folded", which holds by an elastic',
        )
    return made
