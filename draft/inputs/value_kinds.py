"""The kinds of value a key of the spec file can hold, each with its limits and its sentences.

`Kind.key` attaches a kind to an attribute of a frozen dataclass; `inputs.tables` turns such a class
into a table. Every kind reads a raw value into a typed one, says what is
allowed in the user's units, and writes a value the way it would stand in the file.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import MISSING, dataclass, field
from typing import Any, Final

from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import (
    MM_PER_UNIT,
    UNITS,
    Units,
    show_eighths,
    show_length,
    show_limit,
    show_ratio,
)
from outseam.draft.inputs.text import clean_text, clip, closest, describe, listing
from outseam.draft.inputs.units import WrittenLength, ratio, written_length
from outseam.draft.inputs.usual import Usual

#: Under this name the field of a dataclass tells its kind.
KIND: Final = "kind"


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """What every kind of value has.

    `help` is for a person who sews; `example` fills the starter file; `also` holds other words for
    the key that people try; `default_says` tells what serves when the key is left out and no plain
    value does; `hint` is added when a value is out of its limits.
    """

    help: str
    example: object = None
    also: tuple[str, ...] = ()
    default_says: str = ""
    hint: str = ""

    @classmethod
    def key(
        cls, default: Any = MISSING, /, within: tuple[float, float] | None = None, **about: Any
    ) -> Any:
        """Return a key of a table that holds such a value, as the field of its dataclass.

        `default` serves where the key is left out, or the metric side of what is `usual`; without
        either the key is required. `within` are `low` and `high`.
        """
        if within is not None:
            about["low"], about["high"] = within
        usual = about.get("usual")
        default = usual.metric_mm if usual is not None else default
        return field(default=default, metadata={KIND: cls(**about)})

    def read(self, value: object, where: str, units: Units) -> object:
        """The typed value, or InputError naming `where` ("body.hip")."""
        raise NotImplementedError

    def says(self, units: Units) -> str:
        """What is allowed, in a few words."""
        raise NotImplementedError

    def write(self, value: object, units: Units) -> str:
        """`value` as it would be written in the file (TOML)."""
        raise NotImplementedError

    def shows(self, value: object, units: Units) -> str:
        """`value` for a sentence."""
        return self.write(value, units)


@dataclass(frozen=True, slots=True, kw_only=True)
class Length(Kind):
    """A length in mm between `low` and `high` (mm); below zero only where `low` is.

    `usual`: what serves where it is left out, in either system.
    """

    low: float
    high: float
    usual: Usual | None = None

    def read(self, value: object, where: str, units: Units) -> float:
        """Millimetres; a value out of limits is answered with the slip it looks like."""
        return _read_length(self, value, where, units)

    def says(self, units: Units) -> str:
        """The limits in the user's units."""
        return _length_limits(self.low, self.high, units)

    def write(self, value: object, units: Units) -> str:
        """`97.5`, or text with its own unit where a bare number would not be exact."""
        return _write_length(value, units)

    def shows(self, value: object, units: Units) -> str:
        """The length with its unit."""
        written = _write_length(value, units)
        return written[1:-1] if written.startswith('"') else f"{written} {units}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ratio(Kind):
    """A ratio between `low` and `high`, written as a percentage in quotes or a plain number."""

    low: float
    high: float

    def read(self, value: object, where: str, units: Units) -> float:
        """The plain ratio."""
        found = ratio(value, where)
        if not self.low <= found <= self.high:
            raise InputError(where, f"{clip(str(value))}", self.says(units), self.hint)
        return found

    def says(self, units: Units) -> str:
        """The limits in per cent."""
        return f"{show_ratio(self.low)} to {show_ratio(self.high)}"

    def write(self, value: object, units: Units) -> str:
        """`"50 %"`."""
        return f'"{self.shows(value, units)}"'

    def shows(self, value: object, units: Units) -> str:
        """`50 %`."""
        assert isinstance(value, int | float)
        return show_ratio(value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Number(Kind):
    """A bare number between `low` and `high`; `unit` is only said (g/m2)."""

    low: float
    high: float
    unit: str = ""

    def read(self, value: object, where: str, units: Units) -> float:
        """The number as a float."""
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise InputError(where, describe(value), f"a number, {self.says(units)}")
        # Written so that NaN fails it; a whole number too large for a float fails it as well.
        if not self.low <= value <= self.high:
            raise InputError(where, describe(value), self.says(units), self.hint)
        return float(value)

    def says(self, units: Units) -> str:
        """The limits, with the unit."""
        return f"{self.low:g} to {self.high:g} {self.unit}".rstrip()

    def write(self, value: object, units: Units) -> str:
        """The shortest form of the number."""
        return f"{value:g}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Text(Kind):
    """One line of text of at most `most` characters, freed of control characters."""

    most: int = 60

    def read(self, value: object, where: str, units: Units) -> str:
        """The cleaned text."""
        if not isinstance(value, str):
            raise InputError(where, describe(value), "a text in quotes")
        if len(value) > self.most:
            raise InputError(
                where,
                f'a text of {len(value)} characters, "{clip(value, 24)}"',
                self.says(units),
                "shorten it",
            )
        return clean_text(value)

    def says(self, units: Units) -> str:
        """The limit."""
        return f"a text of at most {self.most} characters"

    def write(self, value: object, units: Units) -> str:
        """The text in quotes."""
        return _quote(str(value))


@dataclass(frozen=True, slots=True, kw_only=True)
class Flag(Kind):
    """True or false."""

    def read(self, value: object, where: str, units: Units) -> bool:
        """The flag; only TOML's own true and false, since "no" in quotes would count as true."""
        if not isinstance(value, bool):
            raise InputError(where, describe(value), self.says(units), "write it without quotes")
        return value

    def says(self, units: Units) -> str:
        """Both words."""
        return "true or false"

    def write(self, value: object, units: Units) -> str:
        """The word."""
        return "true" if value else "false"


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice(Kind):
    """One of a few words; capitals, blanks and hyphens do not matter."""

    choices: Collection[str]

    def read(self, value: object, where: str, units: Units) -> str:
        """The word as it stands in `choices`."""
        return _read_choice(self.choices, value, where, self.says(units))

    def says(self, units: Units) -> str:
        """The words."""
        return _quoted_listing(self.choices)

    def write(self, value: object, units: Units) -> str:
        """The word in quotes."""
        return _quote(str(value))


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices(Kind):
    """A list of one or more of a few words, each once, in the order given."""

    choices: Collection[str]

    def read(self, value: object, where: str, units: Units) -> tuple[str, ...]:
        """The words as they stand in `choices`; a single word counts as a list of one."""
        read = (
            _read_choice(self.choices, item, where, self.says(units))
            for item in _items(value, where, self.says(units))
        )
        return tuple(dict.fromkeys(read))

    def says(self, units: Units) -> str:
        """The words."""
        return f"one or more of {_quoted_listing(self.choices)}"

    def write(self, value: object, units: Units) -> str:
        """The list."""
        assert isinstance(value, tuple)
        return "[" + ", ".join(_quote(item) for item in value) + "]"


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoiceOrLength(Kind):
    """One of a few words (str), or a length in mm (float) between `low` and `high`."""

    choices: tuple[str, ...]
    low: float
    high: float
    length_says: str = "a length"

    def read(self, value: object, where: str, units: Units) -> str | float:
        """The word, or millimetres. A text that holds a figure is taken for a length."""
        if not isinstance(value, str) or any(char.isnumeric() for char in value):
            return _read_length(self, value, where, units)
        return _read_choice(self.choices, value, where, self.says(units))

    def says(self, units: Units) -> str:
        """The words and the limits of the length."""
        limits = _length_limits(self.low, self.high, units)
        return f"{_quoted_listing(self.choices)}, or {self.length_says} of {limits}"

    def write(self, value: object, units: Units) -> str:
        """The word in quotes, or the length."""
        return _quote(value) if isinstance(value, str) else _write_length(value, units)


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoicesOrLengths(Kind):
    """A list of words (str) and lengths in mm (float), one or more, each once, as ordered.

    A bare number is a length in the file's units, as everywhere.
    """

    choices: tuple[str, ...]
    low: float
    high: float
    length_says: str = "a length"

    @property
    def _one(self) -> ChoiceOrLength:
        return ChoiceOrLength(
            help=self.help,
            hint=self.hint,
            choices=self.choices,
            low=self.low,
            high=self.high,
            length_says=self.length_says,
        )

    def read(self, value: object, where: str, units: Units) -> tuple[str | float, ...]:
        """Words and millimetres. A text is a length if it begins with a figure."""
        says, found = self.says(units), list[str | float]()
        for item in _items(value, where, says):
            if isinstance(item, str) and item.strip()[:1].isalpha():
                found.append(_read_choice(self.choices, item, where, says))
            else:
                found.append(_read_length(self._one, item, where, units))
        return tuple(dict.fromkeys(found))

    def says(self, units: Units) -> str:
        """The words and the limits of the lengths."""
        words = ", ".join(_quote(choice) for choice in self.choices)
        limits = _length_limits(self.low, self.high, units)
        return f"one or more of {words}, or {self.length_says} ({limits})"

    def write(self, value: object, units: Units) -> str:
        """The list."""
        assert isinstance(value, tuple)
        return "[" + ", ".join(self._one.write(item, units) for item in value) + "]"


def _items(value: object, where: str, says: str) -> list[object]:
    """The items of a list, a single value being a list of one. Raises InputError for none."""
    items = list(value) if isinstance(value, list | tuple) else [value]
    if not items:
        raise InputError(where, "an empty list", says, "or leave the key out")
    return items


#: Far below what a tape can tell and far above the rounding of a computed length.
_SAME_MM: Final = 1e-6


def _quote(text: str) -> str:
    escaped = clean_text(text).replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


def _quoted_listing(choices: Collection[str]) -> str:
    return listing(f'"{choice}"' for choice in choices)


def _folded(word: str) -> str:
    return re.sub(r"[\W_]+", "", word.casefold())


def _read_choice(choices: Collection[str], value: object, where: str, allowed: str) -> str:
    if not isinstance(value, str):
        raise InputError(where, describe(value), allowed)
    folded = {_folded(choice): choice for choice in choices}
    found = folded.get(_folded(value)) if len(value) <= 40 else None
    if found is None:
        near = closest(value, choices)
        raise InputError(where, describe(value), allowed, f'did you mean "{near}"?' if near else "")
    return found


def _write_length(value: object, units: Units) -> str:
    """A length as text that reads back to the same millimetres: the shortest exact form.

    Whole millimetres are written in metric units, whole eighths in inches, the file's own first.
    """
    assert isinstance(value, int | float)
    eighths = round(value / 25.4 * 8)
    inches = show_eighths(eighths) if abs(eighths * 25.4 / 8 - value) < _SAME_MM else None
    metric = abs(round(value) - value) < _SAME_MM
    if units == "in" and inches:
        return inches if eighths % 8 == 0 else f'"{inches} in"'
    if units != "in" and metric:
        return f"{round(value) / float(MM_PER_UNIT[units]):g}"
    return f'"{inches} in"' if inches else f'"{round(value, 3):g} mm"'


def _length_limits(low: float, high: float, units: Units) -> str:
    return f"{show_limit(low, units, low=True)} to {show_limit(high, units, low=False)}"


def _read_length(kind: Length | ChoiceOrLength, value: object, where: str, units: Units) -> float:
    written = written_length(value, units, where, negative=kind.low < 0)
    if kind.low <= written.mm <= kind.high:
        return written.mm
    slip, told = _slip(written, kind.low, kind.high, units)
    hint = ". ".join(filter(None, (told, kind.hint))) or "measure again, or check what was typed"
    raise InputError(where, written.says(value), kind.says(units), hint, slip=slip)


_NAMES: Final = {
    "in": "inches",
    "cm": "centimetres",
    "mm": "millimetres",
    "m": "metres",
    "ft": "feet",
}


#: Only a person's height is likely to be written in feet.
_LEAST_IN_FEET_MM: Final = 1000.0


def _slip(written: WrittenLength, low: float, high: float, units: Units) -> tuple[str, str]:
    """What the writer probably meant by a length out of limits: the slip, and a hint.

    Both are "" if nothing fits.
    """
    number = written.number
    if not number:
        return "", ""
    for unit, name in _NAMES.items():
        if unit == "ft" and low < _LEAST_IN_FEET_MM:
            continue
        if unit != written.unit and low <= number * float(MM_PER_UNIT[unit]) <= high:
            whole_file = f', or units = "{unit}" at the top if all are' if unit in UNITS else ""
            return name, (
                f'{number:g} would be right in {name}: write "{number:g} {unit}" '
                f"({show_length(number * float(MM_PER_UNIT[unit]), units)})"
                f"{whole_file if written.bare else ''}"
            )
    for slipped in (number * 10, number / 10):
        if low <= slipped * float(MM_PER_UNIT.get(written.unit, 0)) <= high:
            return "point", f"a slipped decimal point? {slipped:g} {written.unit} would be right"
    return "", ""
