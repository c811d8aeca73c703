"""What the checks found, as it is printed: in the units of the file, marked by how grave it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields
from typing import Any, Final

from outseam.draft.inputs.show import Units, per_cent, show_length, show_ratio
from outseam.draft.inputs.text import capital
from outseam.draft.inputs.words import in_units
from outseam.draft.piece.piece import Finding

_MARK: Final = {"pass": "ok", "note": "note", "warning": "WARNING", "error": "ERROR"}

#: Read from `side` and `says`; the sentence to a person follows from the figures.
_NOT_DATA: Final = ("advice", "side")


def finding_words(f: Finding, units: Units) -> str:
    """Return a finding that is not a pass as a sentence."""
    if f.advice:
        said = in_units(f.advice, units)
        return f"{capital(f.side)} leg: {capital(said)}" if f.side else capital(said)
    numbers = ""
    if f.unit == "mm":
        got, wanted = show_length(f.measured, units), show_length(f.expected, units)
        numbers = f" It measures {got} against {wanted}."
    elif f.unit == "ratio":
        numbers = f" It comes to {per_cent(f.measured)} against {per_cent(f.expected)}."
    return f"Doubtful: {f.check}, {f.where}. Wanted: {in_units(f.says, units)}.{numbers}"


def _amount(f: Finding, value: float, units: Units) -> str:
    if f.unit == "mm":
        small = abs(f.measured) < 20 and abs(f.expected) < 20
        return f"{value:.2f} mm" if small else show_length(value, units)
    if f.unit == "ratio":
        return show_ratio(value)
    if f.unit == "sd":
        return f"{value:.1f} sd"
    return f"{value:.1f}°" if f.unit == "deg" else f"{value:.0f}"


def finding_line(f: Finding, units: Units) -> str:
    """Return a finding as a sentence; an error, which is the program's fault, with its figures."""
    if f.level != "error" and f.advice:
        said = finding_words(f, units) if f.side else in_units(f.advice, units)
        return f"{_MARK[f.level]}: {said}"
    return (
        f"{_MARK[f.level]}: {f.check}, {f.where}: {_amount(f, f.measured, units)}, wanted "
        f"{_amount(f, f.expected, units)}. Should hold: {in_units(f.says, units)}."
    )


def finding_lines(findings: Sequence[Finding], units: Units) -> list[str]:
    """Return one sentence for each finding that is not a pass."""
    return [finding_line(f, units) for f in findings if f.level != "pass"]


def checks_told(findings: Sequence[Finding]) -> str:
    """Return how many checks passed. A note asks for nothing, so it is no check that failed."""
    judged = [f for f in findings if f.level != "note"]
    passed = sum(f.level == "pass" for f in judged)
    if passed == len(judged):
        return f"all {passed} passed"
    return f"{passed} of {len(judged)} passed, {len(judged) - passed} to look at"


def finding_data(f: Finding, units: Units) -> dict[str, Any]:
    """Return a finding as plain data: figures in mm, its sentence in the units of the file."""
    data = {x.name: getattr(f, x.name) for x in fields(f) if x.name not in _NOT_DATA}
    return data | {"says": in_units(f.says, units)}
