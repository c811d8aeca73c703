"""Bottom-left lays: one item after the other as near to the cut end and selvedge as it goes.

Deterministic; good on wide fabric, and the only lay here that knows items bound to the fold.
"""

from __future__ import annotations

import random
import time
from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from outseam.draft.lay.model.orientations import Form, Item
from outseam.draft.lay.model.positions import Slides, Spot, Spots, levels_of, reach_mm

#: Heights are tried this far apart, from both sides of the fabric and beside every neighbour, mm.
STEP_MM = 12.0
#: Heights nearer than this are one.
_SAME_MM = 0.01


def heights(
    item: Item, form: Form, placed: Spots, breadth_mm: float, step_mm: float = STEP_MM
) -> list[float]:
    """Return the heights at which a form is tried, lowest first."""
    low, high = levels_of(item, form, breadth_mm)
    if high < low - 1e-9:
        return []
    high = max(low, high)
    found = [*np.arange(low, high, step_mm).tolist(), *np.arange(high, low, -step_mm).tolist()]
    for s in placed:
        found += [s.top_mm + form.gap_mm, s.y_mm - form.gap_mm - form.breadth_mm]
    kept: list[float] = []
    for y in sorted([low, high, *(y for y in found if low < y < high)]):
        if not kept or y - kept[-1] > _SAME_MM:
            kept.append(y)
    return kept


def put(
    item: Item,
    forms: Sequence[Form],
    placed: Spots,
    breadth_mm: float,
    slides: Slides,
    from_mm: float = 0.0,
    step_mm: float = STEP_MM,
) -> Spot | None:
    """Return the spot where the item ends nearest to the cut end; None if it fits nowhere."""
    best: Spot | None = None
    for form in forms:
        levels = heights(item, form, placed, breadth_mm, step_mm)
        for y, x in zip(levels, slides.free(placed, form, levels, from_mm), strict=True):
            if best is None or x + form.length_mm < best.end_mm - 1e-6:
                best = Spot(item=item, form=form, x_mm=x, y_mm=y)
    return best


def bottom_left(
    items: Sequence[Item],
    breadth_mm: float,
    slides: Slides,
    *,
    wishes: Mapping[str, Form] | None = None,
    placed: Spots = (),
    from_mm: float = 0.0,
    step_mm: float = STEP_MM,
) -> Spots | None:
    """Return the items laid in the order given, after those already placed.

    `wishes` fixes the form of some items by key. None if one of them fits nowhere.
    """
    for item in items:
        wish = (wishes or {}).get(item.key)
        forms = [wish] if wish else item.forms
        spot = put(item, forms, placed, breadth_mm, slides, from_mm, step_mm)
        if spot is None:
            return None
        placed = (*placed, spot)
    return placed


def orders(items: Sequence[Item]) -> Iterator[tuple[Item, ...]]:
    """Return the orders worth trying first: large ones first, by area, length and breadth."""
    yield tuple(sorted(items, key=lambda i: (-i.area_mm2, i.key)))
    yield tuple(sorted(items, key=lambda i: (-i.forms[0].length_mm, i.key)))
    yield tuple(sorted(items, key=lambda i: (-i.forms[0].breadth_mm, i.key)))


def climbed(
    items: Sequence[Item], breadth_mm: float, *, tries: int, seconds: float, seed: int = 1
) -> Spots | None:
    """Return the best bottom-left lay of a seeded hill climb over orders and forms.

    Two items change places, or one is held to a form, and the change stays if the lay gets no
    longer. At most `tries` lays are made, and none is begun after `seconds`.
    """
    slides, chance, stop = Slides(coarse=True), random.Random(seed), time.monotonic() + seconds
    best: tuple[float, tuple[Item, ...], dict[str, Form], Spots] | None = None
    for order in orders(items):
        spots = bottom_left(order, breadth_mm, slides)
        if spots is not None and (best is None or reach_mm(spots) < best[0]):
            best = (reach_mm(spots), order, {}, spots)
    if best is None:
        return None
    for _ in range(tries if len(items) > 1 else 0):
        if time.monotonic() > stop:
            break
        changed, wishes = list(best[1]), dict(best[2])
        item = chance.choice(changed)
        if chance.random() < 0.4 and len(item.forms) > 1:
            wishes[item.key] = chance.choice(item.forms)
        else:
            i, j = chance.sample(range(len(changed)), 2)
            changed[i], changed[j] = changed[j], changed[i]
            if chance.random() < 0.3:
                wishes.pop(item.key, None)
        spots = bottom_left(changed, breadth_mm, slides, wishes=wishes)
        if spots is not None and reach_mm(spots) <= best[0]:
            best = (reach_mm(spots), tuple(changed), wishes, spots)
    return best[3]
