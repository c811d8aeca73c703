"""The figure of `body_figure` put on paper: outline, tone and briefs, and the tapes laid on it.

Every picture looks at the body a little from above: a level ring sags in front by `SAG` of its
breadth, and where the picture ends the body is cut level, like a dress form.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from outseam.cli.measure import body_figure as figure
from outseam.cli.measure.body_figure import LEVEL_CM, BodyView, Contour, Points, through
from outseam.cli.measure.canvas import (
    BLACK,
    CLOTH,
    DASH,
    FINE_MM,
    GREY,
    PAPER,
    SHADE,
    SKIN,
    TAPE,
    BodyFrame,
    Picture,
)
from outseam.curves.path import Floats, Path, cubic
from outseam.curves.point import Point

SAG = 0.075
GIRTH_MM = 1.8
"""Breadth of a tape laid round the body, on paper."""

_BRIEFS_TOP_CM, _BRIEFS_SIDE_CM, _BRIEFS_LOW_CM = 91.0, 84.0, 76.6
_LIGHT_CM = 6.0
"""Under this level a foot has no tone."""

_FRONT_LINES: tuple[Points, ...] = (
    ((6.0, 46.6), (5.5, 44.6), (6.2, 42.4), (7.4, 41.4)),
    ((11.4, 46.8), (11.9, 44.8), (11.2, 42.5), (10.2, 41.6)),
    ((8.2, 37.8), (8.7, 35.4), (8.6, 32.5)),
    ((8.75, 0.1), (8.95, 1.3), (8.6, 2.3), (7.4, 2.6)),
    ((10.5, 0.1), (10.65, 0.9), (10.3, 1.7)),
    ((11.9, 0.1), (12.05, 0.8), (11.8, 1.5)),
    ((13.2, 0.1), (13.3, 0.7), (13.1, 1.3)),
)
_NAVEL: tuple[Points, ...] = (
    ((0.0, 96.7), (0.22, 95.9), (0.0, 95.2)),
    ((-0.55, 96.3), (0.0, 96.8), (0.55, 96.3)),
)
_BACK_LINES: tuple[Points, ...] = (
    ((4.6, 45.6), (7.6, 44.7), (11.4, 45.4)),
    ((8.7, 31.0), (9.1, 26.5), (8.7, 22.0)),
    ((7.5, 13.5), (7.9, 9.5), (7.3, 6.0)),
    ((10.6, 13.5), (10.2, 9.5), (10.8, 6.0)),
)
_SPINE: tuple[Points, ...] = (
    ((0.0, 110.0), (0.12, 107.0), (0.0, 103.4)),
    ((0.0, 98.0), (0.1, 96.0), (0.0, 93.5)),
)
_SIDE_LINES: tuple[Points, ...] = (
    ((6.6, 47.2), (5.9, 45.2), (6.3, 43.0)),
    ((-0.9, 8.9), (0.3, 8.5), (0.5, 7.2)),
    ((12.7, 0.4), (13.3, 1.5), (14.7, 1.7)),
)
_SEATED_LINES: tuple[Points, ...] = (
    ((41.5, 11.0), (43.8, 9.8), (44.9, 7.0)),
    ((33.9, -33.8), (35.3, -33.9), (35.9, -35.2)),
    ((50.8, -41.2), (51.5, -40.2), (52.8, -40.1)),
)


def tilted_ring(p: Point, q: Point, *, far: bool = False) -> Floats:
    """Return the near half (or far half) of a ring seen edge on from `p` to `q`, cm, 49 points.

    The near half bulges to the right of the way from `p` to `q`.
    """
    t = np.linspace(0.0, math.pi, 49)[:, None]
    a, b = np.array(p), np.array(q)
    across = np.array([b[1] - a[1], a[0] - b[0]]) * (-SAG if far else SAG)
    return np.asarray((a + b) / 2 - (b - a) / 2 * np.cos(t) + across * np.sin(t))


def ring(view: BodyView, level_cm: float, *, far: bool = False) -> Floats:
    """Return half of the level ring round the body, or the right leg, at a level, cm."""
    left, right = view.edges(level_cm)
    return tilted_ring((left, level_cm), (right, level_cm), far=far)


def nearest(view: BodyView, level_cm: float) -> Point:
    """Return the middle of the near half of a level ring: where a tape from it starts, cm."""
    x, y = ring(view, level_cm)[24]
    return float(x), float(y)


def outline_mm(f: BodyFrame) -> float:
    """Return the breadth of an outline: finer where the figure is small."""
    return min(0.45, 0.22 + 0.23 * f.scale)


def on_side(path: Path, sign: int) -> Path:
    """Return a path of the right half of the body (1), or its mirror image on the left (-1)."""
    return path if sign == 1 else path.mapped(-1.0, 0.0, 0.0, 1.0)


def other_side(pieces: Sequence[Path]) -> list[Path]:
    """Return the way back on the other half of a symmetric body."""
    return [on_side(p, -1).reversed() for p in reversed(pieces)]


def _arc(points: Floats) -> Path:
    return through(points[::4])


@dataclass(frozen=True, slots=True)
class _Figure:
    """A part of the body on its way to the picture: from a level `top` down to `bottom`, cm.

    `bottom` 0 is the floor.
    """

    pic: Picture
    frame: BodyFrame
    view: BodyView
    top: float
    bottom: float

    @property
    def has_trunk(self) -> bool:
        """Whether both halves of a symmetric view are seen as one body."""
        return self.view.symmetric and self.top >= LEVEL_CM["crotch"]

    def edges(self) -> list[Path]:
        """Return the outlines of the right half (or the whole side): falling, then rising."""
        c = self.view.contour
        start = c.parameter_at(self.top)
        end = len(c.path) if self.has_trunk else c.parameter_at(self.top, last=True)
        if self.bottom <= 0.0:
            return [c.part(start, end)]
        down = c.part(start, c.parameter_at(self.bottom))
        if self.view.symmetric and self.bottom >= LEVEL_CM["crotch"]:
            return [down]
        return [down, c.part(c.parameter_at(self.bottom, last=True), end)]

    def outlines(self, edges: Sequence[Path], signs: Sequence[int]) -> list[list[Path]]:
        """Return what is filled: the whole body, or one outline for each leg."""
        limb = list(edges)
        if self.bottom > 0.0:
            limb.insert(1, _arc(ring(self.view, self.bottom)[::-1]))
        if not self.has_trunk:
            return [[on_side(p, sign) for p in limb] for sign in signs]
        rest = edges[:1] if self.bottom >= LEVEL_CM["crotch"] else limb
        return [[*limb, *other_side(rest)]]

    def shape(self, pieces: Iterable[Path], **look: Any) -> None:
        """Draw paths of the body, joined in order."""
        self.pic.shape([self.frame.path(p) for p in pieces], **look)

    def tone(self, sign: int) -> None:
        """Tone the left of trunk and legs: the light comes from the right."""
        view, top, bottom = self.view, self.top, self.bottom
        crotch, low = LEVEL_CM["crotch"], max(bottom, _LIGHT_CM)
        inner = view.symmetric and sign == 1
        begin = min(top, crotch) if inner else top
        rows = []
        for level in np.linspace(begin, low, 90) if begin > low else ():
            y = float(level)
            left, right = view.edges(y)
            breadth = (right - left) * (0.5 if view.symmetric and y > crotch else 1.0)
            width = 0.24 * breadth * (_ease((y - low) / 26.0) if bottom <= 0 else 1.0)
            if inner and top > crotch:
                width *= _ease((crotch - y) / 26.0)
            rows.append((-right if view.symmetric and sign == -1 else left, width, y))
        if rows:
            _strip(self.pic, self.frame, rows)

    def cut(self, sign: int) -> None:
        """Draw the level cut at the top, like that of a dress form."""
        left, right = self.view.edges(self.top)
        x, y = self.frame.on_paper(((left + right) / 2 * sign, self.top))
        half = (right - left) / 2 * self.frame.scale
        self.pic.ellipse(
            (float(x), float(y)), half, half * 2 * SAG, fill=PAPER, colour=GREY, width_mm=FINE_MM
        )

    def details(self, lines: Sequence[Points], sign: int) -> None:
        """Draw those of the fine lines on the body that lie between top and bottom."""
        for line in lines:
            ys = [y for _, y in line]
            if max(ys) < self.top - 2.5 and (self.bottom <= 0 or min(ys) > self.bottom - 0.5):
                p = through([(x + self.view.out_cm(y), y) for x, y in line])
                self.shape([on_side(p, sign)], width_mm=FINE_MM)

    def clothe(self, pieces: Sequence[Path], hems: Sequence[Path]) -> None:
        """Draw a piece of clothing and its hems."""
        self.shape(pieces, fill=CLOTH, width_mm=0, closed=True)
        for hem in hems:
            self.shape([hem], width_mm=FINE_MM)


def draw_body(
    pic: Picture,
    f: BodyFrame,
    view: BodyView,
    top: float,
    bottom: float,
    *,
    back: bool = False,
    legs: Sequence[int] = (1, -1),
) -> None:
    """Draw the figure between two levels, bottom 0 for the floor.

    `back` chooses the lines of the back view; `legs` (1 right, -1 left) those to draw of a
    picture that starts under the crotch.
    """
    body = _Figure(pic, f, view, top, bottom)
    signs = (1, -1) if body.has_trunk else tuple(legs) if view.symmetric else (1,)
    edges = body.edges()
    for pieces in body.outlines(edges, signs):
        body.shape(pieces, fill=SKIN, width_mm=0, closed=True)
    for sign in signs:
        body.tone(sign)
    if top > _BRIEFS_TOP_CM and bottom < _BRIEFS_LOW_CM:
        if view.symmetric:
            _briefs(body, back)
        else:
            _side_briefs(body)
    for sign in signs:
        for p in edges:
            body.shape([on_side(p, sign)], width_mm=outline_mm(f), part="outline")
    for sign in signs[:1] if body.has_trunk else signs:
        body.cut(sign)
    if bottom > 0.0:
        for sign in signs[:1] if bottom >= LEVEL_CM["crotch"] else signs:
            end = f.on_paper(ring(view, bottom) * (sign, 1.0))
            pic.line(end, colour=GREY, width_mm=FINE_MM)
    for sign in signs:
        body.details(
            (_BACK_LINES if back else _FRONT_LINES) if view.symmetric else _SIDE_LINES, sign
        )
    if view.symmetric:
        body.details(_SPINE if back else _NAVEL, 1)


def _ease(t: float) -> float:
    """Rise smoothly from 0 at t = 0, quickly at first, to 1 at t = 1."""
    return 1.0 - (1.0 - min(1.0, max(0.0, t))) ** 2


def _strip(pic: Picture, f: BodyFrame, rows: Sequence[tuple[float, float, float]]) -> None:
    """Tone a strip given by rows of left edge, breadth and level, cm."""
    near = [(x, y) for x, _, y in rows]
    far = [(x + w, y) for x, w, y in reversed(rows)]
    pic.line(f.on_paper(near + far), fill=SHADE, width_mm=0, closed=True)


def _briefs(body: _Figure, back: bool) -> None:
    c = body.view.contour
    down = c.between(_BRIEFS_TOP_CM, 79.5 if back else _BRIEFS_SIDE_CM)
    inside = c.part(c.parameter_at(_BRIEFS_LOW_CM, last=True), len(c.path))
    lean = ((12.5, 74.4), (5.5, 74.2)) if back else ((10.5, 83.2), (4.5, 79.8))
    leg = cubic(down.end, *lean, inside.start)
    band = _arc(ring(body.view, _BRIEFS_TOP_CM))
    right = [down, leg, inside]
    hems = [leg, on_side(leg, -1), band]
    if back:
        hems.append(through(((0.0, 78.3), (0.22, 82.0), (0.0, 86.0))))
    body.clothe([*right, *other_side(right), band], hems)


def _side_briefs(body: _Figure, *, contour: Contour | None = None) -> None:
    c = contour or body.view.contour
    ahead, behind = c.between(_BRIEFS_TOP_CM, 80.2), c.back_between(75.6, _BRIEFS_TOP_CM)
    leg = cubic(ahead.end, (6.0, 83.2), (-3.0, 78.2), behind.start)
    over = _arc(tilted_ring(behind.end, ahead.start))
    body.clothe([ahead, leg, behind, over], [leg, over])


def draw_whole(pic: Picture, f: BodyFrame) -> None:
    """Draw the whole person from the side, in a vest and briefs."""
    c = figure.whole().contour
    body = _Figure(pic, f, figure.side(), 112.9, 0.0)
    body.shape([c.path], fill=SKIN, width_mm=0, closed=True)
    body.tone(1)
    ahead, behind = c.between(129.0, 109.0), c.back_between(109.0, 131.0)
    over = through((behind.end, (-3.4, 134.2), (1.0, 132.6), ahead.start))
    hem = _arc(tilted_ring(behind.start, ahead.end)).reversed()
    body.clothe([ahead, hem, behind, over], [hem, over])
    _side_briefs(body, contour=c)
    body.shape([c.path], width_mm=outline_mm(f), closed=True, part="outline")
    body.shape([through(figure.HAIR, closed=True)], fill=GREY, width_mm=0.25, closed=True)
    ear = ((1.4, 151.0), (2.8, 152.4), (3.9, 151.0), (2.9, 148.4), (2.0, 147.8))
    body.shape([through(ear, closed=True)], fill=SKIN, width_mm=FINE_MM, closed=True)
    for line in (((8.9, 152.6), (9.6, 152.9), (10.2, 152.6)), ((10.2, 144.6), (11.2, 144.8))):
        body.shape([through(line)], width_mm=FINE_MM)
    arm = through(figure.ARM)
    body.shape([arm], fill=SKIN, width_mm=0, closed=True)
    body.shape([arm], width_mm=outline_mm(f) - 0.05)


def draw_seated(pic: Picture, f: BodyFrame) -> None:
    """Draw the seated figure and the elastic round its waist; y up from the seat."""
    view = figure.seated()
    c = view.contour
    body = _Figure(pic, f, view, 37.95, 0.0)
    body.shape([c.path], fill=SKIN, width_mm=0, closed=True)
    levels = [float(y) for y in np.linspace(37.9, 0.7, 60)]
    _strip(pic, f, [(c.x_at(y, last=True), 4.2 * _ease(y / 9), y) for y in levels])
    ahead, behind = c.between(20.0, 16.0), c.back_between(0.6, 20.0)
    leg = cubic(ahead.end, (8.0, 13.0), (-1.0, 6.0), behind.start)
    over = _arc(tilted_ring(behind.end, ahead.start))
    body.clothe([ahead, leg, behind, over], [leg, over])
    body.shape([c.path], width_mm=outline_mm(f), part="outline")
    body.cut(1)
    for line in _SEATED_LINES:
        body.shape([through(line)], width_mm=FINE_MM)
    elastic(pic, f, view, figure.SEATED_WAIST_CM)


def girth(
    pic: Picture,
    f: BodyFrame,
    view: BodyView,
    key: str,
    *,
    sign: int = 1,
    width_mm: float = GIRTH_MM,
) -> None:
    """Lay the tape round the body at a level of the figure: dark in front, dashed behind."""
    near, far = (ring(view, LEVEL_CM[key], far=far) * (sign, 1.0) for far in (False, True))
    pic.line(f.on_paper(far), colour=TAPE, width_mm=0.3, dash_mm=DASH)
    marks = max(6, round(abs(near[-1, 0] - near[0, 0]) * 0.7))
    pic.band(f.on_paper(near), np.array([0.0, width_mm / 2]), marks=marks, part=f"tape {key}")


def level_line(pic: Picture, f: BodyFrame, view: BodyView, key: str) -> None:
    """Mark a level that another measurement starts from: a fine dashed ring."""
    pic.line(f.on_paper(ring(view, LEVEL_CM[key])), width_mm=0.3, dash_mm=DASH)


def elastic(
    pic: Picture,
    f: BodyFrame,
    view: BodyView,
    level_cm: float = LEVEL_CM["waist"],
    *,
    width_mm: float = 1.2,
    bow: bool = False,
) -> None:
    """Tie the narrow elastic round the waist, with its bow in front or not."""
    p = f.on_paper(ring(view, level_cm))
    p[0, 0] -= 0.25
    p[-1, 0] += 0.25
    half = np.array([0.0, width_mm / 2])
    pic.band(p, half, fill=PAPER, colour=BLACK, line_mm=0.25, part="elastic")
    for part in (-0.3, 0.3):
        pic.line(p + half * part, width_mm=0.1)
    if bow:
        _bow(pic, p[16], width_mm)


def _bow(pic: Picture, at: Floats, width_mm: float) -> None:
    u = width_mm
    for way in (-1.0, 1.0):
        tail = through(np.array([(0, 0), (0.5 * way, 1.5), (1.5 * way, 2.6)]) * u + at)
        loop = np.array([(0, 0), (1.3 * way, -1.1), (2.4 * way, -0.5), (2.0 * way, 0.5)]) * u + at
        pic.shape([tail], width_mm=0.55)
        pic.shape([tail], colour=PAPER, width_mm=0.25)
        pic.shape([through(loop, closed=True)], fill=PAPER, width_mm=0.25, closed=True)
    pic.ellipse((float(at[0]), float(at[1])), 0.5 * u, 0.6 * u, fill=PAPER, width_mm=0.25)
