"""The block as formulas: proportions in, control points of crotch seams and inseams out.

Everything here is plain arithmetic on its arguments, so that the same lines serve a single draft
(floats) and the solver, which hands in a complex number to differentiate exactly.
Millimetres; x right toward the inseam, y up, crotch line at y = 0. Both panels are drawn with the
outseam on the left, so the centre seam of each runs near x = 0.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

#: A float, or a complex number whose imaginary part carries a derivative.
Number: TypeAlias = Any
Floats: TypeAlias = NDArray[np.float64]
XY: TypeAlias = tuple[Number, Number]

#: The back half of the hip is drafted this much wider than a quarter of the girth, the front as
#: much narrower, so that the side seam falls where the eye expects it. 5-10 mm, common practice.
SIDE_SHIFT_MM = 7.0

#: Centre front at the waist lies this far inside the fork's vertical (half a centimetre, as the
#: handbooks draw it, common practice, no source).
FRONT_CENTRE_IN_MM = 5.0

#: The curve of each crotch seam starts this high, as a multiple of its fork's length ...
FRONT_CURVE_START = 1.35
BACK_CURVE_START = 0.75
#: ... and the back one within these shares of the waist's height, whatever the fork.
BACK_CURVE_LIMITS = (0.2, 0.6)

#: The inseam leaves the crotch point with this share of the lean of the chord to its next
#: station. One would be the straight line; smaller makes the thigh rounder below the fork, larger
#: hollows it. The crotch curve meets it at a right angle, so a large lean tips the crotch curve.
INSEAM_LEAN = 0.45

#: Handles of the inseam from crotch point to the leg's first station, as shares of the chord. The
#: longer one at the knee turns the edge gently into the lower leg.
INSEAM_HANDLES = (0.30, 0.45)

#: Handles of the outseam from the hip to the leg's first station, as shares of the chord.
SIDE_HANDLES = (1 / 3, 0.42)
#: The side falls straight down from the hip, or, where the leg is wider than the hip, leans out
#: by this share of the chord's lean.
HIP_LEAN = 0.6

#: Legs are wider at the back than at the front by this much round the knee and the hem, total.
#: Handbooks draw 2-4 cm.
BACK_LEG_WIDER_MM = 30.0


class Params(NamedTuple):
    """The proportions that the solver moves. Lengths in mm, forks as ratios of the hip girth."""

    drop: Number
    front_fork: Number
    back_fork: Number
    front_raise: Number
    back_raise: Number
    slant: Number
    front_fullness: Number
    back_fullness: Number
    fork_lowered: Number


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """What stays fixed while the solver works. Heights in mm above the body's crotch.

    `hip_mm` is the pattern's hip girth; `leg_height`, `leg_girth_mm` and `leg_slope` describe the
    first station of the leg below the crotch (slope: change of half a panel's width per mm of
    height).
    """

    hip_mm: float
    waist_height: float
    hip_height: float
    leg_height: float
    leg_girth_mm: float
    leg_slope: float

    @property
    def front_hip_mm(self) -> float:
        """Width of the front panel at the hip line."""
        return self.hip_mm / 4.0 - SIDE_SHIFT_MM

    @property
    def back_hip_mm(self) -> float:
        """Width of the back panel at the hip line."""
        return self.hip_mm / 4.0 + SIDE_SHIFT_MM


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
    crease: Number
    #: unit directions: down the straight part of the centre seam, and down the inseam at the point
    seam_down: XY
    inseam_down: XY


def half_width(girth_mm: Number, *, back: bool) -> Number:
    """Return half the width of a panel where the leg measures `girth_mm` all round."""
    side = BACK_LEG_WIDER_MM / 4.0
    return girth_mm / 4.0 + (side if back else -side)


def _sqrt(x: Number) -> Number:
    return cmath.sqrt(x) if isinstance(x, complex) else math.sqrt(x)


def unit(x: Number, y: Number) -> XY:
    """Return (x, y) scaled to length one."""
    n = _sqrt(x * x + y * y)
    return x / n, y / n


def hermite(
    p: XY, p_dir: XY, q: XY, q_dir: XY, handles: tuple[float, float] = (1 / 3, 1 / 3)
) -> tuple[XY, XY, XY, XY]:
    """Return the cubic from `p` to `q` along unit directions; handles are shares of the chord."""
    dx, dy = q[0] - p[0], q[1] - p[1]
    chord = _sqrt(dx * dx + dy * dy)
    a, b = handles[0] * chord, handles[1] * chord
    return (
        p,
        (p[0] + a * p_dir[0], p[1] + a * p_dir[1]),
        (q[0] - b * q_dir[0], q[1] - b * q_dir[1]),
        q,
    )


def panel_shape(
    frame: Frame,
    top: XY,
    start: XY,
    point: XY,
    crease: Number,
    fullness: Number,
    *,
    back: bool,
    station_y: Number,
) -> PanelShape:
    """Join the centre seam to the inseam; see the class for what comes back."""
    station = (crease + half_width(frame.leg_girth_mm, back=back), station_y)
    lean = INSEAM_LEAN * (station[0] - point[0])
    inseam_down = unit(lean, station[1] - point[1])
    # Arriving square to the inseam is what makes the two crotch curves one smooth line once the
    # inseam is sewn: each panel turns through ninety degrees, together half a turn.
    arrive = (-inseam_down[1], inseam_down[0])
    seam_down = unit(start[0] - top[0], start[1] - top[1])
    dx, dy = point[0] - start[0], point[1] - start[1]
    det = seam_down[0] * arrive[1] - seam_down[1] * arrive[0]
    to_corner = (dx * arrive[1] - dy * arrive[0]) / det
    from_corner = (seam_down[0] * dy - seam_down[1] * dx) / det
    a, b = fullness * to_corner, fullness * from_corner
    station_down = unit(-frame.leg_slope + 0.0 * lean, -1.0 + 0.0 * lean)
    _, inseam_1, inseam_2, _ = hermite(point, inseam_down, station, station_down, INSEAM_HANDLES)
    return PanelShape(
        top=top,
        start=start,
        handle_1=(start[0] + a * seam_down[0], start[1] + a * seam_down[1]),
        handle_2=(point[0] - b * arrive[0], point[1] - b * arrive[1]),
        point=point,
        inseam_1=inseam_1,
        inseam_2=inseam_2,
        station=station,
        crease=crease,
        seam_down=seam_down,
        inseam_down=inseam_down,
    )


def front_shape(frame: Frame, p: Params) -> PanelShape:
    """Return the front panel's points for proportions `p`."""
    fork = p.front_fork * frame.hip_mm
    waist = frame.waist_height + p.drop + p.front_raise
    zero = 0.0 * fork
    return panel_shape(
        frame,
        top=(zero - FRONT_CENTRE_IN_MM, waist),
        start=(zero, FRONT_CURVE_START * fork),
        point=(fork, zero),
        crease=(fork - frame.front_hip_mm) / 2.0,
        fullness=p.front_fullness,
        back=False,
        station_y=frame.leg_height + p.drop,
    )


