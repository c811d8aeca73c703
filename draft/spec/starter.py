"""The file to start from, written from the tables: a body that asks, and the usual choices.

No number of anybody stands in it: a file that was not filled in cannot be taken for a person.
"""

from __future__ import annotations

import re
import textwrap
from typing import Any, Final

from outseam.draft.alter import AlterationEntry
from outseam.draft.body.table import Body
from outseam.draft.inputs.show import Units, in_system
from outseam.draft.inputs.tables import Field, table_of
from outseam.draft.inputs.text import capital
from outseam.draft.inputs.value_kinds import Choice, ChoiceOrLength, Choices, Kind, Length
from outseam.draft.spec.spec import Spec, spec_tables

_WIDTH: Final = 96

_UNITS_SAY: Final[dict[Units, str]] = {
    "cm": 'Bare numbers are centimetres; "38 1/2 in" or "975 mm" may stand in quotes.',
    "mm": 'Bare numbers are millimetres; "38 1/2 in" or "97.5 cm" may stand in quotes.',
    "in": 'Bare numbers are inches; "38 1/2" is fine in quotes, and so is "97.5 cm".',
}

_TABLES_SAY: Final[dict[str, str]] = {
    "body": "The body, over underwear, in the order of the measuring sheet (outseam measure). Four "
    'are needed; what stays "" is estimated from a survey of fit adults, and marked as such. Not '
    "for children or in pregnancy.",
    "fabric": "The fabric in hand. Without these lines a stable knit is assumed.",
    "style": "The pants you want.",
    "print": "Paper and printer.",
}

#: What most people set. The file begins with these and names the command that writes all.
_USUAL: Final[dict[str, tuple[str, ...]]] = {
    "fabric": ("name", "kind", "stretch_across", "stretch_along", "width"),
    "style": ("fit", "leg", "rise", "length", "band", "elastic_width", "pocket", "belt"),
    "print": ("papers",),
}


def starter_text(units: Units = "cm", *, every: bool = False) -> str:
    """A spec in TOML that asks for the measurements; the usual keys, or with its help `every` one.

    Keys that may be left out are commented out with an example value, those of the body empty.
    """
    first = 'Write your numbers between the "". ' + _UNITS_SAY[units]
    if not every:
        first += " Every other key there is, with its help: outseam init all.toml --all"
    blocks = [_comment(first)]
    top = {"title": table_of(Spec)[0].kind.example, "units": units}
    heads = [
        f"{f.key} = {f.kind.write(top[f.key], units)}"
        if f.key in top
        else _short(f, units, asks=False)
        for f in table_of(Spec)
    ]
    blocks.append("\n".join(heads))
    for table, cls in spec_tables().items():
        fields = [f for f in table_of(cls) if every or f.key in _USUAL.get(table, (f.key,))]
        write = _explained if every else _short
        head = "\n".join(("", _comment(_TABLES_SAY.get(table, "")), f"[{table}]"))
        entries = [write(f, units, asks=cls is Body) for f in fields]
        if every:
            blocks += [f"{head}\n{entries[0]}", *entries[1:]]
        else:
            blocks.append("\n".join((head, *entries)))
    blocks.append(_alterations(units))
    return "\n\n".join(blocks) + "\n"


def _alterations(units: Units) -> str:
    """How an alteration is written, to be uncommented; `outseam fit` writes them too."""
    says = (
        "After a trial: what it showed goes here, one table for each alteration. outseam fit FILE "
        "shows them all with drawings, and writes them here for you."
    )
    rows = [f"#{field.key} = {field.kind.write(_example(field, units), units)}"
            for field in table_of(AlterationEntry) if field.required]  # fmt: skip
    return "\n".join(("", _comment(says), "#[[alter]]", *rows))


def _line(field: Field, units: Units, *, asks: bool) -> str:
    """The line of a key: empty where a tape is asked for, else commented out."""
    if asks and isinstance(field.kind, Length):
        return f'{field.key} = ""'
    usual = None if field.required else field.usual(units)
    value = _example(field, units) if usual in (None, "", ()) else usual
    return f"#{field.key} = {field.kind.write(value, units)}"


def _short(field: Field, units: Units, *, asks: bool) -> str:
    """A key on one line, with what it is in a few words."""
    says = _in_short(field.kind, units)
    if asks and field.required:
        says = f"needed: {says}"
    line = _line(field, units, asks=asks)
    words = f"{line:<26} # {says}"
    return words if len(words) <= _WIDTH else f"{_comment(capital(says))}\n{line}"


def _in_short(kind: Kind, units: Units) -> str:
    """The words of a choice, or what a key is without how it is found out."""
    if isinstance(kind, Choice | Choices):
        return ", ".join(kind.choices)
    if isinstance(kind, ChoiceOrLength):  # what the words mean is not to be guessed
        return in_system(kind.help, units)
    return re.split(r"[:;]", re.sub(r" \(.*?\)", "", in_system(kind.help, units)))[0]


def _explained(field: Field, units: Units, *, asks: bool) -> str:
    """A key with its whole help, its limits, and what serves where it is left out."""
    kind, default = field.kind, field.default_says(units)
    needed = "needed; " if field.required else ""
    limits = needed + kind.says(units) + (f"; left out: {default}" if default else "")
    said = _comment(f"{capital(in_system(kind.help, units))} ({limits}).")
    return f"{said}\n{_line(field, units, asks=asks)}"


def _example(field: Field, units: Units) -> Any:
    """The example value; in an inch file to the nearest eighth, as a tape would be read."""
    example = field.kind.example
    if units == "in" and isinstance(field.kind, Length) and isinstance(example, int | float):
        return round(example / 25.4 * 8) * 25.4 / 8
    return example


def _comment(text: str) -> str:
    # A number and its unit stay on one line: they are glued before wrapping.
    glued = re.sub(r"(?<=\d) (?=cm|mm|in|%|g/|\d/)", "\u00a0", text)
    lines = textwrap.wrap(glued, _WIDTH, initial_indent="# ", subsequent_indent="# ")
    return "\n".join(lines).replace("\u00a0", " ")
