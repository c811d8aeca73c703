"""A folder of patterns for each person: a name a person finds, and all of its files or none."""

from __future__ import annotations

import os
import re
import shutil
import unicodedata
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import Final

from outseam.cli.batch.table import BodyRow
from outseam.cli.write.save import OutputError, flush_folder
from outseam.draft.inputs.text import clean_text

#: Longest name in bytes; file systems allow 255, and some of them count the whole path.
_LONGEST: Final = 80
#: Names that one common system keeps for devices.
_RESERVED: Final = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)", re.IGNORECASE)
#: A folder on its way, and one that is being replaced; nobody else's folders end so.
_NEW, _OLD = ".outseam-new", ".outseam-old"
#: What an earlier run wrote, and a new one does not leave behind.
_OURS: Final = re.compile(r"pattern[.-].*|summary\.json|preview\.png")


def safe_name(text: str) -> str:
    """Return a text as the name of a folder on any system, or "" if nothing is left of it.

    Letters of every script stay; marks that a system or a shell reads as its own become blanks,
    brackets too, so that a number in brackets can be put behind.
    """
    kept = [
        c if c in " -_+'" or unicodedata.category(c)[0] in "LMN" else " "
        for c in unicodedata.normalize("NFC", clean_text(text))
    ]
    name = " ".join("".join(kept).split()).strip(" -'")
    while len(name.encode()) > _LONGEST:
        name = name[:-1].rstrip()
    return f"{name} pants" if _RESERVED.fullmatch(name) else name


def folder_stem(number: int, row: BodyRow) -> str:
    """Return the name of a row's folder, before those of other rows are looked at."""
    return safe_name(row.get("name", "")) or safe_name(row.get("id", "")) or f"row {number}"


def folder_key(number: int, row: BodyRow) -> str:
    """Return what two folders may not share: systems differ in capitals and in how accents lie."""
    return unicodedata.normalize("NFKC", folder_stem(number, row)).casefold()


def folder_name(number: int, row: BodyRow, shared: frozenset[str]) -> str:
    """Return the name of a row's folder; rows of one name (`shared`) have their number behind."""
    stem = folder_stem(number, row)
    return f"{stem} ({number})" if folder_key(number, row) in shared else stem


def make_folder(folder: Path) -> None:
    """Make the folder that others are written into, if it is not there. Raises OutputError."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as e:
        raise OutputError(f"{folder}: the folder cannot be made ({e.strerror or e}).") from None


def write_folder(parent: Path, name: str, files: Mapping[str, bytes]) -> None:
    """Write a folder with these files under its name: whole, or not at all.

    What others put into an earlier folder of that name moves over. Raises OutputError.
    """
    fresh, target, old = parent / f".{name}{_NEW}", parent / name, parent / f".{name}{_OLD}"
    if target.exists() and not target.is_dir():
        raise OutputError(f"{target}: a file of that name is in the way; move it.")
    try:
        _clear(fresh)
        fresh.mkdir()
        for file, data in files.items():
            with (fresh / file).open("xb") as f:
                f.write(data)
                f.flush()
                os.fsync(f.fileno())
        flush_folder(fresh)
        if target.exists():
            os.rename(target, old)
        os.rename(fresh, target)
        flush_folder(parent)
        _move_over(old, target)
    except OSError as e:
        with suppress(OSError):
            _clear(fresh)
        raise OutputError(f"{target}: the folder cannot be written ({e.strerror or e}).") from None


def tidy(parent: Path) -> None:
    """Take away what a run that was killed left half done, and put back what it had moved.

    Only for a folder that no other run is writing to.
    """
    for path in parent.glob(f".*{_NEW}"):
        _clear(path)
    for old in parent.glob(f".*{_OLD}"):
        target = parent / old.name.removeprefix(".").removesuffix(_OLD)
        if target.exists():
            _move_over(old, target)
        else:
            os.rename(old, target)


def _move_over(old: Path, target: Path) -> None:
    if not old.is_dir():
        return
    for entry in old.iterdir():
        if not _OURS.fullmatch(entry.name) and not (target / entry.name).exists():
            os.rename(entry, target / entry.name)
    _clear(old)


def _clear(path: Path) -> None:
    if path.is_dir():
        shutil.rmtree(path)
