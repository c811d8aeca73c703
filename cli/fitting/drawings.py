"""A small picture for every sign of a trial: pants on the figure with the sign marked on them.

Coordinates are centimetres on the figure of `measure.body_figure`, x right, y up, floor at 0; front
and back are symmetric, so marks are given for the right half and mirrored unless they say
otherwise. The side view faces right.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal, cast

import numpy as np

from outseam.cli.measure import body_figure as figure
from outseam.cli.measure.body_figure import BodyView, Points, points, through
from outseam.cli.measure.canvas import BLACK, GREY, PAPER, TAPE, BodyFrame, Picture
from outseam.cli.measure.figure_drawing import draw_body, other_side
from outseam.cli.scene.scene import Scene

CARD_MM, HIGH_MM = 38.0, 62.0
_SCALE = 0.53
_TOP_CM = 112.0
_WAIST_CM, _HIP_CM, _THIGH_CM = 101.4, 83.2, 62.0
_BAND_CM = 5.0

#: Right half of the pants from the front or the back: down the side, hem, up the inseam.
_OUTER = points("12.9,101.4 14.6,97 17,91 18.6,84 18.8,77 18.2,68 16.9,56 16,44 15.6,28 15.4,8.5")
_INNER = points("2.6,8.5 2.2,28 1.8,44 1.2,60 0.5,71 0,76")
#: Front and back contour of the side view, and the outseam between them.
_SIDE_FRONT = points("11.5,101.4 13,95 13.5,89 13,82 12.4,72 11.4,58 10.2,45 8.6,28 7.2,8.5")
_SIDE_BACK = points(
    "-7,101.4 -9.2,95 -12,88 -13,82.5 -12,76 -10.4,68 -8.4,56 -7.2,45 -7.6,28 -7.4,8.5"
)
_SIDE_SEAM = points("1.5,101.4 0.6,84 0.4,62 0.6,44 0,8.5")

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


#: Lines that many signs of the side view are judged against.
_LEVELS = {"hip": "was -13,83.2 13,83.2", "top": "was -7,101.4 11.5,101.4"}


def _mark(told: str) -> Mark:
    """Return a mark as it is told: its kind, "both" or "one" side where it is not as usual, points.

    Usual are folds on both sides, anything else on one.
    """
    kind, *rest = _LEVELS.get(told, told).split()
    sides = rest.pop(0) if rest[0] in ("both", "one") else ("both" if kind == "fold" else "one")
    return Mark(cast(MarkKind, kind), points(" ".join(rest)), sides == "both")


#: What is marked for each sign, by its key, as `_mark` reads it.
MARKS: dict[str, tuple[Mark, ...]] = {
    key: tuple(map(_mark, told.split("; ")))
    for key, told in {
        "hip line dips at the back": (
            "hip; top; line 11.5,101.4 5,101 -2,99.2 -8.2,96.6; "
            "line 13,83.2 4,83 -5,81.2 -12.4,77.6; arrow -16.5,84 -16.5,77"
        ),
        "hip line rises at the back": (
            "hip; top; line 11.5,101.4 5,101.8 -1,103.4 -6.2,105.6; "
            "line 13,83.2 4,83.4 -5,85.2 -12.4,88.6; arrow -16.5,82 -16.5,89; "
            "fold -11,74 -7,71.4 -3,70.6; fold -10.4,70.6 -6.8,68.2 -3.2,67.6"
        ),
        "hip line dips, waist stays": (
            "hip; line 13,83.2 4,83 -5,81.2 -12.4,77.6; arrow -16.5,84 -16.5,77; "
            "line -7,101.4 11.5,101.4; fold -11.2,90 -7,88.8 -2.6,89.2; "
            "fold -11.6,87.2 -7.4,86 -3,86.4"
        ),
        "hip line rises, waist stays": (
            "hip; line 13,83.2 4,83.4 -5,85.2 -12.4,88.6; arrow -16.5,82 -16.5,89; "
            "line -7,101.4 11.5,101.4"
        ),
        "waist dips at the back": (
            "top; line 11.5,101.4 5,101 -2,98.6 -8.8,94.6; arrow -12,102 -12,94.8"
        ),
        "waist dips in front": "top; line -7,101.4 -1,101 6,98.8 12.8,95; arrow 16.5,102 16.5,95",
        "waist gapes in front": (
            "top; line -7,101.4 0,101.6 7,103.2 12.4,105.6; arrow 16.5,100 16.5,106; "
            "fold 12.6,95 8,95.6 4,95; fold 13,91.6 8.4,92.2 4.8,91.8"
        ),
        "folds below the back waist": (
            "fold one -6.4,94.4 0,93.2 6.4,94.4; fold one -5.4,92 0,90.8 5.4,92; "
            "fold one -4,89.6 0,88.6 4,89.6"
        ),
        "waist higher in front": (
            "top; line 12.2,105 -7.8,97.4; arrow 16.5,101 16.5,106; arrow -12,101.6 -12,96.6"
        ),
        "waist higher at the back": (
            "top; line 12.2,97.4 -6.6,105; arrow 16.5,101.6 16.5,96.6; arrow -12,101 -12,106"
        ),
        "waist dips on one side": (
            "was -12.9,101.4 12.9,101.4; line -12.9,101.4 2,100.6 14.2,97; "
            "fold one 13.6,94.6 7,91.6 0.6,86.4; fold one 14.8,91 8.4,87.4 2.4,81.4; "
            "arrow 19.2,102.4 19.2,96.4"
        ),
        "waist stands up on one side": (
            "was -12.9,101.4 12.9,101.4; line -12.9,101.4 2,102.2 13.2,105.4; "
            "fold one 5,94.6 10,93.8 14.2,94.8; fold one 4.8,92.2 10,91.4 15,92.4; "
            "arrow 19.2,100.4 19.2,106.4"
        ),
        "smiles at the front crotch": (
            "fold 1,76.6 4.6,78.2 8.4,82.4; fold 1,75 6,76.2 11.4,80; fold 1.2,73.2 7,73.8 13,76.6"
        ),
        "frowns at the front crotch": (
            "fold 0.8,77.6 3.6,75.6 6,71.4; fold 1,80 5.4,78 9,72.4; "
            "fold 1.2,82.4 7.2,80.4 11.8,74; arrow 0,74.6 0,68.6"
        ),
        "front crotch curve cuts in": (
            "fold one -3.2,83.6 0,82.8 3.2,83.6; fold one -3.6,81 0,80.2 3.6,81; "
            "fold one -3.2,78.4 0,77.6 3.2,78.4; arrow both 6.6,81 4.4,81"
        ),
        "front crotch curve is slack": "fold one -5,84 0,80.2 5,84; fold one -5.4,81 0,77.2 5.4,81",
        "back crotch curve cuts in": (
            "edge 0,92 0,84 0,76.5; fold 1,87 3,85.4 3.6,82; fold 1,83.6 2.8,81.4 3,78.4; "
            "arrow both 9,82 4.8,82"
        ),
        "back crotch curve is slack": (
            "fold one -5.6,85.4 0,80.4 5.6,85.4; fold one -5,81.6 0,76.8 5,81.6"
        ),
        "wrinkles under the seat": (
            "fold 2.4,75.6 8.4,76.6 15,80.4; fold 2.4,72.6 8.4,73.4 15.4,76.6; "
            "fold 2.4,69.6 8.4,70.2 15.2,72.8"
        ),
        "tight across the thigh": (
            "was both 1,62 17.4,62; line both 1.2,61.6 9.2,64.8 17.6,61.6; "
            "fold 2.4,69 9.6,69.6 16.6,69; fold 2.4,66.6 9.6,67.4 16.6,66.6"
        ),
        "slack inside the thigh": (
            "fold 2.6,72 3,66 2.6,59; fold 4.6,70 5,64 4.6,57; fold 6.6,67.6 6.8,63 6.4,58"
        ),
        "tight across the seat": (
            "fold 2,86 9,86.8 17.6,85.6; fold 2,82.6 9,83.4 18,82.4; fold 2,79.2 9,80 18,79.2; "
            "arrow both 20.4,82.8 24,82.8"
        ),
        "loose across the seat": (
            "fold 5,90 5.6,83 5.2,76; fold 9.4,90 10,83 9.6,75; fold 13.8,89 14.4,83 14,76; "
            "arrow both 24,82.8 20.4,82.8"
        ),
        "seat fuller on one side": (
            "fold one 2,86 9,86.8 17.6,85.6; fold one 2,82.6 9,83.4 18,82.4; "
            "fold one 2,79.2 9,80 18,79.2; arrow 20.4,82.8 24,82.8"
        ),
        "thigh fuller on one side": (
            "was 1,62 17.4,62; line 1.2,61.6 9.2,64.8 17.6,61.6; "
            "fold one 2.4,69 9.6,69.6 16.6,69; fold one 2.4,66.6 9.6,67.4 16.6,66.6; "
            "arrow 19.6,65 23.2,65"
        ),
        "loose all over": (
            "fold 12,90 12.8,78 12.2,66; fold 7,70 7.6,56 7,42; fold 12,58 12.6,44 12,30; "
            "fold 7.2,36 7.8,26 7.2,16; arrow both 23.6,76 20,76; arrow both 21,44 17.4,44"
        ),
        "tight across the hip": (
            "fold 5,86 11,86.6 17.6,86; fold 4.6,83.2 11,83.8 18,83.2; fold 5,80.4 11,81 18,80.4; "
            "arrow both 20.4,83.4 24,83.4"
        ),
        "side seam swings forward": (
            "was 0.8,84 0.4,62 0.6,44 0,8.5; line 0.6,84 1.8,62 3.4,40 5,8.5; arrow 0.4,26 3.6,26"
        ),
        "side seam swings back": (
            "was 0.8,84 0.4,62 0.6,44 0,8.5; line 0.6,84 -0.8,62 -2.6,40 -5,8.5; "
            "arrow -0.2,26 -3.4,26"
        ),
        "folds inside the knee": (
            "was both 9,76 9,9.5; fold 2.6,45.6 6,49.4 8,55; fold 2.6,43.4 6.8,44.6 10.6,49; "
            "fold 2.8,41 6,37.6 7.8,32; arrow both 7,44.2 3.4,44.2"
        ),
        "folds outside the knee": (
            "was both 9,76 9,9.5; fold 15.6,45.6 12.2,49.4 10.2,55; "
            "fold 15.6,43.4 11.6,44.6 8.6,49; fold 15.4,41 12.2,37.6 10.4,32; "
            "arrow both 11.4,44.2 15,44.2"
        ),
        "tight across the calf": (
            "fold 3.2,34.6 9,35.4 14.8,34.6; fold 3.2,32 9,32.8 14.8,32; "
            "fold 3.2,29.4 9,30.2 14.8,29.4; arrow both 16.6,32 20,32"
        ),
        "slack round the calf": (
            "fold 6.2,38 6.6,32 6.2,25; fold 9,39 9.4,32 9,24; fold 11.8,38 12.2,32 11.8,25"
        ),
        "knee too high": (
            "was both 2,44.8 15.8,44.8; line both 1.8,49.6 16.2,49.6; arrow both 19,45 19,50.4"
        ),
        "knee too low": (
            "was both 2,44.8 15.8,44.8; line both 2.2,40 15.6,40; arrow both 19,44.6 19,39.2"
        ),
        "hem too short": (
            "was both 2.6,8.5 15.4,8.5; line both 2.4,15.5 15.5,15.5; arrow both 19,8.6 19,16"
        ),
        "hem too long": (
            "fold 3.2,14.6 8.6,12.4 14.8,14.6; fold 3,11.6 8.6,9.4 14.8,11.6; "
            "fold 3,8.6 8.6,6.4 15,8.6; arrow both 19,12 19,3"
        ),
        "band slips": (
            "was -12.9,101.4 12.9,101.4; line -14.4,97.4 0,96 14.4,97.4; "
            "arrow both 18.4,102 18.4,95.6"
        ),
        "band cuts": "fold one -13,103 0,101.8 13,103; arrow both 19.6,99 15,99",
    }.items()
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
    for run in _mirrored(mark, view):
        if mark.kind == "arrow":
            (x0, y0), (x1, y1) = f.on_paper(run[:1])[0], f.on_paper(run[-1:])[0]
            n = float(np.hypot(x1 - x0, y1 - y0))
            way = ((x1 - x0) / n, (y1 - y0) / n)
            pic.line([(x0, y0), (x1 - way[0], y1 - way[1])], colour=TAPE, width_mm=0.45)
            pic.arrow_head((float(x1), float(y1)), way, size_mm=1.9, part="mark")
            continue
        colour = BLACK if mark.kind == "was" else TAPE
        width, dash = _LOOKS[mark.kind]
        pic.shape([f.path(through(run))], colour=colour, width_mm=width, dash_mm=dash, part="mark")


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
