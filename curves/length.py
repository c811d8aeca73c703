"""Arc length, and the parameter at an arc length.

The speed along a cubic is the modulus of a quadratic, so it is smooth away from that quadratic's
roots, and one Gauss-Legendre rule measures it. How far it can be trusted is read from the Legendre
series of the speed: where the last terms are small, the rule is better still. Segments that come
near a root are first cut there, which turns a cusp into two smooth halves, and then halved until
the terms are small.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from outseam.curves._bernstein import (
    Bools,
    Complexes,
    controls,
    halved,
    restricted,
    velocity_matrix,
    velocity_powers,
)
from outseam.curves.errors import CurveError
from outseam.curves.path import Floats, Path
from outseam.curves.tolerance import LENGTH_MM

# The right half of the 16-point Gauss-Legendre rule on [-1, 1], as numpy's leggauss gives it;
# importing that takes longer than a draft. Exact to degree 31, which the tests check.
_X = np.array(
    [
        0.09501250983763744,
        0.2816035507792589,
        0.45801677765722737,
        0.6178762444026438,
        0.755404408355003,
        0.8656312023878318,
        0.9445750230732326,
        0.9894009349916499,
    ]
)
_W = np.array(
    [
        0.18945061045506864,
        0.18260341504492364,
        0.16915651939500265,
        0.1495959888165767,
        0.12462897125553407,
        0.0951585116824926,
        0.062253523938647456,
        0.027152459411754176,
    ]
)

#: Nodes and weights on [0, 1].
NODES: Floats = np.concatenate([1 - _X[::-1], 1 + _X]) / 2
WEIGHTS: Floats = np.concatenate([_W[::-1], _W]) / 2
# The same with the end of the interval, where Newton needs the speed.
_NODES_AND_END, _WEIGHTS_AND_END = np.append(NODES, 1.0), np.append(WEIGHTS, 0.0)


def _legendre_weights() -> Floats:
    """Return the weights (16, 3) that give the Legendre coefficients 13, 14 and 15 of values."""
    x = 2 * NODES - 1
    p = [np.ones(16), x]
    for k in range(1, 15):
        p.append(((2 * k + 1) * x * p[k] - k * p[k - 1]) / (k + 1))
    return np.stack([(2 * k + 1) * WEIGHTS * p[k] for k in (13, 14, 15)], axis=1)


_VELOCITY = velocity_matrix(NODES)
_BOTH = np.concatenate([WEIGHTS[:, None], _legendre_weights()], axis=1)

#: A segment whose slowest node is slower than this part of its mean speed is cut at the roots: a
#: cusp between two nodes always slows one of them below a fifth. Larger sends gentle curves the
#: slow way. Over random pairs of roots beyond it, and at the ends of pieces cut at their roots, the
#: error stayed below 0.85 of the largest of the three terms (measured), mostly far below.
_SLOW_RATIO = 0.25

#: Part of the size of a segment below which the doubt is rounding, which halving cannot lessen. It
#: limits the accuracy that can be had: about 1e-10 mm on pattern pieces.
_ROUNDING_RATIO = 1e-14

#: Halvings after which a piece is accepted. A piece then spans 1e-9 of its segment.
_DEEPEST = 30


@dataclass(frozen=True, slots=True)
class _Leaves:
    """Pieces on which one rule is accurate, in order along the path, (m,) each."""

    controls: Complexes
    start: Floats  # global parameter
    width: Floats
    length: Floats


#: The leaves and the length at the usual accuracy are kept with the path: a draft asks for the same
#: few edges again and again.
_LEAVES, _LENGTH = "leaves", "length"


def _leaves_of(path: Path, accuracy: float) -> _Leaves:
    """Return the leaves of a path; at the usual accuracy those that also find parameters."""
    if accuracy != LENGTH_MM:
        return _leaves(controls(path), accuracy)
    found: _Leaves | None = path.known.get(_LEAVES)
    if found is None:
        found = path.known[_LEAVES] = _leaves(controls(path), accuracy / 2)
    return found


def length(path: Path, accuracy: float = LENGTH_MM) -> float:
    """Return the arc length of a path, mm, within `accuracy`."""
    if accuracy != LENGTH_MM:
        return float(_leaves_of(path, accuracy).length.sum())
    found: float | None = path.known.get(_LENGTH)
    if found is None:
        found = path.known[_LENGTH] = float(_leaves_of(path, accuracy).length.sum())
    return found


def know_lengths(paths: Iterable[Path]) -> None:
    """Work out the lengths of many paths at once, which costs little more than one, and keep them.

    Those with a segment that must be halved are left to `length`.
    """
    fresh = [p for p in paths if _LEAVES not in p.known]
    if not fresh:
        return
    z = np.concatenate([controls(p) for p in fresh])
    count = np.array([len(p) for p in fresh])
    mm, hard = _judged(z, LENGTH_MM / 2 / np.repeat(count, count))
    ends = np.cumsum(count).tolist()
    for path, end in zip(fresh, ends, strict=True):
        part = slice(end - len(path), end)
        if not hard[part].any():
            path.known[_LEAVES] = _whole(z[part], mm[part])


def lengths(path: Path, accuracy: float = LENGTH_MM) -> Floats:
    """Return the arc length of each segment (n,), mm; their sum is within `accuracy` mm."""
    z = controls(path)
    leaves = _leaves(z, accuracy)
    if len(leaves.length) == len(z):
        return leaves.length
    out: Floats = np.add.reduceat(leaves.length, leaves.start.searchsorted(np.arange(len(z))))
    return out


def lengths_at(path: Path, u: Floats | Sequence[float], accuracy: float = LENGTH_MM) -> Floats:
    """Return the arc lengths (m,), mm, from the start to the parameters `u` (m,).

    Raises CurveError when a parameter is outside the path.
    """
    u = np.asarray(u, dtype=np.float64)
    n = len(path.cubics)
    if u.size and not (u.min() >= 0.0 and u.max() <= n):
        raise CurveError("parameter", f"a path parameter must lie in [0, {n}]", given=u.tolist())
    leaves = _leaves(controls(path), accuracy)
    reached = _reached(leaves)
    j = leaves.start.searchsorted(u, "right") - 1
    t = np.minimum((u - leaves.start[j]) / leaves.width[j], 1.0)
    return reached[j] + _partial(leaves.controls[j], t)


def params_at_lengths(
    path: Path, s: Floats | Sequence[float], accuracy: float = LENGTH_MM
) -> Floats:
    """Return the parameters (m,) at arc lengths `s` (m,), mm. See `param_at_length`."""
    return np.array([param_at_length(path, one, accuracy) for one in np.asarray(s).tolist()])


def param_at_length(path: Path, s: float, accuracy: float = LENGTH_MM) -> float:
    """Return the parameter at arc length `s`, mm, from the start.

    The length up to it is within `accuracy` mm of the wanted one. Raises CurveError when the
    length is outside the path by more than `accuracy`.
    """
    leaves = _leaves_of(path, accuracy if accuracy == LENGTH_MM else accuracy / 2)
    each: list[float] = leaves.length.tolist()
    total = sum(each)
    if not -accuracy <= s <= total + accuracy:
        raise CurveError("length", "the path is not that long", given_mm=s, length_mm=total)
    before, j = 0.0, 0
    while j < len(each) - 1 and s >= before + each[j]:
        before += each[j]
        j += 1
    want = min(max(s - before, 0.0), each[j])
    t = _solved(leaves.controls[j], want, each[j], accuracy / 4)
    return float(leaves.start[j] + leaves.width[j] * t)


def _measured(z: Complexes) -> tuple[Floats, Floats, Floats]:
    """Return speeds at the nodes (m, 16), lengths (m,) and bounds of their errors (m,)."""
    speed = np.abs(z @ _VELOCITY)
    both = speed @ _BOTH
    return speed, both[:, 0], np.abs(both[:, 1:]).max(axis=1)


def _judged(z: Complexes, accuracy: float | Floats) -> tuple[Floats, Bools]:
    """Return the lengths of segments, and which must be halved for an accuracy of each."""
    speed, mm, doubt = _measured(z)
    return mm, (speed.min(axis=1) < _SLOW_RATIO * mm) | (doubt > accuracy)


def _whole(z: Complexes, mm: Floats) -> _Leaves:
    """Return whole segments as leaves."""
    return _Leaves(z, np.arange(len(z), dtype=np.float64), np.ones(len(z)), mm)


def _leaves(z: Complexes, accuracy: float) -> _Leaves:
    n = len(z)
    if not accuracy > 0.0:
        raise CurveError("length", "the accuracy must be more than zero", given_mm=accuracy)
    mm, hard = _judged(z, accuracy / n)
    if not hard.any():
        return _whole(z, mm)
    start, easy = np.arange(n, dtype=np.float64), ~hard
    parts = [_Leaves(z[easy], start[easy], np.ones(len(z) - int(hard.sum())), mm[easy])]
    for k in np.flatnonzero(hard):
        parts.extend(_halved_leaves(z[k], float(k), accuracy / n))
    order = np.argsort(np.concatenate([p.start for p in parts]))
    return _Leaves(
        np.concatenate([p.controls for p in parts])[order],
        np.concatenate([p.start for p in parts])[order],
        np.concatenate([p.width for p in parts])[order],
        np.concatenate([p.length for p in parts])[order],
    )


def _halved_leaves(z: Complexes, start: float, accuracy: float) -> list[_Leaves]:
    """Return the leaves of one segment `z` (4,), cut at its slow places and halved."""
    knots = np.array([0.0, *_slow_places(z), 1.0])
    t0, width = knots[:-1], knots[1:] - knots[:-1]
    z = restricted(np.repeat(z[None], len(t0), axis=0), t0, knots[1:])
    rounding = _ROUNDING_RATIO * float(np.abs(z).max())
    done = []
    for level in range(_DEEPEST + 1):
        _, mm, doubt = _measured(z)
        polygon = np.abs(z[:, 1:] - z[:, :-1]).sum(axis=1)
        chord = np.abs(z[:, 3] - z[:, 0])
        # The length lies between chord and polygon, whatever the rules say.
        mm = np.minimum(np.maximum(mm, chord), polygon)
        doubt = np.minimum(doubt, polygon - chord)
        good = (doubt <= np.maximum(accuracy * width, rounding)) | (level == _DEEPEST)
        done.append(_Leaves(z[good], start + t0[good], width[good], mm[good]))
        if good.all():
            break
        more = ~good
        z = halved(z[more])
        width = np.repeat(width[more] / 2, 2)
        t0 = np.repeat(t0[more], 2)
        t0[1::2] += width[1::2]
    return done


def _slow_places(z: Complexes) -> list[float]:
    """Return the parameters inside (0, 1) where a root of the velocity comes nearest."""
    d0, d1, d2 = (z[1:] - z[:-1]).tolist()
    a, b, c = d0 - 2 * d1 + d2, d1 - d0, d0  # a t^2 + 2 b t + c
    root = (b * b - a * c) ** 0.5
    q = -(b + root if (b.conjugate() * root).real >= 0 else b - root)
    fractions = ((q, a), (c, q))
    places = {(x / y).real for x, y in fractions if abs(y) > 1e-12 * abs(x)}
    return sorted(t for t in places if 1e-6 < t < 1 - 1e-6)


def _reached(leaves: _Leaves) -> Floats:
    """Return the arc lengths (m + 1,) at the starts of the leaves and at the end."""
    return np.concatenate([[0.0], np.cumsum(leaves.length)])


def _partial(z: Complexes, t: Floats) -> Floats:
    """Return the arc lengths (m,) of leaves `z` (m, 4) from 0 to `t` (m,)."""
    at = t[:, None] * NODES
    a, b, c = velocity_powers(z[:, None])
    out: Floats = t * (np.abs((a * at + b) * at + c) @ WEIGHTS)
    return out


def _solved(z: Complexes, want: float, whole: float, accuracy: float) -> float:
    """Return t where the leaf `z` (4,) has run `want` mm.

    Newton, which needs two or three steps; should it not settle, kept inside its bracket.
    """
    d0, d1, d2 = (3 * (z[1:] - z[:-1])).tolist()
    a, b = d2 - 2 * d1 + d0, 2 * (d1 - d0)
    low, high = 0.0, 1.0
    t = want / max(whole, 1e-300)
    for k in range(60):
        at = t * _NODES_AND_END
        speed = np.abs((a * at + b) * at + d0)
        miss = t * float(speed @ _WEIGHTS_AND_END) - want
        if abs(miss) <= accuracy:
            break
        step = t - miss / max(float(speed[-1]), 1e-300)
        if k < 5:
            t = min(max(step, 0.0), 1.0)
            continue
        low, high = (t, high) if miss < 0.0 else (low, t)
        t = step if low < step < high else (low + high) / 2
    return t
