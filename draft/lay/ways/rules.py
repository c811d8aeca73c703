"""What holds for every lay on one cloth: its parts, how they may turn, its checks, its kept lay."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from outseam.draft.lay.check.verify import check_lay
from outseam.draft.lay.model.cloth import Cloth
from outseam.draft.lay.model.orientations import Item, items_of
from outseam.draft.lay.model.parts import Part, TurnRule, eithers_of, narrow_parts, parts_of
from outseam.draft.lay.model.result import Lay
from outseam.draft.lay.model.turning import turn_rule
from outseam.draft.lay.ways.border_report import check_border
from outseam.draft.lay.ways.hold import off_print
from outseam.draft.lay.ways.saved import Stale, restored
from outseam.draft.lay.ways.stripe_pockets import on_stripes
from outseam.draft.lay.ways.stripes import check_stripes
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Finding


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """The rules of one cloth for the patterns that share it."""

    patterns: tuple[Pattern, ...]
    cloth: Cloth
    parts: tuple[Part, ...]
    turns: TurnRule

    @property
    def items(self) -> tuple[Item, ...]:
        """The parts with their outlines as cut, by which a kept lay is recognised."""
        return items_of(self.parts, [p.spec.fabric for p in self.patterns], self.cloth)

    def check(self, lay: Lay) -> tuple[Finding, ...]:
        """Return the whole verdict on a lay."""
        found = check_lay(lay, self.patterns, self.turns)
        if self.cloth.border is not None:
            return (*found, *check_border(lay, self.patterns))
        if self.cloth.striped:
            return (*found, *check_stripes(lay, self.patterns))
        return found

    def kept(self, data: object) -> Lay | Stale:
        """Return the lay that was kept, checked, or why it does not serve any more."""
        lay = restored(data, self.patterns, self.cloth, self.parts, self.turns)
        if isinstance(lay, Stale):
            return lay
        off = off_print(lay, self.patterns)
        if off:
            return Stale(says=f"the print meets the {off} elsewhere now")
        lay = replace(lay, findings=self.check(lay))
        if lay.errors:
            return Stale(says=f"it does not pass its checks ({lay.errors[0].check})")
        return lay


def rules_of(patterns: Sequence[Pattern], cloth: Cloth) -> Rules:
    """Return the rules of a cloth. Raises InputError where a border cannot be used."""
    turns = turn_rule(cloth)
    if cloth.narrow and not cloth.striped:
        parts = narrow_parts(eithers_of(patterns, turns), frozenset())
    else:
        parts = parts_of(patterns, cloth, turns)
    if cloth.border is None and cloth.striped:
        parts = on_stripes(parts, patterns)
    return Rules(patterns=tuple(patterns), cloth=cloth, parts=parts, turns=turns)
