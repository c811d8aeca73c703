"""`outseam lay` as a user types it: files, kept positions, too little fabric, bad input."""

from __future__ import annotations

import io
import json
import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import pypdf
import pytest

from outseam.cli.cloth.saved_lay import kept_path
from outseam.cli.main import run
from outseam.cli.wording.fabric import centimetres_needed, eighth_yards_needed, needed
from outseam.draft.lay.ways import length_in_hand
from outseam.draft.lengths import LENGTHS

HERE = Path(__file__).parents[2]

SPEC = """
units = "cm"
title = "Lay me"
[body]
height = 168
waist = 80
hip = 98
inside_leg = 77
crotch_length = 70
[fabric]
name = "invented jersey"
stretch_across = "50 %"
width = 140
"""


@pytest.fixture
def spec(tmp_path: Path) -> Path:
    path = tmp_path / "pants.toml"
    path.write_text(SPEC)
    return path


@pytest.fixture
def few_tries(monkeypatch: pytest.MonkeyPatch) -> None:
    """Fewer lengths and hems are tried where fabric is short; tests/draft tries them all."""
    monkeypatch.setattr(length_in_hand, "_LEG_STEPS", (16,))
    monkeypatch.setattr(length_in_hand, "_HEM_SHARES", (0.8,))
    monkeypatch.setattr(length_in_hand, "LENGTHS", LENGTHS[-2:])


def called(capsys: pytest.CaptureFixture[str], *arguments: str | Path) -> tuple[int, str, str]:
    with pytest.raises(SystemExit) as stopped:
        run([str(a) for a in arguments])
    out, err = capsys.readouterr()
    return int(stopped.value.code or 0), out, err


