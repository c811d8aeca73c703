"""The finished hem stays off the floor: a hem that drags trips people on stairs."""

from __future__ import annotations

from collections.abc import Iterator

from outseam.curves.region import bounds
from outseam.draft.checks.verdict import at_least
from outseam.draft.inputs.words import measure, words
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Finding

#: The hem's lowest point should clear the bare floor by this.
CLEAR_MM = 5.0


def hem_clearance_mm(pattern: Pattern) -> float:
    """Return the height of the hem's lowest point above the floor, mm."""
    low = bounds(pattern.block.front.hem, pattern.block.back.hem)[1]
    return pattern.block.crotch_line_height_mm + low


def check_floor(pattern: Pattern) -> Iterator[Finding]:
    """Compare the hem with the floor, without shoes."""
    clear = hem_clearance_mm(pattern)
    height = words("only {mm} above the floor", mm=measure(clear))
    yield at_least(
        "hem clears the floor",
        "hem",
        clear,
        CLEAR_MM,
        "the hem stays off the floor; one that drags trips people, on stairs above all",
        fails="warning",
        advice=words(
            "The finished hem hangs {height} without shoes. A hem that drags trips people, on "
            "stairs above all: shorten the leg at the lengthen/shorten lines.",
            height=height if clear > 0.0 else "down on the floor",
        ),
    )
