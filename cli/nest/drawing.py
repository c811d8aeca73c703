"""A nest as layers of a sheet: one for the lines of each size, one for what lies inside them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Final, TypeAlias

import numpy as np
import shapely

from outseam.cli.nest.labels import SizeLine, size_labels
from outseam.cli.nest.nest import Family, Member, Nest
from outseam.cli.pattern.drawing import (
    Place,
    draw_pieces,
    notch_ticks,
)
from outseam.cli.pattern.words import TEXT_MM, TITLE_MM, block_labels, free_block, places_over
from outseam.cli.scene.extent import label_corners, path_points
from outseam.cli.scene.free_room import Room
from outseam.cli.scene.scene import Label, Layer, Pen, Stroke
from outseam.cli.scene.text import shorten_text, wrap_text
from outseam.curves.path import Path, join, line
from outseam.curves.region import flatten
from outseam.draft.piece.piece import Piece

#: A family as drawn about its reference point: items by layer.
Drawn: TypeAlias = dict[str, list[Stroke | Label]]

NAMES: Final = "pieces"
KEY: Final = "key"

#: Notches and lines inside a size are finer than its cutting line, or ten sizes would be a grey.
_NOTCH = Pen(width_mm=0.3)
#: And shorter, so that a notch ends before the next size's line.
_NOTCH_MM = 3.5
_FINEST_MM = 0.18
_MARK_MM = 6.0
#: Sizes of a title, and of what stands below it at least.
_TITLES_MM, _LEAST_MM = (TITLE_MM, 7.0, 5.0, 3.8, 2.8), 2.0
_MARK = Pen(width_mm=0.25)

#: The key: a row for each size, a line as it is drawn and its name.
_ROW_MM, _SAMPLE_MM, _KEY_WIDE_MM = 8.0, 40.0, 104.0


def size_layer(label: str) -> str:
    """Return the name of the layer with the cutting lines and notches of a size."""
    return f"size {label}"


def inside_layer(label: str) -> str:
    """Return the name of the layer with the sewing lines and marks inside a size."""
    return f"inside size {label}"


def hidden_layers(nest: Nest) -> tuple[str, ...]:
    """Return the layers that start switched off: what lies inside, where several sizes lie."""
    return tuple(map(inside_layer, nest.labels)) if len(nest.labels) > 1 else ()


def draw_family(nest: Nest, family: Family) -> Drawn:
    """Draw all sizes of a piece, the point where they meet at the origin."""
    items: Drawn = {NAMES: []}
    named = size_labels(
        [
            SizeLine(size=m.size, edges=tuple(m.place.path(c) for c in m.piece.cut))
            for m in family.members
        ],
        [tick for m in family.members for tick in _ticks(m)],
    )
    for m in family.members:
        items[size_layer(m.size)] = [*_cutting(m, nest.pen(m.size)), *named[m.size]]
        items[inside_layer(m.size)] = _inside(nest, m)
    items[NAMES] = _names(nest, family, items)
    return items


def nest_layers(nest: Nest, drawn: Sequence[Drawn], places: Sequence[Place]) -> list[Layer]:
    """Return the layers of a sheet with each family's reference point at its place."""
    order = [NAMES, *(f(label) for label in nest.labels for f in (size_layer, inside_layer))]
    found: Drawn = {name: [] for name in order}
    for family, place in zip(drawn, places, strict=True):
        for name, items in family.items():
            found[name] += [_put(item, place) for item in items]
    return [Layer(name=name, items=tuple(items)) for name, items in found.items()]


def _put(item: Stroke | Label, place: Place) -> Stroke | Label:
    """Return an item as it lies on a sheet."""
    if isinstance(item, Stroke):
        return replace(item, path=place.path(item.path))
    return replace(item, at=place.point(item.at), angle_deg=item.angle_deg + place.turn_deg)


def _cutting(member: Member, pen: Pen) -> list[Stroke | Label]:
    """Return the cutting line and the notches of a size."""
    at = member.place
    cut = Stroke(path=at.path(join(list(member.piece.cut))), pen=pen)
    return [cut, *(Stroke(path=t, pen=_NOTCH) for t in _ticks(member))]


def _ticks(member: Member) -> list[Path]:
    """Return the notches of a size where they lie."""
    ticks = [_short(t) for n in member.piece.notches for t in notch_ticks(member.piece, n)]
    return [member.place.path(t) for t in ticks]


def _short(tick: Path) -> Path:
    """Return a tick from the cutting line inward, no longer than `_NOTCH_MM`."""
    (x, y), (u, v) = tick.end, tick.start
    share = min(1.0, _NOTCH_MM / max(math.dist(tick.start, tick.end), 1e-9))
    return line(tick.end, (x + share * (u - x), y + share * (v - y)))


