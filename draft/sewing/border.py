"""A border that goes on round the leg: notched and basted before it is overlocked.

Common practice, no source: mark the border's height on front and back at the same distance above
the hem, notch it on both seams, baste about an inch either side of the notch.
"""

from __future__ import annotations

from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.usual import BASTE
from outseam.draft.lay.model.border import border_of
from outseam.draft.lay.ways.border_report import BorderMark, border_marks
from outseam.draft.sewing.tools.job import Job
from outseam.draft.sewing.tools.settings import BASTE_STITCH_MM
from outseam.draft.step import Figure, Step, dial, given, mm

#: What is notched, the first of these that crosses the seam: where the border ends is seen most.
_LEVELS = ("inner end", "eye", "edge")
#: Two places that differ by less are told as one.
_SAME_MM = 0.5


def marks_of(job: Job) -> tuple[BorderMark, ...]:
    """Return where the border is to be notched, one place on each seam that it reaches.

    Empty where its height is not known, or where all of it is turned up with the hem.
    """
    try:
        border = border_of(job.fabric)
    except InputError:
        return ()
    if border is None:
        return ()
    found: dict[str, BorderMark] = {}
    for mark in border_marks(job.pattern, border):
        known = found.get(mark.seam)
        if known is None or _LEVELS.index(mark.level) < _LEVELS.index(known.level):
            found[mark.seam] = mark
    return tuple(found.values())


def steps(job: Job) -> tuple[Step, ...]:
    """Return the step of notching and basting, none on a fabric without border."""
    if not job.fabric.turned:
        return ()
    figures: list[Figure] = [given("baste", BASTE.mm(job.units)), dial("long", BASTE_STITCH_MM)]
    text: list[str] = []
    marks = marks_of(job)
    for mark in marks:
        level = {"inner end": "where the border ends", "eye": "the middle of its figure"}.get(
            mark.level, "where the border begins"
        )
        front, back = (f"{mark.seam}_{side}" for side in ("front", "back"))
        figures.append(mm(front, mark.front_mm))
        where = f"{{{front}}} up the seam line from the hem's fold on each front"
        if abs(mark.mismatch_mm) < _SAME_MM:
            where += " and each back"
        else:
            figures.append(mm(back, mark.back_mm))
            where += f", {{{back}}} on each back"
        text.append(f"At the {mark.seam} mark {level}, {where}, and snip a notch there.")
    if not marks:
        text.append(
            "Mark the upper end of the border at both seams of each front and back, at the same "
            "distance above the hem's fold, and snip a notch there."
        )
    text += [
        "Before a leg seam is sewn, pin its border notches on each other, see that the figures "
        "meet, and baste {baste} either side of the notch with stitches {long} long.",
        "Look at it from the right side. Only when the border runs on level, sew the seam over "
        "the basting; then draw the basting out.",
    ]
    return (
        Step(
            key="border",
            title="Notch and baste the border",
            text=tuple(text),
            figures=tuple(figures),
            drawing="border",
        ),
    )
