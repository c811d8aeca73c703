"""The block as formulas: proportions in, control points of crotch seams and inseams out.

Everything here is plain smooth arithmetic on its arguments, so that the same lines serve a single
draft (floats) and the solver, which hands in arrays of complex numbers to differentiate exactly:
drafts (n), each with a last axis of the directions in which it moves.
Millimetres; x right toward the inseam, y up, crotch line at y = 0. Both panels are drawn with the
outseam on the left, so the centre seam of each runs near x = 0.

Below the crotch line an edge is a curve x(y). The leg of girth P is divided into a front panel
(P - D) / 2 wide and a back one (P + D) / 2, each symmetric about its crease line but for what the
forks add; D runs straight from its value at the crotch line to that at the hem, so that the two
edges of every seam leave the vertical by equal angles, as near as may be.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from outseam.curves.cubic_formulas import (
    QUADRATURE_AT,
    QUADRATURE_SHARE,
    XY,
    Numeric,
    arc_length,
    arc_lengths,
    unit,
)

Floats: TypeAlias = NDArray[np.float64]

#: Centre front at the waist lies this far inside the fork's vertical (half a centimetre, as the
#: handbooks draw it, common practice, no source).
FRONT_CENTRE_IN_MM = 5.0

#: The curve of each crotch seam starts this high, as a multiple of its fork's length, and higher
#: by the inseam's lean, which tips the curve (calibrated here on the curves that Aldrich draws) ...
CURVE_START, CURVE_START_BY_LEAN = (1.08, 0.92), 1.65
#: ... but not above this share of the waist's height, whatever the fork; how softly, mm.
CURVE_START_LIMIT, CURVE_START_SOFT_MM = 0.72, 20.0
#: Radius of the crotch curves at the crotch points over the mean (geometric) of both forks, front
#: and back. Handbooks flatten the curve there, and sewn together the two are one curve.
POINT_RADIUS = (0.92, 1.25)
#: The handle at the crotch point reaches at most this share of the way to the corner.
HANDLE_LIMIT, HANDLE_SOFT_MM = 0.93, 4.0

#: The upper handle of a crotch curve reaches no farther than this share of the way to the corner,
#: and at least that one; how softly, as a share.
UPPER_LIMITS, UPPER_SOFT = (0.38, 0.93), 0.04
#: On the bisector a curve stays at least this much nearer to its corner than its chord lies, as a
#: share, or it would be straight with a sharp turn at each end; how softly, as a share of the way.
CHORD_SHARE, CHORD_SOFT = 0.80, 0.02
#: Where on a curve its corner's bisector crosses, as a parameter: a first guess.
ACROSS_AT = 0.55

#: What a leg is wider at the back than at the front round the hem, at least and, as a share of the
#: hem, at most. Handbooks draw 2-4 cm.
BACK_WIDER_MM, BACK_WIDER_SHARE, BACK_WIDER_SOFT_MM = 28.0, 0.22, 3.0

#: The back crotch point lies lower than the front's, so the same added width would lean more there:
#: this share of it more is drawn at the inseam in front and less at the back.
INSEAM_LESS_BACK = 0.009

#: Front and back: the sign with which what the back is wider comes in.
SIGNS = np.array((-1.0, 1.0))


class Params(NamedTuple):
    """The proportions of a block. Lengths in mm, forks as ratios of the hip girth.

    A hollow is how far from the corner of its two tangents the crotch curve crosses the bisector
    there, over the way from that corner to the crotch point: the handbooks' measure of the curve.
    """

    drop: Numeric
    front_fork: Numeric
    back_fork: Numeric
    front_raise: Numeric
    back_raise: Numeric
    slant: Numeric
    front_hollow: Numeric
    back_hollow: Numeric
    fork_lowered: Numeric


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """What stays fixed while the solver works. Heights in mm above the body's crotch.

    `hip_mm` is the pattern's hip girth, `side_shift_mm` by how much the back has more than a
    quarter of it. Of the leg: height, girth and slope (girth per mm of height) of its first
    station; `base_mm` and `base_slope` at the crotch line without what the forks add; `lean`,
    `straight`, `inseam_share`, `split_slope` as the leg shape has them; `hem_height`, `hem_mm`.
    `on_line`: the leg runs in one line from the girth that the forks make at the crotch line to
    the hem, so the girth of its first station and at the crotch line follow from the forks.
    """

    hip_mm: float
    side_shift_mm: float
    waist_height: float
    hip_height: float
    leg_height: float
    leg_girth_mm: float
    leg_slope: float
    base_mm: float
    base_slope: float
    lean: float
    straight: bool
    on_line: bool
    inseam_share: float
    split_slope: float
    hem_height: float
    hem_mm: float

    @property
    def front_hip_mm(self) -> float:
        """Width of the front panel at the hip line."""
        return self.hip_mm / 4.0 - self.side_shift_mm

    @property
    def back_hip_mm(self) -> float:
        """Width of the back panel at the hip line."""
        return self.hip_mm / 4.0 + self.side_shift_mm


class Split(NamedTuple):
    """What the back leg is wider than the front, all in all: at the crotch line and per mm up."""

    at_zero: Numeric
    slope: Numeric

    def at(self, y: Numeric) -> Numeric:
        """Return it at a level."""
        return self.at_zero + self.slope * y


class Leg(NamedTuple):
    """How one panel's leg lies: its crease, half widths, slopes of the half width per mm up.

    At the crotch line without what the forks add, and at the first station, `station_y`.
    """

    crease: Numeric
    base_half: Numeric
    base_slope: Numeric
    station_half: Numeric
    station_slope: Numeric
    station_y: Numeric


class PanelShape(NamedTuple):
    """Points of one panel: centre seam from `top` straight to `start`, then one cubic to `point`
    (the crotch point); the inseam's first cubic from there to the leg's first station `station`.
    """

    top: XY
    start: XY
    handle_1: XY
    handle_2: XY
    point: XY
    inseam_1: XY
    inseam_2: XY
    station: XY
    leg: Leg
    #: unit directions: down the straight part of the centre seam, and down the inseam at the point
    seam_down: XY
    inseam_down: XY

    @property
    def crease(self) -> Numeric:
        """The crease line's x."""
        return self.leg.crease


