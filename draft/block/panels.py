"""From solved proportions to the trued outline of one panel: five edges that sew together.

Truing happens here: outseams equal, right angles at waist and hem, smooth joints. The edges run
counter-clockwise with the outseam on the left: outseam down, hem, inseam up, crotch seam up,
waist edge back to the side.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

from outseam.curves.length import length, param_at_length
from outseam.curves.path import Path, join, line, path
from outseam.curves.point import Point, Vector, left_of, right_of, unit
from outseam.curves.split import extend, subpath
from outseam.curves.tolerance import JOIN_MM
from outseam.draft.block.shape import (
    XY,
    Frame,
    PanelShape,
    Params,
    arc_length,
    half_width,
    hermite,
    side_cubic,
)
from outseam.draft.legs import Station

#: The side may be hollowed from hip to waist by at most this much a panel, and by this share of
#: the height between them; more would make a bump over the hip that no seam can lie flat on.
SIDE_SHAPING_MM = 28.0
SIDE_SHAPING_SHARE = 0.17
#: Where the body is fuller at the waist than at the hip the side spreads by no more than this.
SIDE_SPREAD_MM = 25.0


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
    curve_start_mm: float
    hip_from_hem_mm: float


def floats(p: XY) -> Point:
    """Return a point of the formulas as plain floats."""
    return float(p[0]), float(p[1])


def smooth(p: Point, p_dir: Vector, q: Point, q_dir: Vector) -> Path:
    """Return one cubic with the given ends and unit directions, handles a third of the chord."""
    return path([hermite(p, p_dir, q, q_dir)])


#: Lean of the side at the waist over its mean lean from hip to waist. Between 1.5 and 3 the curve
#: bends one way only; near the lower end it stays flattest at the waist, where the band lies.
WAIST_LEAN = 1.6


def _down(slope: float, *, side: int) -> Vector:
    """Return the direction down a leg edge; side +1 inseam, -1 outseam."""
    return unit((-side * slope, -1.0))


def _leg_edge(
    s: PanelShape, stations: tuple[Station, ...], ys: list[float], *, back: bool, side: int
) -> tuple[list[Point], list[Vector]]:
    """Return points and directions of inseam (side +1) or outseam (-1) from station one down."""
    crease = float(s.crease)
    points = [
        (crease + side * half_width(st.girth_mm, back=back), y)
        for st, y in zip(stations, ys, strict=True)
    ]
    return points, [_down(st.half_slope, side=side) for st in stations]


def _chain(points: list[Point], directions: list[Vector]) -> Path:
    """Return cubics through points with the given unit directions."""
    ends = zip(points, directions, strict=True)
    return path([hermite(*start, *end) for start, end in pairwise(ends)])


@dataclass(frozen=True, slots=True, kw_only=True)
class Sides:
    """The outseam below the hip and what is needed to carry it up to the waist tape."""

    lower: Path
    hip: Point
    hip_down: Vector


def side_below_hip(
    frame: Frame,
    p: Params,
    s: PanelShape,
    stations: tuple[Station, ...],
    ys: list[float],
    *,
    back: bool,
) -> Sides:
    """Return the outseam from the hip line down to the hem."""
    points, directions = _leg_edge(s, stations, ys, back=back, side=-1)
    upper = path([[floats(q) for q in side_cubic(frame, p, s, back=back)]])
    rest = [_chain(points, directions)] if len(points) > 1 else []
    return Sides(lower=join([upper, *rest]), hip=upper.start, hip_down=upper.start_direction)


def _upper_points(sides: Sides, top: Point) -> tuple[Point, Vector]:
    """Return the waist end of the side and its direction there, going up.

    Leaning from the hip's own lean to somewhat more than the mean, it bends one way only.
    """
    rise = top[1] - sides.hip[1]
    mean = (top[0] - sides.hip[0]) / rise
    hip_lean = sides.hip_down[0] / sides.hip_down[1]
    return top, unit((hip_lean + WAIST_LEAN * (mean - hip_lean), 1.0))


def side_above_hip(sides: Sides, top: Point) -> Path:
    """Return the outseam from the hip up to the waist tape's level at `top`."""
    up = (-sides.hip_down[0], -sides.hip_down[1])
    return smooth(sides.hip, up, *_upper_points(sides, top))


def side_to_length(sides: Sides, x: float, y: float, wanted_mm: float) -> Path:
    """Return the outseam above the hip with its waist end at `x` and its length `wanted_mm`."""
    up = (-sides.hip_down[0], -sides.hip_down[1])

    def miss(at: float) -> float:
        top, lean = _upper_points(sides, (x, at))
        return float(arc_length(*hermite(sides.hip, up, top, lean))) - wanted_mm

    # The length grows nearly one for one with the height, so stepping by the miss converges.
    for _ in range(30):
        step = miss(y)
        y -= step
        if abs(step) < 1e-9:
            break
    return side_above_hip(sides, (x, y))


def cut_top(up: Path, off_mm: float) -> Path:
    """Take `off_mm` off the end of a seam that runs upward, or extend it straight if negative."""
    if abs(off_mm) < JOIN_MM:
        return up
    if off_mm < 0.0:
        return extend(up, 0.0, -off_mm)
    return subpath(up, 0.0, param_at_length(up, length(up) - off_mm))


def true_panel(
    *,
    shape: PanelShape,
    sides: Sides,
    side_up: Path,
    hip_y: float,
    stations: tuple[Station, ...],
    ys: list[float],
    back: bool,
    off_side_mm: float,
    off_centre_mm: float,
) -> Panel:
    """Return the panel with its top taken off and waist and hem drawn square to the seams."""
    points, directions = _leg_edge(shape, stations, ys, back=back, side=1)
    point = floats(shape.point)
    thigh = path(
        [[floats(q) for q in (shape.point, shape.inseam_1, shape.inseam_2, shape.station)]]
    )
    rest = [_chain(points, directions)] if len(points) > 1 else []
    inseam_down = join([thigh, *rest])
    seam_curve = path([[floats(q) for q in (shape.start, shape.handle_1, shape.handle_2, point)]])
    centre_up = join([seam_curve.reversed(), line(floats(shape.start), floats(shape.top))])
    crotch = cut_top(centre_up, off_centre_mm)
    outseam = cut_top(join([sides.lower.reversed(), side_up]), off_side_mm).reversed()
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
        hem_y=ys[-1],
        point=point,
        curve_start_mm=length(seam_curve),
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
