"""A border that goes on round the leg: notched and basted before it is overlocked.

Common practice, no source: mark the border's height on front and back at the same distance above
the hem, notch it on both seams, baste about an inch either side of the notch.
"""

from __future__ import annotations

from outseam.draft.border.marks import NOTCHED, BorderMark, crossings, levels_mm
from outseam.draft.border.printed import border_of
from outseam.draft.inputs.usual import BASTE
from outseam.draft.sewing.tools.job import Job
from outseam.draft.sewing.tools.settings import BASTE_STITCH_MM
from outseam.draft.step import Figure, Step, dial, given, mm

#: Two places that differ by less are told as one.
_SAME_MM = 0.5
_SAYS = {"edge": "begins", "inner end": "ends"}


def marks_of(job: Job) -> tuple[BorderMark, ...]:
    """Return where the border's beginning and end cross the seams; without what is turned up."""
    border = border_of(job.fabric)
    if border is None:
        return ()
    pattern = job.pattern
    levels = levels_mm(pattern.spec, pattern.pieces, border)
    marks = crossings(pattern.piece("front"), pattern.piece("back"), levels)
    return tuple(m for m in marks if m.level in NOTCHED)


def steps(job: Job) -> tuple[Step, ...]:
    """Return the step of notching and basting, none where no border crosses a seam."""
    crossing = marks_of(job)
    if not crossing:
        return ()
    figures: list[Figure] = [given("baste", BASTE.mm(job.units)), dial("long", BASTE_STITCH_MM)]
    text: list[str] = []
    seams: dict[str, list[BorderMark]] = {}
    for mark in crossing:
        seams.setdefault(mark.seam, []).append(mark)
    for seam, marks in seams.items():
        parts = []
        for mark in marks:
            what = _SAYS[mark.level]
            front, back = (f"{seam}_{what}_{side}" for side in ("front", "back"))
            figures.append(mm(front, mark.front_mm))
            part = f"{what} {{{front}}}"
            if abs(mark.mismatch_mm) >= _SAME_MM:
                figures.append(mm(back, mark.back_mm))
                part += f" (on the back {{{back}}}: ease it to the notch)"
            parts.append(part)
        text.append(
            f"At the {seam} the border {' and '.join(parts)} above the hem's fold, along the seam "
            "line: look whether it does on each piece, and snip the notches there."
        )
    text += [
        "Before a leg seam is sewn, pin its border notches on each other, see that the figures "
        "meet, and baste {baste} either side of each notch with stitches {long} long.",
        "Look at it from the right side. Only when the border runs on level, sew the seam over "
        "the basting; then draw the basting out.",
    ]
    roles = tuple(NOTCHED.values())
    return (
        Step(
            key="border",
            title="Notch and baste the border",
            text=tuple(text),
            figures=tuple(figures),
            drawing="border",
            notches=job.notches(*((seam, r) for seam in ("outseam", "inseam") for r in roles)),
        ),
    )
