"""The exact slides of the lay against shapely's overlay, an independent geometry library."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from shapely import Polygon, affinity

from draft.lay.profile import blocked, profile_of


def star(chance: np.random.Generator, corners: int) -> np.ndarray:  # type: ignore[type-arg]
    """A simple polygon with hollows, round the origin."""
    angles = np.sort(chance.uniform(0, 2 * np.pi, corners))
    reach = chance.uniform(15, 100, corners)
    return np.stack([reach * np.cos(angles), reach * np.sin(angles)], axis=1)


@pytest.mark.parametrize("seed", range(12))
def test_overlap_begins_and_ends_where_the_intervals_say(seed: int) -> None:
    chance = np.random.default_rng(seed)
    a, b = star(chance, 14), star(chance, 11)
    rise = float(chance.uniform(-80, 80))
    rows = blocked(profile_of(a), profile_of(b), rise)
    first, second = Polygon(a), affinity.translate(Polygon(b), 0.0, rise)
    assert first.is_valid
    assert second.is_valid

    def overlap(slide: float) -> float:
        return float(first.intersection(affinity.translate(second, slide, 0.0)).area)

    assert len(rows)
    for low, high in rows:
        assert overlap(low - 1e-4) == pytest.approx(0.0, abs=1e-6)
        assert overlap(high + 1e-4) == pytest.approx(0.0, abs=1e-6)
        for slide in np.linspace(low, high, 9)[1:-1]:
            assert overlap(float(slide)) > 0.0
    for before, after in pairwise(rows):
        for slide in np.linspace(before[1], after[0], 7)[1:-1]:
            assert overlap(float(slide)) == pytest.approx(0.0, abs=1e-6)
