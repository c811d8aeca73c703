"""The length in hand is too short: what would make it enough, each really drafted and laid."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from outseam.draft.figures.finished import finished
from outseam.draft.inputs.errors import OutseamError
from outseam.draft.inputs.show import show_length
from outseam.draft.lay.model.result import Lay
from outseam.draft.lay.model.turning import turns_of
from outseam.draft.lay.ways.plan import plan_lay
from outseam.draft.lengths import LENGTHS
from outseam.draft.model import Pattern
from outseam.draft.pattern import draft_pattern
from outseam.draft.spec.spec import Spec

#: Time for each lay that is only tried, s; the deterministic one is tried first.
TRY_SECONDS = 1.0
#: The leg is shortened by a whole number of these, mm: by so many at first, then by halving.
_LEG_STEP_MM = 10.0
_LEG_STEPS = (4, 8, 16, 32)
#: The hem is narrowed to these shares, and never below the foot (the draft's check says so).
_HEM_SHARES = (0.9, 0.8, 0.7, 0.6)


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy:
    """A change that was drafted and laid: what, the length it needs, whether that is in hand."""

    says: str
    length_mm: float
    fits: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Trying:
    """Told before a change is drafted and laid, which takes a moment: what it is."""

    says: str


def remedies(
    patterns: Sequence[Pattern], lay: Lay, have_mm: float, seconds: float = TRY_SECONDS
) -> tuple[Remedy, ...]:
    """Return what would make `have_mm` of fabric enough, most welcome first; those that do, first.

    A change that helps but not enough is kept too, so that a person may combine two.
    """
    found = looked_for(patterns, lay, have_mm, seconds)
    return tuple(sorted((r for r in found if isinstance(r, Remedy)), key=lambda r: not r.fits))


def looked_for(
    patterns: Sequence[Pattern], lay: Lay, have_mm: float, seconds: float = TRY_SECONDS
) -> Iterator[RemedyProgress]:
    """Yield what `remedies` returns as it is found, and what is tried before each trial.

    Who takes no more from it stops the search.
    """
    task = _Task(patterns=tuple(patterns), have_mm=have_mm, seconds=seconds)
    for way in (_single, _narrow_fold, _turned, _named, _shorter, _narrower):
        for r in way(task):
            if isinstance(r, Trying) or r.length_mm < lay.length_mm - 1.0:
                yield r


RemedyProgress: TypeAlias = Remedy | Trying


@dataclass(frozen=True, slots=True, kw_only=True)
class _Task:
    patterns: tuple[Pattern, ...]
    have_mm: float
    seconds: float

    def tried(self, change: Callable[[Spec], Spec]) -> float | None:
        """Return the length needed if every spec is changed so; None if it cannot be drafted.

        A pattern that gets a new warning is no remedy.
        """
        try:
            patterns = [draft_pattern(change(p.spec)) for p in self.patterns]
            for new, old in zip(patterns, self.patterns, strict=True):
                if new.errors or len(new.warnings) > len(old.warnings):
                    return None
            plain = plan_lay(patterns, seconds=0.0)
            if plain.length_mm <= self.have_mm or plain.bound_mm > self.have_mm:
                return plain.length_mm
            return min(plain.length_mm, plan_lay(patterns, seconds=self.seconds).length_mm)
        except OutseamError:
            return None

    def remedy(self, says: str, change: Callable[[Spec], Spec]) -> Iterator[RemedyProgress]:
        """Yield the change as a remedy, if it can be drafted."""
        yield Trying(says=says)
        length = self.tried(change)
        if length is not None:
            yield Remedy(says=says, length_mm=length, fits=length <= self.have_mm)


def _single(task: _Task) -> Iterator[RemedyProgress]:
    if task.patterns[0].spec.fabric.fold != "single":
        yield from task.remedy(
            'lay it in a single layer (fabric.fold = "single")',
            lambda s: replace(s, fabric=replace(s.fabric, fold="single")),
        )


def _narrow_fold(task: _Task) -> Iterator[RemedyProgress]:
    """One selvedge turned in instead of both meeting, where the fabric may lie double at all."""
    fabric = task.patterns[0].spec.fabric
    if fabric.fold == "folded" and not fabric.slippery:
        yield from task.remedy(
            'lay it on a narrow fold (fabric.fold = "narrow")',
            lambda s: replace(s, fabric=replace(s.fabric, fold="narrow")),
        )


def _turned(task: _Task) -> Iterator[RemedyProgress]:
    """Pieces turned a quarter, if only the file does not say how far the fabric stretches along."""
    fabric = task.patterns[0].spec.fabric
    if fabric.one_way or fabric.kind == "woven" or fabric.stretch_along is not None:
        return
    if any(90 in turns_of(p, p.piece("front")) for p in task.patterns):
        return
    yield from task.remedy(
        "turn pieces a quarter, if the fabric stretches as far along as across: test it and give "
        "fabric.stretch_along",
        lambda s: replace(s, fabric=replace(s.fabric, stretch_along=s.fabric.stretch_across_ratio)),
    )


def _inseam_mm(pattern: Pattern) -> float:
    return finished(pattern)["inseam"]


def _named(task: _Task) -> Iterator[RemedyProgress]:
    """The named lengths shorter than the present one, down to the first that is enough."""
    for length in LENGTHS:
        name = length.name

        def change(s: Spec, name: str = name) -> Spec:
            return replace(s, style=replace(s.style, length=name, inseam=None))

        try:
            shorter = all(
                _inseam_mm(draft_pattern(change(p.spec))) < _inseam_mm(p) - 1.0
                for p in task.patterns
            )
        except OutseamError:
            continue
        if not shorter:
            continue
        for found in task.remedy(f'make them shorter: style.length = "{name}"', change):
            yield found
            if isinstance(found, Remedy) and found.fits:
                return


def _shorter(task: _Task) -> Iterator[RemedyProgress]:
    """The least shortening of the leg that is enough, to a centimetre."""
    units = task.patterns[0].spec.units
    now = {id(p.spec): _inseam_mm(p) for p in task.patterns}

    def inseam(spec: Spec, steps: int) -> float:
        """The new inseam, as it can be written: whole millimetres, or eighths of an inch."""
        grid = 25.4 / 8.0 if units == "in" else 1.0
        return math.floor((now[id(spec)] - steps * _LEG_STEP_MM) / grid) * grid

    def change(steps: int) -> Callable[[Spec], Spec]:
        return lambda s: replace(s, style=replace(s.style, inseam=inseam(s, steps)))

    trying = Trying(says="make the leg shorter")
    low, best = 0, None
    for steps in _LEG_STEPS:
        yield trying
        length = task.tried(change(steps))
        if length is not None and length <= task.have_mm:
            best = steps, length
            break
        low = steps
    if best is None:
        return
    while best[0] - low > 1:
        middle = (low + best[0]) // 2
        yield trying
        length = task.tried(change(middle))
        if length is not None and length <= task.have_mm:
            best = middle, length
        else:
            low = middle
    steps, length = best
    inseams = " and ".join(show_length(inseam(p.spec, steps), units) for p in task.patterns)
    yield Remedy(
        says=f"make the leg {show_length(steps * _LEG_STEP_MM, units)} shorter: "
        f"style.inseam {inseams}",
        length_mm=length,
        fits=True,
    )


def _narrower(task: _Task) -> Iterator[RemedyProgress]:
    """A narrower hem, down to the first that is enough."""
    units = task.patterns[0].spec.units
    hems = {id(p.spec): finished(p)["hem"] for p in task.patterns}
    for share in _HEM_SHARES:

        def change(s: Spec, share: float = share) -> Spec:
            return replace(s, style=replace(s.style, hem_width=share * hems[id(s)]))

        says = " and ".join(show_length(share * h, units) for h in hems.values())
        for found in task.remedy(f"narrow the hem: style.hem_width {says}", change):
            yield found
            if isinstance(found, Remedy) and found.fits:
                return
