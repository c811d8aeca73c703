"""CSVs as people have them: read right, or refused with row and column; nothing lost in silence."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from outseam.cli.batch.columns import column_of
from outseam.cli.batch.rows import Defaults, spec_of
from outseam.cli.batch.table import BodyTable, duplicate_words, open_table, survey
from outseam.draft.inputs.errors import InputError
from outseam.draft.spec.spec import load_style

PLAIN = "id,height,waist,hip,inside_leg\na,168,82.4,104,77.5\nb,160,70,92,72\n"
ROWS = [
    {"id": "a", "height": "168", "waist": "82.4", "hip": "104", "inside_leg": "77.5"},
    {"id": "b", "height": "160", "waist": "70", "hip": "92", "inside_leg": "72"},
]


def table(folder: Path, text: str | bytes) -> BodyTable:
    path = folder / "t.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return open_table(path)


def refused(folder: Path, text: str | bytes) -> str:
    with pytest.raises(InputError) as found:
        list(table(folder, text).rows())
    return str(found.value)


@pytest.mark.parametrize(
    "text",
    [
        PLAIN,
        PLAIN.replace(",", ";"),
        PLAIN.replace(",", "\t"),
        "sep=;\r\n" + PLAIN.replace(",", ";").replace("\n", "\r\n"),
        PLAIN.replace("\n", "\r"),
        b"\xef\xbb\xbf" + PLAIN.encode(),
        PLAIN.replace(",", "\t").encode("utf-16"),
        PLAIN.replace("inside_leg", "Inside leg ").replace("hip", "Hip"),
        PLAIN.replace("hip", "body.hip"),
        PLAIN.replace("\n", ",\n"),
        PLAIN + "\n,,,,\n",
        PLAIN.replace("82.4", ' "82.4"').replace(' "', '"').replace("a,", '"a",'),
    ],
)
def test_every_way_of_saving_reads_alike(text: str | bytes, tmp_path: Path) -> None:
    assert list(table(tmp_path, text).rows()) == ROWS


def test_header_in_any_order(tmp_path: Path) -> None:
    text = "hip;id;inside_leg;waist;height\n104;a;77.5;82.4;168\n92;b;72;70;160\n"
    assert list(table(tmp_path, text).rows()) == ROWS


@pytest.mark.parametrize(
    ("text", "units", "hip", "leg"),
    [
        ("height;waist;hip;inside_leg\n168;82,4;104,5;77,5\n", "cm", 1045.0, 775.0),
        ("height,waist,hip,inside_leg\n66,32 3/4,41 1/2,30.5\n", "in", 1054.1, 774.7),
        ('height,waist,hip,inside_leg\n5 ft 6 in,32 3/4",41 1/2 in,30.5"\n', "cm", 1054.1, 774.7),
        ("height,waist,hip,inside_leg,units\n66,32 3/4,41 1/2,30.5,in\n", "cm", 1054.1, 774.7),
        ('height,waist,hip,inside_leg\n168,"82,4","104,5","77,5"\n', "cm", 1045.0, 775.0),
        ("height\twaist\thip\tinside_leg\n1680\t824\t1045\t775\n", "mm", 1045.0, 775.0),
    ],
)
def test_numbers_as_people_write_them(
    text: str, units: str, hip: float, leg: float, tmp_path: Path
) -> None:
    defaults = Defaults(spec=load_style(None), units=units)  # type: ignore[arg-type]
    (row,) = table(tmp_path, text).rows()
    body = spec_of(defaults, row).body
    assert (body.hip, body.inside_leg) == pytest.approx((hip, leg))


def test_decimal_comma_in_the_last_column_is_named(tmp_path: Path) -> None:
    """The trap: read on, it drafts 77 cm and drops the 5."""
    says = refused(tmp_path, PLAIN.replace("77.5", "77,5"))
    assert "row 1 (line 2), column 5 (inside_leg)" in says
    assert '"77,5" in quotes' in says
    assert "semicolons" in says


def test_decimal_comma_in_the_middle_is_named(tmp_path: Path) -> None:
    says = refused(tmp_path, "id,waist,hip,build\na,82,104,women\nb,70,5,92,women\n")
    assert "row 2 (line 3)" in says
    assert "70,5" in says


@pytest.mark.parametrize(
    ("line", "where"),
    [
        ("b,160,70,92,72,what", "row 2 (line 3), column 6"),
        ("b,160,70,92", "row 2 (line 3), column 5 (inside_leg)"),
        ("b", "row 2 (line 3), column 2 (height)"),
    ],
)
def test_cells_too_many_or_too_few(line: str, where: str, tmp_path: Path) -> None:
    assert where in refused(tmp_path, PLAIN.replace("b,160,70,92,72", line))


def test_lines_are_counted_as_an_editor_shows_them(tmp_path: Path) -> None:
    says = refused(tmp_path, "sep=,\n" + PLAIN + "\n\nc,1,2\n")
    assert "row 3 (line 7)" in says


@pytest.mark.parametrize("line", ['"b,160,70,92,72', 'b,"160,70,92,72', 'b,160,70,92,"72'])
@pytest.mark.parametrize("more", ["", "c,160,70,92,72\n", 'c,"160",70,92,72\n'])
def test_stray_quote_is_refused_where_it_stands(line: str, more: str, tmp_path: Path) -> None:
    says = refused(tmp_path, PLAIN.replace("b,160,70,92,72", line) + more)
    assert "row 2 (line 3)" in says
    assert "quote" in says


def test_quote_that_swallows_a_whole_file_is_refused(tmp_path: Path) -> None:
    many = "".join(f"r{i},160,70,92,72\n" for i in range(20_000))
    assert "row 2 (line 3)" in refused(tmp_path, PLAIN.replace("\nb", '\n"b') + many)


@given(st.data())
def test_no_row_is_ever_lost(tmp_path_factory: pytest.TempPathFactory, data: st.DataObject) -> None:
    """A quote put anywhere: the table is refused, or has as many rows as the file has lines."""
    text = PLAIN + "c,165,75,98,74\n\nd,170,80,100,78\n"
    at = data.draw(st.integers(PLAIN.index("\n") + 1, len(text)))
    put = data.draw(st.sampled_from(['"', '""', '",', '"\n', ",", ";", "\n", '"a\n"', "\r"]))
    spoiled = text[:at] + put + text[at:]
    folder = tmp_path_factory.mktemp("q")
    try:
        rows = list(table(folder, spoiled).rows())
    except InputError:
        return
    filled = [x for x in io.StringIO(spoiled, newline=None) if x.strip(' ,"\n')]
    assert len(rows) == len(filled) - 1
    # What the standard library reads line by line, each for itself.
    for row, line in zip(rows, filled[1:], strict=True):
        assert list(row.values()) == [c.strip() for c in next(csv.reader([line]))][:5]


def test_duplicate_ids_are_told(tmp_path: Path) -> None:
    found = survey(
        table(tmp_path, PLAIN + "b,160,70,92,72\n,160,70,92,72\n,160,70,92,72\n"),
        {"id": lambda _, row: row["id"]},
    )
    assert (found.rows, found.twice["id"]) == (5, frozenset({"b"}))
    assert '"b"' in duplicate_words(found.twice["id"])
    assert duplicate_words(frozenset()) == ""
    assert "and 4 more" in duplicate_words(frozenset(f"x{i}" for i in range(9)))


@pytest.mark.parametrize(
    ("heading", "column"),
    [
        ("style.leg", "style.leg"),
        ("leg", "style.leg"),
        ("Hem Width", "style.hem_width"),
        ("fabric.stretch_across", "fabric.stretch_across"),
        ("fabric", "fabric"),
        ("NAME", "name"),
        ("style.inseam", "style.inseam"),
    ],
)
def test_headings(heading: str, column: str) -> None:
    assert column_of(heading) == column


@pytest.mark.parametrize(
    ("heading", "words"),
    [
        ("hipp", "did you mean"),
        ("inseam", "two things"),
        ("rise", "two things"),
        ("hips", 'called "hip"'),
        ("stretch_across", 'call it "fabric.stretch_across"'),
        ("style.legg", "did you mean"),
        ("", "without a name"),
        ("shoe size", "no such column"),
    ],
)
def test_headings_that_mean_nothing_or_two_things(heading: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        column_of(heading)


def test_same_heading_twice(tmp_path: Path) -> None:
    assert "mean the same" in refused(tmp_path, "hip,body.hip\n1,2\n")


def test_style_fabric_and_own_keys(tmp_path: Path) -> None:
    """A style file without a body, a fabric of its own, and keys of the row over both."""
    (tmp_path / "wide.toml").write_text("title='Wide'\n[style]\nleg='palazzo'\nfit='loose'\n")
    (tmp_path / "knit.toml").write_text("name='navy'\nstretch_across='40 %'\n")
    text = (
        "name;height;waist;hip;inside_leg;style;fabric;hem_width;style.pocket;fit\n"
        "Ada;168;82;104;77;wide.toml;knit.toml;90,5;scoop+patch;\n"
        "Bo;168;82;104;77;;;;;loose\n"
        "Cy;168;82;104;77;gone.toml;;;;\n"
    )
    defaults = Defaults(spec=load_style(None), folder=tmp_path)
    ada, bo, cy = table(tmp_path, text).rows()
    spec = spec_of(defaults, ada)
    assert (spec.style.leg, spec.style.fit, spec.style.hem_width) == ("palazzo", "loose", 905.0)
    assert spec.style.pocket == ("scoop", "patch")
    assert (spec.fabric.name, spec.fabric.stretch_across) == ("navy", pytest.approx(0.4))
    assert (spec.title, spec.body.name) == ("Ada · Wide", "Ada")
    assert spec_of(defaults, bo).style.fit == "loose"
    with pytest.raises(InputError, match="no such file"):
        spec_of(defaults, cy)


def test_units_of_a_row_are_the_units_it_is_told_in(tmp_path: Path) -> None:
    text = "height,waist,hip,inside_leg,units\n66,32,41,30,in\n168,82,104,77,\n66,32,41,30,ell\n"
    defaults = Defaults(spec=load_style(None))
    inches, plain, bad = table(tmp_path, text).rows()
    assert (spec_of(defaults, inches).units, spec_of(defaults, plain).units) == ("in", "cm")
    with pytest.raises(InputError, match="units"):
        spec_of(defaults, bad)
