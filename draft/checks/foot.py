"""The foot goes through the hem."""

from __future__ import annotations

from collections.abc import Iterator

from outseam.curves.length import length
from outseam.draft.checks.verdict import at_least, equal
from outseam.draft.inputs.words import measure, words
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
            advice=words(
                "The finished hem measures {hem} all round; {asked} was asked for.",
                hem=measure(hem_girth_mm(pattern)),
                asked=measure(asked),
            ),
        )
    opens = hem_girth_mm(pattern) * (1.0 + pattern.block.ease.pull_strain)
    yield at_least(
        "foot goes through",
        "hem",
        opens,
        pattern.measures.foot,
        "the hem, pulled on, passes heel and instep",
        fails="warning",
        advice=words(
            "The hem, stretched as far as it goes, opens to {opens}; heel and instep need {foot}. "
            "Your foot may stick: choose a wider hem or leave a slit.",
            opens=measure(opens),
            foot=measure(pattern.measures.foot),
        ),
    )
