"""The paper that variants are compared on: across, with a heading, a scale and a bar to it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from outseam.cli.scene.home_paper import ACROSS_MM
from outseam.cli.scene.scene import Label, Layer, Pen, Scene, SceneItem, Stroke
from outseam.cli.scene.shapes import rectangle
from outseam.cli.scene.text import paragraph, shorten_text, text_width_mm
from outseam.curves.path import line
from outseam.draft.inputs.show import Units

PAGE_MM = ACROSS_MM
MARGIN_MM = 12.0
WIDTH_MM = PAGE_MM[0] - 2.0 * MARGIN_MM
#: Drawings and tables stay between these heights; the heading stands above, scale and notes below.
TOP_MM, BOTTOM_MM = PAGE_MM[1] - 26.0, 26.0
HEIGHT_MM = TOP_MM - BOTTOM_MM

TITLE_MM, HEAD_MM, TEXT_MM, SMALL_MM = 6.2, 4.0, 3.1, 2.7
GREY = 0.35
RULE = Pen(width_mm=0.45)
HAIR = Pen(width_mm=0.15, colour=0.55)


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """A page before its number is known: what it shows, drawn items, and lines at its foot.

    `scale` is millimetres on the body for one on paper, 0 where nothing is drawn to scale.
    """

    name: str
    heading: str
    items: tuple[SceneItem, ...]
    notes: tuple[str, ...] = ()
    scale: int = 0


def fitting_scale(wide_mm: float, high_mm: float, room_w_mm: float, room_h_mm: float) -> int:
    """Return the whole number 1 : n at which an extent fits a room on paper."""
    return max(1, math.ceil(max(wide_mm / room_w_mm, high_mm / room_h_mm) - 1e-9))


def _bar(scale: int, units: Units, *, on_paper: bool) -> tuple[list[SceneItem], float]:
    """Return a bar of a round length and how far to the right it and its words reach."""
    unit, step, name = (25.4, 4.0, "in") if units == "in" else (10.0, 10.0, "cm")
    count = max(1, min(5, int(70.0 * scale / (unit * step))))
    paper = unit * step / scale
    left, low, high = MARGIN_MM, MARGIN_MM + 3.6, MARGIN_MM + 5.4
    items: list[SceneItem] = []
    for i in range(count):
        x0, x1 = left + i * paper, left + (i + 1) * paper
        box = rectangle(x0, low, x1, high)
        items.append(
            Stroke(path=box, pen=Pen(width_mm=0.2), fill=1.0 if i % 2 else 0.0),
        )
    right = left + count * paper
    told = f"{count * step:.0f} {name}"
    items.append(Label(text=told, at=(right + 1.5, low - 0.1), size_mm=SMALL_MM))
    if not on_paper:
        return items, right + 3.0 + text_width_mm(told, SMALL_MM)
    items.append(Label(text=f"1 : {scale}", at=(left, MARGIN_MM), size_mm=TEXT_MM))
    note = "on this page, printed at 100 %"
    x = left + text_width_mm(f"1 : {scale}", TEXT_MM) + 1.5
    items.append(Label(text=note, at=(x, MARGIN_MM), size_mm=SMALL_MM, colour=GREY))
    return items, max(
        right + 3.0 + text_width_mm(told, SMALL_MM), x + text_width_mm(note, SMALL_MM)
    )


def _foot(page: Page, units: Units, *, on_paper: bool) -> list[SceneItem]:
    """Return bar and notes, side by side, the notes hanging from the same line."""
    items: list[SceneItem] = []
    x = MARGIN_MM
    if page.scale:
        items, x = _bar(page.scale, units, on_paper=on_paper)
        x += 7.0
    top = BOTTOM_MM - 5.5
    right = PAGE_MM[0] - MARGIN_MM - 20.0
    for note in page.notes:
        found, high = paragraph(note, (x, top), SMALL_MM, right - x, colour=GREY)
        items += found
        top -= high
    return items


def scenes_of(
    title: str, units: Units, pages: Sequence[Page], *, on_paper: bool = True
) -> tuple[Scene, ...]:
    """Return the pages with heading, foot and number, one layer each, named as the page.

    Shown in any size, not `on_paper`, they say nothing of the paper's scale and number.
    """
    left, right = MARGIN_MM, PAGE_MM[0] - MARGIN_MM
    found = []
    for number, page in enumerate(pages, start=1):
        head_w = text_width_mm(page.heading, HEAD_MM)
        shown = shorten_text(title, TITLE_MM, WIDTH_MM - head_w - 8.0)
        y = PAGE_MM[1] - MARGIN_MM - TITLE_MM
        items: list[SceneItem] = [
            Label(text=shown, at=(left, y), size_mm=TITLE_MM),
            Label(text=page.heading, at=(right, y), size_mm=HEAD_MM, anchor="end"),
            Stroke(path=line((left, y - 2.6), (right, y - 2.6)), pen=RULE),
            *page.items,
            *_foot(page, units, on_paper=on_paper),
        ]
        if on_paper:
            counted = f"page {number} of {len(pages)}"
            at = (right, MARGIN_MM)
            items.append(Label(text=counted, at=at, size_mm=SMALL_MM, anchor="end", colour=GREY))
        found.append(
            Scene(
                title=f"{title}: {page.heading}",
                width_mm=PAGE_MM[0],
                height_mm=PAGE_MM[1],
                layers=(Layer(name=page.name, items=tuple(items)),),
            )
        )
    return tuple(found)
