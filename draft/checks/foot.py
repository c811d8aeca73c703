"""The foot goes through the hem."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from outseam.curves.evaluate import point_at
from outseam.curves.length import length, param_at_length
from outseam.draft.block.profile import leg_widths
from outseam.draft.checks.verdict import at_least, at_most, equal
from outseam.draft.inputs.words import measure, words
from outseam.draft.legs.leg import foot_hem_mm
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Finding, Piece

#: A hem this near to what was asked for is that.
HEM_MM = 1.5
#: What the foot makes the hem wider by is told from here on, where the leg is not cut off higher.
_TOLD_MM, _CUT_MM = 5.0, 3.0


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
    yield from _widened(pattern)
    girth, at_hem = foot_girth_mm(pattern)
    where = "hem" if at_hem else "leg above the opening"
    opens = girth * (1.0 + pattern.block.ease.pull_strain)
    yield at_least(
        "foot goes through",
        where,
        opens,
        pattern.measures.foot,
        f"the {where}, pulled on, passes heel and instep",
        fails="warning",
        advice=words(
            "The {where}, stretched as far as it goes, opens to {opens}; heel and instep need "
            "{foot}. Your foot may stick: choose a wider hem, or {do}.",
            where=where,
            opens=measure(opens),
            foot=measure(pattern.measures.foot),
            do='ankle = "slit" or ankle = "zip"' if at_hem else "a longer ankle_opening",
        ),
        about=("hem",) if at_hem else (),
    )


def open_from_hem_mm(leg: Piece) -> float:
    """Return how far up from the hem a leg's outseam is open at the ankle, 0 where it is sewn."""
    marks = [n.at_mm for n in leg.notches if n.role == "ankle opening"]
    return length(leg.edge("outseam").path) - marks[0] if marks else 0.0


def foot_girth_mm(pattern: Pattern) -> tuple[float, bool]:
    """Return the girth the foot has to pass, and whether that is the hem; else it is the leg above
    an opening.
    """
    up = open_from_hem_mm(pattern.piece("front"))
    if not up:
        return hem_girth_mm(pattern), True
    outseam = pattern.block.front.outseam
    y = point_at(outseam, param_at_length(outseam, length(outseam) - up))[1]
    return float(leg_widths(pattern.block, np.array([y]))[0]), False


def _widened(pattern: Pattern) -> Iterator[Finding]:
    """Say so where the foot, and neither ankle nor style, decides how wide the hem is."""
    more, hem = pattern.block.foot_widens_mm, hem_girth_mm(pattern)
    passes = foot_hem_mm(pattern.measures.foot, pattern.block.ease)
    if pattern.spec.style.hem_width is not None or hem > passes + _CUT_MM:
        more = 0.0
    yield at_most(
        "foot decides the hem",
        "hem",
        hem,
        hem - more + _TOLD_MM,
        "the hem is as wide as leg and fit have it, no wider for the foot's sake",
        fails="note",
        advice=words(
            "Your foot decides how wide the hem is: {hem} all round, {more} more than this leg "
            "would have, because heel and instep have to pass it. A slit or a zip in the outseam "
            'lets it be that much narrower: ankle = "slit" or ankle = "zip".',
            hem=measure(hem),
            more=measure(more),
        ),
    )
