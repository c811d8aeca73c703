"""The pictures of the measuring sheet, one function each: every one returns a finished scene.

A picture is `CARD_MM` wide, so that it stands beside its words; the plate and the two strips at
the end take the whole page.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Literal

import numpy as np

from outseam.cli.measure import body_figure as figure
from outseam.cli.measure.body_figure import (
    CUT_CM,
    LEVEL_CM,
    SEATED_WAIST_CM,
    BodyView,
    contour,
    points,
    through,
)
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
from outseam.cli.measure.figure_drawing import (
    draw_body,
    draw_seated,
    draw_whole,
    elastic,
    girth,
    level_line,
    nearest,
    tilted_ring,
)
from outseam.cli.scene.scene import Scene
from outseam.curves.path import Floats, Path
from outseam.curves.point import Point

CARD_MM, PAGE_MM = 68.0, 186.0
NAME_MM = 2.95
_TOP = CUT_CM - 0.1


def _at(f: BodyFrame, x: float, y: float) -> Point:
    """Return a point of the body on the paper."""
    p = f.on_paper((x, y))
    return float(p[0]), float(p[1])


def _up(f: BodyFrame, x: float, low: float, high: float) -> Floats:
    """Return the ends of a straight upright tape on the paper."""
    return f.on_paper([(x, low), (x, high)])


def _floor(pic: Picture, f: BodyFrame, left: float, right: float) -> None:
    """Draw the floor, with strokes under it 2 mm apart."""
    pic.line(f.on_paper([(left, 0.0), (right, 0.0)]))
    step = 2.0 / f.scale
    for x in np.arange(left + step, right, step):
        foot = (float(x) - 0.5 * step, -0.6 * step)
        pic.line(f.on_paper([(float(x), -0.1), foot]), colour=GREY, width_mm=FINE_MM)


def _witness(pic: Picture, f: BodyFrame, level: float, left: float, right: float) -> None:
    """Carry a level out from the body to a tape beside it."""
    pic.line(f.on_paper([(left, level), (right, level)]), colour=GREY, width_mm=0.25, dash_mm=DASH)


def _pinch(pic: Picture, f: BodyFrame, view: BodyView, key: str) -> None:
    """Point at a tape round the body from both sides."""
    for x, way in zip(view.edges(LEVEL_CM[key]), (1, -1), strict=True):
        px, py = _at(f, x, LEVEL_CM[key])
        pic.line([(px - way * 6.6, py), (px - way * 2.6, py)], colour=TAPE, width_mm=0.4)
        pic.arrow_head((px - way * 1.2, py), (way, 0.0), size_mm=2.4)


def _name(pic: Picture, at: Point, text: str, *, upright: bool = False, **written: Any) -> None:
    """Write the name of the measurement; `written` as in `Picture.text`."""
    angle = 90.0 if upright else 0.0
    pic.text(at, text, size_mm=NAME_MM, colour=TAPE, angle_deg=angle, **written)


def height() -> Scene:
    """Stand the whole person at a wall under a book."""
    pic = Picture(CARD_MM, 74, "Standing at a wall, a book on the head, the tape up the wall")
    f = BodyFrame(x_mm=29, floor_mm=71.0, scale=0.4)
    wall = -13.0
    _floor(pic, f, wall - 12, 38)
    pic.line(f.on_paper([(wall, 0.0), (wall, 173.0)]))
    for y in np.arange(4.0, 172.0, 4.6):
        pic.line(
            f.on_paper([(wall - 10.4, y - 2.8), (wall - 8.0, y)]), colour=GREY, width_mm=FINE_MM
        )
    draw_whole(pic, f)
    low, high, end = 163.6, 168.2, wall + 27.0
    pic.line(
        f.on_paper([(wall, low), (end, low), (end, high), (wall, high)]), fill=CLOTH, closed=True
    )
    for y in (low + 1.2, high - 1.2):
        pic.line(f.on_paper([(wall + 0.5, y), (end - 0.8, y)]), width_mm=FINE_MM)
    pic.tape(_up(f, wall - 3.6, 0.0, low), arrows=True, part="tape height")
    _name(pic, _at(f, wall - 13.5, 84), "height", anchor="middle", upright=True)
    pic.text(_at(f, 18, 164.2), "book, level")
    for text, y, spot in (
        ("shoulders,", 130.0, (-8.9, 126.0)),
        ("seat,", 92.0, (-11.0, 84.0)),
        ("heels at the wall", 24.0, (-6.0, 4.0)),
    ):
        pic.text(_at(f, 27.0, y - 2), text, leader=(_at(f, 26.0, y), _at(f, *spot)))
    return pic.scene()


def waist() -> Scene:
    """Lay the tape over the elastic."""
    pic = Picture(CARD_MM, 60, "The tape lies over the elastic at the waist, level all round")
    f = BodyFrame(x_mm=34, floor_mm=152.5, scale=1.31)
    v = figure.front()
    draw_body(pic, f, v, _TOP, 72.0)
    elastic(pic, f, v, width_mm=3.2)
    girth(pic, f, v, "waist")
    _pinch(pic, f, v, "waist")
    _name(pic, (2, 15), "waist")
    pic.text((55, 11), "elastic", leader=((58, 12), _at(f, 10.3, 101.9)))
    return pic.scene()


def waist_above_navel() -> Scene:
    """From the navel up to the middle of the elastic."""
    pic = Picture(CARD_MM, 54, "From the navel straight up to the elastic")
    f = BodyFrame(x_mm=32, floor_mm=204.5, scale=1.78)
    v = figure.front()
    draw_body(pic, f, v, 111.5, 89.5)
    elastic(pic, f, v, width_mm=2.4, bow=True)
    high = nearest(v, LEVEL_CM["waist"])[1]
    low = high - (LEVEL_CM["waist"] - LEVEL_CM["navel"])
    pic.line(f.on_paper([(-2.2, low), (5.6, low)]), colour=GREY, width_mm=0.25, dash_mm=DASH)
    pic.tape(_up(f, 3.6, low, high), arrows=True, width_mm=1.5, part="tape waist_above_navel")
    pic.text(_at(f, -10.6, 94.0), "navel", leader=(_at(f, -5.4, 94.7), _at(f, -0.8, 95.9)))
    pic.text((57, 12.5), "elastic", leader=((62, 13.5), _at(f, 11.9, 101.4)))
    _name(pic, _at(f, 3.6, 93.0), "this much", anchor="middle")
    return pic.scene()


def hip() -> Scene:
    """Front and side: level, over the fullest seat."""
    pic = Picture(CARD_MM, 52, "The tape lies level over the fullest part of the seat")
    k, floor = 0.88, 104.0
    a, b = (BodyFrame(x_mm=x, floor_mm=floor, scale=k) for x in (18.0, 54.0))
    level = floor - LEVEL_CM["hip"] * k
    pic.line([(1.0, level), (67.0, level)], colour=GREY, width_mm=0.25, dash_mm=DASH)
    for v, f in ((figure.front(), a), (figure.side(), b)):
        draw_body(pic, f, v, _TOP, 62.5)
        elastic(pic, f, v)
        girth(pic, f, v, "hip")
    pic.text((38.6, 23), "fullest", anchor="middle")
    pic.text((38.6, 26.4), "seat", anchor="middle", leader=((39.4, 27.3), _at(b, -12.8, 84.0)))
    return pic.scene()


def high_hip() -> Scene:
    """Front and side: level, at marks below the elastic."""
    pic = Picture(CARD_MM, 52, "The tape lies level over belly and hip bones, below the elastic")
    k, floor = 0.88, 104.0
    a, b = (BodyFrame(x_mm=x, floor_mm=floor, scale=k) for x in (18.0, 54.0))
    level = floor - LEVEL_CM["high_hip"] * k
    pic.line([(1.0, level), (67.0, level)], colour=GREY, width_mm=0.25, dash_mm=DASH)
    for v, f in ((figure.front(), a), (figure.side(), b)):
        draw_body(pic, f, v, _TOP, 62.5)
        elastic(pic, f, v)
        girth(pic, f, v, "high_hip")
    v = figure.front()
    low, high = (nearest(v, LEVEL_CM[key])[1] for key in ("high_hip", "waist"))
    pic.tape(_up(a, 0.0, low + 1.0, high - 0.8), arrows=True, width_mm=1.2, part="tape high_hip")
    pic.text((38.6, 11), "elastic", anchor="middle", leader=((37.0, 11.8), _at(a, 12.2, 101.6)))
    for text, y in (("high", 29.0), ("hip", 32.6)):
        _name(pic, (38.6, y), text, anchor="middle")
    pic.leader((37.6, 26.2), _at(a, 15.8, 93.0))
    return pic.scene()


def thigh() -> Scene:
    """Just below the seat fold, from behind."""
    pic = Picture(CARD_MM, 55, "The tape lies round one thigh just below the seat fold")
    f = BodyFrame(x_mm=26, floor_mm=114, scale=1.16)
    v = figure.back()
    draw_body(pic, f, v, 95.0, 53.0, back=True)
    girth(pic, f, v, "thigh")
    x, y = _at(f, 17.6, LEVEL_CM["thigh"])
    _name(pic, (52, y + 9), "thigh", leader=((54, y + 6.2), (x + 1.2, y + 0.8)))
    pic.text((51, y - 9), "seat fold", leader=((54, y - 8), _at(f, 13.4, 77.0)))
    return pic.scene()


def knee() -> Scene:
    """Round the middle of the kneecap."""
    pic = Picture(CARD_MM, 52, "The tape lies round the middle of the kneecap")
    f = BodyFrame(x_mm=25, floor_mm=80.5, scale=1.22)
    v = figure.front()
    draw_body(pic, f, v, 63.0, 26.0)
    girth(pic, f, v, "knee")
    _pinch(pic, f, v, "knee")
    pic.text((49.5, 14), "middle of")
    pic.text((49.5, 17.5), "the kneecap", leader=((49.8, 18.6), _at(f, 11.0, 46.0)))
    return pic.scene()


def calf() -> Scene:
    """Round the fullest calf, from behind and from the side."""
    pic = Picture(CARD_MM, 56, "The tape lies round the fullest part of the calf")
    a, b = (BodyFrame(x_mm=x, floor_mm=54.0, scale=0.97) for x in (5.0, 48.0))
    for v, f in ((figure.back(), a), (figure.side(), b)):
        draw_body(pic, f, v, 54.0, 0.0, back=v.symmetric, legs=(1,))
        girth(pic, f, v, "calf")
    pic.text((30, 13.5), "fullest", anchor="middle", leader=((32, 14.6), _at(b, -7.4, 33.0)))
    pic.leader((28, 14.6), _at(a, 14.9, 33.0))
    return pic.scene()


def ankle() -> Scene:
    """Round the smallest ankle, from the front and from the side."""
    pic = Picture(CARD_MM, 46, "The tape lies round the smallest part of the ankle, above the bone")
    a, b = (BodyFrame(x_mm=x, floor_mm=43.5, scale=1.55) for x in (-2.0, 40.0))
    for v, f in ((figure.front(), a), (figure.side(), b)):
        draw_body(pic, f, v, 26.0, 0.0, legs=(1,))
        girth(pic, f, v, "ankle")
    pic.text((53.5, 13), "smallest,")
    pic.text((53.5, 16.5), "above")
    pic.text((53.5, 20), "the bone", leader=((53, 17.4), _at(b, 4.3, 11.9)))
    return pic.scene()


def foot() -> Scene:
    """Round heel and instep, the foot lifted and the toes pointed."""
    pic = Picture(CARD_MM, 54, "The tape goes round the heel and over the instep, toes pointed")
    f = BodyFrame(x_mm=27, floor_mm=42.5, scale=1.64)
    top = 24.0
    c = figure.side().contour
    angle = np.radians(-24.0)
    turn = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])

    def put(points: Floats | Sequence[Point]) -> Floats:
        return f.on_paper(np.asarray(points) @ turn)

    def put_path(path: Path) -> Path:
        return f.path(path.turned(float(angle)))

    body = c.part(c.parameter_at(top), c.parameter_at(top, last=True))
    pic.shape([put_path(body)], fill=SKIN, width_mm=0, closed=True)
    levels = np.linspace(top, 3.6, 40)
    left = [(c.x_at(float(y), last=True), float(y)) for y in levels]
    tone = [(x + 2.1 * min(1.0, (y - 3.6) / 12), y) for x, y in left]
    pic.line(put([*left, *tone[::-1]]), fill=SHADE, width_mm=0, closed=True)
    pic.shape([put_path(body)], width_mm=0.45, part="outline")
    for line in (
        ((-1.2, 8.9), (0.2, 8.6), (0.6, 7.2), (-0.2, 6.2)),
        ((12.7, 0.4), (13.3, 1.5), (14.7, 1.7)),
    ):
        pic.shape([put_path(through(line))], width_mm=FINE_MM)
    a, b = (left[0][0], top), (c.x_at(top), top)
    cut = np.concatenate([tilted_ring(a, b), tilted_ring(b, a)])
    pic.line(put(cut), fill=PAPER, colour=GREY, width_mm=FINE_MM, closed=True)
    heel, instep = (-7.2, 0.8), (4.7, 8.8)
    pic.line(put(tilted_ring(heel, instep, far=True)), colour=TAPE, width_mm=0.3, dash_mm=DASH)
    near = put(tilted_ring(heel, instep))
    along = near[-1] - near[0]
    half = np.array([-along[1], along[0]]) / np.hypot(*along) * 1.0
    pic.band(near, half, marks=12, part="tape foot")
    x, y = (float(v) for v in near[-1])
    pic.text((48, y - 9), "instep", leader=((51, y - 8), (x + 1.6, y - 0.8)))
    x, y = (float(v) for v in near[0])
    pic.text((2, 51), "heel", leader=((6, 48.2), (x - 1.0, y + 1.2)))
    pic.text((49, 41), "toes pointed")
    return pic.scene()


def inside_leg() -> Scene:
    """A book pushed up between the legs; the tape from its top edge to the floor."""
    pic = Picture(CARD_MM, 76, "A book pushed up between the legs, the tape from its top edge down")
    k, floor, top = 0.66, 72.5, LEVEL_CM["crotch"]
    low = top - 19.0
    f = BodyFrame(x_mm=16.5, floor_mm=floor, scale=k)
    g = BodyFrame(x_mm=45.5, floor_mm=floor, scale=k)
    _floor(pic, f, -23.5, 23.5)
    _floor(pic, g, -16, 32)
    draw_body(pic, f, figure.front(5.0), 105.0, 0.0)
    half = 1.4
    pic.line(
        f.on_paper([(-half, low), (half, low), (half, top), (-half, top)]), fill=CLOTH, closed=True
    )
    for x in (-0.5, 0.5):
        pic.line(_up(f, x, low, top - 1.2), width_mm=0.15)
    draw_body(pic, g, figure.side(), 105.0, 0.0)
    near = figure.side().contour.x_at(70.0)
    book = [(-13.0, low), (17.0, low), (17.0, top), (-13.0, top)]
    pic.line(g.on_paper(book), dash_mm=DASH, closed=True)
    pic.line(
        g.on_paper([(near, low), (17.0, low), (17.0, top), (near, top)]), fill=CLOTH, closed=True
    )
    for frame, spots in ((f, (-0.9, 0.9)), (g, (12.6, 15.4))):
        for x in spots:
            tip = _at(frame, x, low - 1.2)
            pic.line([(tip[0], tip[1] + 6.0), (tip[0], tip[1] + 1.5)], width_mm=0.35)
            pic.arrow_head(tip, (0.0, -1.0), colour=BLACK, size_mm=1.9)
    _witness(pic, g, top, 17.0, 25.0)
    pic.tape(_up(g, 22.0, 0.0, top), arrows=True, part="tape inside_leg")
    _name(pic, _at(g, 29.4, 39), "inside leg", anchor="middle", upright=True)
    pic.text(_at(g, 16.5, 84), "book", anchor="start")
    return pic.scene()


def body_rise() -> Scene:
    """Seated: from the elastic down the side to the chair."""
    pic = Picture(
        CARD_MM, 72, "Seated upright, the tape from the elastic down the side to the seat"
    )
    f = BodyFrame(x_mm=18, floor_mm=36, scale=0.79)
    _chair(pic, f)
    draw_seated(pic, f)
    high = nearest(figure.seated(), SEATED_WAIST_CM)[1]
    pic.tape(_up(f, 2.2, 0.0, high), arrows=True, part="tape body_rise")
    _name(pic, (34, 13), "body rise", leader=((33.4, 12.4), _at(f, 3.8, 20.5)))
    pic.text(_at(f, 7.0, -9.0), "flat, hard seat", anchor="middle")
    return pic.scene()


def _chair(pic: Picture, f: BodyFrame) -> None:
    """A plain wooden chair with a flat seat at y = 0, seen from the side, on the floor."""
    for part in (
        ((-13.0, -2.2), (-10.6, -2.2), (-12.0, -42.0), (-14.2, -42.0)),
        ((24.4, -2.2), (26.8, -2.2), (27.6, -42.0), (25.6, -42.0)),
        ((-15.6, 0.0), (-13.2, 0.0), (-17.0, 41.0), (-19.2, 41.0)),
        ((-12.4, -22.0), (25.6, -22.0), (25.6, -23.8), (-12.5, -23.8)),
        ((-15.8, 0.0), (29.0, 0.0), (29.0, -2.4), (-15.8, -2.4)),
    ):
        pic.line(f.on_paper(part), fill=PAPER, closed=True)
    _floor(
        pic, BodyFrame(x_mm=f.x_mm, floor_mm=f.floor_mm + 42.0 * f.scale, scale=f.scale), -20, 60
    )


def outside_leg() -> Scene:
    """Down the side over the hip to the floor."""
    pic = Picture(CARD_MM, 74, "The tape from the elastic down the side over the hip to the floor")
    f = BodyFrame(x_mm=28, floor_mm=70.5, scale=0.6)
    _floor(pic, f, -26, 34)
    v = figure.front()
    draw_body(pic, f, v, _TOP, 0.0)
    elastic(pic, f, v)
    side = [
        (v.contour.x_at(float(y)) + 1.5, float(y))
        for y in np.linspace(LEVEL_CM["waist"] - 0.6, 80.0, 40)
    ]
    pic.tape(f.on_paper([*side, (side[-1][0], 0.0)]), arrows=True, part="tape outside_leg")
    pic.text((44, 17), "over the hip,", leader=((43.6, 17), _at(f, 19.6, 84.0)))
    pic.text((44, 21), "then straight")
    pic.text((44, 24.5), "to the floor")
    _name(pic, _at(f, 27.0, 38), "outside leg", anchor="middle", upright=True)
    return pic.scene()


def waist_height() -> Scene:
    """Straight from the level of the elastic to the floor."""
    pic = Picture(CARD_MM, 74, "The tape hangs straight from the level of the elastic to the floor")
    f = BodyFrame(x_mm=26, floor_mm=70.5, scale=0.6)
    _floor(pic, f, -24, 40)
    v = figure.front()
    draw_body(pic, f, v, _TOP, 0.0)
    elastic(pic, f, v)
    high = LEVEL_CM["waist"]
    ruler = [(12.5, high), (29.0, high), (29.0, high + 2.0), (12.5, high + 2.0)]
    pic.line(f.on_paper(ruler), fill=CLOTH, closed=True)
    pic.tape(_up(f, 24.0, 0.0, high), arrows=True, part="tape waist_height")
    pic.text((45.5, 9.8), "ruler, level")
    _name(pic, _at(f, 31.5, 50), "waist height", anchor="middle", upright=True)
    return pic.scene()


def waist_to_hip() -> Scene:
    """At the side from the elastic down to the level of the hip tape."""
    pic = Picture(CARD_MM, 54, "At the side, from the elastic down to the level of the hip tape")
    f = BodyFrame(x_mm=24, floor_mm=130, scale=1.12)
    v = figure.side()
    draw_body(pic, f, v, _TOP, 70.0)
    elastic(pic, f, v)
    level_line(pic, f, v, "hip")
    low, high = (nearest(v, LEVEL_CM[key])[1] for key in ("hip", "waist"))
    pic.tape(_up(f, 1.0, low, high - 0.4), arrows=True, part="tape waist_to_hip")
    pic.text((45, 16), "elastic", leader=((44.4, 15.2), _at(f, 11.4, 101.8)))
    _name(pic, (43.5, 28), "waist to hip", leader=((42.9, 27.2), _at(f, 2.2, 92.5)))
    pic.text((45, 40), "hip level", leader=((44.4, 39.2), _at(f, 11.2, 82.6)))
    return pic.scene()


def hip_height() -> Scene:
    """From the level of the hip tape to the floor."""
    pic = Picture(CARD_MM, 68, "From the level of the fullest seat straight to the floor")
    f = BodyFrame(x_mm=34, floor_mm=64.5, scale=0.62)
    _floor(pic, f, -32, 30)
    v = figure.side()
    draw_body(pic, f, v, 101.0, 0.0)
    level_line(pic, f, v, "hip")
    _witness(pic, f, LEVEL_CM["hip"], -24, -12.4)
    pic.tape(_up(f, -20.0, 0.0, LEVEL_CM["hip"]), arrows=True, part="tape hip_height")
    _name(pic, _at(f, -25.0, 42), "hip height", anchor="middle", upright=True)
    pic.text((48, 17.4), "hip level", leader=((47.4, 16.6), _at(f, 11.4, 82.4)))
    return pic.scene()


def knee_height() -> Scene:
    """From the middle of the kneecap to the floor."""
    pic = Picture(CARD_MM, 54, "From the middle of the kneecap straight to the floor")
    f = BodyFrame(x_mm=24, floor_mm=50.5, scale=0.84)
    _floor(pic, f, -20, 40)
    v = figure.front()
    draw_body(pic, f, v, 57.0, 0.0)
    level_line(pic, f, v, "knee")
    _witness(pic, f, LEVEL_CM["knee"], 13.8, 28)
    pic.tape(_up(f, 23.0, 0.0, LEVEL_CM["knee"]), arrows=True, part="tape knee_height")
    _name(pic, _at(f, 29.5, 22.4), "knee height", anchor="middle", upright=True)
    return pic.scene()


_UNDER = points("11.2,81.2 9.6,79 5.8,77.9 1.4,77.7 -3,78 -7.6,79.2 -11,81.2 -12.6,83.6")
"""The way of the tape between the legs, hidden by the near thigh, side view, cm."""
_FORK: Point = (1.4, 77.7)
_Part = Literal["whole", "front", "back"]


def _side_crotch(pic: Picture, f: BodyFrame, part: _Part, *, width_mm: float = 1.7) -> None:
    """Lay the tape from the elastic through the legs, side view; what is not meant is grey."""
    c = figure.side().contour
    top = LEVEL_CM["waist"] - 0.9
    ahead = [(c.x_at(float(y)) + 0.5, float(y)) for y in np.linspace(top, 81.2, 30)]
    behind = [(c.x_at(float(y), last=True) - 0.5, float(y)) for y in np.linspace(83.6, top, 30)]
    under = contour(_UNDER).points(61)
    fork = int(np.argmin(np.hypot(*(under - _FORK).T)))
    for name, seen, hidden in (
        ("front", ahead[::-1], under[: fork + 1]),
        ("back", behind, under[fork:]),
    ):
        if part not in (name, "whole"):
            for piece in (np.asarray(seen), hidden):
                pic.line(f.on_paper(piece), colour=GREY, width_mm=0.4, dash_mm=DASH)
            continue
        pic.line(f.on_paper(hidden), colour=TAPE, width_mm=0.8 * width_mm, dash_mm=(1.6, 0.8))
        way = f.on_paper(seen)
        pic.tape(way, width_mm=width_mm, part=f"tape {name}_crotch_length")
        tip, before = way[-1], way[-3]
        ux, uy = (float(v) for v in (tip - before) / np.hypot(*(tip - before)))
        pic.arrow_head((float(tip[0]) + ux, float(tip[1]) + uy), (ux, uy), size_mm=2.3 * width_mm)


def _crotch(part: _Part, title: str) -> Scene:
    pic = Picture(CARD_MM, 67, title)
    k, floor, hang = 0.96, 112.5, 65.0
    f = BodyFrame(x_mm=15.0, floor_mm=floor, scale=k)
    g = BodyFrame(x_mm=50.2, floor_mm=floor, scale=k)
    v = figure.side()
    draw_body(pic, f, v, _TOP, 56.5)
    elastic(pic, f, v)
    _side_crotch(pic, f, part)
    pic.line(_up(f, _FORK[0], hang, _FORK[1]), dash_mm=(0.9, 0.6))
    _weight(pic, f, _FORK[0], hang)
    back = part == "back"
    w = figure.back() if back else figure.front(3.0)
    draw_body(pic, g, w, _TOP, 56.5, back=back)
    pic.line(_up(g, 0.0, hang, LEVEL_CM["crotch"]))
    _weight(pic, g, 0.0, hang)
    x, high = nearest(w, LEVEL_CM["waist"])
    key = "crotch_length" if part == "whole" else f"{part}_crotch_length"
    pic.tape(_up(g, x, LEVEL_CM["crotch"], high - 2.6), part=f"tape {key}")
    pic.arrow_head(_at(g, x, high - 0.7), (0.0, -1.0), size_mm=3.2)
    elastic(pic, g, w)
    pic.text((4.0, 65.0), "string with a weight")
    pic.leader((13.0, 62.2), _at(f, _FORK[0] - 0.4, hang - 4.6))
    return pic.scene()


def _weight(pic: Picture, f: BodyFrame, x: float, y: float) -> None:
    """Hang a plumb weight by its top."""
    right = ((0.0, 0.0), (0.9, -1.1), (0.7, -2.7), (0.0, -4.2))
    drop = [(x + dx, y + dy) for dx, dy in right] + [(x - dx, y + dy) for dx, dy in right[2:0:-1]]
    pic.line(f.on_paper(drop), fill=BLACK, closed=True)


def crotch_length() -> Scene:
    """From the elastic in front through the legs to the elastic behind."""
    return _crotch("whole", "The tape from front waist through the legs to back waist")


def front_crotch_length() -> Scene:
    """From the elastic in front to the weighted string."""
    return _crotch("front", "From front waist to the weighted string at the crotch point")


def back_crotch_length() -> Scene:
    """From the weighted string to the elastic behind."""
    return _crotch("back", "From the weighted string at the crotch point to back waist")


def plate() -> Scene:
    """Front, side and back with every tape laid at once."""
    pic = Picture(PAGE_MM, 162, "Where every tape goes: front, side and back")
    k, floor, fine = 1.28, 152.0, 1.4
    a, b, c = (BodyFrame(x_mm=x, floor_mm=floor, scale=k) for x in (41.0, 87.5, 134.5))
    front, side, back = figure.front(), figure.side(), figure.back()
    for f, v, sign, word in ((a, front, -1, "front"), (b, side, 1, "side"), (c, back, 1, "back")):
        _floor(pic, f, -17 if v.symmetric else -12, 37 if v is back else 17)
        draw_body(pic, f, v, _TOP, 0.0, back=v is back)
        for key in ("hip", "thigh", "knee", "calf", "ankle"):
            girth(pic, f, v, key, sign=sign, width_mm=fine)
        elastic(pic, f, v, width_mm=2.4)
        girth(pic, f, v, "waist", width_mm=fine)
        if v is side:
            _side_crotch(pic, f, "whole", width_mm=1.3)
        pic.text((f.x_mm, floor + 6.8), word, anchor="middle", colour=GREY)
    for key in ("waist", "hip", "thigh", "knee", "calf", "ankle"):
        x, y = _at(a, -front.edges(LEVEL_CM[key])[1], LEVEL_CM[key])
        _name(pic, (0.5, y + 1.0), key, leader=((12.5, y), (x - 1.0, y)))
    pic.tape(
        _up(a, 0.0, 0.0, LEVEL_CM["crotch"]), arrows=True, width_mm=fine, part="tape inside_leg"
    )
    _name(pic, _at(a, 3.0, 19.0), "inside leg", anchor="middle", upright=True)
    for text, at in (("crotch", 61.0), ("length", 57.8)):
        _name(pic, _at(b, -11.5, at), text, anchor="end")
    pic.leader(_at(b, -12.0, 64.0), _at(b, -8.4, 78.4))
    for key, x in (("knee", 21.0), ("hip", 26.5), ("waist", 32.0)):
        level, edge = LEVEL_CM[key], back.edges(LEVEL_CM[key])[1]
        _witness(pic, c, level, edge + 1.0, x + 2.0)
        pic.tape(_up(c, x, 0.0, level), arrows=True, width_mm=fine, part=f"tape {key}_height")
        _name(pic, _at(c, x + 3.4, 0.6 * level), f"{key} height", anchor="middle", upright=True)
    return pic.scene()


_REST_CM, _PULLED_CM, _BACK_CM = 10.0, 15.0, 10.4
"""Where the second pin stands on the ruler: at rest, stretched, let go."""


def stretch() -> Scene:
    """The fold along a ruler: at rest, stretched, let go."""
    pic = Picture(PAGE_MM, 88, "A fold of the fabric along a ruler: at rest, stretched, let go")
    cm, left = 5.8, 56.0
    for y, end, name, says in (
        (6.0, _REST_CM, "at rest", "pins 10 apart"),
        (36.0, _PULLED_CM, "stretched", "15: that is 50 %"),
        (66.0, _BACK_CM, "let go", "comes back to 10.4"),
    ):
        strain = end / _REST_CM
        low, high = left - 2.5 * cm * strain, left + (end + 2.5 * strain) * cm
        _fold(pic, low, high, y, 0.5 * cm * strain)
        _ruler(pic, left, y + 12.0, cm)
        for x in (left, left + end * cm):
            pic.line([(x, y - 2.6), (x, y + 11.6)], colour=TAPE, width_mm=0.45)
            pic.ellipse((x, y - 3.2), 0.9, 0.9, fill=TAPE, width_mm=0)
        pulled = end == _PULLED_CM
        pic.text((0.5, y + (1.0 if pulled else 6.0)), name)
        pic.text((0.5, y + (15.0 if pulled else 10.5)), says)
        if pulled:
            for x, way in ((low - 1.0, -1.0), (high + 1.0, 1.0)):
                pic.line([(x, y + 5.5), (x + way * 5.0, y + 5.5)], width_mm=0.6)
                pic.arrow_head((x + way * 7.5, y + 5.5), (way, 0.0), colour=BLACK, size_mm=3.0)
    pic.text(
        (left + 15 * cm, 13.0), "fold", leader=((left + 14.8 * cm, 12.6), (left + 12.7 * cm, 17.0))
    )
    return pic.scene()


def _fold(pic: Picture, left: float, right: float, y: float, wale: float) -> None:
    """A folded strip of knit: two raw edges above, the fold below, its wales `wale` apart."""
    x = np.linspace(right, left, 33)
    for up, shift, fill in ((0.4, 1.3, SHADE), (2.2, 0.0, CLOTH)):
        wave = y + up + 0.5 * np.sin(np.linspace(0.0, 26.0, 33) + shift)
        edge = through([(float(a), float(b)) for a, b in zip(x, wave, strict=True)])
        low = through([(left, y + 11.4), ((left + right) / 2, y + 11.5), (right, y + 11.4)])
        pic.shape([edge, low], fill=fill, width_mm=0.3, closed=True)
    for at in np.arange(left + wale, right - 0.3 * wale, wale):
        pic.line([(float(at), y + 3.6), (float(at), y + 10.2)], colour=PAPER, width_mm=0.25)
    pic.line([(left, y + 11.4), (right, y + 11.4)], width_mm=0.8)


def _ruler(pic: Picture, left: float, y: float, cm: float) -> None:
    """A ruler in centimetres with its edge on top."""
    count = 19
    a, b = left - 0.6 * cm, left + (count + 0.6) * cm
    pic.line([(a, y), (b, y), (b, y + 7.5), (a, y + 7.5)], fill=PAPER, width_mm=0.3, closed=True)
    for k in range(2 * count + 1):
        x = left + k * cm / 2
        pic.line([(x, y), (x, y + (1.4 if k % 2 else 2.6))], width_mm=0.22)
        if k % 2 == 0:
            pic.text((x, y + 5.8), str(k // 2), anchor="middle", size_mm=2.4)


def fabric_ways() -> Scene:
    """Which way is across and which is along a fabric."""
    pic = Picture(CARD_MM, 50, "Across runs from selvedge to selvedge, along runs beside them")
    left, right, top, low = 12.0, 56.0, 4.0, 44.0
    edge = through([(right, low), (44.0, low - 1.4), (30.0, low + 1.0), (left, low - 0.6)])
    head = through([(left, top), (26.0, top + 1.0), (42.0, top - 1.0), (right, top + 0.4)])
    pic.shape([head, edge], fill=SHADE, width_mm=0.35, closed=True)
    for x in (left + 2.0, right - 2.0):
        pic.line([(x, top + 1.4), (x, low - 1.4)], width_mm=0.25, dash_mm=(0.6, 0.8))
    mid = (top + low) / 2
    pic.line([(left + 6.5, 15.0), (right - 6.5, 15.0)], colour=TAPE, width_mm=0.8)
    pic.line([(34.0, 22.5), (34.0, low - 6.0)], colour=TAPE, width_mm=0.8)
    for tip, way in (
        ((left + 4.0, 15.0), (-1.0, 0.0)),
        ((right - 4.0, 15.0), (1.0, 0.0)),
        ((34.0, 20.0), (0.0, -1.0)),
        ((34.0, low - 3.5), (0.0, 1.0)),
    ):
        pic.arrow_head(tip, way, size_mm=3.0)
    _name(pic, (34.0, 12.4), "across", anchor="middle")
    _name(pic, (36.0, mid + 8.0), "along")
    for x in (left - 3.0, right + 5.4):
        pic.text((x, mid), "selvedge", anchor="middle", angle_deg=90.0)
    return pic.scene()


def eighths() -> Scene:
    """One inch of a tape, enlarged, with its eighths named."""
    pic = Picture(PAGE_MM, 46, "One inch of the tape, much enlarged: halves, quarters, eighths")
    left, inch, y = 16.0, 148.0, 12.0
    pic.line(
        [(left - 14, y), (left + inch + 20, y), (left + inch + 20, y + 25), (left - 14, y + 25)],
        fill=SKIN,
        closed=True,
    )
    names = ("", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8", "")
    long = (16.0, 5.0, 8.0, 5.0, 11.5, 5.0, 8.0, 5.0, 16.0)
    for k, (name, length) in enumerate(zip(names, long, strict=True)):
        x = left + inch * k / 8
        pic.line([(x, y), (x, y + length)], width_mm=0.6 if k % 8 == 0 else 0.4)
        pic.text((x, y + length + 4.2), name, anchor="middle", size_mm=3.4)
        if 0 < k < 8:
            pic.text((x, 43.5), f".{125 * k:03d}".rstrip("0"), anchor="middle")
    for x, text in ((left, "28"), (left + inch, "29")):
        pic.text((x, y + 22.2), text, anchor="middle", size_mm=5.0)
    x = left + inch * 3 / 8
    pic.arrow_head((x, y - 0.4), (0.0, 1.0), size_mm=3.4)
    _name(pic, (x + 3.0, y - 2.0), "the tape ends here: 28 3/8")
    pic.text((left - 14.0, 43.5), "decimal")
    return pic.scene()
