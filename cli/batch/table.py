"""A CSV of people, as spreadsheets write them: commas, semicolons or tabs, header in any order.

One line is one row. A table that does not hold together, a cell too many, a quote that never ends,
is refused as a whole with row and column: read on, it would put numbers under wrong headings. What
a cell holds is judged row by row by whoever drafts it.
"""

from __future__ import annotations

import codecs
import csv
import re
from array import array
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Final

import numpy as np

from outseam.cli.batch.columns import columns_of
from outseam.draft.body.table import Body
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.tables import table_of
from outseam.draft.inputs.text import clip, listing
from outseam.draft.inputs.value_kinds import Length

BodyRow = dict[str, str]

SEPARATORS: Final = {";": "semicolons", "\t": "tabs", ",": "commas"}
#: A line by which some spreadsheets tell the separator, before the header.
_TELLS: Final = re.compile(r"sep=(.)\s*", re.IGNORECASE)
_HALVES: Final = (re.compile(r"-?\d{1,4}"), re.compile(r"\d{1,3}"))
#: Columns that hold numbers.
_MEASURED: Final = frozenset(f.key for f in table_of(Body) if isinstance(f.kind, Length))
#: As many of a kind are named in a message.
_MOST_NAMED: Final = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class BodyTable:
    """A CSV whose header was read.

    `columns` are what its headings mean (`outseam.cli.batch.columns`), `first_line` is the number
    of the line under the header.
    """

    path: Path
    encoding: str
    separator: str
    headings: tuple[str, ...]
    columns: tuple[str, ...]
    first_line: int

    def rows(self) -> Iterator[BodyRow]:
        """Yield the rows, cells stripped, by column. Raises InputError where the table breaks.

        Lines without any word are passed over. Neither rows nor cells are lost: as many lines as
        the file has under its header come out, or it is refused.
        """
        with _reading(self.path), _opened(self.path, self.encoding) as f:
            for _ in range(self.first_line - 1):
                next(f)
            lines = _Counted(f, self.separator)
            reader = csv.reader(lines, delimiter=self.separator, strict=True)
            number = done = 0
            for number, cells in enumerate(self._read(reader), start=1):
                done = number
                yield dict(zip(self.columns, (cell.strip() for cell in cells), strict=True))
            if done != lines.filled:
                raise InputError(
                    str(self.path),
                    f"{lines.filled} lines under the header, but {done} rows were read",
                    "one line for each row",
                    "look for a quote that stands alone",
                )

    def _read(self, reader: Iterator[list[str]]) -> Iterator[list[str]]:
        """Yield the cells of every row that has any, as many as there are columns."""
        last = number = 0
        while True:
            try:
                cells = next(reader, None)
            except csv.Error as e:
                raise self._unreadable(number + 1, last + 1, str(e)) from None
            if cells is None:
                return
            line, before = reader.line_num, last  # type: ignore[attr-defined]
            last = line
            if line - before > 1:
                raise self._swallowed(number + 1, before + 1, line)
            if not any(cell.strip() for cell in cells):
                continue
            number += 1
            count = len(self.columns)
            while len(cells) > count and not cells[-1].strip():
                cells.pop()  # a separator too many at the end holds nothing
            if len(cells) != count:
                raise self._miscounted(number, line, cells)
            yield cells

    def _where(self, number: int, line: int, column: int | None = None) -> str:
        """Return which row is meant; lines are counted as an editor shows them."""
        found = f"{self.path.name}, row {number} (line {self.first_line - 1 + line})"
        if column is None:
            return found
        named = f" ({self.headings[column]})" if column < len(self.headings) else ""
        return f"{found}, column {column + 1}{named}"

    def _miscounted(self, number: int, line: int, cells: Sequence[str]) -> InputError:
        count = len(self.columns)
        told = f"{len(cells)} cells where the header names {count} columns"
        if len(cells) < count:
            return InputError(
                self._where(number, line, len(cells)),
                told,
                hint="leave a cell empty where nothing was measured, but keep its "
                f"{SEPARATORS[self.separator][:-1]}",
            )
        if self.separator == "," and (i := self._decimal_comma(cells)) is not None:
            value = f"{cells[i].strip()},{cells[i + 1].strip()}"
            return InputError(
                self._where(number, line, i),
                told,
                hint=f'if {value} was meant there, write it "{value}" in quotes or with a decimal '
                "point, or separate the columns by semicolons",
            )
        return InputError(
            self._where(number, line, count),
            f'{told}; there is no heading over "{clip(cells[count].strip())}"',
            hint="put a text that holds the separator in quotes, or take the cell away",
        )

    def _decimal_comma(self, cells: Sequence[str]) -> int | None:
        """Return the column whose number a decimal comma has likely torn in two, if one has."""
        found = []
        for i in range(len(self.columns)):
            whole, part = cells[i].strip(), cells[i + 1].strip()
            mended = [*cells[:i], f"{whole}.{part}", *cells[i + 2 :]]
            fits = all(
                name not in _MEASURED or text.strip()[:1] in "0123456789-."
                for name, text in zip(self.columns, mended, strict=False)
            )
            if fits and len(mended) == len(self.columns) and self.columns[i] in _MEASURED:
                halves = _HALVES[0].fullmatch(whole) and _HALVES[1].fullmatch(part)
                # A single digit is the likeliest; the last column is where it goes unseen.
                found += [(len(part), i != len(self.columns) - 1, i)] if halves else []
        return min(found)[2] if found else None

    def _swallowed(self, number: int, first: int, last: int) -> InputError:
        lines = f"lines {self.first_line - 1 + first} to {self.first_line - 1 + last}"
        return InputError(
            self._where(number, first),
            f"a quote that is not closed on its line, so that {lines} would become one row",
            "every row on one line",
            'close the quote or take it away; write inches as "32 3/4 in"',
        )

    def _unreadable(self, number: int, line: int, says: str) -> InputError:
        if "unexpected end" in says or "field larger" in says:
            what = "a quote that is not closed, so that all later rows would be lost in one cell"
        elif "expected after" in says:
            what = "a quoted text with more behind its quote"
        else:
            what = f"it cannot be read ({says})"
        return InputError(
            self._where(number, line),
            what,
            "every row on one line, quotes in pairs",
            'close the quote or take it away; write inches as "32 3/4 in"',
        )


