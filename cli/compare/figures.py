"""The figures of a comparison, a row each over all variants, and how they are said.

A difference is taken between the figures as they are shown, so that a reader who subtracts gets
the same.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from outseam.cli.compare.fabric import FabricNeeded
from outseam.cli.wording.findings import finding_words
from outseam.cli.wording.report import trade
from outseam.draft.checks.strain import Level, levels
from outseam.draft.figures.finished import finished
from outseam.draft.inputs.show import Units, show_length
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Finding
from outseam.draft.variants import Comparison, Variant

FigureKind = Literal["length", "signed", "strain", "count"]

#: Beyond the limit by less is a matter of rounding (see `outseam.draft.checks.strain`).
_ROUNDING = 0.002

_NAMES = {
    "top_edge": "top edge of the legs",
    "thigh": "thigh, one leg",
    "knee": "knee, one leg",
    "calf": "calf, one leg",
    "ankle": "ankle, one leg",
    "hem": "hem, one leg",
    "hem_above_floor": "hem above the floor",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureRow:
    """A figure of every variant; None where it has none. Lengths in mm, strains as ratios.

    `over` marks those that a check warns of.
    """

    group: str
    key: str
    name: str
    kind: FigureKind
    values: tuple[float | None, ...]
    over: tuple[bool, ...] = ()

    @property
    def differs(self) -> bool:
        """Whether the variants that have it differ by what anybody could measure."""
        known = [v for v in self.values if v is not None]
        least = 1.0 if self.kind in ("length", "signed") else 0.005
        return len(known) < len(self.values) or max(known) - min(known) >= least


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureGroup:
    """Rows under one heading."""

    name: str
    rows: tuple[FigureRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """What a check says of some variants, in the words of the one that is farthest off."""

    numbers: tuple[int, ...]
    level: Literal["warning", "note"]
    text: str


def _each(
    comparison: Comparison, measure: Callable[[Pattern], Mapping[str, float]]
) -> list[Mapping[str, float] | None]:
    return [None if v.pattern is None else measure(v.pattern) for v in comparison.variants]


def _rows(
    group: str, kind: FigureKind, found: Sequence[Mapping[str, float] | None]
) -> Iterator[FigureRow]:
    """Yield a row for every key that any variant has, in the order of those that have most."""
    keys: list[str] = []
    for one in sorted((f for f in found if f), key=len, reverse=True):
        keys += [key for key in one if key not in keys]
    for key in keys:
        values = tuple(None if f is None else f.get(key) for f in found)
        name = _NAMES.get(key, trade(key)) if group == FINISHED else trade(key)
        yield FigureRow(group=group, key=key, name=name, kind=kind, values=values)


FINISHED, TOP, EASE, STRAIN, CUTTING = (
    "Finished measurements",
    "Finished top against the waist tape",
    "Ease: pattern less body",
    "Stretched in wear",
    "Cutting and printing",
)


def rows_of(
    comparison: Comparison,
    pages: Mapping[int, int] | None = None,
    fabric: FabricNeeded | None = None,
) -> tuple[FigureRow, ...]:
    """Return all rows; `pages` are the home pages by the variants' numbers, if they were counted.

    `fabric` is about how much of it each takes, if that was asked.
    """
    worn = _each(comparison, lambda p: {x.name: x.strain for x in levels(p)})
    rows = [
        *_rows(FINISHED, "length", _each(comparison, finished)),
        *_rows(TOP, "signed", _each(comparison, _tops)),
        *_rows(EASE, "signed", _each(comparison, lambda p: {x.name: x.ease_mm for x in levels(p)})),
        *(_flagged(row, comparison) for row in _rows(STRAIN, "strain", worn)),
        *_rows(STRAIN, "strain", _each(comparison, lambda p: {"limit": p.block.ease.wear_strain})),
        *_rows(CUTTING, "count", _each(comparison, lambda p: {"pieces": float(len(p.pieces))})),
    ]
    if fabric is not None:
        about = [fabric.about_mm(v.number, comparison.units) for v in comparison.variants]
        laid = [None if mm is None else {"fabric_needed": mm} for mm in about]
        rows += _rows(CUTTING, "length", laid)
    if pages is not None:
        counted = [
            {"pages": float(pages[v.number])} if v.number in pages else None
            for v in comparison.variants
        ]
        rows += _rows(CUTTING, "count", counted)
    renamed = {
        "limit": "wears well up to",
        "pieces": "pattern pieces",
        "fabric_needed": "fabric needed, about",
        "pages": "A4 pages with the first",
    }
    return tuple(_named(row, renamed.get(row.key, row.name)) for row in rows)


def groups_of(rows: Sequence[FigureRow]) -> tuple[FigureGroup, ...]:
    """Return the rows by their headings, in order."""
    names = dict.fromkeys(row.group for row in rows)
    return tuple(FigureGroup(name=n, rows=tuple(r for r in rows if r.group == n)) for n in names)


def _named(row: FigureRow, name: str) -> FigureRow:
    return replace(row, name=name)


def _tops(pattern: Pattern) -> dict[str, float]:
    rise = pattern.block.rise
    tops = {"side": rise.side_mm, "centre_front": rise.front_mm, "centre_back": rise.back_mm}
    if rise.front_mm == rise.side_mm == rise.back_mm:
        return {"side": rise.side_mm}
    return tops


def _flagged(row: FigureRow, comparison: Comparison) -> FigureRow:
    over = tuple(
        value is not None
        and v.pattern is not None
        and value > v.pattern.block.ease.wear_strain + _ROUNDING
        for value, v in zip(row.values, comparison.variants, strict=True)
    )
    return replace(row, over=over)


def worst_level(pattern: Pattern) -> Level:
    """Return the level where the fabric is stretched most."""
    return max(levels(pattern), key=lambda x: x.strain)


def value_text(row: FigureRow, i: int, units: Units) -> str:
    """Return a figure as it is shown; a dash where there is none, a mark where it is too much."""
    value = row.values[i]
    if value is None:
        return "–"
    if row.kind == "length":
        return show_length(value, units)
    if row.kind == "signed":
        return _signed(value, units)
    if row.kind == "count":
        return f"{value:.0f}"
    text = f"{100.0 * value:.0f} %" if value >= 0.005 else "not"
    return f"{text} !" if row.over and row.over[i] else text


def _signed(mm: float, units: Units) -> str:
    text = show_length(abs(mm), units)
    if _shown_mm(mm, units) == 0.0:
        return text
    return f"{'+' if mm > 0 else '-'}{text}"


def _shown_mm(mm: float, units: Units) -> float:
    """Return a length as it is shown: to the eighth of an inch, or as its text says."""
    if units == "in":
        return round(mm / 25.4 * 8.0) * 25.4 / 8.0
    shown = float(show_length(mm, units).removesuffix(units))
    return shown * (10.0 if units == "cm" else 1.0)


def difference_text(row: FigureRow, i: int, base: int, units: Units) -> str:
    """Return by how much a figure differs from that of variant `base`: "" if it cannot be said.

    "=" where both are shown alike. Units are left out: they stand beside the figure.
    """
    value, first = row.values[i], row.values[base]
    if i == base or value is None or first is None:
        return ""
    if row.kind == "count":
        return f"{value - first:+.0f}" if value != first else "="
    if row.kind == "strain":
        points = _points(value) - _points(first)
        return f"{points:+d}" if points else "="
    off = _shown_mm(value, units) - _shown_mm(first, units)
    if abs(off) < 1e-6:
        return "="
    text = show_length(abs(off), units).removesuffix(f" {units}").removesuffix('"')
    return f"{'+' if off > 0 else '-'}{text}"


def differences(row: FigureRow, base: int, units: Units) -> tuple[str, ...]:
    """Return the differences of a row from variant `base`; none are said where all are alike."""
    found = tuple(difference_text(row, i, base, units) for i in range(len(row.values)))
    return ("",) * len(found) if set(found) <= {"", "="} else found


def _points(ratio: float) -> int:
    return round(100.0 * max(0.0, ratio))


def numbers_text(numbers: Sequence[int]) -> str:
    """Return ascending numbers as `1, 2, 4–7`."""
    runs: list[list[int]] = []
    for n in numbers:
        if runs and n == runs[-1][-1] + 1:
            runs[-1].append(n)
        else:
            runs.append([n])
    parts = [f"{r[0]}–{r[-1]}" if len(r) > 2 else ", ".join(map(str, r)) for r in runs]
    return ", ".join(parts)


def base_index(comparison: Comparison) -> int:
    """Return the variant that differences are taken from: her own file, or the first drafted."""
    drafted = [i for i, v in enumerate(comparison.variants) if v.pattern is not None]
    own = (i for i in drafted if comparison.variants[i].as_written)
    return next(own, drafted[0])


def notices_of(comparison: Comparison) -> tuple[Notice, ...]:
    """Return what the checks have to say, each thing once with all the variants it is true of."""
    found: dict[tuple[str, str, str], list[tuple[Variant, Finding]]] = {}
    for v in comparison.drafted:
        assert v.pattern is not None
        for f in v.pattern.findings:
            if f.level in ("warning", "note"):
                found.setdefault((f.level, f.check, f.where), []).append((v, f))
    notices = []
    for (level, _, _), rows in found.items():
        told: dict[str, list[int]] = {}
        for v, f in rows:
            told.setdefault(finding_words(f, comparison.units), []).append(v.number)
        worst, f = max(rows, key=lambda r: abs(r[1].measured - r[1].expected))
        text = finding_words(f, comparison.units)
        if len(told) > 1:
            text = f"Most in {worst.number}: {text}"
        notices.append(
            Notice(
                numbers=tuple(v.number for v, _ in rows),
                level="warning" if level == "warning" else "note",
                text=text,
            )
        )
    return tuple(sorted(notices, key=lambda n: (n.level != "warning", n.numbers)))
