"""What a person types into a field, as it is to stand in the file, and back again for the field.

The page shows one unit, centimetres or inches; the file may be written in another. A bare number
is in the unit that is shown. A fraction without a unit is inches, whatever is shown: nobody reads
eighths off a metric tape.
"""

from __future__ import annotations

import re
from typing import Any, Final

from outseam.cli.page.key_text import Raw
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import MM_PER_UNIT, Units, show_eighths
from outseam.draft.inputs.text import clean_text
from outseam.draft.inputs.value_kinds import ChoiceOrLength, Kind, Length, Number, Ratio

_NUMBER: Final = re.compile(r"([-+\u2212]?)\s*(\d+(?:[.,]\d+)?|[.,]\d+)")
_BARE_FRACTION: Final = re.compile(r"[-+\u2212]?[\d\s-]*\d\s*[/⁄]\s*\d+|[-+]?\d*\s*[¼½¾⅛⅜⅝⅞]")


def _number(text: str) -> float | None:
    """Return the plain number that a text is, with a point or a comma; None if it is none."""
    match = _NUMBER.fullmatch(text)
    if match is None or re.fullmatch(r"[1-9]\d{0,2},\d{3}", match[2]):
        return None
    return float(match[2].replace(",", ".")) * (-1 if match[1] in ("-", "\u2212") else 1)


def _tidy(number: float) -> int | float:
    return int(number) if number == int(number) else number


def value_of(
    kind: Kind, typed: str | bool | list[str], shown: Units, units: Units, where: str
) -> Raw | None:
    """Return what is to stand in the file; None for an empty field, which leaves the key out.

    `shown` is the unit of the page, `units` that of the file. Raises InputError, in the unit shown.
    """
    if isinstance(typed, bool | list):
        if typed != []:
            kind.read(typed, where, shown)
        return typed if isinstance(typed, bool) else (typed or None)
    text = clean_text(typed)
    if not text:
        return None
    if isinstance(kind, Length) or (isinstance(kind, ChoiceOrLength) and _has_figure(text)):
        return _length(kind, text, shown, units, where)
    if isinstance(kind, Ratio):
        return _ratio(kind, text, shown, where)
    if isinstance(kind, Number):
        number = _number(text)
        kind.read(text if number is None else number, where, shown)
        return None if number is None else _tidy(number)
    found = kind.read(text, where, shown)
    return found if isinstance(found, str) else text


def _has_figure(text: str) -> bool:
    return any(char.isnumeric() for char in text)


def _length(
    kind: Length | ChoiceOrLength, text: str, shown: Units, units: Units, where: str
) -> Raw:
    if _BARE_FRACTION.fullmatch(text):
        kind.read(f"{text} in", where, shown)
        return text if units == "in" else f"{text} in"
    number = _number(text)
    if number is None:
        kind.read(text, where, shown)
        return text
    kind.read(number, where, shown)
    return _tidy(number) if shown == units else f"{_tidy(number)} {shown}"


def _ratio(kind: Ratio, text: str, shown: Units, where: str) -> Raw:
    """A bare number is per cent: the sign stands beside the field."""
    number = _number(text.removesuffix("%").strip())
    written = text if number is None else f"{_tidy(number)} %"
    kind.read(written, where, shown)
    return written


def length_text(mm: float, shown: Units) -> str:
    """Return a length for a field, without its unit: `83.5`, `32 3/4`."""
    if shown == "in":
        return show_eighths(round(mm / float(MM_PER_UNIT["in"]) * 8))
    text = f"{mm / float(MM_PER_UNIT[shown]):.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def field_text(kind: Kind, raw: Any, shown: Units, units: Units) -> str:
    """Return what stands in a field for what stands in the file; as written where unreadable."""
    if raw is None:
        return ""
    try:
        value = kind.read(raw, "", units)
    except InputError:
        return str(raw)
    if isinstance(kind, Length | ChoiceOrLength) and isinstance(value, float):
        text = length_text(value, shown)
        return f"+{text}" if kind.low < 0.0 < value and text != "0" else text
    if isinstance(kind, Ratio) and isinstance(value, float):
        return f"{100.0 * value:.1f}".removesuffix(".0")
    if isinstance(kind, Number) and isinstance(value, float):
        return f"{value:g}"
    return str(value)


def length_value(mm: float, shown: Units, *, signed: bool = False) -> str:
    """Return a length from a handle as a person would type it: whole mm, or eighths of an inch.

    `signed` keeps a plus in front, for what lies above or below something.
    """
    text = length_text(mm, shown)
    text = f"+{text}" if signed and mm > 0 and text != "0" else text
    return f"{text} {shown}"
