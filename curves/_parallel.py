"""Parallels of cubics by cubics, all segments at once, halved until they are accurate.

A piece starts as the Hermite cubic of the true parallel; then its two handle lengths, which its
ends and tangents leave free, are fitted by least squares to the error across the curve. That needs
a third of the pieces (compare W. Tiller, E. Hanson, Offsets of two-dimensional profiles, 1984, who
only scale the handles).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from outseam.curves._bernstein import (
    Bools,
    Complexes,
    Ints,
    acceleration_matrix,
    cross,
    halved,
    value_matrix,
    velocity_matrix,
)
from outseam.curves.errors import CurveError
from outseam.curves.path import Floats

#: Parameters at which a piece is compared with the true parallel, ends first and last. Seven inside
#: see every peak that an error with two fitted lengths can have; the tests look between them.
_SAMPLES = np.array([0.0, 0.1, 0.23, 0.36, 0.5, 0.64, 0.77, 0.9, 1.0])
_AT = np.concatenate(
    [value_matrix(_SAMPLES), velocity_matrix(_SAMPLES), acceleration_matrix(_SAMPLES)], axis=1
)
_VALUE = value_matrix(_SAMPLES)
_INNER = np.ascontiguousarray(_VALUE[:, 1:-1])
_HANDLES = _INNER[1].real, _INNER[2].real
_Q = len(_SAMPLES)

#: Share of the accuracy the samples may use up; the rest is for the peaks between them.
_SAMPLED_RATIO = 0.8

#: Weight against changing a handle. Far below the squared sine of any turn worth fitting, so that
#: it only decides on straight pieces, where every handle length is as good.
_HOLD = 1e-10

#: The parallel is refused where it would be shorter than this part of the curve it runs beside.
_SHRUNK_RATIO = 1e-6

#: Segments whose second differences are below this part of their length are straight lines walked
#: evenly; where all are, as on a band, the parallels are the segments moved.
_STRAIGHT_RATIO = 1e-12

#: Below this part of the size of a segment its velocity is zero.
_STILL_RATIO = 1e-9

#: A handle that points back by less than this is rounding.
_NONE_MM = 1e-9

#: Halvings allowed: the error falls sixteenfold with each, so only a parallel that comes within a
#: hair of the radius of curvature needs more.
_DEEPEST = 14


@dataclass(frozen=True, slots=True)
class Parallel:
    """Pieces (m, 4) with their segments (m,), and the end tangents (n,) of the segments."""

    pieces: Complexes
    owner: Ints
    tangent_in: Complexes
    tangent_out: Complexes


def parallel(z: Complexes, distance: Floats, accuracy: float) -> Parallel:
    """Return the parallels of the segments `z` (n, 4) at `distance` (n,) mm to the right.

    Each piece has the end points and end tangents of the true parallel. The velocity of a parallel
    is that of the curve times 1 + curvature x distance. Raises CurveError where that factor is not
    positive: there the parallel turns back on itself.
    """
    owner = np.arange(len(z))
    way = z[:, 3] - z[:, 0]
    size = np.abs(way)
    bend = np.abs(z[:, :-2] - 2 * z[:, 1:-1] + z[:, 2:]).max(axis=1)
    if (bend < _STRAIGHT_RATIO * size).all():
        unit = way / size
        return Parallel(z - (1j * distance * unit)[:, None], owner, unit, unit)
    t0, width = np.zeros(len(z)), 1.0
    done: list[tuple[Complexes, Ints, Floats]] = []
    ends = (z[:0, 0], z[:0, 0])
    for level in range(_DEEPEST + 1):
        at = z @ _AT
        v, a = at[:, _Q : 2 * _Q], at[:, 2 * _Q :]
        speed = np.abs(v)
        fastest = speed.max(axis=1)[:, None]
        tangent, turning = _frame(z, v, a, speed, fastest)
        grown = speed + distance[:, None] * turning
        back = grown < _SHRUNK_RATIO * speed - 1e-12 * fastest
        if back.any():
            raise _turned_back(back, grown, speed, z, owner, distance)
        if level == 0:
            ends = (tangent[:, 0], tangent[:, -1])
        true = at[:, :_Q] - (1j * distance)[:, None] * tangent
        pieces, good = _fitted(true, tangent, turning, grown, accuracy)
        if good.all():
            done.append((pieces, owner, t0))
            break
        done.append((pieces[good], owner[good], t0[good]))
        more = ~good
        width /= 2
        z = halved(z[more])
        distance, owner = np.repeat(distance[more], 2), np.repeat(owner[more], 2)
        t0 = np.repeat(t0[more], 2)
        t0[1::2] += width
    else:
        raise CurveError(
            "offset", "the accuracy is not reached", accuracy_mm=accuracy, segment=int(owner[0])
        )
    if len(done) == 1:
        return Parallel(done[0][0], done[0][1], *ends)
    pieces, owner, t0 = (np.concatenate(x) for x in zip(*done, strict=True))
    order = np.argsort(owner + t0)
    return Parallel(pieces[order], owner[order], *ends)


def _fitted(
    true: Complexes, tangent: Complexes, turning: Floats, grown: Floats, accuracy: float
) -> tuple[Complexes, Bools]:
    """Return pieces (m, 4) through the samples `true` (m, q), and which of them are accurate."""
    pieces = np.empty((len(true), 4), dtype=np.complex128)
    u, v = tangent[:, :1], tangent[:, -1:]
    pieces[:, :1], pieces[:, 3:] = true[:, :1], true[:, -1:]
    pieces[:, 1:2] = true[:, :1] + u * (grown[:, :1] / 3)
    pieces[:, 2:3] = true[:, -1:] - v * (grown[:, -1:] / 3)
    # In the frame of the parallel the real part runs along it, the imaginary part across.
    true, back = true[:, 1:-1], tangent[:, 1:-1].conj()
    across = np.empty((len(true), 3, _Q - 2))
    across[:, 0] = (back * u).imag * _HANDLES[0]
    across[:, 1] = (back * v).imag * -_HANDLES[1]
    across[:, 2] = ((true - pieces @ _INNER) * back).imag
    (xx, xy, xe), (_, yy, ye), _ = (across @ across.transpose(0, 2, 1)).transpose(1, 2, 0)
    xx, yy = xx + _HOLD, yy + _HOLD
    over = xx * yy - xy * xy
    first, last = (xe * yy - ye * xy) / over, (ye * xx - xe * xy) / over
    pieces[:, 1] += u[:, 0] * first
    pieces[:, 2] -= v[:, 0] * last
    error = (true - pieces @ _INNER) * back
    # A point displaced along a curve leaves it by half its curvature times the square.
    curvature = turning[:, 1:-1] / grown[:, 1:-1]
    sag = np.abs(error.imag) + np.abs(curvature) * error.real**2 / 2
    # A straight line with its handles on its ends has handles of no length, give or take rounding.
    forward = (first * -3 <= grown[:, 0] + _NONE_MM) & (last * -3 <= grown[:, -1] + _NONE_MM)
    return pieces, (sag.max(axis=1) <= _SAMPLED_RATIO * accuracy) & forward


def _frame(
    z: Complexes, v: Complexes, a: Complexes, speed: Floats, fastest: Floats
) -> tuple[Complexes, Floats]:
    """Return unit tangents and turning rates (radians per unit of parameter) at the samples.

    Where a handle is retracted the velocity is zero at the end, and both follow from the second
    derivative (leaving along it, arriving against it) and the third. Raises CurveError when the
    path has no direction at all or a cusp inside.
    """
    still = speed <= _STILL_RATIO * fastest
    if not still.any():
        tangent = v / speed
        return tangent, cross(tangent, a) / speed
    third = (z[:, 3] - z[:, 0] - 3 * (z[:, 2] - z[:, 1])) * 6
    v, a, speed = v.copy(), a.copy(), speed.copy()
    for row, column in np.argwhere(still):
        ahead, size = complex(a[row, column]), float(np.abs(a[row]).max())
        if size == 0.0 or column not in (0, _Q - 1):
            at = complex(z[row, 0])
            raise CurveError("offset", "the path has a cusp or no length", at=(at.real, at.imag))
        sign = 1.0 if column == 0 else -1.0
        if abs(ahead) > _STILL_RATIO * size:
            v[row, column] = sign * ahead
            a[row, column] = sign * complex(third[row]) / 2
        else:
            v[row, column], a[row, column] = complex(third[row]), 0.0
        speed[row, column] = abs(v[row, column])
    tangent = v / speed
    return tangent, cross(tangent, a) / speed


def _turned_back(
    back: Bools, grown: Floats, speed: Floats, z: Complexes, owner: Ints, distance: Floats
) -> CurveError:
    """Return the error that tells where the parallel turns back first."""
    row, column = (int(i) for i in np.argwhere(back)[0])
    at = complex((z[row] @ _VALUE)[column])
    turned = float(grown[row, column] - speed[row, column]) / float(distance[row])
    return CurveError(
        "offset",
        "the distance reaches the radius of curvature",
        at=(at.real, at.imag),
        segment=int(owner[row]),
        distance_mm=float(distance[row]),
        radius_mm=float(speed[row, column]) / abs(turned),
    )
