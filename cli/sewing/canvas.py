"""What pictures of the sewing order are made with: cloth, stitches, notches and words.

Millimetres on paper, y up. Pieces are drawn from the pattern's own lines. The wrong side of the
fabric is grey, the right side white; what is sewn now is a heavy dashed line.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeAlias

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from outseam.cli.scene.compose import moved
from outseam.cli.scene.extent import label_corners
from outseam.cli.scene.scene import Anchor, Label, Pen, Scene, SceneItem, Stroke, scene_of
from outseam.cli.scene.shapes import arrow_head, rectangle
from outseam.curves.path import Floats, Path, join, polyline
from outseam.curves.point import Point
from outseam.curves.region import flatten
from outseam.draft.model import Pattern
from outseam.draft.piece.divided_edge import edge_parts
from outseam.draft.piece.piece import NotchRole, Piece
from outseam.draft.piece.ruler import chords

#: Pictures are so wide, and at most so high.
WIDE_MM, HIGH_MM = 62.0, 43.0
WORD_MM = 2.45

EDGE = Pen(width_mm=0.3)
SEWN = Pen(width_mm=0.75, dash_mm=(1.9, 0.9))
DONE = Pen(width_mm=0.22, dash_mm=(1.0, 0.7))
FOLD = Pen(width_mm=0.25, dash_mm=(2.8, 0.9))
FINE = Pen(width_mm=0.18)
NOTCH = Pen(width_mm=0.55)

RIGHT, WRONG, LINING, ELASTIC = 1.0, 0.83, 0.92, 0.6

#: Pieces are flattened this finely, on the fabric: at a twentieth no corner is seen.
_FLAT_MM = 0.8
_TICK_MM, _TICK_GAP_MM = 1.9, 1.3
#: Pockets are shown on the leg down to this far below the crotch line.
_SHOWN_MM = -150.0
#: Free above and below a picture.
_RIM_MM = 0.8


@dataclass(frozen=True, slots=True, kw_only=True)
class ClothView:
    """How the fabric's millimetres come to lie on the paper: turned, mirrored, scaled, moved."""

    scale: float
    dx: float = 0.0
    dy: float = 0.0
    turn_deg: float = 0.0
    mirrored: bool = False

    def __call__(self, points: Floats | Sequence[Point]) -> Floats:
        """Return points (n, 2) of the fabric as points on the paper."""
        p = np.array(points, dtype=np.float64).reshape(-1, 2)
        if self.mirrored:
            p[:, 0] *= -1.0
        c, s = math.cos(math.radians(self.turn_deg)), math.sin(math.radians(self.turn_deg))
        out: Floats = p @ np.array([[c, s], [-s, c]]) * self.scale + (self.dx, self.dy)
        return out

    def at(self, x: float, y: float, *, right: float = 0.0, up: float = 0.0) -> Floats:
        """Return a point of the fabric on the paper, or one beside it there."""
        out: Floats = self([(x, y)])[0] + np.array((right, up))
        return out


#: Where drawings keep to: x from and to, y from and to.
DrawingBox = tuple[float, float, float, float]
WHOLE: DrawingBox = (2.0, WIDE_MM - 2.0, 2.0, HIGH_MM - 2.0)


def fitted(
    shapes: Iterable[Floats],
    box: DrawingBox = WHOLE,
    *,
    turn_deg: float = 0.0,
    mirrored: bool = False,
) -> ClothView:
    """Return the view that fits shapes (n, 2) of the fabric into the middle of a box."""
    plain = ClothView(scale=1.0, turn_deg=turn_deg, mirrored=mirrored)
    p = np.concatenate([plain(s) for s in shapes])
    low, high = p.min(axis=0), p.max(axis=0)
    wide, tall = high - low
    x0, x1, y0, y1 = box
    scale = min((x1 - x0) / max(wide, 1e-9), (y1 - y0) / max(tall, 1e-9))
    middle = (low + high) / 2.0 * scale
    return ClothView(
        scale=scale,
        dx=(x0 + x1) / 2.0 - float(middle[0]),
        dy=(y0 + y1) / 2.0 - float(middle[1]),
        turn_deg=turn_deg,
        mirrored=mirrored,
    )


