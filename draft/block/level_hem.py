"""A hem that lies straight and level: the flare opens above it and falls straight down into it.

A hem meets its seams at right angles, so the hem of leaning seams is an arc, and a border printed
straight does not run along it. Here the lower end of both seams of a panel is drawn anew, so that
it ends upright: the hem is then a straight line, as long as the arc was, and still square to the
seams. The seams keep their lengths, so all that is measured from the hem stays where it is; only
how the leg falls above the hem changes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from outseam.curves.length import length, param_at_length
from outseam.curves.path import Path, join, line
from outseam.curves.point import Point, Vector
from outseam.curves.split import subpath
from outseam.draft.block.panels import Panel, smooth

#: The flare is drawn anew over so much of the seams, or over this share of the inseam if that is
#: less (common practice, no source: a hand or two; a shorter bend would show as a corner).
BEND_MM: Final = 300.0
BEND_SHARE: Final = 0.4
#: A hem whose seams lean by less is straight already: 0.1 mm of arc on a wide leg.
_UPRIGHT: Final = 1e-3
_CLOSE_MM: Final = 1e-4
_STEPS: Final = 12
#: A bend that cannot keep the lengths of both seams is tried shorter.
_SHARES: Final = (1.0, 0.85, 0.7, 0.55, 0.4, 0.3)
_DOWN: Final[Vector] = (0.0, -1.0)


Floats: TypeAlias = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Bend:
    """The lower end of a seam that is drawn anew: the seam above it, its end and its way down."""

    kept: Path
    at: Point
    way: Vector

    def to(self, end: Point) -> Path:
        """Return the new lower end, down to a point of the hem where it is upright."""
        return smooth(self.at, self.way, end, _DOWN)


def level_hem(front: Panel, back: Panel) -> tuple[Panel, Panel]:
    """Return both panels with straight, level hems; each as it is where it is level already."""
    bend = min(BEND_MM, BEND_SHARE * min(length(front.inseam), length(back.inseam)))
    return _levelled(front, bend), _levelled(back, bend)


def _levelled(panel: Panel, bend_mm: float) -> Panel:
    """Return a panel with its hem straight, by the longest bend that keeps the seams' lengths."""
    if max(abs(panel.outseam.end_direction[0]), abs(panel.inseam.start_direction[0])) < _UPRIGHT:
        return replace(panel, hem=line(panel.outseam.end, panel.inseam.start))
    tries = (_bent(panel, share * bend_mm) for share in _SHARES)
    best = math.inf, panel
    for found in tries:
        best = min(best, found, key=lambda one: one[0])
        if best[0] < _CLOSE_MM:
            break
    return best[1]


def _bent(panel: Panel, bend_mm: float) -> tuple[float, Panel]:
    """Return by how much a panel misses that ends upright after a bend, mm, and the panel.

    Its two seams keep their lengths and its hem its own: three conditions for the level of the hem
    and for where its two ends are, met by stepping by the misses.
    """
    out = _bend(panel.outseam, bend_mm)
    inner = _bend(panel.inseam.reversed(), bend_mm)
    wide = length(panel.hem)

    def misses(x: Floats) -> Floats:
        left, right, y = x.tolist()
        return np.array(
            [
                length(out.to((left, y))) - bend_mm,
                length(inner.to((right, y))) - bend_mm,
                right - left - wide,
            ]
        )

    ends = panel.outseam.end, panel.inseam.start
    x: Floats = np.array([ends[0][0], ends[1][0], (ends[0][1] + ends[1][1]) / 2.0])
    best, least = x, math.inf
    for _ in range(_STEPS):
        miss = misses(x)
        if float(np.abs(miss).max()) < least:
            best, least = x, float(np.abs(miss).max())
        if least < _CLOSE_MM:
            break
        slopes = np.stack([(misses(x + h) - misses(x - h)) / 0.2 for h in 0.1 * np.eye(3)], axis=1)
        x = x - np.linalg.lstsq(slopes, miss, rcond=1e-9)[0]
    left, right, y = best.tolist()
    return least, replace(
        panel,
        outseam=join([out.kept, out.to((left, y))]),
        hem=line((left, y), (right, y)),
        inseam=join([inner.kept, inner.to((right, y))]).reversed(),
        hem_y=y,
    )


def _bend(down: Path, bend_mm: float) -> _Bend:
    """Return the lower end of a seam that runs down."""
    u = param_at_length(down, length(down) - bend_mm)
    kept = subpath(down, 0.0, u)
    return _Bend(kept=kept, at=kept.end, way=kept.end_direction)