def side_of(s: PanelShape, *at: int) -> PanelShape:
    """Return front (0) or back (1) of a shape whose numbers are arrays of both, as floats.

    Of drafts together: which one, and which direction.
    """
    parts: list[Any] = [
        Leg(*(float(v[at]) for v in part))
        if isinstance(part, Leg)
        else (float(part[0][at]), float(part[1][at]))
        for part in s
    ]
    return PanelShape(*parts)


def at_most(x: Numeric, limit: Numeric, soft: float) -> Numeric:
    """Return x where it is well below a limit and the limit where it is well above, smoothly."""
    d = x - limit
    return limit + (d - (d * d + soft * soft) ** 0.5) / 2.0


def edge_cubic(p: XY, p_slope: Numeric, q: XY, q_slope: Numeric) -> tuple[XY, XY, XY, XY]:
    """Return the cubic down from `p` to `q` that is a curve x(y), with slopes dx/dy at its ends."""
    third = (p[1] - q[1]) / 3.0
    return p, (p[0] - p_slope * third, p[1] - third), (q[0] + q_slope * third, q[1] + third), q


def split_of(frame: Frame, p: Params) -> Split:
    """Return how the leg is divided between front and back.

    At the crotch line the back is wider by what hip and forks make it; at the hem by as much, less
    what the leg shape lets it change on the way, but within what handbooks draw.
    """
    top = 2.0 * frame.side_shift_mm + (p.back_fork - p.front_fork) * frame.hip_mm
    run = -(frame.hem_height + p.drop)
    hem = -at_most(frame.split_slope * run - top, -BACK_WIDER_MM, BACK_WIDER_SOFT_MM)
    hem = at_most(hem, BACK_WIDER_SHARE * frame.hem_mm, BACK_WIDER_SOFT_MM)
    return Split(top, (top - hem) / run)


def line_slope(frame: Frame, p: Params) -> Numeric:
    """Return the change of girth per mm of height of a leg that is one line to the hem."""
    top = frame.hip_mm * (0.5 + p.front_fork + p.back_fork)
    return (frame.hem_mm - top) / (frame.hem_height + p.drop)


