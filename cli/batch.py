"""Many bodies at once: a CSV in, one line of JSON for each body out, in the same order."""

from __future__ import annotations

import csv
import json
import os
from collections import deque
from collections.abc import Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import replace
from itertools import islice
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import click

from cli.save import OutputError
from draft.body import Body
from draft.errors import InputError, OutseamError
from draft.fields import read_table, table_of, unknown_key
from draft.spec import Spec, load_spec, parse_spec

#: Rows sent to a process at a time: enough to hide the sending, few enough that the bar moves.
CHUNK = 48
#: Chunks in flight per process; bounds the memory whatever the number of rows.
AHEAD = 3
#: A row in a CSV says "not measured" in one of these ways.
MISSING = frozenset({"", "-", "na", "n/a", "nan", "none", "null"})

Row = dict[str, str]

#: Only the fabric, style and print options of this are used when no style is given.
_PLAIN = "[body]\nheight = 168\nwaist = 80\nhip = 104\ninside_leg = 77\n"


def read_rows(path: Path) -> Iterator[Row]:
    """Yield the rows of a CSV, keys stripped. Raises InputError for a file that cannot be read.

    Column names are those of the spec's [body], and id; a column of another name is refused with
    the likely one, because a misspelt measurement would otherwise be estimated in silence.
    """
    try:
        with path.open(newline="", encoding="utf-8-sig") as f:
            reader = csv.DictReader(f)
            if not reader.fieldnames:
                raise InputError(
                    str(path), "the file is empty", "a first line with the columns' names"
                )
            names = [n.strip() for n in reader.fieldnames]
            known = {field.key for field in table_of(Body)} | {"id"}
            for n in names:
                if n not in known:
                    raise unknown_key(n, "body", Body, {})
            if len(set(names)) < len(names):
                raise InputError(str(path), "two columns have the same name", "each name once")
            for row in reader:
                yield {
                    n: (value or "").strip()
                    for n, value in zip(names, list(row.values()), strict=False)
                    if not isinstance(value, list)
                }
    except FileNotFoundError:
        raise InputError(str(path), "there is no such file", hint="check the name") from None
    except (OSError, UnicodeDecodeError, csv.Error) as e:
        raise InputError(
            str(path), f"the file cannot be read ({e})", "a CSV in UTF-8", "save it again as CSV"
        ) from None


def _number(text: str) -> float | str:
    try:
        return float(text)
    except ValueError:
        return text


def body_of(row: Row) -> Body:
    """Return the body of a row, bare numbers in cm. Raises InputError."""
    raw = {
        key: (text if key in ("build", "name") else _number(text))
        for key, text in row.items()
        if key != "id" and text.lower() not in MISSING
    }
    return read_table(Body, raw, table="body", units="cm")


def draft_row(spec: Spec, number: int, row: Row) -> dict[str, Any]:
    """Draft one body and return its line: drafted with figures, or refused with the reason."""
    from cli.report import finding_lines
    from cli.summary import rounded
    from draft.figures import batch_figures
    from draft.pattern import draft_pattern

    line: dict[str, Any] = {"id": row.get("id") or str(number), "status": "refused", "says": ""}
    try:
        # What a trial showed belongs to the body that tried it on.
        pattern = draft_pattern(replace(spec, body=body_of(row), alter=()))
    except OutseamError as e:
        line["says"] = str(e)
        return line
    except Exception as e:  # one row that breaks the program must not take the others with it
        line["says"] = f"the program failed on this row ({type(e).__name__}: {e}); please report it"
        return line
    found = [f for f in pattern.findings if f.level != "pass"]
    if pattern.errors:
        line["says"] = " ".join(finding_lines(pattern.errors, spec.units))
    else:
        line["status"] = "drafted"
        line["says"] = " ".join(finding_lines(pattern.warnings, spec.units))
    line |= rounded(batch_figures(pattern))
    line["findings"] = [
        {"check": f.check, "where": f.where, "level": f.level, "measured": f.measured}
        for f in found
    ]
    line["findings"] = rounded(line["findings"])
    return line


def draft_chunk(spec: Spec, first: int, rows: list[Row]) -> list[str]:
    """Draft consecutive rows, numbered from `first`; return their lines of JSON."""
    return [
        json.dumps(draft_row(spec, first + i, row), ensure_ascii=False)
        for i, row in enumerate(rows)
    ]


def _chunks(rows: Iterable[Row]) -> Iterator[tuple[int, list[Row]]]:
    first, rows = 1, iter(rows)
    while chunk := list(islice(rows, CHUNK)):
        yield first, chunk
        first += len(chunk)


def draft_rows(spec: Spec, rows: Iterable[Row], jobs: int) -> Iterator[list[str]]:
    """Yield lines of JSON, chunk by chunk in the order of the rows, drafted by `jobs` processes."""
    if jobs <= 1:
        for first, chunk in _chunks(rows):
            yield draft_chunk(spec, first, chunk)
        return
    # spawn: a forked copy of a process that has started threads may hang
    with ProcessPoolExecutor(jobs, mp_context=get_context("spawn")) as pool:
        waiting: deque[Future[list[str]]] = deque()
        for first, chunk in _chunks(rows):
            waiting.append(pool.submit(draft_chunk, spec, first, chunk))
            if len(waiting) >= jobs * AHEAD:
                yield waiting.popleft().result()
        while waiting:
            yield waiting.popleft().result()


@contextmanager
def _written_whole(path: Path) -> Iterator[Any]:
    """Open a file beside `path` and rename it over it only when all is written."""
    beside = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        with beside.open("w", encoding="utf-8", newline="\n") as f:
            yield f
            f.flush()
            os.fsync(f.fileno())
        os.replace(beside, path)
    except OSError as e:
        raise OutputError(
            f"{path}: the results cannot be written ({e.strerror or e}); choose another place or "
            "make room. An earlier file is as it was."
        ) from None
    finally:
        beside.unlink(missing_ok=True)


def batch_command(bodies: Path, style: Path | None, out: Path, jobs: int | None) -> int:
    """Draft every row of a CSV. Returns the exit code: refused rows do not make it fail."""
    from rich.console import Console
    from rich.progress import Progress

    spec = load_spec(style) if style is not None else parse_spec(_PLAIN, "the default style")
    total = sum(1 for _ in read_rows(bodies))
    workers = jobs or os.cpu_count() or 1
    if total <= CHUNK:
        workers = 1
    drafted = 0
    console = Console(stderr=True)
    with _written_whole(out) as f, Progress(console=console, transient=True) as bar:
        task = bar.add_task("drafting", total=total)
        for lines in draft_rows(spec, read_rows(bodies), workers):
            f.writelines(line + "\n" for line in lines)
            drafted += sum('"status": "drafted"' in line for line in lines)
            bar.advance(task, len(lines))
    click.echo(f"Drafted {drafted} of {total} bodies, refused {total - drafted}. Wrote {out}.")
    return 0
