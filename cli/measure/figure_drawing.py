"""The figure of `body_figure` put on paper: outline, tone and briefs, and the tapes laid on it.

Every picture looks at the body a little from above: a level ring sags in front by `SAG` of its
breadth, and where the picture ends the body is cut level, like a dress form.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np

from outseam.cli.measure import body_figure as figure
from outseam.cli.measure.body_figure import (
    LEVEL_CM,
    Cubics,
    Curve,
    Point,
    Points,
    View,
    mirrored,
    through,
)
from outseam.cli.measure.canvas import (
    CLOTH,
    DASH,
    FINE_MM,
    GREY,
    INK,
    PAPER,
    SHADE,
    SKIN,
    TAPE,
    Floats,
    Frame,
    Sketch,
)

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


def tilted_ring(p: Point, q: Point, *, far: bool = False, sag: float = SAG) -> Floats:
    """Return the near half (or far half) of a ring seen edge on from `p` to `q`, cm, 49 points.

    The near half bulges to the right of the way from `p` to `q`.
    """
    t = np.linspace(0.0, math.pi, 49)[:, None]
    a, b = np.array(p), np.array(q)
    across = np.array([b[1] - a[1], a[0] - b[0]]) * (-sag if far else sag)
    return np.asarray((a + b) / 2 - (b - a) / 2 * np.cos(t) + across * np.sin(t))


def ring(view: View, level_cm: float, *, far: bool = False) -> Floats:
    """Return half of the level ring round the body, or the right leg, at a level, cm."""
    left, right = view.edges(level_cm)
    return tilted_ring((left, level_cm), (right, level_cm), far=far)


def nearest(view: View, level_cm: float) -> Point:
    """Return the middle of the near half of a level ring: where a tape from it starts, cm."""
    x, y = ring(view, level_cm)[24]
    return float(x), float(y)


def outline_mm(f: Frame) -> float:
    """Return the breadth of an outline: finer where the figure is small."""
    return min(0.45, 0.22 + 0.23 * f.scale)


def _arc(points: Floats) -> Cubics:
    return through([(float(x), float(y)) for x, y in points[::4]]).cubics()


def _other_side(pieces: Iterable[Cubics]) -> list[Cubics]:
    """Return the way back on the other half of a symmetric body."""
    return [mirrored(p)[::-1, ::-1] for p in reversed(list(pieces))]


def _flip(sign: int) -> Floats:
    return np.array([float(sign), 1.0])


def _end(cubics: Cubics, *, first: bool = False) -> Point:
    x, y = cubics[0, 0] if first else cubics[-1, 3]
    return float(x), float(y)


def draw_body(
    s: Sketch,
    f: Frame,
    view: View,
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
    crotch = LEVEL_CM["crotch"]
    trunk = view.symmetric and top >= crotch
    signs = (1, -1) if trunk else legs if view.symmetric else (1,)
    lines = _edges(view, top, bottom)
    limb = lines if bottom <= 0.0 else [lines[0], _arc(ring(view, bottom)[::-1]), *lines[1:]]
    if trunk:
        rest = lines[:1] if bottom >= crotch else limb
        bodies = [[*limb, *_other_side(rest)]]
    else:
        bodies = [[p * _flip(sign) for p in limb] for sign in signs]
    for pieces in bodies:
        s.shape([f.on_paper(p) for p in pieces], fill=SKIN, width_mm=0, closed=True)
    for sign in signs:
        _tone(s, f, view, top, bottom, sign)
    if top > _BRIEFS_TOP_CM and bottom < _BRIEFS_LOW_CM:
        if view.symmetric:
            _briefs(s, f, view, back)
        else:
            _side_briefs(s, f, view.curve)
    for sign in signs:
        for p in lines:
            s.shape([f.on_paper(p * _flip(sign))], width_mm=outline_mm(f), role="outline")
    for sign in signs[:1] if trunk else signs:
        _cut(s, f, view, top, sign)
    if bottom > 0.0:
        for sign in signs[:1] if bottom >= crotch else signs:
            p = ring(view, bottom) * _flip(sign)
            s.line(f.on_paper(p), ink=GREY, width_mm=FINE_MM)
    details = (_BACK_LINES if back else _FRONT_LINES) if view.symmetric else _SIDE_LINES
    for sign in signs:
        _lines(s, f, view, details, top, bottom, sign)
    if view.symmetric:
        _lines(s, f, view, _SPINE if back else _NAVEL, top, bottom, 1)


def _edges(view: View, top: float, bottom: float) -> list[Cubics]:
    """Return the drawn outlines of the right half (or the whole side): falling, then rising."""
    c, crotch = view.curve, LEVEL_CM["crotch"]
    start = c.parameter_at(top)
    end = c.last if view.symmetric and top >= crotch else c.parameter_at(top, last=True)
    if bottom <= 0.0:
        return [c.part(start, end).cubics()]
    down = c.part(start, c.parameter_at(bottom)).cubics()
    if view.symmetric and bottom >= crotch:
        return [down]
    return [down, c.part(c.parameter_at(bottom, last=True), end).cubics()]


def _cut(s: Sketch, f: Frame, view: View, level: float, sign: int) -> None:
    left, right = view.edges(level)
    x, y = f.on_paper(((left + right) / 2 * sign, level))
    half = (right - left) / 2 * f.scale
    s.ellipse((float(x), float(y)), half, half * 2 * SAG, fill=PAPER, ink=GREY, width_mm=FINE_MM)


def _lines(
    s: Sketch,
    f: Frame,
    view: View,
    lines: Sequence[Points],
    top: float,
    bottom: float,
    sign: int,
) -> None:
    for line in lines:
        ys = [y for _, y in line]
        if max(ys) < top - 2.5 and (bottom <= 0 or min(ys) > bottom - 0.5):
            p = through([(x + view.out_cm(y), y) for x, y in line]).cubics() * _flip(sign)
            s.shape([f.on_paper(p)], width_mm=FINE_MM)


def _ease(t: float) -> float:
    """Rise smoothly from 0 at t = 0, quickly at first, to 1 at t = 1."""
    return 1.0 - (1.0 - min(1.0, max(0.0, t))) ** 2


def _strip(s: Sketch, f: Frame, rows: Sequence[tuple[float, float, float]]) -> None:
    """Tone a strip given by rows of left edge, breadth and level, cm."""
    near = [(x, y) for x, _, y in rows]
    far = [(x + w, y) for x, w, y in reversed(rows)]
    s.line(f.on_paper(near + far), fill=SHADE, width_mm=0, closed=True)


def _tone(s: Sketch, f: Frame, view: View, top: float, bottom: float, sign: int) -> None:
    """Tone the left of trunk and legs: the light comes from the right."""
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
        _strip(s, f, rows)


def _clothe(s: Sketch, f: Frame, pieces: Sequence[Cubics], hems: Sequence[Cubics]) -> None:
    s.shape([f.on_paper(p) for p in pieces], fill=CLOTH, width_mm=0, closed=True)
    for hem in hems:
        s.shape([f.on_paper(hem)], width_mm=FINE_MM)


def _briefs(s: Sketch, f: Frame, view: View, back: bool) -> None:
    c = view.curve
    low = 79.5 if back else _BRIEFS_SIDE_CM
    down = c.part(c.parameter_at(_BRIEFS_TOP_CM), c.parameter_at(low)).cubics()
    inside = c.part(c.parameter_at(_BRIEFS_LOW_CM, last=True), c.last).cubics()
    lean = ((12.5, 74.4), (5.5, 74.2)) if back else ((10.5, 83.2), (4.5, 79.8))
    leg = np.array([[_end(down), *lean, _end(inside, first=True)]])
    band = _arc(ring(view, _BRIEFS_TOP_CM))
    right = [down, leg, inside]
    hems = [leg, mirrored(leg), band]
    if back:
        hems.append(through(((0.0, 78.3), (0.22, 82.0), (0.0, 86.0))).cubics())
    _clothe(s, f, [*right, *_other_side(right), band], hems)


def _side_briefs(s: Sketch, f: Frame, c: Curve, *, band: bool = True) -> None:
    top = _BRIEFS_TOP_CM
    ahead = c.part(c.parameter_at(top), c.parameter_at(80.2)).cubics()
    behind = c.part(c.parameter_at(75.6, last=True), c.parameter_at(top, last=True)).cubics()
    leg = np.array([[_end(ahead), (6.0, 83.2), (-3.0, 78.2), _end(behind, first=True)]])
    over = _arc(tilted_ring(_end(behind), _end(ahead, first=True)))
    _clothe(s, f, [ahead, leg, behind, over], [leg, over] if band else [leg])


def draw_whole(s: Sketch, f: Frame) -> None:
    """Draw the whole person from the side, in a vest and briefs."""
    c = figure.whole().curve
    body = f.on_paper(c.cubics())
    s.shape([body], fill=SKIN, width_mm=0, closed=True)
    _tone(s, f, figure.side(), 112.9, 0.0, 1)
    ahead = c.part(c.parameter_at(129.0), c.parameter_at(109.0)).cubics()
    behind = c.part(c.parameter_at(109.0, last=True), c.parameter_at(131.0, last=True)).cubics()
    over = through((_end(behind), (-3.4, 134.2), (1.0, 132.6), _end(ahead, first=True))).cubics()
    hem = _arc(tilted_ring(_end(behind, first=True), _end(ahead)))[::-1, ::-1]
    _clothe(s, f, [ahead, hem, behind, over], [hem, over])
    _side_briefs(s, f, c)
    s.shape([body], width_mm=outline_mm(f), closed=True, role="outline")
    hair = through(figure.HAIR, closed=True).cubics()
    s.shape([f.on_paper(hair)], fill=GREY, width_mm=0.25, closed=True)
    ear = ((1.4, 151.0), (2.8, 152.4), (3.9, 151.0), (2.9, 148.4), (2.0, 147.8))
    s.shape(
        [f.on_paper(through(ear, closed=True).cubics())], fill=SKIN, width_mm=FINE_MM, closed=True
    )
    for line in (((8.9, 152.6), (9.6, 152.9), (10.2, 152.6)), ((10.2, 144.6), (11.2, 144.8))):
        s.shape([f.on_paper(through(line).cubics())], width_mm=FINE_MM)
    arm = f.on_paper(through(figure.ARM).cubics())
    s.shape([arm], fill=SKIN, width_mm=0, closed=True)
    s.shape([arm], width_mm=outline_mm(f) - 0.05)


def draw_seated(s: Sketch, f: Frame) -> None:
    """Draw the seated figure and the elastic round its waist; y up from the seat."""
    view = figure.seated()
    c = view.curve
    body = f.on_paper(c.cubics())
    s.shape([body], fill=SKIN, width_mm=0, closed=True)
    levels = np.linspace(37.9, 0.7, 60)
    _strip(s, f, [(c.x_at(float(y), last=True), 4.2 * _ease(y / 9), float(y)) for y in levels])
    ahead = c.part(c.parameter_at(20.0), c.parameter_at(16.0)).cubics()
    behind = c.part(c.parameter_at(0.6, last=True), c.parameter_at(20.0, last=True)).cubics()
    leg = np.array([[_end(ahead), (8.0, 13.0), (-1.0, 6.0), _end(behind, first=True)]])
    over = _arc(tilted_ring(_end(behind), _end(ahead, first=True)))
    _clothe(s, f, [ahead, leg, behind, over], [leg, over])
    s.shape([body], width_mm=outline_mm(f), role="outline")
    _cut(s, f, view, 37.95, 1)
    for line in _SEATED_LINES:
        s.shape([f.on_paper(through(line).cubics())], width_mm=FINE_MM)
    elastic(s, f, view, figure.SEATED_WAIST_CM)


def girth(
    s: Sketch,
    f: Frame,
    view: View,
    key: str,
    *,
    sign: int = 1,
    width_mm: float = GIRTH_MM,
) -> None:
    """Lay the tape round the body at a level of the figure: dark in front, dashed behind."""
    turn = _flip(sign)
    near, far = ring(view, LEVEL_CM[key]), ring(view, LEVEL_CM[key], far=True)
    s.line(f.on_paper(far * turn), ink=TAPE, width_mm=0.3, dash=DASH)
    marks = max(6, round((near[-1, 0] - near[0, 0]) * 0.7))
    half = np.array([0.0, width_mm / 2])
    s.band(f.on_paper(near * turn), half, marks=marks, role=f"tape {key}")


def level_line(s: Sketch, f: Frame, view: View, key: str) -> None:
    """Mark a level that another measurement starts from: a fine dashed ring."""
    s.line(f.on_paper(ring(view, LEVEL_CM[key])), width_mm=0.3, dash=DASH)


def elastic(
    s: Sketch,
    f: Frame,
    view: View,
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
    s.band(p, half, fill=PAPER, ink=INK, ink_mm=0.25, role="elastic")
    for part in (-0.3, 0.3):
        s.line(p + half * part, width_mm=0.1)
    if bow:
        _bow(s, p[16], width_mm)


def _bow(s: Sketch, at: Floats, width_mm: float) -> None:
    u = width_mm
    for way in (-1.0, 1.0):
        tail = np.array([(0, 0), (0.5 * way, 1.5), (1.5 * way, 2.6)]) * u + at
        loop = np.array([(0, 0), (1.3 * way, -1.1), (2.4 * way, -0.5), (2.0 * way, 0.5)]) * u + at
        s.shape([_path(tail)], width_mm=0.55)
        s.shape([_path(tail)], ink=PAPER, width_mm=0.25)
        s.shape([_path(loop, closed=True)], fill=PAPER, width_mm=0.25, closed=True)
    s.ellipse((float(at[0]), float(at[1])), 0.5 * u, 0.6 * u, fill=PAPER, width_mm=0.25)


def _path(points: Floats, *, closed: bool = False) -> Cubics:
    return through([(float(x), float(y)) for x, y in points], closed=closed).cubics()
