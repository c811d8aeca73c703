"""What an alteration is: a change of the block for each millimetre of its amount."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from outseam.draft.block.change import Change
from outseam.draft.inputs.show import either

#: Which legs may have an alteration: only both alike, either alone as well, or one at a time.
Legs = Literal["both", "either", "one"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Alteration:
    """One alteration that a trial may call for.

    `change` is what one millimetre of amount does, so amounts add up and their order cannot
    matter. `measures` says what the amount is, `stays` the zero point: what does not move.
    `opposite` is the alteration that undoes it, "" where there is none. `start_mm` is an amount to
    begin with, `most_mm` the largest that all entries of it may come to. `legs` says whether it may
    be had on one side of the body: not where it changes the crotch seam, which both legs share,
    unless `alone` says what it is instead on one side, with that seam as long as it was, or `other`
    what the other leg gets meanwhile, so that both seams stay equally long.
    """

    name: str
    says: str
    measures: str
    stays: str
    change: Change
    opposite: str = ""
    start_mm: float
    most_mm: float
    legs: Legs = "both"
    alone: Change | None = None
    other: Change | None = None

    def change_on(self, side: str) -> Change:
        """Return what a millimetre does on a side, "" for both legs."""
        return self.alone if side and self.alone is not None else self.change


def pair(
    names: str,
    says: str,
    measures: str,
    stays: str,
    change: Change,
    *,
    start_mm: float,
    most_mm: float,
    legs: Legs = "both",
    alone: Change | None = None,
    other: Change | None = None,
) -> tuple[Alteration, Alteration]:
    """Return an alteration and its opposite, which changes as much the other way.

    Their words are given together, those of the first before the bar: "[longer|shorter]".
    """
    first, second = (
        Alteration(
            name=either(names, way),
            says=either(says, way),
            measures=either(measures, way),
            stays=stays,
            change=change.times(sign),
            opposite=either(names, 1 - way),
            start_mm=start_mm,
            most_mm=most_mm,
            legs=legs,
            alone=alone and alone.times(sign),
            other=other and other.times(sign),
        )
        for way, sign in enumerate((1.0, -1.0))
    )
    return first, second
