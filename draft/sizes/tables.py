"""Body tables that sizes are made after, by source, and bodies filled up from the population.

A table gives waist and hip. Height is chosen; the inside leg is what the population figures expect
of that height, waist and hip, so it changes little from size to size: lengths are set at the hem.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from outseam.draft.body.population import Build, condition
from outseam.draft.body.table import Body
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.text import clip, closest, listing
from outseam.draft.sizes.run import Size

#: The height sizes are drafted for unless another is given (common practice, no source).
USUAL_HEIGHT_MM: Final[dict[Build, float]] = {"women": 1680.0, "men": 1780.0}
_INCH: Final = 25.4


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeTable:
    """A published table of body sizes: `rows` are label, waist and hip, mm; `source` names it."""

    name: str
    source: str
    build: Build
    rows: tuple[tuple[str, float, float], ...]


def _women_cm() -> tuple[tuple[str, float, float], ...]:
    waist = (60, 64, 68, 72, 76, 80, 84, 88, 94, 100, 106, 112)
    hip = (84, 88, 92, 96, 100, 104, 108, 112, 117, 122, 127, 132)
    return tuple((f"{h}", 10.0 * w, 10.0 * h) for w, h in zip(waist, hip, strict=True))


def _misses_in() -> tuple[tuple[str, float, float], ...]:
    waist = (24, 25, 26, 27, 28, 29.5, 31, 32.5, 34.5, 36.5)
    hip = (34.5, 35.5, 36.5, 37.5, 38.5, 40, 41.5, 43, 45, 47)
    return tuple(
        (f"{2 * n}", _INCH * w, _INCH * h)
        for n, (w, h) in enumerate(zip(waist, hip, strict=True), start=1)
    )


#: Both tables are from memory of the standards named, not copied from their text.
TABLES: Final[tuple[SizeTable, ...]] = (
    SizeTable(
        name="en-13402-women",
        source="EN 13402-3, women, hip with waist (from memory)",
        build="women",
        rows=_women_cm(),
    ),
    SizeTable(
        name="astm-d5585-misses",
        source="ASTM D5585-95, misses 2 to 20 (from memory)",
        build="women",
        rows=_misses_in(),
    ),
)


def table_named(name: str) -> SizeTable:
    """Return a table by its name. Raises InputError with the likely one."""
    for table in TABLES:
        if table.name == name:
            return table
    names = [table.name for table in TABLES]
    near = closest(name, names)
    hint = f'did you mean "{near}"?' if near else "or a file: a CSV of sizes, a grade in TOML"
    raise InputError("--table", f'"{clip(name)}"', listing(names), hint)


def filled_body(build: Build, given: dict[str, Any], height_mm: float | None = None) -> Body:
    """Return a body of the lengths given, mm, that is whole enough to be drafted.

    Height, where it is not given, is `height_mm` or the usual one, the inside leg what the figures
    expect. Waist and hip have to be there: raises InputError.
    """
    for key in ("waist", "hip"):
        if key not in given:
            raise InputError(f"body.{key}", "not given", "a waist and a hip for every size")
    values = {"height": height_mm or USUAL_HEIGHT_MM[build], **given}
    if "inside_leg" not in values:
        known = ("height", "waist", "hip")
        found = condition(build, known, [values[key] for key in known])
        values["inside_leg"] = float(round(found.mm[found.names.index("inside_leg")]))
    return Body(build=build, **values)


def table_sizes(table: SizeTable, height_mm: float | None = None) -> tuple[Size, ...]:
    """Return the sizes of a table, for people of `height_mm` or the usual height."""
    return tuple(
        Size(label=label, body=filled_body(table.build, {"waist": w, "hip": h}, height_mm))
        for label, w, h in table.rows
    )
