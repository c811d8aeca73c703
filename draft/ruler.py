"""A second ruler: lengths and widths from finely broken lines, independent of the solver's.

The checks measure finished pieces with it, so that an error in the quadrature or in the formulas
of the block cannot hide itself.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from curves.path import Path
from curves.region import flatten

Floats = NDArray[np.float64]

#: Distance of the broken line from the curve. A chord is shorter than its arc by about
#: 8/3 sag^2 / chord, so at this sag a metre of seam is short by well under 0.01 mm.
_SAG_MM = 0.005


def chords(path: Path) -> tuple[Floats, Floats]:
    """Return the broken line (m, 2) along a path and the distance run at each of its points."""
    p = flatten(path, _SAG_MM)
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(p, axis=0).T))])
    return p, run


def ruler_length(path: Path) -> float:
    """Return a path's length, mm, by adding up chords."""
    return float(chords(path)[1][-1])


def x_at(path: Path, y: float) -> float | None:
    """Return x where a path that runs steadily up or down crosses level `y`; None outside it."""
    p = flatten(path, _SAG_MM)
    if p[0, 1] > p[-1, 1]:
        p = p[::-1]
    if not p[0, 1] <= y <= p[-1, 1]:
        return None
    return float(np.interp(y, p[:, 1], p[:, 0]))
