"""The shelf: every spec of the folder as a card, and new specs from nothing or from an old one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final

from outseam.cli.fitting.spec_text import data_of
from outseam.cli.page.clock import told_time
from outseam.cli.page.drafting import broken, spec_of
from outseam.cli.page.folder import Folder, is_spec
from outseam.cli.page.key_text import with_key
from outseam.cli.wording.alterations import entry_words
from outseam.draft.inputs.errors import InputError, OutseamError
from outseam.draft.inputs.show import Units
from outseam.draft.inputs.text import clean_text

_NEW: Final = """# {title}
title = {quoted}
units = "{units}"

# Measured over underwear. Four measurements are needed: height, waist, hip and inside_leg.
[body]

# The fabric in hand. Without these lines a stable knit is assumed.
[fabric]

# The pants you want.
[style]
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """What stands on a card; `wrong` is the sentence for a file that cannot be used as it is.

    `shared` is the file of the fabric that it shares with others, empty where it has its own.
    """

    name: str
    title: str
    person: str = ""
    cloth: str = ""
    style: str = ""
    altered: str = ""
    date: str = ""
    wrong: str = ""
    shared: str = ""


def cards(folder: Folder) -> list[Card]:
    """Return a card for every spec; files that are shared by specs have none."""
    found = []
    for name in folder.names():
        path = folder.path(name)
        date = told_time(path.stat().st_mtime)
        try:
            text = folder.read(path)
        except OutseamError as e:
            found.append(Card(name=name, title=name, date=date, wrong=str(e)))
            continue
        fault = broken(text, path.name)
        if fault is not None:
            found.append(Card(name=name, title=name, date=date, wrong=fault.says))
            continue
        data = data_of(text)
        if is_spec(data):
            found.append(_card(folder, name, data, date))
    return found


def rows_of(found: Sequence[Card]) -> list[tuple[str, list[Card]]]:
    """Return the cards in rows, each with its heading: those of a class that sews one cloth.

    Specs that share the file of their fabric stand together; all others come first, under "".
    """
    counts = Counter(c.shared for c in found if c.shared)
    several = [name for name, count in counts.items() if count > 1]
    rows = [("", [c for c in found if c.shared not in several])]
    for name in several:
        row = [c for c in found if c.shared == name]
        cloth = next((c.cloth for c in row if c.cloth), name)
        rows.append((f"{len(row)} in {cloth}", row))
    return [(heading, row) for heading, row in rows if row]


def _card(folder: Folder, name: str, data: dict[str, Any], date: str) -> Card:
    title = _text(data.get("title")) or name
    body, fabric = _table(data, "body"), _table(data, "fabric")
    try:
        spec = spec_of(folder, data)
    except InputError:
        return Card(
            name=name,
            title=title,
            person=_text(body.get("name")),
            cloth=_text(fabric.get("name")),
            date=date,
            wrong="Not all is measured yet.",
            shared=_text(data.get("fabric")),
        )
    style = spec.style
    return Card(
        name=name,
        title=title,
        person=spec.body.name,
        cloth=spec.fabric.name or f"a {spec.fabric.kind}",
        style=f"{style.leg} leg, {style.fit}",
        altered=entry_words(spec.alter, spec.units),
        date=date,
        shared=_text(data.get("fabric")),
    )


def _text(value: object) -> str:
    return clean_text(value) if isinstance(value, str) else ""


def _table(data: dict[str, Any], key: str) -> dict[str, Any]:
    value = data.get(key)
    return value if isinstance(value, dict) else {}


@lru_cache(maxsize=256)
def _picture(text: str, folder: Folder) -> tuple[tuple[float, float], tuple[str, ...]] | None:
    from outseam.cli.page.drafting import draft_of
    from outseam.cli.page.flat import flat_paths, laid_out

    found = draft_of(folder, data_of(text))
    if found.pattern is None:
        return None
    data = flat_paths(laid_out(found.pattern))
    return data["size"], tuple(d for _, kind, d in data["paths"] if kind == "cut")


def picture(folder: Folder, name: str) -> str:
    """Return the pieces of a spec as a small SVG picture; an empty sheet where there is no draft.

    Raises KeyError for a name that is none.
    """
    path = folder.path(name)
    try:
        found = _picture(folder.read(path), folder)
    except (OutseamError, ValueError):
        found = None
    (wide, high), paths = found or ((900.0, 1200.0), ())
    drawn = "".join(f'<path d="{d}"/>' for d in paths)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}">'
        f'<g fill="#fffdf8" stroke="#231f1c" stroke-width="9" stroke-linejoin="round">{drawn}</g>'
        "</svg>"
    )


def start(folder: Folder, title: str, units: Units, old: str | None = None) -> str:
    """Write a new spec, empty or like an old one, and return its name.

    Raises InputError, OutputError, and KeyError for an old one that is none.
    """
    title = clean_text(title)
    if not title:
        raise InputError("title", "nothing", "a few words that tell it from others", "name it")
    if len(title) > 120:
        raise InputError("title", "more than 120 characters", "a few words", "shorten it")
    if old is not None:
        text = with_key(folder.read(folder.path(old)), "", "title", title)
        return folder.create(title, text)
    quoted = '"' + title.replace("\\", "\\\\").replace('"', '\\"') + '"'
    return folder.create(title, _NEW.format(title=title, quoted=quoted, units=units))
