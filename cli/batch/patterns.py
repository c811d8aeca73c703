"""The patterns of one row, written into a folder of its own, and what the sheet tells of it."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, Final

from outseam.cli.batch.folders import write_folder
from outseam.cli.batch.journal import Result
from outseam.cli.batch.rows import Defaults, RowResult, draft_row, draft_rows, line_of, reason
from outseam.cli.batch.table import BodyRow

#: What a class sheet and a cover tell of a row, as plain data; lengths in mm.
About = Mapping[str, Any]
#: The column that a batch adds to a row: the name of its folder.
FOLDER: Final = "(folder)"


def draft_lines(defaults: Defaults, first: int, rows: list[BodyRow]) -> list[Result]:
    """Draft consecutive rows, numbered from `first`, for their figures."""
    found = draft_rows(defaults, first, rows)
    return [Result(drafted=r.status == "drafted", line=line_of(r)) for r in found]


def draft_folders(defaults: Defaults, out: Path, first: int, rows: list[BodyRow]) -> list[Result]:
    """Draft consecutive rows and write the patterns of each into its folder within `out`.

    Raises OutputError where a folder cannot be written; all else that goes wrong stays with the
    row.
    """
    return [_with_folder(defaults, out, first + i, row) for i, row in enumerate(rows)]


def _with_folder(defaults: Defaults, out: Path, number: int, row: BodyRow) -> Result:
    from outseam.cli.paper.pattern_files import draft_files

    result, pages = draft_row(defaults, number, row), {}
    left_out: list[str] = []
    if result.status == "drafted" and result.answer is not None:
        try:
            made = draft_files(result.answer)
        except Exception as e:  # a piece that no sheet holds, or a fault of the program
            result = replace(result, status="refused", says=reason(e), answer=None)
        else:
            write_folder(out, row[FOLDER], made.files)
            pages = {paper: counted["pages"] for paper, counted in made.pages.items()}
            left_out = [f"{name} is left out: {why}" for name, why in made.left_out.items()]
    about = json.dumps(about_row(result, row, pages, left_out), ensure_ascii=False)
    return Result(drafted=result.status == "drafted", line=line_of(result), about=about)


def about_row(
    result: RowResult, row: BodyRow, pages: dict[str, int], left_out: Sequence[str] = ()
) -> dict[str, Any]:
    """Return what a class sheet and a cover tell of a row, as plain data; lengths in mm.

    `left_out` are sentences about files that could not be made.
    """
    about: dict[str, Any] = {
        "number": result.number,
        "id": row.get("id", ""),
        "who": result.name or row.get("id") or f"row {result.number}",
        "status": result.status,
        "says": result.says,
    }
    if result.status != "drafted" or result.answer is None:
        return about
    from outseam.cli.pattern.summary import rounded
    from outseam.cli.wording.findings import finding_lines
    from outseam.draft.figures.finished import finished

    spec, pattern = result.answer.spec, result.answer.pattern
    style = spec.style
    extras = [*(p for p in style.pocket if p != "none"), *([style.belt] * (style.belt != "none"))]
    extras += [f"ankle {style.ankle}"] * (style.ankle != "closed")
    sizes = finished(pattern)
    return about | {
        "folder": row[FOLDER],
        "units": spec.units,
        "style": ", ".join((f"{style.leg} leg", style.fit, style.length, *extras)),
        "band": style.band,
        "fabric": spec.fabric.name or spec.fabric.kind,
        "round": spec.fabric.round_note,
        "stretch_round": rounded(spec.fabric.stretch_round_ratio),
        "body_hip_mm": rounded(pattern.measures.hip),
        "finished_mm": rounded(sizes),
        "pieces": len(pattern.pieces),
        "pages": pages,
        "warnings": [
            *(
                line.removeprefix("WARNING: ")
                for line in finding_lines(pattern.warnings, spec.units)
            ),
            *left_out,
        ],
    }
