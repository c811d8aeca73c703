"""Marks on the cut pieces: notches, folds and places (common practice, no source)."""

from __future__ import annotations

from outseam.draft.sewing.tools.job import Job
from outseam.draft.sewing.tools.settings import SNIP_SHARE
from outseam.draft.step import Step, given, mm


def steps(job: Job) -> tuple[Step, ...]:
    """Return the step of marking."""
    turn = job.pattern.block.turn_mm
    text = [
        "Snip every notch {snip} into the allowance, no deeper: one snip on a front, two on a "
        "back where the paper shows two.",
        "Chalk the hem's fold on the wrong side of all four legs, from notch to notch, {hem} above "
        "the cut edge.",
    ]
    figures = [mm("snip", SNIP_SHARE * job.style.seam_allowance)]
    figures.append(given("hem", job.style.hem_allowance))
    if turn:
        text.append("Chalk the fold of the casing on the wrong side, {turn} below the top edge.")
        figures.append(given("turn", turn))
    text += [f.marking for f in job.pattern.features if f.marking]
    text.append(
        "Front and back are easily mistaken for each other: chalk a B on the wrong side of both "
        "backs"
        + (
            ", and an L or R on every leg piece that has none yet."
            if job.sided
            else ", near the waist."
        )
    )
    return (
        Step(
            key="mark",
            title="Mark",
            text=tuple(text),
            figures=tuple(figures),
            drawing="notches",
            notches=job.notches(("outseam", "hem fold"), ("inseam", "hem fold")),
        ),
    )
