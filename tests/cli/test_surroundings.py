"""Another user, other locales, a full disk, a folder that may not be written: the same words."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

BODY = '[body]\nname = "Işıl"\nheight = 168\nwaist = 82\nhip = 104\ninside_leg = 77\n'
PRINT = '[print]\npapers = ["a0"]\n'
#: Drafts into a first folder, so that everything is loaded, then as somebody who may not do
#: everything (nobody, where root runs the tests) and with a limit on file sizes into a second.
_TWICE = """
import os, sys
from outseam.cli.main import run
spec, first, second, most = sys.argv[1:]
try:
    run(["draft", spec, "--out", first])
except SystemExit as e:
    assert not e.code
if int(most):
    import resource
    resource.setrlimit(resource.RLIMIT_FSIZE, (int(most), int(most)))
elif os.getuid() == 0:
    os.setgroups([])
    os.setgid(65534)
    os.setuid(65534)
run(["draft", spec, "--out", second])
"""
posix = pytest.mark.skipif(os.name != "posix", reason="users and limits of POSIX systems")


@pytest.fixture
def spec() -> Iterator[Path]:
    """A spec in a folder that every user may look into, as pytest's own are not."""
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o755)
        path = Path(folder) / "isil.toml"
        path.write_text(BODY + PRINT, encoding="utf-8")
        yield path


def outseam(*arguments: str | Path, **surroundings: str) -> subprocess.CompletedProcess[bytes]:
    command = [sys.executable, "-m", "outseam.cli.main", *map(str, arguments)]
    plain = {k: v for k, v in os.environ.items() if not k.startswith(("LC_", "LANG"))}
    return subprocess.run(command, env=plain | surroundings, capture_output=True, check=False)


def refused_second(spec: Path, second: Path, most: int = 0) -> str:
    """Return what is said about the second folder, which could not be written."""
    command = [sys.executable, "-c", _TWICE, str(spec), str(spec.parent / "first"), str(second)]
    done = subprocess.run([*command, str(most)], capture_output=True, text=True, check=False)
    assert done.returncode == 2, done.stderr
    assert "Traceback" not in done.stderr
    return done.stderr


@posix
def test_a_folder_that_may_not_be_written_is_named_and_left(spec: Path) -> None:
    second = spec.parent / "second"
    second.mkdir()
    (second / "pattern.svg").write_text("old")
    second.chmod(0o555)
    try:
        says = refused_second(spec, second)
        assert "second" in says
        assert [p.name for p in second.iterdir()] == ["pattern.svg"]
        assert (second / "pattern.svg").read_text() == "old"
    finally:
        second.chmod(0o755)


@posix
def test_a_disk_that_fills_up_leaves_the_old_files(spec: Path) -> None:
    second = spec.parent / "second"
    second.mkdir()
    (second / "pattern.svg").write_text("old")
    assert "second" in refused_second(spec, second, most=4000)
    assert [p.name for p in second.iterdir()] == ["pattern.svg"]
    assert (second / "pattern.svg").read_text() == "old"


def test_figures_are_the_same_in_every_locale(spec: Path, tmp_path: Path) -> None:
    usual = outseam("check", spec, "--json", LC_ALL="C.UTF-8")
    assert usual.returncode == 0, usual.stderr
    assert outseam("check", spec, "--json", LC_ALL="C", PYTHONUTF8="0").stdout == usual.stdout
    localedef = shutil.which("localedef")
    if localedef is None:
        pytest.skip("localedef makes the Turkish locale, whose small i has no dot")
    made = [localedef, "-i", "tr_TR", "-f", "UTF-8", str(tmp_path / "tr_TR.UTF-8")]
    if subprocess.run(made, capture_output=True, check=False).returncode:
        pytest.skip("the source of the Turkish locale is not installed")
    turkish = outseam("check", spec, "--json", LC_ALL="tr_TR.UTF-8", LOCPATH=str(tmp_path))
    assert turkish.returncode == 0, turkish.stderr
    assert turkish.stdout == usual.stdout


def test_a_terminal_of_the_old_western_letters_reads_the_report(spec: Path) -> None:
    done = outseam("check", spec, PYTHONIOENCODING="latin-1", PYTHONUTF8="0")
    assert done.returncode == 0, done.stderr
    told = done.stdout.decode("latin-1")
    assert "±" in told
    assert "?" not in told.replace("I??l", "").replace("I?il", "")
