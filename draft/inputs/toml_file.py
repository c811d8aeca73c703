"""A TOML file as it lies on the disk: read, bounded and parsed, or one sentence about why not."""

from __future__ import annotations

import os
import re
import tomllib
from pathlib import Path
from typing import Any, Final

from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.text import clip

#: A spec is a page of text. Anything above a megabyte is some other file.
LARGEST_FILE_BYTES: Final = 1_000_000

#: A key of a spec lies at most two tables deep. The TOML reader takes time with the square of the
#: depth, so a small file of dotted keys could keep it busy for minutes.
_DEEPEST_KEY: Final = 8

#: Comments and texts, in which dots mean nothing.
_NO_KEY: Final = re.compile(
    r"""#[^\n]*|\"{3}(?s:.*?)\"{3}|'{3}(?s:.*?)'{3}|"(?:[^"\\\n]|\\.)*+"|'[^'\n]*+'"""
)
_TOO_DEEP: Final = re.compile(rf"(?<![\w-])(?:[\w-]++[ \t]*+\.[ \t]*+){{{_DEEPEST_KEY}}}")


def too_large(name: str) -> InputError:
    """The error for a text above `LARGEST_FILE_BYTES`."""
    return InputError(
        name,
        "the file is larger than 1 MB",
        "a text file with a few dozen lines",
        "check that this is your measurements file",
    )


def load_text(path: Path, name: str) -> str:
    """The text of a file, which is called `name` in errors. Raises InputError."""
    hint = "check the name and the folder"
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE_BYTES + 1)
    except FileNotFoundError:
        raise InputError(name, "there is no such file", hint=hint) from None
    except IsADirectoryError:
        raise InputError(name, "this is a folder", "a file", hint) from None
    except PermissionError:
        if os.path.isdir(path):  # how some systems answer for a folder
            raise InputError(name, "this is a folder", "a file", hint) from None
        raise InputError(
            name, "the file may not be read", hint="change its permissions or copy it"
        ) from None
    except (OSError, ValueError) as error:  # ValueError: a zero byte in the name
        reason = getattr(error, "strerror", None) or str(error)
        raise InputError(name, f"the file cannot be read ({reason})", hint=hint) from None
    if len(data) > LARGEST_FILE_BYTES:
        raise too_large(name)
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


def parse_toml(text: str, name: str, *, quote: bool = True) -> dict[str, Any]:
    """The keys of a text. Raises InputError, which shows the faulty line if it may `quote` it."""
    if deep := _TOO_DEEP.search(_NO_KEY.sub(_blank, text)):
        line = text.count("\n", 0, deep.start()) + 1
        raise InputError(
            name,
            f"line {line}: a key of more than {_DEEPEST_KEY} parts",
            "such as body.hip at most",
            "check that this is your measurements file",
        )
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise _broken(text, name, str(error), quote=quote) from None
    except RecursionError:
        raise InputError(
            name, "lists or tables are nested too deeply", hint="write one key = value per line"
        ) from None
    except ValueError:  # from int(): thousands of digits
        raise InputError(
            name, "one of the numbers has thousands of digits", hint="check what was typed"
        ) from None


def _blank(found: re.Match[str]) -> str:
    """As many characters that are no key, so that all else stays in its place."""
    return re.sub(r"[^\n]", "=", found[0])


def _broken(text: str, name: str, message: str, *, quote: bool) -> InputError:
    match = _POSITION.search(message)
    what = message[: match.start()] if match else message
    lines = text.removesuffix("\n").split("\n")
    at_end = match is None or match.group(1) is None
    number = len(lines) if at_end else int(match.group(1))  # type: ignore[union-attr]
    column = "" if at_end else f", column {match.group(2)}"  # type: ignore[union-attr]
    shown = clip(lines[number - 1], 60) if quote and number <= len(lines) else ""
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
