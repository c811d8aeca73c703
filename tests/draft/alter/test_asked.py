"""`[[alter]]` in a spec: what is read, and one sentence for everything that cannot be used."""

from __future__ import annotations

import pytest

from outseam.draft.alter import ALTERATION_NAMES, AlterationEntry, change_of
from outseam.draft.alter.signs import SIGN_KEYS, SIGNS, sign_named
from outseam.draft.inputs.errors import InputError
from outseam.draft.spec.spec import parse_spec

HEAD = "[body]\nheight = 168\nwaist = 76\nhip = 100\ninside_leg = 77\n"


def spec(alter: str, head: str = "") -> tuple[AlterationEntry, ...]:
    return parse_spec(f"{head}{HEAD}{alter}").alter


def test_a_spec_without_alterations_has_none() -> None:
    assert spec("") == ()
    assert spec("[[alter]]\nwhat = 'full seat'\namount = 0") != ()
    assert change_of(spec("[[alter]]\nwhat = 'full seat'\namount = 0")) == change_of(())


def test_entries_are_read_in_order_and_in_the_units_of_the_file() -> None:
    text = (
        '[[alter]]\nwhat = "Full Seat"\namount = "3/8 in"\ndate = 2031-05-28\n'
        '[style]\nleg = "slim"\n'
        "[[alter]]\nwhat = 'knock-knees'\namount = 1.5\nseen = 'folds'\ndate = '2031-06-01'\n"
    )
    seat, knees = spec(text)
    assert (seat.what, seat.amount, seat.date) == ("full seat", pytest.approx(9.525), "2031-05-28")
    assert (knees.what, knees.amount, knees.seen) == ("knock knees", 15.0, "folds")
    assert knees.date == "2031-06-01"
    (inch,) = parse_spec(
        'units = "in"\n[body]\nheight = 66\nwaist = 30\nhip = 40\ninside_leg = 30\n'
        "[[alter]]\nwhat = 'full seat'\namount = 0.5\n"
    ).alter
    assert inch.amount == 12.7


@pytest.mark.parametrize(
    ("alter", "says"),
    [
        ("[alter]\nwhat = 'full seat'\namount = 1", "two brackets"),
        ("[[alter]]\nwhat = 'ful seat'\namount = 1", 'did you mean "full seat"'),
        ("[[alter]]\nwhat = 'full seat'", "amount: not given"),
        ("[[alter]]\namount = 1", "what: not given"),
        ("[[alter]]\nwhat = 'full seat'\namount = -1", "take the minus sign away"),
        ("[[alter]]\nwhat = 'full seat'\namount = 4", "full seat by 4 cm; allowed: up to 2.5 cm"),
        ("[[alter]]\nwhat = 'full seat'\namount = 1\nby = 2", 'called "amount"'),
        ("[[alter]]\nwhat = 'full seat'\namount = 1\ndate = 'May'", "year first"),
        ("[[alter]]\nwhat = 'full seat'\namount = 1\ndate = 3", "year first"),
        ("[[alters]]\nwhat = 'full seat'\namount = 1", r"did you mean \[\[alter\]\]"),
        ("[[alter]]\nwhat = 'full seat'\namount = nan", "alter 1.amount"),
    ],
)
def test_what_cannot_be_used_is_one_sentence(alter: str, says: str) -> None:
    with pytest.raises(InputError, match=says) as refused:
        spec(alter)
    assert "\n" not in str(refused.value)


def test_the_number_of_the_entry_is_named() -> None:
    with pytest.raises(InputError, match=r"alter 2\.what"):
        spec("[[alter]]\nwhat='full seat'\namount=1\n[[alter]]\nwhat='x'\namount=1\n")


def test_entries_of_one_alteration_may_not_come_to_too_much() -> None:
    two = "[[alter]]\nwhat = 'full seat'\namount = 1.4\n" * 2
    with pytest.raises(InputError, match=r"2\.8 cm in all"):
        spec(two)


def test_pairs_that_undo_each_other_are_refused() -> None:
    text = (
        "[[alter]]\nwhat = 'full seat'\namount = 1.5\n[[alter]]\nwhat = 'flat seat'\namount = 0.5\n"
    )
    with pytest.raises(InputError, match='keep only "full seat", amount 1 cm'):
        spec(text)
    even = text.replace("1.5", "0.5")
    with pytest.raises(InputError, match="take both out"):
        spec(even)
    nothing = text.replace("0.5", "0")
    assert len(spec(nothing)) == 2


def test_too_many_entries_are_refused() -> None:
    with pytest.raises(InputError, match="201 alterations"):
        spec("[[alter]]\nwhat = 'full seat'\namount = 0\n" * 201)


def test_not_a_list_is_refused() -> None:
    with pytest.raises(InputError, match="alter"):
        spec("", "alter = 3\n")


def test_every_alteration_is_told_by_a_sign_and_every_sign_can_be_entered() -> None:
    assert {s.alteration for s in SIGNS if s.alteration} == set(ALTERATION_NAMES)
    assert len(set(SIGN_KEYS)) == len(SIGNS)
    for s in SIGNS:
        assert sign_named(s.key) is s
        if s.alters is None:
            assert s.start_mm == 0.0
            assert "measure" in s.change
        else:
            assert 0.0 < s.start_mm <= s.alters.most_mm
    with pytest.raises(KeyError):
        sign_named("nothing")
