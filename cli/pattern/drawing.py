"""A pattern as a Scene: which pen, which layer and which words each part of a piece gets.

Line styles tell lines apart without colour: the cut is heavy and solid, the sewing line thin and
dashed, level lines dotted, the crease dash-dotted, folds long-dashed.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from outseam.cli.pattern.words import (
    TEXT_MM,
    TITLE_MM,
    PieceWords,
    block_half,
    block_labels,
    place_words,
)
from outseam.cli.scene.compose import LayerItems
from outseam.cli.scene.free_room import turned_boxes
from outseam.cli.scene.scene import Label, Layer, Pen, Scene, Stroke
from outseam.cli.scene.shapes import arrow_head, rectangle
from outseam.curves.evaluate import direction_at, point_at
from outseam.curves.length import length, param_at_length
from outseam.curves.path import Floats, Path, join, line
from outseam.curves.point import Point, right_of
from outseam.curves.region import bounds, flatten
from outseam.draft.inputs.show import Units
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Line, Notch, Piece
from outseam.draft.piece.shrinkage import grown
from outseam.draft.spec.spec import Spec

CUT = Pen(width_mm=0.7)
SEW = Pen(width_mm=0.35, dash_mm=(5.0, 2.5))
NOTCH = Pen(width_mm=0.6)
LINE_STYLES: dict[str, Pen] = {
    "grain": Pen(width_mm=0.5),
    "crease": Pen(width_mm=0.25, dash_mm=(9.0, 2.0, 1.0, 2.0)),
    "level": Pen(width_mm=0.25, dash_mm=(0.8, 2.2)),
    "lengthen": Pen(width_mm=0.35),
    "fold": Pen(width_mm=0.35, dash_mm=(14.0, 3.0)),
    "topstitch": Pen(width_mm=0.35, dash_mm=(2.0, 1.5)),
}
#: Layers in drawing order.
LAYERS = ("cut", "sew", "notches", "lines", "words")

#: The two strokes of a lengthen/shorten line, and of a double notch, stand this far apart.
LENGTHEN_GAP_MM = 8.0
NOTCH_GAP_MM = 6.0
ARROW_MM = 9.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a piece lies on a sheet: turned about its own origin, then moved."""

    dx_mm: float = 0.0
    dy_mm: float = 0.0
    turn_deg: float = 0.0

    def path(self, p: Path) -> Path:
        """Return a path of the piece as it lies on the sheet."""
        turned = p if self.turn_deg == 0.0 else p.turned(math.radians(self.turn_deg))
        return turned.moved(self.dx_mm, self.dy_mm)

    def back(self, points: Floats) -> Floats:
        """Return points (m, 2) of the sheet as they lie on the piece."""
        s, c = math.sin(math.radians(self.turn_deg)), math.cos(math.radians(self.turn_deg))
        x, y = (points - (self.dx_mm, self.dy_mm)).T
        return np.stack([c * x + s * y, c * y - s * x], axis=1)

    def point(self, p: Point) -> Point:
        """Return a point of the piece as it lies on the sheet."""
        s, c = math.sin(math.radians(self.turn_deg)), math.cos(math.radians(self.turn_deg))
        return c * p[0] - s * p[1] + self.dx_mm, s * p[0] + c * p[1] + self.dy_mm


def cut_outline(piece: Piece) -> NDArray[np.float64]:
    """Return the cutting line of a piece as a broken line (m, 2), mm, not repeated at its end."""
    outline: NDArray[np.float64] = flatten(join(list(piece.cut)), 0.1)[:-1]
    return outline


def pieces_to_print(pattern: Pattern) -> tuple[Piece, ...]:
    """Return the pieces as they are cut, grown for the fabric's shrinkage."""
    return tuple(grown(p, pattern.spec.fabric) for p in pattern.pieces)


def _arrow(tip: Point, along: Point) -> Path:
    """Return an open arrow head at `tip`, pointing along the direction."""
    return arrow_head(tip, along, ARROW_MM, spread=0.32, closed=False)


