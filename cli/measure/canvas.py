"""Pictures of bodies in the making: shapes, tapes and words, gathered to a scene.

Places are millimetres from the picture's upper left corner, y down, as one lays out a page; the
scene has y up, as every scene.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

import numpy as np

from outseam.cli.scene.scene import Anchor, Colour, Label, Layer, Pen, Scene, SceneItem, Stroke
from outseam.cli.scene.shapes import arrow_head, ellipse
from outseam.curves.path import Floats, Path, join, line, polyline
from outseam.curves.point import Point, Vector
from outseam.curves.tolerance import JOIN_MM

BLACK, PAPER, GREY = 0.1, 1.0, 0.45
SKIN, SHADE, CLOTH = (0.984, 0.969, 0.949), (0.922, 0.890, 0.855), (0.847, 0.816, 0.776)
#: The tape is dark enough to stand out as a dark grey on a black-and-white printer.
TAPE = (0.608, 0.106, 0.204)

LINE_MM, FINE_MM = 0.32, 0.2
WORD_MM = 2.65
DASH = (1.3, 0.9)


@dataclass(frozen=True, slots=True, kw_only=True)
class BodyFrame:
    """Where a body stands on the paper: its zero at (x_mm, floor_mm), `scale` mm for each cm."""

    x_mm: float
    floor_mm: float
    scale: float

    def on_paper(self, points_cm: Floats | Sequence[Point] | Point) -> Floats:
        """Return points of the body (..., 2) as points on the paper."""
        p = np.asarray(points_cm, dtype=np.float64)
        return p * (self.scale, -self.scale) + (self.x_mm, self.floor_mm)

    def path(self, path_cm: Path) -> Path:
        """Return a path of the body as a path on the paper."""
        k = self.scale
        return path_cm.mapped(k, 0.0, 0.0, -k, self.x_mm, self.floor_mm)


class Picture:
    """One picture under construction; `scene` gives it.

    What is added with a `part` goes into a layer of that name, so that readers of the scene can
    tell tapes from outlines.
    """

    def __init__(self, width_mm: float, height_mm: float, title: str) -> None:
        self._size = width_mm, height_mm
        self._title = title
        self._items: list[tuple[str, SceneItem]] = []

    def scene(self) -> Scene:
        """Return the picture; neighbours of the same part share a layer."""
        width, height = self._size
        return Scene(
            title=self._title,
            width_mm=width,
            height_mm=height,
            layers=tuple(
                Layer(name=part, items=tuple(item for _, item in group))
                for part, group in groupby(self._items, key=lambda entry: entry[0])
            ),
        )

    def _add(
        self,
        path: Path,
        *,
        fill: Colour | None = None,
        colour: Colour = BLACK,
        width_mm: float = LINE_MM,
        dash_mm: tuple[float, ...] = (),
        part: str = "figure",
    ) -> None:
        """Add a path to a part, filled, and drawn with a line; width 0: no line."""
        upright = path.mapped(1.0, 0.0, 0.0, -1.0, 0.0, self._size[1])
        pen = Pen(width_mm=width_mm, dash_mm=dash_mm, colour=colour) if width_mm else None
        self._items.append((part, Stroke(path=upright, pen=pen, fill=fill)))

    def shape(self, pieces: Iterable[Path], *, closed: bool = False, **look: Any) -> None:
        """Draw paths joined in order, gaps between them bridged straight; `look` as in `_add`."""
        self._add(_bridged(list(pieces), closed), **look)

    def line(self, points: Floats | Sequence[Point], *, closed: bool = False, **look: Any) -> None:
        """Draw straight lines through points (m, 2); `look` as in `_add`."""
        p = np.asarray(points, dtype=np.float64)
        self._add(polyline(np.concatenate([p, p[:1]]) if closed else p), **look)

    def ellipse(self, centre: Point, rx: float, ry: float, **look: Any) -> None:
        """Draw an ellipse; `look` as in `_add`."""
        self._add(ellipse(centre, rx, ry), **look)

    def text(
        self,
        at: Point,
        text: str,
        *,
        size_mm: float = WORD_MM,
        anchor: Anchor = "start",
        colour: Colour = BLACK,
        angle_deg: float = 0.0,
        leader: tuple[Point, Point] | None = None,
    ) -> None:
        """Write one line with its baseline at a point; the angle turns it counter-clockwise.

        A `leader` runs from its start to what the word names.
        """
        label = Label(
            text=text,
            at=(at[0], self._size[1] - at[1]),
            size_mm=size_mm,
            angle_deg=angle_deg,
            anchor=anchor,
            colour=colour,
        )
        self._items.append(("words", label))
        if leader is not None:
            self.leader(*leader)

    def arrow_head(
        self,
        tip: Point,
        toward: Vector,
        *,
        colour: Colour = TAPE,
        size_mm: float = 2.3,
        part: str = "figure",
    ) -> None:
        """Draw an arrow head whose tip is at `tip`, pointing along a direction."""
        self._add(arrow_head(tip, toward, size_mm), width_mm=0, fill=colour, part=part)

    def tape(
        self, points: Floats, *, width_mm: float = 1.7, arrows: bool = False, part: str = "tape"
    ) -> None:
        """Draw a measuring tape along points (m, 2): a dark ribbon with fine marks across it.

        With `arrows` both ends are arrow heads whose tips are the end points.
        """
        p = np.asarray(points, dtype=np.float64)
        if arrows:
            head = width_mm * 1.9
            for end, inward in ((p[0], _point_at(p, head)), (p[-1], _point_at(p[::-1], head))):
                self.arrow_head(_pair(end), _pair(end - inward), size_mm=head, part=part)
            p = _shortened(p, head * 0.9)
        normal = _normals(p) * (width_mm / 2)
        ribbon = np.concatenate([p + normal, (p - normal)[::-1]])
        self.line(ribbon, fill=TAPE, width_mm=0, closed=True, part=part)
        along = np.arange(2.0, _lengths(p)[-1] - 1.0, 2.0)
        at = [_point_at(p, float(a)) for a in along]
        self._marks(at, [_normal_at(p, float(a)) * (width_mm / 2) for a in along])

    def band(
        self,
        middle: Floats,
        half: Floats,
        *,
        marks: int = 0,
        fill: Colour = TAPE,
        colour: Colour = TAPE,
        line_mm: float = 0.0,
        part: str = "tape",
    ) -> None:
        """Draw a flat band laid round a body: its middle line (m, 2) and half its width, a vector.

        `marks` fine marks divide it evenly over the points, so they crowd where it turns away.
        """
        ring = np.concatenate([middle - half, (middle + half)[::-1]])
        self.line(ring, fill=fill, colour=colour, width_mm=line_mm, closed=True, part=part)
        if marks:
            at = [middle[round(k * (len(middle) - 1) / marks)] for k in range(1, marks)]
            self._marks(at, [half] * len(at))

    def _marks(self, at: Sequence[Floats], half: Sequence[Floats]) -> None:
        """Scratch the marks of a tape across it: every fifth all the way."""
        for k, (p, h) in enumerate(zip(at, half, strict=True), start=1):
            far = p + h * (1.0 if k % 5 == 0 else -0.1)
            self.line([_pair(p - h), _pair(far)], colour=PAPER, width_mm=0.14)

    def leader(self, start: Point, end: Point) -> None:
        """Draw a fine line from a word to what it names, with a small arrow head at the end."""
        self.line([start, end], width_mm=FINE_MM)
        toward = (end[0] - start[0], end[1] - start[1])
        self.arrow_head(end, toward, colour=BLACK, size_mm=1.5)


def _bridged(pieces: Sequence[Path], closed: bool) -> Path:
    """Return the pieces as one path, with straight bridges where they do not meet."""
    chain = [pieces[0]]
    for piece in (*pieces[1:], *pieces[: int(closed)]):
        if math.dist(chain[-1].end, piece.start) > JOIN_MM:
            chain.append(line(chain[-1].end, piece.start))
        chain.append(piece)
    return join(chain[:-1] if closed else chain)


def _pair(p: Floats) -> Point:
    return float(p[0]), float(p[1])


def _lengths(p: Floats) -> Floats:
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(p, axis=0).T))])


def _point_at(p: Floats, at: float) -> Floats:
    s = _lengths(p)
    return np.array([np.interp(at, s, p[:, 0]), np.interp(at, s, p[:, 1])])


def _normals(p: Floats) -> Floats:
    t = np.gradient(p, axis=0)
    t /= np.hypot(t[:, :1], t[:, 1:])
    return np.stack([-t[:, 1], t[:, 0]], axis=1)


def _normal_at(p: Floats, at: float) -> Floats:
    s, n = _lengths(p), _normals(p)
    return np.array([np.interp(at, s, n[:, 0]), np.interp(at, s, n[:, 1])])


def _shortened(p: Floats, by: float) -> Floats:
    s = _lengths(p)
    inner = p[(s > by) & (s < s[-1] - by)]
    return np.concatenate([[_point_at(p, by)], inner, [_point_at(p, float(s[-1]) - by)]])
