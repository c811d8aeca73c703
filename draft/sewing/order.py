"""The steps of sewing in their order: one line for each family of them in the registry.

`STEPS` is in the order of the work. A step is in the order where the pattern asks for it.
"""

from __future__ import annotations

from outseam.draft.model import Pattern
from outseam.draft.sewing import (
    band,
    border,
    crotch,
    cutting,
    elastic,
    features,
    hem,
    legs,
    marking,
    setup,
    try_on,
)
from outseam.draft.sewing.tools.job import Job, Maker
from outseam.draft.step import Step

STEPS: tuple[Maker, ...] = (
    setup.steps,
    cutting.steps,
    marking.steps,
    features.pocket_steps,
    border.steps,
    try_on.steps,
    legs.steps,
    features.ankle_steps,
    crotch.steps,
    elastic.casing_steps,
    features.belt_steps,
    band.ring_steps,
    band.join_steps,
    elastic.elastic_steps,
    hem.steps,
)


def sewing_order(pattern: Pattern, *, fold_mm: float | None = None) -> tuple[Step, ...]:
    """Return the steps that make exactly this pattern, in order.

    `fold_mm` is how deep its lay turns a narrow fold in, if one is known.
    """
    job = Job(pattern=pattern, fold_mm=fold_mm)
    return tuple(step for make in STEPS for step in make(job))
