"""The command that lays the pieces on the fabric: plan, scale drawing, positions kept."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from outseam.cli.cloth.saved_lay import kept_path, read_lay
from outseam.cli.commands.common import read_spec, wrote
from outseam.cli.commands.exit_codes import DONE
from outseam.draft.answer import ChecksFailedError, passed
from outseam.draft.inputs.show import per_cent
from outseam.draft.pattern import draft_pattern

#: What helps is listed only if it brings the lay down to so many times what is in hand.
_NEAR = 1.5
#: A single layer that needs less than a narrow fold by more than this is worth a word, mm.
_LESS_MM = 20.0


def lay_command(specs: tuple[Path, ...], out: Path, *, again: bool, seconds: float) -> int:
    """Lay the pieces of one spec or several on one fabric, write and report it.

    Returns the exit code.
    """
    from rich.console import Console

    from outseam.cli.cloth.data import lay_text
    from outseam.cli.cloth.files import lay_files
    from outseam.cli.write.save import OutputError, save_all
    from outseam.draft.lay.ways.plan import plan, single_layer_mm

    patterns = [passed(draft_pattern(read_spec(p))) for p in (specs or (None,))]
    units = patterns[0].spec.units
    kept_at = kept_path(specs)
    with Console(stderr=True).status("laying the pieces"):
        planned = plan(patterns, kept=read_lay(kept_at), again=again, seconds=seconds)
        lay = planned.lay
        if lay.errors:
            raise ChecksFailedError(lay.errors, units, "lay")
        flat = single_layer_mm(patterns) if lay.fold_mm is not None and planned.fresh else None
        helps = _remedies(patterns, lay, min(1.0, seconds))
    files = lay_files(patterns, lay, helps)
    save_all(out, files)
    # A spec may lie where nothing can be written; its lay is then only not kept.
    not_kept: OutputError | None = None
    if kept_at is not None and planned.fresh:
        try:
            save_all(kept_at.parent, {kept_at.name: lay_text(planned.keep).encode()})
        except OutputError as e:
            not_kept = e
    _report(planned.remark, lay, helps, units)
    _report_single_layer(flat, lay, units)
    click.echo(wrote(files, out))
    if not_kept is not None:
        click.echo(f"The positions are not kept beside the spec: {not_kept.advice}.")
    elif kept_at is not None:
        verb = "Kept the positions in" if planned.fresh else "Drawn from the positions kept in"
        click.echo(f"{verb} {kept_at.name}; --again searches for a new lay.")
    return DONE


def _remedies(patterns: list[Any], lay: Any, seconds: float) -> tuple[Any, ...]:
    """Return what would make the fabric in hand enough, if it is too short."""
    from outseam.draft.lay.ways.length_in_hand import remedies

    have = lay.cloth.in_hand_mm
    return () if have is None or lay.length_mm <= have else remedies(patterns, lay, have, seconds)


def _report_single_layer(flat_mm: float | None, lay: Any, units: Any) -> None:
    """Say so where a single layer would take less than a narrow fold."""
    from outseam.cli.wording.fabric import needed

    if flat_mm is not None and flat_mm < lay.length_mm - _LESS_MM:
        click.echo(
            f"In a single layer the same pieces need {needed(flat_mm, units)} "
            '(fabric.fold = "single").'
        )


def _report(remark: str, lay: Any, helps: Any, units: Any) -> None:
    """Say how much fabric it takes, and what would help if there is too little."""
    from outseam.cli.wording.fabric import needed
    from outseam.cli.wording.lay import bound_says, fabric_says
    from outseam.draft.inputs.show import show_on_tape
    from outseam.draft.inputs.words import in_units

    if remark:
        click.echo(remark)
    click.echo(f"Length needed: {needed(lay.length_mm, units)}, {fabric_says(lay, units)}.")
    click.echo(f"{per_cent(lay.utilisation)} of it is in the pieces; {bound_says(lay, units)}.")
    if lay.left_out:
        click.echo(f"Not on this fabric: {', '.join(lay.left_out)}.")
    if lay.fold_mm is not None:
        click.echo(f"Narrow fold: fold in {show_on_tape(lay.fold_mm, lay.tape_mm, units)}.")
    if lay.opened_mm == 0.0:
        click.echo("Nothing is cut through two layers: lay the fabric in one.")
    elif lay.opened_mm is not None:
        click.echo(f"Folded to {show_on_tape(lay.opened_mm, lay.tape_mm, units)}, then opened out.")
    for finding in lay.findings:
        if finding.level == "warning" and finding.check != "length in hand":
            click.echo(f"WARNING: {in_units(finding.says, units)}.")
        elif finding.level == "note":
            click.echo(f"note: {in_units(finding.says, units)}.")
    if lay.cloth.in_hand_mm is not None:
        _report_in_hand(lay, lay.cloth.in_hand_mm, helps, units)


def _report_in_hand(lay: Any, have: float, helps: Any, units: Any) -> None:
    """Say whether the fabric in hand is enough, and what would help if it is not."""
    from outseam.draft.inputs.show import show_length

    if lay.length_mm <= have:
        told = show_length(have, units)
        click.echo(f"Your {told} are enough, measured with the ends squared and any wash done.")
        return
    by = show_length(lay.length_mm - have, units)
    click.echo(f"Your {show_length(have, units)} are {by} short.")
    if any(r.fits for r in helps):
        click.echo("What would make it enough, each drafted and laid:")
    elif helps and min(r.length_mm for r in helps) > _NEAR * have:
        click.echo("Nothing that was tried comes near it.")
        return
    elif helps:
        click.echo("Nothing alone makes it enough; these help, perhaps together:")
    else:
        click.echo("Nothing that was tried makes it enough.")
    for remedy in helps:
        if remedy.fits or not any(r.fits for r in helps):
            click.echo(f"  - {remedy.says} (needs {show_length(remedy.length_mm, units)})")
