"""Where the legs differ: the centre seam joins left and right, so both have it equally long."""

from __future__ import annotations

from collections.abc import Iterator

from outseam.draft.checks.verdict import equal
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Finding, sided_name
from outseam.draft.piece.ruler import ruler_length

CENTRE_MM = 0.5


def check_centre(pattern: Pattern) -> Iterator[Finding]:
    """Compare the crotch edges of left and right; nothing to compare where the legs are alike."""
    if pattern.legs is None:
        return
    for part in ("front", "back"):
        left, right = (
            ruler_length(pattern.piece(sided_name(part, side)).edge("crotch").path)
            for side in ("left", "right")
        )
        yield equal(
            "centre seams match",
            f"centre {part}",
            left - right,
            0.0,
            CENTRE_MM,
            f"left and right {part} leg have the crotch edge equally long",
        )
