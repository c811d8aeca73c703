"""The fields of the page: every key of the spec's tables under a heading, and what stands in each.

They are derived from the tables, so that a new key is on the page without a line here; a heading
only says where it goes, and a word what it is called where its key alone would not tell.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final

from outseam.cli.page.drafting import NEEDED
from outseam.cli.page.key_text import value_in
from outseam.cli.page.typed import field_text, length_text
from outseam.draft.body.table import Body
from outseam.draft.fabric import Fabric
from outseam.draft.inputs.show import Units, in_system, show_length
from outseam.draft.inputs.tables import Field, table_of
from outseam.draft.inputs.text import capital
from outseam.draft.inputs.value_kinds import (
    Choice,
    ChoiceOrLength,
    Choices,
    ChoicesOrLengths,
    Flag,
    Length,
    Number,
    Ratio,
    Text,
)
from outseam.draft.model import Pattern
from outseam.draft.spec.spec import PrintOptions
from outseam.draft.style import Style

_TABLES: Final[dict[str, type[Any]]] = {
    "body": Body,
    "fabric": Fabric,
    "style": Style,
    "print": PrintOptions,
}

#: What a field is called where its key is not enough.
_NAMES: Final = {
    "body.name": "whose measurements",
    "body.build": "figures of",
    "fabric.name": "cloth",
    "fabric.kind": "kind of cloth",
    "fabric.width": "width of the cloth",
    "fabric.weight": "weight of the cloth",
    "fabric.one_way": "one way",
    "style.leg": "leg",
    "style.flare_from": "flare start",
    "style.pocket_opening": "pocket mouth",
    "print.papers": "papers",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldGroup:
    """A heading and its keys, `table.key`; without keys, all that no heading of the table names."""

    key: str
    title: str
    table: str
    keys: tuple[str, ...]


def _groups(table: str, *told: tuple[str, str, str]) -> tuple[FieldGroup, ...]:
    """Return the headings of a table, each told by its key, its title, and its keys as words."""
    return tuple(
        FieldGroup(key=key, title=title, table=table, keys=tuple(keys.split()))
        for key, title, keys in told
    )


GROUPS: Final = {
    "herself": _groups(
        "body",
        ("needed", "Four are needed", " ".join(NEEDED)),
        (
            "crotch",
            "These matter most after them",
            "crotch_length front_crotch_length back_crotch_length "
            "waist_height waist_above_navel waist_to_hip",
        ),
        ("round", "Round the leg", "thigh knee calf ankle foot"),
        ("other", "Other ways to the same heights", ""),
        ("who", "Whose they are", "name build"),
    ),
    "style": _groups(
        "style",
        (
            "shape",
            "Shape",
            "leg fit rise length inseam hem_width knee_width flare_from front_rise back_rise",
        ),
        ("band", "Waistband", "band elastic_width band_height elastic_ratio"),
        (
            "pockets",
            "Pockets, belt, ankle",
            "pocket pocket_opening patch_width patch_height belt belt_tie ankle ankle_opening",
        ),
        ("sewing", "Allowances and matching", ""),
    ),
    "cloth": _groups(
        "fabric",
        (
            "stretch",
            "How it is made and stretches",
            "name kind stretch_across stretch_along recovery weight",
        ),
        ("lie", "How it lies", "width length_in_hand fold one_way slippery gap"),
        ("print", "Wash, stripes and border", ""),
    ),
    "paper": _groups("print", ("paper", "Printer", "")),
}
#: The calibration has a field of its own, in the words of the square on page 1.
_ELSEWHERE: Final = ("print.calibrate_across", "print.calibrate_along")


def fields_of(group: FieldGroup) -> list[Field]:
    """Return the keys under a heading."""
    by_key = {f.key: f for f in table_of(_TABLES[group.table])}
    if group.keys:
        return [by_key[k] for k in group.keys]
    taken = {k for gs in GROUPS.values() for g in gs if g.table == group.table for k in g.keys}
    return [
        f
        for f in by_key.values()
        if f.key not in taken and f"{group.table}.{f.key}" not in _ELSEWHERE
    ]


def field_named(table: str, key: str) -> Field:
    """Return a key of a table. Raises KeyError; the title of the file is the one key of ""."""
    if (table, key) == ("", "title"):
        return Field(key="title", kind=Text(most=120, help="name of this pattern"), default="")
    return {f.key: f for f in table_of(_TABLES[table])}[key]


def name_of(table: str, key: str) -> str:
    """Return what a field is called: the measurement's own name."""
    return _NAMES.get(f"{table}.{key}", key.replace("_", " "))


def control_of(field: Field) -> str:
    """Return how a key is entered: words, choice, choices, flag, length, ratio, number, text."""
    kinds = {
        Length: "length",
        ChoiceOrLength: "words",
        Ratio: "ratio",
        Number: "number",
        Choice: "choice",
        Choices: "choices",
        ChoicesOrLengths: "choices",
        Flag: "flag",
    }
    return kinds.get(type(field.kind), "text")


def form_of(groups: tuple[FieldGroup, ...], shown: Units) -> list[dict[str, Any]]:
    """Return headings and fields for the page's text; what stands in them comes with the state."""
    return [
        {
            "key": g.key,
            "title": g.title,
            "fields": [_field(g.table, f, shown) for f in fields_of(g)],
        }
        for g in groups
    ]


def _field(table: str, f: Field, shown: Units) -> dict[str, Any]:
    kind = f.kind
    choices = getattr(kind, "choices", ())
    default = f.default if isinstance(kind, Choice) and isinstance(f.default, str) else ""
    low, high = getattr(kind, "low", None), getattr(kind, "high", None)
    return {
        "id": f"{table}.{f.key}",
        "table": table,
        "key": f.key,
        "name": name_of(table, f.key),
        "control": control_of(f),
        "help": capital(in_system(kind.help, shown)) + ".",
        "choices": [c for c in choices if c != "none" or isinstance(kind, Choice)],
        "needed": f.required,
        "default": default,
        "low": low,
        "high": high,
    }


def state_of(
    data: dict[str, Any],
    pattern: Pattern | None,
    shown: Units,
    units_of: Callable[[str], Units],
) -> dict[str, dict[str, Any]]:
    """Return what stands in every field: `value`, `raw` as in the file, `estimate`, `empty`."""
    found: dict[str, dict[str, Any]] = {}
    for groups in GROUPS.values():
        for g in groups:
            for f in fields_of(g):
                raw = value_in(data, g.table, f.key)
                found[f"{g.table}.{f.key}"] = {
                    "raw": raw,
                    "value": _value(f, raw, shown, units_of(g.table)),
                    "empty": _empty(g.table, f, pattern, shown),
                }
    return found


def _value(f: Field, raw: Any, shown: Units, units: Units) -> Any:
    if control_of(f) == "choices":
        given = f.default if raw is None else raw if isinstance(raw, list) else [raw]
        return [str(x) for x in given if x != "none"]
    if isinstance(f.kind, Flag):
        return bool(raw)
    return field_text(f.kind, raw, shown, units)


def _empty(table: str, f: Field, pattern: Pattern | None, shown: Units) -> str:
    """Return what serves while a field is left empty: an estimate with its ±, or a default."""
    if table == "body" and pattern is not None:
        e = pattern.measures.estimate(f.key)
        if e is not None:
            return f"{length_text(e.mm, shown)} ± {show_length(e.sd_mm, shown)}"
        return ""
    if f.required or table == "body":
        return ""
    return f.default_says(shown)
