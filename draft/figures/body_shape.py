"""The figure in plain words, read from what the solver had to move and from the girths.

A handbook draws for a figure of its own; where this body differs, some proportion of the draft
carries the difference. Each line says what, by how much, and what in the draft carries it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from outseam.draft.body.population import condition
from outseam.draft.model import Pattern

#: A proportion that moved by less than this, in sd, is not worth a word.
WORTH_SD = 0.75


@dataclass(frozen=True, slots=True, kw_only=True)
class Trait:
    """One thing about the figure: `says` in words, how much, and what in the draft carries it."""

    name: str
    says: str
    mm: float
    sd: float
    carried_by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rule:
    """How one proportion is put in words when it is larger or smaller than the handbook's."""

    proportion: str
    more: tuple[str, str]
    less: tuple[str, str]
    carried_by: str


_RULES: tuple[_Rule, ...] = (
    _Rule(
        proportion="back_raise",
        more=("fuller seat", "the seat takes more length than is usual"),
        less=("flatter seat", "the seat takes less length than is usual"),
        carried_by="height of the centre back",
    ),
    _Rule(
        proportion="back_fork",
        more=("deeper seat", "the body is deeper from front to back below the seat"),
        less=("shallower seat", "the body is shallower from front to back below the seat"),
        carried_by="length of the back fork",
    ),
    _Rule(
        proportion="front_raise",
        more=("full front", "the front takes more length than is usual"),
        less=("flat front", "the front takes less length than is usual"),
        carried_by="height of the centre front",
    ),
    _Rule(
        proportion="drop",
        more=("long crotch", "the crotch length is long for the rise"),
        less=("short crotch", "the crotch length is short for the rise"),
        carried_by="depth of the crotch line",
    ),
)


def _from_proportions(pattern: Pattern) -> Iterator[Trait]:
    """Yield what the solved proportions say."""
    s, hip = pattern.block.solution, pattern.block.hip_mm
    for rule in _RULES:
        sd = getattr(s.moved_sd, rule.proportion)
        if abs(sd) < WORTH_SD:
            continue
        moved = getattr(s.params, rule.proportion) - getattr(s.means, rule.proportion)
        name, says = rule.more if sd > 0 else rule.less
        mm = moved * hip if rule.proportion.endswith("fork") else moved
        yield Trait(name=name, says=says, mm=mm, sd=sd, carried_by=rule.carried_by)


def _tilt(pattern: Pattern) -> Iterator[Trait]:
    """Yield the waist's tilt when front and back moved against each other."""
    s = pattern.block.solution
    sd = (s.moved_sd.back_raise - s.moved_sd.front_raise) / math.sqrt(2.0)
    if abs(sd) < 1.5 * WORTH_SD:
        return
    front = s.params.front_raise - s.means.front_raise
    back = s.params.back_raise - s.means.back_raise
    name = "waist tilted forward" if sd > 0 else "waist tilted back"
    where = "lower in front" if sd > 0 else "lower at the back"
    yield Trait(
        name=name,
        says=f"the waist lies {where} than is usual",
        mm=(back - front) / 2.0,
        sd=sd,
        carried_by="centre front and centre back against each other",
    )


def _against_hip(pattern: Pattern) -> Iterator[Trait]:
    """Yield limbs that are full or slim for this height, waist and hip, where measured."""
    m = pattern.measures
    base = ("height", "waist", "hip", "inside_leg")
    found = condition(m.build, base, [getattr(m, b) for b in base])
    for name in ("thigh", "calf"):
        if name not in m.given:
            continue
        i = found.names.index(name)
        off = getattr(m, name) - float(found.mm[i])
        sd = off / float(found.sd_mm[i])
        if abs(sd) >= WORTH_SD:
            word = "full" if sd > 0 else "slim"
            yield Trait(
                name=f"{word} {name}",
                says=f"the {name} is {word} for this height, waist and hip",
                mm=off,
                sd=sd,
                carried_by="forks and inseam" if name == "thigh" else "width of the leg",
            )


def figure_traits(pattern: Pattern) -> tuple[Trait, ...]:
    """Return what sets this figure apart from the handbook's, most first."""
    sources: tuple[Callable[[Pattern], Iterator[Trait]], ...] = (
        _from_proportions,
        _tilt,
        _against_hip,
    )
    traits = [t for source in sources for t in source(pattern)]
    return tuple(sorted(traits, key=lambda t: (-abs(t.sd), t.name)))
