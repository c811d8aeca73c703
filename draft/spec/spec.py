"""The spec file: TOML in, one frozen `Spec` out, or one sentence about what is wrong with it."""

from __future__ import annotations

import dataclasses
import os
import re
import tomllib
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Annotated, Any, Final, get_type_hints

from outseam.draft.alter import Asked, read_asked
from outseam.draft.body.entry import read_body
from outseam.draft.body.estimate import Body
from outseam.draft.fabric import Fabric
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import UNITS, Units
from outseam.draft.inputs.tables import read_table, table_of, unknown_key
from outseam.draft.inputs.text import clip, closest, describe
from outseam.draft.inputs.units import SPELLINGS
from outseam.draft.inputs.value_kinds import Choice, Choices, ChoicesOrLengths, Length, Number, Text
from outseam.draft.style import Style

PAPERS: Final = ("a4", "letter", "a0", "a1")

#: What is printed where nothing is said.
USUAL_PAPERS: Final = ("a4", "letter", "a0")

#: Files that are written only where they are asked for.
FILES: Final = ("dxf", "dxf-lines", "projector")

#: A spec is a page of text. Anything above a megabyte is some other file.
LARGEST_FILE_BYTES: Final = 1_000_000

_FIT_TO_PAGE: Final = (
    "give 100 divided by the millimetres measured, such as 1.01; a printer that is further off is "
    "set to fit the page: switch that off, print at 100 % and measure the square again"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintOptions:
    """How the pattern is put on paper; factors are plain numbers, `overlap` in mm."""

    papers: Annotated[
        tuple[str | float, ...],
        ChoicesOrLengths(
            choices=PAPERS,
            low=300.0,
            high=2500.0,
            length_says="the width of a roll",
            help='papers to print on, and rolls by their width, such as "91.4 cm" or "36 in"',
            also=("paper", "size", "sizes", "roll", "rolls"),
        ),
    ] = USUAL_PAPERS
    files: Annotated[
        tuple[str, ...],
        Choices(
            choices=FILES,
            help="more files: dxf has the cut parts for other programs, dxf-lines only outlines "
            "and notches for a cutter, projector one page of heavy lines",
            example=("dxf", "projector"),
            also=("file", "formats", "format"),
        ),
    ] = ()
    calibrate_across: Annotated[
        float,
        Number(
            low=0.95,
            high=1.05,
            help="for a printer that is a little off: 100 divided by the width in mm that the "
            "100 mm square came out at",
            hint=_FIT_TO_PAGE,
        ),
    ] = 1.0
    calibrate_along: Annotated[
        float,
        Number(
            low=0.95,
            high=1.05,
            help="100 divided by the height in mm that the 100 mm square came out at",
            hint=_FIT_TO_PAGE,
        ),
    ] = 1.0
    overlap: Annotated[
        float, Length(low=0, high=20, help="how far neighbouring sheets overlap; 0 to butt them")
    ] = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Spec:
    """All that a pattern follows from. A dataclass here is a table of the file of that name.

    `alter` are the alterations of its `[[alter]]` tables, in their order.
    """

    title: Annotated[
        str,
        Text(most=120, help="name of this pattern", example="Pants for the summer", also=("name",)),
    ] = ""
    units: Annotated[
        Units,
        Choice(choices=UNITS, help="unit of every bare number below", also=("unit",)),
    ] = "cm"
    body: Body
    fabric: Fabric = field(default_factory=Fabric)
    style: Style = field(default_factory=Style)
    print: PrintOptions = field(default_factory=PrintOptions)
    alter: tuple[Asked, ...] = ()


@lru_cache(maxsize=1)
def spec_tables() -> dict[str, type[Any]]:
    """The tables of the file in their order: the attributes of Spec that are dataclasses."""
    hints = get_type_hints(Spec)
    return {
        one.name: hints[one.name]
        for one in dataclasses.fields(Spec)
        if dataclasses.is_dataclass(hints[one.name])
    }


@lru_cache(maxsize=8)
def _elsewhere(table: str) -> dict[str, str]:
    """For each key of the other tables and of the top (""), the first of them that has it."""
    found: dict[str, str] = {}
    tables: dict[str, type[Any]] = {"": Spec, **spec_tables()}
    for other, cls in tables.items():
        if other != table:
            for one in table_of(cls):
                found.setdefault(one.key, other)
    return found


def load_spec(path: str | os.PathLike[str]) -> Spec:
    """The spec in a file. Raises InputError if it cannot be read, parsed or used."""
    name = clip(os.fspath(path), 120)
    text = _load_text(Path(path), name)
    return build_spec(_parse_toml(text, name), Path(path).parent)


#: Stands where the body does not matter.
_ANY_BODY: Final = {"height": "168 cm", "waist": "80 cm", "hip": "104 cm", "inside_leg": "77 cm"}


def load_style(path: str | os.PathLike[str] | None) -> Spec:
    """The spec in a file whose fabric and style are wanted for other bodies; None: all defaults.

    Its own body, if it has one, is not read. Raises InputError.
    """
    if path is None:
        return build_spec({"body": _ANY_BODY})
    name = clip(os.fspath(path), 120)
    raw = _parse_toml(_load_text(Path(path), name), name)
    return build_spec(raw | {"body": _ANY_BODY}, Path(path).parent)


def load_fabric(path: str | os.PathLike[str], units: Units) -> Fabric:
    """The fabric in a file of its own, bare numbers in its units or these. Raises InputError."""
    path = Path(path)
    keys, its_units = _table_keys(path.name, "fabric", units, path.parent)
    return read_table(Fabric, keys, table="fabric", units=its_units, elsewhere=_elsewhere("fabric"))


def parse_spec(text: str, source_name: str = "the spec") -> Spec:
    """The spec in a text; `source_name` is said in errors about the text as a whole.

    Raises InputError.
    """
    if len(text) > LARGEST_FILE_BYTES:
        raise _too_large(source_name)
    return build_spec(_parse_toml(text, source_name))


def build_spec(raw: dict[str, Any], folder: Path | None = None) -> Spec:
    """The spec in what a TOML reader returned; files it names are looked for in `folder`.

    Raises InputError.
    """
    tables = spec_tables()
    head = {key: value for key, value in raw.items() if key not in tables}
    units = _read_units(head.pop("units", "cm"))
    altered = read_asked(head.pop(ALTER, []), units)
    heads = {one.key: one for one in table_of(Spec)}
    for key in head:
        if key not in heads:
            raise _unknown_at_top(key, raw[key])
    values: dict[str, Any] = {
        key: heads[key].kind.read(value, key, units) for key, value in head.items()
    }
    for table, cls in tables.items():
        keys, its_units = _table_keys(raw.get(table, {}), table, units, folder)
        others = _elsewhere(table)
        if cls is Body:
            values[table] = read_body(keys, its_units, others)
        else:
            values[table] = read_table(cls, keys, table=table, units=its_units, elsewhere=others)
    return Spec(units=units, alter=altered, **values)


#: The tables of alterations, any number of them: `[[alter]]`.
ALTER: Final = "alter"

#: Tables that a spec may leave to a file of their own, so that many specs share a body or a fabric.
SHARED: Final = ("body", "fabric")


def _table_keys(
    value: object, table: str, units: Units, folder: Path | None
) -> tuple[object, Units]:
    """The keys of a table and the unit of its bare numbers: written here, or in a file it names.

    Such a file holds the keys, under its table's heading or not, and may have units of its own.
    """
    if table not in SHARED or not isinstance(value, str):
        return value, units
    if folder is None:
        raise InputError(table, describe(value), f"a table: a line [{table}]", "no file is at hand")
    path = folder / value
    raw = _parse_toml(_load_text(path, clip(str(path), 120)), clip(value, 120))
    its_units = _read_units(raw.pop("units", units))
    return raw.get(table, raw), its_units


def _read_units(value: object) -> Units:
    if isinstance(value, str) and len(value) <= 20:
        for units in UNITS:
            if SPELLINGS.get(value.strip().removesuffix(".").casefold()) == units:
                return units
    raise InputError(
        "units", describe(value), '"cm", "mm" or "in"', "single values may have a unit of their own"
    )


def _unknown_at_top(key: str, value: object) -> InputError:
    tables = spec_tables()
    if isinstance(value, dict | list):
        near = closest(key, (*tables, ALTER))
        shown = "[[alter]]" if near == ALTER else f"[{near}]"
        hint = f"did you mean {shown}?" if near else f"tables: {', '.join(tables)}"
        return InputError(f"[{clip(key)}]", "there is no such table", hint=hint)
    return unknown_key(key, "", Spec, _elsewhere(""))


def _too_large(name: str) -> InputError:
    return InputError(
        name,
        "the file is larger than 1 MB",
        "a text file with a few dozen lines",
        "check that this is your measurements file",
    )


def _load_text(path: Path, name: str) -> str:
    hint = "check the name and the folder"
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE_BYTES + 1)
    except FileNotFoundError:
        raise InputError(name, "there is no such file", hint=hint) from None
    except IsADirectoryError:
        raise InputError(name, "this is a folder", "a file", hint) from None
    except PermissionError:
        if path.is_dir():  # how some systems answer for a folder
            raise InputError(name, "this is a folder", "a file", hint) from None
        raise InputError(
            name, "the file may not be read", hint="change its permissions or copy it"
        ) from None
    except (OSError, ValueError) as error:  # ValueError: a zero byte in the name
        reason = getattr(error, "strerror", None) or str(error)
        raise InputError(name, f"the file cannot be read ({reason})", hint=hint) from None
    if len(data) > LARGEST_FILE_BYTES:
        raise _too_large(name)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise InputError(
            name,
            f"line {line} is not plain UTF-8 text",
            hint="save it again from a text editor with the encoding UTF-8",
        ) from None


