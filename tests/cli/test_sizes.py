"""`outseam sizes`: figures, the picture of coverage and patterns, from tables, CSVs and grades."""

from __future__ import annotations

import csv
import io
import json
import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from outseam.cli.main import run
from outseam.cli.sizes.files import SizeRange, size_range
from outseam.cli.sizes.picture import HEIGHT_MM, WIDTH_MM, coverage_scene
from outseam.draft.inputs.errors import InputError
from outseam.draft.sizes.coverage import FitRule
from outseam.draft.spec.spec import load_style

STYLE = (
    "title = 'Harbour pants'\n[fabric]\nkind = 'woven'\n[style]\nlength = 'knee'\n"
    "[print]\npapers = ['a0']\n"
)
GRADE = (
    "title = 'Harbour grade'\nlabels = ['S', 'M', 'L']\nbase = 'M'\n[body]\nwaist = 72\nhip = 96\n"
    "[steps]\nwaist = 4\nhip = [4, 5]\n"
)


@pytest.fixture
def style(tmp_path: Path) -> Path:
    path = tmp_path / "style.toml"
    path.write_text(STYLE)
    return path


def done(style: Path, *more: str, code: int = 0) -> Path:
    out = style.parent / "out"
    with pytest.raises(SystemExit) as stopped:
        run(["sizes", str(style), "--out", str(out), *more])
    assert stopped.value.code == code
    return out


@pytest.fixture(scope="module")
def table(tmp_path_factory: pytest.TempPathFactory) -> SizeRange:
    path = tmp_path_factory.mktemp("s") / "style.toml"
    path.write_text(STYLE)
    return size_range(load_style(path), "en-13402-women")


def test_figures_agree_in_json_csv_and_python(
    style: Path, table: SizeRange, capsys: pytest.CaptureFixture[str]
) -> None:
    out = done(style)
    data = json.loads((out / "sizes.json").read_text())
    rows = list(csv.DictReader(io.StringIO((out / "sizes.csv").read_text())))
    columns = table.columns
    assert {len(v) for v in columns.values()} == {12}
    assert [row["size"] for row in rows] == columns["size"] == [s["size"] for s in data["sizes"]]
    for key in ("body_hip_mm", "hip_mm", "elastic_mm", "serves"):
        assert [float(row[key]) for row in rows] == columns[key]
        assert [s[key] for s in data["sizes"]] == columns[key]
    assert data["coverage"]["total"] == pytest.approx(table.coverage.total, abs=1e-4)
    assert "EN 13402-3" in data["source"]
    assert [b["count"] for b in data["best_sizes"]] == list(range(1, len(data["best_sizes"]) + 1))
    assert data["best_sizes"][-1]["coverage"] > data["coverage"]["total"] > 0.85
    told = " ".join(capsys.readouterr().out.split())
    assert f"serve {100 * table.coverage.total:.1f} % of the people" in told
    assert "from memory" in told


def test_picture_is_drawn_to_the_numbers(table: SizeRange) -> None:
    """Dots and crosses are people, as many and as dark as the figures say; labels are the sizes."""
    scene = coverage_scene(table.run, table.coverage)
    layers = {layer.name: layer.items for layer in scene.layers}
    assert (scene.width_mm, scene.height_mm) == (WIDTH_MM, HEIGHT_MM)
    crosses = sum(1 for i in layers["people"] if getattr(i, "pen", None) is not None) / 2
    dots = sum(1 for i in layers["people"] if getattr(i, "pen", None) is None)
    unserved = 1.0 - table.coverage.total
    assert crosses / (crosses + dots) == pytest.approx(unserved, abs=4 * np.sqrt(unserved / 900))
    shown = {getattr(i, "text", None) for i in layers["sizes"]}
    assert set(table.run.labels) <= shown


def test_files_open(style: Path) -> None:
    out = done(style, "--table", "astm-d5585-misses")
    root = ET.fromstring((out / "coverage.svg").read_text())
    assert root.tag.endswith("svg")
    picture = Image.open(out / "coverage.png")
    assert picture.width == 1600
    assert len(set(np.asarray(picture.convert("L")).ravel().tolist())) > 50
    assert {p.name for p in out.iterdir()} == {
        "coverage.png", "coverage.svg", "sizes.csv", "sizes.json",
    }  # fmt: skip


