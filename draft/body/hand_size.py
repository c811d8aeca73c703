"""The hand that goes into a pocket, and how long the opening has to be for it.

Girths round the knuckles, without the thumb, at the 5th, 50th and 95th percentile; from memory of
the survey of 1988 (Gordon et al., 1989 Anthropometric Survey of U.S. Army Personnel). The spread
is small beside what a pocket allows, so the body table asks for no hand.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from outseam.draft.body.measures import Measures


@dataclass(frozen=True, slots=True, kw_only=True)
class Hand:
    """Girths of a hand at the knuckles, mm: small, middling and large people of a build."""

    small_mm: float
    middling_mm: float
    large_mm: float


HANDS: Final = {
    "women": Hand(small_mm=172.0, middling_mm=186.0, large_mm=201.0),
    "men": Hand(small_mm=198.0, middling_mm=214.0, large_mm=230.0),
}

#: Flat opening over the girth of the hand (common practice, no source): half would only just let
#: a flat hand through, three quarters let it go in on the slant with the thumb.
OPENING_OF_GIRTH: Final = 0.75

#: Openings that the draft chooses are rounded up to this.
_STEP_MM: Final = 5.0


def hand_of(m: Measures) -> Hand:
    """Return the hands of the body's build."""
    return HANDS[m.build]


def opening_for(girth_mm: float) -> float:
    """Return the flat opening that a hand of that girth needs, mm."""
    return OPENING_OF_GIRTH * girth_mm


def usual_opening_mm(m: Measures) -> float:
    """Return the opening that the draft gives a hand pocket: a large hand of the build fits."""
    return _STEP_MM * -(-opening_for(hand_of(m).large_mm) // _STEP_MM)


def least_opening_mm(m: Measures) -> float:
    """Return the opening below which a middling hand of the build does not fit."""
    return opening_for(hand_of(m).middling_mm)
