"""The finished top sits where the style's word for the rise puts it."""

from __future__ import annotations

from collections.abc import Iterator

from outseam.draft.checks.verdict import at_most
from outseam.draft.inputs.words import measure, words
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Finding

RISE_MM = 1.0


def check_rise(pattern: Pattern) -> Iterator[Finding]:
    """Say when a named rise had to be raised because the body's rise is short."""
    yield at_most(
        "rise",
        "top edge",
        pattern.block.rise_raised_mm,
        RISE_MM,
        "the top sits where this rise usually does; on this body the band leaves no room for it",
        fails="note",
        advice=words(
            "The top sits {raised} higher than this rise usually does: on this body the band "
            "leaves no room for a lower one. A narrower elastic allows it.",
            raised=measure(pattern.block.rise_raised_mm),
        ),
    )
