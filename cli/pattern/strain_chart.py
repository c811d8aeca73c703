"""The strain chart: body, pattern and what the fabric can do, level by level, on one scale.

Told apart without colour: the pattern is a grey bar, what wears well beyond it a striped box, what
the fabric gives for a moment an empty dashed box, the body an upright black bar.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from outseam.cli.scene.compose import LayerItems
from outseam.cli.scene.scene import Pen, Scene, Stroke
from outseam.cli.scene.shapes import rectangle
from outseam.cli.scene.text import text_width_mm
from outseam.cli.wording.sheet import strain_words
from outseam.curves.path import Path, line
from outseam.draft.checks.strain import Level, levels
from outseam.draft.inputs.show import MM_PER_UNIT, Units, show_length
from outseam.draft.model import Pattern

WIDTH_MM = 178.0
ROW_MM = 12.8
BAR_MM = 4.6
LEGEND_MM = 9.0
AXIS_MM = 8.0
NAME_MM = 3.4
WORD_MM = 2.8
AXIS_TEXT_MM = 2.6
#: The longest reach of a row ends here, so that its outline and the axis' last number stay inside.
PLOT_MM = WIDTH_MM - 6.0

THIN = Pen(width_mm=0.25)
GRID = Pen(width_mm=0.15, colour=0.72)
DASHED = Pen(width_mm=0.25, dash_mm=(1.4, 0.9))
STRIPE = Pen(width_mm=0.18)
BODY = Pen(width_mm=1.0)
PATTERN_GREY = 0.78

#: Layers in drawing order.
LAYERS = ("grid", "pattern", "wear", "pull", "body", "words")


@dataclass(frozen=True, slots=True, kw_only=True)
class ReachedLevel:
    """One level of the chart: girths in mm."""

    level: Level
    wear_mm: float
    pull_mm: float


def rows(pattern: Pattern) -> tuple[ReachedLevel, ...]:
    """Return the levels with the girths the fabric reaches in wear and when pulled on."""
    ease = pattern.block.ease
    return tuple(
        ReachedLevel(
            level=level,
            wear_mm=level.pattern_mm * (1.0 + ease.wear_strain),
            pull_mm=level.pattern_mm * (1.0 + ease.pull_strain),
        )
        for level in levels(pattern)
    )


def scale_of(found: Sequence[ReachedLevel]) -> float:
    """Return mm on the paper for a mm of girth."""
    return PLOT_MM / max(max(r.level.body_mm, r.level.pattern_mm, r.pull_mm) for r in found)


def _box(x0: float, x1: float, y: float) -> Path:
    """Return a rectangle about the level `y`."""
    return rectangle(x0, y - BAR_MM / 2.0, x1, y + BAR_MM / 2.0)


def _stripes(x0: float, x1: float, y: float) -> list[Stroke]:
    """Return slanting lines that fill a box."""
    low = y - BAR_MM / 2.0
    found = []
    x = x0 - BAR_MM + 1.1
    while x < x1:
        a, b = max(x, x0), min(x + BAR_MM, x1)
        if b - a > 0.05:
            found.append(Stroke(path=line((a, low + a - x), (b, low + b - x)), pen=STRIPE))
        x += 1.3
    return found


def _step(units: Units, scale: float) -> tuple[float, float]:
    """Return the distance of the axis' marks in mm of girth, and in the unit."""
    mm = float(MM_PER_UNIT[units])
    for count in {"cm": (10, 20, 50), "mm": (100, 200, 500), "in": (5, 10, 20)}[units]:
        if count * mm * scale >= 8.0:
            return count * mm, float(count)
    return 50 * mm, 50.0


def _axis(chart: LayerItems, units: Units, scale: float, middles: Sequence[float]) -> None:
    """Draw the marks of the axis, and fine ones behind each bar."""
    step, count = _step(units, scale)
    at, told = 0.0, 0.0
    while at * scale <= PLOT_MM + 1e-6:
        x = at * scale + 0.5
        chart.stroke("grid", line((x, AXIS_MM - 1.6), (x, AXIS_MM)), THIN)
        for y in middles:
            low, high = y - BAR_MM / 2.0 - 1.2, y + BAR_MM / 2.0 + 1.2
            chart.stroke("grid", line((x, low), (x, high)), GRID)
        foot = (x, AXIS_MM - 4.4)
        if at == 0.0:
            chart.text("words", f"0 {units}", foot, AXIS_TEXT_MM)
        else:
            chart.text("words", f"{told:g}", foot, AXIS_TEXT_MM, "middle")
        at, told = at + step, told + count


def _legend(chart: LayerItems, y: float) -> None:
    """Draw the key: what each look means."""
    x = 0.5
    for kind, says in (
        ("body", "body"),
        ("pattern", "pattern, not stretched"),
        ("wear", "wears well up to here"),
        ("pull", "gives up to here when pulled on"),
    ):
        wide = 2.0 if kind == "body" else 9.0
        chart.add("grid", _mark(kind, x, x + wide, y))
        chart.text("words", says, (x + wide + 1.4, y - WORD_MM * 0.36), WORD_MM)
        x += wide + 1.4 + text_width_mm(says, WORD_MM) + 6.5


def _mark(kind: str, x0: float, x1: float, y: float) -> list[Stroke]:
    """Return one part of a row in the look of its kind."""
    if kind == "body":
        middle = (x0 + x1) / 2.0
        reach = BAR_MM / 2.0 + 1.1
        return [Stroke(path=line((middle, y - reach), (middle, y + reach)), pen=BODY)]
    if kind == "pattern":
        return [Stroke(path=_box(x0, x1, y), pen=THIN, fill=PATTERN_GREY)]
    if kind == "wear":
        return [Stroke(path=_box(x0, x1, y), pen=THIN), *_stripes(x0, x1, y)]
    return [Stroke(path=_box(x0, x1, y), pen=DASHED)]


def strain_scene(pattern: Pattern) -> Scene:
    """Return the chart, `WIDTH_MM` wide; a girth g lies at 0.5 + g * `scale_of(rows)` mm."""
    units = pattern.spec.units
    found = rows(pattern)
    scale = scale_of(found)
    height = AXIS_MM + ROW_MM * len(found) + LEGEND_MM
    chart = LayerItems(LAYERS)
    middles = [
        height - LEGEND_MM - ROW_MM * (i + 1) + BAR_MM / 2.0 + 2.0 for i in range(len(found))
    ]
    _axis(chart, units, scale, middles)
    _legend(chart, height - LEGEND_MM / 2.0)
    for row, y in zip(found, middles, strict=True):
        at = [0.5 + mm * scale for mm in (0.0, row.level.pattern_mm, row.wear_mm, row.pull_mm)]
        chart.add("pattern", _mark("pattern", at[0], at[1], y))
        if not math.isclose(at[1], at[2]):
            chart.add("wear", _mark("wear", at[1], at[2], y))
            chart.add("pull", _mark("pull", at[2], at[3], y))
        body = 0.5 + row.level.body_mm * scale
        chart.add("body", _mark("body", body, body, y))
        name = row.level.name.capitalize()
        words = (
            f"body {show_length(row.level.body_mm, units)}, "
            f"pattern {show_length(row.level.pattern_mm, units)}: "
            f"{strain_words(row.level, pattern.block.ease, units)}"
        )
        base = y + BAR_MM / 2.0 + 2.0
        chart.text("words", name, (0.5, base), NAME_MM)
        chart.text("words", words, (0.5 + text_width_mm(name, NAME_MM) + 2.5, base), WORD_MM)
    return Scene(title="Strain chart", width_mm=WIDTH_MM, height_mm=height, layers=chart.layers())
