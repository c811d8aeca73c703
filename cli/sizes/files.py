"""The files of a range of sizes, and its figures in Python."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import Any, Final

from outseam.cli.paper.pattern_files import Sheets
from outseam.cli.pattern.summary import summary_text
from outseam.cli.sizes.data import size_columns, size_csv, size_data
from outseam.cli.sizes.picture import coverage_scene
from outseam.cli.sizes.source import Source, read_source
from outseam.cli.write.png import preview_png
from outseam.cli.write.svg import write_svg_text
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import Units
from outseam.draft.sizes.coverage import Coverage, FitRule, cover_run, draw_people
from outseam.draft.sizes.run import SizeRun, draft_sizes
from outseam.draft.sizes.steps import BestSizes, best_sizes, middling_reaches
from outseam.draft.spec.spec import Spec

PICTURE_PX: Final = 1600
STEM: Final = "sizes"


@dataclass(frozen=True, kw_only=True)
class SizeRange:
    """A style over a row of sizes and all that follows from it, computed when it is asked for."""

    spec: Spec
    source: Source
    rule: FitRule = field(default_factory=FitRule)
    height_mm: float | None = None

    @cached_property
    def run(self) -> SizeRun:
        """The drafted sizes. Raises InputError where none can be drafted."""
        run = draft_sizes(self.spec, self.source.sizes, source=self.source.says)
        if not run.patterns:
            first = run.skipped[0]
            raise InputError("sizes", "none can be drafted", hint=f"{first.label}: {first.reason}")
        return run

    @cached_property
    def coverage(self) -> Coverage:
        """Whom the sizes serve."""
        return cover_run(self.run, draw_people(self.source.build), self.rule)

    @cached_property
    def as_meant(self) -> float:
        """The share of people for whom a size fits as the style means it."""
        strict = replace(self.rule, as_meant=True)
        return cover_run(self.run, self.coverage.people, strict).total

    @cached_property
    def best(self) -> tuple[BestSizes, ...]:
        """The best choice of one size, two sizes, up to as many as there are."""
        people = self.coverage.people
        reaches = middling_reaches(
            self.spec, self.source.build, people, rule=self.rule, height_mm=self.height_mm
        )
        return best_sizes(reaches, people, len(self.run.labels))

    @property
    def columns(self) -> dict[str, list[Any]]:
        """A row for each size, as columns of equal length, for a data frame."""
        return size_columns(self.run, self.coverage)

    @property
    def data(self) -> dict[str, Any]:
        """All figures as plain data."""
        return size_data(self.run, self.coverage, self.best, self.rule, self.as_meant)

    def files(self) -> dict[str, bytes]:
        """Return the files of `outseam sizes` by name: figures, and the picture of coverage."""
        picture = coverage_scene(self.run, self.coverage)
        return {
            f"{STEM}.json": summary_text(self.data).encode(),
            f"{STEM}.csv": size_csv(self.columns).encode(),
            "coverage.svg": write_svg_text(picture).encode(),
            "coverage.png": preview_png(picture, PICTURE_PX),
        }

    def nest_files(self, align: str = "crotch", only: Sequence[str] = ()) -> Sheets:
        """Return the files of the sizes laid over each other, all or `only` some.

        `align` is a name of `outseam.cli.nest.align.WAYS`. Raises InputError.
        """
        from outseam.cli.nest.files import nest_files
        from outseam.cli.nest.nest import nest_of

        nest = nest_of(self.run, align)
        return nest_files(nest.only(only) if only else nest, self.spec.print)


def size_range(
    spec: Spec,
    table: str,
    *,
    units: Units = "cm",
    height_mm: float | None = None,
    rule: FitRule | None = None,
    folder: Path = Path(),
) -> SizeRange:
    """Return a style over a table of sizes, by its name or as a CSV or TOML file in `folder`.

    `units` are those of bare numbers in a CSV, `height_mm` the height where the table gives none,
    `rule` when a size serves a person. Raises InputError.
    """
    source = read_source(table, units=units, height_mm=height_mm, folder=folder)
    return SizeRange(spec=spec, source=source, rule=rule or FitRule(), height_mm=height_mm)


def write_size(out: Path, first: int, rows: list[tuple[str, Spec]]) -> list[str]:
    """Write the patterns of sizes into a folder each within `out`; return their pages as JSON."""
    from outseam.cli.batch.folders import write_folder
    from outseam.cli.paper.pattern_files import draft_files
    from outseam.draft.answer import Answer

    told = []
    for folder, spec in rows:
        made = draft_files(Answer(spec=spec))
        write_folder(out, folder, made.files)
        told.append(json.dumps(made.pages))
    return told
