"""Length put in or taken out at the two lengthen/shorten lines, so that the leg keeps its shape.

Common practice, no source. Above the knee the knee's own width moves along; below it the hem.
"""

from __future__ import annotations

from outseam.draft.alter.alteration import Alteration, pair
from outseam.draft.block.change import Change


def _pair(where: str, line: str, stays: str, change: Change) -> tuple[Alteration, Alteration]:
    return pair(
        f"[longer {where} the knee|shorter {where} the knee]",
        f"[spread|overlapped] at the {line} lengthen/shorten line",
        "how much [longer|shorter] the leg gets there",
        stays,
        change,
        start_mm=20.0,
        most_mm=100.0,
        legs="either",
    )


ALTERATIONS = (
    *_pair(
        "above",
        "upper",
        "the hip line, the front crotch point, and all widths of the leg",
        Change(above_knee=1.0),
    ),
    *_pair(
        "below",
        "lower",
        "everything down to the knee, and the width of the hem",
        Change(below_knee=1.0),
    ),
)
