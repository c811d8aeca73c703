"""The page about Python says what works: its blocks are run, one after another."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import outseam

PAGE = Path(__file__).parents[2] / "gallery" / "python.md"


def test_every_block_runs(capsys: pytest.CaptureFixture[str]) -> None:
    blocks = re.findall(r"```python\n(.*?)```", PAGE.read_text("utf-8"), re.DOTALL)
    assert len(blocks) >= 5
    names: dict[str, object] = {}
    for block in blocks:
        exec(compile(block, str(PAGE), "exec"), names)
    said = capsys.readouterr().out
    assert "Front leg" in said
    assert "leg palazzo" in said
    assert "body.hip" in said


def test_a_draft_shows_itself() -> None:
    body = "[body]\nheight = 168\nwaist = 80\nhip = 104\ninside_leg = 77\n"
    spec = outseam.parse_spec('title = "<b>Tea</b>"\n' + body)
    draft = outseam.draft_spec(spec)
    assert draft._repr_svg_().lstrip().startswith("<?xml")
    shown = draft._repr_html_()
    assert "<svg" in shown
    assert "<b>Tea" not in shown
    assert draft.summary()["finished_mm"]["hip"] == pytest.approx(draft.figures["hip"], abs=1e-3)


def test_names_are_all_there_and_nothing_is_loaded_before_it_is_used() -> None:
    import subprocess
    import sys

    for name in outseam.__all__:
        assert getattr(outseam, name) is not None
    with pytest.raises(AttributeError, match="no attribute 'nothing'"):
        _ = outseam.nothing  # type: ignore[attr-defined]
    code = "import outseam, sys; print(sorted(m for m in sys.modules if m.startswith('outseam.')))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
