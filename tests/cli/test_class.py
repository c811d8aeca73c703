"""A class: a folder of patterns each, a sheet and packets; whole folders or none at any kill."""

from __future__ import annotations

import csv
import io
import json
import os
import re
import signal
import subprocess
import sys
import time
import unicodedata
from pathlib import Path

import pdfplumber
import pypdf
import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st

from outseam.cli.batch import patterns
from outseam.cli.batch.class_sheet import class_csv, class_files
from outseam.cli.batch.folders import folder_key, folder_name, safe_name, tidy, write_folder
from outseam.cli.batch.rows import Defaults, RowResult, draft_row, result_columns
from outseam.cli.batch.run import draft_table
from outseam.cli.batch.table import BodyRow
from outseam.cli.main import run
from outseam.cli.write.save import OutputError

CLASS = (
    "name;id;height;waist;hip;inside_leg;leg;pocket\n"
    "Ilka Sandmeer;i1;168;82,4;104;77,5;;\n"
    "Åsa Öst;i2;160;70;92;72;flare;scoop\n"
    "Ben/../Ben;i3;172;88;10,2;79;;\n"
    "ilka sandmeer;i4;165;95;120;75;;\n"
    ";=i5;165;80;99;75;;\n"
)
NUMBER = re.compile(r"-?\d+\.?\d*(?:e-?\d+)?")
FOLDERS = {"Ilka Sandmeer (1)", "Åsa Öst", "ilka sandmeer (4)", "i5"}
FILES = {"pattern-a0.pdf", "pattern-a4.pdf", "pattern.svg", "preview.png", "summary.json"}


def write(folder: Path, text: str = CLASS) -> Path:
    (folder / "style.toml").write_text(
        "title = 'Evening class'\n[fabric]\nstretch_across = '50 %'\n[style]\nlength = 'knee'\n"
        "[print]\npapers = ['a4', 'a0']\n"
    )
    path = folder / "c.csv"
    path.write_text(text)
    return path


