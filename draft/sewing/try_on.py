"""Basted and tried on before a seam is sewn for good (common practice, no source).

The allowances of the pants are narrow and an overlock cuts them off: what is to be let out or
taken in has to be known before.
"""

from __future__ import annotations

from outseam.draft.inputs.usual import LEAST_SEAM
from outseam.draft.sewing.tools.job import Job
from outseam.draft.sewing.tools.settings import BASTE_STITCH_MM
from outseam.draft.step import Figure, Step, dial, given, mm


def steps(job: Job) -> tuple[Step, ...]:
    """Return the step of basting the long seams and trying the pants on."""
    least = LEAST_SEAM.mm(job.units)
    spare = job.style.seam_allowance - least
    figures: list[Figure] = [job.seam, dial("long", BASTE_STITCH_MM)]
    out = "There is nothing to let out: the seams are {seam} wide."
    if spare >= 1.0:
        out = (
            "Little can be let out: at most {spare} at each edge, so that {least} stay to sew. "
            "Where that is not enough, alter the pattern before you cut again."
        )
        figures += [mm("spare", spare), given("least", least)]
    return (
        Step(
            key="try",
            title="Baste and try on",
            text=(
                "Baste outseams, inseams and the crotch seam on the seam line, {seam} from the "
                "edge, with a straight stitch {long} long; overlock nothing yet.",
                "Try the legs on, held by a ribbon round the waist: sit, bend, climb a stair. Pin "
                "out what is too wide, chalk the new seam line on both legs alike. " + out,
                "Draw out the basting, the crotch seam first; the legs lie flat again. Then sew, "
                "seam by seam, as follows.",
            ),
            figures=tuple(figures),
            drawing="tried-on",
        ),
    )
