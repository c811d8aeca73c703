"""From solved proportions to the trued outline of one panel: five edges that sew together.

Truing happens here: outseams equal, right angles at waist and hem, smooth joints. The edges run
counter-clockwise with the outseam on the left: outseam down, hem, inseam up, crotch seam up,
waist edge back to the side.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise

from outseam.curves.cubic_formulas import arc_length
from outseam.curves.evaluate import point_at
from outseam.curves.length import length, param_at_length
from outseam.curves.path import Path, join, line, path
from outseam.curves.point import Point, Vector, left_of, right_of, unit
from outseam.curves.split import extend, subpath
from outseam.curves.tolerance import JOIN_MM
from outseam.draft.block.shape import SIGNS, Frame, PanelShape, Split, edge_cubic, floats
from outseam.draft.inputs.errors import InputError
from outseam.draft.legs import Station

#: The side may be hollowed from hip to waist by at most this much a panel, and by this share of
#: the height between them; more would make a bump over the hip that no seam can lie flat on.
SIDE_SHAPING_MM = 28.0
SIDE_SHAPING_SHARE = 0.17
#: Where the body is fuller at the waist than at the hip the side spreads by no more than this.
SIDE_SPREAD_MM = 25.0
#: The side falls straight down from the hip, or, where the leg is wider than the hip, leans out by
#: this share of its lean below, which it has this far below the hip line and the crotch line.
HIP_LEAN, BEND_MM, BEND_BELOW_MM = 0.6, 130.0, 30.0
#: Where the leg narrows so soon that the side would bend more than this at the hip, per mm, the
#: side leans in there already, by at most that: a seam that falls straight and then bends reads as
#: a corner.
MOST_BEND, MOST_LEAN_IN = 0.0024, 0.10


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """One trued panel. `crotch` and `outseam` already end at the seam that carries the band.

    `hip_from_hem_mm` and `marks_from_hem_mm` are arc lengths from the hem where seams are notched
    (hip on the outseam; each station of the leg on both seams). `crease_x` is the crease line,
    `hip_y`, `hem_y` and `station_ys` levels over the crotch line at y = 0.
    """

    outseam: Path
    hem: Path
    inseam: Path
    crotch: Path
    waist: Path
    crease_x: float
    hip_y: float
    hem_y: float
    point: Point
    hip_from_hem_mm: float

    @property
    def curve_start_mm(self) -> float:
        """Arc length of the crotch seam's curve, from the crotch point up."""
        return length(path(self.crotch.cubics[:1]))


#: A handle reaches at most this share of the way to where both ends' tangents meet.
_TO_CORNER = 0.8
#: ... but is no shorter than this share of a third of the chord, or the curve would be a hook.
_LEAST_HANDLE = 0.48


def smooth(p: Point, p_dir: Vector, q: Point, q_dir: Vector) -> Path:
    """Return one cubic with the given ends and unit directions.

    Handles are a third of the chord, shorter where the tangents meet nearer: the curve then bends
    one way only.
    """
    dx, dy = q[0] - p[0], q[1] - p[1]
    third = math.hypot(dx, dy) / 3.0
    a = b = third
    det = p_dir[0] * q_dir[1] - p_dir[1] * q_dir[0]
    if abs(det) > 1e-9:
        ahead = (dx * q_dir[1] - dy * q_dir[0]) / det
        behind = (p_dir[0] * dy - p_dir[1] * dx) / det
        if ahead > 0.0 and behind > 0.0:
            a, b = (
                min(third, max(_TO_CORNER * to, _LEAST_HANDLE * third)) for to in (ahead, behind)
            )
    return path(
        [
            (
                p,
                (p[0] + a * p_dir[0], p[1] + a * p_dir[1]),
                (q[0] - b * q_dir[0], q[1] - b * q_dir[1]),
                q,
            )
        ]
    )


#: Lean of the side at the waist over its mean lean from hip to waist, where the hip does not ask
#: for another. Between 1.5 and 3 the curve bends one way only.
WAIST_LEAN, WAIST_LEANS = 1.5, (1.4, 2.2)
#: By so much, per mm, the side may bend otherwise above the hip line than below it.
BEND_APART = 0.0022


