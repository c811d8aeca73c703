"""The bag of a pocket that hangs behind the front: how deep it may reach, and its rounded edge."""

from __future__ import annotations

import math
from typing import Final

from outseam.curves.evaluate import cubic_hermite
from outseam.curves.length import length
from outseam.curves.path import Path, join, line
from outseam.curves.point import Point, Vector
from outseam.curves.split import subpath
from outseam.draft.block.panels import smooth
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.words import least_allowed, measure, words
from outseam.draft.model import Make
from outseam.draft.piece.piece import Line
from outseam.draft.piece.ruler import x_at

#: The bag hangs this far below the opening, so that a hand is covered to the wrist; less than
#: `LEAST_BELOW_MM` and things fall out (common practice, no source).
BELOW_MM: Final = 120.0
LEAST_BELOW_MM: Final = 70.0
#: It ends this far above the knee, and above the turned-up hem allowance.
ABOVE_KNEE_MM: Final = 60.0
ABOVE_HEM_MM: Final = 30.0
#: Its inner side stays this far from the centre front.
FROM_CENTRE_MM: Final = 40.0
#: Width of the bag at the waist over the opening of the pocket: room for the knuckles.
WIDTH_OF_OPENING: Final = 0.8

#: A notch of the pocket and the hip notch are this far apart, or one is taken for the other.
NOTCH_CLEAR_MM: Final = 12.0

#: Handle of a quarter ellipse over its half axis.
ROUND: Final = 0.5523
#: The bag is caught in the outseam for this share of its depth below the opening. There its edge
#: leaves the seam by this angle at least, and runs in one bend to its lowest place, which lies a
#: share of its width in. The inner side bulges a little.
CAUGHT_SHARE: Final = 0.6
_FROM_SEAM_RAD: Final = math.radians(20.0)
_LOWEST_SHARE: Final = 0.45
_CORNER_SHARE: Final = 0.5
_BULGE_MM: Final = 8.0


def bag_width_mm(make: Make, opening_mm: float) -> float:
    """Return how far along the front's waist edge the bag reaches from the side, mm."""
    return min(WIDTH_OF_OPENING * opening_mm, length(make.block.front.waist) - FROM_CENTRE_MM)


def bag_bottom_y(make: Make, opening_end_y: float, says: str) -> float:
    """Return the height of the bag's lowest place over the crotch line, mm.

    `says` names the pocket in a sentence. Raises InputError where the leg is too short for it.
    """
    block, m = make.block, make.measures
    floor = max(
        m.knee_height - block.crotch_line_height_mm + ABOVE_KNEE_MM,
        block.front.hem_y + make.spec.style.hem_allowance + ABOVE_HEM_MM,
    )
    bottom = max(opening_end_y - BELOW_MM, floor)
    short = bottom + LEAST_BELOW_MM - opening_end_y
    if short > 0.0:
        inseam = length(block.front.inseam)
        # The hem falls a little less than the inseam grows; a whole centimetre covers it.
        need = 10.0 * math.ceil((inseam + 1.05 * short) / 10.0)
        raise InputError(
            "style.pocket",
            words(
                "{pocket} on an inseam of {inseam}: its bag would come out at the hem",
                pocket=says,
                inseam=measure(inseam),
            ),
            words("an inseam of {need} or more", need=least_allowed(need)),
            "choose a longer leg, a higher rise or a patch pocket",
        )
    return bottom


def bag_edge(
    seam: Path, bottom_y: float, width_mm: float, end: Point, end_direction: Vector
) -> Path:
    """Return the free edge of a bag, from the end of its seam round the bottom up to `end`.

    Counter-clockwise along the bag, as `seam` is, which runs down the outseam; it arrives at `end`
    along the unit `end_direction`. The bag is at least `width_mm` wide at the end of the seam, so
    it follows a leg that tapers from a full hip; it reaches down to `bottom_y` at most.
    """
    start, (dx, dy) = seam.end, seam.end_direction
    width = max(end[0] + _BULGE_MM - start[0], width_mm)
    in_mm = _LOWEST_SHARE * width
    # An even bend from a slant to level falls by the tangent of half the slant.
    steepest = max(0.0, -math.atan2(dy, dx) - _FROM_SEAM_RAD)
    fall_mm = min(start[1] - bottom_y, in_mm * math.tan(steepest / 2.0))
    leave = -2.0 * math.atan2(fall_mm, in_mm)
    low = (start[0] + in_mm, start[1] - fall_mm)
    inner = (start[0] + width, low[1] + _CORNER_SHARE * width)
    across, up = (1.0, 0.0), (0.0, 1.0)
    corner = cubic_hermite(
        low, across, inner, up, ROUND * (inner[0] - low[0]), ROUND * (inner[1] - low[1])
    )
    return join(
        [
            smooth(start, (math.cos(leave), math.sin(leave)), low, across),
            corner,
            smooth(inner, up, end, end_direction),
        ]
    )


def bag_grain(edge: Path) -> Line:
    """Return the grain line of a bag, along its inner side, from its free edge."""
    inner, top = edge.cubics[-1, 0], edge.cubics[-1, 3]
    y = 0.45 * float(inner[1]) + 0.55 * float(top[1])
    there = x_at(subpath(edge, len(edge) - 1.0, float(len(edge))), y)
    x = min(float(inner[0]), float(inner[0]) if there is None else there) - 14.0
    return Line(kind="grain", path=line((x, float(inner[1])), (x, y)), label="grain")
