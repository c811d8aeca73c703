"""What a trial shows, by the part of the body where it is seen, and the change it asks for."""

from __future__ import annotations

import datetime
from typing import Any, Final

from outseam.cli.fitting.spec_text import data_of, with_alteration
from outseam.cli.page.desk import Desk
from outseam.cli.page.drafting import draft_of
from outseam.cli.wording.alterations import changed, fresh, small, start_words
from outseam.cli.wording.findings import finding_words
from outseam.draft.alter.signs import SIGNS, Sign, sign_named
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import Units, show_length
from outseam.draft.inputs.text import capital
from outseam.draft.inputs.units import length_mm

#: Zones of the body, top down, and the places of signs that lie in each.
ZONES: Final = (
    ("waist and top edge", ("top edge", "back waist", "waistband")),
    ("hip and seat", ("hip balance line", "outseam")),
    ("crotch", ("front crotch", "back crotch")),
    ("thigh", ("back thigh", "thigh balance line", "inseam")),
    ("leg and hem", ()),
)


def zone_of(sign: Sign) -> str:
    """Return the zone of the body where a sign is seen."""
    return next((name for name, places in ZONES if sign.where in places), ZONES[-1][0])


def sign_rows(shown: Units) -> list[tuple[str, list[dict[str, Any]]]]:
    """Return all signs for the page, by zone from the top down, with where to start."""
    return [(zone, [_row(s, shown) for s in SIGNS if zone_of(s) == zone]) for zone, _ in ZONES]


def _row(s: Sign, shown: Units) -> dict[str, Any]:
    legs = s.alters.legs if s.alters is not None else "both"
    return {
        "key": s.key,
        "title": capital(s.key),
        "look": f"{capital(s.look)}.",
        "means": f"{capital(s.means)}.",
        "change": f"{capital(s.change)}.",
        "alteration": s.alteration,
        "start": start_words(s.start_mm, shown) if s.alteration else "",
        "legs": legs,
    }


def altered_text(desk: Desk, sign: str, amount: str, side: str, shown: Units) -> str:
    """Return the spec's text with the alteration of a sign. Raises InputError, KeyError."""
    found = sign_named(sign)
    if found.alters is None:
        raise InputError(found.key, found.means, hint=found.change)
    mm = length_mm(amount or start_words(found.start_mm, shown), shown, "amount")
    if mm <= 0.0:
        raise InputError("amount", "nothing", "a length above zero")
    if found.alters.legs == "one" and side not in ("left", "right"):
        raise InputError("side", "not said", "left or right, her own", "say which leg shows it")
    keys = {
        "what": found.alteration,
        "amount": start_words(mm, shown),
        **({"side": side} if side in ("left", "right") else {}),
        "date": datetime.date.today().isoformat(),
        "seen": found.key,
    }
    return with_alteration(desk.source, keys)


def shown_change(desk: Desk, text: str, shown: Units) -> dict[str, Any]:
    """Return what another text of the spec changes: a drawing before and after, and figures.

    Raises InputError where one of the two cannot be drafted.
    """
    from outseam.cli.fitting.page import overlay_drawing

    before = desk.draft(shown)
    after = draft_of(desk.folder, data_of(text), shown)
    for one in (before, after):
        if one.pattern is None:
            says = one.fault.says if one.fault else "it cannot be drafted"
            raise InputError("this change", says, hint="try a smaller amount")
    assert before.pattern is not None
    assert after.pattern is not None
    return {
        "drawing": overlay_drawing(before.pattern, after.pattern).partition("?>")[2],
        "rows": [
            [
                capital(r.name.replace("_", " ")),
                show_length(r.before_mm, shown),
                show_length(r.after_mm, shown),
                small(r.change_mm, shown),
            ]
            for r in changed(before.pattern, after.pattern)
        ],
        "warnings": [
            finding_words(f, shown)
            for f in fresh(before.pattern, (*after.pattern.errors, *after.pattern.warnings))
        ],
        "allowed": not after.pattern.errors,
    }
