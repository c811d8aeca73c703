"""One row of a table of people: its spec, its draft, and what is told about it."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any, Final

from outseam.cli.batch.columns import TABLES
from outseam.cli.batch.table import BodyRow
from outseam.draft.answer import Answer
from outseam.draft.body.entry import read_body
from outseam.draft.body.table import Body
from outseam.draft.inputs.errors import InputError, OutseamError
from outseam.draft.inputs.show import UNITS, Units
from outseam.draft.inputs.tables import read_typed, table_of
from outseam.draft.inputs.text import clean_text, describe, listing
from outseam.draft.inputs.value_kinds import Length
from outseam.draft.model import Pattern
from outseam.draft.pattern import draft_patterns
from outseam.draft.spec.spec import Spec, load_fabric, load_style

#: A cell says "not measured", or "as the style has it", in one of these ways.
MISSING: Final = frozenset({"", "-", "na", "n/a", "nan", "none", "null"})
#: For keys of the style "none" is a word of its own.
_LEFT: Final = frozenset({"", "-", "n/a", "nan"})
#: A decimal comma with three digits behind it may be a thousand: that is asked, not guessed.
_NUMBER: Final = re.compile(r"[-+]?(\d+\.?\d*|\.\d+|\d+,\d{1,2})([eE][-+]?\d{1,3})?")
_WORDS: Final = ("name", "build")
#: The keys of the body that hold a length.
MEASUREMENTS: Final = {f.key: f.kind for f in table_of(Body) if isinstance(f.kind, Length)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Defaults:
    """What serves for rows that say nothing else.

    `spec` gives fabric, style and print options; `folder` is where files named in a row are looked
    for; `units` are those of bare numbers in the table.
    """

    spec: Spec
    folder: Path = Path()
    units: Units = "cm"


def _typed(row: BodyRow, keys: Iterable[str]) -> dict[str, float | str]:
    """Return what the row says about these measurements: plain numbers, else the text."""
    found: dict[str, float | str] = {}
    for key in keys:
        text = row.get(key, "")
        if text.lower() not in MISSING:
            found[key] = float(text.replace(",", ".")) if _NUMBER.fullmatch(text) else text
    return found


def body_of(row: BodyRow, units: Units = "cm") -> Body:
    """Return the body of a row, bare numbers in `units`. Raises InputError."""
    words = {key: row[key] for key in _WORDS if row.get(key, "").lower() not in MISSING}
    return read_body(words | _typed(row, MEASUREMENTS), units)


def lengths_of(row: BodyRow, units: Units = "cm") -> dict[str, float]:
    """Return the measurements of a row by key, mm, however few. Raises InputError."""
    return {
        key: MEASUREMENTS[key].read(value, f"body.{key}", units)
        for key, value in _typed(row, MEASUREMENTS).items()
    }


def units_of(row: BodyRow, units: Units) -> Units:
    """Return the unit of a row's bare numbers: its own, else `units`. Raises InputError."""
    text = row.get("units", "")
    for one in UNITS:
        if text.casefold().removesuffix(".") == one:
            return one
    if text.casefold() in MISSING:
        return units
    raise InputError("units", describe(text), listing(UNITS))


def _stamp(path: Path) -> tuple[int, int]:
    """Return what tells a changed file from the one that was read."""
    try:
        found = path.stat()
    except OSError:
        return (0, 0)
    return found.st_mtime_ns, found.st_size


@lru_cache(maxsize=64)
def _style(path: Path, stamp: tuple[int, int]) -> Spec:
    return load_style(path)


@lru_cache(maxsize=64)
def _fabric(path: Path, stamp: tuple[int, int], units: Units) -> Any:
    return load_fabric(path, units)


def spec_of(defaults: Defaults, row: BodyRow) -> Spec:
    """Return the spec of a row: its style and fabric, its own keys put over them, its body.

    Alterations of a style file are left out: what a trial showed belongs to the body that tried it
    on. Raises InputError.
    """
    units = units_of(row, defaults.units)
    spec = defaults.spec
    if row.get("style"):
        path = defaults.folder / row["style"]
        spec = _style(path, _stamp(path))
    if row.get("fabric"):
        path = defaults.folder / row["fabric"]
        spec = replace(spec, fabric=_fabric(path, _stamp(path), units))
    for table in ("style", "fabric"):
        if own := _own_keys(row, table, units):
            spec = replace(spec, **{table: replace(getattr(spec, table), **own)})
    body = body_of(row, units)
    who = clean_text(body.name or row.get("id", ""))
    title = " · ".join(x for x in (who, spec.title) if x)[:120]
    shown = units if row.get("units") else spec.units
    return replace(spec, title=title, units=shown, body=body, alter=())


def _own_keys(row: BodyRow, table: str, units: Units) -> dict[str, object]:
    """Return what a row itself says about its style or fabric, by key."""
    found: dict[str, object] = {}
    for field in table_of(TABLES[table]):
        text = row.get(f"{table}.{field.key}", "")
        if text.casefold() not in _LEFT:
            found[field.key] = read_typed(field, text, f"{table}.{field.key}", units)
    return found


