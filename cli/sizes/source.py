"""Where the sizes of a range come from: a table by name, her own CSV, or a grade in TOML."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from outseam.cli.batch.rows import lengths_of, units_of
from outseam.cli.batch.table import open_table
from outseam.draft.body.population import BUILDS, Build
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import Units
from outseam.draft.inputs.text import clean_text, describe, listing
from outseam.draft.sizes.grade import grade_sizes
from outseam.draft.sizes.run import Size
from outseam.draft.sizes.tables import filled_body, table_named, table_sizes
from outseam.draft.spec.spec import load_toml


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Sizes and the words for where they come from."""

    says: str
    sizes: tuple[Size, ...]

    @property
    def build(self) -> Build:
        """The build that the sizes are for."""
        return self.sizes[0].body.build


def read_source(
    name: str, *, units: Units = "cm", height_mm: float | None = None, folder: Path = Path()
) -> Source:
    """Return the sizes of a table by its name, or of a CSV or TOML file seen from `folder`.

    `units` are those of bare numbers in a CSV. Raises InputError.
    """
    path = folder / name
    if path.suffix.lower() == ".toml":
        raw = load_toml(path)
        title = clean_text(str(raw.get("title", ""))) or path.stem
        return Source(says=f"{title}, a grade", sizes=grade_sizes(raw, height_mm))
    if path.suffix or path.exists():
        sizes = _csv_sizes(path, units, height_mm)
        return Source(says=path.name, sizes=sizes)
    table = table_named(name)
    return Source(says=table.source, sizes=table_sizes(table, height_mm))


def _csv_sizes(path: Path, units: Units, height_mm: float | None) -> tuple[Size, ...]:
    table = open_table(path)
    for column, heading in zip(table.columns, table.headings, strict=True):
        if column in ("style", "fabric") or "." in column:
            raise InputError(
                f"column {heading}",
                "a table of sizes holds bodies only",
                hint="the style is that of the spec, for all sizes",
            )
    sizes = []
    for number, row in enumerate(table.rows(), start=1):
        build = row.get("build") or "women"
        if build not in BUILDS:
            raise InputError(f"row {number}, build", describe(build), listing(BUILDS))
        label = row.get("id") or row.get("name") or str(number)
        lengths = lengths_of(row, units_of(row, units))
        sizes.append(Size(label=label, body=filled_body(build, lengths, height_mm)))
    if not sizes:
        raise InputError(str(path), "there is no size in it", "a row for each size")
    if len({size.body.build for size in sizes}) > 1:
        raise InputError(str(path), "sizes of both builds", "one table for each")
    return tuple(sizes)
