"""One call for a lay: from drafted patterns to a checked plan, the kept one if it still serves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from outseam.draft.inputs.errors import InputError, raised_in
from outseam.draft.lay.check.verify import check_lay
from outseam.draft.lay.model.cloth import Cloth, cloth_of
from outseam.draft.lay.model.orientations import items_of
from outseam.draft.lay.model.parts import TurnRule, eithers_of, narrow_parts, parts_of
from outseam.draft.lay.model.result import Lay
from outseam.draft.lay.model.turning import turns_of
from outseam.draft.lay.nest.search import search
from outseam.draft.lay.ways.border import border_turns, search_border
from outseam.draft.lay.ways.border_report import check_border
from outseam.draft.lay.ways.narrow_fold import search_narrow
from outseam.draft.lay.ways.saved import Stale, kept_data, restored
from outseam.draft.lay.ways.stripes import check_stripes, search_stripes, stripe_turns
from outseam.draft.model import Pattern

#: Time for a lay that a person waits for.
SECONDS = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A checked lay, what to keep of it, and what became of the one kept before.

    `fresh` says that it was searched for just now; `remark` is a sentence, or empty. Lays on
    stripes are the same every time, so nothing of them is kept.
    """

    lay: Lay
    keep: dict[str, Any] | None
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


def turn_rule(cloth: Cloth) -> TurnRule:
    """Return how pieces may be turned on a cloth whose lays are kept."""
    return turns_of if cloth.border is None else border_turns


def looked_over(lay: Lay, patterns: Sequence[Pattern]) -> Lay:
    """Return a lay with what its checks found, on a cloth whose lays are kept."""
    findings = check_lay(lay, patterns, turn_rule(lay.cloth))
    if lay.cloth.border is not None:
        findings = (*findings, *check_border(lay, patterns))
    return replace(lay, findings=findings)


def _striped_lay(patterns: Sequence[Pattern], cloth: Cloth) -> Lay:
    """Return the checked lay on stripes or checks."""
    lay = search_stripes(patterns, cloth)
    checked = (*check_lay(lay, patterns, stripe_turns), *check_stripes(lay, patterns))
    return replace(lay, findings=checked)


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
        return _plan(patterns, kept, again=again, seconds=seconds)


def _plan(patterns: Sequence[Pattern], kept: object, *, again: bool, seconds: float) -> Plan:
    require_same_fabric(patterns)
    cloth = cloth_of(patterns[0].spec.fabric)
    if cloth.striped:
        return Plan(lay=_striped_lay(patterns, cloth), keep=None, fresh=True)
    turns = turn_rule(cloth)
    if cloth.narrow:
        parts = narrow_parts(eithers_of(patterns, turns), frozenset())
    else:
        parts = parts_of(patterns, cloth, turns)
    fabrics = [p.spec.fabric for p in patterns]

    def done(lay: Lay, *, fresh: bool, remark: str = "") -> Plan:
        keep = kept_data(lay, items_of(parts, fabrics, cloth), patterns)
        return Plan(lay=lay, keep=keep, fresh=fresh, remark=remark)

    remark, before = "", None
    if kept is not None:
        old = restored(kept, patterns, cloth, parts, turns)
        if isinstance(old, Lay):
            old = looked_over(old, patterns)
            if not old.errors:
                before = old
            else:
                old = Stale(says=f"it does not pass its checks ({old.errors[0].check})")
        if isinstance(old, Stale):
            remark = f"The lay kept before no longer serves: {old.says}. A new one was made."
    if before is not None and not again:
        return done(before, fresh=False)
    if cloth.border is not None:
        lay = search_border(patterns, cloth)
    elif cloth.narrow:
        lay = search_narrow(patterns, cloth, turns, seconds=seconds)
    else:
        lay = search(patterns, cloth, parts, turns, seconds=seconds)
    lay = looked_over(lay, patterns)
    if before is not None and before.length_mm <= lay.length_mm:
        return done(before, fresh=False, remark="No shorter lay was found; the kept one stays.")
    return done(lay, fresh=True, remark=remark)
