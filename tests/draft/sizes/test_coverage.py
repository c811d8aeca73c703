"""Whom sizes serve: limits by hand, people drawn, and the best choice against trying all."""

from __future__ import annotations

from itertools import combinations, pairwise
from typing import Any

import numpy as np
import pytest

from outseam.draft.body.population import load_survey
from outseam.draft.checks.strain import levels
from outseam.draft.sizes import draft_sizes
from outseam.draft.sizes.coverage import (
    FitRule,
    People,
    ServedGirths,
    cover,
    cover_run,
    draw_people,
    reach_of,
    served_by,
)
from outseam.draft.sizes.run import Size, SizeRun
from outseam.draft.sizes.steps import best_sizes, middling_reaches
from outseam.draft.sizes.tables import TABLES, filled_body, table_sizes
from outseam.draft.spec.spec import Spec, parse_spec

BODY = "[body]\nheight=168\nwaist=80\nhip=104\ninside_leg=77\n"
KNIT = parse_spec(BODY + "[fabric]\nstretch_across='50 %'\n")
WOVEN = parse_spec(BODY + "[fabric]\nkind='woven'\n")


def people(**girths: list[float]) -> People:
    return People(says="", **{k: np.array(v) for k, v in girths.items()})


@pytest.fixture(scope="module")
def knit() -> SizeRun:
    return draft_sizes(KNIT, table_sizes(TABLES[0]))


@pytest.fixture(scope="module")
def woven() -> SizeRun:
    return draft_sizes(WOVEN, table_sizes(TABLES[0]))


@pytest.fixture(scope="module")
def women() -> People:
    return draw_people("women", 4000)


def test_people_are_those_of_the_survey(women: People) -> None:
    """Means and spread of ANSUR II's women; the waist is the natural one, fitted elsewhere."""
    names, mean, spread = load_survey("women")
    for part in ("hip", "thigh"):
        i = names.index(part)
        logs = np.log(getattr(women, part) / 10.0)
        assert logs.mean() == pytest.approx(mean[i], abs=4 * np.sqrt(spread[i, i] / 4000))
    logs = np.log(women.hip / 10.0)
    i = names.index("hip")
    assert logs.std() == pytest.approx(np.sqrt(spread[i, i]), rel=0.05)
    both = np.cov(logs, np.log(women.thigh / 10.0))
    assert both[0, 1] > 0.6 * np.sqrt(both[0, 0] * both[1, 1])


def test_the_same_seed_draws_the_same_people() -> None:
    one, other, third = (draw_people("men", 50, seed) for seed in (1, 1, 2))
    assert (one.hip == other.hip).all()
    assert (one.hip != third.hip).all()


def test_limits_of_a_knit_by_hand(knit: SizeRun) -> None:
    """Worn girth at most (1 + half the stretch) of the pattern's; ease at most 6 % over its own."""
    pattern = knit.patterns[5]
    reach = reach_of(pattern)
    hip = next(level for level in levels(pattern) if level.name == "hip")
    assert reach.hip[1] == pytest.approx(1.25 * hip.pattern_mm)
    assert hip.pattern_mm / reach.hip[0] - 1.0 == pytest.approx(
        hip.pattern_mm / hip.body_mm - 1.0 + 0.06
    )
    meant = reach_of(pattern, rule=FitRule(as_meant=True))
    assert meant.hip[0] == reach.hip[0]
    assert hip.pattern_mm / meant.hip[1] == pytest.approx(hip.pattern_mm / hip.body_mm - 0.06)


def test_limits_of_a_woven_leave_room_to_sit(woven: SizeRun) -> None:
    """2 in at the hip and 1 in at the thigh: the lower figures of NMSU Guide C-209."""
    pattern = woven.patterns[5]
    reach = reach_of(pattern)
    at = {level.name: level.pattern_mm for level in levels(pattern)}
    assert reach.hip[1] == pytest.approx(at["hip"] - 50.8)
    assert reach.thigh[1] == pytest.approx(at["thigh"] - 25.4)
    elastic = pattern.band.elastic_mm
    assert elastic is not None
    assert reach.waist == pytest.approx((elastic, min(elastic / 0.75, at["waistband"])))


def test_band_without_elastic_holds_within_its_own_limits() -> None:
    flat = parse_spec(BODY + "[fabric]\nstretch_across='50 %'\n[style]\nband='flat'\n")
    (pattern,) = draft_sizes(flat, table_sizes(TABLES[0])[5:6]).patterns
    band = next(level for level in levels(pattern) if level.name == "waistband")
    least, most = reach_of(pattern).waist
    assert most == pytest.approx(1.25 * band.pattern_mm)
    assert band.pattern_mm / least == pytest.approx(band.pattern_mm / band.body_mm + 0.06)


