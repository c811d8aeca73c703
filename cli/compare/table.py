"""The table of a comparison on paper: figures with differences, then what there is to say."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from outseam.cli.compare.fabric import FabricNeeded
from outseam.cli.compare.figures import (
    FigureGroup,
    FigureRow,
    base_index,
    differences,
    groups_of,
    notices_of,
    numbers_text,
    value_text,
)
from outseam.cli.compare.frame import (
    GREY,
    HAIR,
    MARGIN_MM,
    SMALL_MM,
    TEXT_MM,
    TOP_MM,
    WIDTH_MM,
    Page,
)
from outseam.cli.compare.side import label_lines
from outseam.cli.document.flow import Chunk, flow, low_mm, placed_items
from outseam.cli.scene.compose import moved
from outseam.cli.scene.scene import Label, Pen, SceneItem, Stroke
from outseam.cli.scene.text import LEADING, paragraph, shorten_text, text_width_mm
from outseam.cli.wording.fabric import round_says
from outseam.curves.path import line
from outseam.draft.variants import Comparison

_UNIT_SAYS: Final = {"cm": "cm", "mm": "mm", "in": "inches"}
RULE = Pen(width_mm=0.3)
NAME_MM = 50.0
#: A column of the first width has room for the difference beside the figure, else it stands below.
BESIDE_MM, MOST_COLUMN_MM = 33.0, 44.0
DIFFERENCE_MM = 10.0
PAD_MM = 0.75
#: Without a scale at the foot a table reaches lower than a drawing.
LOW_MM = MARGIN_MM + 7.0
HEAD_LINES = 4


def table_pages(
    comparison: Comparison, rows: Sequence[FigureRow], fabric: FabricNeeded | None = None
) -> list[Page]:
    """Return the table on as many pages as it takes, its head on each."""
    head = _head(comparison)
    body = [chunk for group in groups_of(rows) for chunk in _group(group, comparison, head)]
    room = TOP_MM - LOW_MM
    pages = flow([head, *body], room)
    tables = len(pages)
    said = list(_said(comparison, fabric))
    if sum(c.height_mm for c in said) <= room + low_mm(pages[-1]):
        for chunk in said:
            pages[-1].append((low_mm(pages[-1]), chunk))
    else:
        pages += flow(said, room)
    return [
        Page(
            name=f"table {i}",
            heading="figures, and how they differ" if i <= tables else "what there is to say",
            items=tuple(placed_items(page, MARGIN_MM, TOP_MM)),
        )
        for i, page in enumerate(pages, start=1)
    ]


def _column_mm(comparison: Comparison) -> float:
    return min(MOST_COLUMN_MM, (WIDTH_MM - NAME_MM) / len(comparison.variants))


def _table_mm(comparison: Comparison) -> float:
    return NAME_MM + len(comparison.variants) * _column_mm(comparison)


def _head(comparison: Comparison) -> Chunk:
    """Return numbers and labels over the columns."""
    wide = _column_mm(comparison)
    items: list[SceneItem] = []
    deepest = 0.0
    for i, v in enumerate(comparison.variants):
        right = NAME_MM + (i + 1) * wide - 1.0
        y = -TEXT_MM
        items.append(Label(text=str(v.number), at=(right, y), size_mm=TEXT_MM, anchor="end"))
        for text in label_lines(v.label, SMALL_MM, wide - 2.0)[:HEAD_LINES]:
            y -= SMALL_MM * LEADING
            items.append(
                Label(text=text, at=(right, y), size_mm=SMALL_MM, anchor="end", colour=0.15)
            )
        deepest = min(deepest, y)
    low = deepest - 1.2
    items.append(Stroke(path=line((0.0, low), (_table_mm(comparison), low)), pen=RULE))
    return Chunk(items=tuple(items), height_mm=-low)


def _group(group: FigureGroup, comparison: Comparison, over: Chunk) -> Iterator[Chunk]:
    """Yield the heading of a group and its rows; a page they begin has `over` above them."""
    high = 2.2 + SMALL_MM * LEADING
    heading = Label(text=group.name, at=(0.0, -high + 0.9), size_mm=SMALL_MM, colour=GREY)
    rule = Stroke(path=line((0.0, -high), (_table_mm(comparison), -high)), pen=HAIR)
    head = Chunk(items=(heading, rule), height_mm=high, glued=True, repeat=over)
    yield head
    items = (*over.items, *moved(head.items, 0.0, -over.height_mm))
    both = Chunk(items=items, height_mm=over.height_mm + high)
    last = len(group.rows) - 1
    for n, row in enumerate(group.rows):
        # The last row does not stand alone on a page.
        yield replace(_row(row, comparison), repeat=both, glued=n == last - 1)


def _row(row: FigureRow, comparison: Comparison) -> Chunk:
    """Return a row: figures, and differences beside or below them unless there are none."""
    wide, u, base = _column_mm(comparison), comparison.units, base_index(comparison)
    beside = wide >= BESIDE_MM
    off = differences(row, base, u)
    alike = not any(off)
    y = -PAD_MM - SMALL_MM
    name = shorten_text(row.name, SMALL_MM, NAME_MM - 1.0)
    items: list[SceneItem] = [Label(text=name, at=(0.0, y), size_mm=SMALL_MM)]
    for i, text in enumerate(off):
        right = NAME_MM + (i + 1) * wide - 1.0
        at = (right - DIFFERENCE_MM, y) if beside else (right, y)
        shown = value_text(row, i, u)
        size = min(SMALL_MM, SMALL_MM * (wide - 2.0) / max(1.0, text_width_mm(shown, SMALL_MM)))
        items.append(Label(text=shown, at=at, size_mm=size, anchor="end"))
        if text:
            at = (right, y) if beside else (right, y - SMALL_MM * LEADING)
            items.append(Label(text=text, at=at, size_mm=SMALL_MM, anchor="end", colour=GREY))
    lines = 1 if beside or alike else 2
    high = 2.0 * PAD_MM + SMALL_MM * (1.0 + (lines - 1) * LEADING)
    items.append(Stroke(path=line((0.0, -high), (_table_mm(comparison), -high)), pen=HAIR))
    return Chunk(items=tuple(items), height_mm=high)


def legend_text(comparison: Comparison) -> str:
    """Return how the signs of the table are read."""
    base = comparison.variants[base_index(comparison)].number
    parts = [f"Differences are from {base}, in {_UNIT_SAYS[comparison.units]}; = alike", "– none"]
    return "; ".join([*parts, "! more than the fabric wears well"])


def remarks(
    comparison: Comparison,
    most_changes: int | None = None,
    fabric: FabricNeeded | None = None,
) -> Iterator[tuple[str, str, str]]:
    """Yield numbers, a word and a sentence: what cannot be had, what changed, what checks say.

    Of the changes to a spec at most so many are listed. Last comes how `fabric` was found.
    """
    refused: dict[str, list[int]] = {}
    for v in comparison.refused:
        refused.setdefault(v.refused, []).append(v.number)
    for reason, numbers in refused.items():
        yield numbers_text(numbers), "cannot be had", reason
    if not comparison.varied:
        for v in comparison.variants:
            if v.telling:
                told = [str(c) for c in v.telling[:most_changes]]
                more = len(v.telling) - len(told)
                told += [f"and {more} more"] if more else []
                yield str(v.number), "changed", "; ".join(told)
    for notice in notices_of(comparison):
        yield numbers_text(notice.numbers), notice.level, notice.text
    turned: dict[str, list[int]] = {}
    for v in comparison.drafted:
        if v.spec is not None and v.spec.fabric.turned:
            turned.setdefault(round_says(v.spec.fabric), []).append(v.number)
    for sentence, numbers in turned.items():
        yield numbers_text(numbers), "note", sentence
    if fabric is not None:
        for found, sentence in fabric.remarks(comparison.units):
            yield numbers_text(found), "note", sentence


def _said(comparison: Comparison, fabric: FabricNeeded | None) -> Iterator[Chunk]:
    """Yield the remarks, a chunk each."""
    text = f"{legend_text(comparison)}."
    note, high = paragraph(text, (0.0, -1.5), SMALL_MM, WIDTH_MM, colour=GREY)
    yield Chunk(items=tuple(note), height_mm=high + 4.5)
    first, second = 24.0, 26.0
    for numbers, word, text in remarks(comparison, fabric=fabric):
        items, high = paragraph(text, (first + second, 0.0), SMALL_MM, WIDTH_MM - first - second)
        label = shorten_text(numbers, SMALL_MM, first - 1.0)
        items.append(Label(text=label, at=(0.0, -SMALL_MM), size_mm=SMALL_MM))
        word = word.upper() if word in ("warning", "cannot be had") else word
        items.append(Label(text=word, at=(first, -SMALL_MM), size_mm=SMALL_MM))
        yield Chunk(items=tuple(items), height_mm=high + 1.2)
