"""How lengths and ratios are shown in the units of a file; the sizes of those units."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import Final, Literal

Units = Literal["cm", "mm", "in"]
UNITS: Final[tuple[Units, ...]] = ("cm", "mm", "in")

#: Millimetres in one of each unit. International yard and pound agreement of 1959: the yard is
#: 0.9144 m exactly, so the inch is 25.4 mm. tests/outside/test_units_pint.py compares with pint.
MM_PER_UNIT: Final[dict[str, Fraction]] = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": Fraction(254, 10),
    "ft": Fraction(3048, 10),
    "yd": Fraction(9144, 10),
}

#: For what is sold by the yard.
YARD_MM: Final = float(MM_PER_UNIT["yd"])

#: The same as whole numbers (times 127, by 5): 38 in becomes 965.2 mm and not 965.1999999999999.
SCALE: Final[dict[str, tuple[int, int]]] = {
    unit: mm.as_integer_ratio() for unit, mm in MM_PER_UNIT.items()
}


_BOTH: Final = re.compile(r"\[([^|\]]+)\|([^|\]]+)\]")


def in_system(text: str, units: str) -> str:
    """Return the project's own words with every "[metric|inches]" replaced by the one of the file.

    Nothing that a person typed goes through here.
    """
    return either(text, int(units == "in"))


def either(text: str, which: int) -> str:
    """Return the project's own words with every "[first|second]" replaced by the one of number."""
    return _BOTH.sub(lambda both: both.group(1 + which), text)


#: Lines of a tape by which places on the fabric are told, the coarsest that serve: millimetres and
#: their halves, eighths and sixteenths of an inch.
TAPE_STEPS_MM: Final[dict[Units, tuple[float, ...]]] = {
    "cm": (1.0, 0.5),
    "mm": (1.0, 0.5),
    "in": (25.4 / 8.0, 25.4 / 16.0),
}


def show_on_tape(mm: float, step_mm: float | None, units: Units) -> str:
    """Return a place as a tape with lines `step_mm` apart reads it; as any length if it has none.

    A tape of the other system is as good as none.
    """
    if step_mm is None or step_mm not in TAPE_STEPS_MM[units]:
        return show_length(mm, units)
    return show_given(round(mm / step_mm) * step_mm, units)


def show_length(mm: float, units: Units) -> str:
    """A length for reading: `97.5 cm`, `975 mm` or, to the nearest eighth, `38 3/8"`."""
    if units == "in":
        return show_eighths(round(Fraction(mm) / MM_PER_UNIT["in"] * 8)) + '"'
    times, by = SCALE[units]
    return f"{_short(mm * by / times)} {units}"


def told_mm(mm: float, units: Units) -> float:
    """Return a length as `show_length` tells it, mm: what a reader reckons on with."""
    step = float(MM_PER_UNIT["in"]) / 8.0 if units == "in" else 1.0 if units == "cm" else 0.1
    return round(mm / step) * step


def show_given(mm: float, units: Units) -> str:
    """A length that was asked for, as exactly as it was: `0.95 cm`, `9.5 mm`, `7/16"`."""
    if units == "in":
        inches = Fraction(mm) / MM_PER_UNIT["in"]
        parts = 8 if abs(inches * 8 - round(inches * 8)) < _SAME_EIGHTHS else 16
        return _show_parts(round(inches * parts), parts) + '"'
    times, by = SCALE[units]
    digits = 2 if units == "cm" else 1
    text = f"{mm * by / times:.{digits}f}".rstrip("0").rstrip(".")
    return f"{text} {units}"


def show_limit(mm: float, units: Units, *, low: bool) -> str:
    """Like `show_length`, rounded to the side that is allowed, so that the limit itself passes."""
    times, by = SCALE[units]
    scaled = round(mm * by / times * (8 if units == "in" else 10), 9)
    count = math.ceil(scaled) if low else math.floor(scaled)
    return show_eighths(count) + '"' if units == "in" else f"{_short(count / 10)} {units}"


def show_eighths(eighths: int) -> str:
    """A number of eighths as a whole number and a reduced fraction: 307 -> `38 3/8`."""
    return _show_parts(eighths, 8)


#: Eighths that differ by less are told as whole ones.
_SAME_EIGHTHS: Final = 0.05


def _show_parts(count: int, of: int) -> str:
    whole, rest = divmod(abs(count), of)
    fraction = str(Fraction(rest, of)) if rest else ""
    sign = "-" if count < 0 else ""
    return sign + (" ".join(filter(None, (str(whole) if whole else "", fraction))) or "0")


def show_ratio(ratio_value: float) -> str:
    """A ratio for reading, in per cent to one decimal: `50 %`, `-2.5 %`."""
    return f"{_short(100 * ratio_value)} %"


def per_cent(ratio_value: float) -> str:
    """A ratio in whole per cent: `4 %`."""
    return f"{100.0 * ratio_value:.0f} %".replace("-0 %", "0 %")


def _short(number: float) -> str:
    text = f"{number:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text
