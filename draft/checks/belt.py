"""The belt against the band that carries it: width, reach, and a tie that can be tied."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from outseam.draft.checks.seams import SEAM_MM
from outseam.draft.checks.verdict import at_least, equal
from outseam.draft.inputs.words import measure, words
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Finding, Piece
from outseam.draft.piece.ruler import ruler_length

#: Width of the belt over the height of the finished band (common practice, no source).
WIDTH_OF_BAND: Final = {"wide": 1.0, "narrow": 0.5}
#: A tube narrower than this is hard to turn right side out (common practice, no source).
EASY_WIDTH_MM: Final = 15.0
#: A knot and two short ends take this and some widths of the belt (common practice, no source).
KNOT_MM: Final = 200.0
KNOT_OF_WIDTH: Final = 2.0


def check_belt(pattern: Pattern) -> Iterator[Finding]:
    """Compare the belt's half with the finished band, measured on the pieces."""
    if any(p.name == "belt" for p in pattern.pieces):
        belt, band = pattern.piece("belt"), pattern.piece("front_band")
        width = ruler_length(belt.edge("side").path) / 2.0
        yield from _width(belt, width, band, WIDTH_OF_BAND[pattern.spec.style.belt])
        yield _tie(belt, width, band)


def _width(belt: Piece, width: float, band: Piece, of_band: float) -> Iterator[Finding]:
    """Is it as wide as it should be, folded in its middle, and wide enough to be turned?"""
    height = ruler_length(band.edge("left").path) / 2.0
    yield equal(
        "belt fits its band",
        "width",
        width,
        of_band * height,
        SEAM_MM,
        "a wide belt is as wide as the finished waistband, a narrow one half of it",
    )
    middle = belt.edge("side").path.start[0] + width
    folds = [x.path for x in belt.lines if x.kind == "fold"]
    off = max((abs(x - middle) for p in folds for x, _ in (p.start, p.end)), default=width)
    yield equal(
        "belt fits its band",
        "fold",
        off,
        0.0,
        SEAM_MM,
        "the belt folds along its middle",
    )
    yield at_least(
        "belt fits its band",
        "narrowest",
        width,
        EASY_WIDTH_MM,
        "the belt is easily turned right side out; a wider elastic makes a wider one",
        fails="warning",
        advice=words(
            "The belt is {width} wide: a tube narrower than {easy} is hard to turn right side out. "
            "Choose a wide belt or a wider elastic.",
            width=measure(width),
            easy=measure(EASY_WIDTH_MM),
        ),
    )


def _tie(belt: Piece, width: float, band: Piece) -> Finding:
    """Does it reach far enough beyond the centre front to be tied?"""
    half_front = ruler_length(band.edge("lower").path) / 2.0
    tie = ruler_length(belt.edge("long_left").path) - half_front
    knot = KNOT_MM + KNOT_OF_WIDTH * width
    return at_least(
        "belt fits its band",
        "tie",
        tie,
        knot,
        "the belt reaches the centre front and beyond it far enough for a knot",
        fails="warning",
        advice=words(
            "Beyond the centre front the belt reaches {tie}; a knot and two ends take about "
            "{knot}. Give it a longer tie.",
            tie=measure(tie),
            knot=measure(knot),
        ),
    )
