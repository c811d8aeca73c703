"""What no lay of some pieces can be shorter than, however cleverly they are placed.

Three bounds, the greatest holds. The longest piece. The area, each piece with half the gap round
it on fabric that is by one gap larger. And by columns: where pieces stand above one another at one
place along the fabric, their breadths there add up to no more than the fabric's; so whatever
function gives breadths that fit beside one another values that sum to no more than 1 (a dual
feasible function; from memory of Fekete and Schepers, New classes of fast lower bounds for bin
packing problems), the integral of the values over all pieces is not more than the length. One that
calls everything broader than a half a whole sees that no two such places lie side by side, which
the area does not.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import product
from typing import Final

import numpy as np
from shapely import Polygon

from outseam.draft.lay.model.cloth import Cloth
from outseam.draft.lay.model.orientations import Item, Orientation
from outseam.draft.lay.model.placement import Floats
from outseam.draft.lay.model.profile import profile_of

#: Columns are this narrow at most, mm; in each the least breadth counts, so nothing is overstated.
_COLUMN_MM: Final = 4.0
#: Shares of the breadth up to which a column counts nothing (and from the rest of which all), and
#: numbers of parts in which breadths are counted.
_SHARES: Final = tuple(n / 50.0 for n in range(26))
_PARTS: Final = (1, 2, 3, 4, 5)
#: Circles round corners are drawn with so many lines a quarter, inside the true circle.
_ARC: Final = 4
#: All subsets of up to so many items are tried for the part of the fabric that is opened out.
_MOST_OPEN: Final = 6


def area_mm2(items: Sequence[Item]) -> float:
    """Return the fabric in the pieces, both layers counted."""
    return sum(i.area_mm2 * (2 if i.part.zone == "fold" else i.part.cuts) for i in items)


def bound_mm(items: Sequence[Item], cloth: Cloth) -> float:
    """Return a length that no lay of the items can undercut.

    Items on the fold, and single ones on folded fabric, may lie in the part opened out as well.
    """
    longest = max(min(f.length_mm for f in i.orientations) for i in items)
    plain = max(area_mm2(items) / cloth.width_mm, longest)
    if not cloth.folded:
        return max(plain, _columns(items, cloth.width_mm, cloth.gap_mm))
    moving = [i for i in items if i.part.zone != "main"]
    if len(moving) > _MOST_OPEN:
        return plain
    stay = [i for i in items if i.part.zone == "main"]
    least = float("inf")
    for out in product((False, True), repeat=len(moving)):
        if any(i.part.zone == "opened" and not o for i, o in zip(moving, out, strict=True)):
            continue
        folded = [*stay, *(i for i, o in zip(moving, out, strict=True) if not o)]
        opened = [i for i, o in zip(moving, out, strict=True) if o]
        # What lies beyond the fold is whole there; half of it is the least that can be said.
        length = _columns(folded, cloth.width_mm / 2.0, cloth.gap_mm) if folded else 0.0
        if opened:
            length += _columns(opened, cloth.width_mm, cloth.gap_mm)
        least = min(least, length)
    return max(plain, least)


def narrow_bound_mm(singles: Sequence[Item], cloth: Cloth) -> float:
    """Return a length that no lay on a narrow fold can undercut, from all copies one by one.

    Unfolded it is a lay in a single layer, save that pieces may touch along the fold.
    """
    return bound_mm(singles, replace(cloth, gap_mm=0.0))


def _columns(items: Sequence[Item], breadth_mm: float, gap_mm: float) -> float:
    """Return the bound by columns for items on one strip of fabric."""
    rows = [np.min([_values(f, breadth_mm, gap_mm) for f in i.orientations], axis=0) for i in items]
    return max(0.0, float(np.sum(rows, axis=0).max()) - gap_mm)


def _values(orientation: Orientation, breadth_mm: float, gap_mm: float) -> Floats:
    """Return the integrals of all functions over one orientation with half the gap round it, mm."""
    outline = orientation.outline
    if gap_mm > 0.0:
        grown = Polygon(outline).buffer(gap_mm / 2.0, quad_segs=_ARC)
        outline = np.asarray(grown.exterior.coords)[:-1, :2]
    widths, breadths = columns_of(outline)
    share = np.minimum(breadths / (breadth_mm + gap_mm), 1.0)
    found = [
        np.where(share > 1.0 - s, 1.0, np.where(share < s, 0.0, share)) if s else share
        for s in _SHARES
    ]
    for k in _PARTS:
        # A whole number of parts stays what it is.
        parts = share * (k + 1)
        whole = np.abs(parts - np.round(parts)) < 1e-9
        found.append(np.where(whole, share, np.floor(parts) / k))
    values: Floats = np.array(found) @ widths
    return values


def columns_of(outline: Floats) -> tuple[Floats, Floats]:
    """Return columns across an outline (m, 2): widths along x and the least breadth in each, mm.

    Between two corners the breadth changes evenly, so its least is at one end of a column.
    """
    slabs = profile_of(outline[:, ::-1])
    levels, which = np.unique(slabs.low, return_inverse=True)
    height = np.zeros(len(levels))
    height[which] = slabs.high - slabs.low
    low = np.bincount(which, slabs.right_low - slabs.left_low)
    high = np.bincount(which, slabs.right_high - slabs.left_high)
    count = np.maximum(1, np.ceil(height / _COLUMN_MM)).astype(int)
    slab = np.repeat(np.arange(len(levels)), count)
    n = np.arange(len(slab)) - np.repeat(np.cumsum(count) - count, count)
    step = (high - low)[slab] / count[slab]
    start = low[slab] + n * step
    return height[slab] / count[slab], np.minimum(start, start + step)
