"""Every measurement goes with all the others; if not, it is questioned, never refused."""

from __future__ import annotations

from collections.abc import Iterator

from outseam.draft.body.tape_check import SUSPECT_SD, largest_score, sentence, suspects
from outseam.draft.checks.verdict import at_most
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Finding


def check_tape(pattern: Pattern) -> Iterator[Finding]:
    """Yield one finding per suspect measurement, or a pass with the largest score."""
    spec = pattern.spec
    worst = largest_score(spec.body)
    found = suspects(spec.body, spec.units) if worst > SUSPECT_SD else ()
    if not found:
        good = "every measurement goes with the others"
        bad = "the measurements do not go together: measure again"
        yield at_most(
            "tape",
            "all measurements",
            worst,
            SUSPECT_SD,
            good if worst <= SUSPECT_SD else bad,
            unit="sd",
            fails="warning",
            advice=f"{bad}.",
        )
    for s in found:
        yield at_most(
            "tape",
            s.key,
            s.z,
            SUSPECT_SD,
            sentence(s, spec.units),
            unit="sd",
            fails="warning",
            advice=f"{sentence(s, spec.units)}.",
        )
