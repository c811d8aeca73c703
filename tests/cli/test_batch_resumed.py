"""A batch that was stopped goes on where it stopped, and ends with the same bytes."""

from __future__ import annotations

import json
import os
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing, suppress
from pathlib import Path

import pytest

from outseam.cli.batch import patterns
from outseam.cli.batch.journal import Result, journal_path, open_journal, row_mark
from outseam.cli.batch.rows import Defaults, RowResult, draft_rows
from outseam.cli.batch.run import plan_batch
from outseam.cli.batch.table import BodyRow
from outseam.cli.main import run

HEADER = "id,build,height,waist,hip,inside_leg,crotch_length\n"
ROWS = 20
#: Rows of the batches that are stopped for real, a chunk of few rows at a time.
MANY = 40
IN_SMALL_CHUNKS = """
import sys
from outseam.cli import main
from outseam.cli.batch import run
run.CHUNK = 2
main.run(sys.argv[1:])
"""
#: The same, but it says so after some chunks and waits to be stopped, however quick it is.
WAITING = """
import signal, time
signal.signal(signal.SIGINT, signal.default_int_handler)  # even where the tests run in a background
from outseam.cli.batch.journal import Journal
add, chunks = Journal.add, []
def waiting(*args):
    chunks.append(add(*args))
    if len(chunks) == 4:
        print("waiting", flush=True)
        time.sleep(120.0)
    return chunks[-1]
Journal.add = waiting
"""


def write(path: Path, count: int = ROWS, crotch: float = 70.0) -> Path:
    """Write bodies that differ from row to row; the third cannot be drafted."""
    rows = [f"r{i},women,{160 + i % 20},82,{104 if i != 2 else 9.7},77," for i in range(count)]
    rows[1] += str(crotch)
    path.write_text(HEADER + "\n".join(rows) + "\n")
    return path


def done(bodies: Path, out: Path, *more: str, code: int = 0) -> bytes:
    with pytest.raises(SystemExit) as stopped:
        run(["batch", str(bodies), "--json", str(out), "--jobs", "1", *more])
    assert stopped.value.code == code
    return out.read_bytes() if out.exists() else b""


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The results of a run that nobody interrupted."""
    folder = tmp_path_factory.mktemp("whole")
    return done(write(folder / "b.csv"), folder / "o.jsonl")


@pytest.fixture(scope="module")
def many(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The same for more rows."""
    folder = tmp_path_factory.mktemp("many")
    return done(write(folder / "b.csv", MANY), folder / "o.jsonl")


class StoppedError(Exception):
    """Stands for whatever ends a run."""


def beside(out: Path) -> list[Path]:
    """The journal of an output, and what the database keeps beside it."""
    return sorted(out.parent.glob(f"{journal_path(out).name}*"))


def kept_rows(out: Path) -> int:
    with closing(sqlite3.connect(journal_path(out))) as database:
        return int(database.execute("SELECT count(*) FROM done").fetchone()[0])


@pytest.fixture
def left(tmp_path: Path, whole: bytes) -> Path:
    """The output of a run that was stopped after five rows; its part lies beside it."""
    bodies, out = write(tmp_path / "b.csv"), tmp_path / "o.jsonl"
    out.write_bytes(b"earlier\n")
    run_of = plan_batch(bodies)
    marks = [run_of.mark(row) for row in run_of.rows()]
    results = [
        Result(drafted='"status": "drafted"' in line, line=line)
        for line in whole.decode().splitlines()
    ]
    with suppress(StoppedError), open_journal(out, run_of.origin) as journal:
        assert journal.taken_up(marks) is not None
        assert journal.add(marks[:5], results[:5]) == 4
        raise StoppedError
    assert [p.name for p in beside(out)] == [".o.jsonl.part"]
    return out


@pytest.fixture
def drafted(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """The numbers of the rows that are drafted from here on."""
    numbers: list[int] = []

    def counted(defaults: Defaults, first: int, rows: list[BodyRow]) -> list[RowResult]:
        numbers.extend(range(first, first + len(rows)))
        return draft_rows(defaults, first, rows)

    monkeypatch.setattr(patterns, "draft_rows", counted)
    return numbers


@pytest.mark.skipif(os.name != "posix", reason="signals")
@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGINT])
def test_stopped_for_real_and_taken_up(how: signal.Signals, tmp_path: Path, many: bytes) -> None:
    bodies, out = write(tmp_path / "b.csv", MANY), tmp_path / "o.jsonl"
    out.write_bytes(b"earlier\n")
    options = ["batch", str(bodies), "--json", str(out), "--jobs", "2"]
    child = subprocess.Popen(
        [sys.executable, "-c", WAITING + IN_SMALL_CHUNKS, *options],
        stderr=subprocess.PIPE,
        stdout=subprocess.PIPE,
        start_new_session=True,
    )
    assert child.stdout is not None
    assert child.stdout.readline() == b"waiting\n"
    if how is signal.SIGINT:
        os.killpg(child.pid, how)  # as the terminal does: the processes it started get it too
    else:
        child.kill()
    _, says = child.communicate(timeout=60)
    # The workers hold the pipes too: that communicate() came back says that they have ended.
    assert child.returncode == (130 if how is signal.SIGINT else -how)
    assert out.read_bytes() == b"earlier\n"
    kept = kept_rows(out)
    assert kept == 8
    if how is signal.SIGINT:
        assert f"{kept} of {MANY} rows are done" in says.decode()
        assert "run the same command" in says.decode()
        assert "Traceback" not in says.decode()
    command = [sys.executable, "-c", IN_SMALL_CHUNKS, *options]
    again = subprocess.run(command, capture_output=True)
    assert again.returncode == 0
    assert f"Going on after row {kept} of {MANY}".encode() in again.stderr
    assert out.read_bytes() == many
    assert sorted(p.name for p in tmp_path.iterdir()) == ["b.csv", "o.jsonl"]


