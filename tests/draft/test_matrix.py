"""Every leg, rise, length, fit, band and feature of the registries, on bodies of many sizes.

A combination is drafted without an error-level finding, or refused in words. What is added to a
registry is drafted here without a line being changed. The suite takes a covering sample of the
combinations; `pytest -m full tests/draft/test_matrix.py` drafts all of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import product
from typing import Any

import pytest
from covering import covering

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

ELASTICS = (20.0, 32.0, 50.8)


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


def styles_of_words(rows: Iterable[tuple[str, ...]], measures: dict[str, Measures]) -> None:
    """Draft rows of leg, fit, body, rise, length and the number of a fabric."""
    for leg, fit, name, rise, length, cloth in rows:
        cloths = fabrics(fit)
        style = Style(fit=fit, leg=leg, rise=rise, length=length)
        pattern = draft(name, measures, cloths[int(cloth) % len(cloths)], style)
        where = f"{name}, {leg}, {fit}, {rise}, {length}, fabric {cloth}"
        assert pattern.errors == (), where
        # Styles made of words alone, in a fabric that goes with them, leave nothing to warn of.
        assert pattern.warnings == (), where


WORDS = (LEG_NAMES, FIT_NAMES, tuple(BODIES), RISE_NAMES, LENGTH_NAMES)


@pytest.mark.parametrize("leg", LEG_NAMES)
def test_any_three_words_and_every_body_go_together(
    measures: dict[str, Measures], leg: str
) -> None:
    """Of all rows those in which any three choices meet; the next test has the rest."""
    rows = covering(WORDS, 3)
    assert all({row[i] for row in rows} == set(w) for i, w in enumerate(WORDS))
    numbered = ((*row, str(i)) for i, row in enumerate(rows))
    styles_of_words((row for row in numbered if row[0] == leg), measures)


@pytest.mark.full
@pytest.mark.parametrize("fit", FIT_NAMES)
@pytest.mark.parametrize("leg", LEG_NAMES)
def test_every_style_is_drafted_on_every_body(
    measures: dict[str, Measures], leg: str, fit: str
) -> None:
    styles_of_words(product((leg,), (fit,), *WORDS[2:], "012"), measures)


def with_feature() -> Iterator[dict[str, object]]:
    """The style keys of no feature, and of each feature of the registry."""
    yield {}
    plain = Style()
    for feature in all_features():
        listed = isinstance(getattr(plain, feature.key), tuple)
        yield {feature.key: (feature.value,) if listed else feature.value}


def banded(
    band: str, rows: Iterable[tuple[Any, ...]], measures: dict[str, Measures]
) -> tuple[int, set[object]]:
    """Draft rows of feature, fit, leg, body, rise, length and elastic; count those drafted plain.

    The features that were not refused are returned too.
    """
    options = tuple(with_feature())
    plain, named, refused = 0, set(), []
    for i, (feature, fit, leg, name, rise, length, elastic) in enumerate(rows):
        more, cloths = options[feature], fabrics(fit)
        style = Style(
            fit=fit,
            leg=leg,
            band=band,
            rise=rise,
            length=length,
            elastic_width=elastic,
            **more,  # type: ignore[arg-type]
        )
        try:
            pattern = draft(name, measures, cloths[i % len(cloths)], style)
        except InputError as error:
            refused.append((error, style, bool(more)))
            continue
        assert pattern.errors == (), (name, style)
        plain += not more
        named.update(more.values())
    for refusal, style, featured in refused:
        assert refusal.field.startswith("style.")
        assert refusal.got
        assert refusal.hint
        # Without a feature every band goes on every leg; only the one without elastic needs a
        # fabric that holds it up.
        assert featured or band == "flat", style
    return plain, named


@pytest.mark.parametrize("band", BAND_NAMES)
def test_every_band_and_feature_is_drafted_or_refused_in_words(
    measures: dict[str, Measures], band: str
) -> None:
    """Rows in which any two choices meet; the next test has more."""
    options = tuple(with_feature())
    more = (LENGTH_NAMES, ELASTICS)
    rows = covering(
        (range(len(options)), FIT_NAMES, LEG_NAMES, tuple(BODIES), RISE_NAMES, *more),
        2,
    )
    plain, named = banded(band, rows, measures)
    assert plain > 0
    # No feature is refused everywhere, unless it needs a band with side seams.
    if band == "folded":
        assert named == {v for more in options for v in more.values()}


@pytest.mark.full
@pytest.mark.parametrize("band", BAND_NAMES)
def test_every_band_and_feature_on_every_leg_and_body(
    measures: dict[str, Measures], band: str
) -> None:
    every = product(range(len(tuple(with_feature()))), FIT_NAMES, LEG_NAMES, BODIES)
    words = tuple(product(RISE_NAMES, LENGTH_NAMES, ELASTICS))
    # A stride without a common divisor, so that words meet the rest in changing company.
    rows = [(*row, *words[i * 5 % len(words)]) for i, row in enumerate(every)]
    plain, _ = banded(band, rows, measures)
    combinations = len(FIT_NAMES) * len(LEG_NAMES) * len(BODIES)
    assert plain == combinations or (band == "flat" and plain > 0.3 * combinations)


def test_the_checks_that_were_run_are_those_of_the_registry(measures: dict[str, Measures]) -> None:
    pattern = draft("man", measures, WOVEN, Style(fit="loose"))
    ran = {f.check for f in run_checks(pattern)}
    assert ran <= {f.check for f in pattern.findings}
    assert len(ran) >= 12
