"""The worksheet on paper: blocks set in the shipped font, nothing cut in two that fits on a page.

The pages are scenes, so that the writer of the patterns writes them too: the same bytes for the
same input, one embedded font, text that can be searched and copied.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from outseam.cli.document.blocks import (
    Blanks,
    BulletList,
    Document,
    DocumentBlock,
    Drawing,
    Facts,
    Notices,
    Paragraph,
    StepBlock,
    Table,
)
from outseam.cli.document.flow import Chunk, flow, placed_items
from outseam.cli.scene.compose import moved
from outseam.cli.scene.home_paper import on_home_paper
from outseam.cli.scene.scene import Label, Pen, Scene, SceneItem, Stroke, scene_of
from outseam.cli.scene.shapes import rectangle
from outseam.cli.scene.text import LEADING, paragraph, shorten_text, text_width_mm
from outseam.curves.path import line

PAGE_MM = (210.0, 297.0)
MARGIN_MM = 16.0
#: The last line of a page's text lies above this; the footer below it, high enough to be printed
#: where the page comes out at true size on letter paper, which is 9 mm shorter at either end.
FOOT_MM = 20.0
FOOTER_AT_MM = 14.5
WIDTH_MM = PAGE_MM[0] - 2.0 * MARGIN_MM
HEIGHT_MM = PAGE_MM[1] - MARGIN_MM - FOOT_MM

TITLE_MM, HEAD_MM, TEXT_MM, SMALL_MM, CELL_MM = 7.6, 4.9, 3.15, 2.75, 2.8
GREY = 0.32
RULE = Pen(width_mm=0.45)
HAIR = Pen(width_mm=0.15, colour=0.55)
WRITE = Pen(width_mm=0.2)

#: Space below each kind of thing, and above a section's heading.
BELOW_MM, ABOVE_HEAD_MM = 2.6, 5.5
#: Longer tables are broken between rows, with their heads repeated and this many rows together.
WHOLE_MM = 0.86 * HEIGHT_MM
_TOGETHER = 3
#: A list of so many points stays together.
_SHORT_LIST = 8
PAD_MM = 0.9
SIDE_MM = 1.3
FACT_MM = 24.0
#: A step: room for its box, size of its title, space above it; the bar beside a caution.
STEP_MM, STEP_HEAD_MM, STEP_SPACE_MM = 7.0, 3.9, 3.2
CARE = Pen(width_mm=0.9)


def _text(block: Paragraph) -> Iterable[Chunk]:
    size = SMALL_MM if block.small else TEXT_MM
    items, height = paragraph(
        block.text, (0.0, 0.0), size, WIDTH_MM, colour=GREY if block.small else 0.0
    )
    yield Chunk(height_mm=height, items=tuple(items), space_mm=BELOW_MM)


def _facts(block: Facts) -> Iterable[Chunk]:
    for i, (name, told) in enumerate(block.rows):
        label = Label(text=name, at=(0.0, -TEXT_MM * 0.98), size_mm=TEXT_MM, colour=GREY)
        items, height = paragraph(told, (FACT_MM, 0.0), TEXT_MM, WIDTH_MM - FACT_MM)
        yield Chunk(
            height_mm=height,
            items=(label, *items),
            space_mm=0.7 if i else BELOW_MM,
            glued=i + 1 < len(block.rows),
        )


def _points(block: BulletList) -> Iterable[Chunk]:
    for i, text in enumerate(block.items):
        items, height = paragraph(text, (4.5, 0.0), TEXT_MM, WIDTH_MM - 4.5)
        y = -TEXT_MM * 0.62
        mark = Stroke(path=rectangle(1.0, y - 0.5, 2.0, y + 0.5), pen=None, fill=0.0)
        space = 0.9 if i else BELOW_MM
        # A short list is not torn: a last line alone on a page is not found.
        glued = len(block.items) <= _SHORT_LIST and i < len(block.items) - 1
        yield Chunk(height_mm=height, items=(mark, *items), space_mm=space, glued=glued)


def _notices(block: Notices) -> Iterable[Chunk]:
    wide = 22.0
    for i, (level, text) in enumerate(block.items):
        loud = level != "note"
        items, height = paragraph(text, (wide, 0.0), TEXT_MM, WIDTH_MM - wide)
        word = level.upper() if loud else level
        right = text_width_mm(word, SMALL_MM) + 2.4
        top, low = 0.1, -SMALL_MM * 1.45
        flag = Stroke(path=rectangle(0.0, low, right, top), pen=WRITE, fill=0.0 if loud else None)
        label = Label(
            text=word,
            at=(1.2, -SMALL_MM * 1.02),
            size_mm=SMALL_MM,
            colour=1.0 if loud else 0.0,
        )
        space = 1.6 if i else BELOW_MM
        yield Chunk(height_mm=max(height, -low), items=(flag, label, *items), space_mm=space)


def _row(
    cells: Sequence[str], table: Table, size: float, grey: float
) -> tuple[list[SceneItem], float]:
    """Return one row hanging from y = 0, and its height."""
    x, deepest = 0.0, 0.0
    items: list[SceneItem] = []
    for i, (cell, share) in enumerate(zip(cells, table.shares, strict=True)):
        wide = WIDTH_MM * share / sum(table.shares)
        room = wide - 2.0 * SIDE_MM
        found, height = paragraph(cell, (x + SIDE_MM, -PAD_MM), size, room, colour=grey)
        if i in table.right:
            found = [replace(k, at=(x + wide - SIDE_MM, k.at[1]), anchor="end") for k in found]
        items += found
        deepest = max(deepest, height)
        x += wide
    return items, deepest + 2.0 * PAD_MM


def _table(table: Table) -> Iterable[Chunk]:
    """Return the table in one piece, or row by row with the head repeated where it is too long."""
    head, head_high = _row(table.head, table, SMALL_MM, GREY)
    head.append(Stroke(path=line((0.0, -head_high), (WIDTH_MM, -head_high)), pen=WRITE))
    rows = []
    for cells in table.rows:
        items, high = _row(cells, table, CELL_MM, 0.0)
        items.append(Stroke(path=line((0.0, -high), (WIDTH_MM, -high)), pen=HAIR))
        rows.append((items, high))
    whole = head_high + sum(high for _, high in rows)
    if whole <= WHOLE_MM:
        yield _stack([(head, head_high), *rows], BELOW_MM)
        return
    top = Chunk(height_mm=head_high, items=tuple(head))
    yield _stack([(head, head_high), *rows[:_TOGETHER]], BELOW_MM)
    for i, row in enumerate(rows[_TOGETHER:], start=_TOGETHER):
        last = len(rows) - _TOGETHER <= i < len(rows) - 1
        yield replace(_stack([row], 0.0), repeat=top, glued=last)


def _stack(rows: Sequence[tuple[Sequence[SceneItem], float]], space_mm: float) -> Chunk:
    """Return rows of a table one below the other."""
    items: list[SceneItem] = []
    y = 0.0
    for row, high in rows:
        items += moved(row, 0.0, y)
        y -= high
    return Chunk(height_mm=-y, items=tuple(items), space_mm=space_mm)


def _drawing(block: Drawing) -> Iterable[Chunk]:
    scene = block.scene
    left = (WIDTH_MM - scene.width_mm) / 2.0
    items = moved(scene.items, left, -scene.height_mm)
    height = scene.height_mm
    if block.caption:
        words, more = paragraph(
            block.caption, (0.0, -height - 1.2), SMALL_MM, WIDTH_MM, colour=GREY
        )
        items, height = [*items, *words], height + 1.2 + more
    yield Chunk(height_mm=height, items=tuple(items), space_mm=BELOW_MM)


def _blanks(block: Blanks) -> Iterable[Chunk]:
    gap = 6.0
    wide = (WIDTH_MM - gap * (len(block.labels) - 1)) / len(block.labels)
    items: list[SceneItem] = []
    for i, text in enumerate(block.labels):
        x = i * (wide + gap)
        shown = shorten_text(text, SMALL_MM, wide)
        items.append(Label(text=shown, at=(x, -6.2), size_mm=SMALL_MM, colour=GREY))
        items.append(Stroke(path=line((x, -7.6), (x + wide, -7.6)), pen=WRITE))
    yield Chunk(height_mm=8.2, items=tuple(items), space_mm=BELOW_MM)


def _step(block: StepBlock) -> Iterable[Chunk]:
    """Return a step in one piece: box and number, the words, the picture at the right."""
    scene = block.scene
    right = WIDTH_MM - scene.width_mm
    wide = right - STEP_MM - 4.0
    box = rectangle(0.2, -4.4, 4.2, -0.4)
    title = shorten_text(f"{block.number}  {block.title}", STEP_HEAD_MM, wide)
    items: list[SceneItem] = [
        Stroke(path=box, pen=WRITE),
        Label(text=title, at=(STEP_MM, -STEP_HEAD_MM * 0.95), size_mm=STEP_HEAD_MM),
    ]
    y = -STEP_HEAD_MM * LEADING - 0.4
    for text in block.sentences:
        found, height = paragraph(text, (STEP_MM, y), TEXT_MM, wide)
        items += found
        y -= height + 0.7
    if block.caution:
        found, height = paragraph(block.caution, (STEP_MM + 3.0, y - 0.6), TEXT_MM, wide - 3.0)
        bar = line((STEP_MM + 0.6, y - 0.4), (STEP_MM + 0.6, y - 1.0 - height))
        items += [*found, Stroke(path=bar, pen=CARE)]
        y -= height + 1.4
    top = -scene.height_mm
    items += moved(scene.items, right, top)
    height = max(-y, scene.height_mm)
    yield Chunk(height_mm=height, items=tuple(items), space_mm=STEP_SPACE_MM)


_SETTERS: dict[type, Callable[..., Iterable[Chunk]]] = {
    Paragraph: _text,
    Facts: _facts,
    BulletList: _points,
    Notices: _notices,
    Table: _table,
    Drawing: _drawing,
    Blanks: _blanks,
    StepBlock: _step,
}


def chunks_of(block: DocumentBlock) -> tuple[Chunk, ...]:
    """Return a block as chunks."""
    return tuple(_SETTERS[type(block)](block))


def _heading(text: str, *, new_page: bool = False) -> Chunk:
    words = shorten_text(text, HEAD_MM, WIDTH_MM)
    label = Label(text=words, at=(0.0, -HEAD_MM), size_mm=HEAD_MM)
    y = -HEAD_MM - 2.0
    rule = Stroke(path=line((0.0, y), (WIDTH_MM, y)), pen=RULE)
    return Chunk(
        height_mm=-y + 0.4,
        items=(label, rule),
        space_mm=ABOVE_HEAD_MM,
        glued=True,
        new_page=new_page,
    )


def _opening(sheet: Document) -> Chunk:
    items, height = paragraph(sheet.title, (0.0, 0.0), TITLE_MM, WIDTH_MM)
    lead, more = paragraph(sheet.lead, (0.0, -height - 0.6), TEXT_MM, WIDTH_MM, colour=GREY)
    return Chunk(height_mm=height + 0.6 + more, items=(*items, *lead), glued=True)


def _story(sheet: Document) -> list[Chunk]:
    """Return all chunks of the sheet in order; the words above a drawing or table stay with it."""
    story = [_opening(sheet)]
    for section in sheet.sections:
        story.append(_heading(section.title, new_page=section.new_page))
        for block, after in zip(section.blocks, (*section.blocks[1:], None), strict=True):
            found = chunks_of(block)
            above = isinstance(block, Paragraph) and not block.small
            # A last step alone on its page looks lost.
            before_last = isinstance(block, StepBlock) and after is section.blocks[-1]
            if before_last or (above and isinstance(after, Drawing | Table)):
                found = tuple(replace(c, glued=True) for c in found)
            story += found
    return story


def pages_of(sheet: Document) -> tuple[Scene, ...]:
    """Return the worksheet as pages of its paper."""
    pages = [
        placed_items(page, MARGIN_MM, PAGE_MM[1] - MARGIN_MM)
        for page in flow(_story(sheet), HEIGHT_MM)
    ]
    scenes = (
        scene_of(sheet.title, PAGE_MM, {"worksheet": (*items, *_footer(sheet, i, len(pages)))})
        for i, items in enumerate(pages, start=1)
    )
    return on_home_paper(scenes, sheet.paper)


def _footer(sheet: Document, number: int, count: int) -> tuple[SceneItem, ...]:
    title = shorten_text(sheet.title, SMALL_MM, WIDTH_MM - 40.0)
    right = PAGE_MM[0] - MARGIN_MM
    return (
        Label(text=title, at=(MARGIN_MM, FOOTER_AT_MM), size_mm=SMALL_MM, colour=GREY),
        Label(
            text=f"page {number} of {count}",
            at=(right, FOOTER_AT_MM),
            size_mm=SMALL_MM,
            anchor="end",
            colour=GREY,
        ),
    )
