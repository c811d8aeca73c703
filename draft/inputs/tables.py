"""Tables of the spec file, derived from frozen dataclasses: an attribute with a kind is a key.

    hip: float = Length.key(within=(600, 2200), help="round the fullest part of the seat")

A key without default is required. Reading, help, the starter file and every sentence about a key
come from that line.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final, TypeVar, cast

from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import Units, in_system
from outseam.draft.inputs.text import clip, closest, describe, listing
from outseam.draft.inputs.value_kinds import KIND, Choices, Flag, Kind, Text

T = TypeVar("T")

#: Stands for "no default": the key has to be given.
REQUIRED: Final = dataclasses.MISSING


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One key of a table: its name, what it may hold, and what serves when it is left out."""

    key: str
    kind: Kind
    default: Any

    @property
    def required(self) -> bool:
        """Whether the key has to be given."""
        return self.default is REQUIRED

    def usual(self, units: Units) -> Any:
        """What serves when the key is left out of a file in these units."""
        usual = getattr(self.kind, "usual", None)
        return self.default if usual is None else usual.mm(units)

    def default_says(self, units: Units) -> str:
        """What serves when the key is left out, in a few words; "" for a required key."""
        if self.required:
            return ""
        if self.kind.default_says:
            return in_system(self.kind.default_says, units)
        usual = self.usual(units)
        return "" if usual in (None, "") else self.kind.shows(usual, units)


def _derive_table(cls: type[Any]) -> tuple[Field, ...]:
    return tuple(
        Field(key=one.name, kind=one.metadata[KIND], default=one.default)
        for one in dataclasses.fields(cls)
        if KIND in one.metadata
    )


def _derive_keys(cls: type[Any]) -> dict[str, Field]:
    return {field.key: field for field in table_of(cls)}


#: The keys that a frozen dataclass declares with `Kind.key`, in their order.
table_of = cast("Callable[[type[Any]], tuple[Field, ...]]", lru_cache(_derive_table))
_by_key = cast("Callable[[type[Any]], dict[str, Field]]", lru_cache(_derive_keys))


def read_table(
    cls: type[T],
    raw: object,
    *,
    table: str,
    units: Units,
    elsewhere: Mapping[str, str] | None = None,
) -> T:
    """A value of the dataclass `cls` from the keys of one table of the file.

    `table` is the table's name ("body"; "" for the top of the file); `elsewhere` tells which table
    a key of another table belongs to ("": the top). Raises InputError for an unknown key (with the
    likely one), a missing or a wrong value.
    """
    if not isinstance(raw, Mapping):
        raise InputError(table, describe(raw), f"a table: a line [{table}] with its keys below it")
    fields = _by_key(cls)
    values: dict[str, Any] = {}
    for key, value in raw.items():
        field = fields.get(key)
        if field is None:
            raise unknown_key(key, table, cls, elsewhere or {})
        values[key] = field.kind.read(value, _where(table, key), units)
    absent = [field for field in fields.values() if field.key not in values]
    missing = [field for field in absent if field.required]
    if missing:
        raise _missing(missing, table, units)
    return cls(**{field.key: field.usual(units) for field in absent}, **values)


#: The word for a key that is left out, so that its default serves.
LEFT_OUT: Final = "default"
_PLAIN_NUMBER: Final = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)")


def read_typed(field: Field, text: str, where: str, units: Units) -> object:
    """The value of a key typed outside a file: without quotes, on a command line or in a cell.

    "default" leaves the key out, words of a list are joined by +. Raises InputError.
    """
    if text == LEFT_OUT and not field.required:
        return field.usual(units)
    quoted = len(text) > 1 and text[0] == text[-1] and text[0] in "\"'"
    raw: object = text[1:-1] if quoted else text  # a lone mark at the end means inches
    if isinstance(field.kind, Text):
        raw = text
    elif _PLAIN_NUMBER.fullmatch(text):
        raw = float(text)
    elif isinstance(field.kind, Flag) and text in ("true", "false"):
        raw = text == "true"
    elif isinstance(field.kind, Choices):
        raw = [part.strip() for part in text.split("+")]
    return field.kind.read(raw, where, units)


def _where(table: str, key: str) -> str:
    return f"{table}.{key}" if table else key


def unknown_key(key: str, table: str, cls: type[Any], elsewhere: Mapping[str, str]) -> InputError:
    """The error for a key that the table does not have, with the one that was likely meant."""
    fields = table_of(cls)
    names = {word: field.key for field in fields for word in (field.key, *field.kind.also)}
    place = f"[{table}]" if table else "the top of the file"
    shown = clip(key) or '""'
    if key in names:  # another word for one of this table's own keys
        hint = f'here it is called "{names[key]}"'
    elif key in elsewhere:
        other = elsewhere[key]
        hint = f"it belongs to [{other}]: move it below that line"
        if not other:
            hint = "it belongs to the top of the file, above the first line in [ ]"
    elif near := closest(key.replace("-", "_").replace(" ", "_"), names):
        hint = f'did you mean "{names[near]}"?'
    else:
        hint = f"known here: {listing((field.key for field in fields), 'and')}"
    return InputError(_where(table, shown), f"{place} has no such key", hint=hint)


def _missing(missing: list[Field], table: str, units: Units) -> InputError:
    first, *rest = missing
    hint = in_system(first.kind.help, units)
    if rest:
        hint += f". Also needed: {listing((field.key for field in rest), 'and')}"
    return InputError(_where(table, first.key), "not given", first.kind.says(units), hint)
