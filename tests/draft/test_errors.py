"""Errors raised deep in the draft speak the units of the file."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from outseam.draft.alter import AlterationEntry
from outseam.draft.body.estimate import Body
from outseam.draft.fabric import Fabric
from outseam.draft.inputs.errors import InputError, OutseamError, UnsolvableError
from outseam.draft.inputs.words import joined, least_allowed, measure, most_allowed, words
from outseam.draft.pattern import draft_pattern
from outseam.draft.spec.spec import Spec
from outseam.draft.style import Style


def test_lengths_wait_for_their_units() -> None:
    off = words("{off} off", off=measure(31.75))
    limit = words("{most} or less", most=most_allowed(33.0))
    error = InputError("style.rise", off, limit, "choose")
    assert str(error) == "style.rise: 3.2 cm off; allowed: 3.3 cm or less; choose."
    inches = error.in_units("in")
    assert str(inches) == 'style.rise: 1 1/4" off; allowed: 1 1/4" or less; choose.'
    assert (inches.got, inches.allowed) == ('1 1/4" off', '1 1/4" or less')
    assert words("{a}", a=least_allowed(33.0)).in_units("in") == '1 3/8"'
    assert "33 mm" in str(InputError("a", words("{a}", a=measure(33.0))).in_units("mm"))
    less = words("{by} less", by=measure(12.7))
    unsolvable = UnsolvableError("The thigh", -25.4, "thigh", less).in_units("in")
    assert str(unsolvable).endswith('it misses by 1"; check body.thigh first. 1/2" less')
    assert unsolvable.residual_mm == -25.4


def test_braces_that_a_person_typed_stay_what_they_are() -> None:
    typed = "{mm} and {0} and }{"
    said = words("{title} is {by} too long", title=typed, by=measure(10.0))
    assert said.in_units("cm") == f"{typed} is 1 cm too long"
    both = joined(" or ", [typed, words("{by} less", by=measure(10.0))])
    assert words("try {both}", both=both).in_units("mm") == f"try {typed} or 10 mm less"
    assert str(InputError("title", typed).in_units("in")) == f"title: {typed}."


@pytest.mark.parametrize(
    ("style", "alter"),
    [
        (Style(rise=-200.0), ()),
        (Style(inseam=60.0), ()),
        (Style(leg="flare", flare_from=900.0), ()),
        (Style(seam_allowance=80.0), ()),
        (Style(), (AlterationEntry(what="filled front curve", amount=14.0),)),
    ],
)
def test_an_inch_file_is_refused_in_inches(
    measured: Body, style: Style, alter: tuple[AlterationEntry, ...]
) -> None:
    spec = Spec(body=measured, fabric=Fabric(), style=style, alter=alter)
    said = {}
    for units in ("cm", "in"):
        with pytest.raises(OutseamError) as refused:
            draft_pattern(replace(spec, units=units))
        said[units] = str(refused.value)
    assert re.search(r"\d cm", said["cm"])
    assert '"' in said["in"]
    assert " cm" not in said["in"]
    assert "\u2063" not in said["cm"] + said["in"]


def test_a_contradiction_is_told_in_inches() -> None:
    body = Body(build="women", height=1680.0, waist=760.0, hip=1000.0, inside_leg=780.0,
                thigh=1000.0)  # fmt: skip
    spec = Spec(body=body, fabric=Fabric(), style=Style(), units="in")
    with pytest.raises(UnsolvableError, match=r'misses by [0-9 /]+"; .* [0-9 /]+" smaller'):
        draft_pattern(spec)
