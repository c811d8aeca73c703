"""Pages filled from the top: what stays together, what is repeated, where a new page begins."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from outseam.cli.scene.compose import moved
from outseam.cli.scene.scene import SceneItem


@dataclass(frozen=True, slots=True, kw_only=True)
class Chunk:
    """Items that stay together, drawn down from y = 0, and how much height they take.

    `glued` chunks are not parted from the next one; `space_mm` is left above, except at the top
    of a page, where `repeat` is drawn instead. `new_page` begins a page.
    """

    height_mm: float
    items: tuple[SceneItem, ...]
    space_mm: float = 0.0
    glued: bool = False
    repeat: Chunk | None = None
    new_page: bool = False


#: Chunks and where they begin below the top of the page, mm, 0 or negative.
ChunkPage: TypeAlias = list[tuple[float, Chunk]]


def flow(story: Sequence[Chunk], room_mm: float) -> list[ChunkPage]:
    """Return the chunks by page; a page has so much room."""
    pages: list[ChunkPage] = [[]]
    for group in _groups(story):
        whole = sum(c.height_mm + c.space_mm for c in group) - group[0].space_mm
        for chunk in group:
            y = low_mm(pages[-1])
            space = chunk.space_mm if y < 0.0 else 0.0
            first = chunk is group[0] and whole <= room_mm
            needed = whole if first else chunk.height_mm
            full = -y + space + needed > room_mm + 1e-6
            if y < 0.0 and (full or chunk.new_page):
                pages.append([] if chunk.repeat is None else [(0.0, chunk.repeat)])
                y, space = low_mm(pages[-1]), 0.0
            pages[-1].append((y - space, chunk))
    return pages


def low_mm(page: ChunkPage) -> float:
    """Return where the last chunk of a page ends, 0 or negative."""
    return page[-1][0] - page[-1][1].height_mm if page else 0.0


def placed_items(page: ChunkPage, left_mm: float, top_mm: float) -> list[SceneItem]:
    """Return the items of a page whose upper left corner lies there."""
    return [item for y, chunk in page for item in moved(chunk.items, left_mm, top_mm + y)]


def _groups(story: Sequence[Chunk]) -> Iterable[list[Chunk]]:
    """Return the chunks in groups that stay together."""
    group: list[Chunk] = []
    for chunk in story:
        group.append(chunk)
        if not chunk.glued:
            yield group
            group = []
    if group:
        yield group
