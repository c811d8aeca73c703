"""The file to start from: every key with its help as a comment, written from the tables."""

from __future__ import annotations

import re
import textwrap
from typing import Any, Final

from outseam.draft.alter import AlterationEntry
from outseam.draft.inputs.show import Units
from outseam.draft.inputs.tables import Field, table_of
from outseam.draft.inputs.text import capital
from outseam.draft.inputs.value_kinds import Length
from outseam.draft.spec.spec import Spec, spec_tables

_WIDTH: Final = 96

_UNITS_SAY: Final[dict[Units, str]] = {
    "cm": 'Bare numbers are centimetres; "38 1/2 in" or "975 mm" may stand beside them.',
    "mm": 'Bare numbers are millimetres; "38 1/2 in" or "97.5 cm" may stand beside them.',
    "in": 'Bare numbers are inches; "38 1/2" is fine in quotes, and so is "97.5 cm".',
}

_TABLES_SAY: Final[dict[str, str]] = {
    "body": "The body, measured over underwear. The first values are needed; what you leave out of "
    "the others is estimated from a survey of adults (fit ones, so measure what you can), and "
    "marked as such. Not for children or in pregnancy.",
    "fabric": "The fabric in hand. Without these lines a stable knit is assumed.",
    "style": "The pants you want.",
    "print": "Paper and printer.",
}


def starter_text(units: Units = "cm") -> str:
    """A complete, commented spec in TOML with an invented person's numbers to write over.

    Keys that may be left out are commented out with an example value.
    """
    blocks = [_comment(f"Write your numbers over these. {_UNITS_SAY[units]}")]
    top = {"title": table_of(Spec)[0].kind.example, "units": units}
    blocks += [_key(field, units, top[field.key], active=True) for field in table_of(Spec)]
    for table, cls in spec_tables().items():
        says = _comment(_TABLES_SAY.get(table, ""))
        first, *others = (_entry(field, units) for field in table_of(cls))
        blocks += ["\n".join(filter(None, ("", says, f"[{table}]", first))), *others]
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


def _entry(field: Field, units: Units) -> str:
    usual = None if field.required else field.usual(units)
    plain_default = None if usual in ("", ()) else usual
    if plain_default is not None:
        return _key(field, units, plain_default, active=False)
    return _key(field, units, _example(field, units), active=field.required)


def _example(field: Field, units: Units) -> Any:
    """The example value; in an inch file to the nearest eighth, as a tape would be read."""
    example = field.kind.example
    if units == "in" and isinstance(field.kind, Length) and isinstance(example, int | float):
        return round(example / 25.4 * 8) * 25.4 / 8
    return example


def _key(field: Field, units: Units, value: Any, *, active: bool) -> str:
    kind = field.kind
    default = field.default_says(units)
    limits = kind.says(units) + (f"; left out: {default}" if default and not active else "")
    line = f"{field.key} = {kind.write(value, units)}"
    says = f"{capital(kind.help)} ({limits})."
    return "\n".join((_comment(says), line if active else f"#{line}"))


def _comment(text: str) -> str:
    # A number and its unit stay on one line: they are glued before wrapping.
    glued = re.sub(r"(?<=\d) (?=cm|mm|in|%|g/|\d/)", "\u00a0", text)
    lines = textwrap.wrap(glued, _WIDTH, initial_indent="# ", subsequent_indent="# ")
    return "\n".join(lines).replace("\u00a0", " ")
