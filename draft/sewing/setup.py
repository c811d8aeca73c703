"""Before the first cut: the fabric, the machine, and a seam on a scrap.

All of it is common practice, no source.
"""

from __future__ import annotations

from typing import Final

from outseam.draft.buying.notions import needle_for
from outseam.draft.fabric import classify_stretch
from outseam.draft.fits import RIGID_STRETCH
from outseam.draft.sewing.tools.job import Job
from outseam.draft.sewing.tools.settings import SEAM_STITCH_MM, ZIGZAG_WIDE_MM
from outseam.draft.step import Step, dial, phrase

CAUTION: Final = (
    "Needles pierce and irons burn: stop the machine before you reach near the needle, and switch "
    "the iron off when you leave it. Children's nightwear is regulated for flammability: this "
    "order does not cover it, local rules apply."
)


def _fabric_words(job: Job) -> str:
    """Return what is done with the fabric first."""
    across, along = job.fabric.shrink_factors
    if across == along == 1.0:
        return "Wash, dry and press the fabric the way the pants will be washed."
    return (
        "Do not wash the fabric before cutting: the pieces are drawn larger by what it will "
        "shrink. Press it without steam."
    )


def _neat(job: Job) -> str:
    return "an overlock" if job.has_machine("overlock") else "a wide zigzag"


def _stitch_words(job: Job) -> tuple[str, ...]:
    """Return how seams are sewn in this fabric."""
    fabric = job.fabric
    if not job.knit:
        gives = fabric.stretch_round_ratio >= RIGID_STRETCH
        return (
            "Sew seams with a straight stitch {stitch} long, {seam} from the edge"
            + (
                ", and pull the fabric a little while you sew, because it gives in wear."
                if gives
                else "."
            ),
            f"This fabric frays: neaten every raw edge with {_neat(job)}, each layer by itself, "
            "and press seams open.",
            "Sew a seam on a scrap and press it before you trust the setting.",
        )
    found = [
        "Sew seams with an overlock, {seam} from the edge: the knife takes off what lies beyond "
        "the stitches. Where a seam is pressed open take a zigzag {wide} wide and {stitch} long."
        if job.has_machine("overlock")
        else "Sew seams with a zigzag {wide} wide and {stitch} long, {seam} from the edge.",
        "Sew a seam on a scrap, in the direction of the greatest stretch, and pull it hard: no "
        "stitch may break.",
    ]
    kind = classify_stretch(fabric.stretch_round_ratio)
    if kind is not None and kind.name in ("stretchy", "super-stretch"):
        found.append(
            "If the seam comes out wavy, the fabric was stretched under the foot: less pressure "
            "on the foot, or more differential feed."
        )
    return tuple(found)


def steps(job: Job) -> tuple[Step, ...]:
    """Return the step that sets up fabric and machine."""
    slides = (
        ("A strip of tissue paper under the first stitches keeps it from being drawn in.",)
        if job.fabric.slippery
        else ()
    )
    figures = [phrase("needle", needle_for(job.fabric)), job.seam, dial("stitch", SEAM_STITCH_MM)]
    if job.knit:
        figures.append(dial("wide", ZIGZAG_WIDE_MM))
    return (
        Step(
            key="setup",
            title="Prepare fabric and machine",
            text=(
                _fabric_words(job),
                "Put in a fresh needle: {needle}.",
                *_stitch_words(job),
                *slides,
            ),
            figures=tuple(figures),
            drawing="stitches-knit" if job.knit else "stitches-woven",
            caution=CAUTION,
        ),
    )
