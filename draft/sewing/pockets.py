"""The pockets, while each leg piece still lies flat: patch, scoop, side-seam.

All of it is common practice, no source.
"""

from __future__ import annotations

from outseam.curves.region import bounds
from outseam.draft.checks.seams import measured_mm
from outseam.draft.features.patch import FACING_MM
from outseam.draft.features.scoop import TOPSTITCH_MM
from outseam.draft.piece.piece import Seam
from outseam.draft.sewing.settings import TOP_STITCH_MM, by_zigzag, inside_mm
from outseam.draft.sewing.step import Job, Place, Step, dial, given, mm, names

_BAGS = ("pocket_bag", "pocket_facing")


def _of_scoop(a: Place, b: Place) -> bool:
    """Return whether a seam belongs to a scoop pocket itself."""
    own = ("mouth", "bag", "outseam_under", "waist_under")
    return b[0] in _BAGS and b[1] in own


def _of_side_pocket(a: Place, b: Place) -> bool:
    """Return whether a seam joins the bag of a side-seam pocket to a leg."""
    return b[0] == "pocket_bag" and b[1] in ("outseam", "waist")


def scoop_seams(job: Job) -> tuple[Seam, ...]:
    """Return the seams of a scoop pocket."""
    return job.seams(_of_scoop) if job.has("pocket_facing") else ()


def side_pocket_seams(job: Job) -> tuple[Seam, ...]:
    """Return the seams of a side-seam pocket."""
    return () if job.has("pocket_facing") else job.seams(_of_side_pocket)


def has_side_pocket(job: Job) -> bool:
    """Return whether there is a pocket in the side seam."""
    return job.has("pocket_bag") and not job.has("pocket_facing")


def patch_steps(job: Job) -> tuple[Step, ...]:
    """Return the step of a patch pocket."""
    if not job.has("patch_pocket"):
        return ()
    patch = job.parts("patch_pocket")[0]
    x0, y0, x1, y1 = bounds(patch.edge("sides").path)
    text = [
        "Neaten the upper edge. Fold the facing to the right side along the notches, {facing} "
        "deep, and sew its two short ends {seam} from the edge. Trim the corners, turn the facing "
        "to the inside and press.",
        "Stitch the facing down {down} below the fold. Press {seam} to the wrong side round the "
        "other edges, over a card with the same rounded corners: {wide} wide, {high} high.",
        "Pin each pocket on the right side of a back, corners on the dots, and stitch it on close "
        "to the edge, {stitch} long, from corner to corner round the bottom. Sew a few stitches "
        "back and forth at both corners.",
    ]
    if job.knit:
        text.insert(
            0,
            "Iron thin fusible on the wrong side of the facing of each pocket, and small squares "
            "of it on the wrong side of the backs, behind the upper corners, so that they hold.",
        )
    return (
        Step(
            key="patch",
            title="Back pockets",
            text=tuple(text),
            figures=(
                given("facing", FACING_MM),
                given("down", inside_mm(FACING_MM)),
                job.seam,
                mm("wide", x1 - x0),
                mm("high", y1 - y0),
                dial("stitch", TOP_STITCH_MM),
            ),
            drawing="patch",
            edges=job.unsewn("sides", "facing_right", "facing_left", "facing_cut"),
            notches=job.notches(("sides", "fold")),
        ),
    )


def scoop_steps(job: Job) -> tuple[Step, ...]:
    """Return the steps of a scoop pocket: its mouth, then its bag."""
    seams = scoop_seams(job)
    if not seams:
        return ()
    mouth = [s for s in seams if s.b.edge == "mouth"]
    rest = [s for s in seams if s.b.edge != "mouth"]
    bag = next(s for s in seams if s.b.edge == "bag")
    first = Step(
        key="scoop-mouth",
        title="Scoop pockets: the mouth",
        text=(
            "Sew or iron a stay tape along the mouth of each front, on the wrong side: {mouth}. "
            "It must not stretch.",
            "Pin a pocket bag on the front, right sides together, mouth on mouth, and sew {seam} "
            f"from the edge{by_zigzag(job)}. Snip the allowance of the curve every "
            "finger's width, not into the stitches.",
            "Turn the bag to the inside, roll the seam a hair to the inside, press, and topstitch "
            "the mouth {top} from its edge.",
        ),
        figures=(
            mm("mouth", measured_mm(job.pattern, mouth[0].a)),
            job.seam,
            given("top", TOPSTITCH_MM),
        ),
        drawing="scoop-mouth",
        seams=names(mouth),
    )
    neaten = "overlock" if job.knit else "neaten"
    second = Step(
        key="scoop-bag",
        title="Scoop pockets: the bag",
        text=(
            "Lay the front on the pocket facing, both right side up, so that the ends of the mouth "
            "meet the facing's notches “pocket mouth”. The facing now fills the front's corner.",
            "Turn the front out of the way; pin bag and facing right sides together and sew round "
            f"the curve, {{bag}}, through these two layers only; {neaten} the edge.",
            "Smooth everything flat. Baste bag and facing to the front inside the allowance, along "
            "the waist and down the outseam. From here on it is one whole front.",
        ),
        figures=(mm("bag", measured_mm(job.pattern, bag.b)),),
        drawing="scoop-bag",
        seams=names(rest),
        notches=job.notches(("waist", "pocket mouth, waist"), ("outseam", "pocket mouth")),
    )
    return first, second


def side_steps(job: Job) -> tuple[Step, ...]:
    """Return the step that sews the bags of a side-seam pocket to the legs."""
    seams = side_pocket_seams(job)
    if not seams:
        return ()
    top, end = (
        next(n.at_mm for n in job.parts("front")[0].notches if n.says == f"pocket opening, {which}")
        for which in ("top", "end")
    )
    caught = any(s.b.edge == "waist" for s in seams)
    neaten = () if job.knit else ("Neaten the edges of the bags and of all outseams.",)
    return (
        Step(
            key="side-pocket",
            title="Side-seam pockets: the bags",
            text=(
                *neaten,
                "Iron or sew a stay tape on the wrong side of each front along the outseam, from "
                "a little above the upper notch “pocket opening” to a little below the lower "
                "one.",
                "Pin a bag on each front and each back, right sides together, outseam on outseam, "
                "the notches “pocket opening” on each other: they are {from} and {to} below the "
                "top edge.",
                "Sew each bag on {inside} from the edge, a little less than the allowance, so that "
                "this seam stays hidden. Press the bag away from the leg and stitch it down on its "
                "own allowance, close to the seam.",
                "The upper edge of the bags is caught in the waist seam later."
                if caught
                else "The bags hang from this seam and end below the casing.",
            ),
            figures=(
                mm("from", top),
                mm("to", end),
                given("inside", inside_mm(job.style.seam_allowance)),
            ),
            drawing="side-pocket",
            seams=names(seams),
            notches=job.notches(
                ("outseam", "pocket opening, top"), ("outseam", "pocket opening, end")
            ),
        ),
    )
