"""Every kind of bad input gives one clear sentence, exit code 2, and leaves files as they were."""

from __future__ import annotations

from pathlib import Path

import pytest

from outseam.cli.main import run

GOOD = "[body]\nheight = 168\nwaist = 82\nhip = 104\ninside_leg = 77\n"


def body(**changed: str) -> str:
    values = {"height": "168", "waist": "82", "hip": "104", "inside_leg": "77"} | changed
    return "[body]\n" + "".join(f"{k} = {v}\n" for k, v in values.items())


#: name: (text of the spec, words the sentence has to contain)
CASES: dict[str, tuple[str, tuple[str, ...]]] = {
    "broken TOML": ("[body]\nhip = = 3\n", ("line 2",)),
    "wrong unit": (body(hip='"104 kg"'), ("body.hip", "kg")),
    "negative": (body(hip="-104"), ("body.hip", "-104")),
    "zero": (body(hip="0"), ("body.hip", "0")),
    "nan": (body(hip="nan"), ("body.hip", "nan")),
    "infinite": (body(hip="inf"), ("body.hip", "inf")),
    "inches in a cm file": (body(hip="38"), ("body.hip", "38", "in")),
    "slipped ten": (body(hip="9.7"), ("body.hip", "9.7", "97")),
    "a megabyte of title": (f'title = "{"x" * 1_000_001}"\n' + GOOD, ("1 MB",)),
    "a long title": (f'title = "{"x" * 5_000}"\n' + GOOD, ("title",)),
    "unknown key": (body(hipp="104"), ("hipp", "did you mean", "hip")),
    "unknown table": (GOOD + "[fabrik]\nstretch_across = 0.5\n", ("fabric",)),
    "bare percent": (GOOD + "[fabric]\nstretch_across = 50\n", ("50 %",)),
    "wrong type": (body(hip="[104]"), ("body.hip",)),
    "missing": ("[body]\nheight = 168\nwaist = 82\ninside_leg = 77\n", ("hip",)),
    "close fit in a woven": (
        GOOD + '[fabric]\nkind = "woven"\n[style]\nfit = "close"\n',
        ("style.fit", "easy"),
    ),
    "calibration off": (GOOD + "[print]\ncalibrate_across = 0.9\n", ("0.9", "100 %")),
    "flare above the crotch": (
        GOOD + '[style]\nleg = "flare"\nflare_from = "90 cm"\n',
        ("style.flare_from", "90"),
    ),
}


def complaint(capsys: pytest.CaptureFixture[str], *arguments: str | Path) -> str:
    with pytest.raises(SystemExit) as stopped:
        run([str(a) for a in arguments])
    out, err = capsys.readouterr()
    assert stopped.value.code == 2
    assert out == ""
    assert err.startswith("outseam: ")
    assert err.count("\n") == 1, "one sentence on one line"
    assert "Traceback" not in err
    assert len(err) < 700
    return err


@pytest.mark.parametrize("name", CASES)
def test_bad_spec(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text, words = CASES[name]
    spec, out = tmp_path / "spec.toml", tmp_path / "out"
    spec.write_text(text)
    out.mkdir()
    (out / "pattern.svg").write_text("earlier")
    said = complaint(capsys, "draft", spec, "--out", out)
    for word in words:
        assert word in said, said
    assert [p.name for p in out.iterdir()] == ["pattern.svg"]
    assert (out / "pattern.svg").read_text() == "earlier"


def test_missing_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    said = complaint(capsys, "draft", tmp_path / "none.toml", "--out", tmp_path / "out")
    assert "no such file" in said
    assert not (tmp_path / "out").exists()


def test_out_is_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "out").write_text("mine")
    complaint(capsys, "draft", "--out", tmp_path / "out")
    assert (tmp_path / "out").read_text() == "mine"


def test_out_below_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "file").write_text("mine")
    complaint(capsys, "draft", "--out", tmp_path / "file" / "out")


def test_markup_and_control_characters_in_names(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from xml.etree import ElementTree as ET

    spec = tmp_path / "spec.toml"
    spec.write_text(
        'title = "<script>&amp; [bold]x[/bold] \\u0007\\u0000 ]]>"\n'
        + GOOD
        + 'name = "Ann </text> \\u001b[31m"\n[print]\npapers = ["a4"]\n'
    )
    with pytest.raises(SystemExit) as stopped:
        run(["draft", str(spec), "--out", str(tmp_path / "out")])
    out, _ = capsys.readouterr()
    assert stopped.value.code == 0
    assert "\x1b" not in out
    assert "\x07" not in out
    assert "[bold]x[/bold]" in out
    root = ET.parse(tmp_path / "out" / "pattern.svg").getroot()
    words = [t.text or "" for t in root.iter("{http://www.w3.org/2000/svg}text")]
    assert any("<script>" in t for t in words)
    assert not list(root.iter("{http://www.w3.org/2000/svg}script"))
