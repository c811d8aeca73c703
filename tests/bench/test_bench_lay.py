"""How near a lay of five seconds comes to the best of four seeds of a minute each.

Run with `pytest tests/bench/test_bench_lay.py -s --benchmark-only`; twelve cases take half an hour
on two cores. OUTSEAM_LAY_REFERENCE is the time of a reference search in seconds (121: two seeds of
a minute in each of two processes; 0: none), OUTSEAM_LAY_CASES how many of the cases are run.
"""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import pytest

from outseam.draft.lay.model.cloth import cloth_of
from outseam.draft.lay.ways.border import search_border
from outseam.draft.lay.ways.plan import plan_lay
from outseam.draft.pattern import draft_pattern
from outseam.draft.spec.spec import load_spec

GALLERY = Path(__file__).parents[2] / "gallery"
REFERENCE_S = float(os.environ.get("OUTSEAM_LAY_REFERENCE", "121"))

#: style, width in mm, fold, one way: the narrow ones, where legs have to nest, come first.
CASES = [
    ("straight-97", 1120, "single", False),
    ("palazzo-116", 1500, "single", False),
    ("flare-92", 1120, "folded", False),
    ("straight-97", 1120, "single", True),
    ("flare-92", 1120, "single", False),
    ("palazzo-116", 1120, "folded", True),
    ("palazzo-116", 1500, "folded", False),
    ("straight-97", 1400, "single", False),
    ("flare-92", 1400, "folded", True),
    ("flare-92", 1500, "single", True),
    ("palazzo-116", 1400, "single", True),
    ("straight-97", 1500, "folded", False),
][: int(os.environ.get("OUTSEAM_LAY_CASES", "12"))]


@pytest.mark.parametrize(("style", "width", "fold", "one_way"), CASES)
def test_lay(benchmark, style, width, fold, one_way):
    spec = load_spec(GALLERY / f"{style}.toml")
    fabric = replace(spec.fabric, width=float(width), fold=fold, one_way=one_way)
    pattern = draft_pattern(replace(spec, fabric=fabric))
    lay = benchmark.pedantic(plan_lay, args=([pattern],), rounds=1)
    assert not lay.errors
    assert lay.length_mm <= plan_lay([pattern], seconds=0.0).length_mm + 1e-6
    says = (
        f"{style} {width} {fold} {'one way' if one_way else 'half turns'}: {lay.length_mm:.0f} mm"
    )
    took = benchmark.stats.stats.max if benchmark.stats else float("nan")
    if REFERENCE_S:
        best = min(lay.length_mm, plan_lay([pattern], seconds=REFERENCE_S).length_mm)
        says += f", best {best:.0f}: {lay.length_mm / best - 1:+.2%}"
        assert lay.length_mm <= 1.015 * best
    print(f"\n{says}, {took:.1f} s, {lay.how}, bound {lay.bound_mm:.0f}")


@pytest.mark.parametrize("sides", ["one", "both"])
@pytest.mark.parametrize("repeat", [None, 290.0])
def test_border(benchmark, sides, repeat):
    """A border lay of one garment: every order and selvedge, proved shortest."""
    spec = load_spec(GALLERY / "palazzo-116.toml")
    fabric = replace(
        spec.fabric,
        border=sides,
        border_height=220.0,
        border_from_selvedge=60.0,
        border_repeat=repeat,
        width=1500.0,
    )
    style = replace(spec.style, band_from="border")
    pattern = draft_pattern(replace(spec, fabric=fabric, style=style))
    cloth = cloth_of(fabric)
    lay = benchmark(search_border, [pattern], cloth)
    assert lay.bound_mm <= lay.length_mm
    print(f"\nborder on {sides}, repeat {repeat}: {lay.length_mm:.0f} mm, {lay.how}")
