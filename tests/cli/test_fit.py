"""The trial loop as a user types it: signs listed, an alteration entered, shown, taken off."""

from __future__ import annotations

import re
import tomllib
from datetime import date
from importlib.resources import files
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from outseam.cli.commands.fit import find_sign
from outseam.cli.fitting.drawings import MARKS, sign_drawing
from outseam.cli.fitting.overlay import move_words, moves
from outseam.cli.fitting.spec_text import with_alteration, without_last
from outseam.cli.main import run
from outseam.cli.scene.scene import Stroke
from outseam.cli.write.svg import write_inline_svg
from outseam.draft.alter import ALTERATION_NAMES
from outseam.draft.alter.meaning import ideas, meant
from outseam.draft.alter.signs import SIGN_KEYS, SIGNS
from outseam.draft.inputs.errors import InputError
from outseam.draft.pattern import draft_pattern
from outseam.draft.spec.spec import load_spec

DEMO = files("outseam.draft").joinpath("data/demo.toml").read_text("utf-8")
KEYS = {"what": "flat seat", "amount": "1 cm", "date": "2031-05-28", "seen": 'a "sign" \\ here'}


def called(capsys: pytest.CaptureFixture[str], *arguments: str | Path) -> tuple[int, str, str]:
    with pytest.raises(SystemExit) as stopped:
        run([str(a) for a in arguments])
    out, err = capsys.readouterr()
    code = stopped.value.code
    return (0 if code is None else int(code)), " ".join(out.split()), err


@pytest.fixture
def spec(tmp_path: Path) -> Path:
    path = tmp_path / "pants.toml"
    path.write_bytes(DEMO.encode())
    return path


PIECES = (
    "[body]\nhip = 1\n", "# note\n", "\n", "\n\n", "x = 1 # why\n", "[style] # s\nleg = 'slim'\n",
    "[[alter]]\nwhat = 'full front'\namount = 1 # two\n",
)  # fmt: skip


@given(
    parts=st.lists(st.sampled_from(PIECES), unique=True, max_size=7),
    windows=st.booleans(),
    mark=st.booleans(),
    ends=st.booleans(),
    times=st.integers(1, 3),
)
@example(parts=[PIECES[0]], windows=True, mark=True, ends=False, times=2)
@settings(max_examples=60, derandomize=True, deadline=None, database=None)
def test_taking_off_gives_the_same_text_back(
    parts: list[str], windows: bool, mark: bool, ends: bool, times: int
) -> None:
    text = "".join(sorted(parts, key=lambda p: p.startswith("[")))
    text = text if ends else text.rstrip("\n")
    text = ("\ufeff" if mark else "") + (text.replace("\n", "\r\n") if windows else text)
    texts = [text]
    for _ in range(times):
        texts.append(with_alteration(texts[-1], KEYS))
    data = tomllib.loads(texts[-1].removeprefix("\ufeff"))
    assert data["alter"][-1] == {**KEYS, "date": date(2031, 5, 28)}
    assert texts[-1].startswith(text)
    if "\r\n" in text:
        assert not re.search("(?<!\r)\n", texts[-1])
    now = texts[-1]
    for earlier in reversed(texts[:-1]):
        now = without_last(now)
        assert now == earlier


def test_taking_off_leaves_what_was_written_below() -> None:
    text = with_alteration("[a]\nx = 1\n", KEYS) + "# my own note\n\n[b]\ny = 2\n"
    assert without_last(text) == "[a]\nx = 1\n# my own note\n\n[b]\ny = 2\n"


@pytest.mark.parametrize(
    "text",
    [
        "alter = [{what = 'full seat', amount = 1}]\n",
        '[a]\nx = """\n[[alter]]\n"""\nalter = [{what = "x"}]\n[[b]]\nx = 1\n',
    ],
)
def test_other_forms_are_left_to_the_person(text: str) -> None:
    with pytest.raises(InputError, match=r"text editor|no alteration"):
        without_last(text)
    if text.startswith("alter"):
        with pytest.raises(InputError, match=r"\[\[alter\]\]"):
            with_alteration(text, KEYS)


def test_words_inside_a_text_are_no_heading() -> None:
    text = '[a]\nx = """\n[[alter]]\n"""\n'
    with pytest.raises(InputError, match="no alteration"):
        without_last(text)
    assert without_last(with_alteration(text, KEYS)) == text


