"""Finding room for words inside a shape on paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import shapely
from shapely import Polygon

from outseam.cli.scene.free_room import Room, by_distance
from outseam.cli.scene.scene import Label
from outseam.cli.scene.text import text_width_mm
from outseam.curves.point import Point

#: Sizes that text is tried at, mm, and the distance between lines.
SIZES_MM = (2.9, 2.5, 2.1)
LEADING = 1.3
#: Room around the words, and how finely places for them are tried.
_ROOM_MM = 0.8
_PLACES = 24

Wording: TypeAlias = tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TextBlock:
    """Where a block of lines stands: middle, size, and whether it runs upward."""

    middle: Point
    size_mm: float
    upward: bool
    lines: Wording


def fit_words(
    shape: Polygon, wordings: Sequence[Wording], avoid: Sequence[Polygon] = ()
) -> TextBlock:
    """Return a place inside the shape for the first of the wordings that has one.

    The largest size goes first, level before upward; the last wording stands level if it can. If
    even that does not fit, it stands at the middle of the shape in the smallest size.
    """
    room = Room(shape, [shapely.get_coordinates(shape.exterior)])
    for taken in avoid:
        room.take(shapely.get_coordinates(taken))
    middle = _middle(shape)
    for lines in wordings:
        ways = [(size, upward) for size in SIZES_MM for upward in (False, True)]
        if lines is wordings[-1]:
            ways.sort(key=lambda way: way[1])
        for size, upward in ways:
            at = _room(room, shape, middle, lines, size, upward)
            if at is not None:
                return TextBlock(middle=at, size_mm=size, upward=upward, lines=lines)
    return TextBlock(middle=middle, size_mm=SIZES_MM[-1], upward=False, lines=wordings[-1])


def _middle(shape: Polygon) -> Point:
    """Return the middle of the largest circle inside the shape."""
    x, y = shapely.get_coordinates(shapely.maximum_inscribed_circle(shape, tolerance=0.2))[0]
    return float(x), float(y)


def block_mm(lines: Wording, size_mm: float) -> tuple[float, float]:
    """Return width and height of a block of lines."""
    width = max(text_width_mm(line, size_mm) for line in lines)
    return width, size_mm * (1.0 + LEADING * (len(lines) - 1))


def _room(
    room: Room, shape: Polygon, middle: Point, lines: Wording, size_mm: float, upward: bool
) -> Point | None:
    """Return the place nearest to `middle` whose block lies inside, None if there is none."""
    width, height = block_mm(lines, size_mm)
    wide, high = (height, width) if upward else (width, height)
    half = wide / 2.0 + _ROOM_MM, high / 2.0 + _ROOM_MM
    x0, y0, x1, y1 = shape.bounds
    x, y = np.meshgrid(
        np.append(np.linspace(x0 + half[0], x1 - half[0], _PLACES), middle[0]),
        np.append(np.linspace(y0 + half[1], y1 - half[1], _PLACES), middle[1]),
    )
    centres = by_distance(np.stack([x.ravel(), y.ravel()], axis=1), middle)
    n = room.first_clear(centres, half, np.zeros(len(centres)))
    return None if n is None else (float(centres[n, 0]), float(centres[n, 1]))


def word_labels(block: TextBlock) -> list[Label]:
    """Return the lines of a block as labels."""
    _, height = block_mm(block.lines, block.size_mm)
    found = []
    for n, line in enumerate(block.lines):
        down = -height / 2.0 + block.size_mm * (0.83 + LEADING * n)
        x, y = block.middle
        at = (x + down, y) if block.upward else (x, y - down)
        found.append(
            Label(
                text=line,
                at=at,
                size_mm=block.size_mm,
                angle_deg=90.0 if block.upward else 0.0,
                anchor="middle",
            )
        )
    return found
