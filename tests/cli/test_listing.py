"""A folder of specs at a glance."""

from __future__ import annotations

from pathlib import Path

import pytest

from outseam.cli.commands.listing import rows_of
from outseam.draft.inputs.errors import InputError

SPEC = 'title = "Summer"\nbody = "ana.toml"\n[style]\nleg = "flare"\n'
BODY = 'name = "Ana"\nheight = 168\nwaist = 80\nhip = 104\ninside_leg = 77\n'


def test_specs_are_listed_and_shared_files_are_not(tmp_path: Path) -> None:
    (tmp_path / "ana.toml").write_text(BODY)
    (tmp_path / "summer.toml").write_text(SPEC)
    (tmp_path / "winter.toml").write_text(SPEC.replace("flare", "flair"))
    (good, bad) = rows_of(tmp_path)
    assert good[:4] == ("summer.toml", "Summer", "Ana", "104 cm")
    assert "flare" in good[4]
    assert not good[5]
    assert bad[0] == "winter.toml"
    assert "style.leg" in bad[5]


def test_a_folder_that_is_none(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no such folder"):
        rows_of(tmp_path / "none")