def back_shape(frame: Frame, p: Params) -> PanelShape:
    """Return the back panel's points for proportions `p`."""
    fork = p.back_fork * frame.hip_mm
    level = frame.waist_height + p.drop
    waist, hip = level + p.back_raise, frame.hip_height + p.drop
    low, high = BACK_CURVE_LIMITS
    start_y = BACK_CURVE_START * fork
    if start_y.real < (low * level).real:
        start_y = low * level
    elif start_y.real > (high * level).real:
        start_y = high * level
    return panel_shape(
        frame,
        top=(-p.slant * (waist - hip), waist),
        start=(-p.slant * (start_y - hip), start_y),
        point=(fork, -p.fork_lowered),
        crease=(fork - frame.back_hip_mm) / 2.0,
        fullness=p.back_fullness,
        back=True,
        station_y=frame.leg_height + p.drop,
    )


def side_cubic(frame: Frame, p: Params, s: PanelShape, *, back: bool) -> tuple[XY, XY, XY, XY]:
    """Return the outseam's cubic from the hip line to the leg's first station."""
    zero = 0.0 * s.crease
    hip = (zero - (frame.back_hip_mm if back else frame.front_hip_mm), frame.hip_height + p.drop)
    station = (
        s.crease - half_width(frame.leg_girth_mm, back=back),
        frame.leg_height + p.drop,
    )
    lean = (station[0] - hip[0]) / (hip[1] - station[1])
    lean = zero if lean.real > 0.0 else HIP_LEAN * lean
    return hermite(
        hip, unit(lean, zero - 1.0), station, unit(frame.leg_slope + zero, zero - 1.0), SIDE_HANDLES
    )


