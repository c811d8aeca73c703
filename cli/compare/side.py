"""Variants side by side, all to one scale and standing on one floor: half front, half back."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from outseam.cli.compare.frame import (
    GREY,
    HAIR,
    HEAD_MM,
    HEIGHT_MM,
    MARGIN_MM,
    SMALL_MM,
    TOP_MM,
    WIDTH_MM,
    Page,
    fitting_scale,
)
from outseam.cli.compare.legs import ComparedLeg, ComparedLegs
from outseam.cli.scene.scene import Label, Pen, SceneItem, Stroke
from outseam.cli.scene.text import LEADING, paragraph, shorten_text, text_width_mm, wrap_text
from outseam.curves.path import Path, line
from outseam.curves.point import Point
from outseam.draft.figures.finished import finished
from outseam.draft.inputs.show import Units, show_length
from outseam.draft.variants import Comparison, Variant

OUTLINE = Pen(width_mm=0.4)
BAND = Pen(width_mm=0.25)
DETAIL = Pen(width_mm=0.25)
LEVEL = Pen(width_mm=0.15, colour=0.45)
TAPE = Pen(width_mm=0.2, dash_mm=(0.5, 1.0), colour=0.2)
FILL_GREY = 0.93

#: Left of each row stand the names of its levels.
GUTTER_MM = 17.0
#: Room between two variants, and between front and back leg (on the body).
GAP_MM, BETWEEN_MM = 6.0, 30.0
#: Two lines of label and three of figures stand above each variant.
LABEL_LINES, FACT_LINES = 2, 3
HEAD_ROOM_MM = (LABEL_LINES * HEAD_MM + FACT_LINES * SMALL_MM) * LEADING + 2.0
#: Where the page is not filled its content stands this much lower at most.
MOST_DOWN_MM = 18.0
#: Where labels stand beside the legs they have this much width, and more lines.
BESIDE_MM, BESIDE_LINES = 34.0, 4
#: Below the floor begins the next row.
FLOOR_ROOM_MM = 3.5
#: Bodies whose levels differ by less share the names of their levels.
_SAME_MM = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _LegPair:
    """Front and back leg of a variant and how much room they take, mm on the body.

    `zero_mm` is where, right of the left end, the front leg has its crease line, and `back_mm`
    where the back leg has it; `low_mm` is below the floor only where the legs are too long.
    """

    front: ComparedLeg
    back: ComparedLeg
    wide_mm: float
    zero_mm: float
    back_mm: float
    top_mm: float
    low_mm: float


def _leg_pair(variant: Variant, legs: tuple[ComparedLeg, ComparedLeg]) -> _LegPair:
    assert variant.pattern is not None
    front, back = legs
    f, b = front.box, back.box
    tape = variant.pattern.measures.waist_height
    return _LegPair(
        front=front,
        back=back,
        wide_mm=f[2] - f[0] + BETWEEN_MM + b[2] - b[0],
        zero_mm=-f[0],
        back_mm=f[2] - f[0] + BETWEEN_MM - b[0],
        top_mm=max(f[3] + front.crotch_line_mm, b[3] + back.crotch_line_mm, tape),
        low_mm=min(f[1] + front.crotch_line_mm, b[1] + back.crotch_line_mm, 0.0),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Grid:
    """Places in rows and columns; labels stand above the legs, or beside them in low rows."""

    columns: int
    rows: int
    beside: bool
    wide_mm: float
    high_mm: float

    @property
    def cell_mm(self) -> tuple[float, float]:
        """Width and height of a place on the page."""
        return (WIDTH_MM - GUTTER_MM) / self.columns, HEIGHT_MM / self.rows

    @property
    def room_mm(self) -> tuple[float, float]:
        """Width and height that are left for the legs."""
        wide, high = self.cell_mm[0] - GAP_MM, self.cell_mm[1] - FLOOR_ROOM_MM
        if self.beside:
            return wide - BESIDE_MM, high - SMALL_MM
        return wide, high - HEAD_ROOM_MM

    @property
    def scale(self) -> int:
        """The whole number 1 : n at which the largest variant fits its place."""
        return fitting_scale(self.wide_mm, self.high_mm, *self.room_mm)


def _layout(comparison: Comparison, wide_mm: float, high_mm: float) -> _Grid:
    """Return the layout that shows the variants largest; a grid keeps its columns."""
    n = len(comparison.variants)
    layouts = [
        _Grid(columns=c, rows=-(-n // c), beside=beside, wide_mm=wide_mm, high_mm=high_mm)
        for beside in (False, True)
        for c in ([comparison.columns] if comparison.columns else range(1, n + 1))
    ]
    return min((x for x in layouts if min(x.room_mm) > 0.0), key=lambda x: x.scale)


def side_page(comparison: Comparison, legs: ComparedLegs) -> Page:
    """Return the page with all variants side by side; at least one has a pattern."""
    pairs = {v.number: _leg_pair(v, legs[v.number]) for v in comparison.drafted}
    wide = max(p.wide_mm for p in pairs.values())
    top_mm = max(p.top_mm for p in pairs.values())
    high = top_mm - min(p.low_mm for p in pairs.values())
    layout = _layout(comparison, wide, high)
    scale, columns = layout.scale, layout.columns
    cell_w, cell_h = layout.cell_mm
    room_w = layout.room_mm[0]
    label_w = BESIDE_MM - 3.0 if layout.beside else room_w
    head_h = SMALL_MM if layout.beside else HEAD_ROOM_MM
    levels = _shared_levels(comparison)
    items: list[SceneItem] = []
    for i, variant in enumerate(comparison.variants):
        left = MARGIN_MM + GUTTER_MM + (i % columns) * cell_w
        top = TOP_MM - (i // columns) * cell_h
        # Wide variants leave room below: they hang from their labels, a little down the page.
        top -= min(MOST_DOWN_MM, (cell_h - FLOOR_ROOM_MM - head_h - high / scale) / 3.0)
        floor = top - head_h - top_mm / scale
        row = comparison.variants[i : i + columns]
        if i % columns == 0 and any(v.number in pairs for v in row):
            items += _gutter(levels, scale, floor)
        label_at = (left, floor + top_mm / scale if layout.beside else top)
        items += _heading(variant, label_at, label_w, comparison.units, beside=layout.beside)
        x = left + (BESIDE_MM if layout.beside else 0.0)
        if variant.number in pairs:
            items += _drawn(variant, pairs[variant.number], scale, x, floor, room_w)
        else:
            told = f"Cannot be had: {variant.refused}"
            down = SMALL_MM if layout.beside else (LABEL_LINES * HEAD_MM + 1.0) * LEADING
            most = int((top - down - floor) / (SMALL_MM * LEADING))
            items += paragraph(told, (x, top - down), SMALL_MM, room_w, most=most)[0]
    return Page(
        name="side by side",
        heading="side by side",
        items=tuple(items),
        scale=scale,
        notes=_notes(levels),
    )


def _notes(levels: Sequence[tuple[str, float]]) -> tuple[str, ...]:
    shared = len(levels) > 1
    body = "" if shared else " Each stands in the height of its own body."
    return (
        "All to one scale, on one floor: left half the front leg, right half the back leg, by "
        "their sewing lines, the waistband above.",
        f"Thin lines: hip and knee. Dotted line: the waist tape.{body}",
    )


def _shared_levels(comparison: Comparison) -> list[tuple[str, float]]:
    """Return the levels to be named beside a row, mm above the floor: the bodies' if they agree."""
    found = []
    for name, key in (
        ("waist tape", "waist_height"),
        ("hip", "hip_height"),
        ("knee", "knee_height"),
    ):
        heights = [getattr(v.pattern.measures, key) for v in comparison.drafted if v.pattern]
        if max(heights) - min(heights) > _SAME_MM:
            return [("floor", 0.0)]
        found.append((name, heights[0]))
    return [*found, ("floor", 0.0)]


