"""The command for a trial: short pieces to print, and a sheet of what to look for."""

from __future__ import annotations

from pathlib import Path

import click

from outseam.cli.commands.common import read_answer, wrote
from outseam.cli.commands.exit_codes import DONE


def trial_command(spec: Path | None, out: Path) -> int:
    """Write the trial of a spec. Returns the exit code."""
    from outseam.cli.fitting.trial_files import trial_files
    from outseam.cli.wording.fabric import round_says
    from outseam.cli.write.save import save_all

    answer = read_answer(spec)
    made = trial_files(answer)
    save_all(out, made.files)
    pages = ", ".join(f"{name} {info['pages']}" for name, info in made.pages.items())
    click.echo(round_says(answer.spec.fabric))
    click.echo(f"{wrote(made.files, out)} Pages: {pages}.")
    return DONE
