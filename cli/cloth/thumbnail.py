"""A small picture of a lay for the worksheet: how the pieces lie, without distances."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from typing import TypeAlias

import numpy as np
import shapely
from shapely import Polygon

from outseam.cli.scene.label_room import fit_words, word_labels
from outseam.cli.scene.scene import Label, Pen, Scene, SceneItem, Stroke, scene_of
from outseam.cli.scene.text import text_width_mm
from outseam.curves.path import Path, line, polyline
from outseam.curves.point import Point
from outseam.draft.inputs.show import Units, show_length
from outseam.draft.lay.check.verify import shape_of
from outseam.draft.lay.model.result import Lay, Placed

#: Scales to choose from, and the room for the fabric on a page.
SCALES = (10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100)
WIDTH_MM = 178.0
MOST_MM = (162.0, 62.0)
HEAD_MM = 4.4

EDGE = Pen(width_mm=0.45)
CUT_END = Pen(width_mm=0.35, dash_mm=(2.0, 1.2))
FOLD = Pen(width_mm=0.35, dash_mm=(6.0, 1.6))
PIECE = Pen(width_mm=0.3)
BORDER = Pen(width_mm=0.2, dash_mm=(1.4, 0.9))
DOWN_GREY = 0.86
SMALL_MM = 2.3

_At: TypeAlias = Callable[[float, float], Point]


def small_lay(lay: Lay, units: Units, names: Sequence[str]) -> tuple[Scene, int]:
    """Return the picture of a lay and its scale, 1 to so many.

    `names` are the pieces in the order of the cutting list, which numbers them.
    """
    length, breadth = lay.length_mm, lay.table_mm
    least = max(length / MOST_MM[0], breadth / MOST_MM[1])
    scale = next((s for s in SCALES if s >= least), math.ceil(least))
    left = (WIDTH_MM - length / scale) / 2.0
    high = breadth / scale + 2.0 * HEAD_MM

    def at(x: float, y: float) -> Point:
        return left + x / scale, HEAD_MM + y / scale

    pieces: list[SceneItem] = []
    words: list[SceneItem] = []
    for placed in lay.placed:
        number = names.index(placed.part.piece.name) + 1
        points = shapely.get_coordinates(shape_of(placed, lay).exterior)
        on_page = np.asarray([at(x, y) for x, y in points.tolist()])
        grey = DOWN_GREY if placed.lie.face == "down" else 1.0
        pieces.append(Stroke(path=polyline(on_page), pen=PIECE, fill=grey))
        words += word_labels(fit_words(Polygon(on_page), _wordings(placed, number)))
    layers: dict[str, Iterable[SceneItem]] = {
        "lay-pieces": pieces,
        "lay-fabric": _fabric(lay, at),
        "lay-words": (*words, *_around(lay, at, units)),
    }
    return scene_of("Lay", (WIDTH_MM, high), layers), scale


def _wordings(placed: Placed, number: int) -> tuple[tuple[str, ...], ...]:
    """Return what may stand in a piece, the fullest first."""
    title = placed.piece.title
    half = (f"{number} {title}, half",) if placed.part.zone == "fold" else (f"{number} {title}",)
    return half, (str(number), *title.split(" ", 1)), (str(number),)


def _fabric(lay: Lay, at: _At) -> list[Stroke]:
    """Return the edges of the fabric."""
    length, breadth, cloth = lay.length_mm, lay.table_mm, lay.cloth

    def drawn(a: Point, b: Point, pen: Pen) -> Stroke:
        path: Path = line(at(*a), at(*b))
        return Stroke(path=path, pen=pen)

    found = [
        drawn((0.0, 0.0), (length, 0.0), EDGE),
        drawn((0.0, 0.0), (0.0, breadth if lay.opened_mm is None else cloth.breadth_mm), CUT_END),
        drawn((length, 0.0), (length, breadth), CUT_END),
    ]
    if lay.opened_mm is not None:
        opened, fold = lay.opened_mm, cloth.breadth_mm
        found.append(drawn((0.0, fold), (opened, fold), FOLD))
        found.append(drawn((opened, fold), (opened, breadth), EDGE))
        found.append(drawn((opened, breadth), (length, breadth), EDGE))
    else:
        folded = cloth.folded or lay.fold_mm is not None
        found.append(drawn((0.0, breadth), (length, breadth), FOLD if folded else EDGE))
    border = cloth.border
    for side, one in () if border is None else ((s, border.at(s)) for s in border.sides):
        for mm in (one.edge_mm, one.edge_mm + one.height_mm):
            level = mm if side == "near" else cloth.width_mm - mm
            if 0.0 < level < breadth:
                found.append(drawn((0.0, level), (length, level), BORDER))
    if lay.turned_in_mm is not None:
        level = lay.turned_in_mm
        found.append(drawn((0.0, level), (length, level), EDGE))
    return found


def _around(lay: Lay, at: _At, units: Units) -> list[Label]:
    """Return the words round the fabric: its edges, and how long it is."""
    x, low = at(0.0, 0.0)
    right, _ = at(lay.length_mm, 0.0)
    top = at(0.0, lay.table_mm if lay.opened_mm is None else lay.cloth.breadth_mm)[1]
    folded = lay.cloth.folded or lay.fold_mm is not None
    below = "selvedges" if lay.cloth.folded else "selvedge"
    found = [
        Label(text=below, at=(x, low - 3.2), size_mm=SMALL_MM),
        Label(text="fold" if folded else "selvedge", at=(x, top + 1.2), size_mm=SMALL_MM),
    ]
    at_end = (x - 1.2, (low + top) / 2.0)
    found.append(
        Label(text="cut end", at=at_end, size_mm=SMALL_MM, anchor="middle", angle_deg=90.0)
    )
    told = show_length(lay.length_mm, units)
    if right - x > text_width_mm(f"{below}  {told}", SMALL_MM) + 4.0:
        found.append(Label(text=told, at=(right, low - 3.2), size_mm=SMALL_MM, anchor="end"))
    return found
