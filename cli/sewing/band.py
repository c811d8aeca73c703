"""Pictures of the sewing order at the waist: belt, ring, band on the legs, elastic."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np

from outseam.cli.scene.scene import Pen, Scene
from outseam.cli.sewing.canvas import (
    DONE,
    EDGE,
    ELASTIC,
    FINE,
    FOLD,
    HIGH_MM,
    LINING,
    RIGHT,
    SEWN,
    WRONG,
    ClothView,
    StepPicture,
    Tick,
    above,
    beside,
    by_name,
    cut_line,
    cut_of,
    fitted,
    flipped,
    half_ring,
    leg_of,
    line_of,
    shifted,
    ticks_of,
)
from outseam.curves.path import Floats
from outseam.curves.region import bounds
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece
from outseam.draft.sewing.tools.job import Job
from outseam.draft.sewing.tools.settings import gap_mm

_BAR = Pen(width_mm=0.45)


def _fold(picture: StepPicture, piece: Piece, view: ClothView) -> None:
    for mark in piece.lines:
        if mark.kind == "fold":
            picture.line(view(line_of(mark.path)), FOLD)


def belt(pattern: Pattern) -> Scene:
    """A belt half basted to the front band's side, on the lower half."""
    picture = StepPicture("A belt half on the front waistband")
    band, half = pattern.piece("front_band"), pattern.piece("belt")
    width = bounds(half.edge("side").path)[2] / 2.0
    height = pattern.block.band_height_mm
    low = (height - width) / 2.0
    right = band.edge("right").path.start[0]
    shape = beside(cut_of(band), right - 3.4 * height, left=False)
    view = fitted([shape], (3.0, 42.0, 6.0, HIGH_MM - 4.0))
    picture.shape(view(shape), RIGHT)
    picture.crop(view, shape, right - 3.4 * height)
    seam = pattern.spec.style.seam_allowance
    x0 = right - 2.9 * height
    tube = np.array(
        [(x0, low), (right + seam, low), (right + seam, low + width), (x0, low + width)]
    )
    picture.shape(view(tube), LINING)
    picture.crop(view, tube, x0)
    picture.line(view([(right, low), (right, low + width)]), SEWN)
    picture.ticks(ticks_of(band, ("right",)), view)
    fold = float(next(k.path.start[1] for k in band.lines if k.kind == "fold"))
    picture.line(view([(right - 3.3 * height, fold), (right + seam, fold)]), FOLD)
    picture.note("basted", 24.0, view.at(right, low + width / 2.0, right=0.4))
    picture.note("fold", 33.0, view.at(right, fold))
    picture.word("belt", view.at(right - 1.6 * height, low + width / 2.0, up=-0.8))
    x = view.at(right - 1.7 * height, 0.0)[0]
    picture.word("front waistband", (x + 4.0, view(shape)[:, 1].min() - 3.6))
    return picture.scene()


def ring(pattern: Pattern) -> Scene:
    """Front on back band with both sides sewn, and the ring folded."""
    picture = StepPicture("The waistband's ring")
    front = pattern.piece("front_band")
    shapes = [cut_of(front)]
    view = fitted(shapes, (4.0, 58.0, 20.5, HIGH_MM - 2.5))
    wide, flat = bounds(front.edge("lower").path)[2], bounds(front.edge("right").path)[3]
    picture.shape(view(shapes[0]), WRONG)
    for x in (0.0, wide):
        picture.line(view([(x, 0.0), (x, flat)]), SEWN)
    _fold(picture, front, view)
    picture.word("front on back", view.at(wide / 2.0, flat / 4.0, up=-0.8))
    # The folded ring, seen a little from above: two half ellipses and the fold.
    x, rx, ry, high = 31.0, 21.0, 2.6, min(max(flat / 2.0 * view.scale, 3.0), 9.0)
    y = float(view(shapes[0])[:, 1].min()) - 2.5 - ry - high
    far = half_ring(x, y + high, rx, ry, 40)
    near, low = (half_ring(x, level, -rx, -ry, 40) for level in (y + high, y))
    picture.shape(np.concatenate([far, near]), LINING)
    picture.shape(np.concatenate([near, low[::-1]]), RIGHT)
    for side in (-1.0, 1.0):
        picture.line([(x + side * rx, y), (x + side * rx, y + high)], EDGE)
    if high > 4.5:
        picture.word("folded", (x, y + high / 2.0 - ry - 0.8))
    return picture.scene()


