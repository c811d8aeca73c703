"""Leg shapes on the drafted panels: widths that never bulge, hems and flares where asked for."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np
import pytest

from outseam.curves.length import length
from outseam.draft.block.block import Block, build_block
from outseam.draft.body.estimate import Body, complete
from outseam.draft.fabric import Fabric
from outseam.draft.fits import FIT_NAMES
from outseam.draft.inputs.errors import InputError
from outseam.draft.legs import LEG_NAMES, LEGS, leg_named
from outseam.draft.legs.flare import THIGH_SHARE
from outseam.draft.lengths import LENGTH_NAMES
from outseam.draft.model import Pattern
from outseam.draft.piece.ruler import x_at
from outseam.draft.style import Style

Make = Callable[..., Pattern]
KNIT = Fabric(stretch_across=0.5)

SMALL = Body(height=1580.0, waist=640.0, hip=840.0, inside_leg=715.0)
LARGE = Body(height=1650.0, waist=1130.0, hip=1320.0, inside_leg=740.0)
MAN = Body(build="men", height=1850.0, waist=1350.0, hip=1300.0, inside_leg=820.0)


def build(body: Body, **style: str | float | None) -> Block:
    return build_block(complete(body), KNIT, Style(**style))  # type: ignore[arg-type]


def panel_width(block: Block, side: str, y: float) -> float:
    """Width of one panel at a level between its crotch point and its hem."""
    panel = getattr(block, side)
    left, right = x_at(panel.outseam, y), x_at(panel.inseam, y)
    assert left is not None
    assert right is not None
    return right - left


def width(block: Block, y: float) -> float:
    """Girth of one leg at a level, measured across the flat panels."""
    return panel_width(block, "front", y) + panel_width(block, "back", y)


def top_y(block: Block) -> float:
    """The highest level that lies on both inseams."""
    return min(block.front.point[1], block.back.point[1]) - 0.01


def hem_mm(block: Block) -> float:
    """The finished hem along its edge, as a tape laid round it measures."""
    return length(block.front.hem) + length(block.back.hem)


def chord_mm(block: Block) -> float:
    """The hem straight across from seam to seam."""
    return sum(math.dist(p.hem.start, p.hem.end) for p in (block.front, block.back))


def every_shape(body: Body) -> Iterator[Block]:
    for leg in LEG_NAMES:
        for fit in FIT_NAMES:
            yield build(body, leg=leg, fit=fit)


# Shape -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("body", [SMALL, LARGE, MAN], ids=["small", "large", "man"])
def test_no_leg_bulges_between_its_stations(body: Body) -> None:
    for block in every_shape(body):
        ys = (top_y(block), *block.station_ys)
        girths = (width(block, ys[0]), *(s.girth_mm for s in block.stations))
        for i in range(len(ys) - 1):
            found = [width(block, y) for y in np.linspace(ys[i], ys[i + 1] + 0.01, 25)]
            assert max(found) <= max(girths[i : i + 2]) + 0.1
            assert min(found) >= min(girths[i : i + 2]) - 0.1
            # Steadily wider or narrower, not to and fro.
            steps = np.diff(found)
            assert (steps > -0.02).all() or (steps < 0.02).all()


def test_a_station_is_drawn_as_wide_as_it_says(measured: Body) -> None:
    for block in every_shape(measured):
        for station, y in zip(block.stations, block.station_ys, strict=True):
            assert width(block, y + 0.001) == pytest.approx(station.girth_mm, abs=0.05)
            assert y + block.crotch_line_height_mm == pytest.approx(station.height_mm)


def test_edges_run_on_smoothly_down_the_leg(measured: Body) -> None:
    """The lean of either edge changes by little from one centimetre to the next: no kink."""
    for block in every_shape(measured):
        for panel in (block.front, block.back):
            for edge in (panel.outseam, panel.inseam):
                ys = np.arange(panel.hem_y + 1.0, -15.0, 10.0)
                lean = np.diff([x_at(edge, y) for y in ys]) / 10.0
                assert np.abs(np.diff(lean)).max() < 0.05


@pytest.mark.parametrize("leg", LEG_NAMES)
@pytest.mark.parametrize("body", [SMALL, LARGE, MAN], ids=["small", "large", "man"])
def test_below_the_knee_a_leg_is_even_about_its_crease(leg: str, body: Body) -> None:
    """Common practice (truing), no source."""
    assert uneven_mm(build(body, leg=leg), complete(body).knee_height) < 0.05


def uneven_mm(block: Block, knee_height: float) -> float:
    """Largest difference of the two edges' distances from the crease, from the knee down."""
    knee_y = knee_height - block.crotch_line_height_mm
    worst = 0.0
    for panel in (block.front, block.back):
        for y in np.linspace(knee_y, panel.hem_y + 0.01, 20):
            left, right = x_at(panel.outseam, y), x_at(panel.inseam, y)
            assert left is not None
            assert right is not None
            worst = max(worst, abs(left + right - 2.0 * panel.crease_x))
    return worst


