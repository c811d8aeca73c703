"""Hem and last pressing (common practice, no source)."""

from __future__ import annotations

from outseam.draft.checks.floor import CLEAR_MM, hem_clearance_mm
from outseam.draft.checks.foot import hem_girth_mm
from outseam.draft.sewing.tools.job import Job
from outseam.draft.sewing.tools.settings import NEAR_FLOOR_MM, TOP_STITCH_MM, inside_mm
from outseam.draft.step import Figure, Step, dial, given, mm

CAUTION = (
    "A hem that touches the floor trips people, on stairs above all: walk a stair before you sew "
    "it."
)


def _caution(clear_mm: float) -> str:
    """Return the caution of a hem that hangs so far above the floor."""
    if clear_mm >= NEAR_FLOOR_MM:
        return ""
    if clear_mm >= CLEAR_MM:
        return CAUTION
    return f"As drafted this hem comes down to the floor: turn up more. {CAUTION}"


def steps(job: Job) -> tuple[Step, ...]:
    """Return the step of the hem and the last one."""
    return _hem(job), _last(job)


def _hem(job: Job) -> Step:
    hem = job.style.hem_allowance
    clear = hem_clearance_mm(job.pattern)
    figures: list[Figure] = [
        given("hem", hem),
        mm("girth", hem_girth_mm(job.pattern)),
        given("down", inside_mm(hem, job.units)),
    ]
    above = ""
    if clear >= CLEAR_MM:
        above = ", and {clear} above the floor without shoes"
        figures.append(mm("clear", clear))
    if job.knit:
        how = (
            "a cover stitch"
            if job.has_machine("coverstitch")
            else "two needles in the sewing machine, or with a zigzag"
        )
        sew = (
            f"Stitch it {{down}} above the fold with {how}: the hem has to give when the foot goes "
            "through."
        )
    else:
        sew = "Neaten the edge and stitch it {down} above the fold, {stitch} long, or by hand."
        figures.append(dial("stitch", TOP_STITCH_MM))
    border = " See that the border runs on level." if job.fabric.turned else ""
    return Step(
        key="hem",
        title="Hem",
        text=(
            "Put the pants on, with the shoes that go with them, and let them hang"
            + (" for a while, since a knit drops." if job.knit else ".")
            + " Check the chalked fold all round: the finished hem is {girth} round"
            + above
            + "."
            + border,
            "Turn {hem} to the wrong side along the fold, seams on seams, and press. The "
            "allowance is shaped like the leg it lies against: do not straighten it.",
            sew,
        ),
        figures=tuple(figures),
        drawing="hem",
        caution=_caution(clear),
        edges=job.unsewn("hem_cut"),
    )


def _last(job: Job) -> Step:
    return Step(
        key="finish",
        title="Last pressing",
        text=(
            "Press seams and hem once more, knits by setting the iron down and lifting it, "
            "never by sliding."
            if job.knit
            else "Press seams and hem once more, from the wrong side or under a cloth.",
            "Sew a loop of ribbon to the inside of the centre back: with an elastic waist "
            "nothing else tells it from the front."
            if job.pattern.band.elastic_mm is not None
            else "Sew a loop of ribbon to the inside of the centre back, to tell it from the "
            "front.",
            "Write down what you changed, and put it into the file: next year it makes the "
            "same pants again.",
        ),
        drawing="finished",
    )
