"""A piece moved by hand: held by its print, refused where it may not lie, kept and drawn from."""

from __future__ import annotations

import json
import math
from collections.abc import Callable

import pytest
from shapely import box

from outseam.draft.fabric import Fabric
from outseam.draft.lay.check.verify import shape_of
from outseam.draft.lay.model.result import Lay
from outseam.draft.lay.ways.by_hand import BY_HAND, NotThereError, moved
from outseam.draft.lay.ways.plan import plan
from outseam.draft.lay.ways.quick import fabric_length
from outseam.draft.lay.ways.rules import Rules, rules_of
from outseam.draft.lay.ways.saved import kept_data
from outseam.draft.model import Pattern

Make = Callable[..., Pattern]
REPEAT = 320.0


def laid(pattern: Pattern) -> tuple[Lay, Rules]:
    lay = plan([pattern], seconds=0.0).lay
    return lay, rules_of([pattern], lay.cloth)


def printed() -> Fabric:
    return Fabric(
        kind="knit",
        stretch_across=0.6,
        stretch_along=0.6,
        width=1500.0,
        border="both",
        border_from_selvedge=60.0,
        border_height=200.0,
        border_repeat=REPEAT,
        border_shift=0.0,
    )


def test_on_a_border_a_piece_keeps_its_level_and_whole_repeats(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=printed())
    lay, rules = laid(pattern)
    last = max((p for p in lay.placed if p.border and "leg" in p.name), key=lambda p: p.end_mm)
    new = moved(lay, rules, last.key, last.x_mm + 6 * REPEAT + 90.0, last.y_mm + 200.0)
    now = next(p for p in new.placed if p.key == last.key)
    assert now.y_mm == last.y_mm
    assert (now.x_mm - last.x_mm) == pytest.approx(6 * REPEAT)
    assert new.length_mm == pytest.approx(max(p.end_mm for p in new.placed), abs=0.01)
    # The outline of the piece itself, judged by shapely, went along.
    a, b = shape_of(last, lay).bounds, shape_of(now, new).bounds
    assert (b[0] - a[0], b[1] - a[1]) == pytest.approx((6 * REPEAT, 0.0), abs=1e-6)
    assert not [f for f in new.findings if f.check.startswith("repeat") and f.level == "warning"]
    assert new.how == BY_HAND
    with pytest.raises(KeyError):
        moved(lay, rules, "9.none.1", 0.0, 0.0)


def test_no_piece_comes_to_lie_on_another_or_off_the_fabric(make_pattern: Make) -> None:
    pattern = make_pattern()
    lay, rules = laid(pattern)
    one, other = lay.placed[:2]
    with pytest.raises(NotThereError, match=f"The {one.name} would lie"):
        moved(lay, rules, one.key, other.x_mm, other.y_mm)
    far = moved(lay, rules, one.key, lay.length_mm + 50.0, 1e5)
    whole = box(0.0, 0.0, far.length_mm, far.cloth.breadth_mm).buffer(0.05)
    shapes = [shape_of(p, far) for p in far.placed]
    assert all(whole.contains(s) for s in shapes)
    apart = [a.distance(b) for i, a in enumerate(shapes) for b in shapes[:i]]
    assert min(apart) >= lay.cloth.gap_mm - 0.2


@pytest.mark.parametrize("cloth", ["plain", "border", "stripes", "folded"])
def test_every_reader_draws_from_what_was_kept(make_pattern: Make, cloth: str) -> None:
    more = {
        "plain": Fabric(),
        "border": printed(),
        "stripes": Fabric(repeat_along=40.0, repeat_across=30.0),
        "folded": Fabric(fold="folded"),
    }
    pattern = make_pattern(fabric=more[cloth])
    lay, rules = laid(pattern)
    last = max(lay.placed, key=lambda p: p.end_mm)
    behind = REPEAT * math.ceil(lay.length_mm / REPEAT)
    new = moved(lay, rules, last.key, last.x_mm + behind, last.y_mm)
    kept = json.loads(json.dumps(kept_data(new, rules.items, [pattern])))
    again = plan([pattern], kept=kept, seconds=0.0)
    assert not again.fresh
    assert not again.remark
    places = [(p.key, p.x_mm, p.y_mm, p.lie.turn_deg, p.border) for p in new.placed]
    assert [(p.key, p.x_mm, p.y_mm, p.lie.turn_deg, p.border) for p in again.lay.placed] == places
    assert again.keep == kept
    told = fabric_length(pattern, kept)
    assert told.kept
    assert told.length_mm == new.length_mm
    # Asked for anew, the shorter lay takes its place, and is kept because something was.
    better = plan([pattern], kept=kept, again=True, seconds=0.0)
    assert better.fresh
    assert better.lay.length_mm < new.length_mm
    assert better.keep is not None


@pytest.mark.parametrize("cloth", ["border", "stripes"])
def test_a_kept_lay_off_its_print_no_longer_serves(make_pattern: Make, cloth: str) -> None:
    fabric = printed() if cloth == "border" else Fabric(repeat_along=40.0, repeat_across=30.0)
    pattern = make_pattern(fabric=fabric)
    lay, rules = laid(pattern)
    kept = json.loads(json.dumps(kept_data(lay, rules.items, [pattern])))
    row = next(r for r in kept["placed"] if r["piece"] == "1.front.1")
    row["x_mm"] += 3000.0 + (0.0 if cloth == "stripes" else 7.0)
    row["y_mm"] += 7.0 if cloth == "stripes" else 0.0
    found = plan([pattern], kept=kept, seconds=0.0)
    assert found.fresh
    assert "the print meets the" in found.remark
