"""The story in the gallery is what the program says today; only the pictures are not compared."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

GALLERY = Path(__file__).parents[2] / "gallery"
sys.path.insert(0, str(GALLERY))
import story  # noqa: E402


def test_the_story_is_told_as_it_is_on_record(
    tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    told = story.tell(tmp_path)
    if request.config.getoption("--rewrite"):
        story.build()
    assert story.PAGE.exists(), "no story on record: look at it, then pytest tests/golden --rewrite"
    assert told.page == story.PAGE.read_text("utf-8")
    assert told.spec == (story.FOLDER / "oda.toml").read_text("utf-8")
    assert json.loads(told.lay) == json.loads((story.FOLDER / "oda.lay.json").read_text("utf-8"))


def test_every_picture_of_the_story_is_there() -> None:
    named = set(story.PAGE.read_text("utf-8").split("](")[1:])
    files = {name.split(")")[0] for name in named}
    assert len(files) >= 8
    assert all((GALLERY / name).stat().st_size > 1000 for name in files)


def test_what_is_not_said_is_not_quoted() -> None:
    assert story.lines("Checks: 3 of 3\nWARNING: x", "WARNING", "Checks") == (
        "WARNING: x\nChecks: 3 of 3"
    )
    with pytest.raises(ValueError, match="is not said"):
        story.lines("Checks: 3 of 3", "WARNING")
