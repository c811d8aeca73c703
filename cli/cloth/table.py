"""The table of a lay and what to do, as items on a page."""

from __future__ import annotations

from collections.abc import Sequence

from outseam.cli.scene.compose import LayerItems
from outseam.cli.scene.scene import Pen
from outseam.cli.scene.text import shorten_text, text_width_mm, wrap_text
from outseam.cli.wording.lay import HEAD, LayRow
from outseam.curves.path import line
from outseam.curves.point import Point

LAYERS = ("fabric", "pieces", "marks", "words", "table")
RULE = Pen(width_mm=0.2, colour=0.35)
FINE = Pen(width_mm=0.15)
TEXT_MM = 2.55
ROW_MM = 4.4
STEP_MM = 0.92 * ROW_MM
#: How far the words of a step stand in from its number.
INDENT_MM = 5.0


def _cells(row: LayRow) -> tuple[str, ...]:
    number = str(row.number) if row.number else ""
    return number, row.name, row.lie, row.top, row.from_end, row.from_selvedge, row.grain


def _widths(table: Sequence[LayRow]) -> list[float]:
    """Return the widths of the table's columns."""
    columns = zip(*(_cells(r) for r in (HEAD, *table)), strict=True)
    return [min(58.0, max(text_width_mm(c, TEXT_MM) for c in cells)) + 3.0 for cells in columns]


def table_width(table: Sequence[LayRow]) -> float:
    """Return how wide the table is, mm."""
    return sum(_widths(table))


def step_lines(todo: Sequence[str], width_mm: float) -> list[tuple[str, str]]:
    """Return what to do, wrapped: each line with its number, empty on the lines that go on."""
    found = []
    for n, step in enumerate(todo, start=1):
        for i, text in enumerate(wrap_text(step, TEXT_MM, width_mm - INDENT_MM)):
            found.append(("" if i else f"{n}.", text))
    return found


def table_height(table: Sequence[LayRow], todo: Sequence[str], width_mm: float) -> float:
    """Return how much height table and steps need where they stand side by side."""
    rest = width_mm - table_width(table) - 8.0
    lines = ROW_MM * (len(table) + 1) + 2.0
    if not todo:
        return lines
    return max(lines, STEP_MM * len(step_lines(todo, rest)) if rest > 60.0 else 1e3)


def draw_table(
    page: LayerItems, table: Sequence[LayRow], todo: Sequence[str], corner: Point, width_mm: float
) -> None:
    """Draw the table from its upper left corner down, the steps beside or below it."""
    widths = _widths(table)
    x0, y = corner
    total = sum(widths)
    for row in (HEAD, *table):
        y -= ROW_MM
        x = x0
        for text, column in zip(_cells(row), widths, strict=True):
            page.text("table", shorten_text(text, TEXT_MM, column - 2.0), (x, y + 1.1), TEXT_MM)
            x += column
        pen = RULE if row is HEAD else FINE
        page.stroke("table", line((x0, y), (x0 + total, y)), pen)
    if width_mm - total > 68.0:
        x, y, room = x0 + total + 8.0, corner[1], width_mm - total - 8.0
    else:
        x, y, room = x0, y - 2.5, width_mm
    for number, text in step_lines(todo, room):
        y -= STEP_MM
        if number:
            page.text("table", number, (x, y + 0.6), TEXT_MM)
        page.text("table", text, (x + INDENT_MM, y + 0.6), TEXT_MM)
