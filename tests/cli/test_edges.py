"""The edges of the system: odd files, closed pipes, full disks, poor terminals, little memory."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from outseam.cli.main import run
from outseam.cli.write.save import OutputError, save_all, save_files

BODY = "[body]\nheight = 168\nwaist = 82\nhip = 104\ninside_leg = 77\n"
OUTSEAM = (sys.executable, "-m", "outseam.cli.main")

posix = pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="pipes by name are of POSIX")


@pytest.fixture
def spec(tmp_path: Path) -> Path:
    path = tmp_path / "spec.toml"
    path.write_text(BODY)
    return path


def said(capsys: pytest.CaptureFixture[str], *arguments: str | Path) -> tuple[int, str, str]:
    with pytest.raises(SystemExit) as stopped:
        run([str(a) for a in arguments])
    out, err = capsys.readouterr()
    assert "Traceback" not in err
    assert isinstance(stopped.value.code, int)
    return stopped.value.code, out, err


@posix
def test_a_folder_of_odd_things_is_listed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "folder.toml").mkdir()
    (tmp_path / "gone.toml").symlink_to("/nowhere/at/all.toml")
    (tmp_path / "round.toml").symlink_to("round.toml")
    (tmp_path / "bytes.toml").write_bytes(b"[style]\n\xff\xfe")
    os.mkfifo(tmp_path / "pipe.toml")  # reading it would wait for ever
    (tmp_path / "good.toml").write_text(BODY)
    code, out, _ = said(capsys, "list", tmp_path)
    assert code == 0
    for name in ("gone", "round", "bytes", "good"):
        assert f"{name}.toml" in out
    assert "folder.toml" not in out
    assert "pipe.toml" not in out


def test_a_file_for_a_folder_is_told(spec: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, _, err = said(capsys, "list", spec)
    assert code == 2
    assert "this is a file" in err


def test_what_may_not_be_read_is_told(
    spec: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    # as root every folder can be read, so the system's refusal is simulated
    def refused(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refused)
    monkeypatch.setattr(Path, "exists", refused)
    monkeypatch.setattr(Path, "is_dir", refused)
    monkeypatch.setattr(os, "scandir", refused)
    assert "may not be read" in said(capsys, "check", spec)[2]
    assert "Permission denied" in said(capsys, "list", spec.parent)[2]


@pytest.mark.parametrize("number", ["1e307", "-1e308", "1e-320", "9" * 400])
def test_a_number_beyond_all_measure(
    spec: Path, number: str, capsys: pytest.CaptureFixture[str]
) -> None:
    spec.write_text(BODY.replace("104", number))
    code, _, err = said(capsys, "check", spec)
    assert code == 2
    assert "body.hip" in err


@pytest.mark.parametrize("inside", ["=x", "=1e5e5", "=1.5", ">", ""])
def test_an_invisible_mark_in_a_value_is_no_mark_of_ours(
    spec: Path, inside: str, capsys: pytest.CaptureFixture[str]
) -> None:
    spec.write_text(BODY.replace("104", f'"\u2063{inside}\u2063"'), "utf-8")
    code, _, err = said(capsys, "check", spec)
    assert code == 2
    assert "body.hip" in err


DEEP = {
    "dotted": ".".join("a" * 40_000) + " = 1\n",
    "spaced": " . ".join(["'a'", '"b"', "c"] * 9) + " = 1\n",
    "heading": "[" + ".".join("a" * 40_000) + "]\n",
    "in a table": "a = {" + ".".join("a" * 40_000) + " = 1}\n",
    "lists": "a = " + "[" * 400_000,
    "tables": "a = " + "{a = " * 100_000,
}


@pytest.mark.parametrize("name", DEEP)
def test_a_deep_file_is_refused_at_once(
    spec: Path, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    spec.write_text(BODY + DEEP[name])
    start = time.process_time()
    code, _, err = said(capsys, "check", spec)
    assert code == 2
    assert len(err) < 700
    assert time.process_time() - start < 5.0, "it took half a minute when such keys were read"


def test_dots_in_texts_and_comments_are_no_keys(spec: Path) -> None:
    from outseam.draft.spec.spec import load_spec

    dots = "a.b.c.d.e.f.g.h.i.j.k"
    spec.write_text(f"# {dots}\ntitle = '{dots}' # {dots}\n" + BODY + f'name = "\\"{dots}"\n')
    assert load_spec(spec).title == dots


@pytest.mark.parametrize("name", ["secret", "secret.toml"])
def test_a_file_that_a_spec_names_is_never_shown(
    spec: Path, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    (spec.parent / name).write_text("hip = 90\nroot:x:0:0:/root:/bin/sh\n")
    for named in (name, str(spec.parent / name)):
        spec.write_text(f'body = "{named}"\n')
        code, out, err = said(capsys, "check", spec)
        assert code == 2
        assert "root:x" not in out + err


@posix
def test_a_spec_does_not_wait_for_a_pipe_it_names(
    spec: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    os.mkfifo(spec.parent / "pipe.toml")
    spec.write_text('body = "pipe.toml"\n')
    assert said(capsys, "check", spec)[0] == 2


@posix
def test_a_device_or_a_pipe_is_no_place_for_a_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    (tmp_path / "link").symlink_to(pipe)
    (tmp_path / "bodies.csv").write_text("waist,hip\n")
    for where in (pipe, tmp_path / "link", Path(os.devnull)):
        before = os.lstat(where).st_mode
        for command in (
            ("measure", "--out", where),
            ("init", "--replace", where),
            ("batch", tmp_path / "bodies.csv", "--json", where),
        ):
            code, _, err = said(capsys, *command)
            assert code == 2, command
            assert "a device or a pipe" in err
        assert os.lstat(where).st_mode == before


def test_a_link_stays_a_link_and_who_may_read_stays(tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    real = tmp_path / "elsewhere" / "real.toml"
    real.write_bytes(b"old")
    real.chmod(0o600)
    link = tmp_path / "link.toml"
    link.symlink_to("elsewhere/real.toml")
    assert save_all(tmp_path, {"link.toml": b"new"}) == (link,)
    assert link.is_symlink()
    assert real.read_bytes() == b"new"
    assert real.stat().st_mode & 0o777 == 0o600
    assert [p.name for p in real.parent.iterdir()] == ["real.toml"]


def test_a_link_that_leads_nowhere_is_told(tmp_path: Path) -> None:
    (tmp_path / "round").symlink_to("round")
    with pytest.raises(OutputError, match="back to itself"):
        save_all(tmp_path, {"round": b"new"})


def test_files_in_two_folders_are_written_together_or_not_at_all(tmp_path: Path) -> None:
    first, second = tmp_path / "a" / "x", tmp_path / "b" / "c" / "y"
    (tmp_path / "b").write_bytes(b"a file")
    with pytest.raises(OutputError, match=r"not written to .*b/c: .*Nothing was changed"):
        save_files({first: b"1", second: b"2"})
    assert sorted(p.name for p in tmp_path.iterdir()) == ["b"]
    (tmp_path / "b").unlink()
    save_files({first: b"1", second: b"2"})
    assert (first.read_bytes(), second.read_bytes()) == (b"1", b"2")


def test_what_a_kill_left_is_taken_away_and_nothing_else(tmp_path: Path) -> None:
    old, young = time.time() - 3600, time.time()
    left = {
        ".outseam-0123abcd-0.new": old,
        ".outseam-0123abcd-12.old": old,
        ".outseam-89abcdef-0.new": young,  # another run may be at it just now
        ".outseam-notes.new": old,
        ".mine.new": old,
    }
    for name, when in left.items():
        (tmp_path / name).write_bytes(b"")
        os.utime(tmp_path / name, (when, when))
    save_all(tmp_path, {"a": b""})
    kept = {".outseam-89abcdef-0.new", ".outseam-notes.new", ".mine.new", "a"}
    assert {p.name for p in tmp_path.iterdir()} == kept


def test_a_lay_beside_a_spec_in_a_read_only_folder(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from outseam.cli.write import save

    real = save._write

    def refused(path: Path, data: bytes) -> None:
        if path.parent == spec.parent:
            raise PermissionError(13, "Permission denied")
        real(path, data)

    monkeypatch.setattr(save, "_write", refused)
    code, out, _ = said(capsys, "lay", spec, "--seconds", "0", "--out", tmp_path / "lay")
    assert code == 0
    assert "lay.svg" in out
    assert "not kept beside the spec: you may not write there" in out
    assert (tmp_path / "lay" / "lay.svg").exists()


def test_an_alteration_that_cannot_be_kept_changes_nothing(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from outseam.cli.write import save

    real = save._write

    def refused(path: Path, data: bytes) -> None:
        if path.parent == spec.parent:
            raise PermissionError(13, "Permission denied")
        real(path, data)

    monkeypatch.setattr(save, "_write", refused)
    sign = "the waist gapes at the back"
    monkeypatch.setattr("outseam.cli.commands.fit._show", lambda *_: None)
    from outseam.draft.alter.signs import SIGNS

    sign = next(s.key for s in SIGNS if s.alteration and s.alters and s.alters.legs != "one")
    code, _, err = said(capsys, "fit", spec, "--see", sign, "--out", tmp_path / "fit")
    assert code == 2
    assert "Nothing was changed" in err
    assert not (tmp_path / "fit").exists()
    assert spec.read_text() == BODY


def shell(line: str, tmp_path: Path, **more: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        ["bash", "-c", f"set -o pipefail; {line}", "bash", *OUTSEAM],
        cwd=tmp_path,
        env={**os.environ, **more},
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=120,
        check=False,
    )


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a full disk needs /dev/full")
def test_a_report_onto_a_full_disk(spec: Path) -> None:
    done = shell('"$@" measure --out m.html > /dev/full', spec.parent)
    assert done.returncode == 2
    assert "could not be printed (No space left on device); wrote m.html" in done.stderr
    assert "Traceback" not in done.stderr
    assert (spec.parent / "m.html").exists()


@posix
def test_a_reader_that_goes_away(spec: Path) -> None:
    spec.write_text(BODY + '[print]\npapers = ["a0"]\n')
    done = shell('"$@" draft spec.toml --out out | true', spec.parent)
    assert done.returncode == 141
    assert "wrote out/pattern.svg" in done.stderr
    assert done.stderr.count("\n") == 1


@posix
def test_a_terminal_that_lacks_the_characters(spec: Path) -> None:
    done = shell('"$@" check spec.toml', spec.parent, PYTHONIOENCODING="ascii", LC_ALL="C")
    assert done.returncode == 0, done.stderr
    assert "+/-" in done.stdout
    assert "?" not in done.stdout


@posix
def test_a_shell_with_too_little_memory_is_told_at_once(spec: Path) -> None:
    done = shell('ulimit -v 300000; "$@" check spec.toml', spec.parent)
    assert done.returncode == 2
    assert done.stderr.startswith("outseam: this shell allows a program 307 MB")


@posix
def test_closed_output_is_no_failure(spec: Path) -> None:
    done = shell('"$@" init new.toml >&- 2>&-', spec.parent)
    assert done.returncode == 0
    assert (spec.parent / "new.toml").exists()