def test_files_and_kept_positions(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    code, said, _ = called(capsys, "lay", spec, "--out", out, "--seconds", "0")
    assert code == 0
    assert {p.name for p in out.iterdir()} == {"lay.svg", "lay.pdf", "lay.json"}
    kept = tmp_path / "pants.lay.json"
    assert kept.exists()
    first = json.loads((out / "lay.json").read_text())
    assert first["length_mm"] == json.loads(kept.read_text())["length_mm"]
    assert first["bound_mm"] <= first["length_mm"]
    assert f"{centimetres_needed(first['length_mm'])} cm" in said
    assert len(first["placed"]) == 6
    drawing = (out / "lay.svg").read_bytes()
    code, said, _ = called(capsys, "lay", spec, "--out", out, "--seconds", "0")
    assert code == 0
    assert "Drawn from the positions kept" in said
    assert (out / "lay.svg").read_bytes() == drawing


def test_changed_pieces_are_said(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    called(capsys, "lay", spec, "--out", tmp_path / "out", "--seconds", "0")
    spec.write_text(SPEC + '[style]\nlength = "capri"\n')
    code, said, _ = called(capsys, "lay", spec, "--out", tmp_path / "out", "--seconds", "0")
    assert code == 0
    assert "no longer serves: the front leg has changed" in said
    # What was made anew is kept in its turn.
    _, said, _ = called(capsys, "lay", spec, "--out", tmp_path / "out", "--seconds", "0")
    assert "no longer serves" not in said


def test_a_broken_kept_file_is_replaced(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "pants.lay.json").write_text("{ not json")
    code, said, _ = called(capsys, "lay", spec, "--out", tmp_path / "out", "--seconds", "0")
    assert code == 0
    assert "not a lay of this version" in said
    assert json.loads((tmp_path / "pants.lay.json").read_text())["outseam_lay"] == 1


def test_a_person_reads_positions_and_amounts_from_the_drawing(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    called(capsys, "lay", spec, "--out", out, "--seconds", "0")
    data = json.loads((out / "lay.json").read_text())
    page = pypdf.PdfReader(io.BytesIO((out / "lay.pdf").read_bytes())).pages[0]
    assert float(page.mediabox.width) == pytest.approx(297 / 25.4 * 72, abs=0.1)
    assert float(page.mediabox.height) == pytest.approx(210 / 25.4 * 72, abs=0.1)
    root = ET.parse(out / "lay.svg").getroot()
    words = ["".join(t.itertext()) for t in root.iter("{http://www.w3.org/2000/svg}text")]
    for placed in data["placed"]:
        name = f"{placed['number']}  {placed['title']}"
        assert name in words
        x = round(placed["from_cut_end_mm"] / 10, 1)
        y = round(placed["from_selvedge_mm"] / 10, 1)
        assert any(f"◂ {x:g} cm" in w for w in words)
        assert any(f"▾ {y:g} cm" in w for w in words)
    assert words.count("face up") + words.count("FACE DOWN") >= 6
    assert {"selvedge", "cut end", "length needed", "cm"} <= set(words)
    assert "in" not in words  # one system a file
    # No letter is smaller than six points.
    sizes = [float(t.attrib["font-size"]) for t in root.iter("{http://www.w3.org/2000/svg}text")]
    assert min(sizes) >= 2.1


def test_drawn_outlines_are_to_scale(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    called(capsys, "lay", spec, "--out", out, "--seconds", "0")
    data = json.loads((out / "lay.json").read_text())
    text = (out / "lay.svg").read_text()
    scale = float(re.search(r"drawn 1 : (\d+)", text)[1])  # type: ignore[index]
    root = ET.fromstring(text.split("\n", 1)[1])
    spans = []
    for p in root.iter("{http://www.w3.org/2000/svg}path"):
        if p.attrib["d"].endswith("Z") and p.attrib.get("stroke"):
            xs = [float(x) for x, _ in re.findall(r"(-?[\d.]+),(-?[\d.]+)", p.attrib["d"])]
            spans.append((max(xs) - min(xs)) * scale)
    want = sorted(p["length_mm"] for p in data["placed"])
    assert sorted(spans) == pytest.approx(want, abs=0.05 * scale)


def test_too_little_fabric_lists_what_would_do(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], few_tries: None
) -> None:
    spec.write_text(SPEC + 'length_in_hand = 100\nfold = "folded"\n')
    code, said, _ = called(capsys, "lay", spec, "--out", tmp_path / "out", "--seconds", "0")
    assert code == 0
    assert "Your 100 cm are" in said
    assert "short." in said
    assert "What would make it enough" in said
    remedies = json.loads((tmp_path / "out" / "lay.json").read_text())["remedies"]
    assert any(r["fits"] for r in remedies)


def test_enough_fabric_is_said(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    spec.write_text(SPEC + "length_in_hand = 300\n")
    _, said, _ = called(capsys, "lay", spec, "--out", tmp_path / "out", "--seconds", "0")
    assert "Your 300 cm are enough, measured with the ends squared and any wash done." in said


def test_slippery_folded_is_warned_about(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    spec.write_text(SPEC + 'slippery = true\nfold = "folded"\n')
    _, said, _ = called(capsys, "lay", spec, "--out", tmp_path / "out", "--seconds", "0")
    assert "WARNING: a slippery fabric is cut in a single layer" in said


def test_two_specs_on_one_fabric(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    other = tmp_path / "short.toml"
    other.write_text(SPEC.replace("Lay me", "Shorter") + '[style]\nlength = "knee"\n')
    out = tmp_path / "out"
    code, _, _ = called(capsys, "lay", spec, other, "--out", out, "--seconds", "0")
    assert code == 0
    assert kept_path((spec, other)) == tmp_path / "pants+short.lay.json"
    assert (tmp_path / "pants+short.lay.json").exists()
    data = json.loads((out / "lay.json").read_text())
    assert {p["garment"] for p in data["placed"]} == {"Lay me", "Shorter"}
    other.write_text(SPEC.replace("140", "150"))
    code, _, complaint = called(capsys, "lay", spec, other, "--out", out, "--seconds", "0")
    assert code == 2
    assert "fabric.width" in complaint


def test_too_narrow_is_one_sentence(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    spec.write_text(SPEC.replace("width = 140", 'width = 60\nfold = "folded"'))
    code, _, complaint = called(capsys, "lay", spec, "--out", tmp_path / "out", "--seconds", "0")
    assert code == 2
    assert "too narrow for the back" in complaint
    assert 'fabric.fold = "single"' in complaint
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("mm", "cm", "yards"),
    [(1000.0, 100, "1 1/8"), (1000.1, 101, "1 1/8"), (914.4, 92, "1"), (914.5, 92, "1 1/8")],
)
def test_amounts_are_rounded_up(mm: float, cm: int, yards: str) -> None:
    assert centimetres_needed(mm) == cm
    assert eighth_yards_needed(mm) == yards


def test_the_solver_stays_out_of_this_process() -> None:
    code = (
        "import sys; from outseam.cli.main import run\n"
        "try: run(['lay', '--seconds', '1', '--out', sys.argv[1]])\n"
        "except SystemExit: pass\n"
        "print('spyrrow' in sys.modules)"
    )
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        done = subprocess.run(
            [sys.executable, "-c", code, folder],
            capture_output=True,
            text=True,
            check=True,
            cwd=HERE,
        )
    assert done.stdout.strip().endswith("False")
    assert done.stderr.strip() == ""


BORDER = """border = "both"
border_height = 20
border_from_selvedge = 6
stretch_along = "50 %"
"""


def test_a_border_is_drawn_and_its_notches_told(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    spec.write_text(SPEC + BORDER + "border_repeat = 30\n")
    out = tmp_path / "out"
    code, said, _ = called(capsys, "lay", spec, "--out", out)
    assert code == 0
    assert "every order along the border was tried" in said
    assert "Kept the positions in pants.lay.json" in said
    drawn = (out / "lay.svg").read_bytes()
    assert "Drawn from the positions kept" in called(capsys, "lay", spec, "--out", out)[1]
    assert (out / "lay.svg").read_bytes() == drawn
    words = [
        "".join(t.itertext())
        for page in sorted(out.glob("*.svg"))
        for t in ET.parse(page).getroot().iter("{http://www.w3.org/2000/svg}text")
    ]
    assert {"border", "eye"} <= set(words)
    text = " ".join(words)
    assert "hem fold 6 cm from selvedge" in text
    assert "Notch where the border begins and ends at the seams" in text
    assert "round the body: stretch along, 50 %" in text
    assert "not said to be alike" in text
    assert "All legs stand on the border of the near selvedge" in text
    assert "come again every 30 cm" in text


def test_no_room_below_a_border_is_said_by_check_already(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    narrow = SPEC + BORDER.replace("selvedge = 6", "selvedge = 1")
    spec.write_text(narrow + "[style]\nborder_above_hem = 0\n")
    for command in (["check", spec], ["lay", spec, "--out", tmp_path / "out"]):
        code, _, complaint = called(capsys, *command)
        assert code == 2
        assert "style.border_above_hem" in complaint
        assert "turned up with the hem" in complaint
    # Left out, it is placed where it can be cut.
    spec.write_text(narrow)
    assert called(capsys, "check", spec)[0] == 0
    assert called(capsys, "lay", spec, "--out", tmp_path / "out")[0] == 0


def test_check_says_first_what_a_lay_would_refuse(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for more, reason in (
        ('fold = "folded"\nrepeat_along = 6\n', "fabric.fold"),
        ("", "is too narrow for the"),
    ):
        width = "width = 140" if more else "width = 30"
        spec.write_text(SPEC.replace("width = 140", width) + more)
        code, said, _ = called(capsys, "check", spec)
        assert code == 0
        assert "These pieces cannot be laid on this fabric" in said
        assert reason in " ".join(said.split()) or reason == "is too narrow for the"
        assert called(capsys, "check", spec, "--strict")[0] == 1
        assert called(capsys, "lay", spec, "--out", tmp_path / "out")[0] == 2
        data = json.loads(called(capsys, "check", spec, "--json")[1])
        assert data["fabric_refused"]
    spec.write_text(SPEC)
    assert "cannot be laid" not in called(capsys, "check", spec)[1]


def test_every_output_says_which_stretch_goes_round_the_body(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    spec.write_text(SPEC + BORDER.replace("50 %", "35 %"))
    for command in (["check", spec], ["buy", spec]):
        said = " ".join(called(capsys, *command)[1].split())
        assert "Round the body goes the stretch along the selvedge, 35 %" in said
    out = tmp_path / "out"
    called(capsys, "lay", spec, "--out", out)
    called(capsys, "worksheet", spec, "--out", out)
    called(capsys, "draft", spec, "--out", out)
    assert "stretch along, 35 %" in (out / "lay.svg").read_text("utf-8")
    assert "stretch along, 35 %" in (out / "pattern.svg").read_text("utf-8")
    sheet = re.sub(r"\s+", " ", (out / "worksheet.html").read_text("utf-8"))
    assert "35 % along" in sheet
    assert "which goes round the body" in sheet
    data = json.loads(called(capsys, "check", spec, "--json")[1])
    assert data["stretch_round"] == {"way": "along", "ratio": 0.35}
    spec.write_text(SPEC)
    assert "from selvedge to selvedge, 50 %" in " ".join(called(capsys, "check", spec)[1].split())


def test_stripes_tell_how_to_begin(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    spec.write_text(SPEC + "repeat_along = 6\n")
    out = tmp_path / "out"
    code, _, _ = called(capsys, "lay", spec, "--out", out)
    assert code == 0
    drawn = "".join(page.read_text() for page in out.glob("*.svg"))
    assert "Stripes come again every 6 cm along" in drawn


def test_no_page_of_an_earlier_lay_is_left_over(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Two pages, then one, into the same folder: the files are the same, others are untouched."""
    out = tmp_path / "out"
    out.mkdir()
    (out / "lay-2.svg").write_text("hers")

    def heights() -> tuple[float, int]:
        root = ET.parse(out / "lay.svg").getroot()
        pages = pypdf.PdfReader(io.BytesIO((out / "lay.pdf").read_bytes())).pages
        return float(root.attrib["height"].removesuffix("mm")), len(pages)

    files = {"lay.svg", "lay.pdf", "lay.json", "lay-2.svg"}
    spec.write_text(SPEC + BORDER + '[style]\nleg = "palazzo"\npocket = "patch"\n')
    assert called(capsys, "lay", spec, "--out", out)[0] == 0
    assert {p.name for p in out.iterdir()} == files
    assert heights() == (420.0, 2)
    spec.write_text(SPEC)
    assert called(capsys, "lay", spec, "--out", out, "--seconds", "0")[0] == 0
    assert {p.name for p in out.iterdir()} == files
    assert heights() == (210.0, 1)
    assert (out / "lay-2.svg").read_text() == "hers"


def test_the_depth_of_a_narrow_fold_is_drawn_and_said(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    spec.write_text(SPEC.replace("width = 140", 'width = 150\nfold = "narrow"'))
    out = tmp_path / "out"
    code, said, _ = called(capsys, "lay", spec, "--out", out, "--seconds", "0")
    assert code == 0
    depth = json.loads((out / "lay.json").read_text())["fold_mm"] / 10.0
    assert f"fold in {depth:g} cm" in said
    root = ET.parse(out / "lay.svg").getroot()
    words = ["".join(t.itertext()) for t in root.iter("{http://www.w3.org/2000/svg}text")]
    assert f"fold in {depth:g} cm" in words
    assert {"fold", "selvedge turned in"} <= set(words)
    assert any(w.startswith("double, ") for w in words)
    assert any(w.startswith("one layer, ") for w in words)
    # Nothing was searched: the kept lay has the same depth.
    _, said, _ = called(capsys, "lay", spec, "--out", out, "--seconds", "0")
    assert f"fold in {depth:g} cm" in said
    assert "Drawn from the positions kept" in said


def test_stripes_tell_how_far_they_are_apart(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    spec.write_text(SPEC + 'repeat_along = 4\n[style]\nleg = "bootcut"\npocket = "patch"\n')
    out = tmp_path / "out"
    assert called(capsys, "lay", spec, "--out", out)[0] == 0
    root = ET.parse(out / "lay.svg").getroot()
    text = " ".join("".join(t.itertext()) for t in root.iter("{http://www.w3.org/2000/svg}text"))
    assert re.search(r"mm apart: outseam hip 0, knee \d, hem \d; inseam knee \d, hem \d", text)
    assert re.search(r"They lie tilted by \d+°", text)


@pytest.mark.parametrize(
    ("units", "told"), [("cm", r"\d+ cm"), ("mm", r"\d+ cm"), ("in", r"\d+[ \d/]* yd")]
)
def test_amounts_are_in_the_system_of_the_file(units: str, told: str) -> None:
    assert re.fullmatch(told, needed(1234.0, units))  # type: ignore[arg-type]


def test_far_too_little_is_not_drowned_in_remedies(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], few_tries: None
) -> None:
    spec.write_text(SPEC + "length_in_hand = 12\n")
    _, said, _ = called(capsys, "lay", spec, "--out", tmp_path / "out", "--seconds", "0")
    assert "Nothing that was tried comes near it." in said
    assert "style.length" not in said