def legs_of(frame: Frame, p: Params) -> Leg:
    """Return how the legs of front and back lie, arrays (2, ...)."""
    split = split_of(frame, p)
    y = frame.leg_height + p.drop
    signs = SIGNS.reshape(2, *[1] * np.ndim(p.front_fork))
    forks = np.array((p.front_fork * frame.hip_mm, p.back_fork * frame.hip_mm))
    top = frame.hip_mm / 2.0 + forks[0] + forks[1]
    base_mm, base_slope = frame.base_mm, frame.base_slope
    girth, leg_slope = frame.leg_girth_mm, frame.leg_slope
    if frame.on_line:
        base_mm, base_slope = top, line_slope(frame, p)
        girth, leg_slope = top + base_slope * y, base_slope
    more = top - base_mm
    base = (base_mm + signs * split.at_zero) / 4.0
    slope = signs * split.slope / 4.0
    return Leg(
        crease=forks - base - (frame.inseam_share - signs * INSEAM_LESS_BACK) / 2.0 * more,
        base_half=base,
        base_slope=base_slope / 4.0 + slope,
        station_half=(girth + signs * split.at(y)) / 4.0,
        station_slope=leg_slope / 4.0 + slope,
        station_y=y + 0.0 * forks,
    )


def inseam_slopes(frame: Frame, leg: Leg, point: XY) -> tuple[Numeric, Numeric]:
    """Return dx/dy of the inseam at the crotch point and at the first station."""
    mean = (point[0] - leg.crease - leg.base_half) / -leg.station_y
    return leg.base_slope + frame.lean * mean, leg.station_slope


class _Corner(NamedTuple):
    """A crotch curve's corner: the ways to it from the curve's upper and lower end, the sine of the
    angle there, the radius wanted at the lower end, and how far along each way, from the corner,
    the curve is to cross the bisector.
    """

    upper: Numeric
    lower: Numeric
    sine: Numeric
    radius: Numeric
    along: Numeric

    def handles(self, t: Numeric) -> tuple[Numeric, Numeric, Numeric]:
        """Return the handles, the upper one first, of a curve that is as far along the upper way at
        parameter `t` as it should be, and by how much it misses that along the lower way.
        """
        upper, lower, sine, radius, along = self
        left = 1.0 - t
        low, high = UPPER_LIMITS
        a = (upper * left * left * (1.0 + 2.0 * t) - along) / (3.0 * left * left * t)
        a = -at_most(-a, -low * upper, UPPER_SOFT * lower)
        a = at_most(a, high * upper, UPPER_SOFT * lower)
        # The end of a cubic has the radius 1.5 handle^2 / distance of the other handle's end from
        # the tangent there.
        b = ((radius * (upper - a) * sine / 1.5) ** 2) ** 0.25
        b = at_most(b, HANDLE_LIMIT * lower, HANDLE_SOFT_MM)
        return a, b, t * t * (lower * (3.0 - 2.0 * t) - 3.0 * b * left) - along

    def across(self) -> tuple[Numeric, Numeric, Numeric, Numeric]:
        """Return the parameter at which the curve crosses, and what both handles and the miss
        change by there for each unit of the parameter. Plain numbers, or arrays of them.
        """
        t: Numeric = ACROSS_AT
        # As if the lower handle were given: so the steps stay with the curve whose handles are
        # free, where another has its upper one at the limit.
        for _ in range(4):
            _, b, miss = self.handles(t)
            t = t - miss / (3.0 * t * (2.0 * self.lower * (1.0 - t) - b * (2.0 - 3.0 * t)))
            t = _held(t, 0.05, 0.95)
        for _ in range(12):
            miss = self.handles(t + _MOVE)[2]
            slope = miss.imag / _MOVE.imag
            step = _held(miss.real / slope, -0.05, 0.05)
            t = _held(t - step, 0.05, 0.95)
            if _largest(step) < 1e-4:
                break
        # The last step is not held, and so short that it leaves nothing.
        t = t - self.handles(t)[2] / slope
        a, b, miss = self.handles(t + _MOVE)
        return t, a.imag / _MOVE.imag, b.imag / _MOVE.imag, miss.imag / _MOVE.imag


#: A step so small that a complex number carries it as a derivative.
_MOVE = 1e-20j


def _held(x: Numeric, low: float, high: float) -> Numeric:
    """Return a number, or the numbers of an array, within limits."""
    if isinstance(x, np.ndarray):
        return np.minimum(np.maximum(x, low), high)
    return min(high, max(low, x))