@pytest.mark.parametrize("leg", LEG_NAMES)
def test_the_back_leg_is_wider_than_the_front(leg: str) -> None:
    """By 2-4 cm in all at knee and hem, as the handbooks draw it (bands over all handbooks).

    More, up to 7 cm in a wide leg of a large size, where what the back has more at the crotch
    cannot run out by the hem without its seams leaning apart.
    """
    most = 72.0
    for body in (SMALL, LARGE, MAN):
        block = build(body, leg=leg)
        for y in (*block.station_ys[-1:], 0.55 * block.front.hem_y):
            more = panel_width(block, "back", y + 0.01) - panel_width(block, "front", y + 0.01)
            assert 20.0 <= more <= most
        fold = [math.dist(p.hem.start, p.hem.end) for p in (block.front, block.back)]
        assert 20.0 <= fold[1] - fold[0] <= most


@pytest.mark.parametrize("leg", LEG_NAMES)
def test_default_hems_grow_with_the_hip(leg: str) -> None:
    hems = [chord_mm(build(b, leg=leg)) for b in (SMALL, LARGE)]
    assert hems[0] < hems[1]


def test_a_knee_width_is_honoured(measured: Body) -> None:
    for leg in ("close", "slim", "straight", "bootcut", "flare"):
        block = build(measured, leg=leg, knee_width=470.0)
        knee_y = complete(measured).knee_height - block.crotch_line_height_mm
        assert width(block, knee_y) == pytest.approx(470.0, abs=0.5)


# The hem ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("leg", LEG_NAMES)
@pytest.mark.parametrize("asked", [340.0, 440.0, 520.0, 600.0])
def test_a_hem_is_as_wide_as_asked_for(measured: Body, leg: str, asked: float) -> None:
    """Along its edge, as it is sewn: it meets leaning seams at right angles, so it is an arc and
    straight across from seam to seam a little less.
    """
    for name in LENGTH_NAMES:
        block = build(measured, leg=leg, length=name, hem_width=asked)
        # A palazzo's seams are one line whose lean the forks decide, after the hem.
        near = 1.0 if leg == "palazzo" else 0.25
        assert hem_mm(block) == pytest.approx(asked, abs=near)
        assert 0.95 * asked < chord_mm(block) <= hem_mm(block)


@pytest.mark.parametrize("body", [SMALL, LARGE, MAN])
@pytest.mark.parametrize("more", [-15.0, 15.0, 60.0, 150.0])
def test_a_close_leg_with_a_wide_hem_opens_from_the_knee_on(body: Body, more: float) -> None:
    """Once, and down to the hem: met at the ankle already, it would have a bulge there."""
    m = complete(body)
    asked = max(m.calf, m.foot) + more
    block = build(body, leg="close", hem_width=asked)
    low = max(block.front.hem_y, block.back.hem_y) + 15.0
    knee_y = m.knee_height - block.crotch_line_height_mm
    below = np.array([width(block, y) for y in np.linspace(knee_y - 20.0, low, 30)])
    narrowest = int(below.argmin())
    assert (np.diff(below[narrowest:]) > -0.3).all()
    assert (np.diff(below[: narrowest + 1]) < 0.3).all()
    assert below.max() < max(asked, below[0]) + 1.0


def test_a_knee_wider_than_the_thigh_is_refused_on_a_close_leg(measured: Body) -> None:
    with pytest.raises(InputError, match=r"70 cm on a close leg; allowed: .* the thigh; leg ="):
        build(measured, leg="close", knee_width=700.0)
    assert build(measured, leg="straight", knee_width=700.0)


@pytest.mark.parametrize(
    ("leg", "asked"),
    [("flare", 900.0), ("bootcut", 900.0), ("palazzo", 1100.0), ("palazzo", 1800.0)],
)
def test_a_wide_hem_is_as_wide_as_asked_for(measured: Body, leg: str, asked: float) -> None:
    assert hem_mm(build(measured, leg=leg, hem_width=asked)) == pytest.approx(asked, abs=1.5)


@pytest.mark.parametrize("leg", LEG_NAMES)
def test_a_default_hem_lets_the_foot_through(make_pattern: Make, leg: str) -> None:
    for body in (SMALL, MAN, replace(SMALL, foot=360.0)):
        pattern = make_pattern(body, leg=leg)
        stretched = hem_mm(pattern.block) * (1.0 + pattern.block.ease.pull_strain)
        assert stretched >= pattern.measures.foot


# Flares ----------------------------------------------------------------------------------------


