"""One call for a lay: from drafted patterns to a checked plan, the kept one if it still serves."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from outseam.draft.inputs.errors import InputError, raised_in
from outseam.draft.inputs.show import TAPE_STEPS_MM, Units, show_length
from outseam.draft.lay.model.cloth import Cloth, cloth_of
from outseam.draft.lay.model.parts import parts_of
from outseam.draft.lay.model.result import Lay
from outseam.draft.lay.model.turning import alike_rules, border_turns, shortest_of
from outseam.draft.lay.nest.search import search
from outseam.draft.lay.ways.border import search_border
from outseam.draft.lay.ways.narrow_fold import search_narrow
from outseam.draft.lay.ways.rules import Rules, rules_of
from outseam.draft.lay.ways.saved import Stale, kept_data
from outseam.draft.lay.ways.stripes import search_stripes
from outseam.draft.lay.ways.told import on_tape
from outseam.draft.model import Pattern

#: Another way to fold is told where it saves so much.
_SHORTER_MM: Final = 10.0

#: Time for a lay that a person waits for.
SECONDS = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A checked lay, what to keep of it, and what became of the one kept before.

    `fresh` says that it was searched for just now; `remark` is a sentence, or empty.
    """

    lay: Lay
    keep: dict[str, Any]
    fresh: bool
    remark: str = ""


def require_same_fabric(patterns: Sequence[Pattern]) -> None:
    """Raise InputError, naming the key, unless all patterns are drafted for one fabric."""
    first = patterns[0].spec.fabric
    for pattern in patterns[1:]:
        other = pattern.spec.fabric
        for key in type(first).__slots__:
            if key != "name" and getattr(first, key) != getattr(other, key):
                raise InputError(
                    f"fabric.{key}",
                    "not the same in the specs that are to share one fabric",
                    "one and the same [fabric] in all of them",
                    "copy the lines from one spec to the others",
                )


def plan_lay(patterns: Sequence[Pattern], *, seconds: float = SECONDS) -> Lay:
    """Return a checked lay of all patterns on the fabric of their specs, searched anew.

    Below one second only the deterministic lays are tried. Raises InputError where the specs do
    not share a fabric or a piece does not fit across it.
    """
    return plan(patterns, seconds=seconds).lay


def single_layer_mm(patterns: Sequence[Pattern]) -> float:
    """Return the length that the same pieces take in a single layer, found at once."""
    flat = [
        replace(p, spec=replace(p.spec, fabric=replace(p.spec.fabric, fold="single")))
        for p in patterns
    ]
    return plan_lay(flat, seconds=0.0).length_mm


def _plain_fold(patterns: Sequence[Pattern], narrow: Lay) -> str:
    """Return a sentence where the same pieces lie shorter folded selvedge to selvedge, or ""."""
    flat = [
        replace(p, spec=replace(p.spec, fabric=replace(p.spec.fabric, fold="folded")))
        for p in patterns
    ]
    try:
        plain = plan_lay(flat, seconds=0.0).length_mm
    except InputError:
        return ""
    if plain > narrow.length_mm - _SHORTER_MM:
        return ""
    units = patterns[0].spec.units
    return (
        "Folded selvedge to selvedge the same pieces take about "
        f"{show_length(plain, units)}, {show_length(narrow.length_mm - plain, units)} less: put "
        'fold = "folded" into the file.'
    )


def plan(
    patterns: Sequence[Pattern],
    *,
    kept: object = None,
    again: bool = False,
    seconds: float = SECONDS,
) -> Plan:
    """Return the lay kept before if it still serves, else a new one. Raises as `plan_lay`.

    `kept` is what `Plan.keep` was, read back from a file (None: nothing was kept). `again` asks
    for a new search; the kept lay stays if the new one is not shorter.
    """
    with raised_in(patterns[0].spec.units):
        found = _plan(patterns, kept, again=again, seconds=seconds)
    order = tuple(tuple(p.name for p in pattern.pieces) for pattern in patterns)
    return replace(found, lay=replace(found.lay, order=order))


def _told(search: Callable[[Cloth], Lay], cloth: Cloth, rules: Rules, units: Units) -> Lay:
    """Return the lay found, its places on the lines of a tape.

    Where that finds no room, what is held by a print or lies wedged across the fabric, it is laid
    roomier.
    """
    found = None
    for room_mm in (0.0, *reversed(TAPE_STEPS_MM[units])):
        lay = replace(search(replace(cloth, gap_mm=cloth.gap_mm + room_mm)), cloth=cloth)
        found = found or lay
        lay = on_tape(lay, rules, units)
        if lay.tape_mm is not None:
            return lay
    assert found is not None, "the first is always there"
    return found


def _searched_on_print(patterns: Sequence[Pattern], cloth: Cloth) -> Lay:
    if cloth.border is None:
        return search_stripes(patterns, cloth)
    alike = alike_rules(patterns, border_turns)
    return shortest_of(alike, lambda rule: search_border(patterns, cloth, rule))


def _plan(patterns: Sequence[Pattern], kept: object, *, again: bool, seconds: float) -> Plan:
    require_same_fabric(patterns)
    cloth = cloth_of(patterns[0].spec.fabric, patterns[0].spec.units)
    rules = rules_of(patterns, cloth)

    def done(lay: Lay, *, fresh: bool, remark: str = "") -> Plan:
        keep = kept_data(lay, rules.items, patterns)
        return Plan(lay=lay, keep=keep, fresh=fresh, remark=remark)

    remark, before = "", None
    if kept is not None:
        old = rules.kept(kept)
        if isinstance(old, Stale):
            remark = f"The lay kept before no longer serves: {old.says}. A new one was made."
        else:
            before = old
    if before is not None and not again:
        return done(before, fresh=False)
    units = patterns[0].spec.units
    alike = alike_rules(patterns)

    def searched(cloth: Cloth) -> Lay:
        if cloth.border is not None or cloth.striped:
            return _searched_on_print(patterns, cloth)
        time = seconds / len(alike)
        if cloth.narrow:
            return shortest_of(
                alike, lambda rule: search_narrow(patterns, cloth, rule, seconds=time)
            )
        return shortest_of(
            alike,
            lambda rule: search(
                patterns, cloth, parts_of(patterns, cloth, rule), rule, seconds=time
            ),
        )

    lay = _told(searched, cloth, rules, units)
    if lay.fold_mm is not None:
        remark = " ".join(x for x in (remark, _plain_fold(patterns, lay)) if x)
    lay = replace(lay, findings=rules.check(lay))
    if before is not None and before.length_mm <= lay.length_mm:
        return done(before, fresh=False, remark="No shorter lay was found; the kept one stays.")
    return done(lay, fresh=True, remark=remark)
