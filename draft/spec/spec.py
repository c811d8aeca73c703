"""The spec file: TOML in, one frozen `Spec` out, or one sentence about what is wrong with it."""

from __future__ import annotations

import dataclasses
import os
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Any, Final, get_type_hints

from outseam.draft.alter import AlterationEntry, read_alterations
from outseam.draft.body.entry import read_body
from outseam.draft.body.estimate import Body
from outseam.draft.fabric import Fabric
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import UNITS, Units
from outseam.draft.inputs.tables import read_table, table_of, unknown_key
from outseam.draft.inputs.text import clip, closest, describe
from outseam.draft.inputs.toml_file import LARGEST_FILE_BYTES, load_text, parse_toml, too_large
from outseam.draft.inputs.units import SPELLINGS
from outseam.draft.inputs.usual import PAPER_OVERLAP
from outseam.draft.inputs.value_kinds import Choice, Choices, ChoicesOrLengths, Length, Number, Text
from outseam.draft.style import Style

PAPERS: Final = ("a4", "letter", "a0", "a1")

#: What is printed where nothing is said.
USUAL_PAPERS: Final = ("a4", "letter", "a0")

#: What seams are sewn with; every one is sewn on a sewing machine too.
MACHINES: Final = ("sewing", "overlock", "coverstitch")
USUAL_MACHINES: Final = ("sewing", "overlock")

#: Files that are written only where they are asked for.
FILES: Final = ("dxf", "dxf-lines", "projector")

_FIT_TO_PAGE: Final = (
    "give the true side of the square divided by what it measures, such as 1.01; a printer that is "
    "further off is set to fit the page: switch that off, print at 100 % and measure the square "
    "again"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintOptions:
    """How the pattern is put on paper; factors are plain numbers, `overlap` in mm."""

    papers: tuple[str | float, ...] = ChoicesOrLengths.key(
        USUAL_PAPERS,
        choices=PAPERS,
        within=(300.0, 2500.0),
        length_says="the width of a roll",
        help='papers to print on, and rolls by their width, such as ["91.4 cm"|"36 in"]',
        also=("paper", "size", "sizes", "roll", "rolls"),
    )
    files: tuple[str, ...] = Choices.key(
        (),
        choices=FILES,
        help="more files: dxf has the cut parts for other programs, dxf-lines only outlines "
        "and notches for a cutter, projector one page of heavy lines",
        example=("dxf", "projector"),
        also=("file", "formats", "format"),
    )
    calibrate_across: float = Number.key(
        1.0,
        within=(0.95, 1.05),
        help="for a printer that is a little off: the true width of a printed square divided "
        "by the width it came out at, such as [100 mm by 99|4 in by 3 15/16]",
        hint=_FIT_TO_PAGE,
    )
    calibrate_along: float = Number.key(
        1.0, within=(0.95, 1.05), help="the same for its height", hint=_FIT_TO_PAGE
    )
    overlap: float = Length.key(
        within=(0, 20),
        help="how far neighbouring sheets overlap; 0 to butt them",
        usual=PAPER_OVERLAP,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Spec:
    """All that a pattern follows from. A dataclass here is a table of the file of that name.

    `alter` are the alterations of its `[[alter]]` tables, in their order.
    """

    title: str = Text.key(
        "", most=120, help="name of this pattern", example="Pants for the summer", also=("name",)
    )
    units: Units = Choice.key(
        "cm", choices=UNITS, help="unit of every bare number below", also=("unit",)
    )
    machines: tuple[str, ...] = Choices.key(
        USUAL_MACHINES,
        choices=MACHINES,
        help="the machines you have: stitches and thread follow from them",
        also=("machine", "sewing_machine", "sewing_machines"),
    )
    body: Body
    fabric: Fabric = field(default_factory=Fabric)
    style: Style = field(default_factory=Style)
    print: PrintOptions = field(default_factory=PrintOptions)
    alter: tuple[AlterationEntry, ...] = ()

    @property
    def home_paper(self) -> str:
        """The paper of every sheet that is not the pattern: "a4" or "letter".

        Of the two the one that is printed on; where both or neither are, who sews in inches has
        letter paper.
        """
        asked = [paper for paper in ("a4", "letter") if paper in self.print.papers]
        return asked[0] if len(asked) == 1 else "letter" if self.units == "in" else "a4"

    @property
    def who(self) -> str:
        """Whose it is and of what fabric; a name that the title begins with is not said again."""
        told = f"{self.title} ·".startswith(f"{self.body.name} ·")
        name = "" if told else self.body.name
        return " · ".join(x for x in (name, self.fabric.name) if x)


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
    text = load_text(Path(path), name)
    return build_spec(parse_toml(text, name), Path(path).parent)


#: Stands where the body does not matter.
_ANY_BODY: Final = {"height": "168 cm", "waist": "80 cm", "hip": "104 cm", "inside_leg": "77 cm"}


def load_style(path: str | os.PathLike[str] | None) -> Spec:
    """The spec in a file whose fabric and style are wanted for other bodies; None: all defaults.

    Its own body, if it has one, is not read. Raises InputError.
    """
    if path is None:
        return build_spec({"body": _ANY_BODY})
    return build_spec(load_toml(path) | {"body": _ANY_BODY}, Path(path).parent)


def load_toml(path: str | os.PathLike[str]) -> dict[str, Any]:
    """The tables in a TOML file as they stand there. Raises InputError."""
    name = clip(os.fspath(path), 120)
    return parse_toml(load_text(Path(path), name), name)


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
        raise too_large(source_name)
    return build_spec(parse_toml(text, source_name))


def build_spec(raw: dict[str, Any], folder: Path | None = None) -> Spec:
    """The spec in what a TOML reader returned; files it names are looked for in `folder`.

    Raises InputError.
    """
    tables = spec_tables()
    head = {key: value for key, value in raw.items() if key not in tables}
    units = read_units(head.pop("units", "cm"))
    altered = read_alterations(head.pop(ALTER, []), units)
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
    raw = _shared_file(folder / value, value, table)
    its_units = read_units(raw.pop("units", units))
    return raw.get(table, raw), its_units


def _shared_file(path: Path, name: str, table: str) -> dict[str, Any]:
    """The keys of a file that a spec names.

    A spec may come from somebody else, so it reads no file that is not meant for it, and no line of
    one is shown.
    """
    if not name.endswith(".toml"):
        raise InputError(
            table,
            describe(name),
            f'a table: a line [{table}], or the name of a file that ends in ".toml"',
        )
    if os.path.exists(path) and not os.path.isfile(path):
        raise InputError(table, describe(name), "the name of a file", "this is something else")
    return parse_toml(load_text(path, clip(str(path), 120)), clip(name, 120), quote=False)


def read_units(value: object) -> Units:
    """The units that a file names. Raises InputError."""
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
