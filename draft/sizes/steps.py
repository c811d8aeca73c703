"""Which sizes serve most people: the best hips for one size, two sizes, and so on.

Sizes are sought along the line of middling bodies: for every hip the waist that the population
figures expect. Whom a size serves along that line is a range of hips cut by what waist and thigh
allow, so for each person the sizes that serve them follow each other; choosing the best of them is
then a shortest-path kind of problem, solved exactly (dynamic programming) on a grid of hips.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from outseam.curves.path import Floats
from outseam.draft.body.population import Build, condition
from outseam.draft.sizes.coverage import (
    FitRule,
    People,
    ServedGirths,
    blended,
    reach_of,
    served_by,
)
from outseam.draft.sizes.run import Size, draft_sizes
from outseam.draft.sizes.tables import USUAL_HEIGHT_MM, filled_body
from outseam.draft.spec.spec import Spec

#: Sizes are sought at hips this far apart, mm, within these shares of the people.
GRID_MM: Final = 10.0
_ENDS: Final = (0.005, 0.995)
#: Every so many of the grid are drafted; between them a reach runs straight.
_DRAFTED_EVERY: Final = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class BestSizes:
    """The best choice of so many sizes: body hips and waists, mm, and the share of people."""

    hips: tuple[float, ...]
    waists: tuple[float, ...]
    coverage: float

    @property
    def steps(self) -> tuple[float, ...]:
        """By how much the hip grows from each size to the next, mm."""
        return tuple(b - a for a, b in pairwise(self.hips))


def middling_reaches(
    spec: Spec,
    build: Build,
    people: People,
    *,
    rule: FitRule | None = None,
    height_mm: float | None = None,
) -> tuple[ServedGirths, ...]:
    """Return whom sizes for middling bodies serve, a grid of hips over all people.

    Hips that the style cannot be drafted for are left out at the ends.
    """
    low, high = np.quantile(people.hip, _ENDS)
    hips = np.arange(GRID_MM * round(low / GRID_MM), high + GRID_MM, GRID_MM)
    places = sorted({*range(0, len(hips), _DRAFTED_EVERY), len(hips) - 1})
    height = height_mm or USUAL_HEIGHT_MM[build]
    values = np.stack([np.full(len(places), height), hips[places]], axis=-1)
    found = condition(build, ("height", "hip"), values)
    waists = found.mm[:, found.names.index("waist")].tolist()
    sizes = [
        Size(
            label=str(i),
            body=filled_body(build, {"hip": float(hips[i]), "waist": waist}, height),
        )
        for i, waist in zip(places, waists, strict=True)
    ]
    run = draft_sizes(spec, sizes)
    known = {
        int(label): reach_of(pattern, rule=rule)
        for label, pattern in zip(run.labels, run.patterns, strict=True)
    }
    drafted = sorted(known)
    return tuple(
        blended(known[a], known[b], k / (b - a)) for a, b in pairwise(drafted) for k in range(b - a)
    ) + tuple(known[i] for i in drafted[-1:])


def best_sizes(reaches: Sequence[ServedGirths], people: People, most: int) -> tuple[BestSizes, ...]:
    """Return the best choice of 1, 2, ... `most` of the sizes, each exact on these.

    Fewer where all of them together serve nobody more.
    """
    each = np.stack([served_by(reach, people) for reach in reaches])
    # Whom a size serves and none chosen below it does: those it shares with the next one below.
    floats = each.astype(np.float32)
    shared = np.asarray(floats @ floats.T, dtype=np.float64)
    chosen: list[BestSizes] = []
    for places in _best_places(shared, min(most, len(reaches))):
        coverage = float(each[places].any(axis=0).mean())
        if chosen and coverage <= chosen[-1].coverage:
            break
        chosen.append(
            BestSizes(
                hips=tuple(reaches[i].body_hip for i in places),
                waists=tuple(reaches[i].body_waist for i in places),
                coverage=coverage,
            )
        )
    return tuple(chosen)


def _best_places(shared: Floats, most: int) -> list[list[int]]:
    """Return the best places for 1 to `most` sizes; `shared` (k, k) counts whom two both serve."""
    count = len(shared)
    own = np.diag(shared)
    best, back = own.copy(), []
    found = [[int(np.argmax(best))]]
    below = np.tri(count, k=-1, dtype=np.bool_)  # [j, i]: size i is smaller than size j
    for _ in range(1, most):
        gained = np.where(below, best[None, :] + own[:, None] - shared, -np.inf)
        back.append(np.argmax(gained, axis=1))
        best = gained.max(axis=1)
        places = [int(np.argmax(best))]
        for earlier in reversed(back):
            places.append(int(earlier[places[-1]]))
        found.append(places[::-1])
    return found