def _top(pattern: Pattern, *, gap: float | None) -> StepPicture:
    """Both backs from the outside with the band on them, raw edges together, sewn."""
    picture = StepPicture("The waistband on the legs")
    panel = pattern.block.back
    waist = line_of(panel.waist)
    centre = float(waist[0, 0])
    shape = above(leg_of(pattern, "back"), float(waist[:, 1].min()) - 130.0)
    shape = beside(shape, centre, left=True)
    half = shifted(shape, -centre, 0.0)
    both = [half, flipped(half)]
    high = pattern.block.band_height_mm
    line = shifted(waist, -centre, 0.0)
    # The band is stretched to the edge and hangs from it, raw edges together, its fold below.
    lower = np.concatenate([line[::-1], flipped(line)[1:]])
    seam = pattern.spec.style.seam_allowance
    hanging = np.concatenate([shifted(lower, 0.0, seam), shifted(lower, 0.0, -high)[::-1]])
    view = fitted(both, (4.0, 58.0, 6.5, HIGH_MM - 4.0))
    for s in both:
        picture.shape(view(s), RIGHT)
    top = float(line[0, 1])
    picture.line([view.at(0.0, top - 130.0, up=0.5), view.at(0.0, top)], EDGE)
    picture.shape(view(hanging), LINING)
    for p in (line, flipped(line)):
        picture.line(view(p if gap is None else cut_line(p, gap / 2.0)[1]), SEWN)
    own = ticks_of(pattern.piece("back"), ("waist",))
    ticks = [tick.about((centre, 0.0), flip) for flip in (1.0, -1.0) for tick in own]
    ticks.append(Tick(at=(0.0, top), out=(0.0, 1.0), count=2, role="centre back"))
    picture.ticks(ticks, view)
    x = float(line[-1, 0]) * 0.55
    fold = float(np.interp(-x, -line[:, 0], line[:, 1])) - high
    picture.word("fold", view.at(x, fold, up=-3.0))
    picture.word("both backs, right side", (31.0, view(half)[:, 1].min() - 3.4))
    if gap is not None:
        to = view.at(0.0, top, right=0.9, up=-0.2)
        picture.note("open", to[1] + 3.6, to, x=to[0] + 9.0)
    return picture


def join_gap(pattern: Pattern) -> Scene:
    """The band sewn on, open at the centre back."""
    return _top(pattern, gap=gap_mm(Job(pattern=pattern))).scene()


def join(pattern: Pattern) -> Scene:
    """The band sewn on all round."""
    return _top(pattern, gap=None).scene()


def elastic(pattern: Pattern) -> Scene:
    """The elastic pinned into a ring."""
    picture = StepPicture("The elastic pinned round")
    length = pattern.band.elastic_mm or 0.0
    high = max(min(pattern.spec.style.elastic_width / max(length, 1.0) * 165.0, 12.0), 3.0)
    x, y, rx, ry = 31.0, 16.0, 25.0, 7.0
    top = y + high
    for ry_, grey in ((ry, 0.75), (-ry, ELASTIC)):
        upper, lower = (half_ring(x, level, rx, ry_) for level in (top, y))
        picture.shape(np.concatenate([upper, lower[::-1]]), grey)
    for side in (-0.9, 3.2):
        picture.line([(x + side, y - ry + 0.05), (x + side, top - ry + 0.05)], _BAR)
    middle = y - ry + high / 2.0
    picture.line([(x - 3.0, middle + 0.8), (x + 5.2, middle - 0.6)], Pen(width_mm=0.5))
    picture.shape(_disc((x - 3.4, middle + 0.9), 0.7), 1.0)
    picture.word("ends overlap, pinned", (x, 2.6), to=(x + 1.2, y - ry))
    return picture.scene()