@dataclass(frozen=True, slots=True, kw_only=True)
class Edges:
    """The leg's edges below the crotch line: stations with their levels `ys`, top first."""

    stations: tuple[Station, ...]
    ys: tuple[float, ...]
    split: Split

    def point(self, i: int, crease: float, *, back: bool, side: int) -> Point:
        """Return where station `i` lies on inseam (side +1) or outseam (-1) of a panel."""
        y, sign = self.ys[i], float(SIGNS[int(back)])
        half = (self.stations[i].girth_mm + sign * float(self.split.at(y))) / 4.0
        return crease + side * half, y

    def slope(self, i: int, *, back: bool, side: int) -> float:
        """Return dx/dy of that edge there."""
        sign = float(SIGNS[int(back)])
        return side * (self.stations[i].girth_slope + sign * float(self.split.slope)) / 4.0

    def below(self, crease: float, *, back: bool, side: int) -> list[Path]:
        """Return that edge from the first station down, empty where the leg ends there."""
        cubics = [
            edge_cubic(
                self.point(i, crease, back=back, side=side),
                self.slope(i, back=back, side=side),
                self.point(j, crease, back=back, side=side),
                self.slope(j, back=back, side=side),
            )
            for i, j in pairwise(range(len(self.ys)))
        ]
        return [path(cubics)] if cubics else []


@dataclass(frozen=True, slots=True, kw_only=True)
class Sides:
    """The outseam below the hip and what is needed to carry it up to the waist tape."""

    lower: Path
    hip: Point
    hip_down: Vector
    #: curvature at the hip as a second derivative of x by y
    bend: float


def side_below_hip(
    frame: Frame, s: PanelShape, edges: Edges, hip_y: float, *, back: bool, wider_mm: float = 0.0
) -> Sides:
    """Return the outseam from the hip line down to the hem, moved out by `wider_mm` at the hip."""
    hip = (-(frame.back_hip_mm if back else frame.front_hip_mm) - wider_mm, hip_y)
    crease = float(s.crease)
    at = edges.point(0, crease, back=back, side=-1)
    slope = edges.slope(0, back=back, side=-1)
    cubics = []
    if frame.straight:
        # One straight line from where a gentle bend below the hip has brought it.
        fall = (hip[0] - at[0]) / -at[1]
        y = max(min(hip_y - BEND_MM, -BEND_BELOW_MM), 0.8 * at[1])
        bend_end = (hip[0] + fall * y, y)
        lean = HIP_LEAN * max(0.0, fall)
        cubics = [edge_cubic(hip, lean, bend_end, fall), edge_cubic(bend_end, fall, at, slope)]
        slope = fall
    else:
        mean = (hip[0] - at[0]) / (hip_y - at[1])
        run = hip_y - at[1]
        bend = (2.0 * slope - 6.0 * mean) / run
        lean = HIP_LEAN * max(0.0, mean) - min(MOST_LEAN_IN, max(0.0, bend - MOST_BEND) * run / 4.0)
        cubics = [edge_cubic(hip, lean, at, slope)]
    end, end_slope = (cubics[0][3], slope)
    run = hip[1] - end[1]
    bend = (4.0 * lean + 2.0 * end_slope - 6.0 * (hip[0] - end[0]) / run) / run
    upper = path(cubics)
    return Sides(
        lower=join([upper, *edges.below(crease, back=back, side=-1)]),
        hip=hip,
        hip_down=unit((-lean, -1.0)),
        bend=float(bend),
    )


def _upper(sides: Sides, top: Point) -> tuple[Point, Point, Point, Point]:
    """Return the side's cubic from the hip up to its waist end.

    It leaves the hip with its lean and, as far as the lean at the waist may, nearly its curvature
    there, so that the seam is one line over the hip; `WAIST_LEANS` keep it bending one way only.
    """
    rise = top[1] - sides.hip[1]
    mean = (top[0] - sides.hip[0]) / rise
    hip_lean = sides.hip_down[0] / sides.hip_down[1]
    low, high = WAIST_LEANS
    times = WAIST_LEAN
    if abs(mean - hip_lean) * rise > 1.0:
        # The second derivative at the hip is (6 - 2 times) (mean - hip lean) / rise.
        by = rise / (2.0 * (mean - hip_lean))
        bend = (3.0 - times) / by
        bend = min(sides.bend + BEND_APART, max(sides.bend - BEND_APART, bend))
        times = min(high, max(low, 3.0 - bend * by))
    lean = hip_lean + times * (mean - hip_lean)
    found = edge_cubic(top, lean, sides.hip, hip_lean)
    return found[3], found[2], found[1], found[0]


def side_above_hip(sides: Sides, top: Point) -> Path:
    """Return the outseam from the hip up to the waist tape's level at `top`."""
    return path([_upper(sides, top)])


