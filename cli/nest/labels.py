"""Where the names of the sizes stand: on their own lines, clear of all others.

A name stands upon its line, on the inner side, where the gap to the next line is wide enough for
it; all sizes try the same place first, so that names read across like a ladder. Where the lines of
a piece are too close for any size of type, the name stands inside the smallest size and a leader
with a dot at its end goes to the line.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray

from outseam.cli.scene.scene import Label, Pen, Stroke
from outseam.cli.scene.text import shorten_text, text_width_mm
from outseam.curves.path import Floats, Path, line, polyline
from outseam.curves.region import flatten

#: Heights tried, mm, with the room kept from the next line, and what share of it figures take.
_SIZES_MM = ((4.2, 1.3), (3.6, 1.1), (3.0, 0.9), (2.6, 0.8), (2.2, 0.8))
_CAP = 0.78
#: A name longer than this is shortened.
_LONGEST_MM = 30.0
#: Room between a name and its own line, less than to the next; of that what is kept clear.
_LIFT_MM, _CLEAR_MM = 0.55, 0.3
#: A line is named only where no other size's runs this close on its outer side.
_APART_MM = 0.8
#: Names are tried this far apart along an edge, and stand on edges at least so long.
_STEP_MM, _LEAST_EDGE_MM = 9.0, 50.0
#: At most so many names of a size on a piece.
_MOST = 4
_LEADER = Pen(width_mm=0.15)
#: How far a broken line may lie from its curve here.
_FLAT_MM = 0.1
_DOT_MM, _LEADER_TEXT_MM = 0.6, 3.4


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeLine:
    """The cutting line of a size, one path per edge, run counter-clockwise, on the sheet."""

    size: str
    edges: tuple[Path, ...]


Boxes: TypeAlias = NDArray[np.object_]


def size_labels(
    lines: Sequence[SizeLine], notches: Sequence[Path] = ()
) -> dict[str, list[Stroke | Label]]:
    """Return the names of the sizes with their leaders, by label: at least one for each line.

    Names keep clear of `notches` too.
    """
    taken = _Taken.of(lines, notches)
    found: dict[str, list[Stroke | Label]] = {}
    crowded: list[int] = []
    for number, one in enumerate(lines):
        edges = sorted(one.edges, key=_chord, reverse=True)[:_MOST]
        stood = [_on_edge(one.size, edge, number, taken) for edge in edges]
        found[one.size] = [label for label in stood if label is not None]
        if not found[one.size]:
            crowded.append(number)
    for turn, number in enumerate(crowded):
        share = (turn + 1) / (len(crowded) + 1)
        found[lines[number].size] = _with_leader(lines, number, share)
    return found


def _chord(edge: Path) -> float:
    return math.dist(edge.start, edge.end)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Taken:
    """What names must keep clear of: bits of the sizes' lines, whose they are, and other names."""

    bits: shapely.STRtree
    owner: NDArray[np.int64]
    names: list[shapely.Geometry]

    @classmethod
    def of(cls, lines: Sequence[SizeLine], notches: Sequence[Path]) -> _Taken:
        """Return the lines in straight bits, which an index finds quickly; a notch is nobody's."""
        drawn = [np.concatenate([flatten(e, _FLAT_MM) for e in one.edges]) for one in lines]
        drawn += [flatten(one, _FLAT_MM) for one in notches]
        pairs = np.concatenate([np.stack([p[:-1], p[1:]], axis=1) for p in drawn])
        owners = np.minimum(np.arange(len(drawn)), len(lines))
        owner = np.repeat(owners, [len(p) - 1 for p in drawn])
        segments = shapely.linestrings(pairs)
        assert isinstance(segments, np.ndarray)
        bits = shapely.STRtree(segments)
        return cls(bits=bits, owner=owner, names=[])

    def free(self, boxes: Boxes, wider: Boxes, number: int) -> NDArray[np.bool_]:
        """Return which boxes are clear; `wider` may be met by the size's own line only."""
        free = np.ones(len(boxes), dtype=bool)
        box, bit = self.bits.query(wider, predicate="intersects")
        free[box[self.owner[bit] != number]] = False
        left = np.flatnonzero(free)
        for tree in (self.bits, shapely.STRtree(self.names)):
            free[left[tree.query(boxes[left], predicate="intersects")[0]]] = False
            left = np.flatnonzero(free)
        return free


