"""A body or a fabric in a file of its own, shared by many specs."""

from __future__ import annotations

from pathlib import Path

import pytest

from outseam.draft.inputs.errors import InputError
from outseam.draft.spec.spec import load_spec, parse_spec

BODY = 'units = "in"\n[body]\nheight = 66\nwaist = 32\nhip = 41\ninside_leg = 30\n'


def test_one_body_for_many_specs(tmp_path: Path) -> None:
    (tmp_path / "ana.toml").write_text(BODY)
    (tmp_path / "cloth.toml").write_text('stretch_across = "40 %"\n')
    for leg in ("flare", "slim"):
        spec = tmp_path / f"{leg}.toml"
        spec.write_text(
            f'units = "cm"\nbody = "ana.toml"\nfabric = "cloth.toml"\n[style]\nleg = "{leg}"\n'
            "hem_width = 60\n"
        )
        found = load_spec(spec)
        assert found.body.hip == pytest.approx(41 * 25.4)
        assert found.fabric.stretch_across == pytest.approx(0.4)
        assert found.style.hem_width == pytest.approx(600)
        assert found.units == "cm"


def test_a_missing_body_file_is_named(tmp_path: Path) -> None:
    (tmp_path / "s.toml").write_text('body = "nobody.toml"\n')
    with pytest.raises(InputError, match=r"nobody\.toml"):
        load_spec(tmp_path / "s.toml")


def test_an_error_in_the_body_file_is_said(tmp_path: Path) -> None:
    (tmp_path / "ana.toml").write_text(BODY.replace("hip", "hipp"))
    (tmp_path / "s.toml").write_text('body = "ana.toml"\n')
    with pytest.raises(InputError, match="did you mean"):
        load_spec(tmp_path / "s.toml")


def test_a_style_stays_in_its_spec(tmp_path: Path) -> None:
    with pytest.raises(InputError):
        parse_spec('body = "ana.toml"\n', "text without a folder")