@pytest.mark.parametrize("which", ["knit", "woven"])
def test_every_size_serves_its_own_body(which: str, request: pytest.FixtureRequest) -> None:
    run: SizeRun = request.getfixturevalue(which)
    for pattern in run.patterns:
        m = pattern.measures
        one = people(hip=[m.hip], waist=[m.waist], thigh=[m.thigh])
        for rule in (FitRule(), FitRule(as_meant=True)):
            assert served_by(reach_of(pattern, rule=rule), one).all()


@pytest.mark.parametrize(
    ("girths", "fits"),
    [
        ({"hip": 1000, "waist": 760, "thigh": 600}, True),
        ({"hip": 899, "waist": 760, "thigh": 600}, False),
        ({"hip": 1101, "waist": 760, "thigh": 600}, False),
        ({"hip": 1000, "waist": 690, "thigh": 600}, False),
        ({"hip": 1000, "waist": 930, "thigh": 600}, False),
        ({"hip": 1000, "waist": 760, "thigh": 701}, False),
    ],
)
def test_each_limit_can_refuse(girths: dict[str, float], fits: bool) -> None:
    reach = ServedGirths(
        label="", body_hip=1000, body_waist=760, band_share=0.5,
        hip=(900, 1100), waist=(850, 960), thigh=(500, 700),
    )  # fmt: skip
    one = people(**{k: [float(v)] for k, v in girths.items()})
    assert bool(served_by(reach, one)[0]) is fits


def plain_reach(hip: float, **more: Any) -> ServedGirths:
    wide = (0.0, 9999.0)
    return ServedGirths(
        label="", body_hip=hip, body_waist=700, band_share=1.0,
        **({"hip": (hip - 20, hip + 20), "waist": wide, "thigh": wide} | more),
    )  # fmt: skip


def test_shares_add_up() -> None:
    hips = [850.0, 900.0, 910.0, 930.0, 1050.0, 1000.0, 905.0, 905.0, 935.0, 1000.0]
    waists = [700.0] * 9 + [900.0]
    crowd = people(hip=hips, waist=waists, thigh=[600.0] * 10)
    found = cover([plain_reach(900), plain_reach(920), plain_reach(1000, waist=(0, 800))], crowd)
    assert found.shares == pytest.approx((0.4, 0.6 - 0.0, 0.1))
    assert found.only == pytest.approx((0.0, 0.2, 0.1))
    assert (found.smaller, found.larger, found.between) == pytest.approx((0.1, 0.1, 0.1))
    assert found.total + found.smaller + found.larger + found.between == pytest.approx(1.0)


def test_a_fabric_that_stretches_serves_more(knit: SizeRun, woven: SizeRun, women: People) -> None:
    wide, narrow = cover_run(knit, women), cover_run(woven, women)
    assert all(a >= b for a, b in zip(wide.shares, narrow.shares, strict=True))
    assert sum(wide.shares) > 2.0 * sum(narrow.shares)
    strict = cover_run(knit, women, FitRule(as_meant=True))
    assert all(a <= b for a, b in zip(strict.shares, wide.shares, strict=True))
    assert sum(strict.shares) < 0.7 * sum(wide.shares)
    assert cover_run(woven, women, FitRule(slack=0.03)).total < narrow.total


@pytest.mark.parametrize("spec", [KNIT, WOVEN], ids=["knit", "woven"])
def test_reaches_between_drafts_are_what_drafts_give(spec: Spec, women: People) -> None:
    """Only some hips are drafted; a reach between them runs straight, to 4 mm of a girth."""
    grid = middling_reaches(spec, "women", women)
    for i in (4, len(grid) // 2, len(grid) - 4):
        lengths = {"hip": grid[i].body_hip, "waist": grid[i].body_waist}
        run = draft_sizes(spec, [Size(label="x", body=filled_body("women", lengths))])
        own = reach_of(run.patterns[0])
        for part in ("hip", "waist", "thigh"):
            assert getattr(grid[i], part) == pytest.approx(getattr(own, part), abs=4.0)


@pytest.mark.parametrize("spec", [KNIT, WOVEN], ids=["knit", "woven"])
def test_best_sizes_are_the_best_of_all_choices(spec: Spec, women: People) -> None:
    grid = middling_reaches(spec, "women", women)[4:28:2]
    each = np.stack([served_by(reach, women) for reach in grid])
    found = best_sizes(grid, women, 3)
    assert len(found) == 3
    for one in found:
        n = len(one.hips)
        best = max(each[list(c)].any(axis=0).mean() for c in combinations(range(len(grid)), n))
        assert one.coverage == pytest.approx(best, abs=1e-9)
        assert one.steps == tuple(np.diff(one.hips))


def test_best_sizes_beat_a_table_of_as_many(woven: SizeRun, women: People) -> None:
    grid = middling_reaches(WOVEN, "women", women)
    found = best_sizes(grid, women, len(woven.labels))
    assert found[-1].coverage > cover_run(woven, women).total
    assert all(a.coverage < b.coverage for a, b in pairwise(found))
