"""Variants laid on each other at crotch line and crease line, told apart by their pens.

Where lines run together only the first is drawn: dashes over dashes would be no line at all. What
is seen of a pen is therefore where its variant leaves the ones before it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely

from outseam.cli.compare.figures import numbers_text
from outseam.cli.compare.frame import (
    GREY,
    HEIGHT_MM,
    MARGIN_MM,
    PAGE_MM,
    SMALL_MM,
    TEXT_MM,
    TOP_MM,
    WIDTH_MM,
    Page,
    fitting_scale,
)
from outseam.cli.compare.legs import ComparedLeg, ComparedLegs
from outseam.cli.compare.side import label_lines
from outseam.cli.scene.compose import moved
from outseam.cli.scene.line_styles import line_style
from outseam.cli.scene.scene import Label, Pen, SceneItem, Stroke
from outseam.cli.scene.text import LEADING, paragraph, shorten_text, text_width_mm
from outseam.curves.path import line, polyline
from outseam.curves.point import Point
from outseam.curves.region import flatten_all
from outseam.draft.variants import Comparison, Variant

LEVEL = Pen(width_mm=0.15, colour=0.5)
LEADER = Pen(width_mm=0.12, colour=0.3)

LEGEND_MM, LEGEND_GAP_MM = 66.0, 10.0
SAMPLE_MM = 25.0
#: Room for numbers beside the legs and below the hems, and between the legs.
SIDE_ROOM_MM, HEM_ROOM_MM, BETWEEN_MM = 21.0, 8.0, 12.0
#: Lines nearer than this on paper are one line; shorter bits are no line.
TOGETHER_MM, LEAST_BIT_MM = 0.3, 0.8
#: How far a line on paper may stray from its curve.
_FINE_MM = 0.02
#: How far the broken lines that are compared stray from the curves, on the body.
_FLAT_MM = 0.15
#: Ends nearer than this on paper share one number.
_ONE_END_MM = 1.0
#: The enlarged tops reach this far below the crotch line, on the body.
TOPS_BELOW_MM = 60.0
#: So many changed keys are listed in the legend at most.
_MOST_CHANGES = 12

NOTES = (
    "Laid on each other at crotch line and crease line: sewing lines of the legs, without "
    "allowances and waistband.",
    "Where lines run together only the lowest number is drawn. Numbers stand at the ends of the "
    "outseams.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Side:
    """The front legs or the back legs of all variants, mm on the body."""

    back: bool
    numbers: tuple[int, ...]
    legs: tuple[ComparedLeg, ...]
    outlines: tuple[shapely.Geometry, ...]
    hems: bool

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Extent of all outlines together."""
        x0, y0, x1, y1 = shapely.total_bounds(np.array(self.outlines)).tolist()
        return x0, y0, x1, y1


def _side(legs: ComparedLegs, *, back: bool, lowest_mm: float | None) -> _Side:
    """Return the legs of one side; with `lowest_mm` only what lies above it."""
    found = [pair[back] for pair in legs.values()]
    paths = flatten_all([leg.outline for leg in found], _FLAT_MM)
    outlines: list[shapely.Geometry] = [shapely.LineString(points) for points in paths]
    if lowest_mm is not None:
        x0, _, x1, y1 = shapely.total_bounds(np.array(outlines)).tolist()
        above = shapely.box(x0 - 1.0, lowest_mm, x1 + 1.0, y1 + 1.0)
        outlines = [shapely.intersection(above, one) for one in outlines]
    return _Side(
        back=back,
        numbers=tuple(legs),
        legs=tuple(found),
        outlines=tuple(outlines),
        hems=lowest_mm is None,
    )


