"""The foot goes through the hem."""

from __future__ import annotations

from collections.abc import Iterator

from outseam.curves.length import length
from outseam.draft.checks.verdict import at_least, equal
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Finding

#: A hem this near to what was asked for is that.
HEM_MM = 1.5


def hem_girth_mm(pattern: Pattern) -> float:
    """Return the finished hem of one leg, all round, mm."""
    return length(pattern.block.front.hem) + length(pattern.block.back.hem)


def check_foot(pattern: Pattern) -> Iterator[Finding]:
    """Stretch the hem as far as it goes and compare it with heel and instep."""
    asked = pattern.spec.style.hem_width
    if asked is not None:
        yield equal(
            "hem as asked",
            "hem",
            hem_girth_mm(pattern),
            asked,
            HEM_MM,
            "the hem is as wide as the style asks",
            fails="warning",
        )
    yield at_least(
        "foot goes through",
        "hem",
        hem_girth_mm(pattern) * (1.0 + pattern.block.ease.pull_strain),
        pattern.measures.foot,
        "the hem, pulled on, passes heel and instep",
        fails="warning",
    )
