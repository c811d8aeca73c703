"""The spec file: what a good one gives, and one clear sentence for every bad one."""

from __future__ import annotations

import dataclasses
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import outseam.draft
from outseam.cli.measure.sheet import HOW_TO
from outseam.draft.body.estimate import complete
from outseam.draft.body.table import Body
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import UNITS
from outseam.draft.inputs.tables import table_of
from outseam.draft.inputs.value_kinds import (
    Choice,
    ChoiceOrLength,
    Choices,
    ChoicesOrLengths,
    Flag,
    Length,
    Number,
    Ratio,
    Text,
)
from outseam.draft.spec.spec import Spec, build_spec, load_spec, parse_spec, spec_tables
from outseam.draft.spec.starter import starter_text

DEMO = Path(outseam.draft.__file__).parent / "data" / "demo.toml"
BODY = "[body]\nheight = 168\nwaist = 80\nhip = 104\ninside_leg = 77\n"
ALL_FIELDS = [
    pytest.param(table, field, id=f"{table}.{field.key}")
    for table, cls in spec_tables().items()
    for field in table_of(cls)
]


def refusal(text: str) -> str:
    with pytest.raises(InputError) as caught:
        parse_spec(text, "pants.toml")
    message = str(caught.value)
    assert "\n" not in message
    assert len(message) < 500
    return message


def test_a_short_spec_and_its_defaults() -> None:
    spec = parse_spec(BODY)
    assert spec.title == ""
    assert spec.units == "cm"
    assert (spec.body.height, spec.body.waist) == (1680, 800)
    assert spec.body.thigh is None
    assert (spec.style.fit, spec.style.leg) == ("easy", "straight")
    assert spec.style.seam_allowance == 10.0
    assert spec.style.elastic_width == 50.0
    assert spec.print.papers == ("a4", "letter", "a0")
    assert spec.fabric.kind == "knit"


def test_units_of_the_file_and_of_single_values() -> None:
    spec = parse_spec(
        'units = "in"\n[body]\nheight = "5 ft 6 in"\nwaist = 32.5\nhip = "38 1/2"\n'
        'inside_leg = "77 cm"\n[style]\nrise = "-5 cm"\nflare_from = 18\n'
        '[print]\noverlap = "8 mm"\n'
    )
    assert spec.body.height == pytest.approx(1676.4)
    assert spec.body.waist == pytest.approx(825.5)
    assert spec.body.hip == pytest.approx(977.9)
    assert spec.body.inside_leg == pytest.approx(770)
    assert spec.style.rise == pytest.approx(-50)
    assert spec.style.flare_from == pytest.approx(457.2)
    assert spec.print.overlap == pytest.approx(8)


def test_inches_may_be_spelled_out_as_units() -> None:
    body = "[body]\nheight = 66\nwaist = 32\nhip = 41\ninside_leg = 30\n"
    assert parse_spec('units = "inches"\n' + body).units == "in"


def test_words_are_read_without_regard_to_capitals_and_hyphens() -> None:
    spec = parse_spec(
        BODY
        + '[style]\nleg = "Boot-cut"\nlength = "seven eighths"\n[print]\npapers = ["A0", "a4"]\n'
    )
    assert spec.style.leg == "bootcut"
    assert spec.style.length == "seven-eighths"
    assert spec.print.papers == ("a0", "a4")
    rolls = parse_spec(BODY + '[print]\npapers = ["A1", "36 in", 106.7, "914.4 mm"]\n').print.papers
    assert rolls == ("a1", 914.4, 1067.0)


def test_the_spec_is_frozen() -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        parse_spec(BODY).body.hip = 1.0  # type: ignore[misc]


