"""One `[[alter]]` of the spec file, and what all of them come to."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal

from outseam.draft.alter.alteration import Alteration
from outseam.draft.alter.registry import ALTERATION_NAMES, ALTERATIONS, alteration_named
from outseam.draft.block.change import NONE, Change
from outseam.draft.inputs.errors import InputError, raised_in
from outseam.draft.inputs.show import Units, show_length
from outseam.draft.inputs.tables import read_table
from outseam.draft.inputs.text import describe
from outseam.draft.inputs.value_kinds import Choice, Kind, Length, Text
from outseam.draft.inputs.words import measure, most_allowed, words

#: A spec with more entries than this was not written by hand.
MOST_ENTRIES = 200

#: The wearer's sides.
LegSide = Literal["left", "right"]
SIDES: Final[tuple[LegSide, LegSide]] = ("left", "right")


@dataclass(frozen=True, slots=True, kw_only=True)
class Date(Kind):
    """A day, as TOML writes it (2031-05-28) or as the same text in quotes."""

    def read(self, value: object, where: str, units: Units) -> str:
        """The day as text, year first."""
        if isinstance(value, datetime.datetime):
            value = value.date()
        if isinstance(value, datetime.date):
            return value.isoformat()
        if isinstance(value, str):
            try:
                return datetime.date.fromisoformat(value.strip()).isoformat()
            except ValueError:
                pass
        raise InputError(where, describe(value), self.says(units))

    def says(self, units: Units) -> str:
        """How a day is written."""
        return "a day, year first, such as 2031-05-28"

    def write(self, value: object, units: Units) -> str:
        """The day without quotes."""
        return str(value)


@dataclass(frozen=True, slots=True, kw_only=True)
class AlterationEntry:
    """An alteration as asked for. `amount` in mm; `side` is the wearer's, "" for both legs alike;
    `date` and `seen` are for her who reads it.
    """

    what: str = Choice.key(
        choices=ALTERATION_NAMES,
        help="which alteration",
        example="full seat",
        also=("alteration", "name", "kind"),
    )
    amount: float = Length.key(
        within=(0, 100),
        help="how much; what it measures is told beside each alteration",
        example=10,
        also=("by", "much"),
        hint="each alteration has an opposite of its own name, so amounts have no minus sign",
    )
    side: str = Choice.key(
        "",
        choices=SIDES,
        help="the wearer's side, where only one is meant; left and right pieces then differ",
        example="left",
        also=("leg", "on_the", "body_side"),
    )
    date: str = Date.key(
        "", help="when the trial showed it", example="2031-05-28", also=("day", "on")
    )
    seen: str = Text.key("", most=120, help="what the trial showed", also=("sign", "why", "note"))

    @property
    def alteration(self) -> Alteration:
        """The alteration that is meant."""
        return alteration_named(self.what)


def read_alterations(raw: object, units: Units) -> tuple[AlterationEntry, ...]:
    """The alterations in what a TOML reader found under `alter`.

    Raises InputError for anything else, for an amount beyond what the alteration is good for, and
    for two that undo each other.
    """
    if isinstance(raw, dict):
        raise InputError(
            "alter", "a single table", "[[alter]] with two brackets", "there may be several of them"
        )
    if not isinstance(raw, list):
        raise InputError("alter", describe(raw), "a line [[alter]] with its keys below it")
    if len(raw) > MOST_ENTRIES:
        raise InputError("alter", f"{len(raw)} alterations", f"{MOST_ENTRIES} or fewer")
    found = tuple(
        read_table(AlterationEntry, one, table=f"alter {number}", units=units)
        for number, one in enumerate(raw, start=1)
    )
    _refuse_wrong_side(found)
    with raised_in(units):
        for side in SIDES if is_sided(found) else ("",):
            _refuse_too_much(for_side(found, side))
            _refuse_contradictions(for_side(found, side))
    return found


def is_sided(asked: Iterable[AlterationEntry]) -> bool:
    """Whether an alteration is meant for one side, so that left and right pieces differ."""
    return any(one.side for one in asked)


def for_side(asked: Iterable[AlterationEntry], side: str) -> tuple[AlterationEntry, ...]:
    """The alterations that one side gets: its own, and those of both."""
    return tuple(one for one in asked if one.side in ("", side))


def total_mm(asked: Iterable[AlterationEntry], name: str) -> float:
    """What all entries of one alteration come to, mm."""
    return sum(sorted(one.amount for one in asked if one.what == name))


def _refuse_wrong_side(asked: tuple[AlterationEntry, ...]) -> None:
    """Raise InputError where a side is missing, or where both legs share what is altered."""
    for one in asked:
        legs = one.alteration.legs
        if legs == "one" and not one.side:
            raise InputError(
                "alter",
                f'"{one.what}" without a side',
                'side = "left" or side = "right"',
                "the side is the wearer's own",
            )
        if legs == "both" and one.side:
            whole = ", ".join(f'"{a.name}"' for a in ALTERATIONS if a.legs != "both")
            raise InputError(
                "alter",
                f'"{one.what}" on the {one.side} side only',
                f"both sides, or one of {whole}",
                "both legs share the crotch seam and the waistband, so this one changes both",
            )


def _refuse_too_much(asked: tuple[AlterationEntry, ...]) -> None:
    for one in ALTERATIONS:
        total = total_mm(asked, one.name)
        if total > one.most_mm:
            count = sum(x.what == one.name for x in asked)
            together = " in all" if count > 1 else ""
            raise InputError(
                "alter",
                words("{what} by {total}{all}", what=one.name, total=measure(total), all=together),
                words("up to {most}", most=most_allowed(one.most_mm)),
                "what needs more was measured wrong: measure again",
            )


def _refuse_contradictions(asked: tuple[AlterationEntry, ...]) -> None:
    for one in ALTERATIONS:
        here, there = total_mm(asked, one.name), total_mm(asked, one.opposite)
        if here and there:
            more, less = (one.name, one.opposite) if here >= there else (one.opposite, one.name)
            left = abs(here - there)
            keep = words('keep only "{more}", amount {left}', more=more, left=measure(left))
            instead = keep if left else "take both out"
            raise InputError(
                "alter", f'"{more}" and "{less}" undo each other', "one of the two", instead
            )


def change_of(asked: Iterable[AlterationEntry], leg: str = "") -> Change:
    """What all alterations together change; the same whatever their order.

    Of a `leg` it is what that leg gets: its own, those of both, and what the other leg's ask of it
    so that the two still join. Without one, all that is asked.
    """
    asked = tuple(asked)
    words = {a.what for a in asked}
    total = NONE
    for one in ALTERATIONS:
        for side in ("", *SIDES) if one.name in words else ():
            amount = total_mm((a for a in asked if a.side == side), one.name)
            if not amount:
                continue
            if not leg or side in ("", leg):
                total = total + one.change_on(side).times(amount)
            elif one.other is not None:
                total = total + one.other.times(amount)
    return total


def alteration_words(asked: tuple[AlterationEntry, ...], units: Units) -> tuple[str, ...]:
    """What each alteration comes to in all: `full seat 1 cm, left leg`; in the order of asking."""
    totals: dict[tuple[str, str], float] = {}
    for a in sorted(asked, key=lambda a: a.amount):
        totals[a.what, a.side] = totals.get((a.what, a.side), 0.0) + a.amount
    order = dict.fromkeys((a.what, a.side) for a in asked)
    return tuple(
        f"{what} {show_length(totals[what, side], units)}" + (f", {side} leg" if side else "")
        for what, side in order
        if totals[what, side]
    )
