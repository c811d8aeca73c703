"""The commands that draft one spec: write the pattern, or only show what it would be."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import click

from outseam.draft.model import Pattern
from outseam.draft.pattern import draft_pattern
from outseam.draft.spec.spec import Spec, load_spec, parse_spec

#: Exit code where the checks forbid the pattern (or, with --strict, warn).
FAILED = 1


def read_spec(path: Path | None) -> Spec:
    """Return the spec of a file, or the demo. Raises InputError."""
    if path is not None:
        return load_spec(path)
    return parse_spec(
        files("outseam.draft").joinpath("data/demo.toml").read_text("utf-8"), "the demo"
    )


def _code(pattern: Pattern, strict: bool) -> int:
    return FAILED if pattern.errors or (strict and pattern.warnings) else 0


def draft_command(path: Path | None, out: Path, *, strict: bool) -> int:
    """Draft, check and write a pattern; report it. Returns the exit code.

    Nothing is written when a check forbids it.
    """
    from rich.console import Console

    from outseam.cli.cloth.saved_lay import fabric_for
    from outseam.cli.paper.pattern_files import make_sheets
    from outseam.cli.pattern.summary import summary, summary_text
    from outseam.cli.wording.fabric import fabric_data, fabric_says
    from outseam.cli.wording.report import finding_lines, print_report
    from outseam.cli.write.save import save_all
    from outseam.draft.figures.sensitivity import estimate_effects

    pattern = draft_pattern(read_spec(path))
    console = Console(highlight=False)
    if pattern.errors:
        for text in finding_lines(pattern.errors, pattern.spec.units):
            click.echo(text, err=True)
        click.echo("outseam: the pattern does not pass its checks; nothing was written.", err=True)
        return FAILED
    effects = estimate_effects(pattern)
    with Console(stderr=True).status("drawing") as status:
        sheets = make_sheets(pattern, lambda name: status.update(f"drawing {name}"))
    fabric = fabric_for(pattern, path)
    data = summary_text(summary(pattern, effects, sheets.pages, fabric_data(fabric)))
    save_all(out, sheets.files | {"summary.json": data.encode()})
    needed = fabric_says(fabric, pattern.spec.fabric, pattern.spec.units)
    print_report(pattern, effects, sheets.pages, console, needed)
    click.echo(f"Wrote {', '.join(sorted([*sheets.files, 'summary.json']))} to {out}.")
    return _code(pattern, strict)


def check_command(path: Path | None, *, as_json: bool, strict: bool) -> int:
    """Draft and check a spec and show the figures. Returns the exit code."""
    from outseam.draft.figures.sensitivity import estimate_effects

    pattern = draft_pattern(read_spec(path))
    effects = estimate_effects(pattern)
    if as_json:
        from outseam.cli.pattern.summary import summary, summary_text

        click.echo(summary_text(summary(pattern, effects)), nl=False)
    else:
        from rich.console import Console

        from outseam.cli.wording.report import print_report

        print_report(pattern, effects, None, Console(highlight=False))
    return _code(pattern, strict)
