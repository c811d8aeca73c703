"""Every measurement goes with all the others; if not, it is questioned, never refused."""

from __future__ import annotations

from collections.abc import Iterator

from draft.checks.verdict import at_most
from draft.pattern import Pattern
from draft.piece import Finding
from draft.tape import SUSPECT_SD, largest_score, sentence, suspects


def check_tape(pattern: Pattern) -> Iterator[Finding]:
    """Yield one finding per suspect measurement, or a pass with the largest score."""
    m = pattern.measures
    worst = largest_score(m)
    if worst <= SUSPECT_SD:
        yield at_most(
            "tape",
            "all measurements",
            worst,
            SUSPECT_SD,
            "every measurement goes with the others",
            unit="sd",
        )
        return
    for s in suspects(m):
        yield at_most(
            "tape",
            s.key,
            abs(s.z),
            SUSPECT_SD,
            sentence(s, pattern.spec.units),
            unit="sd",
            fails="warning",
        )
