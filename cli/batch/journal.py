"""What a batch has done so far, kept beside its output until the output is whole.

A database with one row for each row done: what the row was, and its result. The next run goes on
behind the rows it has, provided that they follow from the same style and program and are the first
rows of its input. So an interruption at any moment, a power cut included, costs what was not yet
on the disk, and never mixes two inputs or two styles.
"""

from __future__ import annotations

import hashlib
import json
import os
import sqlite3
import time
import zlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Final

from outseam.cli.write.save import OutputError, refuse_special

#: What is done reaches the disk at least this often, so that a power cut costs no more.
_SYNC_S: Final = 3.0
#: Packages whose version may change the last digit of a figure.
_PACKAGES: Final = ("outseam", "numpy", "scipy", "shapely")
_TABLES: Final = (
    "CREATE TABLE IF NOT EXISTS origin (digest TEXT)",
    "CREATE TABLE IF NOT EXISTS done (number INTEGER PRIMARY KEY, mark TEXT, drafted INTEGER, "
    "line TEXT, about TEXT, crc INTEGER)",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """What is kept of a row: its line of JSON, and what a class sheet tells, JSON too."""

    drafted: bool
    line: str
    about: str = ""

    @property
    def crc(self) -> int:
        """A checksum, for a disk that does not keep what it was given."""
        return zlib.crc32(f"{self.drafted:d} {self.line}\n{self.about}".encode())


@dataclass(frozen=True, slots=True)
class Done:
    """Rows that an earlier run has done, and how many of them were drafted."""

    rows: int
    drafted: int


def _version(package: str) -> str:
    try:
        return version(package)
    except PackageNotFoundError:  # run from its folder, not installed
        return ""


@cache
def _program() -> str:
    """Return a digest of what drafts: versions of the packages and the source itself.

    The version alone would let a batch go on under a program that was changed in place.
    """
    digest = hashlib.sha256(" ".join(map(_version, _PACKAGES)).encode())
    root = Path(__file__).parents[2]
    found = (file for room in ("curves", "draft", "cli") for file in (root / room).rglob("*"))
    for file in sorted(f for f in found if f.suffix in (".py", ".csv", ".toml", ".html")):
        digest.update(file.read_bytes())
    return digest.hexdigest()


def origin_of(what: object) -> str:
    """Return what the results follow from beside their rows.

    `what` is told by its repr, so it is made of dataclasses, tuples, words and numbers.
    """
    return hashlib.sha256(f"{_program()} {what!r}".encode()).hexdigest()


def row_mark(row: Mapping[str, str]) -> str:
    """Return a digest of one row, the same for any order of its columns."""
    told = json.dumps(sorted(row.items()), ensure_ascii=True)
    return hashlib.sha256(told.encode()).hexdigest()[:24]


class Journal:
    """The journal of a batch, held by this process alone. See `open_journal`."""

    def __init__(self, database: sqlite3.Connection, origin: str) -> None:
        self._db, self._origin = database, origin
        self._rows = 0
        self._synced = time.monotonic()

    def taken_up(self, marks: Iterable[str]) -> Done | None:
        """Return what of the first rows is done, given the marks of all, and go on behind it.

        None when the journal belongs to other rows, another style or another program; it is empty
        then.
        """
        earlier = self._db.execute("SELECT digest FROM origin").fetchone()
        same = earlier is None or earlier[0] == self._origin
        expected = iter(marks)
        count = drafted = 0
        if same:
            for mark, result in self._kept():
                if result is None:
                    break
                if next(expected, None) != mark:
                    same = False
                    break
                count, drafted = count + 1, drafted + result.drafted
        self._rows = count if same else 0
        with self._db:
            self._db.execute("DELETE FROM done WHERE number > ?", (self._rows,))
            self._db.execute("DELETE FROM origin")
            self._db.execute("INSERT INTO origin VALUES (?)", (self._origin,))
        return Done(count, drafted) if same else None

    def _kept(self) -> Iterator[tuple[str, Result | None]]:
        """Yield mark and result of every row in order; None where the disk lost what it had."""
        found = self._db.execute(
            "SELECT number, mark, drafted, line, about, crc FROM done ORDER BY number"
        )
        for place, (number, mark, drafted, line, about, crc) in enumerate(found, start=1):
            result = Result(drafted=bool(drafted), line=line, about=about)
            yield mark, result if (number, crc) == (place, result.crc) else None

    def add(self, marks: Sequence[str], results: Sequence[Result]) -> int:
        """Keep the results of the next rows; return how many of them were drafted."""
        rows = [
            (self._rows + i, mark, r.drafted, r.line, r.about, r.crc)
            for i, (mark, r) in enumerate(zip(marks, results, strict=True), start=1)
        ]
        with self._db:
            self._db.executemany("INSERT INTO done VALUES (?, ?, ?, ?, ?, ?)", rows)
        self._rows += len(rows)
        if time.monotonic() - self._synced > _SYNC_S:
            self.sync()
        return sum(r.drafted for r in results)

    def count(self) -> int:
        """Return how many rows are kept."""
        return int(self._db.execute("SELECT count(*) FROM done").fetchone()[0])

    def sync(self) -> None:
        """Wait until the disk has what was added."""
        self._db.execute("PRAGMA wal_checkpoint(FULL)").fetchall()
        self._synced = time.monotonic()

    def results(self) -> Iterator[Result]:
        """Yield the results in order. Raises OutputError where the disk lost what it had."""
        for _, result in self._kept():
            if result is None:
                raise OutputError(
                    "Results of this run could not be read back from the disk; run the same "
                    "command again."
                )
            yield result


def write_lines(out: Path, lines: Iterable[str]) -> None:
    """Write lines over a file, whole: on the disk before the earlier file is gone."""
    out = Path(os.path.realpath(out))
    # Held by this process alone, as the journal is: one that a kill left is written over.
    beside = out.with_name(f".{out.name}.new")
    try:
        with beside.open("w", encoding="utf-8", newline="\n") as f:
            f.writelines(f"{line}\n" for line in lines)
            f.flush()
            os.fsync(f.fileno())
        os.replace(beside, out)
    finally:
        beside.unlink(missing_ok=True)


def journal_path(out: Path) -> Path:
    """Return where the journal of a batch is kept until `out`, a file or a folder, is whole."""
    return out / ".batch.part" if out.is_dir() else out.with_name(f".{out.name}.part")


@contextmanager
def open_journal(out: Path, origin: str, *, anew: bool = False) -> Iterator[Journal]:
    """Open the journal of the batch that writes `out`, or start one; `anew` empties it first.

    It stays when the block raises, and is taken away when the block is left well or no row is done.
    Raises OutputError when it cannot be written or another process is at it.
    """
    path = journal_path(out)
    kept = True
    try:
        with suppress(FileNotFoundError):
            refuse_special(out)
        with closing(_database(path, anew=anew)) as database:
            journal = Journal(database, origin)
            try:
                yield journal
                kept = False
            except BaseException:
                kept = journal.count() > 0
                raise
    except sqlite3.Error as e:
        raise _not_written(out, str(e)) from None
    except OSError as e:
        raise _not_written(out, str(e.strerror or e)) from None
    finally:
        if not kept:
            _drop(path)


def _not_written(out: Path, why: str) -> OutputError:
    if "locked" in why:
        return OutputError(
            f"{out}: another batch is writing this just now; wait for it, or give another name."
        )
    return OutputError(
        f"{out}: the results cannot be written ({why}); choose another place or make room. An "
        "earlier file is as it was."
    )


def _database(path: Path, *, anew: bool) -> sqlite3.Connection:
    """Return the database, locked for this process; one that cannot be read is begun anew."""
    database = _connected(path)
    try:
        if database.execute("PRAGMA quick_check").fetchone()[0] != "ok":
            raise sqlite3.DatabaseError
        _prepare(database)
    except sqlite3.OperationalError:
        database.close()
        raise
    except sqlite3.DatabaseError:
        database.close()
        _drop(path)
        database = _connected(path)
        _prepare(database)
    if anew:
        with database:
            database.execute("DELETE FROM done")
    return database


def _connected(path: Path) -> sqlite3.Connection:
    database = sqlite3.connect(path, timeout=0.0)
    # One process has it to the end: nothing is shared, so any disk will do.
    database.execute("PRAGMA locking_mode = EXCLUSIVE")
    return database


def _prepare(database: sqlite3.Connection) -> None:
    database.execute("PRAGMA journal_mode = WAL")
    database.execute("PRAGMA synchronous = NORMAL")
    with database:
        for table in _TABLES:
            database.execute(table)
        # A first word written takes the lock, also where everything is there already.
        database.execute("DELETE FROM done WHERE number < 1")


def _drop(path: Path) -> None:
    for beside in ("", "-wal", "-shm", "-journal"):
        with suppress(OSError):
            path.with_name(path.name + beside).unlink()
