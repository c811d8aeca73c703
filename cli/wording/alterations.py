"""What alterations did to the figures of a pattern, in words for a terminal or a page."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from outseam.draft.alter import SIDES, AlterationEntry
from outseam.draft.checks.crotch import crotch_seam_mm
from outseam.draft.figures.finished import finished
from outseam.draft.figures.landmarks import largest_move
from outseam.draft.inputs.show import Units, show_length
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Finding

#: Changes smaller than this are rounding, not news.
TOLD_MM = 0.5

_NAMES = {
    "waistband": "waistband, all round",
    "elastic": "elastic",
    "top_edge": "top edge of the legs",
    "front_crotch": "front crotch seam",
    "back_crotch": "back crotch seam",
    "hem_above_floor": "hem above the floor",
}
#: Front and back rise are the crotch seams with the band; one of the two is enough.
_LEFT_OUT = ("front_rise", "back_rise", "band_height")


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangedFigure:
    """One figure before and after, mm."""

    name: str
    before_mm: float
    after_mm: float

    @property
    def change_mm(self) -> float:
        """After less before."""
        return self.after_mm - self.before_mm


def _figures(pattern: Pattern) -> dict[str, float]:
    front, back = crotch_seam_mm(pattern)
    return {"front_crotch": front, "back_crotch": back, **finished(pattern)}


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangedLeg:
    """One leg before and after; `side` is "" where both legs change alike."""

    side: str
    before: Pattern
    after: Pattern


def leg_that_changed(before: Pattern, after: Pattern) -> ChangedLeg:
    """Return the leg that a change moved most: either, where the legs are alike."""
    if before.legs is None and after.legs is None:
        return ChangedLeg(side="", before=before, after=after)
    legs = [
        ChangedLeg(
            side=side,
            before=(before.legs or (before,) * 2)[i],
            after=(after.legs or (after,) * 2)[i],
        )
        for i, side in enumerate(SIDES)
    ]
    return max(legs, key=lambda x: largest_move(x.before.block, x.after.block)[1])


def changed(before: Pattern, after: Pattern) -> tuple[ChangedFigure, ...]:
    """Return the finished measurements that differ by half a millimetre or more.

    Where the legs differ they are those of the leg that changed.
    """
    leg = leg_that_changed(before, after)
    old, new = _figures(leg.before), _figures(leg.after)
    rows = (
        ChangedFigure(name=_NAMES.get(k, k), before_mm=old[k], after_mm=new[k])
        for k in old
        if k in new and k not in _LEFT_OUT
    )
    return tuple(r for r in rows if abs(r.change_mm) >= TOLD_MM)


def fresh(before: Pattern, found: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return those findings of an altered pattern that the one before did not warn of."""
    known = {(f.check, f.where) for f in before.warnings}
    return tuple(f for f in found if (f.check, f.where) not in known)


def small(mm: float, units: Units) -> str:
    """Return a small length with its sign: `+0.6 cm`, `-3/8"`."""
    sign = "-" if mm < 0 else "+"
    return f"{sign}{show_length(abs(mm), units)}"


def entry_words(asked: Iterable[AlterationEntry], units: Units) -> str:
    """Return alterations in words: `full seat 1 cm, slim thigh 0.5 cm`."""
    return ", ".join(
        f"{a.what} {show_length(a.amount, units)}" + (f" on the {a.side}" if a.side else "")
        for a in asked
    )


def start_words(mm: float, units: Units) -> str:
    """Return an amount to start with as it would stand in the file: `1 cm`, `3/8 in`."""
    if units == "in":
        return show_length(mm, units).removesuffix('"') + " in"
    return show_length(mm, units)
