"""Alterations written into the text of a spec, and taken off again, with all else as it was.

The text is handled with tomlkit, which keeps comments and layout. An alteration goes to the end of
the file; where the file does not end with a line break the addition does not either, so that
taking it off gives the same bytes back.
"""

from __future__ import annotations

import datetime
import re
import tomllib
from typing import Any, Final

import tomlkit

from outseam.draft.inputs.errors import InputError
from outseam.draft.spec.spec import ALTER

#: What some editors put before a text.
MARK: Final = "\ufeff"
_HEADER: Final = re.compile(r"[ \t]*\[\[[ \t]*(?:alter|\"alter\"|'alter')[ \t]*\]\][ \t]*(#.*)?")
_BY_HAND: Final = "change it with a text editor"


def data_of(text: str) -> dict[str, Any]:
    """Return what is in a text. Raises tomllib.TOMLDecodeError."""
    return tomllib.loads(text.removeprefix(MARK))


def ending_of(text: str) -> str:
    """Return the line break that a text uses."""
    return "\r\n" if "\r\n" in text else "\n"


def _entry(keys: dict[str, str]) -> str:
    """One alteration as TOML, with plain line breaks."""
    table = tomlkit.table()
    for key, value in keys.items():
        table.append(key, datetime.date.fromisoformat(value) if key == "date" else value)
    array = tomlkit.aot()
    array.append(table)
    document = tomlkit.document()
    document.append(ALTER, array)
    return tomlkit.dumps(document).strip("\n") + "\n"


def with_alteration(text: str, keys: dict[str, str]) -> str:
    """Return a spec's text with one more `[[alter]]` at its end; `keys` are what it holds.

    `date` is a day, year first. Raises InputError where the file holds its alterations in another
    form, so that none can be added below.
    """
    ending = ending_of(text)
    entry = _entry(keys).replace("\n", ending)
    if text.endswith("\n"):
        made = text + ending + entry
    else:
        made = text + 2 * ending + entry.removesuffix(ending)
    before = data_of(text)
    try:
        after = data_of(made)
    except tomllib.TOMLDecodeError:
        after = {}
    if after.get(ALTER, [])[:-1] != before.get(ALTER, []) or _rest(after) != _rest(before):
        raise InputError(
            ALTER, "these are not written as [[alter]] tables", "[[alter]], one for each", _BY_HAND
        )
    return made


def without_last(text: str) -> str:
    """Return a spec's text without its last alteration.

    Comments below its keys stay. Raises InputError where there is none, or where it cannot be
    taken off without touching anything else.
    """
    before = data_of(text)
    entries = before.get(ALTER, [])
    if not entries:
        raise InputError(ALTER, "there is no alteration to take off", hint="the file is as it was")
    made = _cut(text)
    after = data_of(made) if made is not None else {}
    if made is None or after.get(ALTER, []) != entries[:-1] or _rest(after) != _rest(before):
        raise InputError(
            ALTER, "the last alteration stands among other lines in an unusual way", hint=_BY_HAND
        )
    return made


def _rest(data: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in data.items() if key != ALTER}


def _cut(text: str) -> str | None:
    """Return the text without the lines of the last `[[alter]]`; None where none is found."""
    lines = text.split("\n")
    heads = [i for i, line in enumerate(lines) if _HEADER.fullmatch(line.rstrip("\r"))]
    if not heads:
        return None
    first = heads[-1]
    end = first + 1
    for i in range(first + 1, len(lines)):
        bare = lines[i].strip()
        if bare.startswith("["):
            break
        if bare and not bare.startswith("#"):
            end = i + 1
    kept, rest = lines[:first], lines[end:]
    if kept and not kept[-1].strip():
        kept = kept[:-1]
    # The entry stood last and without a line break: so did what stood last before it.
    return "\n".join(kept + rest) if rest else "\n".join(kept).removesuffix("\r")
