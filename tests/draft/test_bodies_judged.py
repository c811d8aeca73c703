"""The benchmark of bodies in small: what it counts is right, and what is asked holds.

In full: `PYTHONPATH=tests python -m bench.bodies`.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from bench import bodies as bench
from bench.people import (
    FIGURES,
    HEAVY,
    NATURAL,
    NOISY,
    OTHER,
    Drawn,
    best_sd_mm,
    bodies,
    draw,
    real_people,
)
from bench.planted import face, plant, plant_everyday, swapped
from scipy.stats import binomtest, kurtosis

from outseam.draft.body.population import BUILDS, Build, load_survey
from outseam.draft.body.table import Body
from outseam.draft.body.tape_check import gap_of


@pytest.mark.parametrize("how", [FIGURES, OTHER, replace(FIGURES, df=8.0)])
def test_people_are_drawn_as_told(how: Drawn) -> None:
    people = draw("women", 4000, 2, how)
    hip, leg = (np.log([p[key] / 10.0 for p in people]) for key in ("hip", "inside_leg"))
    names, mean, own = load_survey("women")
    _, _, other = load_survey("men")
    i, j = names.index("hip"), names.index("inside_leg")
    assert hip.mean() == pytest.approx(mean[i], abs=0.004)
    assert hip.std() == pytest.approx(np.sqrt(own[i, i]), rel=0.05)
    shape = other if how.other_shape else own
    r = shape[i, j] / np.sqrt(shape[i, i] * shape[j, j])
    assert np.corrcoef(hip, leg)[0, 1] == pytest.approx(r, abs=0.05)
    # A t of 8 degrees of freedom has an excess kurtosis of 6 / (8 - 4).
    assert bool(kurtosis(leg) > 0.5) is (how.df is not None)


def test_a_tape_at_the_natural_waist_lengthens_what_hangs_on_it() -> None:
    low, high = (draw("women", 2000, 1, how) for how in (FIGURES, NATURAL))
    for key, times in (("waist_height", 1), ("crotch_length", 2), ("hip_height", 0)):
        lift = np.mean([p[key] for p in high]) - np.mean([p[key] for p in low])
        assert lift == pytest.approx(35.0 * times, abs=6.0)
    for p in high[:20]:
        halves = p["front_crotch_length"] + p["back_crotch_length"]
        assert halves == pytest.approx(p["crotch_length"], abs=2.0)


def test_intervals_are_those_of_scipy() -> None:
    for hits, n in ((0, 40), (3, 200), (199, 200)):
        other = binomtest(hits, n).proportion_ci(0.95, method="wilson")
        assert bench.interval(hits, n) == pytest.approx((other.low, other.high), abs=1e-6)


def test_swapped_digits() -> None:
    assert swapped(1040.0) == (1400.0, 1004.0)
    assert swapped(775.0) == (757.0,)


def test_a_planted_slip_is_judged_by_its_words() -> None:
    (person,) = bodies("women", 1, 4, FIGURES)
    found = {p.kind: p for p in plant(person, np.random.default_rng(1))}
    ten = found["ten"]
    assert face(ten).named
    assert not face(replace(ten, kind="digits")).named
    assert not face(replace(ten, keys=("calf",))).named
    assert face(replace(ten, bad=ten.good)).how == "missed"


@pytest.mark.parametrize("build", BUILDS)
def test_few_good_people_are_questioned(build: Build) -> None:
    for how, most in ((NOISY, 0.02), (HEAVY, 0.04)):
        hits, n = bench.count_warned(bodies(build, 400, 1, how))
        assert n == 400
        # Beyond what is asked only if surely so: 400 people tell a share of 2 % to 0.7 %.
        assert bench.interval(hits, n)[0] <= most


@pytest.mark.parametrize("build", BUILDS)
def test_everyday_slips_are_caught_where_all_was_measured(build: Build) -> None:
    found = bench.everyday(build, 60, NOISY, 7)
    assert set(found) == {"hip+", "hip-", "inside_leg+", "inside_leg-", "thigh+", "thigh-",
                          "waist and hip"}  # fmt: skip
    assert min(found.values()) >= bench.LEAST_OF_A_KIND
    # The mean of 7 times 60 slips is known to 2 %.
    assert np.mean(list(found.values())) >= bench.LEAST_EVERYDAY - 0.02


@pytest.mark.parametrize("build", BUILDS)
def test_with_four_measurements_it_is_said_that_little_can_be_told(build: Build) -> None:
    """Two thirds of such slips is the most that any test could find."""
    four = {"height", "waist", "hip", "inside_leg"}
    caught = []
    for body in bench.everybody(build, 60, 7, NOISY):
        lengths = {k: getattr(body, k) for k in four}
        few = Body(build=build, **lengths)
        assert gap_of(few) is not None
        caught += [face(p).how != "missed" for p in plant_everyday(few)]
    assert sum(caught) < 0.66 * len(caught)


def test_few_real_people_are_questioned() -> None:
    hits, n = bench.count_warned(real_people())
    assert n == 507
    assert hits <= 0.02 * n


@pytest.mark.parametrize("build", BUILDS)
def test_slips_are_caught_and_named(build: Build) -> None:
    found = bench.face_slips(bodies(build, 16, 2, NOISY), 2)
    line = bench.slip_line("slips", build, found, asked=True)
    assert line.n >= 40
    assert line.good, line


def test_estimates_are_as_good_as_the_figures_let_them_be() -> None:
    for build in BUILDS:
        for key, error in bench.estimate_errors(build, 3000, FIGURES).items():
            best = best_sd_mm(build, key, ("height", "waist", "hip", "inside_leg"))
            assert np.std(error) == pytest.approx(best, rel=0.05)
            assert abs(error.mean()) < 3.0


def test_people_are_drafted_with_and_without_halves() -> None:
    for build in BUILDS:
        for keys in ((), ("back_crotch_length",)):
            given = ("height", "waist", "hip", "inside_leg", "waist_height", "crotch_length", *keys)
            people = [
                Body(build=build, **{k: p[k] for k in given}) for p in draw(build, 4, 5, NATURAL)
            ]
            line = bench.draft_line(build, [bench.draft_people(people)])
            assert line.n == 12
            assert line.good, line
