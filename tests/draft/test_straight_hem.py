"""A hem that lies straight along a border: level, square to its seams, and what it changes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from shapely import LineString

from outseam.curves.length import length
from outseam.curves.region import bounds, flatten
from outseam.draft.body.estimate import Body
from outseam.draft.checks.hem import arc_mm, check_hem, fall_mm
from outseam.draft.fabric import Fabric
from outseam.draft.inputs.show import show_length
from outseam.draft.inputs.words import in_units
from outseam.draft.model import Pattern

Make = Callable[..., Pattern]

BODIES = {
    "84": Body(height=1580.0, waist=660.0, hip=840.0, inside_leg=720.0),
    "140": Body(height=1800.0, waist=1280.0, hip=1400.0, inside_leg=840.0),
}
LEGS = ("straight", "bootcut", "flare", "palazzo")


@pytest.mark.parametrize("size", BODIES)
@pytest.mark.parametrize("leg", LEGS)
@pytest.mark.parametrize("long", ["full", "capri"])
def test_the_hem_is_level_and_the_seams_still_sew(
    make_pattern: Make, size: str, leg: str, long: str
) -> None:
    square = make_pattern(BODIES[size], leg=leg, length=long)
    level = make_pattern(BODIES[size], leg=leg, length=long, hem_line="straight")
    assert not level.errors
    known = {(f.check, f.where) for f in square.warnings}
    assert {(f.check, f.where) for f in level.warnings} <= known
    for side in ("front", "back"):
        a, b = getattr(square.block, side), getattr(level.block, side)
        assert arc_mm(b) < 1e-6
        for edge in ("outseam", "inseam", "hem"):
            assert length(getattr(b, edge)) == pytest.approx(length(getattr(a, edge)), abs=2e-3)
        for way in (b.outseam.end_direction, b.inseam.start_direction):
            assert abs(way[0]) < 2e-3
        # It stays where it was: within a couple of millimetres at both seams.
        for old, new in ((a.hem.start, b.hem.start), (a.hem.end, b.hem.end)):
            assert np.hypot(old[0] - new[0], old[1] - new[1]) < 2.5
    passed = [f.level for f in level.findings if f.check == "hem level"]
    assert passed == ["pass", "pass"]


def test_the_arc_is_certified_and_the_straight_hem_offered(make_pattern: Make) -> None:
    """The arc by another library: the width of a strip that holds the flattened hem."""
    cloth = Fabric(
        stretch_across=0.5,
        stretch_along=0.5,
        width=1500.0,
        border="one",
        border_height=200.0,
        border_from_selvedge=60.0,
    )
    pattern = make_pattern(fabric=cloth, leg="flare")
    for name in ("front", "back"):
        found = next(
            f for f in pattern.findings if f.check == "hem level" and f.where.startswith(name)
        )
        _, low, _, high = LineString(flatten(getattr(pattern.block, name).hem, 0.01)).bounds
        assert found.measured == pytest.approx(high - low, abs=0.02)
        assert found.measured > 5.0
        assert found.level == "note"
        assert 'hem_line = "straight"' in in_units(found.advice, "cm")
    below = make_pattern(fabric=replace(cloth, border_from_selvedge=15.0), leg="flare")
    (place,) = [f for f in below.findings if f.check == "border on the hem"]
    assert place.level == "note"
    # Allowance and turned-up hem want more than the plain cloth beside the selvedge.
    assert place.measured > below.spec.style.hem_allowance - 15.0
    says = str(in_units(place.advice, "cm"))
    assert "begins 1.5 cm from the selvedge" in says
    assert f"{place.measured / 10:g} cm of it are turned up" in says
    # A millimetre of the border is turned up with the hem: that is told, and none is not.
    for edge, level in ((15.0 + place.measured - 1.0, "note"), (15.0 + place.measured, "pass")):
        near = make_pattern(fabric=replace(cloth, border_from_selvedge=edge), leg="flare")
        (told,) = [f for f in near.findings if f.check == "border on the hem"]
        assert (told.level, told.expected) == (level, 0.0)
    plain = make_pattern(leg="flare")
    assert not any(f.check == "hem level" for f in plain.findings)


def test_how_the_fall_changes_is_told(make_pattern: Make) -> None:
    """The widths of the cut pieces, found by cutting them with a line in shapely."""
    square = make_pattern(leg="palazzo")
    level = make_pattern(leg="palazzo", hem_line="straight")
    by, up = fall_mm(level.block, (square.block.front, square.block.back))
    note = next(f for f in level.findings if f.check == "fall above a straight hem")
    assert note.measured == pytest.approx(abs(by))
    assert note.level == "note"

    def girth(pattern: Pattern, up: float = up) -> float:
        y = level.block.front.hem_y + up
        whole = 0.0
        for side in ("front", "back"):
            panel = getattr(pattern.block, side)
            xs = []
            for seam in (panel.outseam, panel.inseam):
                met = LineString(flatten(seam, 0.01)).intersection(
                    LineString([(-2000.0, y), (2000.0, y)])
                )
                xs.append(met.x)
            whole += xs[1] - xs[0]
        return whole

    assert girth(level) - girth(square) == pytest.approx(by, abs=0.05)
    assert 3.0 < by < 40.0
    assert f"the leg is {show_length(by, 'cm')} wider all round" in in_units(note.advice, "cm")
    swapped = replace(
        level.block,
        front=square.block.front,
        back=square.block.back,
        square_hem=(level.block.front, level.block.back),
    )
    back = list(check_hem(replace(level, block=swapped)))[-1]
    assert " narrower all round" in in_units(back.advice, "cm")
    # Nowhere up to forty centimetres above the hem is the difference larger.
    for more in np.arange(0.0, 400.0, 10.0).tolist():
        assert abs(girth(level, more) - girth(square, more)) <= abs(by) + 0.05
    low = bounds(level.block.front.hem)[1]
    assert low == pytest.approx(level.block.front.hem_y, abs=1e-6)


def test_a_straight_hem_that_is_not_is_an_error(make_pattern: Make) -> None:
    """The negative control: the square hem in the straight one's place, on one leg."""
    level = make_pattern(leg="flare", hem_line="straight")
    assert level.block.square_hem is not None
    block = replace(level.block, back=level.block.square_hem[1])
    found = {f.where: f.level for f in check_hem(replace(level, block=block))}
    assert found["back leg"] == "error"
    assert found["front leg"] == "pass"
