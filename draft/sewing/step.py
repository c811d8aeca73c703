"""What a step of the sewing order is, and what the steps look at.

Sentences are templates: every number stands in braces and is given as a figure, so that none can
be typed into a sentence and go stale.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TypeAlias

from outseam.draft.buying.notions import unsewn_edges
from outseam.draft.checks.seams import measured_mm
from outseam.draft.fabric import Fabric
from outseam.draft.inputs.show import Units
from outseam.draft.inputs.words import Quantity, Words
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece, Seam
from outseam.draft.style import Style

#: Left and right lengths that differ by less are told as one.
_SAME_MM = 0.5

#: A place on a pattern that somebody has to see to: (part, edge).
Place: TypeAlias = tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One figure of a step: its name in the sentences, and its value or words."""

    name: str
    said: Quantity | str

    @property
    def value(self) -> float | str:
        """The number, lengths in mm, or the words."""
        return self.said if isinstance(self.said, str) else self.said.value


def mm(name: str, value_mm: float) -> Figure:
    """Return a length that was reckoned."""
    return Figure(name=name, said=Quantity(value_mm))


def given(name: str, value_mm: float) -> Figure:
    """Return a length that was asked for, or is a rule of the trade."""
    return Figure(name=name, said=Quantity(value_mm, "given"))


def dial(name: str, value_mm: float) -> Figure:
    """Return a setting of the machine."""
    return Figure(name=name, said=Quantity(value_mm, "dial"))


def share(name: str, ratio: float) -> Figure:
    """Return a share, shown in per cent."""
    return Figure(name=name, said=Quantity(ratio, "share"))


def phrase(name: str, said: str) -> Figure:
    """Return words that come from the pattern."""
    return Figure(name=name, said=said)


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step. `text` and `caution` are templates of whole sentences, filled from `figures`.

    `drawing` is the name of its picture. `seams` are the names of the pattern's seams that are
    sewn here, `edges` the edges without a seam in the pattern that are seen to, `notches` the
    notches matched, as (edge, what it says): each of a pattern belongs to one step.
    """

    key: str
    title: str
    text: tuple[str, ...]
    figures: tuple[Figure, ...] = ()
    drawing: str
    caution: str = ""
    seams: tuple[str, ...] = ()
    edges: tuple[Place, ...] = ()
    notches: tuple[Place, ...] = ()

    def _filled(self, template: str, units: Units) -> str:
        return Words(template, tuple((f.name, f.said) for f in self.figures)).in_units(units)

    def sentences(self, units: Units) -> tuple[str, ...]:
        """Return the text with its figures in."""
        return tuple(self._filled(t, units) for t in self.text)

    def warned(self, units: Units) -> str:
        """Return the caution with its figures in, "" without one."""
        return self._filled(self.caution, units)


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """What is to be sewn: the pattern, and short names for what the steps ask of it."""

    pattern: Pattern

    @property
    def style(self) -> Style:
        """The style asked for."""
        return self.pattern.spec.style

    @property
    def fabric(self) -> Fabric:
        """The fabric in hand."""
        return self.pattern.spec.fabric

    @property
    def knit(self) -> bool:
        """Whether it is sewn as a knit."""
        return self.fabric.kind == "knit"

    @property
    def seam(self) -> Figure:
        """The seam allowance, under the name `seam`."""
        return given("seam", self.style.seam_allowance)

    @property
    def sided(self) -> bool:
        """Whether left and right pieces differ."""
        return any(p.side for p in self.pattern.pieces)

    def has(self, part: str) -> bool:
        """Return whether the pattern has such a part."""
        return any(p.part == part for p in self.pattern.pieces)

    def parts(self, part: str) -> tuple[Piece, ...]:
        """Return the pieces of a part: one, or a left and a right one."""
        return tuple(p for p in self.pattern.pieces if p.part == part)

    def part_of(self, name: str) -> str:
        """Return the part that a piece is."""
        return self.pattern.piece(name).part

    def seams(self, takes: Callable[[Place, Place], bool]) -> tuple[Seam, ...]:
        """Return the seams whose sides, as (part, edge), are those asked for."""
        return tuple(
            s
            for s in self.pattern.seams
            if takes((self.part_of(s.a.piece), s.a.edge), (self.part_of(s.b.piece), s.b.edge))
        )

    def unsewn(self, *names: str) -> tuple[Place, ...]:
        """Return the edges of these names that no seam of the pattern speaks of."""
        found = [(p.part, e.name) for p, e in unsewn_edges(self.pattern) if e.name in names]
        return tuple(dict.fromkeys(found))

    def notches(self, *places: Place) -> tuple[Place, ...]:
        """Return those of the notches, as (edge, what it says), that the pattern has."""
        there = {(n.edge, n.says) for p in self.pattern.pieces for n in p.notches}
        return tuple(place for place in places if place in there)


def names(seams: Iterable[Seam]) -> tuple[str, ...]:
    """Return the names of seams."""
    return tuple(s.name for s in seams)


def long_by_side(job: Job, seams: Iterable[Seam]) -> dict[str, float]:
    """Return how long these seams are on end for one leg, mm; by side where the sides differ."""
    found: dict[str, float] = {}
    for seam in seams:
        side = job.pattern.piece(seam.b.piece).side
        found[side] = found.get(side, 0.0) + measured_mm(job.pattern, seam.b)
    return found


def long_figures(name: str, by_side: dict[str, float]) -> tuple[str, tuple[Figure, ...]]:
    """Return how long a seam is, as words with figures in: for both legs, or for each."""
    values = tuple(by_side.values())
    if max(values) - min(values) < _SAME_MM:
        return "{" + name + "} long", (mm(name, values[0]),)
    said = " and ".join(f"{{{name}_{side}}} long on the {side}" for side in by_side)
    return said, tuple(mm(f"{name}_{side}", value) for side, value in by_side.items())


#: What makes the steps of one kind; none where these pants do not have it.
Maker: TypeAlias = Callable[[Job], tuple[Step, ...]]
