"""Lengths and ratios as people write them."""

from __future__ import annotations

import math
import subprocess
import sys
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import UNITS, show_length, show_limit, show_ratio
from outseam.draft.inputs.units import length_mm, ratio, written_length


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("38 1/2 in", 977.9),
        ('38 1/2"', 977.9),
        ('38-1/2"', 977.9),
        ("38-1/2 in", 977.9),
        ("38½ in", 977.9),
        ("38 ½″", 977.9),
        ("38 1⁄2 inches", 977.9),
        ("97.5 cm", 975.0),
        ("97,5 cm", 975.0),
        ("97.5cm", 975.0),
        ("97.5 CM", 975.0),
        ("975 mm", 975.0),
        ("3/8 in", 9.525),
        (".5 in.", 12.7),
        ("1 m", 1000.0),
        ("1 m 5 cm", 1050.0),
        ("2 yd", 1828.8),
        ("5 ft 6 in", 1676.4),
        ("5'6\"", 1676.4),
        ("5'6", 1676.4),
        ("5’ 6 1/2”", 1689.1),
        ("5 feet", 1524.0),
        ("1 dm", 100.0),
        ("0 cm", 0.0),
        ("+2 cm", 20.0),
        (" 97 cm ", 970.0),
    ],
)
def test_lengths_as_written(text: str, mm: float) -> None:
    # Tight enough to tell 25.4 from 25.4000508 (the survey inch).
    assert length_mm(text, "cm", "body.hip") == pytest.approx(mm, abs=1e-9)


@pytest.mark.parametrize(
    ("value", "units", "mm"),
    [(97.5, "cm", 975.0), (38, "in", 965.2), (38.5, "in", 977.9), (975, "mm", 975.0)],
)
def test_bare_numbers_are_in_the_units_of_the_file(value: float, units: str, mm: float) -> None:
    assert length_mm(value, units, "body.hip") == mm  # type: ignore[arg-type]
    assert length_mm(str(value), units, "body.hip") == pytest.approx(mm)  # type: ignore[arg-type]


def test_a_fraction_without_unit_is_inches_only_in_an_inch_file() -> None:
    assert length_mm("38 1/2", "in", "body.hip") == pytest.approx(977.9)
    with pytest.raises(InputError, match='write "38 1/2 in" if inches are meant'):
        length_mm("38 1/2", "cm", "body.hip")


def test_negative_lengths_only_where_asked_for() -> None:
    assert length_mm("-5 cm", "cm", "style.rise", negative=True) == -50
    assert length_mm("− 2 3/8 in", "cm", "style.rise", negative=True) == pytest.approx(-60.325)
    assert length_mm(-5, "cm", "style.rise", negative=True) == -50
    for value in ("-5 cm", -5):
        with pytest.raises(InputError, match="take the minus sign away"):
            length_mm(value, "cm", "body.hip")


@pytest.mark.parametrize(
    ("value", "says"),
    [
        (math.nan, "nan; allowed: a finite number"),
        (math.inf, "inf; allowed: a finite number"),
        (10**400, "a finite number"),
        pytest.param(10**5000, "thousands of digits", id="5001 digits"),
        (True, "a yes/no answer"),
        (None, "a length"),
        ([97], "a list"),
        ({"cm": 97}, "a table"),
        ("", "an empty text"),
        ("   ", "an empty text"),
        ("nan", "allowed: a length"),
        ("inf cm", "allowed: a length"),
        ("ninety", "allowed: a length"),
        ("38 kg", '"kg" is a unit of mass, not a length'),
        ("38 s", "a unit of time"),
        ("38 dimensionless", 'no unit "dimensionless"'),
        ("38 inc", 'did you mean "inch"'),
        ("38 centimeer", 'did you mean "centimeter"'),
        ("38 %", "allowed: a length"),
        ("1,250 mm", "did you mean 1250 or 1.25"),
        ("1/0 in", "below the line"),
        ("3 9/8 in", "smaller than one"),
        ("cm 97", "a number first and its unit after it"),
        ("5 in 6 ft", "from large to small"),
        ("2 m 5", "write the unit after it"),
        ("97.5.5 cm", "allowed: a length"),
        ("38 - 1/2 in", "allowed: a length"),
        ("97 cm" + "9" * 5000, "too long"),
        ("97\x00 kg", '"97 kg"'),
    ],
)
def test_refused_with_one_sentence(value: object, says: str) -> None:
    with pytest.raises(InputError) as caught:
        length_mm(value, "cm", "body.hip")
    message = str(caught.value)
    assert says in message
    assert message.startswith("body.hip: ")
    assert "\n" not in message
    assert len(message) < 300