def _on_edge(text: str, edge: Path, number: int, taken: _Taken) -> Label | None:
    """Return a name on an edge, the largest that has room, nearest to the edge's middle."""
    if _chord(edge) < _LEAST_EDGE_MM:
        return None
    points = flatten(edge, _FLAT_MM)
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    for size, room in _SIZES_MM:
        shown = shorten_text(text, size, _LONGEST_MM)
        width = text_width_mm(shown, size)
        at, along = _stations(points, run, width)
        inward = along[:, ::-1] * (-1.0, 1.0)
        side = (width / 2 + 2 * _CLEAR_MM) * along
        high = at + (_LIFT_MM + _CAP * size + room) * inward
        boxes, wider = (
            _boxes(at + low * inward, high, side) for low in (_LIFT_MM - _CLEAR_MM, -_APART_MM)
        )
        free = np.flatnonzero(taken.free(boxes, wider, number))
        if len(free):
            n = int(free[0])
            taken.names.append(boxes[n])
            return _label(shown, size, at[n], along[n], inward[n])
    return None


def _stations(points: Floats, run: Floats, width: float) -> tuple[Floats, Floats]:
    """Return where a name may stand along an edge and its directions there, (n, 2) each.

    The middle of the edge comes first; the name ends before the corners.
    """
    total = float(run[-1])
    count = max(1, int((total - 1.5 * width) / _STEP_MM))
    at = total / 2 + (np.arange(count) - (count - 1) / 2) * _STEP_MM
    at = at[np.argsort(np.abs(at - total / 2), kind="stable")]
    middle, before, after = (
        np.stack([np.interp(at + shift, run, points[:, k]) for k in (0, 1)], axis=1)
        for shift in (0.0, -width / 2, width / 2)
    )
    along = after - before
    return middle, along / np.hypot(*along.T)[:, None]


def _boxes(low: Floats, high: Floats, side: Floats) -> Boxes:
    """Return the boxes between a lower and an upper middle, reaching `side` to either side."""
    corners = np.stack([low - side, low + side, high + side, high - side], axis=1)
    return np.atleast_1d(np.asarray(shapely.polygons(corners), dtype=object))


def _label(text: str, size: float, at: Floats, along: Floats, inward: Floats) -> Label:
    """Return the name beside its line, turned so that it is never read upside down."""
    angle = math.degrees(math.atan2(along[1], along[0]))
    base = at + _LIFT_MM * inward
    if not -95.0 < angle <= 95.0:
        angle += 180.0
        base = at + (_LIFT_MM + _CAP * size) * inward
    place = (float(base[0]), float(base[1]))
    return Label(text=text, at=place, size_mm=size, angle_deg=angle, anchor="middle")


def _with_leader(lines: Sequence[SizeLine], number: int, share: float) -> list[Stroke | Label]:
    """Return a name inside all sizes, with a leader to its line at a share of its longest edge."""
    one, size = lines[number], _LEADER_TEXT_MM
    edge = max(one.edges, key=_chord)
    points = flatten(edge, _FLAT_MM)
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    at = run[-1] * (0.2 + 0.6 * share)
    tip = np.array([np.interp(at, run, points[:, k]) for k in (0, 1)])
    near = [np.interp(at + d, run, points[:, k]) for d in (-5.0, 5.0) for k in (0, 1)]
    along = np.array([near[2] - near[0], near[3] - near[1]])
    along /= np.hypot(*along)
    inward = np.array([-along[1], along[0]])
    ray = shapely.LineString([tip, tip + 60.0 * inward])
    reach = 0.0
    for other in lines:
        for path in other.edges:
            for met in shapely.get_coordinates(
                shapely.intersection(ray, shapely.LineString(flatten(path, _FLAT_MM)))
            ):
                reach = max(reach, float((met - tip) @ inward))
    end = tip + min(reach + 6.0, 60.0) * inward
    shown = shorten_text(one.size, size, _LONGEST_MM)
    angle = math.degrees(math.atan2(inward[1], inward[0]))
    upright = -95.0 < angle <= 95.0
    up = np.array([-inward[1], inward[0]]) * (1.0 if upright else -1.0)
    base = end + inward - 0.36 * size * up
    label = Label(
        text=shown,
        at=(float(base[0]), float(base[1])),
        size_mm=size,
        angle_deg=angle if upright else angle + 180.0,
        anchor="start" if upright else "end",
    )
    turn = np.linspace(0.0, 2.0 * np.pi, 13)
    ring = tip + _DOT_MM * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    ring[-1] = ring[0]
    leader = line((float(tip[0]), float(tip[1])), (float(end[0]), float(end[1])))
    return [
        Stroke(path=leader, pen=_LEADER),
        Stroke(path=polyline(ring), pen=None, fill=0.0),
        label,
    ]
