"""All measurements go together; if not, the one in doubt is questioned, never refused."""

from __future__ import annotations

import math
from collections.abc import Iterator

from outseam.draft.body.slips import suspect_odds
from outseam.draft.body.tape_check import (
    LEAST_SD,
    doubts,
    gap_of,
    gap_words,
    sentence,
)
from outseam.draft.checks.verdict import at_least, at_most
from outseam.draft.inputs.text import capital
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Finding

#: Odds beyond are told as this.
_MOST_ODDS = 1e6


def _odds(log: float) -> float:
    return math.exp(min(log, math.log(_MOST_ODDS)))


def check_tape(pattern: Pattern) -> Iterator[Finding]:
    """Yield one finding per suspect measurement, or a pass; the odds of a slip against none.

    Then, as a note, what so few measurements cannot tell.
    """
    body, units = pattern.spec.body, pattern.spec.units
    most = _odds(suspect_odds(body))
    questioned, worst = doubts(body, units)
    found = [(s.key, s.odds, sentence(s, units)) for s in questioned]
    keys = {s.key for s in questioned}
    if not found:
        good = worst <= suspect_odds(body)
        says = "every measurement goes with the others"
        says = says if good else "the measurements do not go together: measure again"
        found = [("all measurements", worst, says)]
    for where, odds, says in found:
        yield at_most(
            "tape",
            where,
            _odds(odds),
            most,
            says,
            unit="ratio",
            fails="warning",
            advice=f"{capital(says)}.",
            about=(where,) if where in keys else (),
        )
    if gap := gap_of(body):
        says = gap_words(gap, units)
        yield at_least(
            "tape",
            "too few",
            gap.sd,
            LEAST_SD,
            says,
            unit="sd",
            fails="note",
            advice=f"{capital(says)}.",
        )
