"""The waistband: belt, its ring, and how it goes on the legs (common practice, no source).

A pull-on band is shorter than the edge it joins and is stretched to fit; side seams of band and
leg meet. A belt is caught in the band's side seams, so nothing of it is bulky at the back.
"""

from __future__ import annotations

from typing import Final

from outseam.draft.inputs.usual import BASTE
from outseam.draft.piece.piece import Seam
from outseam.draft.sewing.cutting import band_in_border
from outseam.draft.sewing.tools.job import Job, names
from outseam.draft.sewing.tools.settings import (
    SEAM_STITCH_MM,
    ZIGZAG_WIDE_MM,
    by_zigzag,
    gap_mm,
)
from outseam.draft.step import Figure, PartEdge, Step, dial, given, mm, share

BANDS: Final = ("front_band", "back_band")

#: Two edges that differ by a smaller share are told as equal; a fabric that does not give takes up
#: this much by easing, more is gathered.
EQUAL_SHARE: Final = 0.005
GATHER_SHARE: Final = 0.08


def _side_seams(job: Job) -> tuple[Seam, ...]:
    def takes(a: PartEdge, b: PartEdge) -> bool:
        return a[0] in BANDS and b[0] in BANDS and a[1] in ("left", "right")

    return job.seams(takes)


def waist_seams(job: Job) -> tuple[Seam, ...]:
    """Return the seams between the legs' top edges and the band."""
    return job.seams(lambda a, b: a[1] == "waist" and b[0] in BANDS)


def ring_steps(job: Job) -> tuple[Step, ...]:
    """Return the step that makes the band a ring and folds it."""
    seams = _side_seams(job)
    if not seams:
        return ()
    belt = ""
    figures: tuple[Figure, ...] = ()
    if job.has("belt"):
        belt = (
            " The belt's ends lie between them: baste {baste} either side of each belt first and "
            "look from the right side, so that both sit alike."
        )
        figures = (given("baste", BASTE.mm(job.units)),)
    return (
        Step(
            key="ring",
            title="Waistband: the ring",
            text=(
                "Pin front and back waistband right sides together and sew both side seams, "
                f"{{seam}} from the edge{by_zigzag(job)}."
                + belt
                + " The ring measures {girth}, not stretched.",
                "Press these seams open: four layers meet here."
                if job.knit
                else "Neaten the edges and press these seams open.",
                "Fold the ring lengthwise, wrong sides together, raw edges even: {height} from "
                "fold to seam line. Press the fold and pin the raw edges to each other, quarters "
                "and centres on each other.",
            ),
            figures=(
                job.seam,
                mm("girth", job.pattern.band.girth_mm),
                mm("height", job.pattern.block.band_height_mm),
                *figures,
            ),
            drawing="ring",
            seams=names(seams),
        ),
    )


def _face_words(job: Job) -> str:
    """Return which half of the band goes against the legs, where it matters."""
    if job.has("belt"):
        return " The half with the belt goes against the legs."
    if band_in_border(job):
        return " The half that shows the border's figure goes against the legs."
    return ""


def _stretched(job: Job, edge_mm: float) -> bool:
    """Return whether the band is stretched onto its edge."""
    share = edge_mm / job.pattern.band.girth_mm - 1.0
    return EQUAL_SHARE <= share <= job.pattern.block.ease.pull_strain


def _fit_words(job: Job, edge_mm: float) -> tuple[str, tuple[Figure, ...]]:
    """Return how the band is made to fit its edge, with figures."""
    girth_mm = job.pattern.band.girth_mm
    lengths = (mm("edge", edge_mm), mm("girth", girth_mm))
    more = edge_mm / girth_mm - 1.0
    if more < EQUAL_SHARE:
        return "Band and edge are both {edge} round: neither is stretched.", lengths[:1]
    figures = (*lengths, share("share", more))
    if _stretched(job, edge_mm):
        return (
            "The edge is {edge} round and the band {girth}: between the pins stretch the band by "
            "{share} until both lie even, never the leg."
        ), figures
    if more > GATHER_SHARE:
        return (
            "The edge is {edge} round and the band {girth}: run two gathering threads along the "
            "edge, draw it up by {share} and spread the gathers evenly between the pins."
        ), figures
    return (
        "The edge is {edge} round and the band {girth}: ease the {share} in evenly between the "
        "pins, with the leg below, on the feed."
    ), figures


def join_steps(job: Job) -> tuple[Step, ...]:
    """Return the step that sews the band to the legs."""
    seams = waist_seams(job)
    if not seams:
        return ()
    edges = job.seams(lambda a, b: a[0] in BANDS and (a[1], b[1]) == ("lower", "upper"))
    edge = sum(s.a.length_mm for s in seams)
    fit, figures = _fit_words(job, edge)
    elastic = job.pattern.band.elastic_mm is not None
    if elastic:
        sew = (
            "Sew with the band on top, {seam} from the edge, all layers, but leave {gap} open at "
            "the centre back for the elastic."
        )
        figures = (*figures, given("gap", gap_mm(job)))
    else:
        sew = "Sew with the band on top, {seam} from the edge, all layers, once round."
    if any(pocket.behind for pocket in job.pattern.pockets):
        sew += " The tops of the pocket bags go into the seam."
    if job.has("belt"):
        sew += " Keep the belt out of it."
    if (job.knit and not job.has_machine("overlock")) or (not job.knit and _stretched(job, edge)):
        sew += " This seam has to give: take a zigzag {wide} wide, {stitch} long."
        figures = (*figures, dial("wide", ZIGZAG_WIDE_MM), dial("stitch", SEAM_STITCH_MM))
    return (
        Step(
            key="join",
            title="Waistband: onto the legs",
            text=(
                "Turn the legs right side out and slip the folded band over them, raw edges "
                "together. Pin its side seams to the outseams, the single notch to the front "
                "crotch seam, the double one to the back crotch seam, and the quarters to the "
                "notches between." + _face_words(job),
                fit,
                "Baste {baste} either side of both side seams and both crotch seams: there the "
                "seams must meet.",
                sew,
                "Turn the band up and press the seam down, into the legs."
                + ("" if job.knit else " Neaten it first."),
            ),
            figures=(job.seam, given("baste", BASTE.mm(job.units)), *figures),
            drawing="join-gap" if elastic else "join",
            seams=names((*seams, *edges)),
            notches=job.notches(
                ("waist", "band quarter"),
                *((e, n) for e in ("lower", "upper") for n in ("quarter", "centre front")),
                *((e, "centre back") for e in ("lower", "upper")),
            ),
        ),
    )
