"""The steps of what the style adds: each feature has its own, here is when they are done."""

from __future__ import annotations

from outseam.draft.sewing.tools.job import Job
from outseam.draft.step import Step


def pocket_steps(job: Job) -> tuple[Step, ...]:
    """Return the steps of the pockets, while each leg piece still lies flat.

    Those without a bag come first: nothing hangs in the way yet.
    """
    pockets = sorted(job.pattern.pockets, key=lambda pocket: bool(pocket.behind))
    return tuple(step for pocket in pockets for step in pocket.steps(job.pattern))


def ankle_steps(job: Job) -> tuple[Step, ...]:
    """Return the steps of slits or zips in the outseams, once those are sewn."""
    ankles = [f for f in job.pattern.features if f.key == "ankle"]
    return tuple(step for ankle in ankles for step in ankle.steps(job.pattern))


def belt_steps(job: Job) -> tuple[Step, ...]:
    """Return the steps of a belt, before the band is made a ring."""
    belts = [f for f in job.pattern.features if f.key == "belt"]
    return tuple(step for belt in belts for step in belt.steps(job.pattern))
