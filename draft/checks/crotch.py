"""The crotch seam as drawn has the length that the body and the ease call for."""

from __future__ import annotations

from collections.abc import Iterator

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
    """Compare the seam with its target, each half where both were measured."""
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
    if block.crotch_split_target_mm is not None:
        for name, got, want in zip(
            ("front", "back"), (front, back), block.crotch_split_target_mm, strict=True
        ):
            yield equal(
                "crotch seam",
                name,
                got,
                want,
                CROTCH_MM,
                f"the {name} crotch seam has its target length",
            )
