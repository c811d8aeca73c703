"""Slips: which number is wrong and why, in any body a file can hold; and what is said of it."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from outseam.draft.body.entry import read_body
from outseam.draft.body.estimate import complete
from outseam.draft.body.slips import Guess, guess, slips_of, suspect_odds, weigh
from outseam.draft.body.table import Body
from outseam.draft.body.tape_model import tape_model
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import Units

GOOD: dict[str, Any] = {
    "height": 1680.0,
    "waist": 806.0,
    "hip": 1040.0,
    "inside_leg": 770.0,
    "thigh": 615.0,
    "calf": 378.0,
    "waist_height": 1038.0,
    "waist_to_hip": 202.0,
    "knee_height": 452.0,
    "crotch_length": 706.0,
    "front_crotch_length": 318.0,
    "back_crotch_length": 388.0,
    "waist_above_navel": 35.0,
}


def body(**changed: float | None) -> Body:
    return Body(**(GOOD | changed))


def guessed(wrong: Body, units: Units = "cm") -> Guess:
    found = guess(wrong, units)
    assert found is not None
    return found


def test_each_slip_is_undone_into_the_right_value() -> None:
    found = {(s.names[0], round(dict(s.right)["hip"])) for s in slips_of(body(), keys=("hip",))}
    # 014.0 begins with nought; 264 and 41 cm are nobody's hip.
    assert found == {
        *(("ten", 940), ("ten", 1140), ("five", 990), ("five", 1090), ("digits", 1400)),
        ("half", 2080),
    }
    inches = {
        (s.names[0], round(dict(s.right)["hip"], 1)) for s in slips_of(body(), "in", ("hip",))
    }
    assert ("ten", 1294.0) in inches  # ten inches, not ten centimetres


def test_no_slip_is_undone_into_what_no_adult_has() -> None:
    for slip in slips_of(body()):
        for key, mm in slip.right:
            assert mm > 0.3 * GOOD[key]
    assert not [s for s in slips_of(body()) if dict(s.right).get("height", 1700.0) > 2300.0]


@pytest.mark.parametrize("units", ["cm", "mm", "in"])
def test_digits_are_those_of_the_number_as_written(units: Units) -> None:
    wrong = {"cm": 875.0, "mm": 873.0, "in": 13.25 * 25.4}[units]
    key = "knee" if units == "in" else "calf"
    right = {"cm": 785.0, "mm": 837.0, "in": 31.25 * 25.4}[units]
    slips = slips_of(body(**{key: wrong}), units, (key,))
    assert any(s.names == ("digits",) and dict(s.right)[key] == pytest.approx(right) for s in slips)


@pytest.mark.parametrize(
    ("wrong", "name", "right"),
    [
        ({"hip": 1400.0}, "digits", {"hip": 1040.0}),
        ({"calf": 378.0 * 2.54}, "centimetres", {"calf": 378.0}),
        ({"hip": 1040.0 / 2.54}, "inches", {"hip": 1040.0}),
        ({"thigh": 715.0}, "ten", {"thigh": 615.0}),
        ({"knee_height": 552.0}, "ten", {"knee_height": 452.0}),
        ({"waist_height": 780.0}, None, {"waist_height": 1038.0}),
        ({"front_crotch_length": 418.0}, "ten", {"front_crotch_length": 318.0}),
        ({"front_crotch_length": 368.0}, "level", {"front_crotch_length": 318.0}),
        ({"waist_to_hip": 302.0}, "ten", {"waist_to_hip": 202.0}),
        # A rise is corrected as it was written, not as the height it stands for.
        ({"waist_height": None, "body_rise": 288.0 * 2.54}, "centimetres", {"body_rise": 288.0}),
        ({"waist_height": None, "outside_leg": 1148.0}, "ten", {"outside_leg": 1048.0}),
    ],
)
def test_the_wrong_number_is_found_and_the_slip_named(
    wrong: dict[str, float | None], name: str | None, right: dict[str, float]
) -> None:
    found = guessed(body(**wrong))
    ((key, mm),) = right.items()
    assert found.key == key
    assert abs(found.expected_mm - mm) < 2.5 * found.sd_mm
    if name is None:
        assert found.slip is None
        return
    assert found.slip is not None
    assert name in found.slip.names
    assert dict(found.slip.right)[key] == pytest.approx(mm, abs=11.0 if name == "level" else 1.0)


def test_slips_that_would_have_made_the_same_number_are_named_together() -> None:
    found = guessed(body(crotch_length=806.0, front_crotch_length=None, back_crotch_length=None))
    assert found.slip is not None
    assert set(found.slip.names) == {"ten", "level"}
    assert " or " in found.slip.says


def test_the_expected_value_is_the_conditional_one() -> None:
    """It must lie where the density is highest along that key, the others as they are."""
    wrong = body(thigh=800.0, crotch_length=None, waist_to_hip=None)
    found = guess(wrong, keys=("thigh",))
    assert found is not None
    model = tape_model("women", weigh(wrong).keys, 35.0)
    tries = np.linspace(450.0, 750.0, 3001)
    rows = np.tile(weigh(wrong).row, (len(tries), 1))
    rows[:, model.keys.index("thigh")] = tries
    # By ln of the thigh, which is what is bell-shaped, not by mm.
    density = model.log_density(rows) + np.log(tries)
    assert tries[density.argmax()] == pytest.approx(found.expected_mm, abs=0.2)


def odds(wrong: Body) -> float:
    return weigh(wrong).odds


def test_a_disagreement_counts() -> None:
    plain = suspect_odds(body())
    assert odds(body()) < plain - 1.0
    assert odds(body(front_crotch_length=318.0 + 45.0)) > plain
    assert odds(body(outside_leg=1048.0)) < plain - 1.0
    assert odds(body(outside_leg=1148.0)) > plain


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({"waist_height": 1038.0 / 1.3}, ["waist height is expected at about 10"]),
        ({"inside_leg": 1077.0, "height": 1500.0}, []),
        ({"knee_height": 752.0}, ["knee height is expected at about 4"]),
        ({"crotch_length": 706.0, "front_crotch_length": 318.0 * 2.54, "back_crotch_length": 388.0},
         ["front crotch length 80.8 cm: if it was read in centimetres, 31.8 cm would fit"]),
        ({"waist_to_hip": 410.0, "front_crotch_length": None, "back_crotch_length": None},
         ["waist to hip 41 cm: if it was read in centimetres, 16.1 cm would fit"]),
    ],
)  # fmt: skip
def test_a_body_that_cannot_be_is_refused_with_what_would_make_it_whole(
    wrong: dict[str, float | None], says: list[str]
) -> None:
    with pytest.raises(InputError) as caught:
        complete(body(**wrong))
    for words in says:
        assert words in str(caught.value)
    if not says:  # two numbers are off: nothing is guessed
        assert "would fit" not in str(caught.value)
        assert "expected" not in str(caught.value)


def test_the_refusal_speaks_the_units_of_the_file() -> None:
    with pytest.raises(InputError, match='if it was read in centimetres, 12 1/2" would fit'):
        complete(body(front_crotch_length=318.0 * 2.54), units="in")


def raw(**changed: float) -> dict[str, Any]:
    return {k: v / 10.0 for k, v in GOOD.items()} | changed


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({"hip": 41.0}, ["60 cm to 220 cm",
                         'right in inches: write "41 in" (104.1 cm), or units = "in"',
                         "The other measurements agree"]),
        ({"calf": 96.0}, ["if it was read in centimetres, 37.8 cm would fit"]),
        # 15.2 would be an ankle in inches too, but not this woman's.
        ({"knee_height": 15.2}, ["about 4"]),
        ({"height": 268.0}, ["let expect about 165"]),
        ({"thigh": 16.5}, ["if two digits were swapped, 61.5 cm would fit"]),
    ],
)  # fmt: skip
def test_a_length_that_nobody_has_is_judged_by_the_others(
    wrong: dict[str, float], says: list[str]
) -> None:
    with pytest.raises(InputError) as caught:
        read_body(raw(**wrong), "cm")
    for words in says:
        assert words in str(caught.value)


def test_with_more_than_one_wrong_nothing_is_guessed() -> None:
    with pytest.raises(InputError) as caught:
        read_body(raw(hip=41.0, waist=31.7), "cm")
    assert "would fit" not in str(caught.value)
    with pytest.raises(InputError, match="no such key"):
        read_body(raw(hipp=104.0), "cm")


def test_a_good_body_is_read_as_ever() -> None:
    assert read_body(raw(), "cm") == Body(**{k: pytest.approx(v) for k, v in GOOD.items()})