def overlay_pages(comparison: Comparison, legs: ComparedLegs) -> list[Page]:
    """Return the whole legs on one page, and their tops enlarged on another."""
    whole = _Room(wide_mm=WIDTH_MM - LEGEND_MM, high_mm=HEIGHT_MM - HEM_ROOM_MM - 3.0)
    column, rows = _legend(comparison, 1, LEGEND_MM), _legend(comparison, 3, WIDTH_MM)
    tops = _Room(wide_mm=WIDTH_MM, high_mm=HEIGHT_MM - rows.high_mm - LEGEND_GAP_MM - 3.0)
    right = PAGE_MM[0] - MARGIN_MM - LEGEND_MM + 6.0
    laid = _drawn(legs, whole, None)
    above = _drawn(legs, tops, -TOPS_BELOW_MM)
    return [
        Page(
            name="overlay",
            heading="laid on each other",
            items=(*laid.items, *moved(column.items, right, TOP_MM - 3.0)),
            notes=NOTES,
            scale=laid.scale,
        ),
        Page(
            name="tops",
            heading="laid on each other, from the crotch up",
            items=(*above.items, *moved(rows.items, MARGIN_MM, above.low_mm - LEGEND_GAP_MM)),
            notes=NOTES,
            scale=above.scale,
        ),
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Room:
    """How much of the page, from its upper left, the legs may take."""

    wide_mm: float
    high_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Drawn:
    """The legs on the page, their scale 1 : n, and how far down they reach."""

    items: tuple[SceneItem, ...]
    scale: int
    low_mm: float


def _drawn(legs: ComparedLegs, room: _Room, lowest_mm: float | None) -> _Drawn:
    """Return front and back legs, as large as they fit."""
    front, back = (_side(legs, back=b, lowest_mm=lowest_mm) for b in (False, True))
    f, b = front.box, back.box
    wide = f[2] - f[0] + b[2] - b[0]
    low, top = min(f[1], b[1]), max(f[3], b[3])
    room_w = room.wide_mm - 2.0 * SIDE_ROOM_MM - BETWEEN_MM
    scale = fitting_scale(wide, top - low, room_w, room.high_mm)
    s = 1.0 / scale
    zero_y = TOP_MM - 3.0 - top * s
    x = MARGIN_MM + SIDE_ROOM_MM + (room_w - wide * s) / 2.0
    front_zero = (x - f[0] * s, zero_y)
    back_zero = (x + (f[2] - f[0]) * s + BETWEEN_MM - b[0] * s, zero_y)
    items: list[SceneItem] = []
    for side, zero in ((front, front_zero), (back, back_zero)):
        items += _frame(side, s, zero)
        items += _lines(side, s, zero)
        items += _numbers(side, s, zero)
    return _Drawn(items=tuple(items), scale=scale, low_mm=zero_y + low * s)


def _frame(side: _Side, s: float, zero: Point) -> Iterator[SceneItem]:
    """Yield crotch line and crease line with their names, which all variants share."""
    x0, y0, x1, y1 = (v * s for v in side.box)
    x, y = zero
    yield Stroke(path=line((x + x0, y), (x + x1, y)), pen=LEVEL)
    yield Stroke(path=line((x, y + y0), (x, y + y1)), pen=LEVEL)
    names = (("crotch line", -1.0, SMALL_MM), ("back" if side.back else "front", 4.3, TEXT_MM))
    for text, down, size in names:
        # The outseam's side of the crease line has more room.
        left = x + 1.2 if side.back else x - 1.2 - text_width_mm(text, size)
        yield Label(text=text, at=(left, y - down), size_mm=size, colour=GREY)


def _lines(side: _Side, s: float, zero: Point) -> Iterator[SceneItem]:
    """Yield what is seen of every outline beyond those before it."""
    covered: shapely.Geometry = shapely.Point()
    for n, (number, outline) in enumerate(zip(side.numbers, side.outlines, strict=True)):
        if n:
            near = shapely.buffer(side.outlines[n - 1], TOGETHER_MM / s, quad_segs=1)
            covered = shapely.union(covered, near)
        for bit in _bits(shapely.difference(outline, covered)):
            on_paper = shapely.linestrings(shapely.get_coordinates(bit) * s + np.array(zero))
            if shapely.length(on_paper) >= LEAST_BIT_MM:
                fine = shapely.get_coordinates(shapely.simplify(on_paper, _FINE_MM))
                yield Stroke(path=polyline(fine), pen=line_style(number))


def _bits(found: shapely.Geometry) -> Iterable[shapely.Geometry]:
    """Return the lines of a geometry, joined where one ends and the next begins."""
    parts = [g for g in shapely.get_parts(found) if shapely.length(g) > 0.0]
    if len(parts) < 2:
        return parts
    bits: Iterable[shapely.Geometry] = shapely.get_parts(
        shapely.line_merge(shapely.multilinestrings(parts))
    )
    return bits


def _numbers(side: _Side, s: float, zero: Point) -> Iterator[SceneItem]:
    """Yield the variants' numbers at the ends of their outseams."""
    x0, y0, x1, _ = side.box
    edge = zero[0] + (x1 * s + 3.0 if side.back else x0 * s - 3.0)

    def placed(p: Point) -> Point:
        return zero[0] + p[0] * s, zero[1] + p[1] * s

    tops = _ends(side, [placed(leg.side_top) for leg in side.legs])
    yield from _beside(tops, edge, side.back)
    if not side.hems:
        return
    hems = _ends(side, [placed(leg.side_hem) for leg in side.legs])
    xs, ys = ([at[i] for at, _ in hems] for i in (0, 1))
    if max(xs) - min(xs) > max(ys) - min(ys):
        yield from _below(hems, zero[1] + y0 * s - 4.0)
    else:
        yield from _beside(hems, edge, side.back)


_End = tuple[Point, str]


def _ends(side: _Side, points: Sequence[Point]) -> list[_End]:
    """Return the places of ends with the numbers of the variants that end there.

    Of twelve numbers eleven would run off the paper: a long list is said by what it leaves out.
    """
    found: list[tuple[Point, list[int]]] = []
    for number, p in zip(side.numbers, points, strict=True):
        for at, numbers in found:
            if abs(at[0] - p[0]) + abs(at[1] - p[1]) < _ONE_END_MM:
                numbers.append(number)
                break
        else:
            found.append((p, [number]))
    told = []
    for at, numbers in found:
        text = numbers_text(numbers)
        rest = [n for n in side.numbers if n not in numbers]
        if text_width_mm(text, SMALL_MM) > SIDE_ROOM_MM - 4.0:
            shorter = f"all but {numbers_text(rest)}" if rest else "all"
            text = min(text, shorter, key=lambda t: text_width_mm(t, SMALL_MM))
            text = shorten_text(text, SMALL_MM, SIDE_ROOM_MM - 4.0)
        told.append((at, text))
    return told


def _beside(ends: Sequence[_End], edge: float, right: bool) -> Iterator[SceneItem]:
    """Yield the numbers in a column beside the legs, with leaders to their ends."""
    ends = sorted(ends, key=lambda e: (-e[0][1], e[1]))
    lifts = [SMALL_MM * 1.25] * len(ends)
    heights = _spread([-at[1] for at, _ in ends], lifts)
    for (at, text), y in zip(ends, heights, strict=True):
        foot = (edge, -y)
        yield Stroke(path=line(at, foot), pen=LEADER)
        yield Label(
            text=text,
            at=(edge + (0.8 if right else -0.8), -y - 0.36 * SMALL_MM),
            size_mm=SMALL_MM,
            anchor="start" if right else "end",
        )


def _below(ends: Sequence[_End], y: float) -> Iterator[SceneItem]:
    """Yield the numbers in a row below the hems, with leaders to their ends."""
    ends = sorted(ends, key=lambda e: (e[0][0], e[1]))
    wide = [text_width_mm(text, SMALL_MM) + 1.8 for _, text in ends]
    for (at, text), x in zip(ends, _spread([e[0][0] for e in ends], wide), strict=True):
        yield Stroke(path=line(at, (x, y + 0.4)), pen=LEADER)
        yield Label(text=text, at=(x, y - SMALL_MM * 0.75), size_mm=SMALL_MM, anchor="middle")


def _spread(wanted: Sequence[float], sizes: Sequence[float]) -> list[float]:
    """Return ascending places near the wanted ones, each as far from the next as it is large.

    Crowds are set evenly about the middle of what they wanted (pooling of neighbours, as in
    isotonic regression).
    """
    crowds: list[tuple[float, float, list[int]]] = []  # sum of wanted starts, its count, members
    offsets = [0.0]
    for a, b in pairwise(sizes):
        offsets.append(offsets[-1] + (a + b) / 2.0)
    for i, x in enumerate(wanted):
        crowd = (x - offsets[i], 1.0, [i])
        while crowds and crowds[-1][0] / crowds[-1][1] > crowd[0] / crowd[1]:
            total, count, members = crowds.pop()
            crowd = (total + crowd[0], count + crowd[1], members + crowd[2])
        crowds.append(crowd)
    return [total / count + offsets[i] for total, count, members in crowds for i in members]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Legend:
    """Pens and labels, drawn down from y = 0, and the height they take."""

    items: tuple[SceneItem, ...]
    high_mm: float


def _legend(comparison: Comparison, columns: int, wide_mm: float) -> _Legend:
    """Return the legend in columns, read downward.

    In one column there is room to say what was changed, if only one thing was compared.
    """
    rows = -(-len(comparison.variants) // columns)
    pitch = wide_mm / columns
    changes = columns == 1 and len(comparison.variants) == 2 and not comparison.varied
    items: list[SceneItem] = []
    y = deepest = 0.0
    for i, v in enumerate(comparison.variants):
        if i % rows == 0:
            y = 0.0
        found, high = _entry(v, pitch - 6.0, changes=changes)
        items += moved(found, (i // rows) * pitch, y)
        y -= high
        deepest = min(deepest, y)
    return _Legend(items=tuple(items), high_mm=-deepest)


def _entry(v: Variant, wide_mm: float, *, changes: bool) -> tuple[list[SceneItem], float]:
    """Return number, pen and label of a variant, drawn down from the origin, and the height.

    The label stands beside the pen where it fits there, else below.
    """
    items: list[SceneItem] = [Label(text=str(v.number), at=(0.0, -TEXT_MM), size_mm=TEXT_MM)]
    text_x, y = 7.0, 0.0
    if v.pattern is not None:
        level = -0.62 * TEXT_MM
        ends = (text_x, level), (text_x + SAMPLE_MM, level)
        items.append(Stroke(path=line(*ends), pen=line_style(v.number)))
        text_x += SAMPLE_MM + 2.5
    lines = label_lines(v.label, TEXT_MM, wide_mm - text_x)
    if len(lines) > 2 or (len(lines) > 1 and wide_mm < LEGEND_MM):
        text_x, y = 7.0, -1.25 * TEXT_MM if v.pattern is not None else 0.0
        lines = label_lines(v.label, TEXT_MM, wide_mm - text_x)
    for text in lines[:2]:
        items.append(Label(text=text, at=(text_x, y - TEXT_MM), size_mm=TEXT_MM))
        y -= TEXT_MM * LEADING
    remarks = ["cannot be had"] if v.pattern is None else []
    remarks += ["as in the file"] if v.as_written and not v.labelled_so else []
    if changes:
        text_x = 7.0
        remarks += map(str, v.telling[:_MOST_CHANGES])
        more = len(v.telling) - _MOST_CHANGES
        remarks += [f"and {more} more: see the table"] if more > 0 else []
    for told in remarks:
        found, high = paragraph(told, (text_x, y), SMALL_MM, wide_mm - text_x, most=2, colour=GREY)
        items += found
        y -= high
    return items, -y + 1.6
