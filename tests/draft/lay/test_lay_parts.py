"""What has to be laid, in one layer and folded."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from lay_pieces import box_piece, orientation_of, part, polygon_piece

from outseam.draft.alter import AlterationEntry
from outseam.draft.fabric import Fabric
from outseam.draft.lay.check.verify import check_lay
from outseam.draft.lay.model.cloth import Cloth
from outseam.draft.lay.model.parts import parts_of
from outseam.draft.lay.model.placement import Lie, as_cut, is_symmetric, outline_of_cut
from outseam.draft.lay.model.turning import turns_of
from outseam.draft.lay.ways.plan import plan_lay
from outseam.draft.model import Pattern
from outseam.draft.pattern import draft_measures

SINGLE, FOLDED = Cloth(width_mm=1500.0), Cloth(width_mm=1500.0, folded=True)


def test_pairs_lie_once_each_way_in_a_single_layer(make_pattern: Callable[..., Pattern]) -> None:
    parts = parts_of([make_pattern()], SINGLE, turns_of)
    faces = {p.key: p.faces for p in parts}
    assert faces["1.front.1"] == ("up",)
    assert faces["1.front.2"] == ("down",)
    assert faces["1.back.2"] == ("down",)
    assert [k for k in faces if "band" in k] == ["1.front_band.1", "1.back_band.1"]
    assert all(p.cuts == 1 for p in parts)


def test_folded_one_of_each_pair_and_bands_on_the_fold(
    make_pattern: Callable[..., Pattern],
) -> None:
    parts = {p.key: p for p in parts_of([make_pattern()], FOLDED, turns_of)}
    assert set(parts) == {"1.front.1", "1.back.1", "1.front_band.1", "1.back_band.1"}
    assert parts["1.front.1"].cuts == 2
    assert parts["1.front.1"].faces == ("up", "down")
    assert parts["1.front_band.1"].zone == "fold"
    assert parts["1.front_band.1"].cuts == 1


def test_folded_copies_of_a_lopsided_piece_are_cut_singly(
    make_pattern: Callable[..., Pattern],
) -> None:
    pattern = make_pattern()
    lopsided = polygon_piece("flap", [(0, 0), (80, 0), (50, 60)], copies=2)
    plain = box_piece("loop", 30.0, 90.0, copies=3)
    pattern = replace(pattern, pieces=(lopsided, plain))
    parts = {p.key: p for p in parts_of([pattern], FOLDED, turns_of)}
    # On doubled fabric two unmirrored copies would come out as a left and a right one.
    assert {parts["1.flap.1"].zone, parts["1.flap.2"].zone} == {"opened"}
    assert [parts[f"1.loop.{n}"].cuts for n in (1, 2)] == [2, 1]
    assert parts["1.loop.2"].zone == "fold"


def test_symmetric_or_not(make_pattern: Callable[..., Pattern]) -> None:
    pattern = make_pattern()
    assert is_symmetric(pattern.piece("front_band"))
    assert not is_symmetric(pattern.piece("front"))


@pytest.mark.parametrize(
    ("turn", "top"), [(0, (1, 0)), (90, (0, 1)), (180, (-1, 0)), (270, (0, -1))]
)
def test_turns_point_the_top_where_they_say(turn: int, top: tuple[int, int]) -> None:
    for face in ("up", "down"):
        lie = Lie(face=face, turn_deg=turn)  # type: ignore[arg-type]
        assert lie.points(np.array([(0.0, 1.0)]))[0] == pytest.approx(top)


def test_face_down_is_the_mirror_image() -> None:
    corners = np.array([(0.0, 0.0), (80.0, 0.0), (50.0, 60.0)])

    def area(points: np.ndarray) -> float:  # type: ignore[type-arg]
        x, y = points.T
        return float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2.0

    up, down = (Lie(face=f, turn_deg=90).points(corners) for f in ("up", "down"))  # type: ignore[arg-type]
    assert area(up) == pytest.approx(2400.0)
    assert area(down) == pytest.approx(-2400.0)


def test_a_turned_piece_shrinks_the_other_way() -> None:
    fabric = Fabric(shrink_along=0.1, shrink_across=0.02)
    piece = box_piece("loop", 98.0, 90.0)
    straight = outline_of_cut(as_cut(piece, fabric, 180)).max(axis=0)
    turned = outline_of_cut(as_cut(piece, fabric, 270)).max(axis=0)
    assert straight == pytest.approx((100.0, 100.0))
    assert turned == pytest.approx((98.0 / 0.9, 90.0 / 0.98))
    orientation = orientation_of(part(piece), fabric, 0.0, "up", 90)
    # Turned a quarter, the piece's width lies along the fabric.
    assert (orientation.length_mm, orientation.breadth_mm) == pytest.approx(
        (98.0 / 0.9, 90.0 / 0.98)
    )


def test_half_of_a_piece_lies_on_the_fold() -> None:
    orientation = orientation_of(
        part(box_piece("band", 400.0, 120.0), zone="fold"), Fabric(), 5.0, "up", 0
    )
    assert (orientation.length_mm, orientation.breadth_mm) == pytest.approx((120.0, 200.0))


def test_copies_and_printed_note_agree(make_pattern: Callable[..., Pattern]) -> None:
    from outseam.draft.piece.piece import cut_words

    for piece in make_pattern().pieces:
        assert piece.cut_note.startswith(cut_words(piece.copies, mirrored=piece.mirrored))


def one_hip_higher(make_pattern: Callable[..., Pattern], fabric: Fabric) -> Pattern:
    asked = (AlterationEntry(what="hip higher", amount=12.0, side="left"),)
    pattern = make_pattern(fabric=fabric)
    return draft_measures(replace(pattern.spec, alter=asked), pattern.measures)


def test_legs_that_differ_lie_as_they_are_drawn(make_pattern: Callable[..., Pattern]) -> None:
    """Drawn with the outseam on the left, the front of the left leg is laid printed side down."""
    pattern = one_hip_higher(make_pattern, Fabric(stretch_across=0.5))
    faces = {p.key: p.faces for p in parts_of([pattern], SINGLE, turns_of)}
    down = {p.name for p in pattern.pieces if p.turned_over}
    assert down == {"front", "back_right"}
    assert {k for k, f in faces.items() if f == ("down",)} == {f"1.{n}.1" for n in down}
    folded = {p.key: p for p in parts_of([pattern], FOLDED, turns_of)}
    assert folded["1.front.1"].zone == folded["1.front_right.1"].zone == "opened"
    assert folded["1.front.1"].faces == ("down",)
    assert folded["1.front.1"].cuts == 1


def test_legs_that_differ_are_not_cut_double(make_pattern: Callable[..., Pattern]) -> None:
    for fold in ("single", "folded", "narrow"):
        fabric = Fabric(stretch_across=0.5, width=1500.0, fold=fold)  # type: ignore[arg-type]
        pattern = one_hip_higher(make_pattern, fabric)
        lay = plan_lay([pattern], seconds=0.0)
        assert not lay.errors
        notes = [f.check for f in lay.findings if f.level == "note"]
        assert notes == ([] if fold == "single" else ["left and right differ"])
        assert all(p.part.cuts == 1 for p in lay.placed if p.part.piece.side)
        turned = tuple(
            replace(p, lie=replace(p.lie, face="up")) if p.key == "1.front.1" else p
            for p in lay.placed
        )
        found = check_lay(replace(lay, placed=turned), [pattern], turns_of)
        assert "printed side" in {f.check for f in found if f.level == "error"}