def _disc(at: tuple[float, float], r: float) -> Floats:
    t = np.linspace(0.0, 2.0 * math.pi, 24)
    return np.stack([at[0] + r * np.cos(t), at[1] + r * np.sin(t)], axis=1)


def thread(pattern: Pattern) -> Scene:
    """The gap with both ends drawn out, and how they are joined."""
    picture = StepPicture("Threading and joining the elastic")
    high = 9.0
    y = 27.0
    picture.box(2.0, y, 60.0, y + high, RIGHT)
    picture.line([(2.0, y + high), (60.0, y + high)], EDGE)
    for a, b in ((2.0, 19.0), (43.0, 60.0)):
        picture.line([(a, y), (b, y)], SEWN)
    picture.word("casing" if pattern.block.turn_mm else "band", (31.0, y + 5.0))
    # Ends come out of the gap; below, the join in large.
    for x0, x1, lean in ((20.5, 26.5, -4.0), (35.5, 41.5, 4.0)):
        p = [(x0, y), (x1, y), (x1 + lean, y - 7.0), (x0 + lean, y - 7.0)]
        picture.shape(np.array(p), ELASTIC)
    picture.word("gap", (31.0, y - 3.6))
    low, top = 3.0, 14.5
    picture.box(8.0, low, 36.0, top, ELASTIC)
    picture.box(26.0, low, 54.0, top, 0.68)
    picture.line([(36.0, low), (36.0, top)], FINE)
    a, b, c, d = 27.2, 34.8, low + 1.4, top - 1.4
    square = [(a, c), (b, c), (b, d), (a, d), (a, c), (b, d)]
    for start, end in pairwise(square):
        picture.line(_zigzag_line(start, end), Pen(width_mm=0.3))
    picture.line(_zigzag_line((a, d), (b, c)), Pen(width_mm=0.3))
    return picture.scene()


def _zigzag_line(p: tuple[float, float], q: tuple[float, float]) -> Floats:
    """Return a zigzag along a line."""
    a, b = np.array(p), np.array(q)
    n = max(int(np.hypot(*(b - a)) / 0.55), 2)
    t = np.linspace(0.0, 1.0, n + 1)[:, None]
    side = np.array((-(b - a)[1], (b - a)[0])) / np.hypot(*(b - a))
    swing = (np.where(np.arange(n + 1) % 2, 0.45, -0.45))[:, None]
    out: Floats = a + (b - a) * t + side * swing
    return out


def ditch(pattern: Pattern) -> Scene:
    """The band at a side seam, stitched in the groove from fold to seam."""
    picture = StepPicture("Stitching in the ditch")
    low, high = 11.0, 25.0
    turned = pattern.block.turn_mm
    picture.box(4.0, 3.0, 58.0, low, RIGHT)
    picture.box(4.0, low, 58.0, high, RIGHT if turned else LINING)
    for y in (low + 2.0, high - 2.0):
        picture.line([(4.0, y), (58.0, y)], DONE)
    picture.line([(31.0, 3.0), (31.0, high)], EDGE)
    picture.line([(31.0, low), (31.0, high)], SEWN)
    for side in (4.0, 58.0):
        picture.line([(side, 2.6), (side, high + 0.4)], Pen(width_mm=0.9, colour=1.0))
    picture.word("elastic inside", (16.5, (low + high) / 2.0 - 0.8))
    picture.word("side seam", (33.0, 5.5), anchor="start")
    picture.word("fold", (9.0, high + 1.4))
    picture.word("in the ditch", (44.0, high + 4.0), to=(31.4, high - 3.0))
    return picture.scene()


DRAWINGS = by_name(belt, ring, join, join_gap, elastic, thread, ditch)
