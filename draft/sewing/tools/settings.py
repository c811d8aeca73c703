"""Sizes and settings of the trade that the steps tell: common practice, no source.

Only what no pattern can know stands here; everything else is measured on the pattern.
"""

from __future__ import annotations

from typing import Final

from outseam.draft.inputs.show import Units
from outseam.draft.inputs.usual import CASING_EDGE, GAP, GAP_SPARE, INSIDE
from outseam.draft.sewing.tools.job import Job

#: A notch is snipped into the allowance by this share of it.
SNIP_SHARE: Final = 1.0 / 3.0

#: Stitches, as the machine's dial has them.
SEAM_STITCH_MM: Final = 2.5
TOP_STITCH_MM: Final = 3.0
BASTE_STITCH_MM: Final = 4.0
ZIGZAG_WIDE_MM: Final = 0.5
JOIN_WIDE_MM: Final = 3.0

#: A hem that hangs nearer to the floor than this may come to touch it: a soft heel, a stretched
#: knit, bare feet.
NEAR_FLOOR_MM: Final = 50.0


#: "Close to the edge": a sixteenth of an inch or a little more.
CLOSE_MM: Final = 2.0


def gap_mm(job: Job) -> float:
    """Return how much of the band's seam stays open until the elastic is in, mm."""
    return max(GAP.mm(job.units), job.style.elastic_width + GAP_SPARE.mm(job.units))


def inside_mm(whole_mm: float, units: Units) -> float:
    """Return a little less than an allowance, mm: by an eighth of an inch, or half of it."""
    return max(whole_mm - INSIDE.mm(units), whole_mm / 2.0)


def by_zigzag(job: Job) -> str:
    """Return with what a seam is sewn that has to lie open or be turned: not with the overlock."""
    if not job.knit:
        return ""
    return " with a narrow zigzag" + (", not the overlock" if job.has_machine("overlock") else "")


def casing_stitch_mm(job: Job) -> float:
    """Return how far below its fold a casing cut on the leg is stitched, mm.

    An edge pressed under ends a quarter of an inch short of the turn; the stitches hold it close
    to that.
    """
    under = CASING_EDGE.mm(job.units) + (0.0 if job.knit else CLOSE_MM)
    return job.pattern.block.turn_mm - under