def _largest(x: Numeric) -> float:
    return float(np.abs(x).max()) if isinstance(x, np.ndarray) else abs(x)


#: From so many corners on they are looked at as arrays.
_MANY = 12


def _handles(
    upper: Numeric, lower: Numeric, hollow: Numeric, radius: Numeric, cosine: Numeric
) -> tuple[Numeric, Numeric]:
    """Return the handles of a crotch curve, the upper one first.

    `upper` and `lower` are the ways from both ends to the corner of their tangents, `cosine` that
    of the angle between these. Beside the corner as origin and the two ways as axes, the curve is
    at its crossing with the bisector as far along one as along the other.
    """
    chord = CHORD_SHARE * upper * lower / (upper + lower)
    along = at_most(hollow * lower / np.sqrt(2.0 - 2.0 * cosine), chord, CHORD_SOFT * lower)
    corner = _Corner(upper, lower, np.sqrt(1.0 - cosine * cosine), radius, along)
    numbers = np.array(corner)
    moves = numbers.ndim > 2
    plain = (numbers[..., 0] if moves else numbers).real
    rows = plain.reshape(5, -1)
    if rows.shape[1] < _MANY:
        found = np.array([_Corner(*row).across() for row in rows.T.tolist()]).T
    else:
        found = np.array(_Corner(*rows).across())
    t, a_slope, b_slope, slope = found.reshape(4, *plain.shape[1:], *[1] * moves)
    # The crossing moves with what moves the corner.
    a, b, miss = corner.handles(t)
    step = (np.real(miss) - miss) / slope
    return a + a_slope * step, b + b_slope * step


def join_panel(
    frame: Frame,
    leg: Leg,
    *,
    top: XY,
    start: XY,
    point: XY,
    hollow: Numeric,
    radius: Numeric,
    scoop_mm: tuple[float, float] = (0.0, 0.0),
) -> PanelShape:
    """Join the centre seam to the inseam; see the class for what comes back.

    `hollow` as `Params` has it; `radius` of the crotch curve at the crotch point; `scoop_mm` makes
    its handles longer.
    """
    at_point, at_station = inseam_slopes(frame, leg, point)
    station = (leg.crease + leg.station_half, leg.station_y)
    inseam_down = unit(-at_point, -1.0 + 0.0 * at_point)
    # Arriving square to the inseam is what makes the two crotch curves one smooth line once the
    # inseam is sewn: each panel turns through ninety degrees, together half a turn.
    arrive = (-inseam_down[1], inseam_down[0])
    seam_down = unit(start[0] - top[0], start[1] - top[1])
    dx, dy = point[0] - start[0], point[1] - start[1]
    det = seam_down[0] * arrive[1] - seam_down[1] * arrive[0]
    to_corner = (dx * arrive[1] - dy * arrive[0]) / det
    from_corner = (seam_down[0] * dy - seam_down[1] * dx) / det
    cosine = seam_down[0] * arrive[0] + seam_down[1] * arrive[1]
    a, b = _handles(to_corner, from_corner, hollow, radius, cosine)
    a, b = a + scoop_mm[0], b + scoop_mm[1]
    _, inseam_1, inseam_2, _ = edge_cubic(point, at_point, station, at_station)
    return PanelShape(
        top=top,
        start=start,
        handle_1=(start[0] + a * seam_down[0], start[1] + a * seam_down[1]),
        handle_2=(point[0] - b * arrive[0], point[1] - b * arrive[1]),
        point=point,
        inseam_1=inseam_1,
        inseam_2=inseam_2,
        station=station,
        leg=leg,
        seam_down=seam_down,
        inseam_down=inseam_down,
    )


def point_radii(frame: Frame, p: Params) -> Numeric:
    """Return the radii of the crotch curves at the crotch points, (2, ...)."""
    mean = np.sqrt(p.front_fork * p.back_fork) * frame.hip_mm
    return np.array([r * mean for r in POINT_RADIUS])


