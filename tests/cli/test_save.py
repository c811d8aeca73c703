"""Files reach a folder together or not at all."""

import errno
import os
import subprocess
import sys
from pathlib import Path

import pytest

from outseam.cli.write.save import WRITTEN, OutputError, save_all

FILES = {"a.svg": b"new a", "b.pdf": b"new b" * 1000, "c.txt": b""}


def content(folder):
    return {p.name: p.read_bytes() for p in Path(folder).iterdir()}


@pytest.fixture
def earlier(tmp_path):
    """A folder with earlier files, one of which will be replaced."""
    (tmp_path / "b.pdf").write_bytes(b"old b")
    (tmp_path / "mine.txt").write_bytes(b"mine")
    return tmp_path


BEFORE = {"b.pdf": b"old b", "mine.txt": b"mine"}


def test_all_files_are_written_and_nothing_else_is_left(earlier):
    paths = save_all(earlier, FILES)
    assert paths == tuple(earlier / name for name in FILES)
    assert content(earlier) == {**FILES, "mine.txt": b"mine"}


def test_missing_folders_are_made(tmp_path):
    save_all(tmp_path / "x" / "y", FILES)
    assert content(tmp_path / "x" / "y") == FILES


def test_a_read_only_place_is_said_in_a_sentence(earlier, monkeypatch):
    # as root every folder can be written to, so the refusal itself is simulated
    def refused(*args, **kwargs):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    monkeypatch.setattr("builtins.open", refused)
    with pytest.raises(OutputError, match=r"may not write there.*Nothing was changed\.$"):
        save_all(earlier, FILES)
    monkeypatch.undo()
    assert content(earlier) == BEFORE


@pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write anywhere"
)
def test_a_really_unwritable_folder(earlier):
    earlier.chmod(0o555)
    try:
        with pytest.raises(OutputError, match="may not write there"):
            save_all(earlier, FILES)
    finally:
        earlier.chmod(0o755)
    assert content(earlier) == BEFORE


def test_the_folder_is_a_file_or_lies_under_one(tmp_path):
    (tmp_path / "out").write_bytes(b"a file")
    with pytest.raises(OutputError, match="it is a file"):
        save_all(tmp_path / "out", FILES)
    with pytest.raises(OutputError, match="choose another folder"):
        save_all(tmp_path / "out" / "deeper", FILES)
    assert content(tmp_path) == {"out": b"a file"}


def test_a_folder_in_the_way_of_a_file(earlier):
    (earlier / "c.txt").mkdir()
    with pytest.raises(OutputError, match="a folder of that name"):
        save_all(earlier, FILES)
    assert sorted(p.name for p in earlier.iterdir()) == ["b.pdf", "c.txt", "mine.txt"]
    assert (earlier / "b.pdf").read_bytes() == b"old b"
    assert not list((earlier / "c.txt").iterdir())


def test_a_name_too_long_for_the_disk_is_found_before_anything_is_lost(earlier):
    with pytest.raises(OutputError, match="shorter"):
        save_all(earlier, {**FILES, "n" * 300: b"x"})
    assert content(earlier) == BEFORE


@pytest.mark.parametrize("broken", range(len(FILES)))
def test_a_disk_that_fills_up_on_any_file(earlier, monkeypatch, broken):
    real, calls = os.fsync, []

    def full(handle):
        calls.append(handle)
        if len(calls) == broken + 1:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        real(handle)

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OutputError, match="disk is full"):
        save_all(earlier, FILES)
    assert content(earlier) == BEFORE
    calls.clear()
    with pytest.raises(OutputError, match="disk is full"):
        save_all(earlier / "new" / "deep", FILES)
    assert content(earlier) == BEFORE


def test_a_real_limit_on_file_size_leaves_the_folder_alone(earlier):
    # the kernel itself refuses the write (EFBIG), in a process of its own
    pytest.importorskip("resource")
    program = (
        "import resource, signal, sys\n"
        "from outseam.cli.write.save import save_all, OutputError\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))\n"
        "try:\n"
        "    save_all(sys.argv[1], {'a.svg': b'small', 'b.pdf': b'x' * 100_000})\n"
        "except OutputError as error:\n"
        "    print(error)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, str(earlier)], capture_output=True, text=True, check=True
    )
    assert done.stdout.startswith("The files were not written to ")
    assert content(earlier) == BEFORE


@pytest.mark.parametrize("error", [KeyboardInterrupt, OSError(errno.EIO, "I/O error"), MemoryError])
@pytest.mark.parametrize("moves", [0, 1, 2])
def test_an_interruption_while_the_files_are_moved_puts_everything_back(
    earlier, monkeypatch, error, moves
):
    real, calls = os.replace, iter(range(100))

    def interrupted(source, target):
        if next(calls) == moves:
            raise error
        real(source, target)

    monkeypatch.setattr(os, "replace", interrupted)
    expected = OutputError if isinstance(error, OSError) else error
    with pytest.raises(expected):
        save_all(earlier, FILES)
    assert content(earlier) == BEFORE


def test_an_interruption_right_after_a_move_is_undone_too(earlier, monkeypatch):
    real = os.replace
    seen = []

    def moved_then_stopped(source, target):
        real(source, target)
        seen.append(target)
        if len(seen) == 2:
            raise KeyboardInterrupt

    monkeypatch.setattr(os, "replace", moved_then_stopped)
    with pytest.raises(KeyboardInterrupt):
        save_all(earlier, FILES)
    assert content(earlier) == BEFORE


def test_earlier_files_survive_without_hard_links(earlier, monkeypatch):
    def no_links(*args, **kwargs):
        raise OSError(errno.EPERM, "no links here")

    real, calls = os.replace, iter(range(100))

    def interrupted(source, target):
        real(source, target)
        if next(calls) == 1:
            raise KeyboardInterrupt

    monkeypatch.setattr(os, "link", no_links)
    monkeypatch.setattr(os, "replace", interrupted)
    with pytest.raises(KeyboardInterrupt):
        save_all(earlier, FILES)
    assert content(earlier) == BEFORE


@pytest.mark.parametrize("name", ["", ".", "..", "a/b", "../a", "/etc/a", "a\0b"])
def test_names_that_lead_elsewhere_are_refused(tmp_path, name):
    with pytest.raises(ValueError, match="plain file name"):
        save_all(tmp_path, {name: b"x"})
    assert not list(tmp_path.iterdir())


def test_what_was_written_is_not_remembered_without_end(tmp_path):
    """A page saves all day; the farewell of a command needs its own files only."""
    most = WRITTEN.maxlen
    assert most is not None
    WRITTEN.extend([tmp_path / "before"] * most)
    save_all(tmp_path, {"last.txt": b"x"})
    assert len(WRITTEN) == most
    assert WRITTEN[-1] == tmp_path / "last.txt"
    WRITTEN.clear()
