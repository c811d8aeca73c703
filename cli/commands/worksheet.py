"""The worksheet to take to the table: one HTML page and a PDF, both from the same blocks."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import click
from jinja2 import Environment, PackageLoader, StrictUndefined, Template

from outseam.cli.document.blocks import Sheet
from outseam.cli.document.html import inline_svg
from outseam.cli.document.layout import pages_of
from outseam.cli.wording.sheet import bound
from outseam.cli.worksheet.content import worksheet_content
from outseam.cli.write.pdf import write_sheet_pdf
from outseam.draft.figures.sensitivity import Effect, estimate_effects
from outseam.draft.lay.ways.quick import FabricLength
from outseam.draft.model import Pattern

NAMES = ("worksheet.html", "worksheet.pdf")


@cache
def _template() -> Template:
    environment = Environment(
        loader=PackageLoader("outseam.cli"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["kind"] = lambda block: type(block).__name__
    environment.filters["bound"] = bound
    environment.filters["svg"] = inline_svg
    return environment.get_template("worksheet.html")


def worksheet_html(sheet: Sheet) -> str:
    """Return the worksheet as one HTML page that needs nothing from outside."""
    return _template().render(sheet=sheet)


def worksheet_pdf(sheet: Sheet) -> bytes:
    """Return the worksheet as a PDF of A4 pages."""
    return write_sheet_pdf(pages_of(sheet), title=f"{sheet.title}, worksheet")


def worksheet_files(
    pattern: Pattern, effects: tuple[Effect, ...], *, fabric: FabricLength | None = None
) -> dict[str, bytes]:
    """Return both files of a pattern's worksheet by name.

    `effects` as `estimate_effects` gives them; `fabric` how much of it, as `fabric_length` does, if
    the pieces were laid.
    """
    sheet = worksheet_content(pattern, effects, fabric=fabric)
    html, pdf = NAMES
    return {html: worksheet_html(sheet).encode(), pdf: worksheet_pdf(sheet)}


def worksheet_command(path: Path | None, out: Path) -> int:
    """Write the worksheet of a spec. Returns the exit code.

    Nothing is written when a check forbids the pattern.
    """
    from outseam.cli.cloth.saved_lay import fabric_for
    from outseam.cli.commands.draft import FAILED, read_spec
    from outseam.cli.wording.report import finding_lines
    from outseam.cli.write.save import save_all
    from outseam.draft.pattern import draft_pattern

    pattern = draft_pattern(read_spec(path))
    if pattern.errors:
        for text in finding_lines(pattern.errors, pattern.spec.units):
            click.echo(text, err=True)
        click.echo("outseam: the pattern does not pass its checks; nothing was written.", err=True)
        return FAILED
    fabric = fabric_for(pattern, path)
    save_all(out, worksheet_files(pattern, estimate_effects(pattern), fabric=fabric))
    click.echo(f"Wrote {' and '.join(NAMES)} to {out}.")
    return 0
