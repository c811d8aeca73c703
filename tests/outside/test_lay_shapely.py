"""The exact slides of the lay against shapely's overlay, an independent geometry library."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations, pairwise

import numpy as np
import pytest
from shapely import Polygon, affinity, box

from outseam.curves.path import join
from outseam.curves.region import flatten
from outseam.draft.fabric import Fabric
from outseam.draft.lay.model.profile import blocked, profile_of
from outseam.draft.lay.ways.plan import plan_lay
from outseam.draft.model import Pattern


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


@pytest.mark.parametrize("style", [{}, {"leg": "palazzo", "pocket": "patch"}])
def test_a_narrow_fold_cut_open_is_a_lay_in_one_layer(
    make_pattern: Callable[..., Pattern], style: dict[str, str]
) -> None:
    """Both layers of the double part mirrored out: shapely finds no overlap and nothing outside."""
    fabric = Fabric(stretch_across=0.5, width=1500.0, fold="narrow")
    lay = plan_lay([make_pattern(fabric=fabric, **style)], seconds=0.0)
    assert lay.fold_mm is not None
    at_fold = 1500.0 - lay.fold_mm
    flat: list[Polygon] = []
    for p in lay.placed:
        path = p.lie.path(join(list(p.piece.cut)))
        whole = Polygon(flatten(path, 0.05)[:-1])
        flat.append(whole)
        if p.part.zone == "fold":
            assert whole.centroid.y == pytest.approx(at_fold, abs=0.05)
        elif p.part.zone == "main":
            flat.append(affinity.scale(whole, 1.0, -1.0, origin=(0.0, at_fold)))
    copies = sum(piece.copies for piece in make_pattern(fabric=fabric, **style).pieces)
    assert len(flat) == copies
    for a, b in combinations(flat, 2):
        assert a.buffer(-0.1).intersection(b).area == pytest.approx(0.0)
    cloth = box(-0.1, -0.1, lay.length_mm + 0.1, 1500.1)
    assert all(cloth.contains(one) for one in flat)
