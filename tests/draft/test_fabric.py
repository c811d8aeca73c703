"""Stretch classes, shrinkage and the gaps that a fabric table may leave."""

from __future__ import annotations

import pytest

from outseam.draft.fabric import Fabric, classify_stretch


@pytest.mark.parametrize(
    ("stretch", "name"),
    [
        (0.0, None),
        (0.17, None),
        (0.18, "stable"),
        (0.24, "stable"),
        (0.25, "moderate"),
        (0.49, "moderate"),
        (0.50, "stretchy"),
        (0.99, "stretchy"),
        (1.00, "super-stretch"),
        (2.00, "super-stretch"),
    ],
)
def test_classes_by_stretch_across(stretch: float, name: str | None) -> None:
    # Figures from memory: Armstrong, Patternmaking for Fashion Design, chapter on knits.
    found = classify_stretch(stretch)
    assert (found.name if found else None) == name


def test_a_fabric_nobody_tested_is_taken_to_stretch_little() -> None:
    knit, woven = Fabric(), Fabric(kind="woven")
    assert (knit.stretch_across_ratio, knit.stretch_along_ratio) == (0.18, 0.0)
    assert (woven.stretch_across_ratio, woven.stretch_along_ratio) == (0.0, 0.0)
    assert knit.assumed == ("stretch_across", "stretch_along", "width")
    tested = Fabric(stretch_across=0.0, stretch_along=0.3, width=1400)
    assert (tested.stretch_across_ratio, tested.stretch_along_ratio) == (0.0, 0.3)
    assert tested.width_mm("cm") == 1400
    assert tested.assumed == ()


def test_a_piece_cut_by_the_shrink_factor_is_right_after_the_wash() -> None:
    fabric = Fabric(shrink_across=0.04, shrink_along=0.10)
    across, along = fabric.shrink_factors
    assert 500 * across * (1 - 0.04) == pytest.approx(500)
    assert 1000 * along * (1 - 0.10) == pytest.approx(1000)
    assert Fabric().shrink_factors == (1.0, 1.0)