def moved_onto(points: Floats, line: Floats, target: Floats) -> Floats:
    """Return points moved rigidly so that `line` (n, 2) has its ends along those of `target`."""
    a, b = line[-1] - line[0], target[-1] - target[0]
    turn = math.atan2(b[1], b[0]) - math.atan2(a[1], a[0])
    c, s = math.cos(turn), math.sin(turn)
    out: Floats = (points - line[0]) @ np.array([[c, s], [-s, c]]) + target[0]
    return out


def shifted(points: Floats, dx: float, dy: float) -> Floats:
    """Return points moved."""
    out: Floats = points + np.array((dx, dy))
    return out


def flipped(points: Floats) -> Floats:
    """Return points mirrored in the upright axis."""
    out: Floats = points * np.array((-1.0, 1.0))
    return out


# --- shapes of the pattern, on the fabric ---------------------------------------------------------


def cut_of(piece: Piece) -> Floats:
    """Return the cutting line of a piece, closed (n, 2)."""
    return flatten(join(list(piece.cut)), _FLAT_MM)


def leg_of(pattern: Pattern, name: str) -> Floats:
    """Return the cutting line of a leg with its pocket facing in place, closed (n, 2)."""
    piece = pattern.piece(name)
    parts = [p for p in pattern.pieces if name in (p.name, p.completes)]
    if len(parts) == 1:
        return cut_of(piece)
    whole = shapely.union_all([area_of(cut_of(p)) for p in parts])
    return ring_of(whole)


def area_of(shape: Floats) -> BaseGeometry:
    """Return a closed shape as an area, put right where flattening made its line touch itself."""
    return shapely.make_valid(shapely.Polygon(shape))


def ring_of(area: BaseGeometry) -> Floats:
    """Return the outline of the largest part of an area, closed (n, 2)."""
    parts = shapely.get_parts(shapely.get_parts(area))
    best = max((g for g in parts if isinstance(g, shapely.Polygon)), key=lambda g: float(g.area))
    return np.asarray(shapely.get_coordinates(best.exterior))


def edge_of(pattern: Pattern, name: str, edge: str) -> Floats:
    """Return an edge of a leg, all its parts on end, as a line (n, 2)."""
    return np.concatenate([chords(p)[0] for p in edge_parts(pattern, name, edge)])


def line_of(path: Path) -> Floats:
    """Return a path as a line (n, 2)."""
    return flatten(path, _FLAT_MM)


def above(shape: Floats, y: float) -> Floats:
    """Return the part of a closed shape above a height."""
    return _within(shape, shapely.box(-5000.0, y, 5000.0, 5000.0))


def below(shape: Floats, y: float) -> Floats:
    """Return the part of a closed shape below a height."""
    return _within(shape, shapely.box(-5000.0, -5000.0, 5000.0, y))


def beside(shape: Floats, x: float, *, left: bool) -> Floats:
    """Return the part of a closed shape left or right of an upright line."""
    ends = (-5000.0, x) if left else (x, 5000.0)
    return _within(shape, shapely.box(ends[0], -5000.0, ends[1], 5000.0))


def _within(shape: Floats, box: shapely.Polygon) -> Floats:
    return ring_of(area_of(shape).intersection(box))


def line_within(line: Floats, low: float, high: float = 5000.0) -> Floats:
    """Return the part of a line between two heights."""
    box = shapely.box(-5000.0, low, 5000.0, high)
    return np.asarray(shapely.get_coordinates(shapely.LineString(line).intersection(box)))


def piece_line(piece: Piece, edge: str) -> Floats:
    """Return an edge of a piece as a line (n, 2)."""
    return chords(piece.edge(edge).path)[0]


def torso(pattern: Pattern, low: float) -> float:
    """Return down to where a leg is shown so that a pocket ending at `low` is seen whole."""
    return max(min(low - 50.0, _SHOWN_MM), pattern.block.front.hem_y + 10.0)


def laid(pattern: Pattern, seam: str) -> tuple[Floats, Floats]:
    """Return the back's outline, and the front's laid on it along a seam."""
    target, line = edge_of(pattern, "back", seam), edge_of(pattern, "front", seam)
    return leg_of(pattern, "back"), moved_onto(leg_of(pattern, "front"), line, target)


