"""The tape check: slips are caught and named, unusual bodies are left alone."""

from __future__ import annotations

import pytest

from outseam.draft.body.estimate import Body
from outseam.draft.body.slips import suspect_odds, weigh
from outseam.draft.body.tape_check import gap_of, gap_words, sentence, suspects

GOOD = {
    "height": 1680.0,
    "waist": 806.0,
    "hip": 1040.0,
    "inside_leg": 770.0,
    "thigh": 615.0,
    "calf": 378.0,
    "waist_height": 1038.0,
    "knee_height": 452.0,
    "crotch_length": 706.0,
    "waist_above_navel": 35.0,
}


def body(**changed: float) -> Body:
    return Body(**(GOOD | changed))  # type: ignore[arg-type]


def test_a_plain_body_is_not_questioned() -> None:
    assert suspects(body()) == ()
    assert weigh(body()).odds < suspect_odds(body()) - 1.0


@pytest.mark.parametrize(
    ("key", "given", "slip", "right"),
    [
        ("hip", 1400.0, "digits", 1040.0),
        ("calf", 378.0 * 2.54, "centimetres", 378.0),
        ("thigh", 615.0 + 217.0, None, None),
        ("thigh", 715.0, "ten", 615.0),
        ("knee_height", 552.0, "ten", 452.0),
        ("waist_height", 1088.0, "level", 1038.0),
    ],
)
def test_a_slip_is_caught_and_named(
    key: str, given: float, slip: str | None, right: float | None
) -> None:
    (found, *_) = suspects(body(**{key: given}))
    assert found.key == key
    assert found.odds > suspect_odds(body())
    if slip is None:
        assert found.slip is None or abs(found.slip.right[0][1] - GOOD[key]) > 1
        return
    assert found.slip is not None
    assert slip in found.slip.names
    # How far a tape lay too high is known to a centimetre or so, the other values exactly.
    assert found.slip.right[0][1] == pytest.approx(right, abs=21.0 if slip == "level" else 1.0)


def test_two_slips_are_found_one_after_the_other() -> None:
    found = suspects(body(hip=1400.0, calf=478.0))
    assert {s.key for s in found} == {"hip", "calf"}
    assert all(s.slip is not None for s in found)


def test_halves_that_do_not_add_up_are_a_suspect() -> None:
    halves = {"front_crotch_length": 318.0, "back_crotch_length": 388.0}
    assert suspects(body(**halves)) == ()
    (found,) = suspects(body(**(halves | {"front_crotch_length": 418.0})))
    assert found.key == "front_crotch_length"
    assert found.expected_mm == pytest.approx(318.0, abs=15.0)
    assert "31.8 cm would fit" in sentence(found, "cm")


def test_a_tape_too_high_for_several_measurements_is_one_slip() -> None:
    """Heights from a string too high, crotch length from another: rise and crotch disagree."""
    (found,) = suspects(body(waist_height=1098.0, waist_to_hip=262.0))
    assert found.slip is not None
    assert found.slip.names == ("level",)
    assert {key for key, _ in found.given} == {"waist_height", "waist_to_hip"}
    says = sentence(found, "cm")
    assert "waist height 109.8 cm and waist to hip 26.2 cm do not go with" in says
    assert "6 cm higher at the waist than for the rest" in says
    assert "waist height 103.8 cm and waist to hip 20.2 cm" in says


def test_a_tape_too_high_for_everything_is_only_a_higher_waist() -> None:
    assert suspects(body(waist_height=1088.0, crotch_length=806.0, waist_above_navel=85.0)) == ()


def test_the_sentence_speaks_the_files_units() -> None:
    (found,) = suspects(body(hip=1400.0))
    assert "104 cm would fit" in sentence(found, "cm")
    assert '"' in sentence(found, "in")
    assert "measure it again" in sentence(found, "cm")


def test_few_measurements_are_not_trusted_to_show_a_slip() -> None:
    few = Body(height=1680, waist=806, hip=1040, inside_leg=770)
    assert suspects(few) == ()
    gap = gap_of(few)
    assert gap is not None
    assert gap.unseen == (("hip", 100.0), ("inside_leg", 50.0))
    assert gap.telling == ("thigh", "knee_height")
    says = gap_words(gap, "cm")
    assert "hip 10 cm off or inside leg 5 cm off" in says
    assert "measure thigh and knee height too" in says
    assert '4" off or' in gap_words(gap, "in")
    # What would hardly show is seen once that is measured.
    wrong = Body(
        height=1680, waist=806, hip=940, inside_leg=770, thigh=615, calf=378, knee_height=452
    )
    assert gap_of(wrong) is None
    (found,) = suspects(wrong)
    assert found.key == "hip"


def test_a_crotch_length_asks_for_its_halves() -> None:
    gap = gap_of(body())
    assert gap is not None
    assert gap.telling == ("front_crotch_length", "back_crotch_length")
    assert gap_of(body(front_crotch_length=318.0, back_crotch_length=388.0)) is None
    one = gap_of(body(back_crotch_length=388.0))
    assert one is not None
    assert one.telling == ("front_crotch_length",)


def test_waist_and_hip_in_each_others_place_are_found() -> None:
    (found,) = suspects(body(waist=1040.0, hip=806.0))
    assert found.slip is not None
    assert found.slip.names == ("swap",)
    says = sentence(found, "cm")
    assert "if waist and hip were swapped, these would fit" in says
    assert "waist 80.6 cm and hip 104 cm" in says
