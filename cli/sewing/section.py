"""The sewing order as a section of the worksheet: steps with their pictures, to be ticked off."""

from __future__ import annotations

from outseam.cli.document.blocks import Paragraph, Section, StepBlock
from outseam.cli.sewing.drawings import DRAWINGS
from outseam.draft.model import Pattern
from outseam.draft.sewing.order import sewing_order

#: What the pictures mean, said once above them.
LEGEND = (
    "White is the right side of the fabric, dark grey its wrong side. The heavy dashed line is "
    "sewn in this step; short bars are notches. Pictures are drawn from your own pieces."
)


def sewing(pattern: Pattern, *, fold_mm: float | None = None) -> Section:
    """Return the sewing order of a pattern; `fold_mm` as in `sewing_order`."""
    units = pattern.spec.units
    steps = tuple(
        StepBlock(
            number=number,
            title=step.title,
            sentences=step.sentences(units),
            caution=step.warned(units),
            name=f"step-{step.key}",
            scene=DRAWINGS[step.drawing](pattern),
        )
        for number, step in enumerate(sewing_order(pattern, fold_mm=fold_mm), start=1)
    )
    return Section(
        key="sewing",
        title="Sewing order",
        blocks=(Paragraph(text=LEGEND, small=True), *steps),
        new_page=True,
    )
