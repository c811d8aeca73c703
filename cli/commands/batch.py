"""Many bodies at once: a CSV in; a line of JSON for each, or a folder of patterns for each, out."""

from __future__ import annotations

from pathlib import Path

import click

from outseam.cli.batch.journal import Done
from outseam.cli.batch.run import StoppedError, plan_batch, run_batch
from outseam.cli.batch.table import duplicate_words
from outseam.cli.commands.exit_codes import DONE, INTERRUPTED
from outseam.draft.inputs.show import Units

_ANEW = (
    "What an interrupted run left belongs to other rows, another style or another version: "
    "all rows are drafted anew."
)


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
    from rich.console import Console
    from rich.progress import Progress

    if out is None and patterns is None:
        raise click.UsageError("Give --patterns, a folder, or --json, a file, or both.")
    batch = plan_batch(bodies, style, units=units, patterns=patterns)
    if words := duplicate_words(batch.ids_twice):
        click.echo(words, err=True)
    try:
        with Progress(console=Console(stderr=True), transient=True) as bar:
            task = bar.add_task("drafting", total=batch.total)

            def started(done: Done | None) -> None:
                if done is None:
                    click.echo(_ANEW, err=True)
                elif done.rows:
                    said = f"Going on after row {done.rows} of {batch.total}, where a run stopped."
                    click.echo(said, err=True)
                    bar.advance(task, done.rows)

            drafted, names = run_batch(
                batch,
                out,
                jobs=jobs,
                anew=anew,
                started=started,
                step=lambda count: bar.advance(task, count),
            )
    except StoppedError as e:
        says = "no row was done yet."
        if e.kept:
            says = (
                f"{e.kept} of {batch.total} rows are done and kept: run the same command to go on."
            )
        click.echo(f"outseam: stopped; {says} An earlier file is as it was.", err=True)
        return INTERRUPTED
    written = [] if out is None else [str(out)]
    if patterns is not None:
        written.append(f"a folder each, {', '.join(sorted(names))} to {patterns}")
    refused = batch.total - drafted
    done = f"Drafted {drafted} of {batch.total} bodies, refused {refused}."
    click.echo(f"{done} Wrote {' and '.join(written)}.")
    return DONE
