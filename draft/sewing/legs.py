"""The two long seams of each leg, and which of them is sewn first (common practice, no source).

A leg lies flat until its second seam. With a pocket in the outseam that seam comes first, so that
the pocket can be finished flat; where the back inseam is to be stretched onto the front, and no
pocket asks for more, the inseam comes first, because stretching is easiest on a flat leg.
"""

from __future__ import annotations

from outseam.draft.piece.piece import Seam
from outseam.draft.sewing.pockets import has_side_pocket
from outseam.draft.sewing.step import (
    Figure,
    Job,
    Place,
    Step,
    long_by_side,
    long_figures,
    mm,
    names,
)

_LEG_PARTS = ("front", "back", "pocket_facing")


def outseams(job: Job) -> tuple[Seam, ...]:
    """Return the seams between front and back along the outseam."""

    def takes(a: Place, b: Place) -> bool:
        return all(part in _LEG_PARTS and edge == "outseam" for part, edge in (a, b))

    return job.seams(takes)


def inseams(job: Job) -> tuple[Seam, ...]:
    """Return the seams between front and back along the inseam."""
    return job.seams(lambda a, b: a[1] == b[1] == "inseam")


def inseam_first(job: Job) -> bool:
    """Return whether the inseam is sewn before the outseam."""
    pocket = job.has("pocket_bag")
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
    if job.has("pocket_facing"):
        meet.append("the mouth of the pocket")
    match = f"Match {', '.join(meet)} and the top edge."
    edges = job.unsewn("outseam_turn", "outseam_casing")
    if not has_side_pocket(job):
        flat = "" if inseam_first(job) else " The leg still lies flat."
        text: tuple[str, ...] = (
            f"Pin each front on its back, right sides together, along the outseam.{flat} {match}",
            f"Sew from the cut edge at the hem to the top, {{seam}} from the edge; from fold to "
            f"top it is {says}.",
            _pressed(job),
        )
        drawing = "outseam"
    else:
        hangs = bool(job.unsewn("bag_top"))
        round_ = "along the top and round their curve" if hangs else "round their curve"
        text = (
            "Pin each front on its back, right sides together, the bags out to the side. " + match,
            f"Sew the outseam {{seam}} from the edge, from the top to the upper notch “pocket "
            f"opening”, stitch back, leave the opening, go on from the lower notch to the hem: "
            f"{says} with the opening.",
            f"Then sew the two bags together {round_}. At both ends of the opening sew a "
            "few stitches back and forth: there it tears first.",
            "Press the seam and the bags to the front."
            if job.knit
            else "Snip the back's allowance above and below the bag; press the seam open beyond "
            "the snips, the bags to the front.",
        )
        if any(s.b.edge == "waist" for s in job.seams(lambda a, b: b[0] == "pocket_bag")):
            text += ("Baste the top of the bags to the front's waist edge.",)
        drawing = "outseam-pocket"
        edges += job.unsewn("bag", "bag_top")
    return Step(
        key="outseam",
        title="Outseams",
        text=text,
        figures=(job.seam, *figures),
        drawing=drawing,
        seams=names(seams),
        edges=edges,
        notches=job.notches(("outseam", "hip"), ("outseam", "knee")),
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
