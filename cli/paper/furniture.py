"""What stands on home pages besides the drawing: frames, joining marks, numbers, the first page.

Everything here is plain items in millimetres on a page whose origin is the lower left corner of
its window (the part that shows the drawing), y up. A page is trimmed on its left and upper side
where it has a neighbour there, and laid on that neighbour up to a dashed line; the two half discs
of a join then make one disc.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass, field, replace
from typing import Literal, TypeAlias

from outseam.cli.scene.scene import Anchor, Label, Pen, SceneItem, Stroke
from outseam.cli.scene.shapes import QUARTER
from outseam.cli.scene.text import shorten_text, text_width_mm
from outseam.curves.path import Path, join, line, path
from outseam.curves.point import Point

PageEdge: TypeAlias = Literal["left", "right", "top", "bottom"]

#: The first page is laid out on this area; a window may be smaller, the paper must not be.
FIRST_W_MM, FIRST_H_MM = 190.0, 254.0

#: Nothing outside a window stands further from it than this.
FURNITURE_MM = 4.0

#: The squares: 10 cm and 4 in.
SQUARE_CM_MM, SQUARE_IN_MM = 100.0, 101.6

#: Lower left corners of the squares on the first page.
SQUARE_CM_AT: Point = (0.25, 119.0)
SQUARE_IN_AT: Point = (0.25, 0.25)

DISC_MM = 3.4
CODE_MM = 4.0
SMALL_MM = 2.4
TEXT_MM = 2.7
BODY_MM = 3.0

CUT_LINE = Pen(width_mm=0.3, colour=0.15)
LAY_LINE = Pen(width_mm=0.3, dash_mm=(6.0, 3.0), colour=0.5)
FREE_LINE = Pen(width_mm=0.15, colour=0.6)
HAIR = Pen(width_mm=0.15, colour=0.35)
RULE = Pen(width_mm=0.4)

#: A join's code stands this far off its line, and takes up so much across the line and half as
#: much to both sides along it: for a join that runs upward, and for one that runs across.
CODE_OFF_MM = DISC_MM + 1.0
CODE_UPWARD_MM, CODE_LEVEL_MM = (9.1, 9.0), (5.1, 20.0)
#: The box of the page number inside a window.
TAG_W_MM, TAG_H_MM = 26.0, 9.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """One side of the join between two pages.

    `at_mm` runs along the window's side from its lower left corner; `code` is the same on both
    pages, `page` the number of the other one. The code stands `further_mm` beyond its usual place
    beside the disc, where a line of the drawing runs through that.
    """

    code: str
    page: int
    at_mm: float
    further_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class TilePage:
    """What the furniture of one page says. `tag_at` is the lower left of the number's box."""

    number: int
    pages: int
    row: int
    column: int
    title: str
    window_w_mm: float
    window_h_mm: float
    overlap_mm: float
    joints: dict[PageEdge, Joint] = field(default_factory=dict)
    tag_at: Point = (0.0, 0.0)
    calibration: tuple[float, float] = (1.0, 1.0)


def calibration_note(calibration: tuple[float, float]) -> str:
    """Return what a calibrated page says, nothing when the factors are 1."""
    across, along = calibration
    if across == along == 1.0:
        return ""
    return f"CALIBRATED × {across:.4f} across, × {along:.4f} along"


def tile_items(page: TilePage) -> list[SceneItem]:
    """Return frame, joining marks, number and texts of one page."""
    items = [*_frame(page.window_w_mm, page.window_h_mm, page.overlap_mm, frozenset(page.joints))]
    for side, joint in page.joints.items():
        items += _mark(page, side, joint)
    return [*items, *_tag(page), *_margin_texts(page)]


@functools.lru_cache(maxsize=64)
def _frame(w: float, h: float, lap: float, joints: frozenset[PageEdge]) -> tuple[SceneItem, ...]:
    """Return the window's sides: to be cut, to lay the next page on, or just the end."""
    sides: dict[PageEdge, Path] = {
        "left": line((0, 0), (0, h)),
        "top": line((0, h), (w, h)),
        "right": line((w, 0), (w, h)),
        "bottom": line((0, 0), (w, 0)),
    }
    cut = [s for s in joints if s in ("left", "top") or not lap]
    items: list[SceneItem] = [
        Stroke(path=p, pen=CUT_LINE if s in cut else FREE_LINE) for s, p in sides.items()
    ]
    if lap and "right" in joints:
        items.append(Stroke(path=line((w - lap, 0), (w - lap, h)), pen=LAY_LINE))
    if lap and "bottom" in joints:
        items.append(Stroke(path=line((0, lap), (w, lap)), pen=LAY_LINE))
    return tuple(items)


