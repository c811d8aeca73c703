"""Figures of a pattern, each against a second way of measuring it on the finished pieces."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from outseam.cli.wording.report import level_table
from outseam.curves.evaluate import points_at
from outseam.curves.path import Path
from outseam.draft.block.proportions import PRIORS
from outseam.draft.body.estimate import Body
from outseam.draft.fabric import Fabric
from outseam.draft.figures.finished import back_lift_mm, batch_figures, finished, moved
from outseam.draft.fits import FIT_NAMES
from outseam.draft.inputs.show import UNITS
from outseam.draft.inputs.units import length_mm
from outseam.draft.legs import LEG_NAMES
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece

Make = Callable[..., Pattern]

LARGE = Body(height=1650.0, waist=1130.0, hip=1320.0, inside_leg=740.0)


def run(path: Path) -> float:
    """Length of a path from a thousand chords a segment."""
    steps = np.diff(points_at(path, np.linspace(0.0, len(path), 1000 * len(path) + 1)), axis=0)
    return float(np.hypot(*steps.T).sum())


def across(piece: Piece, edge: str, y: float) -> float:
    """Width of a leg piece at a level, from the outseam to another edge."""
    ends = []
    for name in ("outseam", edge):
        path = piece.edge(name).path
        p = points_at(path, np.linspace(0.0, len(path), 4000 * len(path) + 1))
        ends.append(float(p[int(np.argmin(np.abs(p[:, 1] - y))), 0]))
    return ends[1] - ends[0]


def legs(pattern: Pattern) -> tuple[Piece, Piece]:
    return pattern.piece("front"), pattern.piece("back")


@pytest.mark.parametrize("leg", LEG_NAMES)
def test_finished_measurements_are_those_of_the_pieces(make_pattern: Make, leg: str) -> None:
    pattern = make_pattern(leg=leg)
    f, block, m = finished(pattern), pattern.block, pattern.measures
    front, back = legs(pattern)
    fold = [next(k.path for k in p.lines if k.label == "hem fold") for p in (front, back)]
    assert f["hem"] == pytest.approx(sum(map(run, fold)), abs=0.02)
    assert f["top_edge"] == pytest.approx(
        2 * sum(run(p.edge("waist").path) for p in legs(pattern)), abs=0.02
    )
    assert f["inseam"] == pytest.approx(run(front.edge("inseam").path), abs=0.02)
    band = f["band_height"]
    assert f["outseam"] == pytest.approx(run(front.edge("outseam").path) + band, abs=0.02)
    assert f["front_rise"] == pytest.approx(run(front.edge("crotch").path) + band, abs=0.02)
    assert f["back_rise"] == pytest.approx(run(back.edge("crotch").path) + band, abs=0.02)
    bands = [run(pattern.piece(f"{s}_band").edge("lower").path) for s in ("front", "back")]
    assert f["waistband"] == pytest.approx(sum(bands), abs=0.02)
    zero = block.crotch_line_height_mm
    # Out to the line of the centre seam, where handbooks set the width; what the crotch curves add
    # beside it goes between the legs.
    hip = 2 * sum(across(p, "crotch", block.front.hip_y) for p in (front, back))
    assert f["hip"] == pytest.approx(block.hip_mm, abs=2.5)
    assert f["hip"] < hip + 0.3
    levels = {"knee": m.knee_height, "calf": 0.72 * m.knee_height, "ankle": 0.24 * m.knee_height}
    for name, height in levels.items():
        drawn = sum(across(p, "inseam", height - zero) for p in (front, back))
        assert f[name] == pytest.approx(drawn, abs=0.3)
    low = min(float(points_at(path, np.linspace(0, 1, 200))[:, 1].min()) for path in fold)
    assert f["hem_above_floor"] == pytest.approx(zero + low, abs=0.02)


def test_levels_that_a_short_leg_does_not_reach_have_no_figure(make_pattern: Make) -> None:
    f = finished(make_pattern(length="capri"))
    assert "calf" not in f or f["calf"] > 0.0
    assert "ankle" not in f
    assert "knee" in f


@pytest.mark.parametrize("leg", LEG_NAMES)
def test_the_thigh_is_as_wide_as_it_is_drawn(make_pattern: Make, leg: str) -> None:
    pattern = make_pattern(LARGE, leg=leg)
    front, back = legs(pattern)
    points = pattern.block.front.point, pattern.block.back.point
    drawn = sum(across(p, "inseam", q[1]) for p, q in zip((front, back), points, strict=True))
    assert finished(pattern)["thigh"] == pytest.approx(drawn, abs=0.3)


@pytest.mark.parametrize("fit", FIT_NAMES)
def test_what_moved_is_listed_with_the_farthest_first(make_pattern: Make, fit: str) -> None:
    pattern = make_pattern(fit=fit)
    rows, s = moved(pattern), pattern.block.solution
    assert {r.name for r in rows} == {p.name for p in PRIORS}
    sds = [abs(r.moved_sd) for r in rows]
    assert sds == sorted(sds, reverse=True)
    by_name = {r.name: r for r in rows}
    for prior, value, mean in zip(PRIORS, s.params, s.means, strict=True):
        row = by_name[prior.name]
        scale = pattern.block.hip_mm if prior.name.endswith("_fork") else 1.0
        assert row.value == pytest.approx(value * scale)
        assert row.handbook == pytest.approx(mean * scale)
        assert (row.value - row.handbook) / (prior.sd * scale) == pytest.approx(row.moved_sd)
        assert row.says


def test_forks_are_told_as_they_are_drawn(make_pattern: Make) -> None:
    """From the curve's vertical to the crotch point."""
    pattern = make_pattern()
    rows = {r.name: r for r in moved(pattern)}
    assert rows["front_fork"].value == pytest.approx(pattern.block.front.point[0])
    assert rows["back_fork"].value == pytest.approx(pattern.block.back.point[0])
    assert rows["fork_lowered"].value == pytest.approx(-pattern.block.back.point[1])


