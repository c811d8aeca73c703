"""The casing cut on the leg, and the elastic: cut, tried on, threaded, held.

All of it is common practice, no source.

A gap of about two inches is left to thread the elastic; it is then stitched down in the ditch of
the side seams so that it cannot roll. `draft/buying/notions.py` says how long it is cut.
"""

from __future__ import annotations

from typing import Final

from outseam.draft.buying.notions import Elastic, elastic_of
from outseam.draft.inputs.usual import CASING_EDGE
from outseam.draft.sewing.tools.job import Job
from outseam.draft.sewing.tools.settings import (
    JOIN_WIDE_MM,
    SEAM_STITCH_MM,
    TOP_STITCH_MM,
    casing_stitch_mm,
    gap_mm,
)
from outseam.draft.step import Step, dial, given, mm

CAUTION: Final = (
    "An elastic that leaves a deep mark, numbs or pinches strains the body and the blood flow: it "
    "is too short, whatever this sheet says. Take a longer piece."
)


def casing_steps(job: Job) -> tuple[Step, ...]:
    """Return the step that turns the top of the legs in, where the casing is cut on them."""
    turn = job.pattern.block.turn_mm
    if not turn:
        return ()
    stitch = casing_stitch_mm(job)
    first = (
        "Neaten the top edge."
        if job.knit
        else "Neaten the top edge, or press {under} of it to the wrong side."
    )
    figures = () if job.knit else (given("under", CASING_EDGE.mm(job.units)),)
    return (
        Step(
            key="casing",
            title="Casing",
            text=(
                f"{first} Stitch the allowances of all four seams down flat within the casing, so "
                "that the elastic does not catch on them.",
                "With the wrong side out fold the top in along the chalked fold, {turn} deep, "
                "seam on seam, and press.",
                "Stitch it down {down} below the fold, {long} long, and leave {gap} open at the "
                "centre back for the elastic."
                + (" Use a zigzag or two needles: this line has to give." if job.knit else ""),
            ),
            figures=(
                given("turn", turn),
                given("down", stitch),
                dial("long", TOP_STITCH_MM),
                given("gap", gap_mm(job)),
                *figures,
            ),
            drawing="casing",
            edges=job.unsewn("casing_cut"),
        ),
    )


def elastic_steps(job: Job) -> tuple[Step, ...]:
    """Return the steps of the elastic, none for a band that holds by itself."""
    elastic = elastic_of(job.pattern)
    if elastic is None:
        return ()
    return _cut(elastic), _thread(job, elastic), _ditch(job)


def _where(job: Job) -> str:
    return "casing" if job.pattern.block.turn_mm else "band"


def _cut(elastic: Elastic) -> Step:
    return Step(
        key="elastic",
        title="Elastic: cut and try on",
        text=(
            "Cut the elastic, {width} wide, {cut} long: {joined} when it is joined, and "
            "{overlap} for the ends to overlap.",
            "Pin the ends over each other and try it on where the top of the pants will sit, "
            "first over the hip, then standing, sitting and bending. It should hold without "
            "pressing. Pin it longer or shorter until it does, and write down the length.",
            "Chalk its quarters while it lies flat, {quarter} apart, without the overlap: they "
            "will lie at both sides, centre front and centre back.",
        ),
        figures=(
            given("width", elastic.width_mm),
            mm("cut", elastic.cut_mm),
            mm("joined", elastic.length_mm),
            given("overlap", elastic.overlap_mm),
            mm("quarter", elastic.length_mm / 4.0),
        ),
        drawing="elastic",
        caution=CAUTION,
    )


def _thread(job: Job, elastic: Elastic) -> Step:
    return Step(
        key="thread",
        title="Elastic: thread and join",
        text=(
            f"Fasten a large safety pin to one end, pin the other end beside the gap, and push "
            f"the elastic once round through the {_where(job)}. It must not twist.",
            "Lay the ends flat over each other by {overlap}. Try the pants on with the ends "
            "only pinned. Then sew them with a zigzag {wide} wide, in a square and across.",
            "Let the join slip in and sew the gap of {gap} shut. Stretch the waist out a few "
            "times, so that the fullness spreads evenly.",
        ),
        figures=(
            given("overlap", elastic.overlap_mm),
            dial("wide", JOIN_WIDE_MM),
            given("gap", gap_mm(job)),
        ),
        drawing="thread",
    )


def _ditch(job: Job) -> Step:
    turn, at = job.pattern.block.turn_mm, _where(job)
    held = casing_stitch_mm(job) if turn else job.pattern.block.band_height_mm
    return Step(
        key="ditch",
        title="Elastic: stitch in the ditch",
        text=(
            f"Bring the quarter marks to the side seams and the centres of the {at} and pin "
            "them there, so that front and back get what is theirs.",
            f"At both sides pull the {at} flat and sew exactly in the groove of the side seam, "
            "through elastic and all, {held} from the fold down, {stitch} long. Now the "
            "elastic cannot roll.",
            "Stitch back at both ends of each line; do not stretch the elastic under the foot.",
        ),
        figures=((given if turn else mm)("held", held), dial("stitch", SEAM_STITCH_MM)),
        drawing="ditch",
    )
