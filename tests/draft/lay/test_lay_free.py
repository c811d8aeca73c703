"""Free places worked out for all pieces together are those that are worked out pair by pair."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from outseam.draft.fabric import Fabric
from outseam.draft.lay.model.cloth import cloth_of
from outseam.draft.lay.model.orientations import items_of
from outseam.draft.lay.model.parts import parts_of
from outseam.draft.lay.model.positions import Once, Position, Slides
from outseam.draft.lay.model.turning import turns_of
from outseam.draft.model import Pattern


@pytest.mark.parametrize("from_mm", [0.0, 137.5])
def test_together_is_as_one_by_one(make_pattern: Callable[..., Pattern], from_mm: float) -> None:
    fabric = Fabric(stretch_across=0.5, stretch_along=0.5)
    pattern = make_pattern(fabric=fabric, leg="flare", pocket="scoop")
    cloth = cloth_of(fabric)
    items = items_of(parts_of([pattern], cloth, turns_of), [fabric], cloth)
    chance = np.random.default_rng(5)
    for _ in range(25):
        count = int(chance.integers(0, 6))
        placed = tuple(
            Position(
                item=items[i],
                orientation=items[i].orientations[-1],
                x_mm=float(chance.uniform(0, 900)),
                y_mm=float(chance.uniform(0, 900)),
            )
            for i in chance.integers(0, len(items), count)
        )
        form = items[int(chance.integers(0, len(items)))].orientations[0]
        levels = np.sort(chance.uniform(0, 1200, 20)).tolist()
        one, other = (
            kind(coarse=True).free(placed, form, levels, from_mm) for kind in (Slides, Once)
        )
        assert one == pytest.approx(other, abs=1e-6)
