"""How likely readings are together: against samples and scipy, not the program's formulas."""

from __future__ import annotations

import numpy as np
import pytest
from bench.people import FIGURES, NATURAL, Drawn, draw
from scipy.stats import multivariate_t

from outseam.draft.body.population import BUILDS, Build, condition
from outseam.draft.body.tape_model import TapeModel, tape_model

KEYS = ("height", "waist", "hip", "thigh", "knee", "calf", "ankle", "foot", "inside_leg",
        "waist_height", "outside_leg", "body_rise", "waist_to_hip", "hip_height", "knee_height",
        "crotch_length", "front_crotch_length", "back_crotch_length")  # fmt: skip


def sample(build: Build, how: Drawn, count: int = 4000) -> np.ndarray:
    return np.array([[p[key] for key in KEYS] for p in draw(build, count, 9, how)])


@pytest.mark.parametrize("build", BUILDS)
@pytest.mark.parametrize("how", [FIGURES, NATURAL])
def test_every_reading_is_told_by_the_others_without_bias(build: Build, how: Drawn) -> None:
    """Drawn people have no reading errors but rounding, so scores are narrower than 1."""
    rows = sample(build, how)
    model = tape_model(build, KEYS, 0.0 if how.navel else None)
    scores = model.scores(rows)
    assert np.all(np.abs(scores.mean(axis=0)) < 0.2)
    assert np.all(scores.std(axis=0) < 1.1)
    # Girths and heights that nothing else repeats are as spread as told, but for the extra width.
    for key in ("hip", "thigh", "calf"):
        assert scores[:, KEYS.index(key)].std() == pytest.approx(0.93, abs=0.1)


@pytest.mark.parametrize("build", BUILDS)
def test_the_density_is_scipy_s(build: Build) -> None:
    keys = ("height", "hip", "thigh", "inside_leg")
    model = tape_model(build, keys, None)
    rows = np.array([[1700.0, 1010.0, 640.0, 760.0], [1600.0, 1200.0, 640.0, 800.0]])
    degrees, count = 25.0, len(keys)
    scale = np.linalg.inv(model.precision) * (degrees - 2.0) / degrees
    other = multivariate_t(np.log(model.unit_mm) + model.mean, scale, df=degrees)
    expected = other.logpdf(np.log(rows)) - np.log(rows).sum(axis=1)
    np.testing.assert_allclose(model.log_density(rows), expected, rtol=1e-9)
    for i in range(count):
        rest = [k for k in range(count) if k != i]
        part = multivariate_t(other.loc[rest], scale[np.ix_(rest, rest)], df=degrees)
        by_ln = part.logpdf(np.log(rows[1, rest])) - np.log(rows[1, rest]).sum()
        found = model.log_density_without(rows[1])[i]
        # The other key: anywhere, evenly, in two units of ln.
        assert found == pytest.approx(by_ln + np.log(0.5) - np.log(rows[1, i]), rel=1e-6)


@pytest.mark.parametrize("build", BUILDS)
def test_expected_values_agree_with_the_estimates(build: Build) -> None:
    """They differ by the reading errors alone, which shrink towards the mean a little."""
    keys = ("height", "waist", "hip", "inside_leg", "waist_height", "crotch_length", "foot")
    row = np.array([1700.0, 850.0, 1050.0, 780.0, 1045.0, 720.0, 320.0])
    model: TapeModel = tape_model(build, keys, None)
    expected, sd = model.expected(row)
    for i, key in enumerate(keys):
        rest = [k for k in range(len(keys)) if k != i]
        found = condition(build, [keys[k] for k in rest], row[rest])
        at = found.names.index(key)
        assert expected[i] == pytest.approx(found.mm[at], abs=0.25 * sd[i])
        assert sd[i] > 0.9 * found.sd_mm[at]


def test_a_length_that_is_none_has_no_density() -> None:
    model = tape_model("women", ("height", "waist", "hip"), None)
    assert model.log_density([1700.0, -10.0, 1000.0]) == -np.inf
    alone = model.log_density_without(np.array([1700.0, -10.0, 1000.0]))
    assert np.isfinite(alone).tolist() == [False, True, False]
