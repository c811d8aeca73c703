"""The door for numbers: what a person writes becomes millimetres or a plain ratio, once, here.

Lengths may be bare numbers in the units of the file or text with a unit of its own, the way
people who sew write them: `38 1/2 in`, `38-1/2"`, `97,5 cm`, `5 ft 6 in`. Fractions are kept exact
until the last step and 25.4 is exact. The spellings in everyday use are looked up in a table here
(start-up must stay quick); every other unit is left to pint, which is loaded only then.
"""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Final

from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import MM_PER_UNIT, SCALE, Units
from outseam.draft.inputs.text import clip, closest, describe

#: Everyday spellings, compared without regard to capitals ("CM" is not a megametre here).
SPELLINGS: Final[dict[str, str]] = {
    **{unit: unit for unit in MM_PER_UNIT},
    **dict.fromkeys(("millimetre", "millimetres", "millimeter", "millimeters"), "mm"),
    **dict.fromkeys(("cms", "centimetre", "centimetres", "centimeter", "centimeters"), "cm"),
    **dict.fromkeys(("metre", "metres", "meter", "meters"), "m"),
    **dict.fromkeys(('"', "inch", "inches", "ins"), "in"),
    **dict.fromkeys(("'", "foot", "feet"), "ft"),
    **dict.fromkeys(("yard", "yards", "yds"), "yd"),
}

#: Longer than any length a person writes; keeps the patterns below and int() away from nonsense.
_LONGEST_TEXT: Final = 40

#: A bare ratio above this is taken for a percentage that lost its sign: no stretch, shrinkage or
#: elastic of this trade is commonly written as a bare number like 1.6, and 50 is never one.
_LARGEST_BARE_RATIO: Final = 1.5

_HOW_TO_WRITE: Final = 'a number, or text such as "97.5 cm", "38 1/2 in" or "5 ft 6 in"'

_NUMBER: Final = r"(?:(\d+)(?:\s+|-)(\d+)/(\d+)|(\d+)/(\d+)|(\d+(?:[.,]\d+)?|[.,]\d+))"
_PIECE: Final = re.compile(rf"\s*{_NUMBER}\s*([^\W\d_]+\.?|[\"'])?\s*")
_PER_CENT: Final = re.compile(rf"\s*{_NUMBER}\s*(%|per ?cent)?\s*", re.IGNORECASE)
_MARKS: Final = str.maketrans(
    {"⁄": "/", "∕": "/", "′": "'", "’": "'", "‘": "'", "“": '"', "”": '"', "−": "-", "–": "-"}
)


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenLength:
    """A length as it was written: `mm`, and the number and unit it came from.

    `number` is None where several units were combined (5 ft 6 in); `bare` says that the unit is
    the file's and not the value's own.
    """

    mm: float
    number: float | None
    unit: str
    bare: bool

    def says(self, value: object) -> str:
        """The value in a sentence: bare numbers get the file's unit, text stays as written."""
        return f"{describe(value)} {self.unit}" if self.bare else clip(str(value))


def length_mm(value: object, units: Units, field: str, *, negative: bool = False) -> float:
    """Millimetres of a length as written in the file.

    `value` is a number in `units` or text (see the module's docstring). Raises InputError for
    anything that is not a finite length, and for one below zero unless `negative` allows it.
    """
    return written_length(value, units, field, negative=negative).mm


def written_length(
    value: object, units: Units, field: str, *, negative: bool = False
) -> WrittenLength:
    """Like `length_mm`, keeping the number and unit so that a slip can be explained."""
    if isinstance(value, str):
        written = _read_text(value, units, field)
    elif isinstance(value, bool) or not isinstance(value, int | float):
        raise InputError(field, describe(value), f"a length: {_HOW_TO_WRITE}")
    else:
        number = _finite(value, field)
        times, by = SCALE[units]
        written = WrittenLength(mm=number * times / by, number=number, unit=units, bare=True)
    if written.mm < 0 and not negative:
        raise InputError(
            field,
            written.says(value),
            "a length above zero",
            "take the minus sign away",
        )
    return written


