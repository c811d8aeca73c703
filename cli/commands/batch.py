"""Many bodies at once: a CSV in, one line of JSON for each body out, in the same order."""

from __future__ import annotations

import csv
import gc
import json
import os
import signal
import threading
from collections import deque
from collections.abc import Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from dataclasses import replace
from itertools import islice
from multiprocessing import get_context, parent_process
from pathlib import Path
from typing import Any

import click

from outseam.cli.batch.journal import Part, open_part, origin_of
from outseam.cli.commands.exit_codes import DONE, INTERRUPTED
from outseam.cli.write.save import OutputError
from outseam.draft.body.entry import read_body
from outseam.draft.body.estimate import Body
from outseam.draft.inputs.errors import InputError, OutseamError
from outseam.draft.inputs.tables import table_of, unknown_key
from outseam.draft.spec.spec import Spec, load_spec, parse_spec

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
    return read_body(raw, "cm")


def draft_row(spec: Spec, number: int, row: Row) -> dict[str, Any]:
    """Draft one body and return its line: drafted with figures, or refused with the reason."""
    from outseam.cli.pattern.summary import rounded
    from outseam.cli.wording.findings import finding_lines
    from outseam.draft.figures.finished import batch_figures
    from outseam.draft.pattern import draft_pattern

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


def _chunks(rows: Iterable[Row], first: int) -> Iterator[tuple[int, list[Row]]]:
    rows = iter(rows)
    while chunk := list(islice(rows, CHUNK)):
        yield first, chunk
        first += len(chunk)


#: One thread for each process, or the mathematics of two would stand in each other's way.
_ONE_THREAD = {
    f"{library}_NUM_THREADS": "1" for library in ("OMP", "OPENBLAS", "MKL", "VECLIB_MAXIMUM")
}


@contextmanager
def _starting_processes() -> Iterator[None]:
    """Let processes that are started in here use one thread each and leave Ctrl-C to this one.

    What they inherit, they have from their first line on.
    """
    before = {name: os.environ.get(name) for name in _ONE_THREAD}
    os.environ.update(_ONE_THREAD)
    mask = getattr(signal, "pthread_sigmask", None)
    blocked = mask(signal.SIG_BLOCK, {signal.SIGINT}) if mask else None
    try:
        yield
    finally:
        if mask:
            mask(signal.SIG_SETMASK, blocked)
        for name, value in before.items():
            if value is None:
                del os.environ[name]
            else:
                os.environ[name] = value


def _started() -> None:
    """Get a new process ready: load what drafts, and end as soon as the one that started it has.

    A draft makes thousands of small objects and no cycles worth looking for, so the collector is
    called less often, and never again for what the modules hold.
    """
    import outseam.draft.checks
    import outseam.draft.pattern  # noqa: F401

    gc.freeze()
    gc.set_threshold(20_000, 20, 50)
    parent = parent_process()
    if parent is None:
        return

    def wait() -> None:
        parent.join()
        os._exit(1)

    threading.Thread(target=wait, daemon=True).start()


Lines = tuple[list[Row], list[str]]


def draft_rows(spec: Spec, rows: Iterable[Row], jobs: int, first: int = 1) -> Iterator[Lines]:
    """Yield rows and their lines of JSON, chunk by chunk in order, drafted by `jobs` processes.

    `first` is the number of the first row. Raises OutputError when a process was ended by force.
    """
    if jobs <= 1:
        for number, chunk in _chunks(rows, first):
            yield chunk, draft_chunk(spec, number, chunk)
        return
    # spawn: a forked copy of a process that has started threads may hang
    pool = ProcessPoolExecutor(jobs, mp_context=get_context("spawn"), initializer=_started)
    try:
        waiting: deque[tuple[list[Row], Future[list[str]]]] = deque()
        for number, chunk in _chunks(rows, first):
            with _starting_processes():
                waiting.append((chunk, pool.submit(draft_chunk, spec, number, chunk)))
            if len(waiting) >= jobs * AHEAD:
                done, lines = waiting.popleft()
                yield done, lines.result()
        while waiting:
            done, lines = waiting.popleft()
            yield done, lines.result()
    except BrokenProcessPool:
        raise OutputError(
            "a process of this batch was ended from outside, perhaps for want of memory. What is "
            "done is kept: run the same command again to go on, with fewer --jobs if need be."
        ) from None
    finally:
        pool.shutdown(cancel_futures=True)


def _drafted(spec: Spec, bodies: Path, part: Part, total: int, jobs: int | None) -> int:
    """Draft the rows that the part has not; return how many of all are drafted."""
    from rich.console import Console
    from rich.progress import Progress

    done = part.taken_up(read_rows(bodies))
    if done is None:
        click.echo(
            "What an interrupted run left belongs to other rows, another style or another version: "
            "all rows are drafted anew.",
            err=True,
        )
    elif done.rows:
        click.echo(f"Going on after row {done.rows} of {total}, where a run stopped.", err=True)
    reached, drafted = (done.rows, done.drafted) if done else (0, 0)
    workers = jobs or os.cpu_count() or 1
    if total - reached <= CHUNK:
        workers = 1
    rows = islice(read_rows(bodies), reached, None)
    try:
        with Progress(console=Console(stderr=True), transient=True) as bar:
            task = bar.add_task("drafting", total=total, completed=reached)
            for chunk, lines in draft_rows(spec, rows, workers, reached + 1):
                drafted += part.add(chunk, lines)
                reached += len(chunk)
                bar.advance(task, len(chunk))
    except KeyboardInterrupt:
        # Counted from the file: the interruption may have come between writing and counting.
        if kept := part.count():
            part.sync()
            says = f"{kept} of {total} rows are done and kept: run the same command to go on."
        else:
            part.drop()
            says = "no row was done yet."
        click.echo(f"outseam: stopped; {says} An earlier file is as it was.", err=True)
        raise SystemExit(INTERRUPTED) from None
    return drafted


def batch_command(
    bodies: Path, style: Path | None, out: Path, jobs: int | None, *, anew: bool = False
) -> int:
    """Draft every row of a CSV. Returns the exit code: refused rows do not make it fail.

    What an interrupted run of the same rows and style has done is taken up, unless `anew`.
    """
    spec = load_spec(style) if style is not None else parse_spec(_PLAIN, "the default style")
    total = sum(1 for _ in read_rows(bodies))
    with open_part(out, origin_of((spec.units, spec.fabric, spec.style)), anew=anew) as part:
        drafted = _drafted(spec, bodies, part, total, jobs)
        part.finish(out)
    click.echo(f"Drafted {drafted} of {total} bodies, refused {total - drafted}. Wrote {out}.")
    return DONE
