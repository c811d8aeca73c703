"""Fixtures shared by the tests: an invented body, invented people by the dozen, a draft in one
call. Lengths in mm."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import settings

from outseam.draft.body.estimate import Body, complete
from outseam.draft.body.population import NAMES, Build, load_model
from outseam.draft.fabric import Fabric
from outseam.draft.inputs.show import Units
from outseam.draft.model import Pattern
from outseam.draft.pattern import draft_measures
from outseam.draft.spec.spec import Spec
from outseam.draft.style import Style

# A machine under load is no fault, and a run that is repeated should try the same examples.
settings.register_profile("outseam", deadline=None, derandomize=True)
settings.load_profile("outseam")


def pytest_addoption(parser: pytest.Parser) -> None:
    """Goldens are written only on request."""
    parser.addoption("--rewrite", action="store_true", help="write new goldens; look at them")


#: An invented woman of middling size who was measured in full.
MEASURED = Body(
    build="women",
    height=1670.0,
    waist=760.0,
    hip=1000.0,
    high_hip=920.0,
    inside_leg=765.0,
    thigh=580.0,
    knee=370.0,
    calf=365.0,
    ankle=222.0,
    foot=318.0,
    waist_height=1030.0,
    waist_to_hip=200.0,
    knee_height=440.0,
    crotch_length=680.0,
    front_crotch_length=305.0,
    back_crotch_length=375.0,
    waist_above_navel=35.0,
)

#: Measures that an invented person is given; the rest of `Body` follows from them.
_DRAWN = (
    *("height", "waist", "hip", "inside_leg", "thigh", "knee", "calf", "ankle", "foot"),
    *("waist_height", "hip_height", "knee_height", "crotch_length"),
)


@pytest.fixture(scope="session")
def measured() -> Body:
    """A body with every measure from the tape, the halves of the crotch length too."""
    return MEASURED


@pytest.fixture(scope="session")
def make_pattern() -> Callable[..., Pattern]:
    """`make_pattern(body, fabric, units, **style)`; left out: the measured woman, a 50 % knit.

    The same question gets the same pattern: nothing changes one in place.
    """
    drafted: dict[str, Pattern] = {}

    def make(
        body: Body = MEASURED,
        fabric: Fabric | None = None,
        units: Units = "cm",
        **style: str | float | None,
    ) -> Pattern:
        cloth = fabric or Fabric(stretch_across=0.5, stretch_along=0.25)
        spec = Spec(body=body, fabric=cloth, style=Style(**style), units=units)  # type: ignore[arg-type]
        key = repr(spec)
        if key not in drafted:
            drafted[key] = draft_measures(spec, complete(body))
        return drafted[key]

    return make


@pytest.fixture(scope="session")
def make_people() -> Callable[..., tuple[Body, ...]]:
    """`make_people(build, count, seed, split=...)`: bodies drawn from the product's own figures.

    Their waist tape lies level with the navel, where the survey behind the figures took its
    measures, so that no assumption about the tape comes in. `split`: the halves of the crotch
    length are given too.
    """

    def make(build: Build, count: int, seed: int, *, split: bool = False) -> tuple[Body, ...]:
        model = load_model(build, 0.0)
        rng = np.random.default_rng(seed)
        logs = rng.multivariate_normal(model.mean, model.covariance, size=count, method="svd")
        people = [dict(zip(NAMES, row, strict=True)) for row in (10.0 * np.exp(logs)).tolist()]
        keys = (*_DRAWN, "back_crotch_length") if split else _DRAWN
        return tuple(
            Body(build=build, waist_above_navel=0.0, **{k: one[k] for k in keys}) for one in people
        )

    return make
