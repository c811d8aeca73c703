"""A step of the sewing order.

Sentences are templates: every number stands in braces and is given as a figure, so that none can
be typed into a sentence and go stale.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from outseam.draft.inputs.show import Units
from outseam.draft.inputs.words import Quantity, Words

#: A place on a pattern that somebody has to see to: (part, edge).
PartEdge: TypeAlias = tuple[str, str]


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
    notches matched, as (edge, role): each of a pattern belongs to one step.
    """

    key: str
    title: str
    text: tuple[str, ...]
    figures: tuple[Figure, ...] = ()
    drawing: str
    caution: str = ""
    seams: tuple[str, ...] = ()
    edges: tuple[PartEdge, ...] = ()
    notches: tuple[PartEdge, ...] = ()

    def _filled(self, template: str, units: Units) -> str:
        return Words(template, tuple((f.name, f.said) for f in self.figures)).in_units(units)

    def sentences(self, units: Units) -> tuple[str, ...]:
        """Return the text with its figures in."""
        return tuple(self._filled(t, units) for t in self.text)

    def warned(self, units: Units) -> str:
        """Return the caution with its figures in, "" without one."""
        return self._filled(self.caution, units)