def test_a_fuller_seat_shows_in_the_back(make_pattern: Make, measured: Body) -> None:
    """3 cm more back crotch length: the back moves, and in the direction of more room."""
    assert measured.back_crotch_length is not None
    assert measured.crotch_length is not None
    fuller = replace(
        measured,
        back_crotch_length=measured.back_crotch_length + 30.0,
        crotch_length=measured.crotch_length + 30.0,
    )
    before, after = (
        {r.name: r.moved_sd for r in moved(make_pattern(b))} for b in (measured, fuller)
    )
    assert after["back_raise"] > before["back_raise"]
    assert after["back_fork"] > before["back_fork"]
    assert (
        abs(after["front_raise"] - before["front_raise"])
        < after["back_raise"] - before["back_raise"]
    )
    assert back_lift_mm(make_pattern(fuller)) > back_lift_mm(make_pattern())


def test_batch_figures_are_measured_on_the_pieces(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=Fabric(kind="woven"), fit="loose")
    f = batch_figures(pattern)
    front, back = legs(pattern)
    for side, piece in (("front", front), ("back", back)):
        for edge in ("outseam", "inseam"):
            assert f[f"{edge}_{side}_mm"] == pytest.approx(run(piece.edge(edge).path), abs=0.02)
    crotch = run(front.edge("crotch").path) + run(back.edge("crotch").path)
    assert f["crotch_seam_mm"] == pytest.approx(crotch, abs=0.02)
    assert f["crotch_target_mm"] == pytest.approx(crotch, abs=0.05)
    drawn = (pattern.block.front.point[0] + pattern.block.back.point[0]) / pattern.block.hip_mm
    assert f["fork_ratio"] == pytest.approx(drawn)
    waist = back.edge("waist").path
    assert f["back_lift_mm"] == pytest.approx(waist.start[1] - waist.end[1])
    assert 10.0 < f["back_lift_mm"] < 60.0
    assert all(math.isfinite(v) for v in f.values())


def test_ease_is_what_a_reader_reckons_from_the_figures_beside_it(
    make_pattern: Callable[..., Pattern],
) -> None:
    """Pattern less body, as they are told: in eighths and in millimetres, at every level."""
    for units in UNITS:
        pattern = make_pattern(units=units, leg="flare", fit="easy")
        table = level_table(pattern)
        body, own, ease = ([*column.cells] for column in table.columns[1:4])
        for b, p, e in zip(body, own, ease, strict=True):
            told = [
                length_mm(str(x).removeprefix("+"), units, "x", negative=True) for x in (b, p, e)
            ]
            assert told[2] == pytest.approx(told[1] - told[0], abs=0.01), (b, p, e)