def shapes(frame: Frame, p: Params) -> PanelShape:
    """Return the points of front and back for proportions `p`: every number an array (2, ...)."""
    front_fork, back_fork = p.front_fork * frame.hip_mm, p.back_fork * frame.hip_mm
    leg = legs_of(frame, p)
    level, hip = frame.waist_height + p.drop, frame.hip_height + p.drop
    zero = 0.0 * front_fork
    fork = np.array((front_fork, back_fork))
    point = (fork, np.array((zero, zero - p.fork_lowered)))
    lean, _ = inseam_slopes(frame, leg, point)
    low, high = CURVE_START
    limit = CURVE_START_LIMIT * level
    lean = CURVE_START_BY_LEAN * lean
    y = np.array(((low + lean[0]) * front_fork, (high + lean[1]) * back_fork))
    y = at_most(y, limit, CURVE_START_SOFT_MM)
    waist = np.array((level + p.front_raise + zero, level + p.back_raise + zero))
    top_x = np.array((zero - FRONT_CENTRE_IN_MM, -p.slant * (waist[1] - hip)))
    start_x = np.array((zero, -p.slant * (y[1] - hip)))
    return join_panel(
        frame,
        leg,
        top=(top_x, waist),
        start=(start_x, y),
        point=point,
        hollow=np.array((p.front_hollow + zero, p.back_hollow + zero)),
        radius=point_radii(frame, p),
    )


def straight_length(s: PanelShape) -> Numeric:
    """Return the length of the straight part of the centre seam, from the waist tape down, mm."""
    dx, dy = s.start[0] - s.top[0], s.start[1] - s.top[1]
    return np.sqrt(dx * dx + dy * dy)


def seam_length(s: PanelShape) -> Numeric:
    """Return the centre seam's length from the waist tape to the crotch point, mm."""
    return straight_length(s) + arc_length(s.start, s.handle_1, s.handle_2, s.point)


def seam_lengths(s: PanelShape) -> tuple[Numeric, Numeric]:
    """Return `seam_length` and `inseam_length`, measured together."""
    curve, inseam = arc_lengths(
        (s.start, s.handle_1, s.handle_2, s.point), (s.point, s.inseam_1, s.inseam_2, s.station)
    )
    return straight_length(s) + curve, inseam


def inseam_length(s: PanelShape) -> Numeric:
    """Return the inseam's length from the crotch point to the leg's first station, mm."""
    return arc_length(s.point, s.inseam_1, s.inseam_2, s.station)


@dataclass(frozen=True, slots=True)
class Below:
    """The leg below its first station, for its edges' lengths: quadrature nodes all the way.

    `weights` (m, 1), mm of height; `slopes` (m): half a panel's width per mm of height there.
    Of drafts together: (n, m, 1) and (n, 1, m).
    """

    weights: Floats
    slopes: Floats


def below_of(stations: Any) -> Below:
    """Return the leg below the first of its stations (height, girth, girth slope; top first)."""
    rows = np.array([(s.height_mm, s.girth_mm / 4.0, s.girth_slope / 4.0) for s in stations])
    if len(rows) < 2:
        return Below(np.zeros((0, 1)), np.zeros(0))
    (h0, g0, s0), (h1, g1, s1) = rows[:-1].T[:, :, None], rows[1:].T[:, :, None]
    h, t = h0 - h1, 1.0 - QUADRATURE_AT  # t runs up from the lower end
    slope = 6.0 * t * (1 - t) * (g0 - g1) / h
    slope = slope + (1 - t) * (1 - 3 * t) * s1 + t * (3 * t - 2) * s0
    return Below((h * QUADRATURE_SHARE).reshape(-1, 1), slope.ravel())


def below_length(frame: Frame, below: Below, leg: Leg) -> Numeric:
    """Return the lengths of front's and back's edges below the first station, (2, ...), mm."""
    slopes: Numeric = below.slopes
    if frame.on_line:
        slopes, more = 0.0 * slopes, np.asarray(leg.base_slope)
    else:
        more = leg.base_slope - frame.base_slope / 4.0
    if not np.iscomplexobj(more):
        return (np.hypot(1.0, slopes + more[..., None]) @ below.weights)[..., 0]
    # What moves the lean of an edge moves it all the way down.
    lean = slopes + more[..., :1, None].real
    run = np.hypot(1.0, lean)
    mm, growth = ((x @ below.weights)[..., 0] for x in (run, lean / run))
    return mm + 1j * growth * more.imag


def floats(p: XY) -> tuple[float, float]:
    """Return a point of the formulas as plain floats."""
    return float(p[0]), float(p[1])