def test_the_list_names_every_sign(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = spec.read_bytes()
    code, out, _ = called(capsys, "fit", spec, "--out", tmp_path / "fit")
    assert code == 0
    page = (tmp_path / "fit/fit.html").read_text("utf-8")
    for s in SIGNS:
        assert s.key in out
        assert f"<h3>{s.key}</h3>" in page
    assert page.count("<svg") == len(SIGNS)
    assert "flat seat, 1 cm" in page
    assert not re.search(r"(src|href)\s*=", page)
    assert "http" not in page.replace("http://www.w3.org/2000/svg", "")
    assert spec.read_bytes() == before


def test_the_demo_can_be_listed_but_not_changed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert called(capsys, "fit", "--out", tmp_path / "fit")[0] == 0
    for option in (["--see", "band slips"], ["--undo"]):
        code, _, err = called(capsys, "fit", *option, "--out", tmp_path / "other")
        assert code == 2
        assert "no file is named" in err
    assert not (tmp_path / "other").exists()


def test_a_sign_is_entered_shown_and_taken_off(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before, drafted = spec.read_bytes(), draft_pattern(load_spec(spec))
    out = tmp_path / "fit"
    code, said, _ = called(
        capsys, "fit", spec, "--see", "wrinkles under the seat", "--date", "2031-05-28",
        "--out", out,
    )  # fmt: skip
    assert code == 0
    assert "back crotch seam" in said
    assert "-1 cm" in said
    assert "front crotch seam" not in said
    assert spec.read_bytes().startswith(before)
    (entry,) = tomllib.loads(spec.read_text("utf-8"))["alter"]
    assert entry == {
        "what": "flat seat",
        "amount": "1 cm",
        "date": date(2031, 5, 28),
        "seen": "wrinkles under the seat",
    }
    after = draft_pattern(load_spec(spec))
    assert [m.name for m in moves(drafted, after)] == ["centre back", "back crotch point"]
    drawing = (out / "before-after.svg").read_text("utf-8")
    ElementTree.fromstring(drawing)
    assert "flat seat 1 cm" in drawing
    assert "stroke-dasharray" in drawing
    greys = set(re.findall("#[0-9a-f]{6}", drawing))
    assert greys
    assert all(g[1:3] == g[3:5] == g[5:7] for g in greys)

    assert called(capsys, "fit", spec, "--out", out)[0] == 0
    page = (out / "fit.html").read_text("utf-8")
    assert page.count("<svg") == len(SIGNS) + 1
    assert "<span>2031-05-28</span></td>" in page

    assert called(capsys, "fit", spec, "--see", "band cuts", "--out", out)[0] == 0
    second = spec.read_text("utf-8")
    assert date.today().isoformat() in second
    code, said, _ = called(capsys, "fit", spec, "--undo", "--out", out)
    assert code == 0
    assert "Took off: looser band 2 cm" in said
    assert called(capsys, "fit", spec, "--undo", "--out", out)[0] == 0
    assert spec.read_bytes() == before
    code, _, err = called(capsys, "fit", spec, "--undo", "--out", out)
    assert code == 2
    assert "no alteration to take off" in err


def test_an_amount_of_her_own(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "fit"
    code, said, _ = called(
        capsys, "fit", spec, "--see", "tight across the thigh", "--amount", "1/2 in", "--out", out
    )
    assert code == 0
    assert "full thigh 1.3 cm" in said
    assert load_spec(spec).alter[0].amount == 12.7


def test_a_sign_of_one_side(spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before, out = spec.read_bytes(), tmp_path / "fit"
    code, said, _ = called(
        capsys, "fit", spec, "--see", "dips on one side", "--side", "right", "--out", out
    )
    assert code == 0
    assert "hip higher 1 cm on the right" in said
    assert "outseam" in said
    assert load_spec(spec).alter[0].side == "right"
    assert "front, right leg" in (out / "before-after.svg").read_text("utf-8")
    assert called(capsys, "fit", spec, "--out", out)[0] == 0
    assert "hip higher, right" in (out / "fit.html").read_text("utf-8")
    assert called(capsys, "fit", spec, "--undo", "--out", out)[0] == 0
    assert spec.read_bytes() == before


def test_an_inch_file_gets_eighths(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "inch.toml"
    path.write_text(
        'units = "in"\n[body]\nheight = 66\nwaist = 30\nhip = 40\ninside_leg = 30\n', "utf-8"
    )
    out = tmp_path / "fit"
    assert called(capsys, "fit", path, "--see", "band slips", "--out", out)[0] == 0
    assert 'amount = "3/4 in"' in path.read_text("utf-8")
    assert called(capsys, "fit", path, "--out", out)[0] == 0
    assert "flat seat, 3/8 in" in (out / "fit.html").read_text("utf-8")


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (["--see", "wrinkles under the set"], 'did you mean "wrinkles under the seat"'),
        (["--see", "nothing of the kind at all"], "lists all of them"),
        (["--see", "tight across"], "one of these"),
        (["--see", ""], "one of the signs"),
        (["--see", "tight across the hip"], "measure again"),
        (["--see", "band cuts", "--amount", "0"], "above zero"),
        (["--see", "band cuts", "--amount", "much"], "--amount"),
        (["--see", "band cuts", "--amount", "40 cm"], "alter"),
        (["--see", "band cuts", "--date", "Monday"], "year first"),
        (["--see", "band cuts", "--undo"], "one of the two"),
        (["--amount", "1 cm"], "--see"),
        (["--side", "left"], "--see"),
        (["--see", "waist dips on one side"], "--side left or --side right"),
        (["--see", "smiles at the front crotch", "--side", "left"], "both legs share"),
    ],
)
def test_what_cannot_be_done_changes_nothing(
    spec: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    options: list[str],
    says: str,
) -> None:
    before = spec.read_bytes()
    code, _, err = called(capsys, "fit", spec, *options, "--out", tmp_path / "fit")
    assert code == 2
    assert says in err
    assert err.count("\n") == 1
    assert spec.read_bytes() == before
    assert {p.name for p in tmp_path.iterdir()} == {spec.name}


def test_a_contradiction_names_what_to_keep(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "fit"
    see = ("fit", spec, "--out", out, "--see")
    assert called(capsys, *see, "waist dips at the back")[0] == 0
    kept = spec.read_bytes()
    code, _, err = called(capsys, *see, "hip line rises at the back")
    assert code == 2
    assert 'keep only "full seat", amount 0.5 cm' in err
    assert spec.read_bytes() == kept


def test_one_that_cannot_be_drafted_can_be_taken_off(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = spec.read_bytes()
    text = with_alteration(DEMO, KEYS | {"what": "filled front curve", "amount": "1.2 cm"})
    spec.write_bytes(text.encode())
    code, said, _ = called(capsys, "fit", spec, "--undo", "--out", tmp_path / "fit")
    assert code == 0
    assert "filled front curve" in said
    assert spec.read_bytes() == before


def test_part_of_a_sign_is_enough_when_only_one_has_it() -> None:
    assert find_sign("Wrinkles").key == "wrinkles under the seat"
    assert find_sign("BAND-cuts").key == "band cuts"


@pytest.mark.parametrize(
    ("said", "sign"),
    [
        ("seat too tight", "tight across the seat"),
        ("the bottom is very tight", "tight across the seat"),
        ("cuts at the front", "front crotch curve cuts in"),
        ("baggy under the seat", "wrinkles under the seat"),
        ("loose under my bum", "wrinkles under the seat"),
        ("rides up", "smiles at the front crotch"),
        ("gaps at the back", "folds below the back waist"),
        ("crotch hangs too low", "frowns at the front crotch"),
        ("falls down", "band slips"),
        ("waistband digs in", "band cuts"),
        ("too long", "hem too long"),
        ("wrinkels under the seat", "wrinkles under the seat"),
    ],
)
def test_everyday_words_are_found_by_meaning(said: str, sign: str) -> None:
    if said.startswith("wrinkels"):  # a slip of the keyboard is asked about, not taken
        with pytest.raises(InputError, match=sign):
            find_sign(said)
    else:
        assert find_sign(said).key == sign


@pytest.mark.parametrize("said", ["purple", "the cat sleeps", "tigth", "seam allowance", "??"])
def test_nothing_far_fetched_is_offered(said: str) -> None:
    with pytest.raises(InputError) as caught:
        find_sign(said)
    assert "did you mean" not in str(caught.value)


def test_what_may_mean_several_is_told_and_not_guessed() -> None:
    with pytest.raises(InputError, match="one of these") as caught:
        find_sign("tight")
    for key in ("tight across the thigh", "tight across the hip"):
        assert key in str(caught.value)


def test_every_sign_can_be_called_otherwise_and_none_twice() -> None:
    for sign in SIGNS:
        assert sign.called or "knee" in sign.key
        for name in sign.names:
            assert ideas(name)
            assert [s.key for s in meant(name)] == [sign.key], name


def test_an_alteration_may_be_named(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, said, _ = called(
        capsys, "fit", spec, "--see", "Full seat", "--out", tmp_path, "--date", "2031-05-28"
    )
    assert code == 0
    assert "full seat" in said
    (entry,) = tomllib.loads(spec.read_text("utf-8"))["alter"]
    assert entry == {"what": "full seat", "amount": "1 cm", "date": date(2031, 5, 28)}
    for name in ALTERATION_NAMES:
        assert find_sign(name).alteration == name


def test_every_sign_has_a_drawing_of_its_own() -> None:
    assert set(MARKS) == set(SIGN_KEYS)
    scenes = {s.key: sign_drawing(s.key, s.view, s.look) for s in SIGNS}
    assert len({write_inline_svg(scene).partition("</title>")[2] for scene in scenes.values()}) == (
        len(SIGNS)
    )
    for key, scene in scenes.items():
        marks = [layer for layer in scene.layers if layer.name == "mark"]
        assert marks, key
        for item in (item for layer in marks for item in layer.items):
            assert isinstance(item, Stroke)
            x, y = item.path.cubics.reshape(-1, 2).T
            assert 0.0 <= x.min() <= x.max() <= scene.width_mm == 38.0, key
            assert 0.0 <= y.min() <= y.max() <= scene.height_mm == 62.0, key


def test_moves_are_told_in_words(spec: Path) -> None:
    before = draft_pattern(load_spec(spec))
    text = with_alteration(DEMO, KEYS | {"what": "knock knees", "amount": "1 cm"})
    spec.write_bytes(text.encode())
    found = moves(before, draft_pattern(load_spec(spec)))
    words = [move_words(m, "cm") for m in found]
    assert "front crease line at the hem 1.0 cm toward the inseam" in words
    # The crotch seam keeps its length, so the top gives way by a millimetre.
    assert all("0.1 cm" in w for w in words if "centre" in w)
