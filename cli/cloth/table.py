"""The table of a lay and what to do, as items on a page; and the page they are collected on."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Literal

from outseam.cli.scene.font import shorten_text, text_width_mm, wrap_text
from outseam.cli.scene.scene import Label, Layer, Pen, Stroke
from outseam.cli.wording.lay import HEAD, Row
from outseam.curves.path import Path, line
from outseam.curves.point import Point

LAYERS = ("fabric", "pieces", "marks", "words", "table")
RULE = Pen(width_mm=0.2, grey=0.35)
FINE = Pen(width_mm=0.15)
TEXT_MM = 2.55
ROW_MM = 4.4
STEP_MM = 0.92 * ROW_MM
#: How far the words of a step stand in from its number.
INDENT_MM = 5.0


@dataclass(slots=True)
class Sheet:
    """Items collected per layer."""

    items: dict[str, list[Stroke | Label]] = field(default_factory=lambda: {k: [] for k in LAYERS})

    def stroke(self, layer: str, path: Path, pen: Pen | None, fill: float | None = None) -> None:
        """Add a stroke."""
        self.items[layer].append(Stroke(path=path, pen=pen, fill_grey=fill))

    def text(
        self,
        layer: str,
        text: str,
        at: Point,
        size_mm: float,
        anchor: Literal["start", "middle", "end"] = "start",
        angle_deg: float = 0.0,
    ) -> None:
        """Add a line of text."""
        self.items[layer].append(
            Label(text=text, at=at, size_mm=size_mm, anchor=anchor, angle_deg=angle_deg)
        )

    def add(self, layer: str, items: Iterable[Stroke | Label]) -> None:
        """Add items to a layer."""
        self.items[layer] += items

    def layers(self) -> tuple[Layer, ...]:
        """Return the layers in drawing order."""
        return tuple(Layer(name=k, items=tuple(v)) for k, v in self.items.items())


def _cells(row: Row) -> tuple[str, ...]:
    number = str(row.number) if row.number else ""
    return number, row.name, row.lie, row.top, row.from_end, row.from_selvedge, row.grain


def _widths(table: Sequence[Row]) -> list[float]:
    """Return the widths of the table's columns."""
    columns = zip(*(_cells(r) for r in (HEAD, *table)), strict=True)
    return [min(58.0, max(text_width_mm(c, TEXT_MM) for c in cells)) + 3.0 for cells in columns]


def table_width(table: Sequence[Row]) -> float:
    """Return how wide the table is, mm."""
    return sum(_widths(table))


def step_lines(todo: Sequence[str], width_mm: float) -> list[tuple[str, str]]:
    """Return what to do, wrapped: each line with its number, empty on the lines that go on."""
    found = []
    for n, step in enumerate(todo, start=1):
        for i, text in enumerate(wrap_text(step, TEXT_MM, width_mm - INDENT_MM)):
            found.append(("" if i else f"{n}.", text))
    return found


def table_height(table: Sequence[Row], todo: Sequence[str], width_mm: float) -> float:
    """Return how much height table and steps need where they stand side by side."""
    rest = width_mm - table_width(table) - 8.0
    lines = ROW_MM * (len(table) + 1) + 2.0
    if not todo:
        return lines
    return max(lines, STEP_MM * len(step_lines(todo, rest)) if rest > 60.0 else 1e3)


def draw_table(
    sheet: Sheet, table: Sequence[Row], todo: Sequence[str], corner: Point, width_mm: float
) -> None:
    """Draw the table from its upper left corner down, the steps beside or below it."""
    widths = _widths(table)
    x0, y = corner
    total = sum(widths)
    for row in (HEAD, *table):
        y -= ROW_MM
        x = x0
        for text, column in zip(_cells(row), widths, strict=True):
            sheet.text("table", shorten_text(text, TEXT_MM, column - 2.0), (x, y + 1.1), TEXT_MM)
            x += column
        pen = RULE if row is HEAD else FINE
        sheet.stroke("table", line((x0, y), (x0 + total, y)), pen)
    if width_mm - total > 68.0:
        x, y, room = x0 + total + 8.0, corner[1], width_mm - total - 8.0
    else:
        x, y, room = x0, y - 2.5, width_mm
    for number, text in step_lines(todo, room):
        y -= STEP_MM
        if number:
            sheet.text("table", number, (x, y + 0.6), TEXT_MM)
        sheet.text("table", text, (x + INDENT_MM, y + 0.6), TEXT_MM)