# --- Slips ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("units", "line", "says"),
    [
        ("cm", "hip = 38", '38 would be right in inches: write "38 in"'),
        ("cm", "hip = 9.7", "9.7 cm; allowed: 60 cm to 220 cm; a slipped decimal point? 97 cm"),
        ("cm", "hip = 975", '975 would be right in millimetres: write "975 mm"'),
        ("cm", "hip = 1.04", '1.04 would be right in metres: write "1.04 m"'),
        ("cm", "height = 5.5", '5.5 would be right in feet: write "5.5 ft"'),
        ("cm", 'hip = "9.7 cm"', "97 cm would be right"),
        ("cm", 'hip = "104 in"', '104 would be right in centimetres: write "104 cm"'),
        ("in", "hip = 104", 'allowed: 23 5/8" to 86 1/2"; 104 would be right in centimetres'),
        ("mm", "hip = 104", '104 would be right in centimetres: write "104 cm"'),
        ("cm", "hip = 0", "0 cm; allowed: 60 cm to 220 cm"),
        ("cm", "hip = -97", "take the minus sign away"),
        ("cm", "hip = 5000", "measure again"),
        ("cm", "hip = nan", "a finite number"),
        ("cm", "hip = inf", "a finite number"),
        ("cm", 'hip = ""', "not given"),
        ("cm", 'hip = "38 kg"', "a unit of mass"),
        ("cm", 'hip = "38 cn"', 'no unit "cn"'),
        ("cm", "hip = [97]", "a list"),
        ("cm", "hip = {cm = 97}", "a table"),
        ("cm", "hip = true", "a yes/no answer"),
        ("cm", "hip = 1987-05-01", "a date"),
    ],
)
def test_a_length_that_cannot_be(units: str, line: str, says: str) -> None:
    message = refusal(f'units = "{units}"\n[body]\n{line}\n')
    assert message.startswith("body.")
    assert says in message


def test_a_whole_file_in_the_wrong_unit_is_told_so() -> None:
    assert 'units = "in" at the top' in refusal("[body]\nhip = 38\n")
    assert "at the top" not in refusal('[body]\nhip = "38 cm"\n')


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        ("[fabric]\nstretch_across = 50", 'did you mean 50 %? Then write "50 %"'),
        ('[fabric]\nshrink_along = "50 %"', "allowed: -10 % to 30 %"),
        ('[fabric]\nkind = "nit"', 'did you mean "knit"?'),
        ('[fabric]\none_way = "no"', "true or false"),
        ("[fabric]\none_way = 1", "true or false"),
        ('[fabric]\nweight = "300"', "a number, 20 to 1500 g/m2"),
        ("[fabric]\nweight = nan", "20 to 1500"),
        ("[fabric]\nname = 3", "a text in quotes"),
        ('[style]\nrise = "hi"', 'did you mean "high"?'),
        ("[style]\nrise = -30", "a distance from the waist tape of -20 cm to 12 cm"),
        ("[style]\nhem_width = 10", "all round, not flat"),
        ('[style]\nleg = ["straight"]', "a list"),
        ('[print]\npapers = "a5"', '"a4", "letter", "a0", "a1", or the width of a roll (30 cm'),
        ('[print]\npapers = ["a4", "3 cm"]', "3 cm"),
        ('[print]\nfiles = ["pdf"]', '"dxf", "dxf-lines" or "projector"'),
        ("[print]\npapers = []", "an empty list"),
        ("[print]\ncalibrate_across = 0.9", "set to fit the page"),
        (
            "[print]\ncalibrate_across = 98",
            "the true side of the square divided by what it measures",
        ),
        ("[print]\noverlap = 5", "0 cm to 2 cm"),
    ],
)
def test_other_values_that_cannot_be(lines: str, says: str) -> None:
    assert says in refusal(BODY + lines + "\n")


# --- Keys ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[body]\nhipp = 97", 'body.hipp: [body] has no such key; did you mean "hip"?'),
        ("[body]\nseat = 97", 'here it is called "hip"'),
        ("[body]\ninseam = 77", 'here it is called "inside_leg"'),
        ("[body]\nhem_width = 44", "it belongs to [style]"),
        ("[body]\nqzxv = 1", "known here: build, name, height"),
        ("hip = 97", "it belongs to [body]"),
        ('titel = "x"', 'did you mean "title"?'),
        ("[bodi]\nhip = 97", "did you mean [body]?"),
        ("[qzxv]\nhip = 97", "tables: body, fabric, style, print"),
        (BODY + 'units = "in"', "it belongs to the top of the file"),
        ("body = 5", "body: 5; allowed: a table"),
        ("[[body]]\nhip = 97", "a list; allowed: a table"),
        ('"" = 1', "has no such key"),
        ("[body]\nhip = 104\nheight = 168", "body.waist: not given; allowed: 45 cm to 220 cm"),
        ("[body]\nhip = 104", "Also needed: waist and inside_leg"),
        ("", "body.height: not given"),
        ('units = "m"', 'units: the text "m"; allowed: "cm", "mm" or "in"'),
        ("units = 3", "units: 3; allowed"),
    ],
)
def test_keys_that_are_unknown_missing_or_out_of_place(text: str, says: str) -> None:
    assert says in refusal(text)