def test_grade_with_patterns(style: Path) -> None:
    (style.parent / "grade.toml").write_text(GRADE)
    out = done(style, "--table", str(style.parent / "grade.toml"), "--patterns", "--jobs", "1")
    folders = {p.name for p in out.iterdir() if p.is_dir()}
    assert folders == {"size S", "size M", "size L"}
    for folder, hip in (("size S", 920), ("size M", 960), ("size L", 1010)):
        kept = json.loads((out / folder / "summary.json").read_text())
        assert kept["measures"]["hip"]["mm"] == hip
        assert kept["title"] == f"Harbour pants, {folder}"
        assert (out / folder / "pattern-a0.pdf").exists()


def test_nest_of_some_sizes(style: Path) -> None:
    (style.parent / "grade.toml").write_text(GRADE)
    table = str(style.parent / "grade.toml")
    out = done(style, "--table", table, "--nest", "side", "--only", "S, L")
    assert (out / "nest-a0.pdf").exists()
    words = (out / "nest.svg").read_text()
    assert ">L<" in words
    assert ">M<" not in words
    done(style, "--table", table, "--nest", "side", "--only", "S,Q", code=2)


@pytest.mark.parametrize(
    ("text", "units", "hips"),
    [
        ("id;waist;hip\n36;68,5;92\n38;72;96,5\n", "cm", [920, 965]),
        ("name,hip,waist,height\nA,36 1/4,26,64\nB,38,28,65\n", "in", [920.75, 965.2]),
    ],
)
def test_her_own_table(text: str, units: str, hips: list[float], tmp_path: Path) -> None:
    (tmp_path / "own.csv").write_text(text)
    found = size_range(load_style(None), "own.csv", units=units, folder=tmp_path)  # type: ignore[arg-type]
    assert found.columns["body_hip_mm"] == pytest.approx(hips)
    assert all(mm > 700 for mm in found.columns["body_inside_leg_mm"])


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("id,waist\nA,70\n", "hip"),
        ("id,waist,hip\nA,70,9.2\n", "slipped"),
        ("id,waist,hip\n", "no size"),
        ("id,waist,hip,style.leg\nA,70,92,flare\n", "bodies only"),
        ("id,build,waist,hip\nA,women,70,92\nB,men,70,92\n", "both builds"),
        ("id,build,waist,hip\nA,child,70,92\n", "build"),
        ("id,waist,hip\nA,70,92,5\n", "row 1"),
        ("id,waist,hip\nA,70,92\na,74,96\n", "twice"),
    ],
)
def test_tables_that_cannot_be_used(text: str, words: str, tmp_path: Path) -> None:
    (tmp_path / "own.csv").write_text(text)
    with pytest.raises(InputError, match=words):
        _ = size_range(load_style(None), "own.csv", folder=tmp_path).run


def test_no_such_table_and_no_such_file(style: Path, capsys: pytest.CaptureFixture[str]) -> None:
    done(style, "--table", "en-13402-wmen", code=2)
    done(style, "--table", "gone.csv", code=2)
    done(style, "--table", "gone.toml", code=2)
    err = capsys.readouterr().err
    assert "did you mean" in err
    assert err.count("no such file") == 2


def test_close_fit_needs_a_fabric_that_stretches(style: Path) -> None:
    """Nothing can be drafted: one sentence, nothing written."""
    style.write_text(STYLE.replace("length = 'knee'", "fit = 'close'"))
    out = done(style, code=2)
    assert not out.exists()


def test_as_meant_serves_fewer() -> None:
    spec = load_style(None)
    strict = size_range(spec, "en-13402-women", rule=FitRule(as_meant=True))
    loose = size_range(spec, "en-13402-women")
    assert strict.coverage.total == strict.as_meant == loose.as_meant < loose.coverage.total


def test_height_moves_the_lengths(style: Path) -> None:
    out = done(style, "--height", "5 ft 2 in")
    rows = list(csv.DictReader(io.StringIO((out / "sizes.csv").read_text())))
    assert {float(row["body_height_mm"]) for row in rows} == {1574.8}
