"""One key of a file set or taken out, with all else as it was; and what is typed into fields."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from outseam.cli.page.key_text import with_key
from outseam.cli.page.typed import field_text, length_value, value_of
from outseam.draft.body.table import Body
from outseam.draft.fabric import Fabric
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.tables import table_of
from outseam.draft.spec.starter import starter_text
from outseam.draft.style import Style
from page.conftest import ANA


def changed_lines(before: str, after: str) -> tuple[set[str], set[str]]:
    old, new = before.splitlines(), after.splitlines()
    return set(old) - set(new), set(new) - set(old)


def test_a_key_that_is_there_keeps_its_place_and_its_comment() -> None:
    gone, come = changed_lines(ANA, with_key(ANA, "body", "height", 163.5))
    assert gone == {"height = 162   # against the door"}
    assert come == {"height = 163.5   # against the door"}


def test_a_new_key_takes_the_place_of_its_commented_line() -> None:
    made = with_key(ANA, "body", "thigh", 65)
    assert changed_lines(ANA, made) == ({"#thigh = 66"}, {"thigh = 65"})
    assert changed_lines(made, with_key(made, "body", "thigh", None)) == (
        {"thigh = 65"},
        {"#thigh = 65"},
    )


def test_a_new_key_stands_in_its_table_and_not_below_the_next_comment() -> None:
    made = with_key(ANA, "body", "knee", "15 in")
    assert made.index("knee") < made.index("# leaves on a light ground")
    assert with_key(made, "print", "overlap", 0).endswith("[print]\noverlap = 0\n")
    assert with_key("", "", "title", "A").startswith('title = "A"')


@pytest.mark.parametrize("ending", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_line_breaks_and_the_mark_of_some_editors_stay(ending: str, mark: str) -> None:
    text = mark + ANA.replace("\n", ending)
    made = with_key(text, "fabric", "width", 140)
    assert made == text.replace("width = 150", "width = 140")
    assert with_key(made, "fabric", "width", 150) == text


@pytest.mark.parametrize("units", ["cm", "in"])
def test_every_key_of_the_starter_file_can_be_set_and_left_out(units: Any) -> None:
    text = starter_text(units, every=True)
    for table, cls in (("body", Body), ("fabric", Fabric), ("style", Style)):
        for field in table_of(cls):
            if field.kind.example is None:
                continue
            raw = tomllib.loads(f"x = {field.kind.write(field.kind.example, units)}")["x"]
            made = with_key(text, table, field.key, raw)
            assert tomllib.loads(made)[table][field.key] == raw
            comments = [x for x in text.splitlines() if x.startswith("# ")]
            assert [x for x in made.splitlines() if x.startswith("# ")] == comments
            assert field.key not in tomllib.loads(with_key(made, table, field.key, None))[table]


def test_an_unusual_form_is_left_alone() -> None:
    text = '[body]\nknee = """\n38"""\n'
    assert tomllib.loads(with_key(text, "body", "knee", 38)) == {"body": {"knee": 38}}
    with pytest.raises(InputError, match="text editor"):
        with_key('body = "ana.toml"\n', "body", "knee", 38)


LENGTH = {f.key: f.kind for f in table_of(Body)}["waist"]
HEIGHT = {f.key: f.kind for f in table_of(Body)}["height"]
RISE = {f.key: f.kind for f in table_of(Style)}["rise"]
STRETCH = {f.key: f.kind for f in table_of(Fabric)}["stretch_across"]


@pytest.mark.parametrize(
    ("typed", "shown", "units", "stands", "mm"),
    [
        ("83", "cm", "cm", 83, 830.0),
        ("83,5", "cm", "cm", 83.5, 835.0),
        ("32 3/4", "in", "in", "32 3/4", 831.85),
        ("32 3/4", "cm", "cm", "32 3/4 in", 831.85),
        ("32¾", "in", "cm", "32¾ in", 831.85),
        ("32", "in", "cm", "32 in", 812.8),
        ("83,5", "cm", "in", "83.5 cm", 835.0),
        ('32 3/4"', "cm", "cm", '32 3/4"', 831.85),
        ("830 mm", "in", "in", "830 mm", 830.0),
        (" ", "cm", "cm", None, None),
    ],
)
def test_what_is_typed_stands_in_the_file(
    typed: str, shown: Any, units: Any, stands: Any, mm: float | None
) -> None:
    value = value_of(LENGTH, typed, shown, units, "waist")
    assert value == stands
    if mm is not None:
        assert LENGTH.read(value, "waist", units) == pytest.approx(mm)


def test_feet_words_and_per_cent() -> None:
    assert HEIGHT.read(value_of(HEIGHT, "5 ft 6", "in", "in", "height"), "", "in") == 1676.4
    assert value_of(RISE, "High", "cm", "cm", "rise") == "high"
    assert RISE.read(value_of(RISE, "-5", "cm", "in", "rise"), "", "in") == -50.0
    assert STRETCH.read(value_of(STRETCH, "60", "cm", "cm", "stretch"), "", "cm") == 0.6
    assert field_text(STRETCH, "60 %", "cm", "cm") == "60"
    assert length_value(12.0, "cm", signed=True) == "+1.2 cm"


@pytest.mark.parametrize("typed", ["eighty", "830", "83 5", "1,234", "-83", "83 cm 2", "x" * 99])
def test_what_cannot_be_read_is_one_sentence(typed: str) -> None:
    with pytest.raises(InputError) as caught:
        value_of(LENGTH, typed, "cm", "cm", "waist")
    assert str(caught.value).startswith("waist: ")


@given(st.floats(460.0, 2190.0), st.sampled_from(["cm", "in"]), st.sampled_from(["cm", "in"]))
def test_a_field_shows_what_it_would_take(mm: float, shown: Any, units: Any) -> None:
    text = field_text(LENGTH, f"{mm:.3f} mm", shown, units)
    value = value_of(LENGTH, text, shown, units, "waist")
    assert LENGTH.read(value, "", units) == pytest.approx(mm, abs=0.6 if shown == "cm" else 1.7)
