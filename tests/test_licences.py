"""Whose work is installed with the program, and under which licence: `LICENSES.md` is complete.

Written by `pytest tests/test_licences.py --rewrite` from what the packages say of themselves. A
package that is locked but not installed on this system keeps the line that it has.
"""

from __future__ import annotations

import re
from importlib.metadata import PackageMetadata, PackageNotFoundError, files, metadata
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
LIST = ROOT / "LICENSES.md"

_HEAD = """# Licences of what is installed

outseam itself is under the MIT licence (`LICENSE`), the font it prints with under that of DejaVu (`cli/scene/fonts/LICENSE-DejaVu.txt`), the survey figures in `draft/data` are in the public domain. What pip installs with it is listed here, as each package says of itself; its own files, and the libraries that it brings along, come with their licences in the package. Shapely computes with GEOS (LGPL 2.1), which its package brings along.
"""  # noqa: E501
_PARTS = (
    ("requirements.lock", "Installed with the program"),
    ("requirements-dev.lock", "For developers only"),
)
#: Long licence names of old classifiers, and their usual short ones (SPDX).
_SHORT = {
    "MIT License": "MIT",
    "BSD License": "BSD",
    "Apache Software License": "Apache-2.0",
    "Python Software Foundation License": "PSF-2.0",
    "GNU Lesser General Public License v3 or later (LGPLv3+)": "LGPL-3.0-or-later",
    "Mozilla Public License 2.0 (MPL 2.0)": "MPL-2.0",
}
_ROW = re.compile(r"^\| ([\w.-]+) \| ([^|]+) \|$", re.MULTILINE)


def locked(name: str) -> list[str]:
    """Return the packages of a lock file, each once."""
    found = re.findall(r"^([\w.-]+)==", (ROOT / name).read_text("utf-8"), re.MULTILINE)
    return list(dict.fromkeys(found))


def licence(said: PackageMetadata) -> str:
    """Return the licence as a package names it: expression, classifier or free text."""
    for key in ("License-Expression", "License"):
        text = (said[key] or "").strip().splitlines() if key in said else []
        if text and len(text[0]) <= 60 and text[0] != "UNKNOWN":
            return _SHORT.get(text[0], text[0])
    names = [
        c.rpartition(" :: ")[2]
        for c in said.get_all("Classifier", [])
        if c.startswith("License :: ") and not c.endswith("OSI Approved")
    ]
    return ", ".join(_SHORT.get(n, n) for n in names) or _first_line(said["Name"])


def _first_line(package: str) -> str:
    """Return how the licence file of a package begins that says nothing else of it."""
    for file in files(package) or ():
        if file.name.upper().startswith("LICEN"):
            line = file.read_text("utf-8").strip().splitlines()[0]
            return _SHORT.get(line, line)
    return ""


def rows(kept: str) -> dict[str, str]:
    """Return the licence of every locked package."""
    found = {name: what.strip() for name, what in _ROW.findall(kept)}
    for lock, _ in _PARTS:
        for name in locked(lock):
            try:
                said = metadata(name)
            except PackageNotFoundError:
                continue
            found[name] = licence(said)
    return found


def text(found: dict[str, str]) -> str:
    """Return the whole list."""
    parts, seen = [_HEAD], set[str]()
    for lock, title in _PARTS:
        names = [n for n in locked(lock) if n not in seen]
        seen.update(names)
        lines = [f"| {n} | {found.get(n, '')} |" for n in names]
        parts.append(f"\n## {title}\n\n| package | licence |\n|---|---|\n")
        parts.append("\n".join(lines) + "\n")
    return "".join(parts)


def test_every_package_that_is_installed_is_listed(request: pytest.FixtureRequest) -> None:
    kept = LIST.read_text("utf-8") if LIST.exists() else ""
    found = rows(kept)
    if request.config.getoption("--rewrite"):
        LIST.write_text(text(found), "utf-8")
        kept = text(found)
    listed = {name: what.strip() for name, what in _ROW.findall(kept)}
    for lock, _ in _PARTS:
        for name in locked(lock):
            assert listed.get(name), f"{name} has no licence in LICENSES.md"
            assert listed[name] == found[name], f"{name} has changed its licence"


def test_nothing_is_installed_that_may_not_be_passed_on() -> None:
    found = rows(LIST.read_text("utf-8"))
    for name in locked("requirements.lock"):
        assert re.search(
            r"MIT|BSD|Apache|PSF|LGPL|MPL|ISC|HPND|Zlib|Unlicense|Python",
            found[name],
            re.IGNORECASE,
        ), f"{name}: {found[name]}"


def test_every_locked_package_has_hashes() -> None:
    for lock, _ in _PARTS:
        for entry in re.split(r"\n(?=\S)", (ROOT / lock).read_text("utf-8")):
            if "==" in entry.partition("\n")[0]:
                assert re.search(r"--hash=sha256:[0-9a-f]{64}", entry), entry[:60]
