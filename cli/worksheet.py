"""The worksheet to take to the table: one HTML page and a PDF, both from the same blocks."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from xml.etree import ElementTree

import click
from jinja2 import Environment, PackageLoader, StrictUndefined, Template

from cli.pdf import write_sheet_pdf
from cli.scene import Scene
from cli.svg import write_svg_text
from cli.worksheet_blocks import Sheet
from cli.worksheet_content import worksheet_content
from cli.worksheet_layout import pages_of
from cli.worksheet_words import bound
from draft.pattern import Pattern
from draft.quick_lay import FabricLength
from draft.sensitivity import Effect, estimate_effects

NAMES = ("worksheet.html", "worksheet.pdf")

_SVG = "{http://www.w3.org/2000/svg}"
_LAYER = "{http://www.inkscape.org/namespaces/inkscape}label"


def inline_svg(scene: Scene) -> str:
    """Return the scene as an SVG element to stand inside a page.

    Layers become groups of the class of their name; what only editors read, and identifiers that
    would stand twice in one page, are left out.
    """
    root = ElementTree.fromstring(write_svg_text(scene))
    for element in root.iter():
        name = element.attrib.get(_LAYER)
        for key in [k for k in element.attrib if k.startswith("{") or k == "id"]:
            del element.attrib[key]
        if name is not None:
            element.set("class", name)
        element.tag = element.tag.removeprefix(_SVG)
    for empty in [e for e in root if e.tag == "defs" and not len(e)]:
        root.remove(empty)
    for key in ("baseProfile", "version"):
        root.attrib.pop(key, None)
    root.set("role", "img")
    return ElementTree.tostring(root, encoding="unicode")


@cache
def _template() -> Template:
    environment = Environment(
        loader=PackageLoader("cli"),
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
    from cli.drafting import FAILED, read_spec
    from cli.kept_file import fabric_for
    from cli.report import finding_lines
    from cli.save import save_all
    from draft.pattern import draft_pattern

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
