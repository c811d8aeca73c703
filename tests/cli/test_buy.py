"""`outseam buy` as typed, and the length of fabric that draft, worksheet and compare tell."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from outseam.cli.cloth.saved_lay import read_kept
from outseam.cli.main import run

SPEC = """
units = "{units}"
title = "Buy [me]"
[body]
height = {height}
waist = {waist}
hip = {hip}
inside_leg = {inside}
crotch_length = {crotch}
[fabric]
name = "invented jersey"
stretch_across = "50 %"
"""
CM = SPEC.format(units="cm", height=168, waist=80, hip=98, inside=77, crotch=70)
INCHES = SPEC.format(units="in", height=66, waist=31.5, hip=38.5, inside=30, crotch=27.5)


@pytest.fixture
def spec(tmp_path: Path) -> Path:
    path = tmp_path / "pants.toml"
    path.write_text(CM + "width = 140\n")
    return path


@pytest.fixture(autouse=True)
def wide_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "200")


def called(capsys: pytest.CaptureFixture[str], *arguments: str | Path) -> tuple[int, str, str]:
    with pytest.raises(SystemExit) as stopped:
        run([str(a) for a in arguments])
    out, err = capsys.readouterr()
    return int(stopped.value.code or 0), out, err


def row(said: str, start: str) -> list[str]:
    """What the list says of a width: itself, usable, the lay, once washed, to buy."""
    lines = said.splitlines()
    (i,) = [i for i, x in enumerate(lines) if x.startswith("☐") and f", {start}: " in x]
    buy = lines[i].rpartition(": ")[2]
    more = re.fullmatch(
        r"  Usable (.+); the lay takes (.+?)(?:, (.+) once washed)?\.", lines[i + 1]
    )
    # What does not shrink, as far as the file says, is told once.
    return (
        [start, more[1], more[2], more[3] or more[2].removeprefix("about "), buy]
        if more
        else [start, "", buy, "–", "–"]
    )


def test_one_list_that_a_phone_shows(spec: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, said, _ = called(capsys, "buy", spec)
    assert not set("│┃━┏└") & set(said), "a table needs a wide screen"
    boxed = [x for x in said.splitlines() if x.startswith("☐ ")]
    assert all(len(x) < 110 and ": " in x for x in boxed)
    for what in ("invented jersey", "elastic", "thread for the sewing machine", "needles"):
        assert sum(what in x for x in boxed) == 1, what


def test_machines_in_the_file_are_what_is_bought_for(
    spec: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    spec.write_text('machines = ["sewing"]\n' + CM)
    code, said, _ = called(capsys, "buy", spec)
    assert code == 0
    assert "overlock" not in said
    assert "twin needle" in said


def test_three_widths_and_everything_else(spec: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = sorted(spec.parent.iterdir())
    code, said, _ = called(capsys, "buy", spec)
    assert code == 0
    assert sorted(spec.parent.iterdir()) == before, "it writes nothing"
    assert "Buy [me]: what to buy" in said
    own = row(said, "as in your file")
    assert own[1] == "140 cm"
    assert own[2].startswith("about ")
    lay = float(own[2].removeprefix("about ").removesuffix(" cm"))
    bought = float(own[4].removesuffix(" cm"))
    assert bought % 5 == 0
    assert lay / 0.95 + 5.0 < bought < 1.15 * lay + 10.0
    widths = [row(said, f"sold {cm} cm wide") for cm in (112, 140, 150)]
    assert [w[1] for w in widths] == ["106.7 cm", "133.9 cm", "143.6 cm"]
    for what in ("elastic, 5 cm wide", "thread for", "small spools", "5 % for a wash"):
        assert what in said
    assert "common practice, no source" in said


def test_widths_asked_for_in_any_unit(spec: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, said, _ = called(capsys, "buy", spec, "--width", "54in", "--width", "90")
    assert code == 0
    assert row(said, "sold 137.2 cm wide")[1] == "131.1 cm"
    assert row(said, "sold 90 cm wide")[1] == "85.4 cm"
    assert "112 cm wide" not in said


def test_a_file_in_inches_buys_by_the_yard(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "inches.toml"
    path.write_text(INCHES)
    code, said, _ = called(capsys, "buy", path)
    assert code == 0
    assert re.fullmatch(r"\d( \d/\d)? yd", row(said, 'sold 54" wide')[4])
    assert row(said, "width assumed")[1] == '60"'
    assert "of 110 yd" in said
    assert " cm" not in said


def test_a_width_where_it_cannot_lie_is_told_beside_the_others(
    spec: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, said, _ = called(capsys, "buy", spec, "--width", "30", "--width", "150")
    assert code == 0
    assert row(said, "sold 30 cm wide")[2:] == ["too narrow", "–", "–"]
    assert re.search(r"sold 30 cm wide: too narrow\n .* too narrow for the ", said)
    assert row(said, "sold 150 cm wide")[4].endswith(" cm")


@pytest.mark.parametrize("width", ["wide", "0", "-140", "1400000", "140 kg"])
def test_a_width_that_is_none_is_one_sentence(
    spec: Path, width: str, capsys: pytest.CaptureFixture[str]
) -> None:
    code, said, err = called(capsys, "buy", spec, f"--width={width}")
    assert code == 2
    assert said == ""
    assert err.startswith("outseam: --width: ")
    assert err.count("\n") == 1


def test_shrinkage_given_is_not_reckoned_twice(
    spec: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    spec.write_text(CM + 'width = 140\nshrink_along = "5 %"\nshrink_across = "3 %"\n')
    code, said, _ = called(capsys, "buy", spec, "--width", "140")
    assert code == 0
    assert "do not wash it first" in said
    assert "for a wash before cutting" not in said
    assert row(said, "sold 140 cm wide")[1] == "138 cm"
    own = [
        float(x.removeprefix("about ").removesuffix(" cm"))
        for x in row(said, "as in your file")[2:]
    ]
    lay, washed, bought = own
    assert washed == pytest.approx(0.95 * lay, abs=1.5)
    assert 1.03 * lay + 5.0 <= bought + 1.1
    assert bought <= 1.03 * lay + 10.0


def test_what_is_in_hand_is_judged(spec: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for have, told in ((300, "are enough"), (100, "too short for this lay")):
        spec.write_text(CM + f"width = 140\nlength_in_hand = {have}\n")
        _, said, _ = called(capsys, "buy", spec)
        assert f"Your {have} cm {told}" in said or f"Your {have} cm are {told}" in said


def test_a_kept_lay_is_used_by_all_while_it_serves(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert called(capsys, "lay", spec, "--out", tmp_path / "l", "--seconds", "0")[0] == 0
    kept = json.loads((tmp_path / "pants.lay.json").read_text())["length_mm"]
    _, said, _ = called(capsys, "buy", spec)
    assert row(said, "as in your file")[2] == f"{kept / 10:.1f}".removesuffix(".0") + " cm"
    assert "lay kept beside the file" in said
    _, said, _ = called(capsys, "draft", spec, "--out", tmp_path / "d")
    assert "from the lay kept beside the file" in said
    needed = json.loads((tmp_path / "d" / "summary.json").read_text())["fabric_needed"]
    assert needed == {
        "usable_width_mm": 1400.0,
        "length_mm": kept,
        "about": False,
        "says": "",
    }
    called(capsys, "worksheet", spec, "--out", tmp_path / "w")
    page = (tmp_path / "w" / "worksheet.html").read_text()
    assert "From the lay kept beside the file." in page
    assert 'id="lay-drawing"' in page
    # Another fabric: the kept lay serves no more, and a quick one is found.
    spec.write_text(CM + "width = 150\n")
    _, said, _ = called(capsys, "buy", spec)
    assert row(said, "as in your file")[2].startswith("about ")


def test_rubbish_beside_the_file_is_no_lay(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for text in ("", "{", "[1, 2]", '{"outseam_lay": 1, "placed": 3}'):
        (tmp_path / "pants.lay.json").write_text(text)
        code, said, _ = called(capsys, "buy", spec, "--width", "140")
        assert code == 0
        assert row(said, "as in your file")[2].startswith("about ")
    assert read_kept(None) is None
    assert read_kept(tmp_path / "none.toml") is None


def test_draft_tells_about_how_much(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, said, _ = called(capsys, "draft", spec, "--out", tmp_path / "d")
    assert code == 0
    needed = json.loads((tmp_path / "d" / "summary.json").read_text())["fabric_needed"]
    assert needed["about"]
    assert needed["usable_width_mm"] == 1400.0
    cm = -(-needed["length_mm"] // 10)
    assert f"Fabric: about {cm:.0f} cm of 140 cm usable" in said
    assert "outseam lay finds the lay itself" in said


def test_a_fabric_too_narrow_fails_nothing(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    spec.write_text(CM + "width = 35\n")
    code, said, _ = called(capsys, "draft", spec, "--out", tmp_path / "d")
    assert code == 0
    assert "Fabric: not known for 35 cm usable width: 35 cm in a single layer" in said
    needed = json.loads((tmp_path / "d" / "summary.json").read_text())["fabric_needed"]
    assert needed["length_mm"] is None
    assert not needed["about"]
    assert "too narrow for the" in needed["says"]
    code, _, _ = called(capsys, "worksheet", spec, "--out", tmp_path / "w")
    assert code == 0
    page = (tmp_path / "w" / "worksheet.html").read_text()
    assert "No lay was found at once" in page
    assert "length, from a lay" in page
    code, said, _ = called(
        capsys, "compare", spec, "--vary", "rise=high,low", "--out", tmp_path / "c"
    )
    assert code == 0
    assert "Fabric needed was not found: 35 cm in a single layer" in said
    variants = json.loads((tmp_path / "c" / "compare.json").read_text())["variants"]
    assert {v["fabric_needed"]["length_mm"] for v in variants} == {None}


def test_compare_has_a_row_for_fabric(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "c"
    code, said, _ = called(capsys, "compare", spec, "--vary", "length=full,knee", "--out", out)
    assert code == 0
    assert "quick lay on 140 cm usable width" in said
    data = json.loads((out / "compare.json").read_text())
    mm = {v["label"]: v["fabric_needed"]["length_mm"] for v in data["variants"]}
    full, knee = mm["length full"], mm["length knee"]
    assert knee < 0.8 * full
    assert all(v["fabric_needed"]["about"] for v in data["variants"])
    page = (out / "compare.html").read_text()
    (line,) = re.findall(r"<tr>.*fabric needed, about.*</tr>", page)
    cells = re.findall(r"<span>(\d+) cm", line)
    assert sorted(int(c) for c in cells) == sorted(int(-(-x // 10)) for x in mm.values())


def test_only_the_variant_that_cannot_lie_has_no_figure(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    spec.write_text(CM + "width = 50\n")
    out = tmp_path / "c"
    code, said, _ = called(capsys, "compare", spec, "--vary", "hem_width=44,100", "--out", out)
    assert code == 0
    variants = json.loads((out / "compare.json").read_text())["variants"]
    _, narrow, wide = (v["fabric_needed"] for v in variants)
    assert narrow["length_mm"] is not None
    assert wide["length_mm"] is None
    assert "too narrow for the" in wide["says"]
    assert "too narrow for the" in said


def test_a_pattern_that_fails_its_checks_is_not_bought_for(
    spec: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    import outseam.draft.pattern
    from outseam.draft.checks.verdict import at_most

    bad = (at_most("made up", "here", 2.0, 1.0, "it holds"),)
    monkeypatch.setattr(outseam.draft.pattern, "run_checks", lambda _: bad)
    code, said, err = called(capsys, "buy", spec)
    assert code == 1
    assert said == ""
    assert "nothing was written" in err
