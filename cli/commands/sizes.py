"""A style over a table of sizes: figures, whom they serve, and patterns where they are wanted."""

from __future__ import annotations

import json
import os
from functools import partial
from pathlib import Path

import click
from rich.console import Console
from rich.markup import escape

from outseam.cli.commands.common import wrote
from outseam.cli.commands.exit_codes import DONE
from outseam.cli.sizes.data import limit_words
from outseam.cli.sizes.files import SizeRange, size_range, write_size
from outseam.cli.wording.report import plain_table
from outseam.cli.write.save import save_all
from outseam.draft.inputs.show import Units, show_length, show_ratio
from outseam.draft.inputs.units import length_mm
from outseam.draft.sizes.coverage import FitRule
from outseam.draft.spec.spec import Spec, load_style

#: So many of the best choices are told.
_MOST_TOLD = 6


def sizes_command(
    style: Path | None,
    table: str,
    out: Path,
    *,
    patterns: bool,
    nest: str | None,
    only: str,
    height: str | None,
    units: Units,
    as_meant: bool,
    jobs: int | None,
) -> int:
    """Draft, count, write and report. Returns the exit code: skipped sizes do not make it fail."""
    height_mm = None if height is None else length_mm(height, units, "--height")
    rule = FitRule(as_meant=as_meant)
    found = size_range(load_style(style), table, units=units, height_mm=height_mm, rule=rule)
    files = found.files()
    if nest is not None:
        laid = found.nest_files(nest, [x.strip() for x in only.split(",") if x.strip()])
        files |= laid.files
        for name, why in laid.left_out.items():
            click.echo(f"{name} is left out: {why}", err=True)
    folders = _write_patterns(found, out, jobs) if patterns else {}
    save_all(out, files)
    print_sizes(found, Console(highlight=False))
    told = f"{len(folders)} folders of patterns, " if folders else ""
    click.echo(wrote([told + ", ".join(sorted(files))], out))
    return DONE


def _write_patterns(found: SizeRange, out: Path, jobs: int | None) -> dict[str, dict[str, object]]:
    """Write a folder for every size; return the pages of each by its name."""
    from outseam.cli.batch.folders import folder_key, folder_name, make_folder, tidy
    from outseam.cli.batch.pool import in_processes

    make_folder(out)
    tidy(out)
    rows = [{"name": f"size {label}"} for label in found.run.labels]
    keys = [folder_key(i, row) for i, row in enumerate(rows, start=1)]
    shared = frozenset(key for key in keys if keys.count(key) > 1)
    names = [folder_name(i, row, shared) for i, row in enumerate(rows, start=1)]
    work: list[tuple[str, Spec]] = list(
        zip(names, (pattern.spec for pattern in found.run.patterns), strict=True)
    )
    workers = min(jobs or os.cpu_count() or 1, len(work))
    pages: dict[str, dict[str, object]] = {}
    with Console(stderr=True).status("drawing") as status:
        for chunk, told in in_processes(partial(write_size, out), work, jobs=workers, size=1):
            for (name, _), text in zip(chunk, told, strict=True):
                pages[name] = json.loads(text)
                status.update(f"drew {escape(name)}")
    return pages


def print_sizes(found: SizeRange, console: Console) -> None:
    """Print a line for every size, whom all of them serve, and which choice would serve most."""
    run, coverage, columns = found.run, found.coverage, found.columns
    units = run.patterns[0].spec.units
    heads = ("size", "body waist", "body hip", "hip", "elastic", "inseam", "serves", "alone")
    table = plain_table(f"{escape(run.title)}; sizes: {escape(run.source)}", *heads)
    keys = ("body_waist_mm", "body_hip_mm", "hip_mm", "elastic_mm", "inseam_mm")
    for i, label in enumerate(columns["size"]):
        lengths = [columns.get(key, [None] * (i + 1))[i] for key in keys]
        shown = ["none" if mm is None else show_length(mm, units) for mm in lengths]
        shares = [show_ratio(columns[key][i]) for key in ("serves", "serves_alone")]
        table.add_row(escape(label), *shown, *shares)
    console.print(table)
    for one in run.skipped:
        console.print(escape(f"SKIPPED {one.label}: {one.reason}"))
    rest = (
        f"smaller than all {show_ratio(coverage.smaller)}, larger {show_ratio(coverage.larger)}, "
        f"of another shape {show_ratio(coverage.between)}"
    )
    console.print(
        f"All sizes together serve {show_ratio(coverage.total)} of the people "
        f"({show_ratio(found.as_meant)} as the style is meant); {rest}."
    )
    for best in found.best[:_MOST_TOLD]:
        hips = ", ".join(show_length(mm, units) for mm in best.hips)
        word = "size serves" if len(best.hips) == 1 else "sizes serve"
        console.print(
            f"The best {len(best.hips)} {word} {show_ratio(best.coverage)}: body hip {hips}."
        )
    console.print(escape(f"{limit_words(run, found.rule)} People: {coverage.people.says}."))
