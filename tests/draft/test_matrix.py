"""Every leg, rise, length, fit, band and feature of the registries, on bodies of many sizes.

A combination is drafted without an error-level finding, or refused in words. What is added to a
registry is drafted here without a line being changed.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import product

import pytest

from outseam.draft.bands import BAND_NAMES
from outseam.draft.body.estimate import Body, Measures, complete
from outseam.draft.checks import run_checks
from outseam.draft.fabric import Fabric
from outseam.draft.features import all_features
from outseam.draft.fits import FIT_NAMES, FITS
from outseam.draft.inputs.errors import InputError
from outseam.draft.legs import LEG_NAMES
from outseam.draft.lengths import LENGTH_NAMES
from outseam.draft.model import Pattern
from outseam.draft.pattern import draft_measures
from outseam.draft.rises import RISE_NAMES
from outseam.draft.spec.spec import Spec
from outseam.draft.style import Style

#: Invented people: hips of 84 to 132 cm, both builds, one measured in full with the halves of the
#: crotch length, one with a waist larger than the hip.
BODIES = {
    "small woman": Body(height=1580.0, waist=640.0, hip=840.0, inside_leg=715.0),
    "measured woman": Body(
        height=1680.0,
        waist=806.0,
        hip=1040.0,
        inside_leg=770.0,
        thigh=615.0,
        knee=381.0,
        waist_height=1038.0,
        waist_to_hip=202.0,
        crotch_length=706.0,
        front_crotch_length=318.0,
        back_crotch_length=388.0,
        waist_above_navel=35.0,
    ),
    "large woman": Body(height=1650.0, waist=1130.0, hip=1320.0, inside_leg=740.0),
    "man": Body(build="men", height=1780.0, waist=880.0, hip=1000.0, inside_leg=820.0),
    "stout man": Body(build="men", height=1900.0, waist=1350.0, hip=1300.0, inside_leg=860.0),
}

#: Fabrics that each fit is sewn in; every second combination takes the next one.
KNITS = (Fabric(stretch_across=0.5, stretch_along=0.25), Fabric(stretch_across=0.25))
WOVEN = Fabric(kind="woven")


def fabrics(fit_name: str) -> tuple[Fabric, ...]:
    fit = next(f for f in FITS if f.name == fit_name)
    return KNITS if fit.woven_hip_mm is None else (*KNITS, WOVEN)


@pytest.fixture(scope="module")
def measures() -> dict[str, Measures]:
    return {name: complete(body) for name, body in BODIES.items()}


def draft(name: str, measures: dict[str, Measures], fabric: Fabric, style: Style) -> Pattern:
    return draft_measures(Spec(body=BODIES[name], fabric=fabric, style=style), measures[name])


def test_the_bodies_are_what_they_are_said_to_be() -> None:
    hips = [b.hip for b in BODIES.values()]
    assert (min(hips), max(hips)) == (840.0, 1320.0)
    assert {b.build for b in BODIES.values()} == {"women", "men"}
    assert any(b.waist > b.hip for b in BODIES.values())
    assert any(b.front_crotch_length and b.back_crotch_length for b in BODIES.values())


@pytest.mark.parametrize("fit", FIT_NAMES)
@pytest.mark.parametrize("leg", LEG_NAMES)
def test_every_style_is_drafted_on_every_body(
    measures: dict[str, Measures], leg: str, fit: str
) -> None:
    cloths = fabrics(fit)
    seen: Counter[str] = Counter()
    for i, (name, rise, length) in enumerate(product(BODIES, RISE_NAMES, LENGTH_NAMES)):
        style = Style(fit=fit, leg=leg, rise=rise, length=length)
        pattern = draft(name, measures, cloths[i % len(cloths)], style)
        where = f"{name}, {rise}, {length}"
        assert pattern.errors == (), where
        # Styles made of words alone, in a fabric that goes with them, leave nothing to warn of.
        assert pattern.warnings == (), where
        seen.update((name, rise, length))
    combinations = len(BODIES) * len(RISE_NAMES) * len(LENGTH_NAMES)
    for names in (BODIES, RISE_NAMES, LENGTH_NAMES):
        assert {seen[n] for n in names} == {combinations // len(names)}


def with_feature() -> Iterator[dict[str, object]]:
    """The style keys of no feature, and of each feature of the registry."""
    yield {}
    plain = Style()
    for feature in all_features():
        listed = isinstance(getattr(plain, feature.key), tuple)
        yield {feature.key: (feature.value,) if listed else feature.value}


@pytest.mark.parametrize("band", BAND_NAMES)
def test_every_band_and_feature_is_drafted_or_refused_in_words(
    measures: dict[str, Measures], band: str
) -> None:
    plain, refused, named = 0, [], set()
    options = tuple(with_feature())
    for i, (fit, leg, more) in enumerate(product(FIT_NAMES, LEG_NAMES, options)):
        if more and (i + i // len(options)) % 3:
            continue  # a third of these, in changing company, keeps the suite quick
        name = tuple(BODIES)[i % len(BODIES)]
        cloths = fabrics(fit)
        # Odd strides, so that bodies, fabrics and widths meet in changing company.
        style = Style(
            fit=fit,
            leg=leg,
            band=band,
            rise=RISE_NAMES[i // 2 % len(RISE_NAMES)],
            length=LENGTH_NAMES[i // 3 % len(LENGTH_NAMES)],
            elastic_width=(20.0, 32.0, 50.8)[i // 5 % 3],
            **more,  # type: ignore[arg-type]
        )
        try:
            pattern = draft(name, measures, cloths[i % len(cloths)], style)
        except InputError as error:
            refused.append(error)
            continue
        assert pattern.errors == (), (name, style)
        plain += not more
        named.update(more.values())
    for error in refused:
        assert error.field.startswith("style.")
        assert error.got
        assert error.hint
    # Without a feature every band goes on every leg; only the one without elastic needs a fabric
    # that holds it up.
    combinations = len(FIT_NAMES) * len(LEG_NAMES)
    assert plain == combinations or (band == "flat" and plain > 0.3 * combinations)
    # No feature is refused everywhere, unless it needs a band with side seams.
    if band == "folded":
        assert named == {v for more in options for v in more.values()}


def test_the_checks_that_were_run_are_those_of_the_registry(measures: dict[str, Measures]) -> None:
    pattern = draft("man", measures, WOVEN, Style(fit="loose"))
    ran = {f.check for f in run_checks(pattern)}
    assert ran <= {f.check for f in pattern.findings}
    assert len(ran) >= 12
