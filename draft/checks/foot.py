"""The foot goes through the hem."""

from __future__ import annotations

from collections.abc import Iterator

from curves.length import length
from draft.checks.verdict import at_least
from draft.pattern import Pattern
from draft.piece import Finding


def hem_girth_mm(pattern: Pattern) -> float:
    """Return the finished hem of one leg, all round, mm."""
    return length(pattern.block.front.hem) + length(pattern.block.back.hem)


def check_foot(pattern: Pattern) -> Iterator[Finding]:
    """Stretch the hem as far as it goes and compare it with heel and instep."""
    yield at_least(
        "foot goes through",
        "hem",
        hem_girth_mm(pattern) * (1.0 + pattern.block.ease.pull_strain),
        pattern.measures.foot,
        "the hem, pulled on, passes heel and instep",
        fails="warning",
    )
