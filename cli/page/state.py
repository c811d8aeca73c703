"""The whole of what a window shows of a spec, as plain data; it is asked for after every change."""

from __future__ import annotations

from typing import Any

from outseam.cli.page import live
from outseam.cli.page.desk import Desk
from outseam.cli.page.drafting import NEEDED, missing
from outseam.cli.page.forms import name_of, state_of
from outseam.cli.wording.alterations import entry_words
from outseam.draft.body.tape_check import sentence, suspects
from outseam.draft.inputs.errors import OutseamError
from outseam.draft.inputs.show import Units
from outseam.draft.inputs.text import capital, listing


def state(desk: Desk, shown: Units) -> dict[str, Any]:
    """Return the state of a spec: fields, drawing, figure, what is wrong, what can be undone."""
    found = desk.draft(shown)
    pattern = found.pattern if found.fault is None else desk.good
    back, forth = desk.steps()
    told = None if found.fault is None else {"field": found.fault.field, "says": found.fault.says}
    return {
        "version": desk.version,
        "title": desk.title,
        "units": shown,
        "fields": state_of(desk.whole(), found.pattern or desk.good, shown, desk.units_of),
        "fault": told,
        "needed": _needed(desk),
        "draft": None if pattern is None else live.drawn(desk, pattern, shown),
        "stale": pattern is not None and found.fault is not None,
        "figure": live.figure(found.spec, pattern),
        "ghost": live.ghost_of(desk),
        "doubts": _doubts(desk, shown),
        "undo": back,
        "redo": forth,
        "kept": len(desk.kept()),
        "altered": []
        if found.spec is None
        else [entry_words([a], shown) for a in found.spec.alter],
    }


def _needed(desk: Desk) -> str:
    """Return what has to be measured before anything is drawn, as a sentence; empty if nothing."""
    if desk.fault is not None:
        return ""
    names = [name_of("body", key) for key in missing(desk.data)]
    if not names:
        return ""
    some = "All four" if len(names) == len(NEEDED) else capital(listing(names, "and"))
    return (
        f"{some} {'is' if len(names) == 1 else 'are'} still to be measured; "
        "then the pattern is drawn here."
    )


def _doubts(desk: Desk, shown: Units) -> dict[str, str]:
    """Return what is doubtful about the tape, at the field where it is, even without a draft."""
    found = desk.draft(shown)
    if found.spec is None:
        return {}
    try:
        return {
            f"body.{s.key}": f"{capital(sentence(s, shown))}."
            for s in suspects(found.spec.body, shown)
        }
    except OutseamError:
        return {}


def afterwards(desk: Desk, shown: Units) -> dict[str, Any]:
    """Return what takes longer than a draft: what to measure next, and how much cloth it takes."""
    from outseam.cli.wording.fabric import fabric_says
    from outseam.cli.wording.report import measure_next

    answer = desk.answer(shown)
    if answer is None:
        return {"version": desk.version, "next": "", "next_field": "", "cloth": ""}
    effects = answer.effects
    key = effects[0].estimate.name if effects and effects[0].where else ""
    cloth = ""
    if not answer.drafted.errors:
        try:
            cloth = capital(fabric_says(answer.fabric, answer.spec.fabric, shown)) + "."
        except OutseamError as e:
            cloth = str(e)
    return {
        "version": desk.version,
        "next": measure_next(effects, shown) if effects else "Everything is measured.",
        "next_field": f"body.{key}" if key else "",
        "cloth": cloth.replace("; outseam lay finds the lay itself", ""),
    }
