"""The folder that the page shows: which files are specs, and nothing outside of it.

Besides the specs there is one hidden folder, `.outseam`, with the earlier texts of each file and
the versions that were kept; nobody else on the machine may read it.
"""

from __future__ import annotations

import contextlib
import re
import unicodedata
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from outseam.cli.write.save import OutputError, save_all
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.text import clip
from outseam.draft.inputs.toml_file import LARGEST_FILE_BYTES
from outseam.draft.spec.spec import SHARED, spec_tables

ENDING: Final = ".toml"
_MOST_NAME: Final = 60
_HIDDEN: Final = ".outseam"
_MOST_KEPT: Final = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Folder:
    """A folder of specs. `root` is resolved: no link leads out of it unseen."""

    root: Path

    def names(self) -> tuple[str, ...]:
        """Return the names of the files that look like specs, without their ending, in order."""
        found = []
        for path in sorted(self.root.glob(f"*{ENDING}")):
            if not path.name.startswith(".") and self._inside(path) and path.is_file():
                found.append(path.name.removesuffix(ENDING))
        return tuple(found)

    def _inside(self, path: Path) -> bool:
        try:
            return path.resolve().parent == self.root
        except (OSError, RuntimeError, ValueError):
            return False

    def path(self, name: str) -> Path:
        """Return the file of a spec. Raises KeyError for a name that is none of this folder."""
        if name not in self.names():
            raise KeyError(name)
        return self.root / f"{name}{ENDING}"

    def read(self, path: Path) -> str:
        """Return the text of a file in the folder, line breaks as they are. Raises InputError."""
        if not self._inside(path):
            raise InputError(clip(path.name), "it lies outside of this folder", hint="copy it here")
        try:
            with path.open("rb") as file:
                data = file.read(LARGEST_FILE_BYTES + 1)
            if len(data) > LARGEST_FILE_BYTES:
                raise InputError(path.name, "the file is larger than 1 MB")
            return data.decode("utf-8")
        except OSError as e:
            raise InputError(path.name, f"it cannot be read ({e.strerror})") from None
        except UnicodeDecodeError:
            raise InputError(
                path.name, "it is not plain UTF-8 text", hint="save it again as UTF-8"
            ) from None

    def refuse_outside(self, data: dict[str, Any]) -> None:
        """Raise InputError where a spec leaves a body or a fabric to a file that lies elsewhere."""
        for table in SHARED:
            name = data.get(table)
            if isinstance(name, str) and not self._inside(self.root / name):
                raise InputError(
                    table,
                    f'"{clip(name)}" lies outside of this folder',
                    "a file in the folder that the page was opened on",
                    "copy it here",
                )

    def save(self, path: Path, text: str) -> None:
        """Write a file of the folder, whole or not at all. Raises OutputError."""
        assert self._inside(path)
        save_all(path.parent, {path.name: text.encode("utf-8")})

    def create(self, title: str, text: str) -> str:
        """Write a new spec under a name made from its title; return that name."""
        stem = file_stem(title)
        taken = {p.name.casefold() for p in self.root.iterdir()}
        name, number = stem, 2
        while f"{name}{ENDING}".casefold() in taken:
            name, number = f"{stem}-{number}", number + 1
        self.save(self.root / f"{name}{ENDING}", text)
        return name

    # --- earlier texts ---------------------------------------------------------------------------

    def shelf_of(self, kind: str, name: str) -> Path:
        """Return the hidden folder for the earlier texts or kept versions of a spec, made."""
        place = self.root / _HIDDEN
        for part in ("", kind, name):
            place = place / part if part else place
            place.mkdir(mode=0o700, exist_ok=True)
        return place

    def stored(self, kind: str, name: str) -> list[Path]:
        """Return the stored texts of a spec, the oldest first."""
        place = self.root / _HIDDEN / kind / name
        return sorted(place.glob(f"[0-9]*{ENDING}")) if place.is_dir() else []

    def store(self, kind: str, name: str, text: str) -> None:
        """Store a text of a spec behind those that are stored; of many the oldest go.

        In a folder that may only be read nothing is stored: its specs can be looked at all the
        same, and saving the spec itself says so.
        """
        with contextlib.suppress(OSError, OutputError):
            self._store(kind, name, text)

    def _store(self, kind: str, name: str, text: str) -> None:
        place, there = self.shelf_of(kind, name), self.stored(kind, name)
        number = int(there[-1].stem.split("-")[0]) + 1 if there else 1
        path = place / f"{number:06d}{ENDING}"
        save_all(place, {path.name: text.encode("utf-8")})
        path.chmod(0o600)
        for old in there[: max(0, len(there) + 1 - _MOST_KEPT)]:
            old.unlink(missing_ok=True)


def file_stem(title: str) -> str:
    """Return a plain file name for a title: letters, figures and hyphens; `pants` for nothing."""
    plain = unicodedata.normalize("NFKD", title)
    plain = "".join(c for c in plain if not unicodedata.combining(c)).casefold()
    stem = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:_MOST_NAME].strip("-")
    return stem or "pants"


def is_spec(data: dict[str, Any]) -> bool:
    """Whether a file is a spec of its own, and not a shared body or fabric."""
    tables = [t for t in spec_tables() if t not in SHARED]
    return any(t in data for t in (*tables, "title")) or all(t in data for t in SHARED)
