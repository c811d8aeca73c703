"""The quick lay: a real lay on every kind of fabric, the same each time, and never a failure."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from lay_pieces import box_piece, polygon_piece

from outseam.draft.fabric import Fabric
from outseam.draft.lay.check.verify import check_lay
from outseam.draft.lay.model.cloth import cloth_of
from outseam.draft.lay.model.orientations import items_of
from outseam.draft.lay.model.parts import parts_of
from outseam.draft.lay.model.positions import reach_mm
from outseam.draft.lay.model.turning import turns_of
from outseam.draft.lay.nest.shelf import shelf
from outseam.draft.lay.ways.plan import plan
from outseam.draft.lay.ways.quick import (
    fabric_length,
    kept_lay,
    length_on,
    lining_length,
    quick_lay,
    slow_because,
)
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece

Make = Callable[..., Pattern]

KNIT = Fabric(stretch_across=0.5, stretch_along=0.1)
WOVEN = Fabric(kind="woven", stretch_across=0.0, gap=0.0)


@pytest.fixture(scope="module")
def slim(make_pattern: Make) -> Pattern:
    return make_pattern(fabric=KNIT, leg="slim", pocket="side-seam", belt="narrow")


@pytest.fixture(scope="module")
def plain(make_pattern: Make) -> Pattern:
    return make_pattern(fabric=KNIT)


def on(pattern: Pattern, **fabric: object) -> Pattern:
    cloth = replace(pattern.spec.fabric, **fabric)  # type: ignore[arg-type]
    return replace(pattern, spec=replace(pattern.spec, fabric=cloth))


def of(pattern: Pattern, *pieces: Piece, **fabric: object) -> Pattern:
    """The pattern with other pieces, on a woven without gaps."""
    plain = on(pattern, **{"kind": "woven", "gap": 0.0, **fabric})
    return replace(plain, pieces=pieces)


@pytest.mark.parametrize(
    "fabric",
    [
        {},
        {"width": 1120.0},
        {"width": 800.0},
        {"fold": "folded"},
        {"fold": "folded", "width": 1120.0},
        {"one_way": True, "width": 1400.0},
        {"shrink_across": 0.04, "shrink_along": 0.08},
        {"stretch_along": 0.5, "width": 1300.0},
        {"gap": 20.0},
        {"gap": 0.0, "width": 1200.0},
    ],
    ids=str,
)
def test_it_passes_the_independent_check(slim: Pattern, fabric: dict[str, object]) -> None:
    pattern = on(slim, **fabric)
    lay = quick_lay(pattern)
    found = check_lay(lay, [pattern], turns_of)
    assert [f.check for f in found if f.level == "error"] == []
    assert lay.length_mm >= lay.bound_mm - 0.01
    # Never longer than rows of bounding boxes.
    cloth = cloth_of(pattern.spec.fabric)
    items = items_of(parts_of([pattern], cloth, turns_of), [pattern.spec.fabric], cloth)
    if not cloth.folded:
        plain = shelf(items, cloth.breadth_mm)
        assert plain is not None
        assert lay.length_mm <= reach_mm(plain) + 0.01


def test_the_same_every_time(slim: Pattern) -> None:
    assert quick_lay(slim).placed == quick_lay(slim).placed


def test_legs_that_nest_head_to_foot_lie_in_one_row(slim: Pattern) -> None:
    """Known best: trapezoids 300 and 100 wide, 1000 long, pair up to strips of 400."""
    leg = [(0.0, 0.0), (300.0, 0.0), (300.0 - 200.0, 1000.0), (0.0, 1000.0)]
    wide = 800.0 + 30.0
    pattern = of(slim, polygon_piece("leg", leg, copies=4), width=wide)
    assert quick_lay(pattern).length_mm == pytest.approx(1000.0, abs=1.0)
    # Four need 800 mm side by side; on less, each pair is slid along a little, and no lay is
    # shorter than their area.
    narrow = quick_lay(of(slim, polygon_piece("leg", leg, copies=4), width=790.0)).length_mm
    assert 800.0 / 790.0 * 1000.0 - 0.01 <= narrow < 1050.0


def test_small_pieces_go_where_there_is_room(slim: Pattern) -> None:
    legs = box_piece("leg", 200.0, 1000.0, copies=4)
    small = box_piece("bag", 90.0, 300.0, copies=3)
    pattern = of(slim, legs, small, width=900.0)
    assert quick_lay(pattern).length_mm == pytest.approx(1000.0, abs=1.0)


def test_a_piece_too_broad_is_told_and_nothing_fails(slim: Pattern) -> None:
    found = length_on(slim, 250.0)
    assert found.length_mm is None
    assert "too narrow for the" in found.why
    assert "fabric.width" not in found.why


def test_what_is_missing_for_a_border_is_told(slim: Pattern) -> None:
    found = fabric_length(on(slim, border="one"))
    assert found.length_mm is None
    assert "border_height" in found.why


@pytest.mark.parametrize(
    ("fabric", "why"),
    [
        ({"repeat_along": 60.0}, ""),
        ({"repeat_across": 60.0}, ""),
        ({"fold": "narrow"}, "a narrow fold"),
        ({"fold": "folded"}, ""),
        ({}, ""),
    ],
)
def test_what_takes_long_is_left_to_those_who_wait(
    plain: Pattern, fabric: dict[str, object], why: str
) -> None:
    pattern = on(plain, **fabric)
    assert slow_because(pattern.spec.fabric) == why
    found = fabric_length(pattern)
    assert (found.lay is None) == bool(why)
    assert found.why.startswith(why)
    if why:
        waited = fabric_length(pattern, patient=True)
        assert waited.lay is not None
        assert not waited.lay.errors


def test_a_kept_lay_serves_until_something_changes(plain: Pattern) -> None:
    kept = plan([plain], seconds=0.0).keep
    found = fabric_length(plain, kept)
    assert found.kept
    assert found.lay is not None
    assert kept is not None
    assert found.length_mm == kept["length_mm"]
    assert kept_lay(on(plain, width=1400.0), kept) is None
    assert not fabric_length(on(plain, width=1400.0), kept).kept
    moved = {**kept, "placed": [{**row, "x_mm": 0.0, "y_mm": 0.0} for row in kept["placed"]]}
    assert kept_lay(plain, moved) is None
    for rubbish in ({}, [], 3, {"outseam_lay": 1}):
        assert kept_lay(plain, rubbish) is None


def test_lining_is_laid_by_itself(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=KNIT, pocket="scoop")
    bag = pattern.piece("pocket_bag")
    found = lining_length(pattern, 1400.0)
    assert found is not None
    assert found.lay is not None
    assert {p.part.piece.name for p in found.lay.placed} == {"pocket_bag"}
    assert len(found.lay.placed) == bag.copies == 2
    # Both bags lie side by side; cut from washed cloth no larger than drawn.
    tall = max(p.length_mm for p in found.lay.placed)
    assert found.length_mm == pytest.approx(tall, abs=1.0)
    assert lining_length(make_pattern(fabric=KNIT), 1400.0) is None


def test_lining_is_cut_as_large_as_the_printed_piece(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=KNIT, pocket="scoop")
    plain = lining_length(pattern, 1400.0)
    grown = lining_length(on(pattern, shrink_along=0.1), 1400.0)
    assert plain is not None
    assert grown is not None
    assert plain.length_mm is not None
    assert grown.length_mm == pytest.approx(plain.length_mm / 0.9, abs=0.5)


def test_one_length_is_enough_where_front_and_back_fit_in_half_the_width(
    make_pattern: Make,
) -> None:
    """Geometry: legs side by side in one length, the bands in a row behind them."""
    pattern = make_pattern(fabric=replace(KNIT, width=1600.0), leg="straight")
    lay = quick_lay(pattern)
    legs = [p for p in lay.placed if p.part.piece.name in ("front", "back")]
    gap = lay.cloth.gap_mm
    assert sum(p.breadth_mm for p in legs) / 2.0 + gap <= 800.0
    band = max(p.length_mm for p in lay.placed if p not in legs)
    assert lay.length_mm <= max(p.length_mm for p in legs) + gap + band + 0.01


def test_where_they_do_not_fit_it_takes_about_two(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=replace(WOVEN, width=900.0), fit="loose", leg="palazzo")
    lay = quick_lay(pattern)
    leg = max(p.length_mm for p in lay.placed)
    assert 1.8 * leg < lay.length_mm


def test_a_search_is_used_where_it_is_shorter(
    slim: Pattern, monkeypatch: pytest.MonkeyPatch
) -> None:
    pattern = on(slim, width=1120.0)
    plain = fabric_length(pattern)
    assert plain.lay is not None
    assert plain.lay.length_mm > 1.05 * plain.lay.bound_mm
    for by, told in ((-20.0, -20.0), (20.0, 0.0)):
        other = replace(plain.lay, length_mm=plain.lay.length_mm + by)
        monkeypatch.setattr(
            "outseam.draft.lay.ways.plan.plan_lay", lambda _, seconds, lay=other: lay
        )
        found = fabric_length(pattern, seconds=1.0)
        assert found.length_mm == plain.lay.length_mm + told
        assert not found.kept
        assert fabric_length(pattern, seconds=0.5).length_mm == plain.length_mm
