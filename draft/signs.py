"""What a trial can show, what it usually means, and what to change: one line each.

Common practice, no source, unless a rule names one. Amounts are where to start, not where to end.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Sign:
    """Something a person can see on a trial. `change` says what to alter, and by how much first."""

    key: str
    where: str
    look: str
    means: str
    change: str


SIGNS: tuple[Sign, ...] = (
    Sign(
        key="hip line dips at the back",
        where="hip balance line",
        look="the hip line is level in front but sinks toward the centre back",
        means="the seat needs more length than the draft gives it",
        change="measure the back crotch length again; start with 1 cm more",
    ),
    Sign(
        key="hip line rises at the back",
        where="hip balance line",
        look="the hip line climbs toward the centre back and folds lie under the seat",
        means="there is more length over the seat than the body fills: a flatter seat",
        change="start with 1 cm less back crotch length",
    ),
    Sign(
        key="waist dips at the back",
        where="top edge",
        look="the top edge slides down at the back when you sit or bend",
        means="the back crotch seam is too short, or the band too loose to stay",
        change="start with 1.5 cm more back crotch length, then try a shorter elastic",
    ),
    Sign(
        key="smiles at the front crotch",
        where="front crotch",
        look="folds fan out upward from the crotch point, like a smile",
        means="the crotch seam is too short, or the front fork too narrow for the thigh",
        change="measure crotch length and thigh again; start with 1 cm more crotch length",
    ),
    Sign(
        key="frowns at the front crotch",
        where="front crotch",
        look="folds hang downward beside the crotch, like a frown, and the crotch hangs low",
        means="the crotch seam is too long",
        change="start with 1 cm less crotch length",
    ),
    Sign(
        key="wrinkles under the seat",
        where="back thigh",
        look="slanting folds run from under the seat toward the side",
        means="the back leg is too tight over the thigh, or the seat flatter than drafted",
        change="measure the thigh again; if it is right, 1 cm less back crotch length",
    ),
    Sign(
        key="tight across the thigh",
        where="thigh balance line",
        look="the fabric pulls flat and level across the thigh; the mid-thigh line strains upward",
        means="the thigh is fuller than measured or estimated",
        change="measure the thigh; start with 1.5 cm more",
    ),
    Sign(
        key="tight across the hip",
        where="hip balance line",
        look="level pulls across the hip, pocket mouths gape",
        means="the hip was taken too high or too tight",
        change="find the fullest level and measure again, or choose an easier fit",
    ),
    Sign(
        key="side seam swings forward",
        where="outseam",
        look="the outseam leans forward below the hip",
        means="the front is too narrow or the back too full: a fuller front or thigh in front",
        change="check that front and back crotch length were split at the crotch point",
    ),
    Sign(
        key="side seam swings back",
        where="outseam",
        look="the outseam leans backward below the hip",
        means="the seat needs more width or length than the draft gives it",
        change="start with 1 cm more back crotch length",
    ),
    Sign(
        key="crease line off plumb",
        where="crease line",
        look="the crease line drifts inward or outward below the knee",
        means="the leg is knock-kneed or bowed against the draft",
        change="pin the leg until the line hangs plumb and measure by how much",
    ),
    Sign(
        key="band slips or cuts",
        where="waistband",
        look="the band slides down, or leaves a mark after ten minutes",
        means="the elastic is too long, or too short",
        change="try on the elastic alone; change its length by 2 cm at a time",
    ),
)
