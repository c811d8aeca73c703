"""Lays on a narrow fold: known best depths, never worse than by hand, damage seen, kept."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import product

import pytest
from lay_pieces import box_piece, lies, polygon_piece

from outseam.draft.fabric import Fabric
from outseam.draft.inputs.errors import InputError
from outseam.draft.lay.check.verify import check_lay
from outseam.draft.lay.model.cloth import cloth_of
from outseam.draft.lay.model.orientations import Item, items_of
from outseam.draft.lay.model.parts import eithers_of, narrow_parts
from outseam.draft.lay.model.placement import Turn
from outseam.draft.lay.model.positions import reach_mm
from outseam.draft.lay.model.result import Lay
from outseam.draft.lay.model.turning import turns_of
from outseam.draft.lay.nest.shelf import shelf
from outseam.draft.lay.ways.length_in_hand import _narrow_fold, _Task
from outseam.draft.lay.ways.narrow_fold import search_narrow
from outseam.draft.lay.ways.plan import plan, plan_lay, single_layer_mm
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece

Make = Callable[..., Pattern]


def half_turns(_pattern: Pattern, _piece: Piece) -> tuple[Turn, ...]:
    return (0, 180)


def knit(width: float = 1500.0, **more: object) -> Fabric:
    return Fabric(stretch_across=0.5, width=width, fold="narrow", **more)  # type: ignore[arg-type]


def laid(make_pattern: Make, fabric: Fabric, *pieces: Piece) -> Lay:
    pattern = replace(make_pattern(fabric=fabric), pieces=pieces)
    lay = search_narrow([pattern], cloth_of(fabric), half_turns, seconds=0.0)
    assert not [f for f in check_lay(lay, [pattern], half_turns) if f.level == "error"]
    return lay


def test_a_pair_on_the_fold_and_a_broad_piece_beside_it(make_pattern: Make) -> None:
    """A leg doubled takes 30 cm, what cannot be paired 70: 130.5 cm are just enough for both."""
    leg = box_piece("leg", 300.0, 1000.0, copies=2, mirrored=True)
    odd = polygon_piece("odd", [(0, 0), (700, 0), (700, 900), (50, 1000)])
    lay = laid(make_pattern, knit(1305.0), leg, odd)
    assert lay.fold_mm == 300.0
    assert lay.length_mm == pytest.approx(1000.0)
    assert {p.part.piece.name: p.part.zone for p in lay.placed} == {"leg": "main", "odd": "single"}
    assert lay.turned_in_mm == 705.0
    assert [p.y_mm for p in lay.placed if p.part.zone == "main"] == [705.0]
    # A centimetre less, and what is broad has no room beside the fold.
    with pytest.raises(InputError, match="no piece can lie in a part that is folded over"):
        laid(make_pattern, knit(1295.0), leg, odd)


def test_half_a_piece_on_the_fold(make_pattern: Make) -> None:
    """A symmetric piece 60 cm broad needs a fold of 30; its middle lies on it."""
    band = box_piece("band", 600.0, 400.0)
    odd = polygon_piece("odd", [(0, 0), (695, 0), (695, 400), (60, 380)])
    lay = laid(make_pattern, knit(1300.0), band, odd)
    assert lay.fold_mm == 300.0
    assert lay.length_mm == pytest.approx(400.0)
    half = next(p for p in lay.placed if p.part.piece.name == "band")
    assert half.part.zone == "fold"
    assert half.top_mm == pytest.approx(1000.0)


def test_two_pairs_side_by_side_make_the_fold_as_deep_as_both(make_pattern: Make) -> None:
    legs = [box_piece(n, 200.0, 1000.0, copies=2, mirrored=True) for n in ("front", "back")]
    odd = polygon_piece("odd", [(0, 0), (500, 0), (500, 1000), (50, 900)])
    lay = laid(make_pattern, knit(1315.0), *legs, odd)
    assert lay.fold_mm == 405.0
    assert lay.length_mm == pytest.approx(1000.0)


def by_hand_mm(pattern: Pattern) -> float:
    """The best of all lays in rows: pieces doubled or not, the fold as deep as its broadest."""
    cloth = cloth_of(pattern.spec.fabric)
    choices = eithers_of([pattern], turns_of)
    doubles = [c.double.key for c in choices if c.double is not None]
    best = float("inf")
    for chosen in product((False, True), repeat=len(doubles)):
        keys = frozenset(k for k, yes in zip(doubles, chosen, strict=True) if yes)
        parts = narrow_parts(choices, keys)
        items = items_of(parts, [pattern.spec.fabric], cloth)
        double = [i for i in items if i.part.zone != "single"]
        single = [i for i in items if i.part.zone == "single"]
        if not double:
            continue
        depth = max(i.orientations[0].breadth_mm for i in double)
        best = min(best, max(_rows(double, depth), _rows(single, 1500.0 - 2.0 * depth - 5.0)))
    return best


def _rows(items: Sequence[Item], breadth_mm: float) -> float:
    if breadth_mm <= 0.0:
        return float("inf")
    positions = shelf(items, breadth_mm)
    return float("inf") if positions is None else reach_mm(positions)


@pytest.mark.parametrize(
    "style", [{}, {"leg": "flare"}, {"leg": "palazzo", "belt": "wide"}, {"pocket": "patch"}]
)
def test_never_worse_than_by_hand_nor_than_folded(
    make_pattern: Make, style: dict[str, str]
) -> None:
    pattern = make_pattern(fabric=knit(), **style)
    lay = plan_lay([pattern], seconds=0.0)
    assert not lay.errors
    assert lay.length_mm <= by_hand_mm(pattern) + 1.0
    folded = make_pattern(fabric=replace(knit(), fold="folded"), **style)
    # Half the width is one of the depths that are tried.
    assert lay.length_mm <= plan_lay([folded], seconds=0.0).length_mm + 5.0
    assert single_layer_mm([pattern]) <= lay.length_mm + 5.0
    assert lay.bound_mm <= lay.length_mm


def test_more_time_is_never_worse(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=knit(1400.0), leg="palazzo")
    plain = plan_lay([pattern], seconds=0.0)
    solved = plan_lay([pattern], seconds=2.0)
    assert not solved.errors
    assert solved.length_mm <= plain.length_mm + 1.0


def test_damage_is_seen(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=knit())
    lay = plan_lay([pattern], seconds=0.0)
    assert lay.fold_mm is not None

    def failed(damaged: Lay) -> set[str]:
        return {f.check for f in check_lay(damaged, [pattern], turns_of) if f.level == "error"}

    assert failed(lay) == set()
    # Folded a centimetre less deep, double pieces lie partly on one layer.
    assert "on the fabric" in failed(replace(lay, fold_mm=lay.fold_mm - 10.0))
    assert "depth of the fold" in failed(replace(lay, fold_mm=760.0))
    assert "folded" in failed(replace(lay, fold_mm=None))
    double = next(n for n, p in enumerate(lay.placed) if p.part.zone == "main")
    p = lay.placed[double]
    moved = replace(p, part=replace(p.part, zone="single"))
    placed = (*lay.placed[:double], moved, *lay.placed[double + 1 :])
    assert "layers of the piece" in failed(replace(lay, placed=placed))


def test_kept_with_its_depth(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=knit())
    first = plan([pattern], seconds=0.0)
    data = json.loads(json.dumps(first.keep))
    again = plan([pattern], kept=data, seconds=0.0)
    assert not again.fresh
    assert again.lay.fold_mm == first.lay.fold_mm
    assert again.lay.bound_mm == first.lay.bound_mm
    assert lies(again.lay) == lies(first.lay)
    for damage in ({"fold_mm": None}, {"fold_mm": 10.0}, {"fold_mm": "deep"}):
        assert plan([pattern], kept=data | damage, seconds=0.0).fresh


def test_it_is_offered_where_folding_needs_too_much(make_pattern: Make) -> None:
    """On 140 cm the narrow fold is shorter than the whole one by a few millimetres."""
    folded = Fabric(stretch_across=0.5, width=1400.0, fold="folded")
    pattern = make_pattern(fabric=folded, leg="straight")
    lay = plan_lay([pattern], seconds=0.0)
    narrow = plan_lay(
        [make_pattern(fabric=replace(folded, fold="narrow"), leg="straight")], seconds=0.0
    )
    have = narrow.length_mm + 1.0
    assert lay.length_mm > have
    *_, found = _narrow_fold(_Task(patterns=(pattern,), have_mm=have, seconds=0.0))
    assert found.says == 'lay it on a narrow fold (fabric.fold = "narrow")'
    assert found.fits
    slides = make_pattern(fabric=replace(folded, slippery=True), leg="straight")
    assert not list(_narrow_fold(_Task(patterns=(slides,), have_mm=have, seconds=0.0)))


@pytest.mark.parametrize(
    "more",
    [
        {"repeat_along": 70.0},
        {"border": "one", "border_height": 200.0, "stretch_along": 0.5},
    ],
)
def test_stripes_and_borders_are_not_folded(make_pattern: Make, more: dict[str, object]) -> None:
    with pytest.raises(InputError, match='"narrow" for') as caught:
        plan_lay([make_pattern(fabric=knit(**more))])
    assert caught.value.field == "fabric.fold"
    assert '"single"' in caught.value.allowed


def test_nothing_to_double_is_said(make_pattern: Make) -> None:
    odd = polygon_piece("odd", [(0, 0), (700, 0), (700, 900), (50, 1000)])
    with pytest.raises(InputError, match="no piece can lie in a part that is folded over"):
        laid(make_pattern, knit(800.0), odd)


def test_a_slippery_fabric_is_warned_about(make_pattern: Make) -> None:
    lay = plan_lay([make_pattern(fabric=knit(slippery=True))], seconds=0.0)
    assert [f.check for f in lay.findings if f.level == "warning"] == ["layers"]