def _finite(value: int | float, field: str) -> float:
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise InputError(field, describe(value), "a finite number", "check what was typed")
    return number


def _plain(text: str) -> str:
    """Text with typographic marks, blanks and fraction characters turned into plain ones."""
    parts = [f" {c} " if unicodedata.decomposition(c).startswith("<fraction>") else c for c in text]
    plain = unicodedata.normalize("NFKC", "".join(parts)).translate(_MARKS)
    return plain.replace("''", '"').strip()


def _number(match: re.Match[str], text: str, field: str) -> tuple[Fraction, bool]:
    """The number a pattern above found, and whether it was written with a fraction."""
    whole, over, under, only_over, only_under, decimal = match.groups()[:6]
    if decimal is not None:
        if re.fullmatch(r"[1-9]\d{0,2},\d{3}", decimal):
            both = decimal.replace(",", ""), decimal.replace(",", ".").rstrip("0").rstrip(".")
            raise InputError(
                field,
                f'"{clip(text)}" can be read in two ways',
                hint=f"did you mean {both[0]} or {both[1]}? Write it that way",
            )
        return Fraction(decimal.replace(",", ".")), False
    top, bottom = int(over or only_over), int(under or only_under)
    if bottom == 0:
        raise InputError(field, f'"{clip(text)}"', "a fraction with a number below the line")
    if whole is not None and top >= bottom:
        raise InputError(
            field,
            f'"{clip(text)}"',
            "a whole number followed by a fraction smaller than one, such as 38 1/2",
        )
    return int(whole or 0) + Fraction(top, bottom), True


def _split_sign(text: str) -> tuple[int, str]:
    sign = -1 if text.startswith("-") else 1
    return sign, text[1:] if text[:1] in ("-", "+") else text


def _read_text(value: str, units: Units, field: str) -> WrittenLength:
    if not value.strip():
        raise InputError(field, "an empty text", f"a length: {_HOW_TO_WRITE}", "fill it in")
    if len(value) > _LONGEST_TEXT:
        raise InputError(field, f'"{clip(value)}" is too long', f"a length: {_HOW_TO_WRITE}")
    sign, rest = _split_sign(_plain(value))
    total = Fraction(0)
    last_unit = ""
    pieces = 0
    bare = False
    number = Fraction(0)
    while rest:
        match = _PIECE.match(rest)
        if match is None or (match.group(7) is None and match.end() < len(rest)):
            _refuse_unit_first(rest, value, field)
            raise InputError(field, f'"{clip(value)}"', f"a length: {_HOW_TO_WRITE}")
        number, fraction = _number(match, value, field)
        unit, mm, bare = _unit_of(match.group(7), last_unit, fraction, units, value, field)
        if last_unit and mm >= _mm_in(last_unit, value, field):
            raise InputError(
                field,
                f'"{clip(value)}"',
                "several units only from large to small, such as 5 ft 6 in",
                "write the length in one unit",
            )
        total += number * mm
        last_unit = unit
        pieces += 1
        rest = rest[match.end() :]
    if pieces == 0:
        raise InputError(field, f'"{clip(value)}"', f"a length: {_HOW_TO_WRITE}")
    return WrittenLength(
        mm=float(sign * total),
        number=float(sign * number) if pieces == 1 else None,
        unit=last_unit,
        bare=bare and pieces == 1,
    )


def _unit_of(
    token: str | None, last_unit: str, fraction: bool, units: Units, value: str, field: str
) -> tuple[str, Fraction, bool]:
    """Unit, millimetres in it, and whether it had to be taken from the file."""
    if token is not None:
        unit = _known_unit(token)
        return unit, _mm_in(unit, value, field), False
    if last_unit == "ft":  # 5'6 is five foot six
        return "in", MM_PER_UNIT["in"], False
    if last_unit:
        raise InputError(
            field, f'"{clip(value)}" ends in a number without unit', hint="write the unit after it"
        )
    if fraction and units != "in":
        raise InputError(
            field,
            f'"{clip(value)}" has a fraction but no unit',
            hint=f'the file is in {units}: write "{clip(value)} in" if inches are meant',
        )
    return units, MM_PER_UNIT[units], True