@pytest.mark.parametrize(("table", "field"), ALL_FIELDS)
def test_every_key_refuses_nonsense_by_name(table: str, field: Any) -> None:
    nonsense = ["[[]]", "{a = 1}", "2020-01-01", "nan", "-1e300"]
    if not isinstance(field.kind, Text):
        nonsense.append('"\\u0000"')
    for value in nonsense:
        others = BODY if table != "body" else ""
        message = refusal(f"[{table}]\n{field.key} = {value}\n{others}")
        assert message.startswith(f"{table}.{field.key}: ")


@pytest.mark.parametrize(("table", "field"), ALL_FIELDS)
def test_every_key_takes_its_limits_and_nothing_beyond(table: str, field: Any) -> None:
    kind = field.kind
    if not isinstance(kind, Length | ChoiceOrLength | ChoicesOrLengths | Ratio | Number):
        assert isinstance(kind, Text | Flag | Choice | Choices)
        return
    # Half a step of a ratio or number, half a millimetre of a length.
    step = 0.5 if isinstance(kind, Length | ChoiceOrLength | ChoicesOrLengths) else 1e-3
    where = f"{table}.{field.key}"

    def written(value: float) -> object:
        return f"{100 * value:.10g} %" if isinstance(kind, Ratio) else value

    for edge in (kind.low, kind.high):
        read = kind.read(written(edge), where, "mm")
        assert (read[0] if isinstance(read, tuple) else read) == pytest.approx(edge)
    for beyond in (kind.low - step, kind.high + step):
        with pytest.raises(InputError, match=re.escape(where)):
            kind.read(written(beyond), where, "mm")


@pytest.mark.parametrize(("table", "field"), ALL_FIELDS)
def test_defaults_and_examples_pass_their_own_limits(table: str, field: Any) -> None:
    for value in (field.default, field.kind.example):
        if field.required and value is field.default:
            continue
        if value is not None and not isinstance(field.kind, Ratio | Choices):
            assert field.kind.read(value, field.key, "mm") == value
    assert field.kind.help.strip()
    assert field.kind.help[0] == field.kind.help[0].lower() or table == ""


# --- Text ----------------------------------------------------------------------------------------


def test_control_characters_go_and_markup_stays() -> None:
    spec = parse_spec('title = "A\\u0000<b>&\\tB\\u202E\\u0007\\n C\\u001b[31m"\n' + BODY)
    assert spec.title == "A<b>& B C[31m"


@given(st.text(max_size=60))
def test_any_name_comes_out_as_one_printable_line(name: str) -> None:
    escaped = "".join(f"\\U{ord(char):08X}" for char in name if not "\ud800" <= char <= "\udfff")
    found = parse_spec(BODY + f'name = "{escaped}"\n').body.name
    assert not re.search(r"[\x00-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\ufffe\uffff]", found)
    assert found == found.strip()


def test_long_texts_are_refused_in_few_words() -> None:
    assert 'text of 121 characters, "xxx' in refusal(f'title = "{"x" * 121}"\n' + BODY)
    assert "at most 120" in refusal(f'title = "{"x" * 900_000}"\n' + BODY)
    assert parse_spec(f'title = "{"x" * 120}"\n' + BODY).title == "x" * 120
    assert "larger than 1 MB" in refusal(f'title = "{"x" * 1_100_000}"\n' + BODY)


# --- The file ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("hip = 38 1/2", "pants.toml: line 1, column 10: more than a number: hip = 38 1/2; put a"),
        ("\n\nhip = 97 cm", "line 3, column 10: more than a number"),
        ("hip = 97,5", "a number with a comma"),
        ('hip = "38 1/2""', "an inch mark ends the text too early"),
        ("leg = straight", 'a word without quotes: leg = straight; put it in quotes: "straight"'),
        ('title = "abc', "a text that does not end"),
        ("title = 'abc", "a text that does not end"),
        ('title = "a\nb"', "a text that does not end"),
        ("[body", "a heading that does not end"),
        ("papers = ['a4'", "a list that does not end"),
        ("hip 97", "no line of the form key = value"),
        ("= 97", "no line of the form key = value"),
        ("hip = ", "cannot be read"),
        ("[body]\nhip = 97\nhip = 98", "line 3: this key is given twice: hip = 98"),
        ("[body]\n[style]\n[body]\n", "line 3, column 6: this table is given twice"),
        ("x = " + "[" * 50_000, "nested too deeply"),
        ("x = " + "9" * 5000, "thousands of digits"),
        ("a\x00 = 1", "line 1, column 2"),
    ],
)
def test_broken_toml_is_placed_and_explained(text: str, says: str) -> None:
    message = refusal(text)
    assert message.startswith("pants.toml: ")
    assert says in message


