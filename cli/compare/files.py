"""The files of a comparison: drawing, printable pages, one HTML page, and all figures as JSON."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from outseam.cli.compare.fabric import FabricNeeded
from outseam.cli.compare.figures import (
    FigureRow,
    base_index,
    differences,
    groups_of,
    notices_of,
    rows_of,
    value_text,
)
from outseam.cli.compare.frame import Page, scenes_of
from outseam.cli.compare.legs import legs_of
from outseam.cli.compare.overlay import overlay_pages
from outseam.cli.compare.side import side_page
from outseam.cli.compare.table import legend_text, remarks, table_pages
from outseam.cli.document.html import render_page
from outseam.cli.pattern.summary import rounded, summary_text
from outseam.cli.scene.compose import stacked
from outseam.cli.scene.home_paper import PAPER_NAMES, on_home_paper
from outseam.cli.scene.line_styles import line_style
from outseam.cli.scene.scene import Scene
from outseam.cli.version import VERSION
from outseam.cli.wording.fabric import fabric_data
from outseam.cli.wording.findings import finding_data
from outseam.cli.wording.report import CAUTION
from outseam.cli.write.pdf import write_sheet_pdf
from outseam.cli.write.png import PREVIEW, preview_png
from outseam.cli.write.svg import write_svg_text
from outseam.draft.checks.strain import levels
from outseam.draft.figures.finished import finished
from outseam.draft.variants import Comparison, Variant

STEM = "compare"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Drawing:
    """A drawing of the HTML page and its name for links."""

    key: str
    scene: Scene


def compare_files(
    comparison: Comparison,
    pages: Mapping[int, int] | None = None,
    fabric: FabricNeeded | None = None,
) -> dict[str, bytes]:
    """Return all files by name; at least one variant has a pattern.

    `pages` are the home pages by the variants' numbers, if they were counted, `fabric` about how
    much of it each takes.
    """
    rows = rows_of(comparison, pages, fabric)
    legs = legs_of(comparison)
    drawn = [side_page(comparison, legs), *overlay_pages(comparison, legs)]
    title = comparison.title or "Pants"
    units, tables = comparison.units, table_pages(comparison, rows, fabric)
    paper = _paper(comparison)
    scenes = on_home_paper(scenes_of(title, units, [*drawn, *tables]), paper)
    sheets = on_home_paper(scenes_of(title, units, drawn), paper)
    pictures = scenes_of(title, comparison.units, drawn, on_paper=False)
    data = compare_data(comparison, drawn, pages, fabric)
    return {
        f"{STEM}.svg": write_svg_text(stacked(sheets)).encode(),
        f"{STEM}.pdf": write_sheet_pdf(scenes, title=f"{title}: variants compared"),
        f"{STEM}.html": compare_html(comparison, rows, pictures, fabric).encode(),
        f"{STEM}.json": summary_text(data).encode(),
        PREVIEW: preview_png(pictures[0]),
    }


def _paper(comparison: Comparison) -> str:
    """Return the paper of the first spec that could be read."""
    return next((v.spec.home_paper for v in comparison.variants if v.spec is not None), "a4")


def compare_html(
    comparison: Comparison,
    rows: tuple[FigureRow, ...],
    pictures: tuple[Scene, ...],
    fabric: FabricNeeded | None,
) -> str:
    """Return the comparison as one HTML page that needs nothing from outside."""
    base, u = base_index(comparison), comparison.units
    drafted, refused = len(comparison.drafted), len(comparison.refused)
    lead = f"{drafted} variants" + (f", {refused} more cannot be had" if refused else "")
    return render_page(
        "compare.html",
        paper=PAPER_NAMES[_paper(comparison)],
        title=comparison.title or "Pants",
        lead=f"{lead}. The bar in each picture tells its scale; {STEM}.pdf prints at a round one.",
        drawings=[
            _Drawing(key=scene.layers[0].name.replace(" ", "-"), scene=scene) for scene in pictures
        ],
        variants=comparison.variants,
        legend=legend_text(comparison),
        groups=[
            {
                "name": group.name,
                "rows": [
                    {
                        "name": row.name,
                        "cells": [
                            (value_text(row, i, u), off)
                            for i, off in enumerate(differences(row, base, u))
                        ],
                    }
                    for row in group.rows
                ],
            }
            for group in groups_of(rows)
        ],
        remarks=list(remarks(comparison, fabric=fabric)),
        caution=CAUTION,
    )


def compare_data(
    comparison: Comparison,
    drawn: list[Page],
    pages: Mapping[int, int] | None,
    fabric: FabricNeeded | None,
) -> dict[str, Any]:
    """Return all figures as plain data; lengths in mm, differences from the first drafted."""
    base = comparison.variants[base_index(comparison)]
    data = {
        "program": {"name": "outseam", "version": VERSION},
        "title": comparison.title,
        "units": comparison.units,
        "columns": comparison.columns,
        "scales": {page.name: page.scale for page in drawn},
        "laid_on_each_other_at": ["crotch line", "crease line"],
        "differences_from": base.number,
        "variants": [_variant(v, base, pages, fabric) for v in comparison.variants],
        "notices": [asdict(n) for n in notices_of(comparison)],
    }
    return rounded(data)  # type: ignore[no-any-return]


def _variant(
    v: Variant, base: Variant, pages: Mapping[int, int] | None, fabric: FabricNeeded | None
) -> dict[str, Any]:
    found: dict[str, Any] = {
        "number": v.number,
        "label": v.label,
        "status": "refused" if v.pattern is None else "drafted",
        "says": v.refused,
        "as_in_the_file": v.as_written,
        "changes": [asdict(c) for c in v.changes],
    }
    if v.pattern is None or base.pattern is None:
        return found
    sizes, first = finished(v.pattern), finished(base.pattern)
    rise = v.pattern.block.rise
    return found | {
        "pen": {"width_mm": line_style(v.number).width_mm, "dash_mm": line_style(v.number).dash_mm},
        "style": asdict(v.pattern.spec.style),
        "top_above_waist_tape_mm": asdict(rise),
        "finished_mm": sizes,
        "difference_mm": {key: mm - first[key] for key, mm in sizes.items() if key in first},
        "levels": [
            {**asdict(level), "ease_mm": level.ease_mm, "strain": level.strain}
            for level in levels(v.pattern)
        ],
        "wear_strain": v.pattern.block.ease.wear_strain,
        "pieces": [p.name for p in v.pattern.pieces],
        "findings": [
            finding_data(f, v.pattern.spec.units) for f in v.pattern.findings if f.level != "pass"
        ],
        **({} if pages is None else {"a4_pages": pages[v.number]}),
        **({} if fabric is None else {"fabric_needed": fabric_data(fabric.found[v.number])}),
    }