def middle_of(shape: Floats) -> Point:
    """Return the middle of a shape's extent."""
    return _pt((shape.min(axis=0) + shape.max(axis=0)) / 2.0)


def cut_line(line: Floats, at_mm: float) -> tuple[Floats, Floats]:
    """Return a line in two parts, up to a distance along it and from there on."""
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
    at = np.array([[np.interp(at_mm, run, line[:, k]) for k in (0, 1)]])
    return np.concatenate([line[run < at_mm], at]), np.concatenate([at, line[run > at_mm]])


def half_ring(x: float, y: float, rx: float, ry: float, count: int = 60) -> Floats:
    """Return half an ellipse: the upper one from right to left, mirrored where a radius is < 0."""
    t = np.linspace(0.0, math.pi, count)
    return np.stack([x + rx * np.cos(t), y + ry * np.sin(t)], axis=1)


def mirrored_in(points: Floats, a: Floats, b: Floats) -> Floats:
    """Return points mirrored in the line through two points."""
    u = (b - a) / np.hypot(*(b - a))
    off = points - a
    out: Floats = a + 2.0 * np.outer(off @ u, u) - off
    return out


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """A notch on the fabric: where, which way is out, and how many ticks."""

    at: Point
    out: Point
    count: int
    role: NotchRole

    def about(self, origin: Point | Floats, flip: float) -> Tick:
        """Return the notch with another origin, mirrored in the upright axis where `flip` is -1."""
        at = ((self.at[0] - origin[0]) * flip, self.at[1] - origin[1])
        return replace(self, at=at, out=(self.out[0] * flip, self.out[1]))


def ticks_of(piece: Piece, edges: Sequence[str] = ()) -> tuple[Tick, ...]:
    """Return the notches of a piece, on the named edges or on all."""
    found = []
    for n in piece.notches:
        if edges and n.edge not in edges:
            continue
        p, run = chords(piece.edge(n.edge).path)
        i = int(np.clip(np.searchsorted(run, n.at_mm), 1, len(run) - 1))
        t = (n.at_mm - run[i - 1]) / max(run[i] - run[i - 1], 1e-9)
        x, y = p[i - 1] + (p[i] - p[i - 1]) * t
        ux, uy = (p[i] - p[i - 1]) / np.hypot(*(p[i] - p[i - 1]))
        out = (float(uy), float(-ux))
        found.append(Tick(at=(float(x), float(y)), out=out, count=n.count, role=n.role))
    return tuple(found)


# --- the picture ----------------------------------------------------------------------------------


