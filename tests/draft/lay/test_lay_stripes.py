"""Stripes and checks: one phase for all legs, and what is said about where they meet."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from shapely import Polygon, affinity

from outseam.curves.evaluate import point_at
from outseam.curves.length import param_at_length
from outseam.curves.path import Path
from outseam.curves.region import flatten
from outseam.draft.border.levels import is_leg
from outseam.draft.fabric import Fabric
from outseam.draft.inputs.errors import InputError
from outseam.draft.lay.model.result import Lay, Placed
from outseam.draft.lay.ways.plan import plan_lay
from outseam.draft.lay.ways.stripe_pockets import patch_tilt_rad
from outseam.draft.lay.ways.stripes import check_stripes, first_in_phase
from outseam.draft.model import Pattern

Make = Callable[..., Pattern]


def striped(**more: object) -> Fabric:
    return Fabric(**({"stretch_across": 0.5, "width": 1500.0} | more))  # type: ignore[arg-type]


def notch_x(p: Placed, says: str) -> float:
    """Where along the fabric a notch of the outseam lies."""
    edge = p.piece.edge("outseam")
    at = next(n.at_mm for n in p.piece.notches if n.edge == "outseam" and n.role == says)
    point = point_at(edge.path, param_at_length(edge.path, at))
    return float(p.lie.points([point])[0, 0])


def off_phase(values: list[float], repeat: float) -> float:
    off = [(v - values[0]) / repeat for v in values]
    return max(abs(o - round(o)) for o in off) * repeat


@pytest.mark.parametrize("leg", ["straight", "flare"])
@pytest.mark.parametrize("level", ["hip", "knee"])
def test_the_chosen_level_falls_on_one_stripe(make_pattern: Make, leg: str, level: str) -> None:
    fabric = striped(repeat_along=70.0, repeat_across=45.0, shrink_along=0.03)
    pattern = make_pattern(fabric=fabric, leg=leg, match_at=level)
    lay = plan_lay([pattern])
    assert not lay.errors
    legs = [p for p in lay.placed if is_leg(p.piece)]
    assert off_phase([notch_x(p, level) for p in legs], 70.0) < 0.05
    creases = [
        p.lie.path(next(k.path for k in p.piece.lines if k.kind == "crease")).start[1] for p in legs
    ]
    assert off_phase(creases, 45.0) < 0.05
    bands = [p for p in lay.placed if "band" in p.piece.name]
    assert off_phase([p.x_mm for p in bands], 70.0) < 0.05
    assert {p.lie.turn_deg for p in lay.placed} == {0}
    assert {f.level for f in check_stripes(lay, [pattern])} <= {"pass", "note"}


def test_unmatched_is_never_longer(make_pattern: Make) -> None:
    matched = plan_lay([make_pattern(fabric=striped(repeat_along=160.0))])
    plain = plan_lay([make_pattern(fabric=striped(one_way=True))], seconds=0.0)
    assert matched.length_mm >= plain.bound_mm
    assert matched.length_mm >= plain.length_mm - 5.0


def test_a_leg_off_its_stripe_is_seen(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=striped(repeat_along=70.0, repeat_across=45.0))
    lay = plan_lay([pattern])

    def failing(dx: float, dy: float) -> set[str]:
        def move(p: Placed) -> Placed:
            if p.key != "1.back.2":
                return p
            return replace(p, lie=p.lie.moved(dx, dy), x_mm=p.x_mm + dx, y_mm=p.y_mm + dy)

        damaged: Lay = replace(lay, placed=tuple(move(p) for p in lay.placed))
        return {f.check for f in check_stripes(damaged, [pattern]) if f.level == "warning"}

    assert failing(0.0, 0.0) == set()
    assert failing(3.0, 0.0) == {"repeat along"}
    assert failing(0.0, 3.0) == {"repeat across"}
    assert failing(70.0, 45.0) == set()


def test_where_stripes_drift_is_said(make_pattern: Make) -> None:
    """Sheared, the back's outseam runs longer for its height: its hem leaves the stripe."""
    pattern = make_pattern(fabric=striped(repeat_along=70.0))
    lay = plan_lay([pattern])
    meets = [f for f in check_stripes(lay, [pattern]) if f.check == "stripes meet"]
    assert {f.where for f in meets} >= {"outseam, hip", "outseam, hem", "inseam, knee"}
    assert next(f for f in meets if f.where == "outseam, hip").measured < 1e-6
    back = pattern.piece("back")
    edges = tuple(
        replace(e, path=e.path.mapped(1.0, 0.0, 0.0, 0.98)) if e.name == "outseam" else e
        for e in back.edges
    )
    pieces = tuple(replace(p, edges=edges) if p.name == "back" else p for p in pattern.pieces)
    drifted = check_stripes(lay, [replace(pattern, pieces=pieces)])
    hem = next(f for f in drifted if f.where == "outseam, hem")
    assert hem.level == "note"
    assert hem.measured > 10.0


def test_a_front_without_the_hips_notch_is_matched_at_the_knee(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=striped(repeat_along=70.0), pocket="scoop")
    lay = plan_lay([pattern])
    legs = [p for p in lay.placed if is_leg(p.piece)]
    assert off_phase([notch_x(p, "knee") for p in legs], 70.0) < 0.05