def done(table: Path, *more: str, code: int = 0) -> None:
    with pytest.raises(SystemExit) as stopped:
        run(["batch", str(table), "--style", str(table.parent / "style.toml"), *more])
    assert stopped.value.code == code


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A class drafted into a folder, with the figures as JSON beside it.

    By two processes, each with one thread for its mathematics: with more threads the last digit of
    a number may differ, and with it a byte.
    """
    folder = tmp_path_factory.mktemp("class")
    args = ["--patterns", str(folder / "out"), "--json", str(folder / "o.jsonl"), "--jobs", "2"]
    done(write(folder), *args)
    return folder / "out"


def test_a_folder_each_as_draft_writes_it(made: Path, tmp_path: Path) -> None:
    assert {p.name for p in made.iterdir() if p.is_dir()} == FOLDERS
    for name in FOLDERS:
        assert {p.name for p in (made / name).iterdir()} == FILES
    spec = tmp_path / "s.toml"
    spec.write_text(
        "title = 'Åsa Öst · Evening class'\n[body]\nname = 'Åsa Öst'\nheight = 160\nwaist = 70\n"
        "hip = 92\ninside_leg = 72\n[fabric]\nstretch_across = '50 %'\n[style]\nlength = 'knee'\n"
        "leg = 'flare'\npocket = 'scoop'\n[print]\npapers = ['a4', 'a0']\n"
    )
    with pytest.raises(SystemExit):
        run(["draft", str(spec), "--out", str(tmp_path / "one")])
    for file in ("pattern.svg", "summary.json"):
        texts = [(folder / file).read_text() for folder in (made / "Åsa Öst", tmp_path / "one")]
        words, numbers = zip(*((NUMBER.sub("#", t), NUMBER.findall(t)) for t in texts), strict=True)
        assert words[0] == words[1]
        assert [float(x) for x in numbers[0]] == pytest.approx([float(x) for x in numbers[1]])


def test_the_name_stands_on_every_page(made: Path) -> None:
    with pdfplumber.open(made / "Åsa Öst" / "pattern-a4.pdf") as pdf:
        for page in pdf.pages:
            assert "Åsa Öst" in unicodedata.normalize("NFC", page.extract_text())


def test_json_is_the_same_as_without_patterns(made: Path) -> None:
    alone = made.with_name("alone.jsonl")
    done(made.with_name("c.csv"), "--json", str(alone))
    assert alone.read_bytes() == made.with_name("o.jsonl").read_bytes()
    status = [json.loads(line)["status"] for line in alone.read_text().splitlines()]
    assert status == ["drafted", "drafted", "refused", "drafted", "drafted"]


def test_sheet_cover_and_figures_tell_which_stretch_goes_round_the_body(made: Path) -> None:
    says = "round the body: stretch across, 50 %"
    sheet = (made / "class-sheet.html").read_text("utf-8").replace("\N{NO-BREAK SPACE}", " ")
    assert sheet.count(says) == 4
    rows = list(csv.DictReader(io.StringIO((made / "class-sheet.csv").read_text("utf-8-sig"))))
    assert {r["stretch_round"] for r in rows if r["status"] == "drafted"} == {"0.5"}
    with pdfplumber.open(made / "packet-a4.pdf") as pdf:
        assert says in pdf.pages[0].extract_text()
    lines = (made.parent / "o.jsonl").read_text().splitlines()
    assert [json.loads(line).get("stretch_round") for line in lines] == [0.5, 0.5, None, 0.5, 0.5]


def test_class_sheet(made: Path) -> None:
    rows = list(csv.DictReader(io.StringIO((made / "class-sheet.csv").read_text("utf-8-sig"))))
    assert [r["name"] for r in rows[:2]] == ["Ilka Sandmeer", "Åsa Öst"]
    assert "10.2 cm" in rows[2]["says"]
    assert rows[4]["id"] == "'=i5"  # not a formula for a spreadsheet
    for row in rows:
        if row["status"] == "drafted":
            kept = json.loads((made / row["folder"] / "summary.json").read_text())
            assert float(row["hip_mm"]) == kept["finished_mm"]["hip"]
            assert float(row["elastic_mm"]) == kept["finished_mm"]["elastic"]
            assert int(row["a4_pages"]) == kept["pages"]["a4"]["pages"]
    with pdfplumber.open(made / "class-sheet.pdf") as pdf:
        assert len(pdf.pages) == 1
        text = pdf.pages[0].extract_text()
    html = (made / "class-sheet.html").read_text()
    for told in ("Ilka Sandmeer", "Åsa Öst", "not drafted", "slipped decimal point"):
        assert told in unicodedata.normalize("NFC", text.replace("\n", " "))
        assert told in html


@pytest.mark.parametrize("paper", ["a4", "a0"])
def test_packet_holds_every_page_behind_covers(made: Path, paper: str) -> None:
    path = made / f"packet-{paper}.pdf"
    packet = pypdf.PdfReader(path)
    order = ("Ilka Sandmeer (1)", "Åsa Öst", "ilka sandmeer (4)", "i5")
    at = 0
    titles = [str(mark.title) for mark in packet.outline]  # type: ignore[union-attr]
    assert titles == ["Ilka Sandmeer", "Åsa Öst", "ilka sandmeer", "=i5"]
    drawn = pypdfium2.PdfDocument(path)
    for number, folder in enumerate(order):
        cover = packet.pages[at].extract_text()
        assert f"{at + 2} to " in cover
        assert packet.get_destination_page_number(packet.outline[number]) == at  # type: ignore[arg-type]
        own = pypdfium2.PdfDocument(made / folder / f"pattern-{paper}.pdf")
        for i in (0, len(own) - 1):  # what a renderer shows is what the folder's file shows
            size = own[i].get_size()
            assert size == drawn[at + 1 + i].get_size()
            pictures = [d[k].render(scale=0.2).to_pil() for d, k in ((own, i), (drawn, at + 1 + i))]
            assert pictures[0].tobytes() == pictures[1].tobytes()
        at += 1 + len(own)
    assert at == len(packet.pages)


def test_layers_of_a_packet_are_listed_once(made: Path) -> None:
    root = pypdf.PdfReader(made / "packet-a4.pdf").trailer["/Root"]
    names = [str(one.get_object()["/Name"]) for one in root["/OCProperties"]["/OCGs"]]
    own = pypdf.PdfReader(made / "Åsa Öst" / "pattern-a4.pdf").trailer["/Root"]
    assert len(names) == len(set(names))
    assert {str(one.get_object()["/Name"]) for one in own["/OCProperties"]["/OCGs"]} <= set(names)


def test_killed_at_any_moment_folders_are_whole_and_again_keeps_her_notes(
    made: Path, tmp_path: Path
) -> None:
    """Killed once here, as soon as there is a folder; tests/bench does it by the dozen.

    The second run meets folders that are there already, with things of hers and of earlier runs.
    """
    table, out = write(tmp_path), tmp_path / "out"
    out.mkdir()
    (out / "Åsa Öst").mkdir()
    (out / "Åsa Öst" / "notes.txt").write_text("hem let down")
    (out / "Åsa Öst" / "pattern-letter.pdf").write_text("of an earlier run")
    (out / "packet-a4-02.pdf").write_text("of a larger class")
    command = [sys.executable, "-m", "outseam.cli.main", "batch", str(table), "--patterns"]
    command += [str(out), "--style", str(tmp_path / "style.toml"), "--jobs", "2"]
    if os.name == "posix":
        child = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        deadline = time.monotonic() + 60.0
        while not list(out.glob(".*new")) and child.poll() is None and time.monotonic() < deadline:
            time.sleep(0.002)
        time.sleep(0.25)
        child.send_signal(signal.SIGKILL)
        child.wait()
        time.sleep(0.3)  # the processes it started end by themselves
        for folder in (p for p in out.iterdir() if p.is_dir() and not p.name.startswith(".")):
            for file in (f for f in FILES if (folder / "summary.json").exists()):
                assert (folder / file).read_bytes() == (made / folder.name / file).read_bytes()
    assert subprocess.run(command, capture_output=True).returncode == 0
    again = {p.relative_to(out): p.read_bytes() for p in out.rglob("*") if p.is_file()}
    assert again.pop(Path("Åsa Öst") / "notes.txt") == b"hem let down"
    assert again == {p.relative_to(made): p.read_bytes() for p in made.rglob("*") if p.is_file()}


def test_stopped_class_goes_on(made: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    table, out = write(tmp_path), tmp_path / "out"
    numbers: list[int] = []

    def stopping(defaults: Defaults, number: int, row: BodyRow) -> RowResult:
        numbers.append(number)
        if numbers == [1, 2, 3, 4]:
            raise KeyboardInterrupt
        return draft_row(defaults, number, row)

    monkeypatch.setattr(patterns, "draft_row", stopping)
    done(table, "--patterns", str(out), "--jobs", "1", code=130)
    assert not (out / "class-sheet.pdf").exists()
    done(table, "--patterns", str(out), "--jobs", "1")
    assert numbers == [1, 2, 3, 4, 4, 5]
    pages = [len(pypdf.PdfReader(f / "packet-a4.pdf").pages) for f in (out, made)]
    assert pages[0] == pages[1]
    assert not [p for p in out.iterdir() if p.name.startswith(".")]


def test_the_class_in_python(tmp_path: Path) -> None:
    """Results by row and columns of equal length; the JSON of the command tells the same."""
    table = write(tmp_path)
    results = draft_table(table, tmp_path / "style.toml")
    columns = result_columns(results)
    assert {len(values) for values in columns.values()} == {5}
    assert columns["name"][1] == "Åsa Öst"
    assert columns["status"][2] == "refused"
    assert columns["hip_mm"][2] is None
    assert columns["hip_mm"][0] == results[0].figures["hip_mm"]
    answer = results[1].answer
    assert answer is not None
    assert answer.pattern.spec.style.leg == "flare"
    done(table, "--json", str(tmp_path / "o.jsonl"))
    lines = [json.loads(line) for line in (tmp_path / "o.jsonl").read_text().splitlines()]
    assert lines == [r.line for r in results]


def test_neither_patterns_nor_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    done(write(tmp_path), code=2)
    assert "--patterns" in capsys.readouterr().err


def test_broken_table_writes_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    done(write(tmp_path, CLASS + '"x;1\n'), "--patterns", str(tmp_path / "out"), code=2)
    assert "row 6" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def test_file_in_the_way_of_a_folder(tmp_path: Path) -> None:
    (tmp_path / "Ada").write_text("mine")
    with pytest.raises(OutputError, match="in the way"):
        write_folder(tmp_path, "Ada", {"a": b"1"})
    assert {p.name for p in tmp_path.iterdir()} == {"Ada"}


def test_what_a_kill_left_is_put_right(tmp_path: Path) -> None:
    """Killed between the two moves, the earlier folder comes back; a half one goes."""
    (tmp_path / ".Ada.outseam-old").mkdir()
    (tmp_path / ".Ada.outseam-old" / "pattern.svg").write_text("earlier")
    (tmp_path / ".Bo.outseam-new").mkdir()
    (tmp_path / "Cy").mkdir()
    (tmp_path / ".Cy.outseam-old").mkdir()
    (tmp_path / ".Cy.outseam-old" / "notes.txt").write_text("hers")
    tidy(tmp_path)
    found = {str(p.relative_to(tmp_path)) for p in tmp_path.rglob("*")}
    assert found == {"Ada", "Ada/pattern.svg", "Cy", "Cy/notes.txt"}


@given(st.lists(st.text(max_size=120), min_size=1, max_size=12))
def test_folder_names_are_safe_and_unique(names: list[str]) -> None:
    """On systems that fold capitals, compose accents, keep device names or cut at 255 bytes."""
    rows = [{"name": name} for name in names]
    keys = [folder_key(n, row) for n, row in enumerate(rows, start=1)]
    shared = frozenset(k for k in keys if keys.count(k) > 1)
    found = [folder_name(n, row, shared) for n, row in enumerate(rows, start=1)]
    folded = {unicodedata.normalize("NFKC", name).casefold() for name in found}
    assert len(folded) == len(names)
    for name in found:
        assert name == name.strip()
        assert name
        assert name[0] not in ".-"
        assert len(name.encode()) < 120
        assert not set('<>:"/\\|?*.') & set(name)
        assert not any(unicodedata.category(c) in ("Cc", "Cs", "Cf") for c in name)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Mila Brandt", "Mila Brandt"),
        ("  ../../etc/passwd", "etc passwd"),
        ("con", "con pants"),
        ("Dr. Eva O'Hara-Lind", "Dr Eva O'Hara-Lind"),
        ("陳 小美", "陳 小美"),
        ("...", ""),
    ],
)
def test_names_stay_human(text: str, name: str) -> None:
    assert safe_name(text) == name


def test_sheet_of_a_large_class_runs_over_pages() -> None:
    one = {
        "id": "a", "status": "drafted", "says": "", "folder": "x", "units": "cm",
        "style": "flare leg", "fabric": "knit", "round": "round the body: stretch across, 50 %",
         "body_hip_mm": 1000.0, "pages": {"a4": 20},
        "finished_mm": {"hip": 990.0, "inseam": 700.0}, "pieces": 6, "warnings": ["Too long."],
    }  # fmt: skip
    rows = [one | {"number": n, "who": f"Person {n}"} for n in range(1, 61)]
    pages = pypdf.PdfReader(io.BytesIO(class_files(rows)["class-sheet.pdf"])).pages
    assert len(pages) > 1
    assert len(class_csv(rows).splitlines()) == 61
