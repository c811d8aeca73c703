"""A table of people drafted row by row, taken up where it stopped, and written when it is whole."""

from __future__ import annotations

import json
import os
import re
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from itertools import islice
from pathlib import Path
from typing import Final

from outseam.cli.batch.folders import folder_key, folder_name, make_folder, tidy
from outseam.cli.batch.journal import (
    Done,
    Journal,
    open_journal,
    origin_of,
    row_mark,
    write_lines,
)
from outseam.cli.batch.patterns import FOLDER, About, draft_folders, draft_lines
from outseam.cli.batch.pool import in_processes
from outseam.cli.batch.rows import Defaults, RowResult, draft_rows, sources_of
from outseam.cli.batch.table import BodyRow, BodyTable, open_table, survey
from outseam.cli.write.save import OutputError, save_all
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import Units
from outseam.draft.inputs.text import capital, clean_text
from outseam.draft.spec.spec import Spec, load_style

#: Rows sent to a process at a time: enough to hide the sending, few enough that the bar moves.
CHUNK = 48
_PACKET: Final = re.compile(r"packet-(a4|letter|a0|a1|roll-[\d.]+(?:mm|cm|in))(-\d+)?\.pdf")


class StoppedError(Exception):
    """A batch was interrupted; `kept` rows are done and stay for the next run."""

    def __init__(self, kept: int) -> None:
        self.kept = kept
        super().__init__(f"{kept} rows kept")


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """What is to be done: every row of a table, for figures alone or (`patterns`) a folder each.

    `total` counts the rows; `shared` are names that folders would share, `ids_twice` ids that
    several rows have.
    """

    table: BodyTable
    defaults: Defaults
    patterns: Path | None
    total: int
    shared: frozenset[str] = frozenset()
    ids_twice: frozenset[str] = frozenset()

    @property
    def title(self) -> str:
        """What stands over the class sheet: the table's name and the style's."""
        named = capital(clean_text(self.table.path.stem.replace("-", " ").replace("_", " ")))
        return " · ".join(dict.fromkeys(x for x in (named, self.defaults.spec.title) if x))

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


def plan_batch(
    table: Path, style: Path | None = None, *, units: Units = "cm", patterns: Path | None = None
) -> Batch:
    """Read a table through and return what is to be done. Raises InputError where it breaks."""
    read = open_table(table)
    defaults = Defaults(spec=load_style(style), folder=table.parent, units=units)
    compared = {"id": lambda _, row: row.get("id", "")}
    if patterns is not None:
        compared["folder"] = folder_key
    found = survey(read, compared)
    return Batch(
        table=read,
        defaults=defaults,
        patterns=patterns,
        total=found.rows,
        shared=found.twice.get("folder", frozenset()),
        ids_twice=found.twice["id"],
    )


def _drafted(
    batch: Batch,
    journal: Journal,
    jobs: int | None,
    started: Callable[[Done | None], None],
    step: Callable[[int], None],
) -> int:
    """Draft the rows that the journal has not; return how many of all are drafted."""
    done = journal.taken_up(batch.mark(row) for row in batch.rows())
    started(done)
    reached, drafted = (done.rows, done.drafted) if done else (0, 0)
    if batch.patterns is None:
        work, size = partial(draft_lines, batch.defaults), CHUNK
    else:
        work, size = partial(draft_folders, batch.defaults, batch.patterns), 1
    workers = min(jobs or os.cpu_count() or 1, -(-(batch.total - reached) // size))
    rows = islice(batch.rows(), reached, None)
    try:
        for chunk, results in in_processes(work, rows, jobs=workers, size=size, first=reached + 1):
            drafted += journal.add([batch.mark(row) for row in chunk], results)
            reached += len(chunk)
            step(len(chunk))
    except KeyboardInterrupt:
        # Counted from the journal: the interruption may have come between writing and counting.
        kept = journal.count()
        journal.sync()
        raise StoppedError(kept) from None
    if reached != batch.total:
        raise InputError(
            str(batch.table.path),
            f"{batch.total} rows at first, then {reached}",
            "a file that stays as it is",
            "run the same command again",
        )
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


def run_batch(
    batch: Batch,
    out: Path | None = None,
    *,
    jobs: int | None = None,
    anew: bool = False,
    started: Callable[[Done | None], None] = lambda _: None,
    step: Callable[[int], None] = lambda _: None,
) -> tuple[int, tuple[str, ...]]:
    """Draft all rows; write the figures to `out` and the patterns where the batch wants them.

    Returns how many rows are drafted, and the names of the files that tell of all. What an
    interrupted run of the same rows and style has done is taken up, unless `anew`; `started` is
    told what that is (None: it belongs to other rows), `step` how many more are done. Raises
    OutputError, and StoppedError when it is interrupted.
    """
    if out is not None and out.is_dir():
        raise OutputError(f"{out}: this is a folder; give the name of a file for the results.")
    place = batch.patterns or out
    if place is None:
        raise ValueError("a batch needs a file or a folder to write to")
    if batch.patterns is not None:
        make_folder(batch.patterns)
    names: tuple[str, ...] = ()
    with open_journal(place, batch.origin, anew=anew) as journal:
        if batch.patterns is not None:
            tidy(batch.patterns)
        drafted = _drafted(batch, journal, jobs, started, step)
        if out is not None:
            write_lines(out, (result.line for result in journal.results()))
        if batch.patterns is not None:
            names = _write_class(journal, batch.patterns, batch.title)
    return drafted, names


def draft_table(
    table: str | os.PathLike[str],
    style: Spec | str | os.PathLike[str] | None = None,
    *,
    units: Units = "cm",
) -> list[RowResult]:
    """Draft every row of a CSV for Python: a result each, in order, refused ones with the reason.

    `style` gives fabric and style for rows that say nothing else; bare numbers are in `units`.
    Raises InputError where the table or the style cannot be used.
    """
    spec = style if isinstance(style, Spec) else load_style(style)
    path = Path(table)
    defaults = Defaults(spec=spec, folder=path.parent, units=units)
    chunks = in_processes(
        partial(draft_rows, defaults), open_table(path).rows(), jobs=1, size=CHUNK
    )
    return [result for _, results in chunks for result in results]
