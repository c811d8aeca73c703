"""The command that writes the worksheet to take to the table."""

from __future__ import annotations

from pathlib import Path

import click

from outseam.cli.commands.common import read_answer, wrote
from outseam.cli.commands.exit_codes import DONE


def worksheet_command(spec: Path | None, out: Path) -> int:
    """Write the worksheet of a spec. Returns the exit code."""
    from outseam.cli.worksheet.files import worksheet_files
    from outseam.cli.write.save import save_all

    files = worksheet_files(read_answer(spec))
    save_all(out, files)
    click.echo(wrote(files, out))
    return DONE
