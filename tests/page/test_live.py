"""What is drawn: handles that move what they are called by, her figure, pants where they stand."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from outseam.cli.page import live
from outseam.cli.page.figure import figure_of, pants_on
from outseam.cli.page.flat import flat_paths, laid_out
from outseam.cli.page.handles import HANDLES, handles_of
from outseam.draft.bands import BANDS
from outseam.draft.body.estimate import Body, complete
from outseam.draft.body.shape import section
from outseam.draft.fabric import Fabric
from outseam.draft.inputs.tables import table_of
from outseam.draft.model import Pattern
from outseam.draft.style import Style

STRETCHY = Fabric(stretch_across=0.5, weight=320.0)


def points(data: str) -> Any:
    return np.array([float(x) for x in re.findall(r"-?\d+\.\d", data)]).reshape(-1, 2)


@pytest.fixture(scope="module")
def flare(make_pattern: Callable[..., Pattern]) -> Pattern:
    return make_pattern(fabric=STRETCHY, leg="flare", pocket=("scoop",))


def test_the_drawing_is_the_pieces_at_their_size(flare: Pattern) -> None:
    data = flat_paths(laid_out(flare))
    cut = {name: points(d) for name, kind, d in data["paths"] if kind == "cut"}
    assert set(cut) == {f"{p.name}-cut" for p in flare.pieces}
    wide, high = data["size"]
    for p in cut.values():
        assert p.min() >= 0.0
        assert p[:, 0].max() <= wide
        assert p[:, 1].max() <= high
    hem = np.ptp(cut["front-cut"][-60:, 0])
    assert hem < flare.block.front.hem_y * -1.0


def test_places_stay_while_a_value_moves_a_little(
    flare: Pattern, make_pattern: Callable[..., Pattern]
) -> None:
    before = laid_out(flare)
    near = make_pattern(fabric=STRETCHY, leg="flare", pocket=("scoop",), inseam=740.0)
    far = make_pattern(fabric=STRETCHY, leg="flare", pocket=("scoop",), hem_width=1000.0)
    assert laid_out(near, before.table).table is before.table
    assert laid_out(far, before.table).table is not before.table
    other = make_pattern(fabric=STRETCHY, leg="flare")
    assert laid_out(other, before.table).table is not before.table


def test_every_handle_is_there_and_moves_with_its_value(
    flare: Pattern, make_pattern: Callable[..., Pattern]
) -> None:
    """Pulled by so much as the page would, the point of the drawing comes along."""
    found = {h["name"]: h for h in handles_of(flare, laid_out(flare), "cm")}
    assert set(found) == {h.name for h in HANDLES} - {"border"}
    keys = {f.key for f in table_of(Style)}
    table = laid_out(flare).table
    for handle in found.values():
        assert handle["key"] in keys
        start = handle["mm"]
        for add in (-12.0, 12.0):
            style = {"leg": "flare", "pocket": ("scoop",), handle["key"]: start + add}
            other = make_pattern(fabric=STRETCHY, **style)
            flat = laid_out(other, table)
            now = next(h for h in handles_of(other, flat, "cm") if h["name"] == handle["name"])
            assert now["mm"] == pytest.approx(start + add, abs=1.0), handle["name"]
            moved = (now["x"] - handle["x"]) * handle["across"]
            moved += (handle["y"] - now["y"]) * handle["up"]
            assert moved == pytest.approx(add, abs=9.0), handle["name"]


def test_cloth_that_is_cut_larger_moves_as_much_more_under_the_hand(
    make_pattern: Callable[..., Pattern],
) -> None:
    def held(cloth: Fabric) -> dict[str, dict[str, Any]]:
        pattern = make_pattern(fabric=cloth, leg="flare", pocket=("scoop",))
        return {h["name"]: h for h in handles_of(pattern, laid_out(pattern), "cm")}

    plain = held(STRETCHY)
    shrinks = held(replace(STRETCHY, shrink_across=0.1, shrink_along=0.2))
    assert plain.keys() == shrinks.keys()
    for name, handle in plain.items():
        assert shrinks[name]["across"] == pytest.approx(0.9 * handle["across"])
        assert shrinks[name]["up"] == pytest.approx(0.8 * handle["up"])


@pytest.mark.parametrize("band", [b.name for b in BANDS if b.takes_height])
def test_the_upper_edge_of_a_band_stays_under_the_hand(
    make_pattern: Callable[..., Pattern], band: str
) -> None:
    def held(height: float, table: Any = None) -> tuple[Any, dict[str, Any]]:
        pattern = make_pattern(fabric=STRETCHY, band=band, band_height=height)
        flat = laid_out(pattern, table)
        found = handles_of(pattern, flat, "cm")
        return flat.table, next(h for h in found if h["name"] == "band height")

    table, before = held(80.0)
    _, after = held(92.0, table)
    moved = (before["y"] - after["y"]) * before["up"]
    assert moved == pytest.approx(12.0, abs=0.1)


def test_a_border_has_a_handle(make_pattern: Callable[..., Pattern]) -> None:
    cloth = Fabric(
        stretch_across=0.5,
        stretch_along=0.5,
        border="one",
        border_height=120.0,
        border_from_selvedge=60.0,
    )
    found = handles_of(p := make_pattern(fabric=cloth, border_above_hem=20.0), laid_out(p), "cm")
    assert next(h for h in found if h["name"] == "border")["mm"] == 20.0


@pytest.mark.parametrize(
    ("hip", "height"), [(840.0, 1500.0), (1000.0, 1670.0), (1400.0, 1600.0), (1050.0, 1900.0)]
)
def test_her_figure_has_her_heights_and_grows_with_her_girths(hip: float, height: float) -> None:
    body = Body(height=height, waist=0.78 * hip, hip=hip, inside_leg=0.46 * height)
    m = complete(body)
    found = figure_of(m)
    front = points(dict(found["body"])["front-body"])
    tapes = {name: points(d) for name, d in found["tapes"]}
    waist, hips = tapes["front-waist"], tapes["front-hip"]
    floor = found["floor"]
    assert floor - waist[0, 1] == pytest.approx(m.waist_height, abs=1.0)
    assert floor - hips[0, 1] == pytest.approx(m.hip_height, abs=1.0)
    assert np.ptp(tapes["front-inside_leg"][:, 1]) == pytest.approx(m.inside_leg, abs=0.2)
    # A level tape's breadth against its girth: bodies lie between a circle and a thin plate.
    assert 1.0 / np.pi < np.ptp(hips[:, 0]) / m.hip < 0.5
    assert np.ptp(front[:, 0]) >= np.ptp(hips[:, 0]) - 0.5
    wide, high = found["size"]
    assert 0.0 <= front[:, 0].min() <= front[:, 0].max() <= wide
    assert front[:, 1].max() <= high


def _side(**body: float) -> tuple[Any, Any]:
    """How far the waist and the seat reach from the ankle's middle, back and front, mm."""
    m = complete(Body(**body), "cm")
    tapes = {name: points(d) for name, d in figure_of(m)["tapes"]}
    middle = tapes["side-ankle"][:, 0].mean()
    return tuple(
        (tapes[f"side-{k}"][:, 0].min() - middle, tapes[f"side-{k}"][:, 0].max() - middle)
        for k in ("waist", "hip")
    )