def _gutter(levels: Sequence[tuple[str, float]], scale: int, floor: float) -> Iterator[SceneItem]:
    """Yield the names of the levels left of a row."""
    for name, height in levels:
        at = (MARGIN_MM, floor + height / scale - 0.36 * SMALL_MM)
        yield Label(text=name, at=at, size_mm=SMALL_MM, colour=GREY)


def _heading(
    v: Variant, at: Point, width: float, units: Units, *, beside: bool
) -> Iterator[SceneItem]:
    """Yield number, label and key figures of a variant, from `at` downward."""
    left, top = at
    number = f"{v.number}"
    indent = text_width_mm(number, HEAD_MM) + 2.0
    yield Label(text=number, at=(left, top - HEAD_MM), size_mm=HEAD_MM)
    most = BESIDE_LINES if beside else LABEL_LINES
    for text in label_lines(v.label, HEAD_MM, width - indent)[:most]:
        yield Label(text=text, at=(left + indent, top - HEAD_MM), size_mm=HEAD_MM)
        top -= HEAD_MM * LEADING
    facts = _facts(v, units)
    whole = ", ".join(facts)
    if not beside and text_width_mm(whole, SMALL_MM) <= width - indent:
        facts = [whole]
    for fact in facts:
        shown = shorten_text(fact, SMALL_MM, width - indent)
        yield Label(text=shown, at=(left + indent, top - SMALL_MM), size_mm=SMALL_MM, colour=GREY)
        top -= SMALL_MM * LEADING