def narrowest_height_mm(block: Block) -> float:
    """Height above the floor at which a leg is narrowest below mid thigh."""
    ys = np.linspace(block.front.hem_y + 0.01, top_y(block), 800)
    return float(ys[int(np.argmin([width(block, y) for y in ys]))]) + block.crotch_line_height_mm


@pytest.mark.parametrize("start", [300.0, 380.0, 440.0, 520.0, 590.0])
def test_a_flare_begins_at_the_height_asked_for(measured: Body, start: float) -> None:
    block = build(measured, leg="flare", flare_from=start, hem_width=640.0)
    at, hem = start - block.crotch_line_height_mm, block.front.hem_y
    widths = [width(block, y) for y in np.linspace(at, hem + 0.01, 30)]
    assert (np.diff(widths) > 0.0).all()
    # Above it the leg does not open downward.
    above = [width(block, y) for y in np.linspace(top_y(block), at, 30)]
    assert (np.diff(above) < 0.02).all()
    if start > 440.0:
        assert narrowest_height_mm(block) == pytest.approx(start, abs=5.0)


def test_a_flare_begins_at_knee_or_thigh(measured: Body) -> None:
    knee, thigh = (build(measured, leg="flare", flare_from=w) for w in ("knee", "thigh"))
    m = complete(measured)
    assert narrowest_height_mm(knee) == pytest.approx(m.knee_height, abs=5.0)
    above = m.knee_height + THIGH_SHARE * (thigh.crotch_line_height_mm - m.knee_height)
    assert narrowest_height_mm(thigh) == pytest.approx(above, abs=20.0)
    unsaid = build(measured, leg="flare")
    assert unsaid.front.outseam.cubics == pytest.approx(knee.front.outseam.cubics)


def test_a_flare_outside_the_leg_is_refused_with_its_limits(measured: Body) -> None:
    for start in (60.0, 760.0):
        with pytest.raises(InputError) as error:
            build(measured, leg="flare", flare_from=start)
        assert error.value.field == "style.flare_from"
        limits = re.match(r"([\d.]+) cm to ([\d.]+) cm", error.value.allowed)
        assert limits is not None
        low, high = (10.0 * float(x) for x in limits.groups())
        for allowed in (low + 0.5, high - 0.5):
            build(measured, leg="flare", flare_from=allowed)


def test_even_stretch_of_the_flare(measured: Body) -> None:
    """Both edges move out from the crease by the same amount, front as back."""
    wide, wider = (build(measured, leg="flare", hem_width=w) for w in (560.0, 660.0))
    found = []
    for side in ("front", "back"):
        for edge, end, sign in (("inseam", "start", 1.0), ("outseam", "end", -1.0)):
            x = [getattr(getattr(getattr(b, side), edge), end)[0] for b in (wide, wider)]
            crease = [getattr(b, side).crease_x for b in (wide, wider)]
            moved = (x[1] - crease[1]) - (x[0] - crease[0])
            found.append(moved * sign)
    # A quarter of 100 mm each; an arc is a little longer than the width it spans.
    assert found == pytest.approx([found[0]] * 4, abs=0.2)
    assert 23.0 < found[0] <= 25.0


@pytest.mark.parametrize("leg", [x.name for x in LEGS if not x.flares])
def test_a_flare_on_a_leg_without_one_is_refused(measured: Body, leg: str) -> None:
    for start in ("knee", "thigh", 500.0):
        with pytest.raises(InputError) as error:
            build(measured, leg=leg, flare_from=start)
        assert error.value.field == "style.flare_from"


# Length ----------------------------------------------------------------------------------------


def apart_mm(body: Body, leg: str, name: str) -> float:
    """Largest difference in girth between a shorter leg and the full one, height for height."""
    full, short = build(body, leg=leg), build(body, leg=leg, length=name)
    zero = full.crotch_line_height_mm, short.crotch_line_height_mm
    low, high = short.front.hem_y + zero[1] + 2.0, min(zero) + top_y(full) - 80.0
    heights = np.linspace(low, high, 40)
    return max(abs(width(full, h - zero[0]) - width(short, h - zero[1])) for h in heights)


@pytest.mark.parametrize("name", [n for n in LENGTH_NAMES if n != "full"])
@pytest.mark.parametrize("leg", LEG_NAMES)
def test_a_shorter_leg_is_the_same_leg_cut_off(leg: str, name: str) -> None:
    for body in (SMALL, LARGE, MAN):
        assert apart_mm(body, leg, name) < 0.1


def test_names() -> None:
    assert len(set(LEG_NAMES)) == len(LEGS)
    assert all(leg_named(n).name == n for n in LEG_NAMES)
    for leg in LEGS:
        assert 0.0 < leg.hem_mm[0] < leg.hem_mm[1]
