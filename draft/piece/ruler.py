"""A second ruler: lengths and widths from finely broken lines, independent of the solver's.

The checks measure finished pieces with it, so that an error in the quadrature or in the formulas
of the block cannot hide itself.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from outseam.curves.path import Path
from outseam.curves.region import flatten_all
from outseam.draft.piece.piece import Piece

Floats = NDArray[np.float64]

#: Distance of the broken line from the curve. A chord is shorter than its arc by about
#: 8/3 sag^2 / chord, so at this sag a metre of seam is short by about 0.005 mm.
SAG_MM = 0.01


#: What was measured of a path is kept with it under this.
_CHORDS = "chords"


def chords(path: Path) -> tuple[Floats, Floats]:
    """Return the broken line (m, 2) along a path and the distance run at each of its points."""
    if _CHORDS not in path.known:
        measure_together([path])
    found: tuple[Floats, Floats] = path.known[_CHORDS]
    return found


def measure_together(paths: Iterable[Path]) -> None:
    """Break many paths at once, which costs little more than one, and remember them."""
    fresh = [p for p in dict.fromkeys(paths) if _CHORDS not in p.known]
    if not fresh:
        return
    broken = flatten_all(fresh, SAG_MM)
    # All steps at once, none from the end of a path to the start of the next.
    starts = np.cumsum([0, *map(len, broken)])
    d = np.diff(np.concatenate(broken), axis=0, prepend=0.0)
    steps = np.hypot(d[:, 0], d[:, 1])
    steps[starts[:-1]] = 0.0
    run = np.cumsum(steps)
    run -= np.repeat(run[starts[:-1]], np.diff(starts))
    for path, p, at in zip(fresh, broken, starts.tolist(), strict=False):
        path.known[_CHORDS] = (p, run[at : at + len(p)])


def ruler_length(path: Path) -> float:
    """Return a path's length, mm, by adding up chords."""
    return float(chords(path)[1][-1])


def run_at_y(path: Path, y: float) -> float:
    """Return the distance run along a path that goes steadily up or down where it crosses `y`."""
    p, run = chords(path)
    return float(np.interp(-y, -p[:, 1], run) if p[0, 1] > p[-1, 1] else np.interp(y, p[:, 1], run))


def x_on(path: Path, y: float) -> float:
    """Return x where a path that runs steadily up or down crosses level `y`, or x of its end."""
    p = chords(path)[0]
    if p[0, 1] > p[-1, 1]:
        p = p[::-1]
    return float(np.interp(y, p[:, 1], p[:, 0]))


def x_at(path: Path, y: float) -> float | None:
    """Return x where a path that runs steadily up or down crosses level `y`; None outside it."""
    p = chords(path)[0]
    low, high = min(p[0, 1], p[-1, 1]), max(p[0, 1], p[-1, 1])
    return x_on(path, y) if low <= y <= high else None


def across_mm(piece: Piece) -> float:
    """Return how far the corners of a piece's sewing outline reach across, mm."""
    ends = [x for e in piece.edges for x in (e.path.start[0], e.path.end[0])]
    return max(ends) - min(ends)
