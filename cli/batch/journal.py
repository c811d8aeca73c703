"""What a batch has done so far, kept beside its output until the output is whole.

The part file is a line that says what the results follow from, then one line for each row done:

    <mark of the row> <checksum of the result> <result, JSON>

The next run goes on behind the last line that is whole, provided that the first line is its own
and that the rows done are the first rows of its input. So an interruption at any moment, a power
cut included, costs what was not yet on the disk, and never mixes two inputs or two styles.
"""

from __future__ import annotations

import hashlib
import json
import os
import time
import zlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import IO, Final

from outseam.cli.write.save import OutputError, refuse_special

Row = Mapping[str, str]

#: How a result begins that is counted as drafted.
_DRAFTED: Final = b'"status": "drafted"'
#: What is done reaches the disk at least this often, so that a power cut costs no more.
_SYNC_S: Final = 3.0
#: Packages whose version may change the last digit of a figure.
_PACKAGES: Final = ("outseam", "numpy", "scipy", "shapely")


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

    The version alone would let a part go on under a program that was changed in place.
    """
    digest = hashlib.sha256(" ".join(map(_version, _PACKAGES)).encode())
    root = Path(__file__).parents[2]
    rooms = ("curves", "draft", "cli/batch", "cli/commands", "cli/pattern", "cli/wording")
    found = (file for room in rooms for file in (root / room).rglob("*"))
    for file in sorted(f for f in found if f.suffix in (".py", ".csv", ".toml")):
        digest.update(file.read_bytes())
    return digest.hexdigest()


def origin_of(what: object) -> str:
    """Return what the results follow from beside their rows, as the part's first line has it.

    `what` is told by its repr, so it is made of dataclasses, tuples, words and numbers.
    """
    return hashlib.sha256(f"{_program()} {what!r}".encode()).hexdigest()


def row_mark(row: Row) -> str:
    """Return a digest of one row, the same for any order of its columns."""
    told = json.dumps(sorted(row.items()), ensure_ascii=True)
    return hashlib.sha256(told.encode()).hexdigest()[:24]


def _told(row: Row, result: str) -> bytes:
    """Return the line of the part for one row and its result."""
    data = result.encode()
    return b"%s %08x %s\n" % (row_mark(row).encode(), zlib.crc32(data), data)


def _read(line: bytes) -> tuple[str, bytes] | None:
    """Return mark and result of a line of the part; None when it is not whole."""
    mark, _, rest = line.partition(b" ")
    check, _, result = rest.partition(b" ")
    if not line.endswith(b"\n") or check != b"%08x" % zlib.crc32(result[:-1]):
        return None
    return mark.decode("ascii", "replace"), result


class Part:
    """The part file of a batch, open and held by this process alone. See `open_part`."""

    def __init__(self, file: IO[bytes], path: Path, origin: str) -> None:
        self._file, self._path = file, path
        self._first = f"outseam batch {origin}\n".encode()
        self._synced = time.monotonic()

    def taken_up(self, rows: Iterable[Row]) -> Done | None:
        """Return what of the first `rows` is done, and go on behind it.

        An unfinished line is dropped. None when the part belongs to other rows or another style; it
        is empty then.
        """
        f = self._file
        f.seek(0)
        count = drafted = 0
        end = len(self._first)
        first = f.readline()
        same = first == self._first
        if same:
            expected = iter(rows)
            for line in f:
                told = _read(line)
                if told is None:
                    break
                row = next(expected, None)
                if row is None or row_mark(row) != told[0]:
                    same = False
                    break
                count, drafted = count + 1, drafted + (_DRAFTED in told[1])
                end += len(line)
        if not same or not count:
            f.seek(0)
            f.truncate()
            f.write(self._first)
            f.flush()
            return Done(0, 0) if same or not first.endswith(b"\n") else None
        f.seek(end)
        f.truncate()
        return Done(count, drafted)

    def add(self, rows: Sequence[Row], results: Sequence[str]) -> int:
        """Keep the results of the next rows; return how many of them were drafted."""
        told = [_told(row, result) for row, result in zip(rows, results, strict=True)]
        self._file.write(b"".join(told))
        self._file.flush()
        if time.monotonic() - self._synced > _SYNC_S:
            self.sync()
        return sum(_DRAFTED in line for line in told)

    def count(self) -> int:
        """Return how many rows are kept."""
        self._file.flush()
        self._file.seek(0)
        blocks = iter(lambda: self._file.read(1 << 20), b"")
        return max(0, sum(block.count(b"\n") for block in blocks) - 1)

    def sync(self) -> None:
        """Wait until the disk has what was added."""
        self._file.flush()
        os.fsync(self._file.fileno())
        self._synced = time.monotonic()

    def results(self) -> Iterator[bytes]:
        """Yield the results, a line each, in order."""
        self._file.flush()
        self._file.seek(len(self._first))
        for line in self._file:
            told = _read(line)
            if told is None:
                raise OutputError(
                    f"{self._path.parent}: results of this run could not be read back from the "
                    "disk; run the same command again."
                )
            yield told[1]

    def finish(self, out: Path) -> None:
        """Write the results over `out`, whole, and take the part away."""
        out = Path(os.path.realpath(out))
        # Held by this process alone, as the part is: one that a kill left is written over.
        beside = out.with_name(f".{out.name}.new")
        try:
            with beside.open("wb") as f:
                f.writelines(self.results())
                f.flush()
                os.fsync(f.fileno())
            os.replace(beside, out)
        finally:
            beside.unlink(missing_ok=True)
        self.drop()

    def drop(self) -> None:
        """Take the part away."""
        with suppress(OSError):
            self._path.unlink()


def part_path(out: Path) -> Path:
    """Return where the part of a batch is kept until `out` is whole."""
    return out.with_name(f".{out.name}.part")


@contextmanager
def open_part(out: Path, origin: str, *, anew: bool = False) -> Iterator[Part]:
    """Open the part of the batch that writes `out`, or start one; `anew` empties it first.

    It stays when the block is left, unless `finish` or `drop` took it away. Raises OutputError when
    it cannot be written or another process is at it.
    """
    path = part_path(out)
    if os.path.isdir(out):
        raise OutputError(f"{out}: this is a folder; give the name of a file for the results.")
    try:
        with suppress(FileNotFoundError):
            refuse_special(out)
        with path.open("a+b") as f:
            if not _held(f):
                raise OutputError(
                    f"{out}: another batch is writing this file just now; wait for it, or give "
                    "another name."
                )
            if anew:
                f.truncate(0)
            yield Part(f, path, origin)
    except OSError as e:
        raise OutputError(
            f"{out}: the results cannot be written ({e.strerror or e}); choose another place or "
            "make room. An earlier file is as it was."
        ) from None


def _held(file: IO[bytes]) -> bool:
    """Return whether this process could take the file for itself; it is free when it ends."""
    try:
        import fcntl
    except ImportError:  # no such locks on this system: two batches must not share an output
        return True
    try:
        fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True
