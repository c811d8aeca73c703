"""The stories in the gallery are what the program says today; only pictures are not compared."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

GALLERY = Path(__file__).parents[2] / "gallery"
sys.path.insert(0, str(GALLERY))
import border  # noqa: E402
import story  # noqa: E402
import telling  # noqa: E402

STORIES = (story.STORY, border.STORY)


@pytest.mark.parametrize("one", STORIES, ids=lambda one: one.name)
def test_the_story_is_told_as_it_is_on_record(
    one: telling.Story, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    if request.config.getoption("--rewrite"):
        telling.build(one)
    told = telling.tell(one, tmp_path)
    assert one.page.exists(), "no story on record: look at it, then pytest tests/golden --rewrite"
    assert told.page == one.page.read_text("utf-8")
    assert told.spec == one.spec.read_text("utf-8")
    assert json.loads(told.lay) == json.loads(one.lay.read_text("utf-8"))


@pytest.mark.parametrize("one", STORIES, ids=lambda one: one.name)
def test_every_picture_of_the_story_is_there(one: telling.Story) -> None:
    named = set(one.page.read_text("utf-8").split("](")[1:])
    files = {name.split(")")[0] for name in named}
    assert len(files) >= 6
    assert all((GALLERY / name).stat().st_size > 1000 for name in files)


def test_what_is_not_said_is_not_quoted(tmp_path: Path) -> None:
    assert telling.lines("Checks: 3 of 3\nWARNING: x", "WARNING", "Checks") == (
        "WARNING: x\nChecks: 3 of 3"
    )
    with pytest.raises(ValueError, match="is not said"):
        telling.lines("Checks: 3 of 3", "WARNING")
    with telling.at_home(tmp_path), pytest.raises(AssertionError, match="was not refused"):
        telling.refused("list")
