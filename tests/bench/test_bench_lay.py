"""How near lays of five seconds come to the references of `lay_cases`, in processor time.

Run with `pytest tests/bench/test_bench_lay.py -s --benchmark-only`; a minute or two. The solver's
processes count their processor time, so that a busy machine finds as much as a quiet one of two
cores. OUTSEAM_LAY_CASES says how many of the cases are run. A case whose pieces are no longer
those of its reference says so and is compared with nothing.
"""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import pytest
from bench.lay_cases import CASES, GALLERY, Case, reference_mm
from bench.lay_reference import count_processor_time

from outseam.draft.lay.model.cloth import cloth_of
from outseam.draft.lay.nest import solver
from outseam.draft.lay.ways.border import search_border
from outseam.draft.lay.ways.plan import plan_lay
from outseam.draft.pattern import draft_pattern
from outseam.draft.spec.spec import load_spec

COUNT = int(os.environ.get("OUTSEAM_LAY_CASES", "12"))


@pytest.fixture
def by_processor(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    for name in ("CHILD", "_GRACE_S"):
        monkeypatch.setattr(solver, name, getattr(solver, name))
    count_processor_time(tmp_path)


@pytest.mark.parametrize("case", CASES[:COUNT], ids=lambda case: case.says)
def test_lay(benchmark, by_processor, case: Case):
    pattern = case.pattern()
    lay = benchmark.pedantic(plan_lay, args=([pattern],), rounds=1)
    assert not lay.errors
    assert lay.length_mm <= plan_lay([pattern], seconds=0.0).length_mm + 1e-6
    best = reference_mm(case, lay.area_mm2)
    told = "its pieces are no longer those of the reference"
    if best is not None:
        told = f"reference {best:.1f}: {lay.length_mm / best - 1:+.2%}"
        assert lay.length_mm <= 1.015 * best
    print(f"\n{case.says}: {lay.length_mm:.1f} mm, {told}, {lay.how}, bound {lay.bound_mm:.0f}")


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
