"""The judge of a lay, on boxes whose distances can be told by hand. Millimetres."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import count

import pytest
from lay_pieces import box_piece, orientation_of, part

from outseam.draft.fabric import Fabric
from outseam.draft.lay.check.verify import check_lay, outline_points, shape_of
from outseam.draft.lay.model.cloth import Cloth
from outseam.draft.lay.model.parts import Part
from outseam.draft.lay.model.placement import Face, Turn
from outseam.draft.lay.model.result import Lay, Placed, placed_at
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Finding, Piece

#: What a rounded position and an outline broken into lines may be off together.
SLACK = 0.12

Judge = Callable[..., tuple[Finding, ...]]


@pytest.fixture
def judge(make_pattern: Callable[..., Pattern]) -> Judge:
    """`judge(lay, *pieces)`: findings on a lay of a pattern of those pieces, half turns allowed."""
    pattern = make_pattern()

    def judged(lay: Lay, *pieces: Piece) -> tuple[Finding, ...]:
        return check_lay(lay, [replace(pattern, pieces=pieces)], lambda _p, _q: (0, 180))

    return judged


def box(name: str = "box", across: float = 200.0, along: float = 300.0, **more: object) -> Piece:
    return box_piece(name, across, along, **more)


def laid(one: Part, x: float, y: float, face: Face = "up", turn: Turn = 0) -> Placed:
    placed = placed_at(one, orientation_of(one, Fabric(), 0.0, face, turn), x, y)
    return replace(placed, part=one)


def lay_of(*placed: Placed, width: float = 500.0, **more: object) -> Lay:
    """Boxes on a cloth that asks for 10 mm between them; as long as the boxes reach."""
    cloth = {k: more.pop(k) for k in ("folded", "slippery", "in_hand_mm") if k in more}
    fields = {
        "cloth": Cloth(width_mm=width, gap_mm=10.0, **cloth),  # type: ignore[arg-type]
        "names": ("her",),
        "placed": placed,
        "bound_mm": 0.0,
        "area_mm2": 1.0,
        "length_mm": max(p.end_mm for p in placed),
    }
    return Lay(**(fields | more))  # type: ignore[arg-type]


def failed(found: tuple[Finding, ...]) -> list[tuple[str, str]]:
    return [(f.check, f.where) for f in found if f.level != "pass"]


def of(check: str, found: tuple[Finding, ...]) -> list[Finding]:
    return [f for f in found if f.check == check]


def boxes(*places: tuple[float, float]) -> list[Placed]:
    return [laid(part(box(), n), x, y) for n, (x, y) in zip(count(1), places, strict=False)]


@pytest.mark.parametrize(("gap", "good"), [(10.0, True), (9.89, True), (9.87, False)])
def test_the_nearest_two_of_many_keep_the_gap(judge: Judge, gap: float, good: bool) -> None:
    places = boxes((0.0, 0.0), (0.0, 280.0), (300.0 + gap, 0.0))
    (found,) = of("gap kept", judge(lay_of(*places), box(copies=3)))
    assert found.measured == pytest.approx(gap, abs=1e-6)
    assert found.expected == pytest.approx(10.0 - SLACK)
    assert found.where == "1.box.1 and 1.box.3"
    assert found.unit == "mm"
    assert found.level == ("pass" if good else "error")


def test_two_pieces_have_a_gap_and_one_has_none(judge: Judge) -> None:
    assert failed(judge(lay_of(*boxes((0.0, 0.0), (305.0, 0.0))), box(copies=2))) == [
        ("gap kept", "1.box.1 and 1.box.2")
    ]
    assert not failed(judge(lay_of(*boxes((0.0, 0.0))), box()))
    assert not of("gap kept", judge(lay_of(*boxes((0.0, 0.0))), box()))


def test_every_overlap_is_named_with_its_area(judge: Judge) -> None:
    """The first of three lies on both others: 20 by 200 mm of one, 50 by 300 of the other."""
    found = judge(lay_of(*boxes((0.0, 0.0), (280.0, 0.0), (0.0, 150.0))), box(copies=3))
    areas = {f.where: f.measured for f in of("pieces apart", found)}
    assert areas == {
        "1.box.1 and 1.box.2": pytest.approx(40.0),
        "1.box.1 and 1.box.3": pytest.approx(150.0),
        "1.box.2 and 1.box.3": pytest.approx(10.0),
    }
    assert {(f.level, f.unit, f.expected) for f in of("pieces apart", found)} == {
        ("error", "count", 0.0)
    }
    assert not of("gap kept", found)


@pytest.mark.parametrize(("over", "good"), [(0.11, True), (0.13, False)])
@pytest.mark.parametrize("side", ["near", "far", "start", "end"])
def test_a_piece_over_any_edge_is_off_the_fabric(
    judge: Judge, side: str, over: float, good: bool
) -> None:
    y = {"near": -over, "far": 300.0 + over}.get(side, 0.0)
    one = laid(part(box()), -over if side == "start" else 0.0, y)
    lay = lay_of(one, length_mm=300.0 - over if side == "end" else 300.0)
    (found,) = of("on the fabric", judge(lay, box()))
    assert found.measured == pytest.approx(over)
    assert found.expected == SLACK
    assert found.level == ("pass" if good else "error")
    assert found.says == "the piece lies on the fabric"


def test_what_is_opened_out_lies_beyond_the_folded_part(judge: Judge) -> None:
    """Folded, the fabric is 250 wide; opened out beyond 350 mm it is 500 wide."""
    pair = replace(part(box(copies=2, mirrored=True)), cuts=2)
    wide = box("wide", 450.0, 100.0)
    single = part(wide, zone="opened")

    def found(pair_x: float, single_x: float) -> list[tuple[str, str]]:
        placed = laid(pair, pair_x, 0.0), laid(single, single_x, 0.0)
        lay = lay_of(*placed, folded=True, opened_mm=350.0, length_mm=500.0)
        return failed(judge(lay, pair.piece, wide))

    assert found(0.0, 400.0) == []
    assert found(50.0, 360.0) == []
    for pair_x in (51.0, -0.5):
        assert found(pair_x, 400.0) == [("on the fabric", "1.box.1")]
    assert found(0.0, 349.0) == [("on the fabric", "1.wide.1")]
    assert found(0.0, 401.0) == [("on the fabric", "1.wide.1")]


def test_half_a_piece_lies_below_the_fold(judge: Judge) -> None:
    """A piece of 200 on a fold at 250: its middle on the fold, its lowest point at 150."""
    one = part(box(), zone="fold")
    on_fold = laid(one, 0.0, 150.0)
    assert on_fold.breadth_mm == pytest.approx(100.0)
    lay = lay_of(on_fold, folded=True)
    assert shape_of(on_fold, lay).bounds == pytest.approx((0.0, 150.0, 300.0, 250.0))
    assert sorted(map(tuple, outline_points(on_fold, lay).tolist())) == [
        *((0.0, 150.0), (0.0, 250.0), (300.0, 150.0), (300.0, 250.0)),
    ]
    assert failed(judge(lay, box())) == []
    beside = lay_of(laid(one, 0.0, 149.8), folded=True)
    (found,) = of("on the fold", judge(beside, box()))
    assert (found.level, found.measured, found.expected, found.tolerance) == (
        *("error", pytest.approx(249.8), 250.0, SLACK),
    )
    assert failed(judge(lay_of(laid(one, 0.0, 149.9), folded=True), box())) == []


def test_a_turn_that_the_grain_forbids(judge: Judge) -> None:
    for turn in (0, 180):
        assert failed(judge(lay_of(laid(part(box()), 0.0, 0.0, turn=turn)), box())) == []
    (found,) = [
        f for f in judge(lay_of(laid(part(box()), 0.0, 0.0, turn=90)), box()) if f.level != "pass"
    ]
    assert (found.check, found.where, found.level) == ("grain and nap", "1.box.1", "error")
    assert (found.measured, found.expected, found.unit) == (0.0, 1.0, "count")
    assert "90°" in str(found.says)


def test_on_the_fold_only_the_grain_runs_along_it(make_pattern: Callable[..., Pattern]) -> None:
    """What may lie across the fabric elsewhere may not on the fold: its middle runs along it."""
    one = part(box("square", 200.0, 200.0), zone="fold")
    pattern = replace(make_pattern(), pieces=(one.piece,))
    for turn, good in ((0, True), (180, True), (90, False), (270, False)):
        lay = lay_of(laid(one, 0.0, 150.0, turn=turn), folded=True)  # type: ignore[arg-type]
        found = check_lay(lay, [pattern], lambda _p, _q: (0, 90, 180, 270))
        assert failed(found) == ([] if good else [("grain and nap", "1.square.1")])


def test_every_piece_as_often_as_it_is_cut_and_as_many_of_each_face(judge: Judge) -> None:
    legs = box("leg", copies=2, mirrored=True)
    up, down = laid(part(legs, 1), 0.0, 0.0), laid(part(legs, 2), 0.0, 250.0, "down")
    assert failed(judge(lay_of(up, down), legs)) == []
    (cut,) = of("all pieces", judge(lay_of(up), legs))
    assert (cut.level, cut.where, cut.measured, cut.expected) == ("error", "1.leg", 1.0, 2.0)
    (even,) = of("pairs", judge(lay_of(up), legs))
    assert (even.level, even.where, even.measured, even.expected) == ("error", "1.leg", 1.0, 0.0)
    again = laid(part(legs, 2), 0.0, 250.0)
    (even,) = of("pairs", judge(lay_of(up, again), legs))
    assert (even.level, even.measured) == ("error", 2.0)
    (even,) = of("pairs", judge(lay_of(down), legs))
    assert (even.level, even.measured) == ("error", -1.0)
    # Both layers of a fold give both faces.
    double = laid(replace(part(legs), cuts=2), 0.0, 0.0)
    assert failed(judge(lay_of(double, folded=True), legs)) == []
    # What is cut from a lining is not missed here; pieces without a mirror image are no pair.
    assert failed(judge(lay_of(double, folded=True), legs, box("bag", lining=True))) == []
    assert {f.unit for f in judge(lay_of(up), legs) if f.check in ("all pieces", "pairs")} == {
        "count"
    }


def test_each_garment_is_counted_for_itself(make_pattern: Callable[..., Pattern]) -> None:
    hers = replace(make_pattern(), pieces=(box(),))
    first, second = part(box()), replace(part(box()), garment=1)
    both = lay_of(laid(first, 0.0, 0.0), laid(second, 0.0, 250.0))
    rule = lambda _p, _q: (0, 180)  # noqa: E731
    assert failed(check_lay(both, [hers, hers], rule)) == []
    twice = lay_of(laid(first, 0.0, 0.0), laid(replace(first, copy=2), 0.0, 250.0))
    assert failed(check_lay(twice, [hers, hers], rule)) == [
        *(("all pieces", "1.box"), ("all pieces", "2.box")),
    ]


def test_a_piece_of_one_side_is_no_use_turned_over(judge: Judge) -> None:
    legs, left, over = box("leg", copies=2, mirrored=True), box("left"), box("right")
    over = replace(over, turned_over=True)
    pair = [laid(part(legs, 1), 0.0, 0.0), laid(part(legs, 2), 0.0, 250.0, "down")]

    def found(left_face: Face, right_face: Face) -> list[tuple[str, str]]:
        singles = (
            laid(part(left), 400.0, 0.0, left_face),
            laid(part(over), 400.0, 250.0, right_face),
        )
        return failed(judge(lay_of(*pair, *singles), legs, left, over))

    assert found("up", "down") == []
    assert found("down", "up") == [("printed side", "1.left.1"), ("printed side", "1.right.1")]
    assert found("up", "up") == [("printed side", "1.right.1")]
    told = of("printed side", judge(lay_of(*pair, laid(part(left), 400.0, 0.0)), legs, left))
    assert [(f.measured, f.expected, f.unit) for f in told] == [(1.0, 1.0, "count")]
    # Cut through two layers it comes out both ways, whatever lies up.
    both = laid(replace(part(box("band", copies=2)), cuts=2), 0.0, 0.0, "down")
    assert failed(judge(lay_of(both, folded=True), both.piece)) == []


def test_two_layers_need_a_fold(judge: Judge) -> None:
    legs = box("leg", copies=2, mirrored=True)
    double = laid(replace(part(legs), cuts=2), 0.0, 0.0)
    assert failed(judge(lay_of(double), legs)) == [("folded", "fabric")]
    (found,) = of("folded", judge(lay_of(double), legs))
    assert (found.measured, found.expected, found.unit) == (1.0, 0.0, "count")
    assert not of("depth of the fold", judge(lay_of(double, folded=True), legs))
    half = laid(part(box(), zone="fold"), 0.0, 400.0)  # the middle on the edge of a single layer
    assert failed(judge(lay_of(half), box())) == [("folded", "fabric")]


def test_a_narrow_fold(judge: Judge) -> None:
    """210 mm of 800 are turned in: double from 380 to 590, single from 0 to 380."""
    legs, one, whole = box("leg", copies=2, mirrored=True), box("one", 380.0), box("whole")
    double = replace(part(legs), cuts=2)
    placed = [laid(double, 0.0, 385.0), laid(part(one, zone="single"), 0.0, 0.0)]
    placed.append(laid(part(whole, zone="fold"), 400.0, 490.0))

    def found(*placed: Placed, fold: float = 210.0) -> tuple[Finding, ...]:
        return judge(lay_of(*placed, width=800.0, fold_mm=fold, length_mm=800.0), legs, one, whole)

    near = [f for f in found(*placed) if f.level != "pass"]
    assert [(f.check, f.measured) for f in near] == [("gap kept", pytest.approx(5.0))]
    placed[1] = replace(laid(placed[1].part, 400.0, 0.0))
    assert failed(found(*placed)) == []
    says = {f.where: str(f.says) for f in of("on the fabric", found(*placed))}
    assert "double" in says["1.leg.1"]
    assert "double" in says["1.whole.1"]
    assert "single" in says["1.one.1"]
    # A pair that lies where the fabric is single, a single that lies where it is double.
    moved = laid(double, 0.0, 370.0), *placed[1:]
    assert failed(found(*moved)) == [("on the fabric", "1.leg.1")]
    wrong = laid(replace(double, cuts=1), 0.0, 385.0), *placed[1:]
    assert ("layers of the piece", "1.leg.1") in failed(found(*wrong))
    wrong = placed[0], laid(replace(placed[1].part, cuts=2), 400.0, 0.0), placed[2]
    assert ("layers of the piece", "1.one.1") in failed(found(*wrong))
    told = of("layers of the piece", found(*placed))
    assert [(f.where, f.measured, f.expected, f.unit) for f in told] == [
        ("1.leg.1", 1.0, 1.0, "count"),
        ("1.one.1", 0.0, 0.0, "count"),
        ("1.whole.1", 1.0, 1.0, "count"),
    ]
    # The selvedge that is turned in lies on the near one at most.
    for fold, good in ((400.0, True), (401.0, False)):
        (depth,) = of("depth of the fold", found(*placed, fold=fold))
        assert (depth.measured, depth.expected) == (fold, 400.0)
        assert (depth.level == "pass") is good


def test_what_is_cut_one_by_one_on_a_fold_is_told_as_a_note(judge: Judge) -> None:
    left = part(box("front", side="left"), zone="opened")
    right = part(box("front_right", side="right", turned_over=True), zone="opened")
    placed = laid(left, 0.0, 0.0), laid(right, 0.0, 250.0, "down")
    lay = lay_of(*placed, folded=True, opened_mm=0.0)
    (found,) = of("left and right differ", judge(lay, left.piece, right.piece))
    assert (found.level, found.measured, found.unit) == ("note", 2.0, "count")
    one = replace(lay, placed=placed[:1])
    (found,) = of("left and right differ", judge(one, left.piece))
    assert (found.level, found.measured, found.expected) == ("note", 1.0, 0.0)
    alone = replace(lay, cloth=replace(lay.cloth, folded=False), opened_mm=None)
    assert not of("left and right differ", judge(alone, left.piece, right.piece))
    narrow = replace(alone, fold_mm=50.0)
    assert of("left and right differ", judge(narrow, left.piece, right.piece))
    double = lay_of(laid(replace(left, zone="main", cuts=2), 0.0, 0.0), folded=True)
    assert not of("left and right differ", judge(double, left.piece))


@pytest.mark.parametrize("slippery", [True, False])
@pytest.mark.parametrize("how", ["flat", "folded", "narrow"])
def test_a_slippery_fabric_is_not_folded(judge: Judge, how: str, slippery: bool) -> None:
    fold = 200.0 if how == "narrow" else None
    one = part(box(), zone="single" if fold else "main")
    lay = lay_of(laid(one, 0.0, 0.0), folded=how == "folded", slippery=slippery, fold_mm=fold)
    (found,) = of("layers", judge(lay, box()))
    bad = slippery and how != "flat"
    assert found.level == ("warning" if bad else "pass")
    assert (found.measured, found.expected, found.unit) == (float(bad), 0.0, "count")
    assert ("slides off" in str(found.says)) is bad


def test_a_lay_longer_than_the_fabric_in_hand_is_a_warning(judge: Judge) -> None:
    for have, level in ((300.0, "pass"), (299.0, "warning")):
        lay = lay_of(laid(part(box()), 0.0, 0.0), in_hand_mm=have)
        (found,) = of("length in hand", judge(lay, box()))
        assert (found.level, found.measured, found.expected) == (level, 300.0, have)
    assert not of("length in hand", judge(lay_of(laid(part(box()), 0.0, 0.0)), box()))