def test_a_belly_stands_forward_and_a_seat_backward() -> None:
    mean, _ = _side(height=1626.0, waist=860.0, hip=1020.0, inside_leg=740.0)
    (_, mean_seat) = _side(height=1626.0, waist=860.0, hip=1020.0, inside_leg=740.0)
    belly, _ = _side(height=1626.0, waist=1200.0, hip=1150.0, inside_leg=740.0)
    _, seat = _side(height=1626.0, waist=820.0, hip=1180.0, thigh=720.0, inside_leg=740.0)
    assert belly[1] - mean[1] > 2.0 * (mean[0] - belly[0]) > 0.0
    assert mean_seat[0] - seat[0] > seat[1] - mean_seat[1] > 0.0


@pytest.mark.parametrize("build", ["women", "men"])
@pytest.mark.parametrize("waist", [600.0, 860.0, 1250.0])
def test_breadth_and_depth_make_the_girth(build: Any, waist: float) -> None:
    """An ellipse on them is about as long as the tape: geometry, that no survey knows of.

    Sections of bodies are fuller than an ellipse, by up to a tenth in the girth.
    """
    for level, girth in (("waist", waist), ("hip", 0.4 * waist + 660.0)):
        s = section(build, level, height=1680.0, waist=waist, hip=0.4 * waist + 660.0, thigh=600.0)
        t = np.linspace(0.0, 2.0 * np.pi, 2001)
        ring = np.column_stack([s.breadth_mm * np.cos(t), s.depth_mm * np.sin(t)]) / 2.0
        length = np.linalg.norm(np.diff(ring, axis=0), axis=1).sum()
        assert 0.88 < length / girth < 1.03, (level, length, girth)
        assert 0.5 < s.depth_mm / s.breadth_mm < 1.0


def test_pants_stand_off_where_they_are_larger_and_are_toned_where_they_stretch(
    flare: Pattern, make_pattern: Callable[..., Pattern]
) -> None:
    wide = make_pattern(fabric=STRETCHY, leg="palazzo", fit="loose")
    breadth = {
        name: np.ptp(points(dict(pants_on(p)["pants"])["front-pants"])[:, 0])
        for name, p in (("flare", flare), ("palazzo", wide))
    }
    body = np.ptp(points(dict(figure_of(flare.measures)["tapes"])["front-hip"])[:, 0])
    assert breadth["palazzo"] > breadth["flare"] >= body - 1.0
    tones = {name: tone for name, _, tone in pants_on(flare)["tone"]}
    assert 0.0 <= min(tones.values()) < max(tones.values()) <= 1.5
    close = make_pattern(fabric=STRETCHY, leg="close", fit="close")
    assert sum(t for _, _, t in pants_on(close)["tone"]) > sum(tones.values())


def test_what_is_told_is_what_was_measured(flare: Pattern) -> None:
    told = {g["name"]: g for g in live.girths(flare, "cm")}
    assert told["hip"]["says"].endswith(" cm")
    assert told["hem"]["mm"] > told["knee"]["mm"]
    assert {f["level"] for f in live.findings(flare, "cm")} <= {"note", "warning", "error"}
