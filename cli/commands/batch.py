"""Many bodies at once: a CSV in; a line of JSON for each, or a folder of patterns for each, out."""

from __future__ import annotations

import json
import os
import re
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from itertools import islice
from pathlib import Path
from typing import Final

import click

from outseam.cli.batch.class_sheet import About
from outseam.cli.batch.folders import folder_key, folder_name, make_folder, tidy
from outseam.cli.batch.journal import Journal, open_journal, origin_of, row_mark, write_lines
from outseam.cli.batch.patterns import FOLDER, draft_folders, draft_lines
from outseam.cli.batch.pool import in_processes
from outseam.cli.batch.rows import Defaults, sources_of
from outseam.cli.batch.table import BodyRow, BodyTable, Survey, duplicate_words, open_table, survey
from outseam.cli.commands.exit_codes import DONE, INTERRUPTED
from outseam.cli.write.save import OutputError, save_all
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import Units
from outseam.draft.inputs.text import capital, clean_text
from outseam.draft.spec.spec import load_style

#: Rows sent to a process at a time: enough to hide the sending, few enough that the bar moves.
CHUNK = 48
_PACKET: Final = re.compile(r"packet-(a4|letter|a0|a1|roll-\d+mm)(-\d+)?\.pdf")


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """What is to be done: every row of a table, for figures alone or (`patterns`) a folder each."""

    table: BodyTable
    defaults: Defaults
    patterns: Path | None
    shared: frozenset[str] = frozenset()

    @property
    def origin(self) -> str:
        """What all results follow from beside their rows."""
        spec = self.defaults.spec
        plain = (spec.units, spec.fabric, spec.style, self.defaults.units)
        return origin_of(plain if self.patterns is None else (*plain, spec.title, spec.print))

    def rows(self) -> Iterator[BodyRow]:
        """Yield the rows, each with the name of its folder where it gets one."""
        if self.patterns is None:
            yield from self.table.rows()
            return
        for number, row in enumerate(self.table.rows(), start=1):
            yield row | {FOLDER: folder_name(number, row, self.shared)}

    def mark(self, row: BodyRow) -> str:
        """Return what tells a row from another one, the files it names included."""
        return row_mark(row | sources_of(self.defaults, row))


def _drafted(batch: Batch, journal: Journal, total: int, jobs: int | None) -> int:
    """Draft the rows that the journal has not; return how many of all are drafted."""
    from rich.console import Console
    from rich.progress import Progress

    done = journal.taken_up(batch.mark(row) for row in batch.rows())
    if done is None:
        click.echo(
            "What an interrupted run left belongs to other rows, another style or another version: "
            "all rows are drafted anew.",
            err=True,
        )
    elif done.rows:
        click.echo(f"Going on after row {done.rows} of {total}, where a run stopped.", err=True)
    reached, drafted = (done.rows, done.drafted) if done else (0, 0)
    if batch.patterns is None:
        work, size = partial(draft_lines, batch.defaults), CHUNK
    else:
        work, size = partial(draft_folders, batch.defaults, batch.patterns), 1
    workers = min(jobs or os.cpu_count() or 1, -(-(total - reached) // size))
    rows = islice(batch.rows(), reached, None)
    try:
        with Progress(console=Console(stderr=True), transient=True) as bar:
            task = bar.add_task("drafting", total=total, completed=reached)
            for chunk, results in in_processes(
                work, rows, jobs=workers, size=size, first=reached + 1
            ):
                drafted += journal.add([batch.mark(row) for row in chunk], results)
                reached += len(chunk)
                bar.advance(task, len(chunk))
    except KeyboardInterrupt:
        # Counted from the journal: the interruption may have come between writing and counting.
        if kept := journal.count():
            journal.sync()
            says = f"{kept} of {total} rows are done and kept: run the same command to go on."
        else:
            says = "no row was done yet."
        click.echo(f"outseam: stopped; {says} An earlier file is as it was.", err=True)
        raise SystemExit(INTERRUPTED) from None
    if reached != total:
        raise InputError(
            str(batch.table.path), f"{total} rows at first, then {reached}", "a file that stays",
            "it was changed while it was read: run the same command again",
        )  # fmt: skip
    return drafted


def _write_class(journal: Journal, folder: Path, title: str) -> tuple[str, ...]:
    """Write class sheet and packets of the rows in the journal; return the files' names."""
    from outseam.cli.batch.class_sheet import class_files
    from outseam.cli.batch.packet import packet_names, packet_pdf

    rows: list[About] = [json.loads(result.about) for result in journal.results()]
    packets = packet_names(rows)
    for name, (paper, members) in packets.items():
        try:
            data = packet_pdf(members, paper, folder, title)
        except FileNotFoundError as e:
            raise OutputError(
                f"{e.filename}: this file was taken away while the batch ran; run the same "
                "command again with --anew."
            ) from None
        save_all(folder, {name: data})
    for file in folder.iterdir():
        if _PACKET.fullmatch(file.name) and file.name not in packets:
            with suppress(OSError):
                file.unlink()  # of an earlier, larger class
    files = class_files(rows, title)
    save_all(folder, files)
    return (*files, *packets)


def batch_command(
    bodies: Path,
    style: Path | None,
    out: Path | None,
    patterns: Path | None,
    jobs: int | None,
    *,
    units: Units = "cm",
    anew: bool = False,
) -> int:
    """Draft every row of a CSV. Returns the exit code: refused rows do not make it fail.

    What an interrupted run of the same rows and style has done is taken up, unless `anew`.
    """
    if out is None and patterns is None:
        raise click.UsageError("Give --patterns, a folder, or --json, a file, or both.")
    table = open_table(bodies)
    defaults = Defaults(spec=load_style(style), folder=bodies.parent, units=units)
    found = _surveyed(table, patterns)
    if words := duplicate_words(found.twice["id"]):
        click.echo(words, err=True)
    batch = Batch(
        table=table,
        defaults=defaults,
        patterns=patterns,
        shared=found.twice.get("folder", frozenset()),
    )
    if out is not None and out.is_dir():
        raise OutputError(f"{out}: this is a folder; give the name of a file for the results.")
    if patterns is not None:
        make_folder(patterns)
    place = patterns or out
    assert place is not None
    written = []
    with open_journal(place, batch.origin, anew=anew) as journal:
        if patterns is not None:
            tidy(patterns)
        drafted = _drafted(batch, journal, found.rows, jobs)
        if out is not None:
            write_lines(out, (result.line for result in journal.results()))
            written.append(str(out))
        if patterns is not None:
            named = capital(clean_text(bodies.stem.replace("-", " ").replace("_", " ")))
            title = " · ".join(dict.fromkeys(x for x in (named, defaults.spec.title) if x))
            names = _write_class(journal, patterns, title or "Class")
            written.append(f"a folder each, {', '.join(sorted(names))} to {patterns}")
    refused = found.rows - drafted
    done = f"Drafted {drafted} of {found.rows} bodies, refused {refused}."
    click.echo(f"{done} Wrote {' and '.join(written)}.")
    return DONE


def _surveyed(table: BodyTable, patterns: Path | None) -> Survey:
    compared = {"id": lambda _, row: row.get("id", "")}
    if patterns is not None:
        compared["folder"] = folder_key
    return survey(table, compared)
