"""A second ruler: lengths and widths from finely broken lines, independent of the solver's.

The checks measure finished pieces with it, so that an error in the quadrature or in the formulas
of the block cannot hide itself.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from curves.path import Path
from curves.region import flatten

Floats = NDArray[np.float64]

#: Distance of the broken line from the curve. A chord is shorter than its arc by about
#: 8/3 sag^2 / chord, so at this sag a metre of seam is short by well under 0.01 mm.
SAG_MM = 0.005


@lru_cache(maxsize=512)
def chords(path: Path) -> tuple[Floats, Floats]:
    """Return the broken line (m, 2) along a path and the distance run at each of its points.

    Remembered by the path itself (paths never change), since several checks measure each edge.
    """
    p = flatten(path, SAG_MM)
    d = np.diff(p, axis=0)
    run = np.concatenate([[0.0], np.cumsum(np.hypot(d[:, 0], d[:, 1]))])
    return p, run


def ruler_length(path: Path) -> float:
    """Return a path's length, mm, by adding up chords."""
    return float(chords(path)[1][-1])


def run_at_y(path: Path, y: float) -> float:
    """Return the distance run along a path that goes steadily up or down where it crosses `y`."""
    p, run = chords(path)
    return float(np.interp(-y, -p[:, 1], run) if p[0, 1] > p[-1, 1] else np.interp(y, p[:, 1], run))


def x_at(path: Path, y: float) -> float | None:
    """Return x where a path that runs steadily up or down crosses level `y`; None outside it."""
    p = chords(path)[0]
    if p[0, 1] > p[-1, 1]:
        p = p[::-1]
    if not p[0, 1] <= y <= p[-1, 1]:
        return None
    return float(np.interp(y, p[:, 1], p[:, 0]))