def test_only_the_rest_is_drafted(left: Path, whole: bytes, drafted: list[int]) -> None:
    assert done(left.with_name("b.csv"), left) == whole
    assert drafted == list(range(6, ROWS + 1))
    assert not journal_path(left).exists()


def test_counts_include_the_earlier_run(left: Path, capsys: pytest.CaptureFixture[str]) -> None:
    done(left.with_name("b.csv"), left)
    assert f"Drafted {ROWS - 1} of {ROWS} bodies, refused 1." in capsys.readouterr().out


@pytest.mark.parametrize("torn", [1, 300, 5000])
def test_torn_journal_ends_in_the_same_bytes(torn: int, left: Path, whole: bytes) -> None:
    part = journal_path(left)
    part.write_bytes(part.read_bytes()[:-torn])
    assert done(left.with_name("b.csv"), left) == whole
    assert beside(left) == []


@pytest.mark.parametrize("content", [b"", b"outseam batch of old\n", os.urandom(9000)])
def test_what_is_no_journal_is_begun_anew(
    content: bytes, left: Path, whole: bytes, drafted: list[int]
) -> None:
    journal_path(left).write_bytes(content)
    assert done(left.with_name("b.csv"), left) == whole
    assert drafted[0] == 1


def test_lost_block_is_drafted_again(left: Path, whole: bytes, drafted: list[int]) -> None:
    """A disk can give back zeros where it was given words."""
    part = journal_path(left)
    data = part.read_bytes()
    middle = data.index(b'"id": "r3"')
    part.write_bytes(data[:middle] + b"\0" * 20 + data[middle + 20 :])
    assert done(left.with_name("b.csv"), left) == whole
    assert drafted[0] == 4


def test_another_style_starts_anew(
    left: Path, drafted: list[int], capsys: pytest.CaptureFixture[str]
) -> None:
    spec = left.with_name("s.toml")
    spec.write_text("[body]\nheight=160\nwaist=70\nhip=90\ninside_leg=72\n[style]\nleg='palazzo'\n")
    lines = done(left.with_name("b.csv"), left, "--style", str(spec)).splitlines()
    assert drafted == list(range(1, ROWS + 1))
    assert "another style" in capsys.readouterr().err
    assert len(lines) == ROWS
    assert json.loads(lines[0])["hem_mm"] > 600


def test_changed_row_that_was_done_starts_anew(
    left: Path, whole: bytes, drafted: list[int], capsys: pytest.CaptureFixture[str]
) -> None:
    changed = done(write(left.with_name("b.csv"), crotch=71.0), left).splitlines()
    assert drafted == list(range(1, ROWS + 1))
    assert "other rows" in capsys.readouterr().err
    one, before = (json.loads(lines[1]) for lines in (changed, whole.splitlines()))
    assert one["crotch_seam_mm"] - before["crotch_seam_mm"] == pytest.approx(10.0, abs=0.05)


def test_shorter_input_starts_anew(left: Path, whole: bytes, drafted: list[int]) -> None:
    short = done(write(left.with_name("b.csv"), count=3), left)
    assert drafted == [1, 2, 3]
    assert short == b"".join(whole.splitlines(keepends=True)[:3])


def test_rows_added_at_the_end_go_on(left: Path, drafted: list[int]) -> None:
    lines = done(write(left.with_name("b.csv"), count=ROWS + 2), left).splitlines()
    assert drafted[0] == 6
    assert len(lines) == ROWS + 2


def test_anew_on_request(left: Path, whole: bytes, drafted: list[int]) -> None:
    assert done(left.with_name("b.csv"), left, "--anew") == whole
    assert drafted[0] == 1


def test_another_version_of_the_program_starts_anew(
    left: Path, drafted: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("outseam.cli.batch.journal._program", lambda: "next version")
    done(left.with_name("b.csv"), left)
    assert drafted[0] == 1


def test_two_batches_do_not_write_one_file(left: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with open_journal(left, "x"):
        assert done(left.with_name("b.csv"), left, code=2) == b"earlier\n"
    assert "another batch" in capsys.readouterr().err


def test_folder_in_the_way(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "o.jsonl").mkdir()
    with pytest.raises(SystemExit) as stopped:
        run(["batch", str(write(tmp_path / "b.csv", 3)), "--json", str(tmp_path / "o.jsonl")])
    assert stopped.value.code == 2
    assert "folder" in capsys.readouterr().err


def test_interrupted_before_the_first_row_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(patterns, "draft_rows", stop)
    bodies = write(tmp_path / "b.csv", 3)
    done(bodies, tmp_path / "o.jsonl", code=130)
    assert "no row" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == [bodies]


def test_mark_of_a_row_tells_value_and_column() -> None:
    row = {"hip": "104", "waist": "82"}
    assert row_mark(row) == row_mark({"waist": "82", "hip": "104"})
    assert row_mark(row) != row_mark({"hip": "82", "waist": "104"})
    assert row_mark(row) != row_mark({"hip": "104", "waist": "82.0"})


def test_style_file_that_changed_starts_its_row_anew(left: Path, drafted: list[int]) -> None:
    """What a row says may stand in a file that it only names."""
    style = left.with_name("s.toml")
    style.write_text("[style]\nleg = 'palazzo'\n")
    run_of = plan_batch(left.with_name("b.csv"))
    row = {"id": "a", "style": "s.toml"}
    before = run_of.mark(row)
    assert run_of.mark(row) == before
    style.write_text("[style]\nleg = 'flare'\n# longer, so that no clock is needed\n")
    assert run_of.mark(row) != before