def test_what_was_written_is_kept() -> None:
    written = written_length("38 1/2 in", "cm", "x")
    assert (written.number, written.unit, written.bare) == (38.5, "in", False)
    assert written_length("5 ft 6 in", "cm", "x").number is None
    assert written_length(38, "in", "x").bare


@given(
    whole=st.integers(0, 200),
    top=st.integers(1, 63),
    bottom=st.sampled_from([2, 4, 8, 16, 32, 64, 3, 5]),
    unit=st.sampled_from([("in", 25.4), ('"', 25.4), ("cm", 10.0), ("ft", 304.8), ("yd", 914.4)]),
    joint=st.sampled_from([" ", "-"]),
)
def test_fractions_are_exact(
    whole: int, top: int, bottom: int, unit: tuple[str, float], joint: str
) -> None:
    top %= bottom
    exact = (whole + Fraction(top, bottom)) * Fraction(str(unit[1]))
    text = f"{whole}{joint}{top}/{bottom} {unit[0]}"
    assert length_mm(text, "cm", "x") == float(exact)


@given(eighths=st.integers(-400, 800))
def test_inches_round_trip_through_their_display(eighths: int) -> None:
    mm = eighths * 25.4 / 8
    assert length_mm(show_length(mm, "in"), "in", "x", negative=True) == pytest.approx(mm)


@given(mm=st.floats(-500, 3000), units=st.sampled_from(UNITS))
def test_display_is_within_half_its_step(mm: float, units: str) -> None:
    back = length_mm(show_length(mm, units), units, "x", negative=True)  # type: ignore[arg-type]
    step = {"cm": 1.0, "mm": 0.1, "in": 25.4 / 8}[units]
    assert abs(back - mm) <= step / 2 + 1e-6


@given(mm=st.floats(-300, 3000), units=st.sampled_from(UNITS))
def test_a_displayed_limit_lies_on_the_allowed_side(mm: float, units: str) -> None:
    low = length_mm(show_limit(mm, units, low=True), units, "x", negative=True)  # type: ignore[arg-type]
    high = length_mm(show_limit(mm, units, low=False), units, "x", negative=True)  # type: ignore[arg-type]
    assert high - 1e-6 <= mm <= low + 1e-6
    assert low - high <= 3.175 + 1e-6


@pytest.mark.parametrize(
    ("mm", "units", "text"),
    [
        (975, "cm", "97.5 cm"),
        (970, "cm", "97 cm"),
        (975, "mm", "975 mm"),
        (975, "in", '38 3/8"'),
        (9.525, "in", '3/8"'),
        (965.2, "in", '38"'),
        (-60, "in", '-2 3/8"'),
        (0, "in", '0"'),
        (-0.01, "cm", "0 cm"),
    ],
)
def test_display(mm: float, units: str, text: str) -> None:
    assert show_length(mm, units) == text  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        ("50 %", 0.5),
        ("50%", 0.5),
        ("12,5 %", 0.125),
        ("-5 %", -0.05),
        ("120 per cent", 1.2),
        ("0.5", 0.5),
        (0.5, 0.5),
        (1.2, 1.2),
        (0, 0.0),
        (-0.05, -0.05),
    ],
)
def test_ratios_as_written(value: object, expected: float) -> None:
    assert ratio(value, "fabric.stretch_across") == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize(
    ("value", "says"),
    [
        (50, "did you mean 50 %?"),
        ("50", "did you mean 50 %?"),
        (-2, "did you mean -2 %?"),
        (2.0, "Or 200 %?"),
        (math.nan, "a finite number"),
        (-math.inf, "a finite number"),
        (True, "a yes/no answer"),
        ("", "an empty text"),
        ("half", "a percentage in quotes"),
        ("50 cm", "a percentage in quotes"),
        ("1/0", "below the line"),
        ([0.5], "a list"),
    ],
)
def test_ratios_refused(value: object, says: str) -> None:
    with pytest.raises(InputError) as caught:
        ratio(value, "fabric.stretch_across")
    assert says in str(caught.value)


@given(st.floats(-1, 1.5))
def test_ratio_round_trip_through_per_cent(value: float) -> None:
    assert ratio(show_ratio(value), "x") == pytest.approx(value, abs=0.0005 + 1e-9)
    assert ratio(value, "x") == value


def test_pint_is_loaded_only_for_units_outside_the_table() -> None:
    code = (
        "import sys; from outseam.draft.inputs.units import length_mm; "
        "length_mm('5 ft 6 1/2 in', 'cm', 'x'); length_mm(97.5, 'cm', 'x'); "
        "before = 'pint' in sys.modules; length_mm('1 dm', 'cm', 'x'); "
        "print(before, 'pint' in sys.modules)"
    )
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.split() == ["False", "True"]
