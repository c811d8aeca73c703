"""A CSV of bodies: one line each, in order; a bad row does not stop the rest."""

from __future__ import annotations

import json
from functools import partial
from pathlib import Path

import pytest

from outseam.cli.batch.patterns import draft_lines
from outseam.cli.batch.pool import in_processes
from outseam.cli.batch.rows import Defaults
from outseam.cli.batch.table import open_table
from outseam.cli.main import run
from outseam.draft.spec.spec import load_style

KEYS = {
    "stretch_round",
    *("id", "status", "says", "crotch_seam_mm", "crotch_target_mm", "outseam_front_mm"),
    *("outseam_back_mm", "inseam_front_mm", "inseam_back_mm", "fork_ratio", "thigh_mm"),
    *("hip_mm", "hem_mm", "back_lift_mm", "findings", "drop_mm", "front_raise_mm"),
    *("back_raise_mm", "inseam_lean_deg", "profile"),
}
HEADER = "id,build,height,waist,hip,inside_leg,crotch_length\n"


def write(path: Path, rows: list[str], header: str = HEADER) -> Path:
    path.write_text(header + "".join(r + "\n" for r in rows))
    return path


def done(bodies: Path, out: Path, *more: str) -> list[dict[str, object]]:
    with pytest.raises(SystemExit) as stopped:
        run(["batch", str(bodies), "--json", str(out), *more])
    assert stopped.value.code == 0
    return [json.loads(line) for line in out.read_text().splitlines()]


def test_rows_in_order_and_a_bad_one_refused(tmp_path: Path) -> None:
    rows = [
        "a,women,168,82,104,77,",
        "b,women,168,82,9.7,77,",
        "c,men,180,90,100,84,70",
        "d,women,abc,82,104,77,",
        "e,women,168,82,104,77,20",
    ]
    lines = done(write(tmp_path / "b.csv", rows), tmp_path / "o.jsonl")
    assert [x["id"] for x in lines] == ["a", "b", "c", "d", "e"]
    assert [x["status"] for x in lines] == [
        "drafted", "refused", "drafted", "refused", "refused",
    ]  # fmt: skip
    assert "hip" in str(lines[1]["says"])
    assert "height" in str(lines[3]["says"])
    assert "crotch_length" in str(lines[4]["says"])
    for line in (lines[0], lines[2]):
        assert set(line) == KEYS
        assert line["crotch_seam_mm"] == pytest.approx(line["crotch_target_mm"], abs=0.5)
        assert line["outseam_front_mm"] == pytest.approx(line["outseam_back_mm"], abs=0.5)
        assert line["inseam_front_mm"] == pytest.approx(line["inseam_back_mm"], abs=0.5)


def test_crotch_target_follows_the_tape(tmp_path: Path) -> None:
    """Two bodies that differ by 2 cm of crotch length differ by that in the seam."""
    rows = ["a,women,168,82,104,77,70", "b,women,168,82,104,77,72"]
    a, b = done(write(tmp_path / "b.csv", rows), tmp_path / "o.jsonl")
    assert float(str(b["crotch_seam_mm"])) - float(str(a["crotch_seam_mm"])) == pytest.approx(
        20.0, abs=0.05
    )


def test_style_from_a_spec(tmp_path: Path) -> None:
    spec = tmp_path / "s.toml"
    spec.write_text(
        "[body]\nheight=160\nwaist=70\nhip=90\ninside_leg=72\n[style]\nleg='palazzo'\n"
        "hem_width=90\n"
    )
    (line,) = done(
        write(tmp_path / "b.csv", ["a,women,168,82,104,77,"]),
        tmp_path / "o.jsonl",
        "--style",
        str(spec),
    )
    assert line["hem_mm"] == pytest.approx(900, rel=0.01)


def test_processes_keep_the_order(tmp_path: Path) -> None:
    size = 8
    n = 3 * size + 5
    rows = [f"r{i},women,{160 + i % 20},82,104,77," for i in range(n)]
    table = open_table(write(tmp_path / "b.csv", rows))
    work = partial(draft_lines, Defaults(spec=load_style(None)))
    done = in_processes(work, table.rows(), jobs=2, size=size)
    assert [json.loads(x.line)["id"] for _, c in done for x in c] == [f"r{i}" for i in range(n)]


def test_misspelt_column_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = write(tmp_path / "b.csv", ["168,82,104,77"], "height,waist,hipp,inside_leg\n")
    out = tmp_path / "o.jsonl"
    out.write_text("earlier")
    with pytest.raises(SystemExit) as stopped:
        run(["batch", str(path), "--json", str(out)])
    assert stopped.value.code == 2
    assert "did you mean" in capsys.readouterr().err
    assert out.read_text() == "earlier"


@pytest.mark.parametrize(
    ("content", "word"),
    [(b"", "empty"), (b"id,hip\n\xff\xfe,3\n", "UTF-8"), (None, "no such file")],
)
def test_unreadable_csv(
    content: bytes | None, word: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "b.csv"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(SystemExit) as stopped:
        run(["batch", str(path), "--json", str(tmp_path / "o.jsonl")])
    assert stopped.value.code == 2
    assert word in capsys.readouterr().err
    assert [p.name for p in tmp_path.iterdir()] in ([], ["b.csv"])
