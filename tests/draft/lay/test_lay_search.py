"""The search: known best lays, the shelf as upper bound, a solver that dies."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import pytest
from lay_pieces import box_piece, items, part, polygon_piece
from shapely import Polygon, affinity

from outseam.draft.fabric import Fabric
from outseam.draft.inputs.errors import InputError
from outseam.draft.lay.check.verify import check_lay
from outseam.draft.lay.model.cloth import Cloth, cloth_of
from outseam.draft.lay.model.orientations import items_of
from outseam.draft.lay.model.parts import parts_of
from outseam.draft.lay.model.placement import Turn
from outseam.draft.lay.model.positions import Position, Positions, Slides, reach_mm
from outseam.draft.lay.nest import solver
from outseam.draft.lay.nest.bottom_left import orders
from outseam.draft.lay.nest.climb import climbed
from outseam.draft.lay.nest.compaction import compacted
from outseam.draft.lay.nest.search import search
from outseam.draft.lay.nest.shelf import shelf
from outseam.draft.lay.ways.plan import plan_lay
from outseam.draft.model import Pattern
from outseam.draft.pattern import draft_measures
from outseam.draft.piece.piece import Piece


def half_turns(_pattern: Pattern, _piece: Piece) -> tuple[Turn, ...]:
    return (0, 180)


def keeps_apart(positions: Positions, gap_mm: float) -> None:
    shapes = [affinity.translate(Polygon(s.orientation.outline), s.x_mm, s.y_mm) for s in positions]
    for a, b in combinations(shapes, 2):
        assert a.distance(b) >= gap_mm - 1e-6
        assert not a.overlaps(b)


def test_four_boxes_two_by_two() -> None:
    cloth = Cloth(width_mm=410.0, gap_mm=10.0)
    boxes = items([part(box_piece("box", 200.0, 300.0), n) for n in range(1, 5)], cloth)
    for positions in (shelf(boxes, 410.0), climbed(boxes, 410.0, tries=0)[0]):
        assert positions is not None
        keeps_apart(positions, 10.0)
        assert max(s.top_mm for s in positions) <= 410.0 + 1e-9
    positions = shelf(boxes, 410.0)
    assert positions is not None
    assert reach_mm(positions) == pytest.approx(610.0)


def test_two_wedges_nest() -> None:
    """Two right triangles make a rectangle; boxes do not see it."""
    cloth = Cloth(width_mm=200.0)
    wedge = polygon_piece("wedge", [(0, 0), (200, 0), (0, 300)])
    pair = items([part(wedge, 1), part(wedge, 2)], cloth)
    boxed = shelf(pair, 200.0)
    assert boxed is not None
    assert reach_mm(boxed) == pytest.approx(600.0)
    close = climbed(pair, 200.0, tries=0)[0]
    assert close is not None
    closer = compacted(close, Slides())
    assert closer is not None
    keeps_apart(closer, 0.0)
    assert reach_mm(closer) == pytest.approx(300.0, abs=2.0)


def test_items_on_the_fold_stay_there() -> None:
    cloth = Cloth(width_mm=1000.0, folded=True, gap_mm=5.0)
    parts = [part(box_piece(f"band{n}", 400.0, 120.0), zone="fold") for n in (1, 2)]
    parts.append(part(box_piece("leg", 290.0, 700.0)))
    laid = items(parts, cloth)
    for positions in (shelf(laid, 500.0), climbed(laid, 500.0, tries=20)[0]):
        assert positions is not None
        keeps_apart(positions, 5.0)
        for s in positions:
            if s.item.at_fold:
                assert s.top_mm == pytest.approx(500.0)
    best = climbed(laid, 500.0, tries=20)[0]
    assert best is not None
    assert reach_mm(best) == pytest.approx(700.0)


@pytest.mark.parametrize("fold", ["single", "folded"])
@pytest.mark.parametrize("one_way", [False, True])
def test_a_deterministic_lay_passes_the_independent_check(
    make_pattern: Callable[..., Pattern], fold: str, one_way: bool
) -> None:
    fabric = Fabric(stretch_across=0.5, width=1120.0, fold=fold, one_way=one_way)  # type: ignore[arg-type]
    pattern = make_pattern(fabric=fabric)
    first, second = plan_lay([pattern], seconds=0.0), plan_lay([pattern], seconds=0.0)
    assert not first.errors
    assert first.length_mm == second.length_mm
    assert [(p.key, p.x_mm, p.y_mm) for p in first.placed] == [
        (p.key, p.x_mm, p.y_mm) for p in second.placed
    ]
    assert first.bound_mm <= first.length_mm
    if one_way:
        assert {p.lie.turn_deg for p in first.placed} == {0}
    assert 0.4 < first.utilisation < 1.0


def test_solver_is_never_worse_than_the_deterministic_lays(
    make_pattern: Callable[..., Pattern],
) -> None:
    pattern = make_pattern(fabric=Fabric(stretch_across=0.5, width=1120.0))
    plain = plan_lay([pattern], seconds=0.0)
    solved = plan_lay([pattern], seconds=1.0)
    assert not solved.errors
    assert solved.length_mm <= plain.length_mm


def test_the_solver_finds_a_lay_of_its_own(make_pattern: Callable[..., Pattern]) -> None:
    """On narrow fabric it nests the legs head to toe, much shorter than rows of boxes."""
    pattern = make_pattern(fabric=Fabric(stretch_across=0.5, width=1120.0))
    cloth = cloth_of(pattern.spec.fabric)
    laid = items_of(parts_of([pattern], cloth, half_turns), [pattern.spec.fabric], cloth)
    boxed = shelf(laid, cloth.breadth_mm)
    assert boxed is not None
    for seconds in (1.0, 4.0, 16.0):  # one is enough where nothing else runs
        found = solver.solve(laid, cloth.breadth_mm, seconds=seconds, slides=Slides())
        for positions in found:
            keeps_apart(positions, cloth.gap_mm - 0.02)
        if found and min(map(reach_mm, found)) < 0.9 * reach_mm(boxed):
            return
    raise AssertionError("no lay after sixteen seconds")


def test_a_solver_that_dies_leaves_the_deterministic_lay(
    make_pattern: Callable[..., Pattern], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    child = tmp_path / "child.py"
    child.write_text("import os; os.abort()")
    monkeypatch.setattr(solver, "CHILD", child)
    pattern = make_pattern(fabric=Fabric(stretch_across=0.5, width=1400.0))
    lay = plan_lay([pattern], seconds=1.0)
    assert not lay.errors
    assert lay.how in ("corner", "shelf")


@pytest.mark.parametrize(
    "says", ["nonsense", "[[0, 45, 1, 2]]", "[[99, 0, 1, 2]]", "[[0, 0, NaN, 2]]", "[]", "{}", "3"]
)
def test_a_solver_that_babbles_is_not_believed(
    says: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    child = tmp_path / "child.py"
    child.write_text(f"import sys; sys.stdin.read(); print({says!r})")
    monkeypatch.setattr(solver, "CHILD", child)
    boxes = items([part(box_piece("box", 200.0, 300.0), n) for n in (1, 2)], Cloth(width_mm=500.0))
    assert solver.solve(boxes, 500.0, seconds=1.0, slides=Slides()) == ()


def test_a_solver_that_hangs_is_ended(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    child = tmp_path / "child.py"
    child.write_text("import time; time.sleep(600)")
    monkeypatch.setattr(solver, "CHILD", child)
    monkeypatch.setattr(solver, "_GRACE_S", -0.9)
    boxes = items([part(box_piece("box", 200.0, 300.0), n) for n in (1, 2)], Cloth(width_mm=500.0))
    assert solver.solve(boxes, 500.0, seconds=1.0, slides=Slides()) == ()


def test_a_damaged_lay_is_caught(make_pattern: Callable[..., Pattern]) -> None:
    """Each damage is seen by its own check and by no other."""
    from outseam.draft.lay.model.turning import turns_of

    pattern = make_pattern(fabric=Fabric(stretch_across=0.5, width=1400.0, one_way=True))
    lay = plan_lay([pattern], seconds=0.0)

    def failed(placed: object, **more: object) -> set[str]:
        damaged = replace(lay, placed=placed, **more)  # type: ignore[arg-type]
        found = check_lay(damaged, [pattern], turns_of)
        return {f.check for f in found if f.level == "error"}

    def moved(n: int, dx: float, dy: float) -> object:
        p = lay.placed[n]
        one = replace(p, lie=p.lie.moved(dx, dy), x_mm=p.x_mm + dx, y_mm=p.y_mm + dy)
        return (*lay.placed[:n], one, *lay.placed[n + 1 :])

    assert failed(lay.placed) == set()
    last = max(range(len(lay.placed)), key=lambda n: lay.placed[n].end_mm)
    low = next(n for n, p in enumerate(lay.placed) if p.y_mm == 0.0)
    assert failed(moved(low, 0.0, -1.0)) == {"on the fabric"}
    assert failed(moved(last, 1.0, 0.0)) == {"on the fabric"}
    first = min(range(len(lay.placed)), key=lambda n: lay.placed[n].x_mm)
    assert failed(moved(first, -0.5, 0.0)) == {"on the fabric"}
    assert failed(moved(low, 3000.0, 0.0), length_mm=lay.length_mm + 3000.0) == set()
    assert failed(lay.placed, cloth=replace(lay.cloth, gap_mm=20.0)) == {"gap kept"}
    # Two bands side by side that just touch do not overlap, but keep no gap.
    bands = [n for n, p in enumerate(lay.placed) if "band" in p.part.piece.name]
    touching, y = list(lay.placed), 0.0
    for n in bands:
        p = touching[n]
        lie = p.lie.moved(3000.0 - p.x_mm, y - p.y_mm)
        touching[n] = replace(p, lie=lie, x_mm=3000.0, y_mm=y)
        y += p.breadth_mm
    assert failed(tuple(touching), length_mm=3300.0) == {"gap kept"}
    assert "pieces apart" in failed((*lay.placed, lay.placed[0]))
    assert failed(lay.placed[1:]) <= {"all pieces", "pairs"}
    legs = [n for n, p in enumerate(lay.placed) if p.part.piece.name == "front"]
    other = replace(
        lay.placed[legs[0]],
        lie=replace(lay.placed[legs[0]].lie, turn_deg=180),
    )
    assert "grain and nap" in failed((*lay.placed[: legs[0]], other, *lay.placed[legs[0] + 1 :]))


def test_an_overlap_beyond_rounding_is_seen(make_pattern: Callable[..., Pattern]) -> None:
    """Outlines are broken to a twentieth of a millimetre and places kept to a hundredth."""
    from outseam.draft.lay.model.turning import turns_of

    pattern = make_pattern(fabric=Fabric(stretch_across=0.5, width=1400.0))
    lay = plan_lay([pattern], seconds=0.0)
    lay = replace(lay, cloth=replace(lay.cloth, gap_mm=0.0), length_mm=lay.length_mm + 3000.0)
    bands = [n for n, p in enumerate(lay.placed) if "band" in p.part.piece.name]

    def failed(overlap_mm: float) -> set[str]:
        placed, y = list(lay.placed), 0.0
        for n in bands:
            p = placed[n]
            lie = p.lie.moved(3000.0 - p.x_mm, y - p.y_mm)
            placed[n] = replace(p, lie=lie, x_mm=3000.0, y_mm=y)
            y += p.breadth_mm - overlap_mm
        found = check_lay(replace(lay, placed=tuple(placed)), [pattern], turns_of)
        return {f.check for f in found if f.level == "error"}

    assert len(bands) > 1
    assert failed(0.1) == set()
    assert failed(0.15) == {"pieces apart"}


@pytest.mark.parametrize(("overlap", "meant"), [(2.9, True), (3.1, False)])
def test_an_overlap_of_three_millimetres_is_no_rounding(overlap: float, meant: bool) -> None:
    """What a solver puts so far into its neighbour is slid beside it; farther is another lay."""
    cloth = Cloth(width_mm=200.0)
    boxes = items([part(box_piece("box", 200.0, 300.0), n) for n in (1, 2)], cloth)
    first, second = (one.orientations[0] for one in boxes)
    ((_, beside),) = Slides().blocked(first, second, 0.0)
    assert beside == pytest.approx(300.0, abs=0.5)
    placed = [
        Position(item=one, orientation=one.orientations[0], x_mm=x, y_mm=0.0)
        for one, x in zip(boxes, (0.0, beside - overlap), strict=True)
    ]
    for order in (placed, placed[::-1]):
        closer = compacted(order, Slides())
        assert (closer is not None) is meant
        if closer:
            assert reach_mm(closer) == pytest.approx(beside + 300.0)


@pytest.mark.parametrize(
    ("fabric", "helps"),
    [
        (Fabric(stretch_across=0.5, width=600.0, fold="folded"), 'fabric.fold = "single"'),
        (Fabric(stretch_across=0.5, width=300.0), "wide"),
    ],
)
def test_too_narrow_names_piece_amount_and_help(
    make_pattern: Callable[..., Pattern], fabric: Fabric, helps: str
) -> None:
    pattern = make_pattern(fabric=fabric)
    with pytest.raises(
        InputError, match=r"too narrow for the (back leg|(front|back) waistband)"
    ) as caught:
        plan_lay([pattern], seconds=0.0)
    assert helps in str(caught.value)
    assert caught.value.field == "fabric.width"


def test_exactly_wide_enough_is_enough() -> None:
    from outseam.draft.lay.model.fits_width import too_broad

    cloth = Cloth(width_mm=200.0)
    assert too_broad(items([part(box_piece("box", 200.0, 10.0))], cloth), cloth) is None
    wide = items([part(box_piece("box", 200.1, 10.0))], cloth)
    assert too_broad(wide, cloth) is not None


def test_two_garments_share_one_fabric(make_pattern: Callable[..., Pattern]) -> None:
    one = make_pattern(fabric=Fabric(stretch_across=0.5, width=1400.0))
    both = plan_lay([one, one], seconds=0.0)
    assert not both.errors
    assert len(both.placed) == 12
    assert len(set(both.names)) == 2
    other = make_pattern(fabric=Fabric(stretch_across=0.5, width=1500.0))
    with pytest.raises(InputError, match=r"fabric\.width"):
        plan_lay([one, other], seconds=0.0)


def test_search_without_anything_to_nest() -> None:
    """A single piece needs no solver."""
    cloth = Cloth(width_mm=500.0)
    only = part(box_piece("box", 200.0, 300.0))
    from outseam.draft.pattern import draft_pattern
    from outseam.draft.spec.spec import parse_spec

    text = "[body]\nheight=170\nwaist=75\nhip=98\ninside_leg=77\ncrotch_length=70"
    pattern = draft_pattern(parse_spec(text))
    lay = search([pattern], cloth, [only], half_turns, seconds=1.0)
    assert lay.length_mm == pytest.approx(300.0)
    assert lay.utilisation == pytest.approx(0.4)


def test_copies_lie_in_their_order_whatever_rounding_says(
    make_pattern: Callable[..., Pattern],
) -> None:
    drafted = make_pattern(leg="flare")
    cloth = cloth_of(drafted.spec.fabric)

    def tried(hip_more: float) -> list[list[str]]:
        measures = replace(drafted.measures, hip=drafted.measures.hip + hip_more)
        pattern = draft_measures(drafted.spec, measures)
        laid = items_of(parts_of([pattern], cloth, half_turns), [drafted.spec.fabric], cloth)
        return [[i.key for i in order] for order in orders(laid)]

    first = tried(0.0)
    for order in first:
        copies = [key for key in order if key.startswith("1.front.")]
        assert copies == sorted(copies)
    assert all(tried(more) == first for more in (1e-9, -1e-9, 3e-9, 1e-8, 1e-7, 1e-6))
