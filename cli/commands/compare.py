"""The command that shows variants side by side and laid on each other, for choosing."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click
from rich.console import Console
from rich.markup import escape

from outseam.cli.commands.common import wrote
from outseam.cli.commands.exit_codes import BAD_INPUT, DONE
from outseam.cli.compare.fabric import FabricNeeded, fabric_of
from outseam.cli.compare.figures import (
    FINISHED,
    FigureRow,
    base_index,
    difference_text,
    rows_of,
    value_text,
    worst_level,
)
from outseam.cli.compare.table import remarks
from outseam.cli.wording.report import plain_table, trade
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import per_cent
from outseam.draft.model import Pattern
from outseam.draft.spec.spec import load_spec
from outseam.draft.variants import Candidate, Comparison, compare_specs, parse_vary, vary_spec

#: Figures that the table on the terminal may show, the most telling first, and how many.
_TOLD = ("outseam", "inseam", "hem", "hip", "thigh", "knee", "front_rise", "back_rise", "waistband")
_MOST_TOLD = 4
#: So many changed keys of a spec are listed there; the page has all.
_MOST_CHANGES = 8


def compare_command(
    specs: Sequence[Path],
    vary: Sequence[str],
    before: Path | None,
    after: Path | None,
    out: Path,
    *,
    pages: bool,
) -> int:
    """Draft the variants, write their files and show the key figures. Returns the exit code.

    A variant that cannot be had is shown with its reason; nothing is written when none can.
    """
    from outseam.cli.compare.files import compare_files
    from outseam.cli.write.save import save_all

    comparison = comparison_of(specs, vary, before, after, beside_own=True)
    if not comparison.drafted:
        for numbers, _, text in remarks(comparison):
            click.echo(f"{numbers}: {text}", err=True)
        click.echo("outseam: none of these can be had; nothing was written.", err=True)
        return BAD_INPUT
    counted = _count_pages(comparison) if pages else None
    with Console(stderr=True).status("laying the pieces"):
        fabric = fabric_of(comparison)
    files = compare_files(comparison, counted, fabric)
    save_all(out, files)
    rows = rows_of(comparison, counted, fabric)
    print_comparison(comparison, rows, Console(highlight=False), fabric)
    click.echo(wrote(files, out))
    return DONE


def comparison_of(
    specs: Sequence[Path],
    vary: Sequence[str],
    before: Path | None,
    after: Path | None,
    *,
    beside_own: bool = False,
) -> Comparison:
    """Return the drafted comparison that a command line asks for. Raises InputError.

    `beside_own` puts the file itself beside a list of values that does not have it.
    """
    if before is not None or after is not None:
        return _before_after(specs, vary, before, after)
    if len(specs) > 1 and vary:
        raise InputError(
            "compare",
            f"--vary with {len(specs)} files",
            "--vary with one file, or several files without it",
        )
    if vary:
        from outseam.cli.commands.common import read_spec

        spec = read_spec(specs[0] if specs else None)
        asked = [parse_vary(text, spec.units) for text in vary]
        return vary_spec(spec, asked, beside_own=beside_own)
    if len(specs) < 2:
        raise InputError(
            "compare",
            "there is nothing to compare",
            "a file with --vary, two files or more, or --before and --after",
            "for example: outseam compare pants.toml --vary rise=high,mid,low",
        )
    return compare_specs(
        [_candidate(path, label) for path, label in zip(specs, _labels(specs), strict=True)],
        title="Patterns compared",
    )


def _before_after(
    specs: Sequence[Path], vary: Sequence[str], before: Path | None, after: Path | None
) -> Comparison:
    if before is None or after is None:
        raise InputError(
            "compare",
            f"only --{'after' if before is None else 'before'} is given",
            "both --before and --after",
        )
    if specs or vary:
        raise InputError(
            "compare",
            f"--before and --after together with {'--vary' if vary else 'other files'}",
            "the two files alone",
        )
    title = ""
    candidates = [_candidate(before, "before"), _candidate(after, "after")]
    for one in candidates:
        title = one.spec.title if one.spec and one.spec.title else title
    return compare_specs(candidates, title=title or "Before and after")


def _candidate(path: Path, label: str) -> Candidate:
    """Return the spec of a file, or why it cannot be used."""
    try:
        return Candidate(label=label, spec=load_spec(path))
    except InputError as e:
        return Candidate(label=label, refused=str(e))


def _labels(paths: Sequence[Path]) -> list[str]:
    """Return the files' names, with their folders where names alone are the same."""
    stems = [path.stem for path in paths]
    return [
        path.with_suffix("").as_posix() if stems.count(stem) > 1 else stem
        for path, stem in zip(paths, stems, strict=True)
    ]