def side_to_length(sides: Sides, x: float, y: float, wanted_mm: float) -> Path:
    """Return the outseam above the hip with its waist end at `x` and its length `wanted_mm`."""
    # The length grows nearly one for one with the height; by how much is learnt from step to step.
    growth, last, off = 1.0, y, 0.0
    for number in range(30):
        miss = float(arc_length(*_upper(sides, (x, y)))) - wanted_mm
        if number and y != last:
            growth = (miss - off) / (y - last)
        last, off = y, miss
        y -= miss / growth
        if abs(miss) < 1e-9:
            break
    return side_above_hip(sides, (x, y))


#: Room to look for the top of a side beyond where it was.
_BEYOND_MM = 30.0


def side_widened(sides: Sides, plain: Path, wanted_mm: float) -> Path:
    """Return the outseam above a hip that was moved out or in, `wanted_mm` long.

    It ends on the side as it was, `plain`, from the hip up to its seam at the top, so that the
    top edge stays but for what the longer way round takes. Raises InputError where the side has no
    room for that.
    """
    longer = extend(plain, 0.0, _BEYOND_MM)
    run, most = length(plain), length(longer)
    made = plain
    for _ in range(20):
        if not 0.0 < run < most:
            raise InputError(
                "alter",
                "the seat is to be changed by more than the side above the hip line has room for",
                hint="change it by less, or choose a higher rise",
            )
        made = side_above_hip(sides, point_at(longer, param_at_length(longer, run)))
        step = length(made) - wanted_mm
        run -= step
        if abs(step) < 1e-9:
            break
    return made


def cut_top(down: Path, off_mm: float) -> Path:
    """Take `off_mm` off the start of a seam that runs down, or extend it straight if negative."""
    if abs(off_mm) < JOIN_MM:
        return down
    if off_mm < 0.0:
        return extend(down, -off_mm)
    return subpath(down, param_at_length(down, off_mm), len(down))


def true_panel(
    *,
    shape: PanelShape,
    sides: Sides,
    side_up: Path,
    hip_y: float,
    edges: Edges,
    back: bool,
    off_side_mm: float,
    off_centre_mm: float,
) -> Panel:
    """Return the panel with its top taken off and waist and hem drawn square to the seams."""
    point = floats(shape.point)
    thigh = path(
        [[floats(q) for q in (shape.point, shape.inseam_1, shape.inseam_2, shape.station)]]
    )
    inseam_down = join([thigh, *edges.below(float(shape.crease), back=back, side=1)])
    seam_curve = path([[floats(q) for q in (point, shape.handle_2, shape.handle_1, shape.start)]])
    (x, y), (dx, dy), off = floats(shape.top), floats(shape.seam_down), max(0.0, off_centre_mm)
    into_curve = off - math.dist(floats(shape.top), floats(shape.start))
    if into_curve < -JOIN_MM:
        crotch = join([seam_curve, line(floats(shape.start), (x + off * dx, y + off * dy))])
    else:
        end = param_at_length(seam_curve, length(seam_curve) - max(0.0, into_curve))
        crotch = subpath(seam_curve, 0.0, end)
    if off_centre_mm < -JOIN_MM:
        crotch = extend(crotch, 0.0, -off_centre_mm)
    outseam = cut_top(join([side_up.reversed(), sides.lower]), off_side_mm)
    inseam = inseam_down.reversed()
    hem = smooth(
        outseam.end, left_of(outseam.end_direction), inseam.start, right_of(inseam.start_direction)
    )
    waist = smooth(
        crotch.end, left_of(crotch.end_direction), outseam.start, right_of(outseam.start_direction)
    )
    return Panel(
        outseam=outseam,
        hem=hem,
        inseam=inseam,
        crotch=crotch,
        waist=waist,
        crease_x=float(shape.crease),
        hip_y=hip_y,
        hem_y=edges.ys[-1],
        point=point,
        hip_from_hem_mm=length(sides.lower),
    )


def cut_hem(panel: Panel, outseam_mm: float, inseam_mm: float) -> Panel:
    """Return the panel cut short by so much of each seam, the hem drawn square to them anew."""
    outseam = subpath(
        panel.outseam, 0.0, param_at_length(panel.outseam, length(panel.outseam) - outseam_mm)
    )
    inseam = subpath(panel.inseam, param_at_length(panel.inseam, inseam_mm), len(panel.inseam))
    hem = smooth(
        outseam.end, left_of(outseam.end_direction), inseam.start, right_of(inseam.start_direction)
    )
    return replace(
        panel,
        outseam=outseam,
        inseam=inseam,
        hem=hem,
        hem_y=(outseam.end[1] + inseam.start[1]) / 2.0,
        hip_from_hem_mm=panel.hip_from_hem_mm - outseam_mm,
    )
