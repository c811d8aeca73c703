"""Parts of a path, by parameter and by arc length, and straight extensions of its ends."""

from __future__ import annotations

import numpy as np

from outseam.curves._bernstein import SNAP, Complexes, controls, part, straight, to_path
from outseam.curves.errors import CurveError
from outseam.curves.path import Path
from outseam.curves.tolerance import LENGTH_MM


def split(path: Path, u: float) -> tuple[Path, Path]:
    """Return the parts before and after parameter `u`; they share the point exactly.

    Raises CurveError when `u` is not inside the path.
    """
    z = controls(path)
    if not SNAP < u < len(z) - SNAP:
        raise CurveError("split", f"the parameter must lie inside (0, {len(z)})", given=u)
    return to_path(part(z, 0.0, u)), to_path(part(z, u, float(len(z))))


def subpath(path: Path, u0: float, u1: float) -> Path:
    """Return the part from `u0` to `u1`, 0 <= u0 < u1 <= n. Raises CurveError otherwise."""
    z = controls(path)
    if not (-SNAP <= u0 < u1 - SNAP and u1 <= len(z) + SNAP):
        raise CurveError(
            "subpath", f"the parameters must rise inside [0, {len(z)}]", given=(u0, u1)
        )
    return to_path(_without_stubs(part(z, max(u0, 0.0), min(u1, float(len(z))))))


def _without_stubs(z: Complexes) -> Complexes:
    """Let the neighbours of end segments shorter than `LENGTH_MM` reach their ends instead.

    A cut beside a joint leaves such stubs, as near as a length is measured. They have no direction
    worth the name, and the next joint, or a parallel, would be judged by it.
    """
    while len(z) > 1 and np.abs(z[-1] - z[-1, 0]).max() <= LENGTH_MM:
        end, z = z[-1, 3], z[:-1].copy()
        z[-1, 2:] += end - z[-1, 3]
    while len(z) > 1 and np.abs(z[0] - z[0, 0]).max() <= LENGTH_MM:
        start, z = z[0, 0], z[1:].copy()
        z[0, :2] += start - z[0, 0]
    return z


def extend(path: Path, at_start_mm: float = 0.0, at_end_mm: float = 0.0) -> Path:
    """Return the path with straight segments along its end tangents, of the lengths given in mm.

    Zero adds none. Raises CurveError for a negative length: shorten with `subpath`.
    """
    if not (at_start_mm >= 0.0 and at_end_mm >= 0.0):
        raise CurveError(
            "extend", "a length must not be negative", given_mm=(at_start_mm, at_end_mm)
        )
    parts = [controls(path)]
    if at_start_mm > 0.0:
        p = complex(*path.start)
        parts.insert(0, straight(p - at_start_mm * complex(*path.start_direction), p))
    if at_end_mm > 0.0:
        q = complex(*path.end)
        parts.append(straight(q, q + at_end_mm * complex(*path.end_direction)))
    return to_path(np.concatenate(parts)) if len(parts) > 1 else path