def home_pages(pattern: Pattern) -> int:
    """Return how many A4 pages the pattern takes, its first page too. Takes a second or more."""
    from outseam.cli.paper.grid import grid_for_sheet, needed_cells, scene_shapes
    from outseam.cli.paper.print_job import home_scene
    from outseam.cli.paper.tiles import TileOptions

    options = TileOptions(overlap_mm=pattern.spec.print.overlap)
    scene = home_scene(pattern)
    grid = grid_for_sheet(scene.width_mm, scene.height_mm, *options.window)
    shapes = scene_shapes(scene)
    return len(needed_cells(grid, shapes.all, shapes.half_pen_mm)) + 1


def _count_pages(comparison: Comparison) -> dict[int, int]:
    counted = {}
    with Console(stderr=True).status("counting pages") as status:
        for v in comparison.drafted:
            assert v.pattern is not None
            status.update(f"counting pages of {v.number}, {escape(v.label)}")
            counted[v.number] = home_pages(v.pattern)
    return counted


def print_comparison(
    comparison: Comparison, rows: Sequence[FigureRow], console: Console, fabric: FabricNeeded
) -> None:
    """Print the key figures that differ, a line for each variant, and what there is to say."""
    units, base = comparison.units, base_index(comparison)
    shown = _told_rows(rows)
    table = plain_table(f"{escape(comparison.title or 'Pants')}, lengths in {units}", "")
    table.add_column("variant", no_wrap=True)
    for row in shown:
        heading = "fabric\nneeded,\nabout" if row.key == "fabric_needed" else trade(row.key)
        table.add_column(heading, justify="right", no_wrap=True)
    table.add_column("stretched\nmost", justify="right", no_wrap=True)
    for i, v in enumerate(comparison.variants):
        label = escape(v.label).replace(", ", ",\n")
        if v.pattern is None:
            table.add_row(str(v.number), label, *["–"] * len(shown), "cannot\nbe had")
            continue
        cells = []
        for row in shown:
            off = difference_text(row, i, base, units)
            value = value_text(row, i, units).removesuffix(f" {units}")
            cells.append(value + (f"\n{off}" if off not in ("", "=") else ""))
        worst = worst_level(v.pattern)
        strain = f"{worst.name}\n{per_cent(worst.strain)}" if worst.strain >= 0.005 else "nowhere"
        table.add_row(str(v.number), label, *cells, strain)
    first = comparison.variants[base].number
    table.caption = f"below a figure: difference from {first}; what is alike in all is left out"
    console.print(table)
    for numbers, word, text in remarks(comparison, _MOST_CHANGES, fabric):
        console.print(escape(f"{numbers}  {word.upper()}: {text}"))


def _told_rows(rows: Sequence[FigureRow]) -> list[FigureRow]:
    """Return the rows that differ and tell most, in the table's order; fabric and pages last."""
    found = {row.key: row for row in rows if row.group == FINISHED and row.differs}
    fabric = [row for row in rows if row.key == "fabric_needed"]
    keys = [key for key in _TOLD if key in found][: _MOST_TOLD - len(fabric)]
    shown = [row for key, row in found.items() if key in keys]
    return shown + fabric + [row for row in rows if row.key == "pages"]
