"""The two long seams of each leg, and which of them is sewn first (common practice, no source).

A leg lies flat until its second seam. With a pocket in the outseam that seam comes first, so that
the pocket can be finished flat; where the back inseam is to be stretched onto the front, and no
pocket asks for more, the inseam comes first, because stretching is easiest on a flat leg.
"""

from __future__ import annotations

from outseam.draft.model import SeamWork
from outseam.draft.piece.piece import Seam
from outseam.draft.sewing.tools.job import Job, long_by_side, long_figures, names, outseam_foot
from outseam.draft.step import Figure, PartEdge, Step, mm


def outseams(job: Job) -> tuple[Seam, ...]:
    """Return the seams between front and back along the outseam."""

    legs = {"front", "back", *(p.part for p in job.pattern.pieces if p.completes)}

    def takes(a: PartEdge, b: PartEdge) -> bool:
        return all(part in legs and edge == "outseam" for part, edge in (a, b))

    return job.seams(takes)


def inseams(job: Job) -> tuple[Seam, ...]:
    """Return the seams between front and back along the inseam."""
    return job.seams(lambda a, b: a[1] == b[1] == "inseam")


def inseam_first(job: Job) -> bool:
    """Return whether the inseam is sewn before the outseam."""
    pocket = any(pocket.behind for pocket in job.pattern.pockets)
    return not pocket and any(s.ease_mm > 0.0 for s in inseams(job))


def _pressed(job: Job) -> str:
    return (
        "Press the seam to the back."
        if job.knit
        else "Neaten both edges, if that is not done yet, and press the seam open."
    )


def _outseam(job: Job) -> Step:
    seams = outseams(job)
    says, figures = long_figures("outseam", long_by_side(job, seams))
    meet = ["the hem's fold"]
    meet += [f"the {w}" for w in ("knee", "hip") if job.notches(("outseam", w))]
    meet += [pocket.meets for pocket in job.pattern.pockets if pocket.meets]
    match = f"Match {', '.join(meet)} and the top edge."
    edges = job.unsewn("outseam_turn", "outseam_casing")
    inside = next((p.in_outseam for p in job.pattern.pockets if p.in_outseam is not None), None)
    if inside is None:
        flat = "" if inseam_first(job) else " The leg still lies flat."
        text = (
            f"Pin each front on its back, right sides together, along the outseam.{flat} {match}",
            f"Sew from {outseam_foot(job, 'the cut edge at the hem')} to the top, {{seam}} from "
            f"the edge; from {outseam_foot(job, 'fold')} to top it is {says}.",
            _pressed(job),
        )
        work = SeamWork(text=text, drawing="outseam")
    else:
        work = inside(job.pattern, match, says)
    return Step(
        key="outseam",
        title="Outseams",
        text=work.text,
        figures=(job.seam, *figures),
        drawing=work.drawing,
        seams=names(seams),
        edges=(*edges, *work.edges),
        notches=job.notches(("outseam", "hip"), ("outseam", "knee"), ("outseam", "ankle opening")),
    )


def _inseam(job: Job) -> Step:
    seams = inseams(job)
    says, figures = long_figures("inseam", long_by_side(job, seams))
    knee = bool(job.notches(("inseam", "knee")))
    match = "Match the hem's fold, the knee notches and the crotch point." if knee else ""
    match = match or "Match the hem's fold and the crotch point."
    lay = (
        "Lay each front on its back, right sides together, along the inseam; the leg lies flat."
        if inseam_first(job)
        else "Fold each leg right sides together and pin its inseam."
    )
    text = [f"{lay} {match}"]
    more: tuple[Figure, ...] = ()
    eased = [s for s in seams if s.ease_mm > 0.0]
    if eased:
        where = "From the knee notch up to the crotch point" if knee else "Toward the crotch point"
        text.append(
            f"{where} the back is {{ease}} shorter than the front on purpose: stretch the back "
            "until both lie even, and sew with the back on top."
        )
        more = (mm("ease", eased[0].ease_mm),)
    text += [
        f"Sew from the cut edge at the hem to the crotch point, {{seam}} from the edge; from the "
        f"fold the back is {says}.",
        _pressed(job),
    ]
    return Step(
        key="inseam",
        title="Inseams",
        text=tuple(text),
        figures=(job.seam, *figures, *more),
        drawing="inseam-flat" if inseam_first(job) else "inseam",
        seams=names(seams),
        edges=job.unsewn("inseam_turn"),
        notches=job.notches(("inseam", "knee")),
    )


def steps(job: Job) -> tuple[Step, ...]:
    """Return the two steps in the order in which they are sewn."""
    first, second = _outseam(job), _inseam(job)
    return (second, first) if inseam_first(job) else (first, second)
