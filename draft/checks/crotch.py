"""The crotch seam as drawn has the length that the body and the ease call for."""

from __future__ import annotations

from collections.abc import Iterator

from outseam.curves.length import length
from outseam.draft.checks.verdict import equal
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Finding
from outseam.draft.piece.ruler import ruler_length

CROTCH_MM = 0.5


def crotch_seam_mm(pattern: Pattern) -> tuple[float, float]:
    """Return front and back crotch seam of the finished pieces, mm."""
    front, back = (ruler_length(pattern.piece(n).edge("crotch").path) for n in ("front", "back"))
    return front, back


def check_crotch(pattern: Pattern) -> Iterator[Finding]:
    """Compare the whole seam with its target, and each half with what was drafted for it."""
    front, back = crotch_seam_mm(pattern)
    block = pattern.block
    yield equal(
        "crotch seam",
        "front and back",
        front + back,
        block.crotch_target_mm,
        CROTCH_MM,
        "the crotch seam has its target length",
    )
    halves = (length(block.front.crotch), length(block.back.crotch))
    for name, got, want in zip(("front", "back"), (front, back), halves, strict=True):
        yield equal(
            "crotch seam",
            name,
            got,
            want,
            CROTCH_MM,
            f"the {name} crotch seam is as long as drafted",
        )