@dataclass(slots=True)
class StepPicture:
    """One picture in the making; `scene` gives it."""

    title: str
    cloth: list[SceneItem] = field(default_factory=list)
    words: list[SceneItem] = field(default_factory=list)

    def shape(self, points: Floats, grey: float | None = RIGHT, pen: Pen | None = EDGE) -> None:
        """Draw a closed shape (n, 2)."""
        p = np.asarray(points)
        closed = p if np.allclose(p[0], p[-1]) else np.concatenate([p, p[:1]])
        self.cloth.append(Stroke(path=polyline(_apart(closed)), pen=pen, fill=grey))

    def line(self, points: Floats | Sequence[Point | Floats], pen: Pen) -> None:
        """Draw a line through points (n, 2)."""
        p = _apart(np.array(points, dtype=np.float64))
        if len(p) > 1:
            self.cloth.append(Stroke(path=polyline(p), pen=pen))

    def box(self, x0: float, y0: float, x1: float, y1: float, grey: float | None) -> None:
        """Draw a rectangle."""
        self.cloth.append(Stroke(path=rectangle(x0, y0, x1, y1), pen=EDGE, fill=grey))

    def ticks(self, ticks: Iterable[Tick], view: ClothView) -> None:
        """Draw notches from their edge outward."""
        for tick in ticks:
            at, far = view([tick.at, (tick.at[0] + tick.out[0], tick.at[1] + tick.out[1])])
            out = (far - at) / np.hypot(*(far - at))
            along = np.array((-out[1], out[0]))
            for i in range(tick.count):
                foot = at + along * (i - (tick.count - 1) / 2.0) * _TICK_GAP_MM
                self.line([_pt(foot), _pt(foot + out * _TICK_MM)], NOTCH)

    def word(
        self,
        text: str,
        at: Point | Floats,
        *,
        anchor: Anchor = "middle",
        angle_deg: float = 0.0,
        to: Point | Floats | None = None,
    ) -> None:
        """Write a word, its baseline at a point, with a fine line to what it names."""
        if to is not None:
            x = at[0] + {"start": -0.6, "middle": 0.0, "end": 0.6}[anchor]
            y = at[1] + (0.9 if anchor != "middle" else (-0.7 if to[1] < at[1] else 2.6))
            self.words.append(Stroke(path=polyline([(float(x), float(y)), _pt(to)]), pen=FINE))
        self.words.append(
            Label(text=text, at=_pt(at), size_mm=WORD_MM, anchor=anchor, angle_deg=angle_deg)
        )

    def note(self, text: str, y: float, to: Point | Floats, *, x: float = 46.0) -> None:
        """Write a word right of the drawing, with a fine line to what it names."""
        self.word(text, (x, y), anchor="start", to=to)

    def name(self, text: str, shape: Floats) -> None:
        """Write a word in the middle of a shape."""
        x, y = middle_of(shape)
        self.word(text, (x, y - 0.8))

    def arrow(self, points: Sequence[Point]) -> None:
        """Draw an arrow along points, its head at the last."""
        p = np.array(points, dtype=np.float64)
        self.line(p, EDGE)
        head = arrow_head(_pt(p[-1]), _pt(p[-1] - p[-2]), 2.0, spread=0.35)
        self.cloth.append(Stroke(path=head, pen=None, fill=0.0))

    def bow(self, start: Point, end: Point, bulge_mm: float) -> None:
        """Draw a bent arrow; a positive bulge bends it to the left of its way."""
        a, b = np.array(start), np.array(end)
        run = b - a
        side = np.array((-run[1], run[0])) / np.hypot(*run)
        t = np.linspace(0.0, 1.0, 17)[:, None]
        p = a + run * t + side * bulge_mm * 4.0 * t * (1.0 - t)
        self.arrow([_pt(q) for q in p])

    def crop(self, view: ClothView, shape: Floats, x: float) -> None:
        """Whiten the upright edge at `x`, where a shape was cut off only for the picture."""
        near = shape[np.abs(shape[:, 0] - x) < 0.5]
        if len(near) > 1:
            y0, y1 = float(near[:, 1].min()), float(near[:, 1].max())
            self.line(view([(x, y0), (x, y1)]), Pen(width_mm=0.6, colour=1.0))

    def scene(self) -> Scene:
        """Return the picture, as high as what is on it."""
        low, high = _extent((*self.cloth, *self.words))
        down = low - _RIM_MM
        layers = {"cloth": self.cloth, "words": self.words}
        return scene_of(
            self.title,
            (WIDE_MM, high - low + 2.0 * _RIM_MM),
            {name: moved(items, 0.0, -down) for name, items in layers.items()},
        )


#: Pictures by name, each a function of a pattern.
Drawings: TypeAlias = Mapping[str, Callable[[Pattern], Scene]]


def by_name(*drawings: Callable[[Pattern], Scene]) -> Drawings:
    """Return pictures by the names of their functions: `cut_single` draws "cut-single"."""
    return {draw.__name__.replace("_", "-"): draw for draw in drawings}


def _extent(items: Iterable[SceneItem]) -> tuple[float, float]:
    """Return how far items reach down and up."""
    found = [
        label_corners(k)[:, 1] if isinstance(k, Label) else k.path.cubics[..., 1].ravel()
        for k in items
    ]
    y = np.concatenate(found)
    return float(y.min()), float(y.max())


def _pt(p: Point | Floats) -> Point:
    return float(p[0]), float(p[1])


def _apart(p: Floats) -> Floats:
    """Return points without those that fall on their forerunner."""
    keep = np.concatenate([[True], np.hypot(*np.diff(p, axis=0).T) > 1e-3])
    out: Floats = p[keep]
    return out
