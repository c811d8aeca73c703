"""A lay laid by the places that are told keeps its gap and needs no more cloth than it says."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from itertools import combinations

import pytest
import shapely
from covering import in_turns
from shapely import Polygon

from outseam.cli.wording.lay import rows
from outseam.draft.fabric import Fabric
from outseam.draft.inputs.show import TAPE_STEPS_MM, Units
from outseam.draft.lay.check.verify import shape_of
from outseam.draft.lay.model.result import Lay, Placed
from outseam.draft.lay.nest.search import search
from outseam.draft.lay.ways.by_hand import moved
from outseam.draft.lay.ways.plan import plan
from outseam.draft.lay.ways.rules import rules_of
from outseam.draft.lay.ways.told import on_tape, told_lay
from outseam.draft.model import Pattern

GAP = {"cm": 5.0, "in": 25.4 / 4.0}
CLOTHS = {
    "single": {"width": 1400.0},
    "narrow width": {"width": 1120.0},
    "folded": {"width": 1480.0, "fold": "folded"},
    "narrow fold": {"width": 1480.0, "fold": "narrow"},
    "border": {"border": "one", "border_height": 200.0, "width": 1500.0},
    "border figures": {
        "border": "one",
        "border_height": 200.0,
        "width": 1500.0,
        "border_repeat": 173.0,
    },
    "stripes": {"repeat_along": 47.0, "width": 1500.0},
}


def read(text: str) -> float:
    """What a person finds on the tape for a place as it is printed, mm: read anew, by itself."""
    if text.endswith('"'):
        return float(sum(Fraction(part) for part in text[:-1].split())) * 25.4
    return float(text.removesuffix(" cm")) * 10.0


def as_laid(lay: Lay, p: Placed, x: float, y: float) -> Polygon:
    found = shape_of(p, lay)
    return shapely.affinity.translate(found, x - p.x_mm, y - p.y_mm)


def cloth_of(name: str, units: Units) -> Fabric:
    return Fabric(stretch_across=0.5, stretch_along=0.3, gap=GAP[units], **CLOTHS[name])  # type: ignore[arg-type]


@pytest.mark.parametrize(("name", "units"), in_turns(tuple(CLOTHS), tuple(GAP)))
def test_laid_by_what_is_printed_the_gap_is_kept(
    make_pattern: Callable[..., Pattern], name: str, units: Units
) -> None:
    pattern = make_pattern(fabric=cloth_of(name, units), units=units, pocket="patch", belt="narrow")
    lay = plan([pattern], seconds=0.0).lay
    assert lay.tape_mm in TAPE_STEPS_MM[units]
    table = rows(lay, units)
    shapes = []
    for p, row in zip(lay.placed, table, strict=True):
        y = p.y_mm if p.part.zone == "fold" else read(row.from_selvedge)
        assert y == pytest.approx(p.y_mm, abs=lay.tape_mm / 2.0 + 0.01)
        shapes.append(as_laid(lay, p, read(row.from_end), y))
    nearest = min(a.distance(b) for a, b in combinations(shapes, 2))
    assert nearest >= GAP[units] - 0.15
    for p, shape in zip(lay.placed, shapes, strict=True):
        near, far = lay.room_mm(p.part)
        x0, y0, x1, y1 = shape.bounds
        assert min(x0, y0 - near, far - y1) >= -0.15, p.key
        assert x1 <= lay.length_mm + lay.tape_mm / 2.0


def test_a_lay_as_it_is_found_would_lose_its_gap(make_pattern: Callable[..., Pattern]) -> None:
    """Places rounded one by one come nearer than the gap: that is what is mended."""
    units: Units = "in"
    pattern = make_pattern(fabric=cloth_of("single", units), units=units, pocket="patch")
    rules = rules_of([pattern], plan([pattern], seconds=0.0).lay.cloth)
    found = search([pattern], rules.cloth, rules.parts, rules.turns, seconds=0.0)
    step = TAPE_STEPS_MM[units][0]
    loose = told_lay(replace(found, tape_mm=step))

    def nearest(lay: Lay) -> float:
        shapes = [shape_of(p, lay) for p in lay.placed]
        return min(a.distance(b) for a, b in combinations(shapes, 2))

    assert nearest(loose) < GAP[units] - 0.3
    kept = on_tape(found, rules, units)
    assert nearest(told_lay(kept)) >= GAP[units] - 0.15
    assert found.length_mm - 1.0 <= kept.length_mm <= found.length_mm + 8.0


def test_length_in_hand_is_not_lost_to_the_tape(make_pattern: Callable[..., Pattern]) -> None:
    """Cloth that is just enough stays enough, on finer lines or on none."""
    fabric = cloth_of("single", "in")
    pattern = make_pattern(fabric=fabric, units="in")
    rules = rules_of([pattern], plan([pattern], seconds=0.0).lay.cloth)
    found = search([pattern], rules.cloth, rules.parts, rules.turns, seconds=0.0)
    tight = replace(fabric, length_in_hand=found.length_mm + 0.05)
    lay = plan([make_pattern(fabric=tight, units="in")], seconds=0.0).lay
    assert lay.length_mm <= found.length_mm + 0.05
    assert not any(f.check == "length in hand" and f.level == "warning" for f in lay.findings)


def test_a_piece_moved_by_hand_comes_to_lie_on_a_line(make_pattern: Callable[..., Pattern]) -> None:
    pattern = make_pattern(fabric=cloth_of("single", "in"), units="in")
    lay = plan([pattern], seconds=0.0).lay
    assert lay.tape_mm is not None
    last = max(lay.placed, key=lambda p: p.end_mm)
    rules = rules_of([pattern], lay.cloth)
    # Behind all others, where it meets none.
    there = last.x_mm + lay.length_mm + 1.3
    found = moved(lay, rules, last.key, there, last.y_mm)
    at = next(p for p in found.placed if p.key == last.key).x_mm
    assert at / lay.tape_mm == pytest.approx(round(at / lay.tape_mm), abs=1e-6)
    assert at == pytest.approx(there, abs=lay.tape_mm / 2.0 + 1e-6)