def crotch_width(frame: Frame, p: Params, s: PanelShape, *, back: bool) -> Number:
    """Return how wide a panel is drawn at the level of its crotch point, mm."""
    p0, p1, p2, p3 = side_cubic(frame, p, s, back=back)
    (x1, x2, x3), (y1, y2, y3) = (
        (
            3.0 * (p1[k] - p0[k]),
            3.0 * (p2[k] - 2.0 * p1[k] + p0[k]),
            p3[k] - p0[k] - 3.0 * (p2[k] - p1[k]),
        )
        for k in (0, 1)
    )
    down = s.point[1] - p0[1]
    real = (y1.real, y2.real, y3.real, down.real)
    t = real[3] / (p3[1] - p0[1]).real
    # Newton; the side falls steadily, so it converges from anywhere inside. What the place depends
    # on comes in with the last step, whichever way it was found.
    for a1, a2, a3, to in (real, real, real, (y1, y2, y3, down)):
        t = t - (((a3 * t + a2) * t + a1) * t - to) / ((3.0 * a3 * t + 2.0 * a2) * t + a1)
    return s.point[0] - p0[0] - ((x3 * t + x2) * t + x1) * t


_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(16)
_T, _W = (_NODES + 1.0) / 2.0, _WEIGHTS / 2.0
_D0, _D1, _D2 = 3 * (1 - _T) ** 2, 6 * (1 - _T) * _T, 3 * _T**2
_D = np.stack((_D0, _D1, _D2))


def arc_length(p0: XY, p1: XY, p2: XY, p3: XY) -> Number:
    """Return the length of a cubic by 16-point Gauss-Legendre quadrature, elementwise.

    For curves as gentle as a crotch seam the error is below 1e-6 mm; the finished edges are
    measured again with the geometry package, whose accuracy is bounded.
    """
    sq: Number = 0.0
    for k in (0, 1):
        a = np.asarray(p1[k] - p0[k])[..., None]
        b = np.asarray(p2[k] - p1[k])[..., None]
        c = np.asarray(p3[k] - p2[k])[..., None]
        sq = sq + (a * _D0 + b * _D1 + c * _D2) ** 2
    return np.sqrt(sq) @ _W


def straight_length(s: PanelShape) -> Number:
    """Return the length of the straight part of the centre seam, from the waist tape down, mm."""
    dx, dy = s.start[0] - s.top[0], s.start[1] - s.top[1]
    return _sqrt(dx * dx + dy * dy)


def seam_length(s: PanelShape) -> Number:
    """Return the centre seam's length from the waist tape to the crotch point, mm."""
    return straight_length(s) + arc_length(s.start, s.handle_1, s.handle_2, s.point)


def inseam_length(s: PanelShape) -> Number:
    """Return the inseam's length from the crotch point to the leg's first station, mm.

    Below it both panels are congruent about their crease lines.
    """
    return arc_length(s.point, s.inseam_1, s.inseam_2, s.station)


def curved_lengths(panels: Sequence[Sequence[PanelShape]]) -> tuple[Floats, Floats]:
    """Return the lengths of crotch curve and inseam, (p, 2), mm, of p panels, and derivatives.

    Of each panel there are some variants with equal real parts, whose imaginary parts say how they
    are moved; the derivatives (n, 2) are along those, of all n variants in order.
    """
    points = np.array(
        [
            number
            for panel in panels
            for s in panel
            for curve in (
                (s.start, s.handle_1, s.handle_2, s.point),
                (s.point, s.inseam_1, s.inseam_2, s.station),
            )
            for point in curve
            for number in point
        ],
        dtype=np.complex128,
    ).reshape(-1, 2, 4, 2)
    legs = points[:, :, 1:] - points[:, :, :-1]
    owner = np.repeat(np.arange(len(panels)), [len(panel) for panel in panels])
    first = owner.searchsorted(np.arange(len(panels)))
    velocity = _D.T @ legs[first].real
    speed = np.sqrt(np.square(velocity).sum(axis=-1))
    # A length changes with a leg of the controls as the mean of the tangent, weighed.
    pull = _D @ (velocity * (_W / speed)[..., None])
    return speed @ _W, (pull[owner] * legs.imag).sum(axis=(2, 3))