def _known_unit(token: str) -> str:
    bare = token.removesuffix(".")
    return SPELLINGS.get(bare.casefold(), bare)


def _mm_in(unit: str, value: str, field: str) -> Fraction:
    known = MM_PER_UNIT.get(unit)
    if known is not None:
        return known
    mm, dimension = _pint_unit(unit)
    if mm is not None:
        return mm
    allowed = "a length in cm, mm, m, in, ft or yd"
    if dimension is None:
        near = closest(unit, SPELLINGS)
        hint = f'did you mean "{near}"?' if near else "use one of these units"
        raise InputError(field, f'"{clip(value)}": there is no unit "{unit}"', allowed, hint)
    raise InputError(field, f'"{clip(value)}": "{unit}" is {dimension}, not a length', allowed)


@lru_cache(maxsize=64)
def _pint_unit(unit: str) -> tuple[Fraction | None, str | None]:
    """Millimetres in a unit outside the table, or None and what it measures (None: no such unit).

    pint is loaded here and nowhere else, because it takes longer to load than a draft to compute.
    """
    import pint

    registry = _registry()
    try:
        dimension = registry.get_dimensionality(unit)
        if dimension == {"[length]": 1}:
            return Fraction(registry.Quantity(Fraction(1), unit).to("mm").magnitude), "length"
    except (pint.errors.PintError, LookupError, ValueError, ArithmeticError, TypeError):
        # Words such as "dimensionless" get past pint's own errors.
        return None, None
    if len(dimension) == 1 and set(dimension.values()) == {1}:
        return None, "a unit of " + str(*dimension).strip("[]").replace("_", " ")
    return None, "something else"


@lru_cache(maxsize=1)
def _registry() -> pint.UnitRegistry:  # type: ignore[name-defined]  # noqa: F821
    import pint

    return pint.UnitRegistry(non_int_type=Fraction)


def _refuse_unit_first(rest: str, value: str, field: str) -> None:
    """`cm 97`, or a second minus sign inside: say what is odd rather than only that it is."""
    match = re.match(r"\s*([^\W\d_]+)", rest)
    if match and _known_unit(match.group(1)) in MM_PER_UNIT:
        raise InputError(
            field, f'"{clip(value)}"', "a number first and its unit after it, such as 97.5 cm"
        )


def ratio(value: object, field: str) -> float:
    """A plain ratio from `0.5`, `"50 %"` or `"50%"`.

    A bare number above 1.5 or below -1 is refused with the question it raises, because 50 may
    have been meant as 50 % but 1.5 may not. Raises InputError.
    """
    allowed = 'a percentage in quotes such as "50 %", or a plain ratio such as 0.5'
    if isinstance(value, str):
        sign, rest = _split_sign(_plain(value[: _LONGEST_TEXT + 1]))
        match = _PER_CENT.fullmatch(rest)
        if match is None or len(value) > _LONGEST_TEXT:
            raise InputError(field, describe(value), allowed)
        number, _ = _number(match, value, field)
        if match.group(7):
            return float(sign * number / 100)
        plain = float(sign * number)
    elif isinstance(value, bool) or not isinstance(value, int | float):
        raise InputError(field, describe(value), allowed)
    else:
        plain = _finite(value, field)
    if plain > _LARGEST_BARE_RATIO or plain < -1:
        # 1.6 may be a lost percent sign or a very stretchy fabric; 50 is only ever the first.
        other = f' Or {100 * plain:g} %? Then write "{100 * plain:g} %"' if 0 < plain <= 3 else ""
        raise InputError(
            field,
            describe(value),
            allowed,
            f'did you mean {plain:g} %? Then write "{plain:g} %", with the quotes.{other}',
        )
    return plain
