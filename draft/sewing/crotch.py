"""The crotch seam, in one go with one leg inside the other (common practice, no source)."""

from __future__ import annotations

from outseam.draft.checks.crotch import crotch_seam_mm
from outseam.draft.inputs.usual import BASTE, TRIM
from outseam.draft.sewing.tools.job import Job, names
from outseam.draft.sewing.tools.settings import ZIGZAG_WIDE_MM
from outseam.draft.step import Step, dial, given, mm


def steps(job: Job) -> tuple[Step, ...]:
    """Return the step of the crotch seam."""
    front, back = crotch_seam_mm(job.pattern)
    trim = min(TRIM.mm(job.units), job.style.seam_allowance)
    if job.knit:
        again = (
            "Sew the curve from the front notch to the back notch a second time, with a zigzag "
            "{wide} wide, on the innermost line of "
            + ("the overlock" if job.has_machine("overlock") else "the first")
            + ": this seam carries most."
        )
        figures = (dial("wide", ZIGZAG_WIDE_MM),)
    else:
        again = (
            "Sew the curve from the front notch to the back notch a second time, on top of the "
            "first line, trim it to {trim} there and neaten it. Press the straight parts open, "
            "the curve not at all."
        )
        figures = (given("trim", trim),)
    turned = job.unsewn("crotch_casing") or job.pattern.block.turn_mm
    top = ("Sew the part that is turned in for the casing as well.",) if turned else ()
    return (
        Step(
            key="crotch",
            title="Crotch seam",
            text=(
                "Turn one leg right side out and slip it into the other, right sides together.",
                "Pin the inseams on each other first, then the crotch notches, one at the front "
                "and two at the back, then the top edges.",
                "Baste {baste} either side of where the inseams cross, and look: they must meet.",
                "Sew from the front's top down and up to the back's top in one go, {seam} from "
                "the edge: {front} of front and {back} of back.",
                again,
                *top,
            ),
            figures=(
                job.seam,
                given("baste", BASTE.mm(job.units)),
                mm("front", front),
                mm("back", back),
                *figures,
            ),
            drawing="crotch",
            seams=names(job.seams(lambda a, b: a[1] == b[1] and a[1].startswith("crotch"))),
            edges=job.unsewn("crotch", "crotch_casing"),
            notches=job.notches(("crotch", "crotch")),
        ),
    )
