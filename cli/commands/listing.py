"""The command that shows a folder of specs: whose, what, and whether each can be read."""

from __future__ import annotations

import os
from pathlib import Path

from outseam.cli.commands.exit_codes import DONE
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import show_length
from outseam.draft.inputs.toml_file import LARGEST_FILE_BYTES
from outseam.draft.spec.spec import Spec, load_spec


def rows_of(folder: Path) -> list[tuple[str, ...]]:
    """Return a row per spec of a folder, by name: file, title, body, hip, style, what is wrong.

    Files that are no specs of their own (a shared body or fabric) are left out. Raises InputError
    for a folder that is none.
    """
    rows: list[tuple[str, ...]] = []
    for path in _toml_files(folder):
        try:
            spec = load_spec(path)
        except InputError as e:
            if _is_spec(path):
                rows.append((path.name, "", "", "", "", str(e)))
            continue
        rows.append((path.name, *_words(spec), ""))
    return rows


def _toml_files(folder: Path) -> list[Path]:
    """Return the files of a folder that may be specs, by name; what is no file waits for nobody."""
    try:
        found = [entry.name for entry in os.scandir(folder) if _maybe_file(entry)]
    except FileNotFoundError:
        raise InputError(str(folder), "there is no such folder", hint="check the name") from None
    except NotADirectoryError:
        raise InputError(str(folder), "this is a file", "a folder", "name its folder") from None
    except (OSError, ValueError) as e:
        reason = getattr(e, "strerror", None) or str(e)
        raise InputError(str(folder), f"the folder cannot be read ({reason})") from None
    return [folder / name for name in sorted(found) if name.endswith(".toml")]


def _maybe_file(entry: os.DirEntry[str]) -> bool:
    """Whether an entry is a file, or a link or name of which nothing can be known."""
    try:
        return entry.is_file() or (entry.is_symlink() and not os.path.exists(entry.path))
    except OSError:
        return True


def _is_spec(path: Path) -> bool:
    """Whether a file that cannot be used looks like a spec rather than a shared table.

    One that cannot even be read is told.
    """
    try:
        with path.open(encoding="utf-8", errors="replace") as file:
            text = file.read(LARGEST_FILE_BYTES)
    except OSError:
        return True
    return any(line.strip() in ("[style]", "[print]") for line in text.splitlines())


def _words(spec: Spec) -> tuple[str, str, str, str]:
    s = spec.style
    length = s.length if s.inseam is None else f"inseam {show_length(s.inseam, spec.units)}"
    rise = s.rise if isinstance(s.rise, str) else show_length(s.rise, spec.units)
    style = f"{s.leg}, {s.fit}, rise {rise}, {length}"
    return spec.title, spec.body.name, show_length(spec.body.hip, spec.units), style


def list_command(folder: Path) -> int:
    """Print the folder's specs. Returns the exit code."""
    from rich.console import Console
    from rich.markup import escape
    from rich.table import Table

    rows = rows_of(folder)
    console = Console(highlight=False)
    if not rows:
        console.print("No specs here. Start one with: outseam init")
        return DONE
    table = Table(header_style="")
    for name in ("file", "title", "body", "hip", "style"):
        table.add_column(name)
    for *cells, wrong in rows:
        table.add_row(*(escape(c) for c in cells[:4]), escape(wrong or cells[4]))
    console.print(table)
    return DONE
