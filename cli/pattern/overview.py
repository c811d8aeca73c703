"""The picture of what to cut: every piece at one reduced scale, its grain and its stretch."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.ops import split

from outseam.cli.pattern.drawing import pieces_to_print
from outseam.cli.scene.scene import Label, Pen, Scene, SceneItem, Stroke, scene_of
from outseam.cli.scene.shapes import arrow_head
from outseam.cli.scene.text import text_width_mm
from outseam.curves.evaluate import direction_at, point_at
from outseam.curves.length import length, param_at_length
from outseam.curves.path import Path, join, line
from outseam.curves.point import Point, Vector, right_of
from outseam.curves.region import bounds, flatten
from outseam.draft.fabric import Fabric
from outseam.draft.inputs.show import Units
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece

WIDTH_MM = 178.0
#: The scales a picture may have, the largest first, and how tall it may get: so that it goes on
#: the first page, below the title block. Who sews in inches prints on letter paper.
SCALES = (5, 8, 10, 12, 15, 20, 25, 30, 40)
MOST_MM: dict[Units, float] = {"cm": 134.0, "mm": 134.0, "in": 118.0}

GAP_MM = 7.0
NAME_MM = 3.0
NOTE_MM = 2.6
CAPTION_MM = 9.5
BAR_MM = 9.0

CUT = Pen(width_mm=0.45)
SEW = Pen(width_mm=0.18, dash_mm=(1.2, 0.8))
FOLD = Pen(width_mm=0.25, dash_mm=(3.0, 0.9))
GRAIN = Pen(width_mm=0.3)
STRETCH = Pen(width_mm=0.3, dash_mm=(0.7, 0.7))
NOTCH = Pen(width_mm=0.45)

#: Pieces without a grain line lie as they are drawn.
_UPRIGHT: Vector = (0.0, 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnSize:
    """Extent of a piece across and along its grain, mm: as cut, and finished."""

    cut_mm: tuple[float, float]
    finished_mm: tuple[float, float]


def grain_of(piece: Piece) -> Path | None:
    """Return the grainline of a piece."""
    return next((x.path for x in piece.lines if x.kind == "grain"), None)


def _along(piece: Piece) -> Vector:
    grain = grain_of(piece)
    return _UPRIGHT if grain is None else grain.start_direction


def _extent(points: np.ndarray[tuple[int, ...], np.dtype[np.float64]], along: Vector) -> Point:
    """Return how far points reach across and along a direction."""
    run = points @ np.array([[along[1], along[0]], [-along[0], along[1]]])
    wide, high = np.ptp(run, axis=0)
    return float(wide), float(high)


def _longer(fold: Path, outline: shapely.Polygon) -> shapely.LineString:
    """Return a fold line that reaches a little beyond the outline at both ends.

    A fold that is drawn with a gap, or ends short of the outline, goes straight on to it.
    """
    p = flatten(fold)
    reach = [
        1.0 if outline.exterior.distance(shapely.Point(q)) < 0.5 else outline.length
        for q in (p[0], p[-1])
    ]
    first = p[0] - reach[0] * np.array(fold.start_direction)
    last = p[-1] + reach[1] * np.array(fold.end_direction)
    return shapely.LineString(np.concatenate([[first], p, [last]]))


def finished_part(piece: Piece) -> shapely.Polygon:
    """Return the largest part of a piece's sewing outline between its fold lines.

    What is turned in beyond a hem's fold does not count; a piece that is folded in half counts
    once.
    """
    whole = shapely.Polygon(flatten(join([e.path for e in piece.edges]))[:-1])
    parts = [whole]
    for fold in (x.path for x in piece.lines if x.kind == "fold"):
        cut = _longer(fold, whole)
        parts = [
            part
            for one in parts
            for part in split(one, cut).geoms
            if isinstance(part, shapely.Polygon)
        ]
    return max(parts, key=lambda one: float(one.area))


def size_of(drafted: Piece, printed: Piece) -> DrawnSize:
    """Return the finished size of a piece as drafted, and its size as cut, grown for shrinkage."""
    along = _along(drafted)
    outline = flatten(join(list(printed.cut)))
    finished = shapely.get_coordinates(finished_part(drafted).exterior)
    return DrawnSize(cut_mm=_extent(outline, along), finished_mm=_extent(finished, along))


@dataclass(slots=True)
class _Cell:
    """A piece with the words below it, as large as it is drawn."""

    number: int
    piece: Piece
    box: tuple[float, float, float, float]
    wide: float
    high: float


def _cells(pieces: Sequence[Piece], scale: int) -> list[_Cell]:
    found = []
    for number, piece in enumerate(pieces, start=1):
        box = bounds(join(list(piece.cut)))
        words = max(
            text_width_mm(f"{number}  {piece.title}", NAME_MM),
            text_width_mm(piece.cut_note, NOTE_MM),
        )
        found.append(
            _Cell(
                number=number,
                piece=piece,
                box=box,
                wide=max((box[2] - box[0]) / scale, words),
                high=(box[3] - box[1]) / scale + CAPTION_MM,
            )
        )
    return found


def _shelves(cells: Sequence[_Cell], wide: float) -> tuple[list[tuple[_Cell, float, float]], float]:
    """Place cells in rows, left to right and down, with the first row's spare room filled too.

    Returns (cell, x, distance of its top from the top) and the height of it all.
    """
    tallest = max(c.high for c in cells)
    placed: list[tuple[_Cell, float, float]] = []

    def fill(cells: Iterable[_Cell], left: float, top: float, low: float) -> list[_Cell]:
        """Place what has room from (left, top) down to `low`; return the rest."""
        x, deep, over = left, 0.0, []
        for cell in cells:
            if x > left and x + cell.wide > wide + 1e-6:
                x, top, deep = left, top + deep + GAP_MM, 0.0
            if x + cell.wide > wide + 1e-6 or top + cell.high > low + 1e-6:
                over.append(cell)
                continue
            placed.append((cell, x, top))
            x, deep = x + cell.wide + GAP_MM, max(deep, cell.high)
        return over

    def height() -> float:
        return max(top + cell.high for cell, _, top in placed)

    fill((c for c in cells if c.high > 0.6 * tallest), 0.0, 0.0, math.inf)
    # Beside the tall ones, rows as wide as what is left.
    last, x, top = placed[-1]
    rest = [c for c in cells if c.high <= 0.6 * tallest]
    over = fill(rest, x + last.wide + GAP_MM, top, height())
    fill(over, 0.0, height() + GAP_MM, math.inf)
    return placed, height()


def _arrow(tip: Point, along: Vector, *, filled: bool) -> Stroke:
    """Return an arrow head; filled for the grain, open for the stretch."""
    if filled:
        return Stroke(path=arrow_head(tip, along, 2.0, spread=0.32), pen=None, fill=0.0)
    return Stroke(path=arrow_head(tip, along, 1.6, spread=0.5, closed=False), pen=GRAIN)


def _both_ways(path: Path, pen: Pen, *, filled: bool) -> list[Stroke]:
    """Return a line with an arrow head at each end."""
    (sx, sy), (ex, ey) = path.start_direction, path.end_direction
    return [
        Stroke(path=path, pen=pen),
        _arrow(path.end, (ex, ey), filled=filled),
        _arrow(path.start, (-sx, -sy), filled=filled),
    ]


def stretch_line(piece: Piece) -> Path | None:
    """Return where to draw the stretch on a piece: across its grain, well inside, mm as cut."""
    grain = grain_of(piece)
    if grain is None:
        return None
    outline = shapely.Polygon(flatten(join(list(piece.cut)))[:-1])
    u = param_at_length(grain, 0.68 * length(grain))
    (x, y), (ux, uy) = point_at(grain, u), direction_at(grain, u)
    far = 2.0 * outline.length
    ray = shapely.LineString([(x - uy * far, y + ux * far), (x + uy * far, y - ux * far)])
    found = shapely.get_parts(outline.intersection(ray))
    lines = [g for g in found if isinstance(g, shapely.LineString) and g.length > 0.0]
    if not lines:
        return None
    best = max(lines, key=lambda g: float(g.length))
    a, b = (best.interpolate(share, normalized=True) for share in (0.14, 0.86))
    return line((a.x, a.y), (b.x, b.y))


def _draw(cell: _Cell, x: float, y: float, scale: int, *, stretches: bool) -> list[SceneItem]:
    """Return the items of one cell whose lower left corner is at (x, y)."""
    piece, s = cell.piece, 1.0 / scale
    width = (cell.box[2] - cell.box[0]) * s
    dx = x + (cell.wide - width) / 2.0 - cell.box[0] * s
    dy = y + CAPTION_MM - cell.box[1] * s

    def small(path: Path) -> Path:
        return path.mapped(s, 0.0, 0.0, s).moved(dx, dy)

    items: list[SceneItem] = [Stroke(path=small(join(list(piece.cut))), pen=CUT)]
    items += [Stroke(path=small(e.path), pen=SEW) for e in piece.edges if e.allowance_mm > 0.0]
    items += [Stroke(path=small(k.path), pen=FOLD) for k in piece.lines if k.kind == "fold"]
    for notch in piece.notches:
        edge = piece.edge(notch.edge)
        u = param_at_length(edge.path, min(max(notch.at_mm, 0.0), length(edge.path)))
        (px, py), (nx, ny) = point_at(edge.path, u), right_of(direction_at(edge.path, u))
        far = max(edge.allowance_mm, 8.0)
        items.append(Stroke(path=small(line((px, py), (px + nx * far, py + ny * far))), pen=NOTCH))
    grain = grain_of(piece)
    if grain is not None:
        items += _both_ways(small(grain), GRAIN, filled=True)
    across = stretch_line(piece) if stretches and not piece.any_grain else None
    if across is not None:
        items += _both_ways(small(across), STRETCH, filled=False)
    middle = x + cell.wide / 2.0
    for text, size, drop in (
        (f"{cell.number}  {piece.title}", NAME_MM, 4.0),
        (piece.cut_note, NOTE_MM, 7.6),
    ):
        at = (middle, y + CAPTION_MM - drop)
        items.append(Label(text=text, at=at, size_mm=size, anchor="middle"))
    return items


def bar_mm(units: Units, scale: int) -> tuple[float, str]:
    """Return the length of the scale bar on the fabric, mm, and as words."""
    if units == "in":
        count = 4 if scale <= 8 else 10 if scale <= 20 else 20
        return count * 25.4, f'{count}"'
    count = 10 if scale <= 8 else 20 if scale <= 20 else 50
    return count * 10.0, f"{count} cm" if units == "cm" else f"{count * 10} mm"


def shows_stretch(fabric: Fabric) -> bool:
    """Return whether the pieces show which way the fabric gives most: not along a border."""
    return fabric.stretch_across_ratio > 0.0 and not fabric.turned


def pieces_scene(pattern: Pattern, *, on_paper: bool = True) -> tuple[Scene, int]:
    """Return the picture of all pieces as they are cut, and n of its scale 1 : n.

    Shown in any size, not `on_paper`, it says nothing of the scale.
    """
    pieces = pieces_to_print(pattern)
    units = pattern.spec.units
    stretches = shows_stretch(pattern.spec.fabric)
    for scale in SCALES:
        cells = _cells(pieces, scale)
        if max(c.wide for c in cells) > WIDTH_MM:
            continue
        placed, high = _shelves(cells, WIDTH_MM)
        if high + BAR_MM <= MOST_MM[units]:
            break
    height = high + BAR_MM
    items: list[SceneItem] = []
    for cell, x, top in placed:
        items += _draw(cell, x, height - top - cell.high, scale, stretches=stretches)
    mm, told = bar_mm(units, scale)
    long = mm / scale
    y = 4.0
    ends = [line((x, y - 1.2), (x, y + 1.2)) for x in (0.4, 0.4 + long)]
    bar = [Stroke(path=p, pen=CUT) for p in (line((0.4, y), (0.4 + long, y)), *ends)]
    words = f"{told} on the fabric" + (f"; drawn at 1 : {scale}" if on_paper else "")
    says = Label(text=words, at=(0.4 + long + 2.5, y - 1.0), size_mm=NOTE_MM + 0.2)
    layers: dict[str, Iterable[SceneItem]] = {"pieces": items, "bar": (*bar, says)}
    return scene_of("What to cut", (WIDTH_MM, height), layers), scale
