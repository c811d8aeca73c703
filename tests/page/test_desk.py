"""A desk: saving at once, the history, changes made elsewhere, and a server that is killed."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
import tomllib
from pathlib import Path

import pytest

from outseam.cli.page.desk import Desk
from outseam.cli.page.folder import Folder
from outseam.cli.page.key_text import OtherValueError
from outseam.cli.page.shelf import cards, rows_of, start
from outseam.cli.page.state import state
from outseam.cli.write.save import OutputError
from outseam.draft.inputs.errors import InputError
from page.conftest import ANA


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    (tmp_path / "ana.toml").write_text(ANA, encoding="utf-8")
    return Folder(root=tmp_path.resolve())


@pytest.fixture
def desk(folder: Folder) -> Desk:
    return Desk(folder=folder, name="ana")


def test_a_change_is_in_the_file_and_the_draft_follows(desk: Desk) -> None:
    before = desk.draft("cm").pattern
    desk.change("body", "hip", 108)
    assert desk.path.read_text("utf-8") == ANA.replace("hip = 112", "hip = 108")
    after = desk.draft("cm").pattern
    assert before is not None
    assert after is not None
    assert after.block.hip_mm < before.block.hip_mm
    assert desk.ghost is before


def test_steps_back_and_forth_lose_nothing(desk: Desk) -> None:
    desk.change("body", "hip", 108)
    desk.change("style", "leg", "palazzo")
    last = desk.source
    assert desk.step(-1)
    assert desk.data["style"]["leg"] == "flare"
    assert desk.step(-1)
    assert desk.source == ANA
    assert not desk.step(-1)
    assert desk.step(1)
    assert desk.step(1)
    assert desk.source == last
    assert desk.steps() == (True, False)
    # A change after a step back keeps what was stepped back from.
    desk.step(-1)
    desk.change("body", "waist", 87)
    texts = [p.read_text("utf-8") for p in desk.folder.stored("history", "ana")]
    assert last in texts
    assert desk.step(-1)
    assert desk.data["body"]["waist"] == 88


def test_a_run_of_changes_of_one_key_is_one_step(desk: Desk) -> None:
    for hip in (111, 110, 109, 108):
        desk.change("body", "hip", hip)
    desk.step(-1)
    assert desk.source == ANA


def test_a_change_made_elsewhere_is_merged_or_asked_about(desk: Desk) -> None:
    desk.path.write_text(ANA.replace("waist = 88", "waist = 86"), encoding="utf-8")
    desk.change("body", "hip", 108, seen=112)
    assert (desk.data["body"]["waist"], desk.data["body"]["hip"]) == (86, 108)
    desk.path.write_text(desk.source.replace("hip = 108", "hip = 107"), encoding="utf-8")
    with pytest.raises(OtherValueError) as caught:
        desk.change("body", "hip", 105, seen=108)
    assert caught.value.theirs == 107
    assert desk.data["body"]["hip"] == 107
    desk.change("body", "hip", 105, seen=108, anyway=True)
    assert desk.data["body"]["hip"] == 105


def test_a_file_broken_elsewhere_is_told_and_the_last_draft_stays(desk: Desk) -> None:
    good = desk.draft("cm").spec
    desk.path.write_text(ANA.replace("waist = 88", "waist = "), encoding="utf-8")
    assert desk.refresh()
    found = desk.draft("cm")
    assert found.fault is not None
    assert "line 8" in found.fault.says
    assert desk.good is not None
    assert desk.good.spec == good
    with pytest.raises(InputError):
        desk.change("body", "hip", 108)
    assert desk.step(-1)  # the last whole text again
    assert desk.fault is None
    assert desk.source == ANA


def test_what_is_stored_is_hers_alone_and_modes_stay(folder: Folder, desk: Desk) -> None:
    desk.path.chmod(0o600)
    desk.change("body", "hip", 108)
    assert desk.path.stat().st_mode & 0o777 == 0o600
    hidden = folder.root / ".outseam"
    assert hidden.stat().st_mode & 0o077 == 0
    assert all(p.stat().st_mode & 0o077 == 0 for p in hidden.rglob("*"))


def test_a_folder_that_cannot_be_written_to_can_be_looked_at(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise OutputError("The files were not written.", "")

    monkeypatch.setattr("outseam.cli.page.folder.save_all", refuse)
    again = Desk(folder=desk.folder, name="ana")
    assert again.draft("cm").pattern is not None
    with pytest.raises(OutputError):
        again.change("body", "hip", 108)
    assert again.path.read_text("utf-8") == ANA


def test_nothing_outside_the_folder(
    folder: Folder, tmp_path_factory: pytest.TempPathFactory
) -> None:
    away = tmp_path_factory.mktemp("away")
    (away / "theirs.toml").write_text(ANA, encoding="utf-8")
    (folder.root / "link.toml").symlink_to(away / "theirs.toml")
    (folder.root / "leads.toml").write_text(
        ANA.replace("[fabric]", "[x]").split("[x]")[0].split("[body]")[0]
        + f'body = "../{away.name}/theirs.toml"\n[style]\n',
        encoding="utf-8",
    )
    assert folder.names() == ("ana", "leads")
    for name in ("link", "../away/theirs", "..", "", "ana\0", ".outseam"):
        with pytest.raises(KeyError):
            folder.path(name)
    found = Desk(folder=folder, name="leads").draft("cm")
    assert found.fault is not None
    assert "outside of this folder" in found.fault.says


def test_a_body_in_a_file_of_its_own_is_changed_there(folder: Folder) -> None:
    body = '# Ana, measured in inches\nunits = "in"\nheight = 64\nwaist = 34 # snug\nhip = 44\n'
    (folder.root / "body-of-ana.toml").write_text(body + "inside_leg = 28\n", encoding="utf-8")
    spec = 'title = "Shared"\nbody = "body-of-ana.toml"\n[style]\nleg = "straight"\n'
    (folder.root / "shared.toml").write_text(spec, encoding="utf-8")
    desk = Desk(folder=folder, name="shared")
    assert desk.draft("cm").pattern is not None
    assert (desk.whole()["body"]["hip"], desk.units_of("body"), desk.units) == (44, "in", "cm")
    version = desk.version
    desk.change("body", "hip", 43.5, seen=44)
    assert desk.source == spec
    assert "hip = 43.5\n" in (folder.root / "body-of-ana.toml").read_text("utf-8")
    assert "# snug" in (folder.root / "body-of-ana.toml").read_text("utf-8")
    assert desk.version > version
    found = desk.draft("cm").pattern
    assert found is not None
    assert found.measures.hip == pytest.approx(43.5 * 25.4)
    # An editor changes the shared file.
    (folder.root / "body-of-ana.toml").write_text(body + "inside_leg = 29\n", encoding="utf-8")
    assert desk.refresh()
    found = desk.draft("cm").pattern
    assert found is not None
    assert found.measures.hip == pytest.approx(44 * 25.4)
    assert not desk.refresh()


def test_the_shelf(folder: Folder) -> None:
    new = start(folder, "Für Ida, blau / weiß", "in")
    assert new == "fur-ida-blau-weiss"
    again = start(folder, "Ana's again", "cm", "ana")
    assert tomllib.loads(folder.read(folder.path(again)))["title"] == "Ana's again"
    (folder.root / "body.toml").write_text("hip = 100\n", encoding="utf-8")
    (folder.root / "broken.toml").write_text("[body\n", encoding="utf-8")
    found = {c.name: c for c in cards(folder)}
    assert set(found) == {"ana", "broken", again, new}
    assert (found["ana"].person, found["ana"].cloth) == ("Ana", "viscose jersey, leaves")
    assert "line 1" in found["broken"].wrong
    opened = state(Desk(folder=folder, name="broken"), "cm")
    assert (opened["draft"], opened["needed"]) == (None, "")
    assert "line 1" in opened["fault"]["says"]
    assert start(folder, "Ana's again", "cm") == f"{again}-2"


def test_a_class_that_sews_one_cloth_stands_in_a_row(folder: Folder) -> None:
    (folder.root / "ponte.toml").write_text('name = "ponte, plum"\n', encoding="utf-8")
    for name, hip in (("bo", 96), ("cleo", 118)):
        body = f"[body]\nname = '{name}'\nheight = 165\nwaist = 80\nhip = {hip}\ninside_leg = 75\n"
        text = f'title = "Class pants, {name}"\nfabric = "ponte.toml"\n{body}'
        (folder.root / f"{name}.toml").write_text(text, encoding="utf-8")
    rows = rows_of(cards(folder))
    assert [(heading, [c.name for c in row]) for heading, row in rows] == [
        ("", ["ana"]),
        ("2 in ponte, plum", ["bo", "cleo"]),
    ]


_SAVING = """
import sys
from pathlib import Path
from outseam.cli.page.desk import Desk
from outseam.cli.page.folder import Folder
desk = Desk(folder=Folder(root=Path(sys.argv[1]).resolve()), name="ana")
print("ready", flush=True)
n = 0
while True:
    n += 1
    desk.change("body", "hip", 100 + n % 20)
"""


@pytest.mark.skipif(os.name != "posix", reason="killed as POSIX systems kill")
def test_killed_while_saving_the_file_is_whole(folder: Folder) -> None:
    path = folder.root / "ana.toml"
    for wait in (0.03, 0.11, 0.17):
        with subprocess.Popen(
            [sys.executable, "-c", _SAVING, str(folder.root)], stdout=subprocess.PIPE, text=True
        ) as process:
            assert process.stdout is not None
            assert process.stdout.readline() == "ready\n"
            time.sleep(wait)
            process.send_signal(signal.SIGKILL)
        data = tomllib.loads(path.read_text("utf-8"))
        assert data["body"]["waist"] == 88
        assert 100 <= data["body"]["hip"] <= 120
        assert path.read_text("utf-8").count("\n") == ANA.count("\n")