def line_strokes(mark: Line) -> list[Path]:
    """Return the strokes of a line: two for lengthening, a grain with heads at both ends."""
    if mark.kind == "lengthen":
        return [mark.path.moved(0.0, side * LENGTHEN_GAP_MM) for side in (-0.5, 0.5)]
    if mark.kind == "grain":
        ux, uy = mark.path.start_direction
        heads = (
            _arrow(mark.path.end, mark.path.end_direction),
            _arrow(mark.path.start, (-ux, -uy)),
        )
        return [mark.path, *heads]
    return [mark.path]


def notch_ticks(piece: Piece, notch: Notch) -> list[Path]:
    """Return the one or two ticks of a notch, each from the sewing line to the cutting line."""
    edge = piece.edge(notch.edge)
    total = length(edge.path)
    ticks = []
    for i in range(notch.count):
        at = notch.at_mm + (i - (notch.count - 1) / 2.0) * NOTCH_GAP_MM
        u = param_at_length(edge.path, min(max(at, 0.0), total))
        p, n = point_at(edge.path, u), right_of(direction_at(edge.path, u))
        far = (p[0] + n[0] * edge.allowance_mm, p[1] + n[1] * edge.allowance_mm)
        ticks.append(line(p, far))
    return ticks


def piece_words(pattern: Pattern, piece: Piece, joints: Sequence[Floats] = ()) -> PieceWords:
    """Return where the words of a piece stand; the same question is answered once.

    `joints` are edges of the paper across it, lines (m, 2): a piece with a word over one has its
    words placed anew.
    """
    placed = (w for known, spec, w in _PLACED if known is piece and spec is pattern.spec)
    words = next(placed, None)
    if words is None:
        words = _words_of(pattern, piece)
        _PLACED.append((piece, pattern.spec, words))
    return _words_of(pattern, piece, joints) if _crossed(words, joints) else words


def _crossed(words: PieceWords, joints: Sequence[Floats]) -> bool:
    """Return whether some word lies over a joint."""
    if not len(joints):
        return False
    halves = [block_half(block.lines) for block in words.blocks]
    boxes = [
        turned_boxes(np.array([b.middle]), half, np.array([b.angle_deg]))[0]
        for b, half in zip(words.blocks, halves, strict=True)
    ]
    lines = shapely.multilinestrings([shapely.LineString(one) for one in joints])
    return bool(shapely.intersects(lines, shapely.polygons(boxes)).any())


def _words_of(pattern: Pattern, piece: Piece, joints: Sequence[Floats] = ()) -> PieceWords:
    strokes = [join(list(piece.cut))]
    strokes += [e.path for e in piece.edges if e.allowance_mm > 0.0]
    strokes += [tick for notch in piece.notches for tick in notch_ticks(piece, notch)]
    strokes += [path for mark in piece.lines for path in line_strokes(mark)]
    return place_words(pattern, piece, strokes, joints=joints)


#: The pieces of the last patterns: each paper draws the same ones.
_PLACED: deque[tuple[Piece, Spec, PieceWords]] = deque(maxlen=48)


def _draw_words(
    out: LayerItems, pattern: Pattern, piece: Piece, place: Place, joints: Sequence[Floats]
) -> None:
    """Draw the words of a piece, none of them upside down; joints are lines of the sheet."""
    on_piece = [place.back(one) for one in joints]
    for block in piece_words(pattern, piece, on_piece).blocks:
        at = replace(block, middle=place.point(block.middle))
        out.add("words", block_labels(at, place.turn_deg))


def draw_pieces(
    pattern: Pattern,
    pieces: Sequence[Piece],
    places: Sequence[Place],
    *,
    words: bool = True,
    joints: Sequence[Floats] = (),
) -> tuple[Layer, ...]:
    """Return the layers of a sheet with every piece at its place, with or without its words.

    Words keep off `joints`, lines (m, 2) of the sheet, where they can.
    """
    out = LayerItems(LAYERS)
    for piece, place in zip(pieces, places, strict=True):
        out.stroke("cut", place.path(join(list(piece.cut))), CUT)
        for e in piece.edges:
            if e.allowance_mm > 0.0:
                out.stroke("sew", place.path(e.path), SEW)
        for notch in piece.notches:
            for tick in notch_ticks(piece, notch):
                out.stroke("notches", place.path(tick), NOTCH)
        for mark in piece.lines:
            for path in line_strokes(mark):
                out.stroke("lines", place.path(path), LINE_STYLES[mark.kind])
        if words:
            _draw_words(out, pattern, piece, place, joints)
    return out.layers()