def label_lines(label: str, size_mm: float, width_mm: float) -> tuple[str, ...]:
    """Return a label on one line if it fits, else broken after commas, then before figures."""
    if text_width_mm(label, size_mm) <= width_mm:
        return (label,)
    lines: list[str] = []
    for part in label.replace(", ", ",\n").splitlines():
        broken = [part]
        if text_width_mm(part, size_mm) > width_mm:
            broken = re.sub(r" (?=[-+]?\d)", "\n", part, count=1).splitlines()
        for text in broken:
            lines += wrap_text(text, size_mm, width_mm)
    return tuple(lines)


def _facts(v: Variant, units: Units) -> list[str]:
    """Return what is told of a variant in a few words; nothing where it has no pattern."""
    if v.pattern is None:
        return []
    sizes = finished(v.pattern)
    facts = ["as in the file"] if v.as_written and not v.labelled_so else []
    facts += [f"{key} {show_length(sizes[key], units)}" for key in ("outseam", "hem")]
    count = len(v.pattern.warnings)
    if count:
        facts.append(f"{count} warning{'s' * (count > 1)}")
    return facts


def _drawn(
    v: Variant, pair: _LegPair, scale: int, left: float, floor: float, width: float
) -> Iterator[SceneItem]:
    """Yield floor, tape and both legs, in the middle of the width."""
    assert v.pattern is not None
    s = 1.0 / scale
    tape = floor + v.pattern.measures.waist_height * s
    yield Stroke(path=line((left, floor), (left + width, floor)), pen=HAIR)
    yield Stroke(path=line((left, tape), (left + width, tape)), pen=TAPE)
    start = left + (width - pair.wide_mm * s) / 2.0
    for leg, x in ((pair.front, pair.zero_mm), (pair.back, pair.back_mm)):
        dx, dy = start + x * s, floor + leg.crotch_line_mm * s
        yield from leg_items(leg, s, dx, dy)


def leg_items(leg: ComparedLeg, s: float, dx: float, dy: float) -> Iterator[SceneItem]:
    """Yield a leg at a scale, its frame's zero at (dx, dy) on the paper."""

    def placed(p: Path) -> Path:
        return p.mapped(s, 0.0, 0.0, s, dx, dy)

    yield Stroke(path=placed(leg.outline), pen=OUTLINE, fill=FILL_GREY)
    for paths, pen in ((leg.levels, LEVEL), (leg.band, BAND), (leg.details, DETAIL)):
        for p in paths:
            yield Stroke(path=placed(p), pen=pen)
