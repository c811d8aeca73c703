"""The commands that draft one spec: write the pattern, or only show what it would be."""

from __future__ import annotations

from pathlib import Path

import click

from outseam.cli.commands.common import exit_code, read_answer, wrote


def draft_command(spec: Path | None, out: Path, *, strict: bool, figures: bool = False) -> int:
    """Draft, check and write a pattern; report it. Returns the exit code."""
    from rich.console import Console

    from outseam.cli.paper.pattern_files import draft_files
    from outseam.cli.wording.fabric import fabric_says
    from outseam.cli.wording.report import print_report
    from outseam.cli.write.save import save_all

    answer = read_answer(spec)
    with Console(stderr=True).status("drawing") as status:
        made = draft_files(answer, lambda name: status.update(f"drawing {name}"))
    save_all(out, made.files)
    needed = fabric_says(answer.fabric, answer.spec.fabric, answer.spec.units)
    console, refusal = Console(highlight=False), answer.refusal
    print_report(
        answer.pattern, answer.effects, made.pages, console, needed, refusal, figures=figures
    )
    click.echo(wrote(made.files, out, made.left_out))
    return exit_code(answer.pattern, strict=strict, refused=bool(refusal))


def check_command(spec: Path | None, *, as_json: bool, strict: bool, figures: bool = False) -> int:
    """Draft and check a spec and show the figures. Returns the exit code."""
    answer = read_answer(spec)
    if as_json:
        from outseam.cli.pattern.summary import summary, summary_text

        data = summary(answer.drafted, answer.effects) | {"fabric_refused": answer.refusal}
        click.echo(summary_text(data), nl=False)
    else:
        from rich.console import Console

        from outseam.cli.wording.report import print_report

        console = Console(highlight=False)
        print_report(
            answer.drafted,
            answer.effects,
            None,
            console,
            refusal=answer.refusal,
            figures=figures,
        )
    return exit_code(answer.drafted, strict=strict, refused=bool(answer.refusal))
