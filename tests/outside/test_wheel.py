"""The wheel, as pip and setuptools make it: one import name, all packages, and it drafts."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Built from what git would hand out, so that nothing built before slips in."""
    folder = tmp_path_factory.mktemp("wheel")
    source = folder / "source"
    for name in ("curves", "draft", "cli", "pyproject.toml", "README.md", "LICENSE"):
        target = source / name
        target.parent.mkdir(exist_ok=True)
        subprocess.run(["cp", "-r", str(ROOT / name), str(target)], check=True)
    build = [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "--no-build-isolation"]
    subprocess.run([*build, "-w", str(folder), str(source)], check=True, capture_output=True)
    (found,) = folder.glob("*.whl")
    return found


def test_it_brings_one_name_only(wheel: Path) -> None:
    names = zipfile.ZipFile(wheel).namelist()
    assert {n.split("/")[0].split("-")[0] for n in names} == {"outseam"}
    assert "outseam/py.typed" in names
    assert not [n for n in names if n.startswith("outseam/cli/api/")]
    here = {p.name for p in (ROOT / "cli").rglob("*.py")}
    assert here <= {Path(n).name for n in names}


def test_it_drafts_away_from_the_checkout(wheel: Path, tmp_path: Path) -> None:
    site, empty = tmp_path / "site", tmp_path / "empty"
    zipfile.ZipFile(wheel).extractall(site)
    empty.mkdir()
    code = (
        "import outseam, pathlib; assert pathlib.Path(outseam.__file__).is_relative_to(r'%s');"
        "from outseam.cli.main import run; run(['draft', '--out', 'demo'])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code % site],
        cwd=empty,
        env=os.environ | {"PYTHONPATH": str(site)},
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    assert (empty / "demo" / "pattern-a4.pdf").stat().st_size > 10_000
