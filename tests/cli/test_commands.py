"""The commands as a user types them, in a process of their own or through click's runner."""

from __future__ import annotations

import inspect
import json
import subprocess
import sys
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules

import pytest

from outseam.cli import commands
from outseam.cli.main import cli, run

HERE = Path(__file__).parents[2]


def outseam(*arguments: str | Path, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", "from outseam.cli.main import run; run()", *map(str, arguments)],
        capture_output=True,
        text=True,
        cwd=cwd or HERE,
        env=None,
        check=False,
    )


def called(capsys: pytest.CaptureFixture[str], *arguments: str | Path) -> tuple[int, str, str]:
    """Run in this process: exit code, what was printed, what was complained about."""
    with pytest.raises(SystemExit) as stopped:
        run([str(a) for a in arguments])
    out, err = capsys.readouterr()
    code = stopped.value.code
    return (0 if code is None else int(code)), out, err


def test_help_names_every_command(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = called(capsys, "--help")
    assert code == 0
    for name in (
        *("draft", "check", "trial", "compare", "worksheet", "fit", "lay", "buy", "init"),
        *("measure", "batch", "sizes", "page", "list"),
    ):
        assert name in out
        assert name in cli.commands


@pytest.mark.parametrize("name", cli.commands)
def test_options_are_what_the_function_behind_a_command_takes(name: str) -> None:
    """They are handed on by name, which no type checker sees."""
    modules = (
        import_module(f"outseam.cli.commands.{m.name}") for m in iter_modules(commands.__path__)
    )
    (function,) = {f for m in modules if (f := getattr(m, f"{name}_command", None))}
    taken = inspect.signature(function).parameters
    assert {p.name for p in cli.commands[name].params} == set(taken)


def test_help_imports_nothing_heavy() -> None:
    code = "import sys; from outseam.cli.main import run\n"
    code += "try: run(['--help'])\nexcept SystemExit: pass\n"
    code += "print([m for m in ('numpy', 'scipy', 'pint', 'shapely', 'rich') if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip().endswith("[]")


def test_draft_demo_writes_everything(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "demo"
    code, said, _ = called(capsys, "draft", "--out", out)
    assert code == 0
    names = {p.name for p in out.iterdir()}
    expected = {"pattern.svg", "preview.png", "summary.json"}
    expected |= {f"pattern-{paper}.pdf" for paper in ("a4", "letter", "a0")}
    assert names == expected
    assert "Finished measurements" in said
    assert "100 %" in said
    figures = json.loads((out / "summary.json").read_text())
    assert figures["findings"]["error"] == 0
    f = figures["figures"]
    assert f["crotch_seam_mm"] == pytest.approx(f["crotch_target_mm"], abs=0.5)
    assert f["outseam_front_mm"] == pytest.approx(f["outseam_back_mm"], abs=0.5)
    assert figures["pages"]["a4"]["pages"] == figures["pages"]["a4"]["tiles"] + 1


def test_same_input_same_bytes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for name in ("one", "two"):
        assert (
            called(capsys, "draft", HERE / "gallery/close-84.toml", "--out", tmp_path / name)[0]
            == 0
        )
    for file in (tmp_path / "one").iterdir():
        assert file.read_bytes() == (tmp_path / "two" / file.name).read_bytes(), file.name


FOUR_IN = {"height": 66, "waist": "31.5", "hip": 41, "inside_leg": "30.25"}


def test_init_then_check_then_draft(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    spec = tmp_path / "pants.toml"
    assert called(capsys, "init", spec)[0] == 0
    before = spec.read_bytes()
    code, _, err = called(capsys, "init", spec)
    assert code == 2
    assert "already there" in err
    assert spec.read_bytes() == before
    assert called(capsys, "init", spec, "--units", "in", "--replace")[0] == 0
    assert spec.read_bytes() != before
    code, _, err = called(capsys, "check", spec)
    assert code == 2
    assert "not given" in err
    text = spec.read_text()
    for key, value in FOUR_IN.items():
        text = text.replace(f'\n{key} = ""', f"\n{key} = {value}")
    spec.write_text(text)
    assert called(capsys, "check", spec)[0] == 0
    assert called(capsys, "draft", spec, "--out", tmp_path / "out")[0] == 0


def test_check_says_first_what_is_to_be_done(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    spec = tmp_path / "pants.toml"
    spec.write_text("[body]\nheight = 168\nwaist = 82\nhip = 104\ninside_leg = 77\n")
    code, out, _ = called(capsys, "check", spec)
    assert code == 0
    table = out.index("Finished measurements")
    for first in ("Measure this next", "note:", "Checks: all", "Sew a short trial"):
        assert out.index(first) < table
    for hidden in (" sd", "back fork", "handbook"):
        assert hidden not in out
    more = called(capsys, "check", spec, "--figures")[1]
    assert "back fork" in more


def test_compare_counts_from_the_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    spec = tmp_path / "pants.toml"
    spec.write_text("[body]\nheight = 168\nwaist = 82\nhip = 104\ninside_leg = 77\n")
    for values, base in (("high,mid,low", 2), ("high,low", 1)):
        code, out, _ = called(
            capsys, "compare", spec, "--vary", f"rise={values}", "--out", tmp_path
        )
        assert code == 0
        assert f"difference from {base};" in out


def test_check_json_is_the_summary(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = called(capsys, "check", HERE / "gallery/flare-92.toml", "--json")
    assert code == 0
    data = json.loads(out)
    assert data["style"]["leg"] == "flare"
    assert data["finished_mm"]["hem"] == pytest.approx(620.0, rel=0.01)
    assert {e["name"] for e in data["estimates"]} >= {"thigh", "knee"}


def test_strict_fails_on_warnings(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    spec = tmp_path / "tight.toml"
    spec.write_text(
        "[body]\nheight = 168\nwaist = 82\nhip = 104\ninside_leg = 77\n"
        '[fabric]\nkind = "woven"\n[style]\nleg = "straight"\nhem_width = 24\n'
    )
    code, said, _ = called(capsys, "check", spec)
    assert code == 0
    assert "WARNING" in said
    assert "heel" in said
    assert called(capsys, "check", spec, "--strict")[0] == 1


def test_measure_writes_one_page(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sheet = tmp_path / "sheet.html"
    assert called(capsys, "measure", "--out", sheet)[0] == 0
    text = sheet.read_text()
    assert "crotch_length" in text
    assert "<svg" in text


def test_usage_error_is_one_sentence() -> None:
    done = outseam("draft", "--wide")
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "--wide" in done.stderr
    assert "Traceback" not in done.stderr


def test_version() -> None:
    done = outseam("--version")
    assert done.returncode == 0
    assert "0.1.0" in done.stdout