def shape(path: Path) -> Polygon:
    return Polygon(flatten(path, 0.05))


@pytest.mark.parametrize("leg", ["straight", "flare"])
def test_a_patch_pocket_lies_as_it_sits_on_its_leg(make_pattern: Make, leg: str) -> None:
    """Moved by whole repeats, the pocket covers its place as drawn on the leg: by shapely."""
    fabric = striped(repeat_along=70.0, repeat_across=45.0, shrink_along=0.04)
    lay = plan_lay([make_pattern(fabric=fabric, pocket="patch", leg=leg)])
    legs = [p for p in lay.placed if p.part.piece.name == "back"]
    pockets = [p for p in lay.placed if p.part.piece.name == "patch_pocket"]
    assert len(pockets) == len(legs) == 2
    for back, pocket in zip(
        sorted(legs, key=lambda p: p.part.copy),
        sorted(pockets, key=lambda p: p.part.copy),
        strict=True,
    ):
        place = next(k.path for k in back.piece.lines if k.label == "back pocket")
        there = shape(back.lie.path(place))
        # The finished patch: its sides, closed by the fold.
        here = shape(pocket.lie.path(pocket.piece.edge("sides").path))
        dx, dy = (
            round((a - b) / repeat) * repeat
            for a, b, repeat in (
                (there.centroid.x, here.centroid.x, 70.0),
                (there.centroid.y, here.centroid.y, 45.0),
            )
        )
        moved = affinity.translate(here, dx, dy)
        assert moved.symmetric_difference(there).area < 0.001 * there.area
    # It is tilted on the leg, and the two pockets are tilted opposite ways.
    tilts = [patch_tilt_rad(p.part.piece) for p in pockets]
    assert abs(tilts[0]) > 0.02
    assert tilts[0] == pytest.approx(-tilts[1])


@pytest.mark.parametrize(
    ("pocket", "name"), [("patch", "patch_pocket"), ("scoop", "pocket_facing")]
)
def test_a_pocket_off_its_stripe_is_told_in_millimetres(
    make_pattern: Make, pocket: str, name: str
) -> None:
    pattern = make_pattern(fabric=striped(repeat_along=70.0, repeat_across=45.0), pocket=pocket)
    lay = plan_lay([pattern])
    check = "stripes run on over the pocket"
    good = [f for f in check_stripes(lay, [pattern]) if f.check == check]
    assert [f.level for f in good] == ["pass", "pass"]

    def told(dx: float, dy: float) -> list[float]:
        placed = tuple(
            replace(p, lie=p.lie.moved(dx, dy)) if p.key == f"1.{name}.2" else p for p in lay.placed
        )
        found = check_stripes(replace(lay, placed=placed), [pattern])
        return [f.measured for f in found if f.check == check and f.level == "warning"]

    assert told(4.0, 0.0) == [pytest.approx(4.0, abs=0.05)]
    assert told(0.0, -5.0) == [pytest.approx(5.0, abs=0.05)]
    assert told(-70.0, 90.0) == []


@pytest.mark.parametrize(
    ("more", "field"),
    [
        ({"fold": "folded"}, "fabric.fold"),
        ({"border": "one", "border_height": 200.0}, "fabric.repeat_along"),
    ],
)
def test_stripes_that_cannot_be(make_pattern: Make, more: dict[str, object], field: str) -> None:
    with pytest.raises(InputError) as caught:
        plan_lay([make_pattern(fabric=striped(repeat_along=70.0, **more))])
    assert caught.value.field == field


def test_border_words_without_a_border_are_refused(make_pattern: Make) -> None:
    with pytest.raises(InputError, match="border_above_hem"):
        plan_lay([make_pattern(fabric=striped(), border_above_hem=10.0)], seconds=0.0)
    with pytest.raises(InputError, match="border_repeat"):
        plan_lay([make_pattern(fabric=striped(border_repeat=100.0))], seconds=0.0)


@pytest.mark.parametrize("repeat", [25.0, 722.5, 2999.9])
@pytest.mark.parametrize("off_mm", [-1e-7, 0.0, 5e-7, 2e-6, 5e-4, 1.0])
def test_a_place_just_beyond_a_repeat_is_not_found_again_and_again(
    repeat: float, off_mm: float
) -> None:
    """What is free from a hair beyond a repeat on is taken there, from farther on at the next."""
    at = 0.3 * repeat
    rows = ((-1.0, at + repeat + off_mm), (at + 3.5 * repeat, at + 4.5 * repeat))
    wanted = at + repeat if off_mm < 1e-6 else at + 2.0 * repeat
    assert first_in_phase(rows, at, repeat) == pytest.approx(wanted, abs=1e-6)
    behind = (*rows[:1], (at + 1.5 * repeat, at + 4.0 * repeat + off_mm))
    assert first_in_phase(behind, at, repeat) == pytest.approx(
        wanted if off_mm < 1e-6 else at + 5.0 * repeat, abs=1e-6
    )
