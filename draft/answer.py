"""One answer behind every output: what any reader of a spec needs, computed once, when asked for.

The terminal, files, JSON, batches and pages read the same `Answer`, so that all tell the same.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from outseam.draft.inputs.errors import OutseamError
from outseam.draft.inputs.show import Units
from outseam.draft.model import Pattern
from outseam.draft.pattern import draft_pattern
from outseam.draft.piece.piece import Finding
from outseam.draft.spec.spec import Spec

if TYPE_CHECKING:
    from outseam.draft.figures.sensitivity import Effect
    from outseam.draft.lay.ways.quick import FabricLength


class ChecksFailedError(OutseamError):
    """A pattern or a lay that must not be used: `findings` say why, shown in `units`.

    It is the program's fault and not the reader's, so it leaves with an exit code of its own.
    """

    def __init__(self, findings: tuple[Finding, ...], units: Units, what: str) -> None:
        self.findings = findings
        self.units = units
        super().__init__(f"the {what} does not pass its checks; nothing was written.")


def passed(pattern: Pattern, what: str = "pattern") -> Pattern:
    """Return a pattern that passes its checks. Raises ChecksFailedError for one that does not."""
    if pattern.errors:
        raise ChecksFailedError(pattern.errors, pattern.spec.units, what)
    return pattern


@dataclass(frozen=True, kw_only=True)
class Answer:
    """A spec and everything that follows from it.

    `kept_lay` is the lay that was kept for it, as plain data, None if there is none. Whatever is
    asked for raises InputError or UnsolvableError where the spec cannot be drafted.
    """

    spec: Spec
    kept_lay: object = None

    @classmethod
    def of(cls, pattern: Pattern) -> Answer:
        """Return the answer to the spec of a pattern that is drafted already."""
        answer = cls(spec=pattern.spec)
        vars(answer)["drafted"] = pattern
        return answer

    @cached_property
    def drafted(self) -> Pattern:
        """The pattern, whether it passes its checks or not."""
        return draft_pattern(self.spec)

    @cached_property
    def pattern(self) -> Pattern:
        """The pattern. Raises ChecksFailedError if it does not pass its checks."""
        return passed(self.drafted)

    @cached_property
    def effects(self) -> tuple[Effect, ...]:
        """What each estimate would move, most first."""
        from outseam.draft.figures.sensitivity import estimate_effects

        return estimate_effects(self.drafted)

    @cached_property
    def refusal(self) -> str:
        """Why the pieces cannot be laid on the fabric, as a sentence; "" if nothing is known."""
        from outseam.draft.lay.ways.refusal import refused

        found = refused(self.drafted)
        return "" if found is None else str(found)

    @cached_property
    def trial(self) -> Pattern:
        """The same draft cut short for a trial. Raises ChecksFailedError."""
        from outseam.draft.trial import trial_pattern

        return passed(trial_pattern(self.drafted), "trial")

    @cached_property
    def fabric(self) -> FabricLength:
        """How much fabric it takes, by the lay that was kept if that still serves."""
        from outseam.draft.lay.ways.quick import fabric_length

        return fabric_length(self.pattern, self.kept_lay)