def _inside(nest: Nest, member: Member) -> list[Stroke | Label]:
    """Return the sewing lines and marks of a size, finer than on a sheet of its own."""
    layers = draw_pieces(nest.pattern(member.size), [member.piece], [member.place], words=False)
    return [
        replace(item, pen=replace(item.pen, width_mm=max(_FINEST_MM, item.pen.width_mm / 2)))
        for layer in layers
        if layer.name in ("sew", "lines")
        for item in layer.items
        if isinstance(item, Stroke) and item.pen
    ]


def _names(nest: Nest, family: Family, others: Drawn) -> list[Stroke | Label]:
    """Return what a piece is, its grain and the cross where the sizes meet, once for all sizes.

    `others` is what is drawn of the sizes, by layer.
    """
    member = family.smallest
    grain = tuple(k for k in member.piece.lines if k.kind == "grain")
    bare = replace(member.piece, lines=grain, notches=())
    layers = draw_pieces(nest.pattern(member.size), [bare], [member.place], words=False)
    items = [i for layer in layers if layer.name == "lines" for i in layer.items]
    for x, y in ((_MARK_MM, 0.0), (0.0, _MARK_MM)):
        items.append(Stroke(path=line((-x, -y), (x, y)), pen=_MARK))
    seen = [*items, *(i for label in nest.labels for i in others.get(size_layer(label), ()))]
    inside = [i for label in nest.labels for i in others.get(inside_layer(label), ())]
    return [*items, *_title(nest, family, seen, inside)]


def _title(
    nest: Nest,
    family: Family,
    seen: Sequence[Stroke | Label],
    inside: Sequence[Stroke | Label],
) -> list[Label]:
    """Return what a piece is, within the smallest size and clear of all that is drawn.

    What lies inside the sizes is switched off at first: where it leaves no room, it is no
    hindrance.
    """
    member = family.smallest
    piece, at = member.piece, member.place
    outlines = [flatten(m.place.path(join(list(m.piece.cut))), 0.5) for m in family.members]
    common = shapely.intersection_all([shapely.Polygon(one).buffer(0.0) for one in outlines])
    shape = max(shapely.get_parts(common).tolist(), key=lambda one: float(one.area))
    corner, turn = at.point(piece.label_at), at.turn_deg + piece.label_turn_deg
    for items in ((*seen, *inside), seen):
        room = Room(shape, path_points([i.path for i in items if isinstance(i, Stroke)]))
        for item in items:
            if isinstance(item, Label):
                room.take(label_corners(item))
        spots = places_over(np.concatenate(outlines))
        block = free_block(room, _wordings(nest, piece), corner, spots, turn)
        if block is not None:
            return list(block_labels(block))
    return []


def _wordings(nest: Nest, piece: Piece) -> list[tuple[tuple[str, float], ...]]:
    """Return the title with how to cut and the sizes, from large to small, in few lines or many."""
    found = []
    for size in _TITLES_MM:
        small = max(size * TEXT_MM / TITLE_MM, _LEAST_MM)
        for wide in (max(piece.label_width_mm, 40.0), 40.0, 25.0):
            found.append(
                (
                    *((t, size) for t in wrap_text(piece.title, size, wide)),
                    *((t, small) for t in wrap_text(piece.cut_note, small, wide)),
                    *((t, small) for t in wrap_text(sizes_says(nest), small, wide)),
                )
            )
    return found


def sizes_says(nest: Nest) -> str:
    """Return which sizes a sheet shows, in a few words."""
    if len(nest.labels) == 1:
        return f"size {nest.labels[0]}"
    return f"sizes {', '.join(nest.labels)}"


def key_size(nest: Nest) -> tuple[float, float]:
    """Return width and height, mm, of the key."""
    return _KEY_WIDE_MM, _ROW_MM * (len(nest.labels) + 3.0)


def key_layer(nest: Nest, place: Place) -> Layer:
    """Return the key, its lower left corner at the place: a line of each size and its name."""
    _, high = key_size(nest)
    words = wrap_text(f"Sizes meet at {nest.way.says}.", TEXT_MM, _KEY_WIDE_MM)
    items: list[Stroke | Label] = []
    y = high - TITLE_MM
    items.append(_word("Sizes", place, (0.0, y), TITLE_MM))
    for row in words:
        y -= 1.4 * TEXT_MM
        items.append(_word(row, place, (0.0, y), TEXT_MM))
    for label in nest.labels:
        y -= _ROW_MM
        sample = line((0.0, y + 1.5), (_SAMPLE_MM, y + 1.5))
        items.append(Stroke(path=place.path(sample), pen=nest.pen(label)))
        shown = shorten_text(label, TEXT_MM + 0.8, _KEY_WIDE_MM - _SAMPLE_MM - 6.0)
        items.append(_word(shown, place, (_SAMPLE_MM + 6.0, y), TEXT_MM + 0.8))
    return Layer(name=KEY, items=tuple(items))


def _word(text: str, place: Place, at: tuple[float, float], size: float) -> Label:
    return Label(text=text, at=place.point(at), size_mm=size, angle_deg=place.turn_deg)