#: Side of the square of 10 cm or 4 in on sheets that have no first page, and the room it takes.
SQUARE_MM, SQUARE_IN_MM = 100.0, 101.6
SQUARE_ROOM_MM = 104.0


def square_side(units: Units) -> tuple[float, str]:
    """Return the side of the test square of a file, mm, and in words: 10 cm or 4 in."""
    return (SQUARE_IN_MM, "4 in") if units == "in" else (SQUARE_MM, "10 cm")


def scale_square(place: Place, units: Units = "cm") -> Layer:
    """Return a test square with what to do with it, lower left corner at the place's origin."""
    edge, told = square_side(units)
    words = (
        (told, TITLE_MM, edge - 18.0),
        ("Print at 100 % (actual size),", TEXT_MM, edge - 28.0),
        ("then measure this square both", TEXT_MM, edge - 34.0),
        ("ways before you cut.", TEXT_MM, edge - 40.0),
    )
    labels = tuple(
        Label(text=t, at=place.point((8.0, y)), size_mm=size, angle_deg=place.turn_deg)
        for t, size, y in words
    )
    square = Stroke(path=place.path(rectangle(0.0, 0.0, edge, edge)), pen=Pen(width_mm=0.3))
    return Layer(name="square", items=(square, *labels))


def upright_places(
    pieces: Iterable[Piece], gap_mm: float = 40.0, margin_mm: float = 20.0
) -> tuple[tuple[Place, ...], float, float]:
    """Return places with the legs side by side and everything else in a column below them.

    Also returns the width and height of the sheet, mm.
    """
    return beside_places([bounds(join(list(p.cut))) for p in pieces], gap_mm, margin_mm)


def beside_places(
    boxes: Sequence[tuple[float, float, float, float]],
    gap_mm: float = 40.0,
    margin_mm: float = 20.0,
) -> tuple[tuple[Place, ...], float, float]:
    """Do the same for shapes known by their boxes (x0, y0, x1, y1), mm."""
    tall = [b[3] - b[1] > 1.3 * (b[2] - b[0]) for b in boxes]
    low = 0.0
    places: dict[int, tuple[float, float]] = {}
    for i in reversed([i for i, t in enumerate(tall) if not t]):
        places[i] = (margin_mm, margin_mm + low)
        low += boxes[i][3] - boxes[i][1] + gap_mm
    x, top = margin_mm, 0.0
    for i in [i for i, t in enumerate(tall) if t]:
        places[i] = (x, margin_mm + low)
        x += boxes[i][2] - boxes[i][0] + gap_mm
        top = max(top, boxes[i][3] - boxes[i][1])
    wide = max(places[i][0] + b[2] - b[0] for i, b in enumerate(boxes)) + margin_mm
    high = max(places[i][1] + b[3] - b[1] for i, b in enumerate(boxes)) + margin_mm
    found = tuple(
        Place(dx_mm=places[i][0] - b[0], dy_mm=places[i][1] - b[1]) for i, b in enumerate(boxes)
    )
    return found, wide, high


def _right_of(pieces: Sequence[Piece], places: Sequence[Place], up_to_mm: float) -> float:
    """Return how far right anything reaches among the lowest `up_to_mm` of a sheet."""
    boxes = [
        bounds(place.path(join(list(piece.cut))))
        for piece, place in zip(pieces, places, strict=True)
    ]
    return max((b[2] for b in boxes if b[1] < 20.0 + up_to_mm + 20.0), default=0.0)


def pattern_scene(pattern: Pattern) -> Scene:
    """Return the whole pattern on one sheet, legs upright side by side."""
    pieces = pieces_to_print(pattern)
    places, wide, high = upright_places(pieces)
    beside = _right_of(pieces, places, SQUARE_ROOM_MM) + 40.0
    square = Place(dx_mm=beside, dy_mm=20.0)
    return Scene(
        title=pattern.spec.title or "Pants",
        width_mm=max(wide, beside + SQUARE_ROOM_MM + 16.0),
        height_mm=high,
        layers=(*draw_pieces(pattern, pieces, places), scale_square(square, pattern.spec.units)),
    )