def sources_of(defaults: Defaults, row: BodyRow) -> dict[str, str]:
    """Return a digest of what the files named in a row say, for telling that one has changed."""
    found: dict[str, str] = {}
    for column in ("style", "fabric"):
        if row.get(column):
            path = defaults.folder / row[column]
            found[f"({column} file)"] = _digest(column, path, _stamp(path))
    return found


@lru_cache(maxsize=256)
def _digest(column: str, path: Path, stamp: tuple[int, int]) -> str:
    try:
        told = repr(_style(path, stamp) if column == "style" else _fabric(path, stamp, "cm"))
    except OutseamError as e:
        told = str(e)
    return hashlib.sha256(told.encode()).hexdigest()[:16]


@dataclass(frozen=True, slots=True, kw_only=True)
class RowResult:
    """What came of a row: drafted, or refused with the reason in `says`.

    `figures` are lengths in mm (names end in _mm) and ratios, empty where there is no draft;
    `answer` holds the pattern and all that follows from it, None where the row cannot be drafted.
    """

    number: int
    id: str
    name: str
    status: str
    says: str
    figures: Mapping[str, float]
    findings: Sequence[Mapping[str, Any]]
    answer: Answer | None = None

    @property
    def line(self) -> dict[str, Any]:
        """The result as plain data, as `--json` writes it."""
        told: dict[str, Any] = {"id": self.id, "status": self.status, "says": self.says}
        if self.answer is None:
            return told
        return told | {**self.figures, "findings": list(self.findings)}


def draft_rows(defaults: Defaults, first: int, rows: Sequence[BodyRow]) -> list[RowResult]:
    """Draft consecutive rows, numbered from `first`; together they take less time than alone.

    Whatever is wrong with one, or with the program, stays with this row.
    """
    specs: dict[int, Spec] = {}
    found: dict[int, Pattern | Exception] = {}
    for number, row in enumerate(rows, start=first):
        try:
            specs[number] = spec_of(defaults, row)
        except Exception as e:
            found[number] = e
    found |= zip(specs, draft_patterns(list(specs.values())), strict=True)
    return [_result(n, row, found[n]) for n, row in enumerate(rows, start=first)]


def draft_row(defaults: Defaults, number: int, row: BodyRow) -> RowResult:
    """Draft one row as `draft_rows` does."""
    return draft_rows(defaults, number, [row])[0]


def _result(number: int, row: BodyRow, pattern: Pattern | Exception) -> RowResult:
    """Return what is told about a row, of its pattern or of why it has none."""
    from outseam.cli.pattern.summary import rounded
    from outseam.cli.wording.findings import finding_lines
    from outseam.draft.figures.finished import batch_figures, fit_figures

    who = {"number": number, "id": row.get("id") or str(number), "name": row.get("name", "")}
    try:
        if isinstance(pattern, Exception):
            raise pattern
        spec = pattern.spec
        stretch = {"stretch_round": spec.fabric.stretch_round_ratio}
        figures = rounded(batch_figures(pattern) | fit_figures(pattern) | stretch)
    except Exception as e:  # one row that breaks the program must not take the others with it
        return RowResult(**who, status="refused", says=reason(e), figures={}, findings=())  # type: ignore[arg-type]
    found = [
        {"check": f.check, "where": f.where, "level": f.level, "measured": f.measured}
        for f in pattern.findings
        if f.level != "pass"
    ]
    failed = bool(pattern.errors)
    told = finding_lines(pattern.errors if failed else pattern.warnings, spec.units)
    return RowResult(
        **who,  # type: ignore[arg-type]
        status="refused" if failed else "drafted",
        says=" ".join(told),
        figures=figures,
        findings=rounded(found),
        answer=Answer.of(pattern),
    )


def reason(e: Exception) -> str:
    """Return why a row has no pattern: its own fault in a sentence, or the program's."""
    if isinstance(e, OutseamError):
        return str(e)
    return f"the program failed on this row ({type(e).__name__}: {e}); please report it"


def line_of(result: RowResult) -> str:
    """Return the line of JSON of a result."""
    return json.dumps(result.line, ensure_ascii=False)


def result_columns(results: Sequence[RowResult]) -> dict[str, list[Any]]:
    """Return results as columns of equal length, for a data frame: None where a row has no value.

    Findings are counted by level, not listed.
    """
    keys = list(dict.fromkeys(key for r in results for key in r.figures))
    table: dict[str, list[Any]] = {
        "number": [r.number for r in results],
        "id": [r.id for r in results],
        "name": [r.name for r in results],
        "status": [r.status for r in results],
        "says": [r.says for r in results],
    }
    table |= {key: [r.figures.get(key) for r in results] for key in keys}
    for level in ("warning", "note"):
        count = [sum(f["level"] == level for f in r.findings) for r in results]
        table[f"{level}s"] = list(count)
    return table