def file_refusal(path: str | Path) -> str:
    with pytest.raises(InputError) as caught:
        load_spec(path)
    assert "\n" not in str(caught.value)
    return str(caught.value)


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    assert "there is no such file" in file_refusal(tmp_path / "none.toml")
    assert "this is a folder" in file_refusal(tmp_path)
    assert "cannot be read" in file_refusal("a\x00b.toml")
    assert "cannot be read" in file_refusal(tmp_path / ("x" * 300))
    (tmp_path / "latin.toml").write_bytes(b'title = "x"\nname = "Ren\xe9e"\n')
    assert "line 2 is not plain UTF-8" in file_refusal(tmp_path / "latin.toml")
    (tmp_path / "wide.toml").write_bytes('title = "x"'.encode("utf-16"))
    assert "not plain UTF-8" in file_refusal(tmp_path / "wide.toml")
    (tmp_path / "large.toml").write_bytes(b"#" * 1_000_001)
    assert "larger than 1 MB" in file_refusal(tmp_path / "large.toml")


def test_permission_error_is_one_sentence(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    path = tmp_path / "locked.toml"
    path.write_text(BODY)
    monkeypatch.setattr(Path, "open", refuse)
    assert "may not be read" in file_refusal(path)


def test_byte_order_mark_and_windows_line_ends_are_no_matter(tmp_path: Path) -> None:
    path = tmp_path / "notepad.toml"
    path.write_bytes(b"\xef\xbb\xbf" + BODY.replace("\n", "\r\n").encode())
    assert load_spec(path).body.hip == 1040


@pytest.mark.parametrize("units", UNITS)
def test_a_file_has_one_system_in_all_that_it_leaves_out(units: Any) -> None:
    """Whole centimetres in a file in cm or mm, eighths of an inch in one in inches."""
    body = {"height": "168 cm", "waist": "80 cm", "hip": "104 cm", "inside_leg": "77 cm"}
    spec = build_spec({"units": units, "body": body})
    found = (
        spec.style.seam_allowance,
        spec.style.hem_allowance,
        spec.style.elastic_width,
        spec.fabric.gap,
        spec.print.overlap,
    )
    if units == "in":
        assert found == pytest.approx([25.4 * x for x in (3 / 8, 1, 2, 1 / 4, 3 / 8)])
    else:
        assert found == (10.0, 25.0, 50.0, 5.0, 10.0)
    # What a file gives in the other system stays what it is.
    style = {"seam_allowance": "3/8 in", "hem_allowance": "4 cm"}
    given = build_spec({"units": units, "body": body, "style": style}).style
    assert (given.seam_allowance, given.hem_allowance) == (pytest.approx(9.525), 40.0)


@pytest.mark.parametrize(
    ("lines", "paper"),
    [
        ("", "a4"),
        ('papers = ["letter"]', "letter"),
        ('papers = ["a0"]', "a4"),
        ('papers = ["letter", "a4"]', "a4"),
    ],
)
def test_the_papers_of_the_pattern_are_those_of_every_sheet(lines: str, paper: str) -> None:
    assert parse_spec(f"{BODY}[print]\n{lines}\n").home_paper == paper


# --- Demo and starter ----------------------------------------------------------------------------


def test_the_demo_is_a_body_measured_in_full_that_agrees_with_itself() -> None:
    spec = load_spec(DEMO)
    measures = complete(spec.body)
    assert measures.estimates == ()
    assert measures.notes == ()
    assert measures.split_given
    assert spec.fabric.assumed == ()
    assert spec.body.knee == pytest.approx(381)  # 15 in, in a file in cm


def filled_in(text: str, units: Any) -> str:
    """The starter with the examples of the tables written between its empty marks."""

    def example(found: re.Match[str]) -> str:
        field = next(f for f in table_of(Body) if f.key == found[1])
        mm = field.kind.example
        assert isinstance(mm, int | float)
        if units == "in":
            mm = round(mm / 25.4 * 8) * 25.4 / 8
        return f"{found[1]} = {field.kind.write(mm, units)}"

    return re.sub(r'(?m)^(\w+) = ""', example, text)


@pytest.mark.parametrize("every", [False, True])
def test_the_starter_asks_and_is_nobody(every: bool) -> None:
    text = starter_text(every=every)
    body = tomllib.loads(text)["body"]
    assert body
    assert set(body.values()) == {""}
    with pytest.raises(InputError, match="waist, hip and inside_leg"):
        parse_spec(text)
    some = text.replace('\nheight = ""', "\nheight = 168").replace('\nhip = ""', '\nhip = "104"')
    with pytest.raises(InputError, match="waist: not given"):
        parse_spec(some)


def test_the_starter_is_in_the_order_of_the_measuring_sheet() -> None:
    body = tomllib.loads(starter_text())["body"]
    assert list(body) == [how.key for how in HOW_TO]


def test_the_starter_is_short_and_names_the_command_for_all() -> None:
    assert len(starter_text().splitlines()) < 80
    assert "--all" in starter_text()
    assert len(starter_text(every=True).splitlines()) > 200


def test_a_sample_is_refused_as_still_the_samples() -> None:
    text = starter_text().replace('hip = ""', 'hip = "e.g. 104"')
    with pytest.raises(InputError, match="still the sample's"):
        parse_spec(text)


def test_the_rise_says_what_its_words_are() -> None:
    for text in (starter_text(), starter_text(every=True)):
        plain = " ".join(text.replace("#", " ").split())
        assert "high, the top edge at your waist string" in plain
        assert "mid, 5 cm below it" in plain


@pytest.mark.parametrize("units", UNITS)
def test_the_starter_filled_in_reads_back_as_it_says(units: Any) -> None:
    spec = parse_spec(filled_in(starter_text(units), units))
    plain = parse_spec(filled_in(starter_text("mm"), "mm"))
    body = {k: f"{getattr(plain.body, k)} mm" for k in ("height", "waist", "hip", "inside_leg")}
    usual = build_spec({"units": units, "body": body})
    assert spec.units == units
    assert spec.title == plain.title
    assert (spec.fabric, spec.style, spec.print) == (usual.fabric, usual.style, usual.print)
    tolerance = 25.4 / 16 if units == "in" else 1e-6
    for key in ("height", "waist", "hip", "inside_leg"):
        assert getattr(spec.body, key) == pytest.approx(getattr(plain.body, key), abs=tolerance)


@pytest.mark.parametrize("units", UNITS)
def test_every_line_of_the_starter_may_be_switched_on(units: Any) -> None:
    whole = filled_in(starter_text(units, every=True), units)
    text = re.sub(r"(?m)^#(?=\w+ = |\[\[)", "", whole)
    spec = parse_spec(text)
    measures = complete(spec.body)
    assert measures.notes == ()  # the invented numbers go together
    assert measures.estimates == ()
    assert [a.what for a in spec.alter] == ["full seat"]
    for table, cls in spec_tables().items():
        for field in table_of(cls):
            assert f"\n{field.key} = " in text
            value = getattr(getattr(spec, table), field.key)
            assert value is not None
            if field.usual(units) not in (None, "", ()) and not field.required:
                assert value == pytest.approx(field.usual(units))


@pytest.mark.parametrize("units", UNITS)
def test_the_starter_keeps_its_lines_short_and_numbers_by_their_units(units: Any) -> None:
    lines = (starter_text(units) + starter_text(units, every=True)).splitlines()
    assert max(map(len, lines)) <= 100
    assert not [line for line in lines if re.match(r"# (cm|mm|%|in)\b", line)]


def test_every_table_of_the_file_is_an_attribute_of_the_spec() -> None:
    assert list(spec_tables()) == ["body", "fabric", "style", "print"]
    assert [field.key for field in table_of(Spec)] == ["title", "units", "machines"]


@given(mm=st.floats(-200, 2200), units=st.sampled_from(UNITS))
def test_a_length_is_written_so_that_it_reads_back(mm: float, units: Any) -> None:
    kind = Length(low=-300, high=3000, help="x")
    text = kind.write(mm, units)
    value: object = text[1:-1] if text.startswith('"') else float(text)
    assert kind.read(value, "x", units) == pytest.approx(mm, abs=0.01)
