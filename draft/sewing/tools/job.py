"""The pattern as the makers of steps ask for it: parts, seams, edges and notches by their names."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TypeAlias

from outseam.draft.checks.seams import measured_mm
from outseam.draft.fabric import Fabric
from outseam.draft.inputs.show import Units
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece, Seam
from outseam.draft.step import Figure, PartEdge, Step, given, mm
from outseam.draft.style import Style

#: Left and right lengths that differ by less are told as one.
_SAME_MM = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """What is to be sewn: the pattern, and short names for what the steps ask of it.

    `fold_mm` is how deep its lay turns a narrow fold in, None where no such lay is known.
    """

    pattern: Pattern
    fold_mm: float | None = None

    @property
    def style(self) -> Style:
        """The style asked for."""
        return self.pattern.spec.style

    @property
    def fabric(self) -> Fabric:
        """The fabric in hand."""
        return self.pattern.spec.fabric

    @property
    def units(self) -> Units:
        """The units of the file."""
        return self.pattern.spec.units

    @property
    def knit(self) -> bool:
        """Whether it is sewn as a knit."""
        return self.fabric.kind == "knit"

    def has_machine(self, name: str) -> bool:
        """Return whether there is such a machine beside the sewing machine."""
        return name in self.pattern.spec.machines

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

    def seams(self, takes: Callable[[PartEdge, PartEdge], bool]) -> tuple[Seam, ...]:
        """Return the seams whose sides, as (part, edge), are those asked for."""
        return tuple(
            s
            for s in self.pattern.seams
            if takes((self.part_of(s.a.piece), s.a.edge), (self.part_of(s.b.piece), s.b.edge))
        )

    def unsewn(self, *names: str) -> tuple[PartEdge, ...]:
        """Return the edges of these names that no seam of the pattern speaks of."""
        found = [(p.part, e.name) for p, e in self.pattern.unsewn_edges() if e.name in names]
        return tuple(dict.fromkeys(found))

    def notches(self, *places: PartEdge) -> tuple[PartEdge, ...]:
        """Return those of the notches, as (edge, role), that the pattern has."""
        there = {(n.edge, n.role) for p in self.pattern.pieces for n in p.notches}
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


def outseam_foot(job: Job, closed: str) -> str:
    """Return where the outseam ends below: `closed`, or where it opens at the ankle."""
    opens = job.notches(("outseam", "ankle opening"))
    return "the notch “ankle opening”" if opens else closed


#: What makes the steps of one kind; none where these pants do not have it.
Maker: TypeAlias = Callable[[Job], tuple[Step, ...]]
