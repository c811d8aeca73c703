"""The commands that begin a project: a spec to fill in, and the measuring sheet."""

from __future__ import annotations

import os
from pathlib import Path
from typing import cast

import click

from outseam.cli.commands.exit_codes import DONE
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import Units


def init_command(spec: Path, units: str, *, replace: bool, every: bool = False) -> int:
    """Write a spec to fill in, with `every` key or the usual ones. Returns the exit code.

    An existing file stays unless `replace`.
    """
    from outseam.cli.write.save import save_all
    from outseam.draft.spec.starter import starter_text

    if os.path.lexists(spec) and not replace:
        raise InputError(
            str(spec), "a file of this name is already there", "a new name", "or add --replace"
        )
    save_all(spec.parent, {spec.name: starter_text(cast(Units, units), every=every).encode()})
    click.echo(f"Wrote {spec}. Fill in your measurements, then: outseam check {spec}")
    return DONE


def measure_command(out: Path, units: str) -> int:
    """Write the measuring sheet. Returns the exit code."""
    from outseam.cli.measure.sheet import measure_html
    from outseam.cli.write.save import save_all

    save_all(out.parent, {out.name: measure_html(units).encode()})
    click.echo(f"Wrote {out}. Open it in a browser, print it and measure with a friend.")
    return DONE
