"""A small picture for every sign of a trial: pants on the figure with the sign marked on them.

Coordinates are centimetres on the figure of `measure.body_figure`, x right, y up, floor at 0; front
and back are symmetric, so marks are given for the right half and mirrored unless they say
otherwise. The side view faces right.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

import numpy as np

from outseam.cli.measure import body_figure as figure
from outseam.cli.measure.body_figure import BodyView, Points, through
from outseam.cli.measure.canvas import BLACK, GREY, PAPER, TAPE, BodyFrame, Picture
from outseam.cli.measure.figure_drawing import draw_body, other_side
from outseam.cli.scene.scene import Scene
from outseam.curves.point import Point

CARD_MM, HIGH_MM = 38.0, 62.0
_SCALE = 0.53
_TOP_CM = 112.0
_WAIST_CM, _HEM_CM, _HIP_CM, _KNEE_CM, _THIGH_CM = 101.4, 8.5, 83.2, 44.8, 62.0
_BAND_CM = 5.0

#: Right half of the pants from the front or the back: down the side, hem, up the inseam.
_OUTER: Points = (
    (12.9, 101.4),
    (14.6, 97.0),
    (17.0, 91.0),
    (18.6, 84.0),
    (18.8, 77.0),
    (18.2, 68.0),
    (16.9, 56.0),
    (16.0, 44.0),
    (15.6, 28.0),
    (15.4, 8.5),
)
_INNER: Points = ((2.6, 8.5), (2.2, 28.0), (1.8, 44.0), (1.2, 60.0), (0.5, 71.0), (0.0, 76.0))
#: Front and back contour of the side view, and the outseam between them.
_SIDE_FRONT: Points = (
    (11.5, 101.4),
    (13.0, 95.0),
    (13.5, 89.0),
    (13.0, 82.0),
    (12.4, 72.0),
    (11.4, 58.0),
    (10.2, 45.0),
    (8.6, 28.0),
    (7.2, 8.5),
)
_SIDE_BACK: Points = (
    (-7.0, 101.4),
    (-9.2, 95.0),
    (-12.0, 88.0),
    (-13.0, 82.5),
    (-12.0, 76.0),
    (-10.4, 68.0),
    (-8.4, 56.0),
    (-7.2, 45.0),
    (-7.6, 28.0),
    (-7.4, 8.5),
)
_SIDE_SEAM: Points = ((1.5, 101.4), (0.6, 84.0), (0.4, 62.0), (0.6, 44.0), (0.0, 8.5))

MarkKind = Literal["fold", "line", "was", "arrow", "edge"]


@dataclass(frozen=True, slots=True)
class Mark:
    """One mark of a sign along points: a fold or pull, a line of the trial that hangs wrong, where
    a line should hang (`was`), an arrow to its last point, or an edge of the pants that moved.
    """

    kind: MarkKind
    points: Points
    both: bool = True


#: Line width in mm and dashes of each kind of mark but the arrow.
_LOOKS: dict[MarkKind, tuple[float, tuple[float, ...]]] = {
    "fold": (0.5, ()),
    "line": (0.65, ()),
    "edge": (0.65, ()),
    "was": (0.3, (1.1, 0.8)),
}


def _fold(*points: Point, both: bool = True) -> Mark:
    return Mark("fold", points, both)


def _line(*points: Point, both: bool = False) -> Mark:
    return Mark("line", points, both)


def _was(*points: Point, both: bool = False) -> Mark:
    return Mark("was", points, both)


def _arrow(*points: Point, both: bool = False) -> Mark:
    return Mark("arrow", points, both)


_SIDE_HIP = _was((-13.0, 83.2), (13.0, 83.2))
_SIDE_TOP = _was((-7.0, 101.4), (11.5, 101.4))

#: What is marked for each sign, by its key.
MARKS: dict[str, tuple[Mark, ...]] = {
    "hip line dips at the back": (
        _SIDE_HIP,
        _SIDE_TOP,
        _line((11.5, 101.4), (5.0, 101.0), (-2.0, 99.2), (-8.2, 96.6)),
        _line((13.0, 83.2), (4.0, 83.0), (-5.0, 81.2), (-12.4, 77.6)),
        _arrow((-16.5, 84.0), (-16.5, 77.0)),
    ),
    "hip line rises at the back": (
        _SIDE_HIP,
        _SIDE_TOP,
        _line((11.5, 101.4), (5.0, 101.8), (-1.0, 103.4), (-6.2, 105.6)),
        _line((13.0, 83.2), (4.0, 83.4), (-5.0, 85.2), (-12.4, 88.6)),
        _arrow((-16.5, 82.0), (-16.5, 89.0)),
        _fold((-11.0, 74.0), (-7.0, 71.4), (-3.0, 70.6)),
        _fold((-10.4, 70.6), (-6.8, 68.2), (-3.2, 67.6)),
    ),
    "hip line dips, waist stays": (
        _SIDE_HIP,
        _line((13.0, 83.2), (4.0, 83.0), (-5.0, 81.2), (-12.4, 77.6)),
        _arrow((-16.5, 84.0), (-16.5, 77.0)),
        _line((-7.0, 101.4), (11.5, 101.4)),
        _fold((-11.2, 90.0), (-7.0, 88.8), (-2.6, 89.2)),
        _fold((-11.6, 87.2), (-7.4, 86.0), (-3.0, 86.4)),
    ),
    "hip line rises, waist stays": (
        _SIDE_HIP,
        _line((13.0, 83.2), (4.0, 83.4), (-5.0, 85.2), (-12.4, 88.6)),
        _arrow((-16.5, 82.0), (-16.5, 89.0)),
        _line((-7.0, 101.4), (11.5, 101.4)),
    ),
    "waist dips at the back": (
        _SIDE_TOP,
        _line((11.5, 101.4), (5.0, 101.0), (-2.0, 98.6), (-8.8, 94.6)),
        _arrow((-12.0, 102.0), (-12.0, 94.8)),
    ),
    "waist dips in front": (
        _SIDE_TOP,
        _line((-7.0, 101.4), (-1.0, 101.0), (6.0, 98.8), (12.8, 95.0)),
        _arrow((16.5, 102.0), (16.5, 95.0)),
    ),
    "waist gapes in front": (
        _SIDE_TOP,
        _line((-7.0, 101.4), (0.0, 101.6), (7.0, 103.2), (12.4, 105.6)),
        _arrow((16.5, 100.0), (16.5, 106.0)),
        _fold((12.6, 95.0), (8.0, 95.6), (4.0, 95.0)),
        _fold((13.0, 91.6), (8.4, 92.2), (4.8, 91.8)),
    ),
    "folds below the back waist": (
        _fold((-6.4, 94.4), (0.0, 93.2), (6.4, 94.4), both=False),
        _fold((-5.4, 92.0), (0.0, 90.8), (5.4, 92.0), both=False),
        _fold((-4.0, 89.6), (0.0, 88.6), (4.0, 89.6), both=False),
    ),
    "waist higher in front": (
        _SIDE_TOP,
        _line((12.2, 105.0), (-7.8, 97.4)),
        _arrow((16.5, 101.0), (16.5, 106.0)),
        _arrow((-12.0, 101.6), (-12.0, 96.6)),
    ),
    "waist higher at the back": (
        _SIDE_TOP,
        _line((12.2, 97.4), (-6.6, 105.0)),
        _arrow((16.5, 101.6), (16.5, 96.6)),
        _arrow((-12.0, 101.0), (-12.0, 106.0)),
    ),
    "waist dips on one side": (
        _was((-12.9, 101.4), (12.9, 101.4)),
        _line((-12.9, 101.4), (2.0, 100.6), (14.2, 97.0)),
        _fold((13.6, 94.6), (7.0, 91.6), (0.6, 86.4), both=False),
        _fold((14.8, 91.0), (8.4, 87.4), (2.4, 81.4), both=False),
        _arrow((19.2, 102.4), (19.2, 96.4)),
    ),
    "waist stands up on one side": (
        _was((-12.9, 101.4), (12.9, 101.4)),
        _line((-12.9, 101.4), (2.0, 102.2), (13.2, 105.4)),
        _fold((5.0, 94.6), (10.0, 93.8), (14.2, 94.8), both=False),
        _fold((4.8, 92.2), (10.0, 91.4), (15.0, 92.4), both=False),
        _arrow((19.2, 100.4), (19.2, 106.4)),
    ),
    "smiles at the front crotch": (
        _fold((1.0, 76.6), (4.6, 78.2), (8.4, 82.4)),
        _fold((1.0, 75.0), (6.0, 76.2), (11.4, 80.0)),
        _fold((1.2, 73.2), (7.0, 73.8), (13.0, 76.6)),
    ),
    "frowns at the front crotch": (
        _fold((0.8, 77.6), (3.6, 75.6), (6.0, 71.4)),
        _fold((1.0, 80.0), (5.4, 78.0), (9.0, 72.4)),
        _fold((1.2, 82.4), (7.2, 80.4), (11.8, 74.0)),
        _arrow((0.0, 74.6), (0.0, 68.6)),
    ),
    "front crotch curve cuts in": (
        _fold((-3.2, 83.6), (0.0, 82.8), (3.2, 83.6), both=False),
        _fold((-3.6, 81.0), (0.0, 80.2), (3.6, 81.0), both=False),
        _fold((-3.2, 78.4), (0.0, 77.6), (3.2, 78.4), both=False),
        _arrow((6.6, 81.0), (4.4, 81.0), both=True),
    ),
    "front crotch curve is slack": (
        _fold((-5.0, 84.0), (0.0, 80.2), (5.0, 84.0), both=False),
        _fold((-5.4, 81.0), (0.0, 77.2), (5.4, 81.0), both=False),
    ),
    "back crotch curve cuts in": (
        Mark("edge", ((0.0, 92.0), (0.0, 84.0), (0.0, 76.5)), both=False),
        _fold((1.0, 87.0), (3.0, 85.4), (3.6, 82.0)),
        _fold((1.0, 83.6), (2.8, 81.4), (3.0, 78.4)),
        _arrow((9.0, 82.0), (4.8, 82.0), both=True),
    ),
    "back crotch curve is slack": (
        _fold((-5.6, 85.4), (0.0, 80.4), (5.6, 85.4), both=False),
        _fold((-5.0, 81.6), (0.0, 76.8), (5.0, 81.6), both=False),
    ),
    "wrinkles under the seat": (
        _fold((2.4, 75.6), (8.4, 76.6), (15.0, 80.4)),
        _fold((2.4, 72.6), (8.4, 73.4), (15.4, 76.6)),
        _fold((2.4, 69.6), (8.4, 70.2), (15.2, 72.8)),
    ),
    "tight across the thigh": (
        _was((1.0, 62.0), (17.4, 62.0), both=True),
        _line((1.2, 61.6), (9.2, 64.8), (17.6, 61.6), both=True),
        _fold((2.4, 69.0), (9.6, 69.6), (16.6, 69.0)),
        _fold((2.4, 66.6), (9.6, 67.4), (16.6, 66.6)),
    ),
    "slack inside the thigh": (
        _fold((2.6, 72.0), (3.0, 66.0), (2.6, 59.0)),
        _fold((4.6, 70.0), (5.0, 64.0), (4.6, 57.0)),
        _fold((6.6, 67.6), (6.8, 63.0), (6.4, 58.0)),
    ),
    "tight across the seat": (
        _fold((2.0, 86.0), (9.0, 86.8), (17.6, 85.6)),
        _fold((2.0, 82.6), (9.0, 83.4), (18.0, 82.4)),
        _fold((2.0, 79.2), (9.0, 80.0), (18.0, 79.2)),
        _arrow((20.4, 82.8), (24.0, 82.8), both=True),
    ),
    "loose across the seat": (
        _fold((5.0, 90.0), (5.6, 83.0), (5.2, 76.0)),
        _fold((9.4, 90.0), (10.0, 83.0), (9.6, 75.0)),
        _fold((13.8, 89.0), (14.4, 83.0), (14.0, 76.0)),
        _arrow((24.0, 82.8), (20.4, 82.8), both=True),
    ),
    "seat fuller on one side": (
        _fold((2.0, 86.0), (9.0, 86.8), (17.6, 85.6), both=False),
        _fold((2.0, 82.6), (9.0, 83.4), (18.0, 82.4), both=False),
        _fold((2.0, 79.2), (9.0, 80.0), (18.0, 79.2), both=False),
        _arrow((20.4, 82.8), (24.0, 82.8)),
    ),
    "thigh fuller on one side": (
        _was((1.0, 62.0), (17.4, 62.0)),
        _line((1.2, 61.6), (9.2, 64.8), (17.6, 61.6)),
        _fold((2.4, 69.0), (9.6, 69.6), (16.6, 69.0), both=False),
        _fold((2.4, 66.6), (9.6, 67.4), (16.6, 66.6), both=False),
        _arrow((19.6, 65.0), (23.2, 65.0)),
    ),
    "loose all over": (
        _fold((12.0, 90.0), (12.8, 78.0), (12.2, 66.0)),
        _fold((7.0, 70.0), (7.6, 56.0), (7.0, 42.0)),
        _fold((12.0, 58.0), (12.6, 44.0), (12.0, 30.0)),
        _fold((7.2, 36.0), (7.8, 26.0), (7.2, 16.0)),
        _arrow((23.6, 76.0), (20.0, 76.0), both=True),
        _arrow((21.0, 44.0), (17.4, 44.0), both=True),
    ),
    "tight across the hip": (
        _fold((5.0, 86.0), (11.0, 86.6), (17.6, 86.0)),
        _fold((4.6, 83.2), (11.0, 83.8), (18.0, 83.2)),
        _fold((5.0, 80.4), (11.0, 81.0), (18.0, 80.4)),
        _arrow((20.4, 83.4), (24.0, 83.4), both=True),
    ),
    "side seam swings forward": (
        _was((0.8, 84.0), (0.4, 62.0), (0.6, 44.0), (0.0, 8.5)),
        _line((0.6, 84.0), (1.8, 62.0), (3.4, 40.0), (5.0, 8.5)),
        _arrow((0.4, 26.0), (3.6, 26.0)),
    ),
    "side seam swings back": (
        _was((0.8, 84.0), (0.4, 62.0), (0.6, 44.0), (0.0, 8.5)),
        _line((0.6, 84.0), (-0.8, 62.0), (-2.6, 40.0), (-5.0, 8.5)),
        _arrow((-0.2, 26.0), (-3.4, 26.0)),
    ),
    "folds inside the knee": (
        _was((9.0, 76.0), (9.0, 9.5), both=True),
        _fold((2.6, 45.6), (6.0, 49.4), (8.0, 55.0)),
        _fold((2.6, 43.4), (6.8, 44.6), (10.6, 49.0)),
        _fold((2.8, 41.0), (6.0, 37.6), (7.8, 32.0)),
        _arrow((7.0, 44.2), (3.4, 44.2), both=True),
    ),
    "folds outside the knee": (
        _was((9.0, 76.0), (9.0, 9.5), both=True),
        _fold((15.6, 45.6), (12.2, 49.4), (10.2, 55.0)),
        _fold((15.6, 43.4), (11.6, 44.6), (8.6, 49.0)),
        _fold((15.4, 41.0), (12.2, 37.6), (10.4, 32.0)),
        _arrow((11.4, 44.2), (15.0, 44.2), both=True),
    ),
    "tight across the calf": (
        _fold((3.2, 34.6), (9.0, 35.4), (14.8, 34.6)),
        _fold((3.2, 32.0), (9.0, 32.8), (14.8, 32.0)),
        _fold((3.2, 29.4), (9.0, 30.2), (14.8, 29.4)),
        _arrow((16.6, 32.0), (20.0, 32.0), both=True),
    ),
    "slack round the calf": (
        _fold((6.2, 38.0), (6.6, 32.0), (6.2, 25.0)),
        _fold((9.0, 39.0), (9.4, 32.0), (9.0, 24.0)),
        _fold((11.8, 38.0), (12.2, 32.0), (11.8, 25.0)),
    ),
    "knee too high": (
        _was((2.0, 44.8), (15.8, 44.8), both=True),
        _line((1.8, 49.6), (16.2, 49.6), both=True),
        _arrow((19.0, 45.0), (19.0, 50.4), both=True),
    ),
    "knee too low": (
        _was((2.0, 44.8), (15.8, 44.8), both=True),
        _line((2.2, 40.0), (15.6, 40.0), both=True),
        _arrow((19.0, 44.6), (19.0, 39.2), both=True),
    ),
    "hem too short": (
        _was((2.6, 8.5), (15.4, 8.5), both=True),
        _line((2.4, 15.5), (15.5, 15.5), both=True),
        _arrow((19.0, 8.6), (19.0, 16.0), both=True),
    ),
    "hem too long": (
        _fold((3.2, 14.6), (8.6, 12.4), (14.8, 14.6)),
        _fold((3.0, 11.6), (8.6, 9.4), (14.8, 11.6)),
        _fold((3.0, 8.6), (8.6, 6.4), (15.0, 8.6)),
        _arrow((19.0, 12.0), (19.0, 3.0), both=True),
    ),
    "band slips": (
        _was((-12.9, 101.4), (12.9, 101.4)),
        _line((-14.4, 97.4), (0.0, 96.0), (14.4, 97.4)),
        _arrow((18.4, 102.0), (18.4, 95.6), both=True),
    ),
    "band cuts": (
        _fold((-13.0, 103.0), (0.0, 101.8), (13.0, 103.0), both=False),
        _arrow((19.6, 99.0), (15.0, 99.0), both=True),
    ),
}


def _pants(pic: Picture, f: BodyFrame, view: str) -> None:
    """Draw the trial: its outline, band, seams and balance lines."""
    if view == "side":
        outline = [through(_SIDE_FRONT), through(_SIDE_BACK[::-1])]
        pic.shape([f.path(p) for p in outline], fill=PAPER, width_mm=0.35, closed=True)
        pic.shape([f.path(through(_SIDE_SEAM))], colour=GREY, width_mm=0.2)
        levels: list[Points] = [((-13.0, _HIP_CM), (13.1, _HIP_CM))]
        band: Points = ((-8.6, _WAIST_CM - _BAND_CM), (12.8, _WAIST_CM - _BAND_CM))
        levels += [((-9.4, _THIGH_CM), (11.7, _THIGH_CM))]
    else:
        right = [through(_OUTER), through(_INNER)]
        outline = [*right, *other_side(right)]
        pic.shape([f.path(p) for p in outline], fill=PAPER, width_mm=0.35, closed=True)
        pic.line(f.on_paper([(0.0, _WAIST_CM - _BAND_CM), (0.0, 76.0)]), colour=GREY, width_mm=0.2)
        levels = [((-18.6, _HIP_CM), (18.6, _HIP_CM))]
        for sign in (1.0, -1.0):
            levels.append(((1.1 * sign, _THIGH_CM), (17.4 * sign, _THIGH_CM)))
        band = ((-14.9, _WAIST_CM - _BAND_CM), (14.9, _WAIST_CM - _BAND_CM))
    for level in levels:
        pic.line(f.on_paper(level), colour=GREY, width_mm=0.2, dash_mm=(0.9, 0.7))
    pic.line(f.on_paper(band), width_mm=0.25)


def _mirrored(mark: Mark, view: str) -> Iterable[Points]:
    yield mark.points
    if mark.both and view != "side":
        yield tuple((-x, y) for x, y in mark.points)


def _draw_mark(pic: Picture, f: BodyFrame, mark: Mark, view: str) -> None:
    for points in _mirrored(mark, view):
        if mark.kind == "arrow":
            (x0, y0), (x1, y1) = f.on_paper(points[:1])[0], f.on_paper(points[-1:])[0]
            n = float(np.hypot(x1 - x0, y1 - y0))
            way = ((x1 - x0) / n, (y1 - y0) / n)
            pic.line([(x0, y0), (x1 - way[0], y1 - way[1])], colour=TAPE, width_mm=0.45)
            pic.arrow_head((float(x1), float(y1)), way, size_mm=1.9, part="mark")
            continue
        colour = BLACK if mark.kind == "was" else TAPE
        width, dash = _LOOKS[mark.kind]
        pic.shape(
            [f.path(through(points))], colour=colour, width_mm=width, dash_mm=dash, part="mark"
        )


def _view(name: str) -> BodyView:
    return {"front": figure.front, "back": figure.back, "side": figure.side}[name]()


def sign_drawing(key: str, view: str, title: str) -> Scene:
    """Return the picture of a sign; `view` is front, back or side. Raises KeyError."""
    marks = MARKS[key]
    pic = Picture(CARD_MM, HIGH_MM, title)
    f = BodyFrame(x_mm=CARD_MM / 2.0, floor_mm=HIGH_MM - 1.6, scale=_SCALE)
    draw_body(pic, f, _view(view), _TOP_CM, 0.0, back=view == "back")
    _pants(pic, f, view)
    for mark in marks:
        _draw_mark(pic, f, mark, view)
    return pic.scene()