class _Counted:
    """The lines of a file, counting those that hold more than separators and quotes."""

    def __init__(self, lines: Iterator[str], separator: str) -> None:
        self._lines, self._blank = lines, f' \t\r\n"{separator}'
        self.filled = 0

    def __iter__(self) -> _Counted:
        return self

    def __next__(self) -> str:
        line = next(self._lines)
        self.filled += bool(line.strip(self._blank))
        return line


@contextmanager
def _reading(path: Path) -> Iterator[None]:
    """Turn what a disk or a decoder says about a CSV into a sentence."""
    name, allowed = str(path), "a CSV in UTF-8"
    try:
        yield
    except FileNotFoundError:
        raise InputError(name, "there is no such file", hint="check the name") from None
    except IsADirectoryError:
        raise InputError(name, "this is a folder", allowed) from None
    except (OSError, UnicodeError) as e:
        why = getattr(e, "strerror", None) or e
        raise InputError(
            name,
            f"the file cannot be read ({why})",
            allowed,
            "save it again as CSV, encoding UTF-8",
        ) from None


def _opened(path: Path, encoding: str) -> IO[str]:
    return path.open(newline="", encoding=encoding)


def open_table(path: Path) -> BodyTable:
    """Return the table in a CSV, its header understood. Raises InputError."""
    with _reading(path):
        if path.exists() and not path.is_file() and not path.is_dir():
            raise InputError(str(path), "this is not a file", "a CSV")
        with path.open("rb") as raw:
            start = raw.read(4)
        wide = start.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
        encoding = "utf-16" if wide else "utf-8-sig"
        with _opened(path, encoding) as f:
            first, line = f.readline(100_000), 2
            told = _TELLS.fullmatch(first.strip("\"' \r\n"))
            if told:
                first, line = f.readline(100_000), 3
    if not first.strip():
        raise InputError(str(path), "the file is empty", "a first line with the columns' names")
    separator = told[1] if told else max(SEPARATORS, key=first.count)
    if separator not in SEPARATORS:
        allowed = listing(SEPARATORS.values())
        raise InputError(str(path), f'cells separated by "{clip(separator)}"', allowed)
    try:
        (headings,) = csv.reader([first], delimiter=separator, strict=True)
    except csv.Error as e:
        raise InputError(str(path), f"its first line cannot be read ({e})") from None
    while headings and not headings[-1].strip():
        headings.pop()
    headings = [heading.strip() for heading in headings]
    return BodyTable(
        path=path,
        encoding=encoding,
        separator=separator,
        headings=tuple(headings),
        columns=columns_of(headings),
        first_line=line,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Survey:
    """What a first reading of a table found: how many rows, and which values came twice.

    `twice`: by a name for what was asked, up to a few of the values that more than one row has.
    """

    rows: int
    twice: Mapping[str, frozenset[str]]


def survey(table: BodyTable, of: Mapping[str, Callable[[int, BodyRow], str]]) -> Survey:
    """Read a table through. `of` says what is compared among the rows, empty for nothing.

    Eight bytes a row are kept, so that a table of any length can be compared. Raises InputError
    where the table breaks.
    """
    marks = {name: array("q") for name in of}
    count = 0
    for count, row in enumerate(table.rows(), start=1):
        for name, value_of in of.items():
            if value := value_of(count, row):
                marks[name].append(hash(value))
    again: dict[str, set[int]] = {}
    for name, kept in marks.items():
        values, times = np.unique(np.frombuffer(kept, dtype=np.int64), return_counts=True)
        again[name] = set(values[times > 1].tolist())
    twice: dict[str, set[str]] = {name: set() for name in of}
    if any(again.values()):
        for number, row in enumerate(table.rows(), start=1):
            for name, value_of in of.items():
                value = value_of(number, row)
                if value and hash(value) in again[name]:
                    twice[name].add(value)
    return Survey(rows=count, twice={name: frozenset(v) for name, v in twice.items()})


def duplicate_words(ids: frozenset[str]) -> str:
    """Return the sentence about ids that several rows have; "" if there are none."""
    if not ids:
        return ""
    named = [f'"{clip(one, 24)}"' for one in sorted(ids)[:_MOST_NAMED]]
    more = f" and {len(ids) - _MOST_NAMED} more" if len(ids) > _MOST_NAMED else ""
    return f"More than one row has the id {', '.join(named)}{more}; all are drafted."
