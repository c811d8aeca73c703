"""One key of a spec's text set or taken out, with every comment and all else as it was.

A key that is there keeps its place and its comment. A new one takes the place of its commented-out
line, if the file has one, or stands below the last key of its table; one that is taken out becomes
a comment again. Each result is read back: nothing but the one key may differ.
"""

from __future__ import annotations

import re
import tomllib
from typing import Any, Final, TypeAlias

import tomlkit

from outseam.cli.fitting.spec_text import MARK, data_of, ending_of
from outseam.draft.inputs.errors import InputError

#: What a key of a spec can hold.
Raw: TypeAlias = str | int | float | bool | list[str]

_HEADER: Final = re.compile(r"\s*\[")


class OtherValueError(Exception):
    """The same key was changed elsewhere meanwhile; `theirs` is what the file has now."""

    def __init__(self, theirs: Any) -> None:
        self.theirs = theirs
        super().__init__(str(theirs))


def value_in(data: dict[str, Any], table: str, key: str) -> Any:
    """Return what a key holds, None where it is left out; `table` is "" for the top."""
    holder = data.get(table, {}) if table else data
    return holder.get(key) if isinstance(holder, dict) else None


def with_key(text: str, table: str, key: str, value: Raw | None) -> str:
    """Return the text with a key set, or left out where `value` is None.

    Raises InputError where that cannot be done without touching anything else.
    """
    before = data_of(text)
    if value_in(before, table, key) == value:
        return text
    mark = MARK if text.startswith(MARK) else ""
    plain = text.removeprefix(MARK).replace("\r\n", "\n")
    made = mark + _edited(plain, before, table, key, value).replace("\n", ending_of(text))
    if not _only(before, made, table, key, value):
        where = f"{table}.{key}" if table else key
        raise InputError(
            where,
            "it stands in the file in an unusual way",
            hint="change it with a text editor, one line key = value",
        )
    return made


def _only(before: dict[str, Any], made: str, table: str, key: str, value: Raw | None) -> bool:
    """Whether the one key is as wanted and everything else as it was."""
    try:
        after = data_of(made)
    except tomllib.TOMLDecodeError:
        return False
    wanted = {k: dict(v) if isinstance(v, dict) else v for k, v in before.items()}
    holder = wanted.setdefault(table, {}) if table else wanted
    if not isinstance(holder, dict):
        return False
    if value is None:
        holder.pop(key, None)
    else:
        holder[key] = value
    return after == wanted


def _edited(text: str, before: dict[str, Any], table: str, key: str, value: Raw | None) -> str:
    there = value_in(before, table, key) is not None
    if value is None:
        return _without(text, table, key)
    if there:
        document = tomlkit.parse(text)
        holder: Any = document[table] if table else document
        holder[key] = value
        return tomlkit.dumps(document)
    return _inserted(text, table, key, value)


def _line(key: str, value: Raw) -> str:
    return f"{key} = {tomlkit.item(value).as_string()}"


def _region(lines: list[str], table: str) -> tuple[int, int] | None:
    """Return the lines of a table, first and one past the last, without its heading."""
    heads = [i for i, line in enumerate(lines) if _HEADER.match(line) and "=" not in line]
    if not table:
        return 0, heads[0] if heads else len(lines)
    own = re.compile(rf"\s*\[\s*{re.escape(table)}\s*\]\s*(#.*)?")
    for n, i in enumerate(heads):
        if own.fullmatch(lines[i]):
            return i + 1, heads[n + 1] if n + 1 < len(heads) else len(lines)
    return None


def _key_line(key: str, *, commented: bool) -> re.Pattern[str]:
    return re.compile(rf"(\s*){'#' if commented else ''}[ \t]*{re.escape(key)}[ \t]*=.*")


def _inserted(text: str, table: str, key: str, value: Raw) -> str:
    lines = text.split("\n")
    region = _region(lines, table)
    if region is None:
        body = text if not text or text.endswith("\n") else text + "\n"
        return f"{body}{'' if not body else chr(10)}[{table}]\n{_line(key, value)}\n"
    first, last = region
    waiting = _key_line(key, commented=True)
    for i in range(first, last):
        if waiting.fullmatch(lines[i]):
            lines[i] = _line(key, value)
            return "\n".join(lines)
    at = first
    for i in range(first, last):
        bare = lines[i].strip()
        if bare and not bare.startswith("#"):
            at = i + 1
    if not table and at == 0:  # below the comment that the file begins with
        while at < last and lines[at].startswith("#"):
            at += 1
    lines.insert(at, _line(key, value))
    return "\n".join(lines)


def _without(text: str, table: str, key: str) -> str:
    lines = text.split("\n")
    region = _region(lines, table)
    if region is not None:
        there = _key_line(key, commented=False)
        for i in range(*region):
            if there.fullmatch(lines[i]):
                lines[i] = "#" + lines[i].lstrip()
                return "\n".join(lines)
    document = tomlkit.parse(text)
    holder: Any = document[table] if table else document
    holder.pop(key, None)
    return tomlkit.dumps(document)