_POSITION: Final = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)$")


def _parse_toml(text: str, name: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise _broken(text, name, str(error)) from None
    except RecursionError:
        raise InputError(
            name, "lists or tables are nested too deeply", hint="write one key = value per line"
        ) from None
    except ValueError:  # from int(): thousands of digits
        raise InputError(
            name, "one of the numbers has thousands of digits", hint="check what was typed"
        ) from None


def _broken(text: str, name: str, message: str) -> InputError:
    match = _POSITION.search(message)
    what = message[: match.start()] if match else message
    lines = text.splitlines() or [""]
    at_end = match is None or match.group(1) is None
    number = len(lines) if at_end else int(match.group(1))  # type: ignore[union-attr]
    column = "" if at_end else f", column {match.group(2)}"  # type: ignore[union-attr]
    shown = clip(lines[number - 1], 60) if number <= len(lines) else ""
    says, hint = _explain(what, shown)
    quoted = f": {shown}" if shown else ""
    return InputError(name, f"line {number}{column}: {says}{quoted}", hint=hint)


def _explain(what: str, line: str) -> tuple[str, str]:
    """The parser's words as a sentence for a person who sews, and what to do."""
    if "overwrite" in what:
        return "this key is given twice", "keep one of them"
    if "twice" in what or "declare" in what:
        return "this table is given twice", "put all its keys under one heading"
    if "immutable" in what:
        return "this adds to something that is already complete", "keep one of the two"
    if "Unclosed array" in what:
        return "a list that does not end", "close it with ]"
    if "declaration" in what or "table name" in what:
        return "a heading that does not end", "write it in brackets, such as [body]"
    value = line.partition("=")[2].strip()
    if "after a statement" in what or "Invalid value" in what:
        if re.match(r"[-+]?\d+,\d", value):
            return "a number with a comma", "write a decimal point, or put the number in quotes"
        if re.match(r"\".*\d\s*\"\s*\"", value):
            return "an inch mark ends the text too early", 'write in instead: "38 1/2 in"'
        if re.match(r"[-+]?[.\d]", value):
            return (
                "more than a number",
                'put a value with a unit, a fraction or a percent sign in quotes: "38 1/2 in"',
            )
        if value and re.match(r"[^\W\d_]", value):
            return "a word without quotes", 'put it in quotes: "{}"'.format(value.strip("\"'"))
    if re.search(r"Unterminated|Illegal character|Expected ['\"]{3}", what):
        return "a text that does not end", "close it with the quote it began with"
    if "Expected '='" in what or "Invalid statement" in what:
        return "this is no line of the form key = value", "a comment begins with #"
    return f"it cannot be read ({what[:1].lower() + what[1:]})", "write key = value on each line"
