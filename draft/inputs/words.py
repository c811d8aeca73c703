"""Sentences whose lengths wait for the units of the file.

Who writes a sentence deep in the draft does not know the units it will be read in. The sentence is
a template with named places, and each place gets a quantity, plain text or another such sentence;
`in_units` puts it together. Text that a person typed is a value and never part of the template, so
its braces are safe.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from outseam.draft.inputs.show import Units, per_cent, show_given, show_length, show_limit

#: How a quantity is shown: a length, to the millimetre or eighth; how far things are off, which is
#: never shown as nothing; the least or the most that is
#: allowed, rounded so that the limit passes itself; a length that was asked for, told as exactly as
#: it was; what a machine's dial says, always in mm; a share in per cent; a whole number.
Shown: TypeAlias = Literal["length", "off", "least", "most", "given", "dial", "share", "count"]


#: The smallest length that is shown.
_SMALLEST: Final = {"cm": "0.1 cm", "mm": "0.1 mm", "in": '1/8"'}


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number in a sentence: mm, or a ratio or a count, by how it is shown."""

    value: float
    shown: Shown = "length"

    def in_units(self, units: Units) -> str:
        """Return it as it stands in the sentence."""
        match self.shown:
            case "length":
                return show_length(self.value, units)
            case "off":
                shown = show_length(self.value, units)
                none = shown == show_length(0.0, units)
                return f"less than {_SMALLEST[units]}" if none else shown
            case "least" | "most":
                return show_limit(self.value, units, low=self.shown == "least")
            case "given":
                return show_given(self.value, units)
            case "dial":
                return f"{self.value:g} mm"
            case "share":
                return per_cent(self.value)
            case "count":
                return f"{self.value:.0f}"


@dataclass(frozen=True, slots=True)
class Words:
    """A sentence, or a part of one, with named places in braces and what goes there."""

    template: str
    values: tuple[tuple[str, Quantity | ByUnits | Words | str], ...] = ()

    def in_units(self, units: Units) -> str:
        """Return the sentence with its lengths in these units."""
        return self.template.format_map({name: in_units(v, units) for name, v in self.values})

    def __str__(self) -> str:
        return self.in_units("cm")


@dataclass(frozen=True, slots=True)
class ByUnits:
    """A round figure of the trade, told as it is said in each system: 10 cm, or 4 inches."""

    metric: str
    inches: str

    def in_units(self, units: Units) -> str:
        """Return it as it stands in the sentence."""
        return self.inches if units == "in" else self.metric


#: A sentence with or without quantities in it.
Sentence: TypeAlias = str | Words


def words(template: str, /, **values: Quantity | ByUnits | Sentence) -> Words:
    """Return the sentence `template` with `values` in its places."""
    return Words(template, tuple(values.items()))


def in_units(said: Quantity | ByUnits | Sentence, units: Units) -> str:
    """Return what is said with its lengths in these units; plain text stays as it is."""
    return said if isinstance(said, str) else said.in_units(units)


def joined(between: str, parts: Iterable[Sentence]) -> Words:
    """Return parts of a sentence on end, with `between` them."""
    values = tuple((f"part{n}", part) for n, part in enumerate(parts))
    return Words(between.join(f"{{{name}}}" for name, _ in values), values)


def measure(mm: float) -> Quantity:
    """Return a length as a quantity."""
    return Quantity(float(mm))


def off(mm: float) -> Quantity:
    """Return how far things are off as a quantity: never shown as nothing."""
    return Quantity(abs(float(mm)), "off")


def least_allowed(mm: float) -> Quantity:
    """Return the least length that is allowed, rounded up when it is shown."""
    return Quantity(float(mm), "least")


def most_allowed(mm: float) -> Quantity:
    """Return the greatest length that is allowed, rounded down when it is shown."""
    return Quantity(float(mm), "most")