def _mark(page: TilePage, side: PageEdge, joint: Joint) -> list[SceneItem]:
    """Return half a disc on the join, its code, and the page it goes to."""
    w, h, lap = page.window_w_mm, page.window_h_mm, page.overlap_mm
    middle, inward = {
        "left": ((0.0, joint.at_mm), (1, 0)),
        "right": ((w - lap, joint.at_mm), (-1, 0)),
        "top": ((joint.at_mm, h), (0, -1)),
        "bottom": ((joint.at_mm, lap), (0, 1)),
    }[side]
    items: list[SceneItem] = [Stroke(path=half_disc(middle, inward, DISC_MM), pen=None, fill=0.0)]
    if side in ("right", "bottom") and lap > DISC_MM:
        outward = (-inward[0], -inward[1])
        items.append(Stroke(path=half_disc(middle, outward, DISC_MM), pen=HAIR))
    x, y = middle
    if inward[0]:
        anchor: Anchor = "start" if inward[0] > 0 else "end"
        x += inward[0] * (DISC_MM + 1.2 + joint.further_mm)
        spots: tuple[Point, Point] = ((x, y + 0.3), (x, y - SMALL_MM - 0.5))
        return [
            *items,
            Label(text=joint.code, at=spots[0], size_mm=CODE_MM, anchor=anchor),
            Label(
                text=f"p. {joint.page}", at=spots[1], size_mm=SMALL_MM, anchor=anchor, colour=0.3
            ),
        ]
    y += inward[1] * (DISC_MM + 1.2 + joint.further_mm) - (inward[1] < 0) * CODE_MM * 0.75
    return [
        *items,
        Label(text=joint.code, at=(x - 0.7, y), size_mm=CODE_MM, anchor="end"),
        Label(text=f"p. {joint.page}", at=(x + 0.7, y), size_mm=SMALL_MM, colour=0.3),
    ]


def half_disc(middle: Point, towards: tuple[int, int], radius: float) -> Path:
    """Return the closed half of a disc that lies on one side of a line through its middle."""
    return _half_disc(towards, radius).moved(*middle)


@functools.cache
def _half_disc(towards: tuple[int, int], radius: float) -> Path:
    k = QUARTER
    ux, uy = towards

    def at(along: float, out: float) -> Point:
        return radius * (out * ux - along * uy), radius * (out * uy + along * ux)

    a, top, b = at(-1, 0), at(0, 1), at(1, 0)
    arc = path([[a, at(-1, k), at(-k, 1), top], [top, at(k, 1), at(1, k), b]])
    return join([arc, line(b, a)])


def _tag(page: TilePage) -> list[SceneItem]:
    """Return the page's number, large, with row and column: readable after trimming."""
    x, y = page.tag_at
    number = str(page.number)
    beside = x + 1.0 + text_width_mm(number, 8.0) + 1.5
    return [
        Label(text=number, at=(x + 1.0, y + 1.5), size_mm=8.0, colour=0.45),
        Label(text=f"row {page.row}", at=(beside, y + 4.8), size_mm=SMALL_MM, colour=0.45),
        Label(text=f"column {page.column}", at=(beside, y + 1.5), size_mm=SMALL_MM, colour=0.45),
    ]


def _margin_texts(page: TilePage) -> list[SceneItem]:
    """Return the lines outside the window: what is trimmed off needs not be kept."""
    w, h = page.window_w_mm, page.window_h_mm
    below, above = -1.3 - 0.75 * TEXT_MM, h + 1.4
    right = f"page {page.number} of {page.pages}"
    place = f"row {page.row}, column {page.column}  ·  {right}"
    room = w - text_width_mm(place, TEXT_MM) - 8.0
    title = shorten_text(page.title, TEXT_MM, room)
    note = calibration_note(page.calibration)
    head = "  ·  ".join(filter(None, ("Print at 100 % (actual size)", note)))
    items: list[SceneItem] = [
        Label(text=place, at=(w, below), size_mm=TEXT_MM, anchor="end", colour=0.2),
        Label(text=title, at=(0, below), size_mm=TEXT_MM, colour=0.2),
        Label(text=head, at=(0, above), size_mm=TEXT_MM, colour=0.2),
    ]
    room = w - text_width_mm(head, TEXT_MM) - 6.0
    if "top" in page.joints and room > 0.0:
        text = shorten_text(_cut_text(page.joints["top"]), TEXT_MM, room)
        items.append(Label(text=text, at=(w, above), size_mm=TEXT_MM, anchor="end", colour=0.2))
    if "left" in page.joints:
        text = _cut_text(page.joints["left"])
        upright = Label(text=text, at=(-1.3, h / 2), size_mm=SMALL_MM, angle_deg=90.0, colour=0.2)
        items.append(replace(upright, anchor="middle"))
    return items


def _cut_text(joint: Joint) -> str:
    return f"✂ cut along this side, join to page {joint.page}"
