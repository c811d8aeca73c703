"""One system a file: an inch file says inches wherever it is read, a centimetre file centimetres.

Every text that leaves the program is read as a person reads it: the terminal, the words of PDF
files as another reader finds them, HTML without its tags, the words of drawings.
"""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from itertools import product
from pathlib import Path

import pypdfium2
import pytest

from outseam.cli.main import run
from outseam.draft.inputs.show import Units

METRIC = re.compile(
    r"(?<![\w.])[\d.,]+ ?(?:cm|mm|m)\b(?!2)|\b(?:centi|milli)?met(?:re|er)s?\b|\bcm\b", re.I
)
INCHES = re.compile(
    r"(?<![a-z\d])\d[\d/]*[\"″]|\d (?:in|ft|yd)\b(?! the\b| a\b| fabric\b)"
    r"|\b(?:inch(?:es)?|yards?)\b",
    re.I,
)
#: What says both, or the other one, on purpose: what a machine's dial says and needles are sold by
#: is in millimetres everywhere, and so is a fabric's weight by the square metre; both test squares
#: stand on page 1, for whichever ruler is at hand.
ALLOWED = (
    r"square metre",
    r"\d[\d.]* mm (?:wide|long|apart)",
    r"This one is 10 cm\.|^is 10 cm\.|So is the one below, 4 in\.|^below, 4 in\.",
    r"^10 cm 100 mm across, 100 mm along$|^4 in 4 in across, 4 in along$|^10 cm$|^4 in$",
)

BODIES = {
    "cm": "height = 165\nwaist = 84\nhip = 107\ninside_leg = 75\ncrotch_length = 73\n",
    "in": "height = 65\nwaist = 33\nhip = 42\ninside_leg = 29.5\ncrotch_length = 28.75\n",
}
PAPERS = {"cm": '["a4", "91.4 cm"]', "in": '["letter", "36 in"]'}
STYLES = {
    "knit": (
        'stretch_across = "50 %"\nstretch_along = "20 %"\n',
        'leg = "flare"\npocket = ["scoop", "patch"]\nbelt = "narrow"\n',
    ),
    "border": (
        'stretch_along = "30 %"\nborder = "both"\nborder_height = {border}\n'
        "border_repeat = {repeat}\n"
        "other_border_height = {border}\nother_border_repeat = {border}\nborder_shift = {border}\n"
        "one_way = true\n",
        'leg = "straight"\nband = "casing"\nband_from = "other border"\nfigure_at = "centre"\n',
    ),
    "woven": (
        'kind = "woven"\nrepeat_along = {border}\n',
        'leg = "slim"\nfit = "loose"\npocket = "side-seam"\nankle = "zip"\nbelt = "wide"\n',
    ),
}


def read(path: Path) -> str:
    """The words of a file, as a person finds them."""
    if path.suffix == ".pdf":
        document = pypdfium2.PdfDocument(path)
        try:
            return "\n".join(page.get_textpage().get_text_range() for page in document)
        finally:
            document.close()
    if path.suffix == ".html":
        bare = re.sub(r"<(style|script).*?</\1>", "", path.read_text("utf-8"), flags=re.S)
        return html.unescape(re.sub(r"<[^>]+>", "\n", bare))
    if path.suffix == ".svg":
        return html.unescape("\n".join(re.findall(r">([^<>]+)<", path.read_text("utf-8"))))
    return path.read_text("utf-8") if path.suffix == ".toml" else ""


def foreign(text: str, units: Units) -> Iterator[str]:
    """Yield lines that tell a length in the other system."""
    other = METRIC if units == "in" else INCHES
    for line in text.splitlines():
        rest = line.strip().replace("\u00a0", " ")
        for words in ALLOWED:
            rest = re.sub(words, "", rest)
        if other.search(rest):
            yield line.strip()


def done(*args: str) -> None:
    with pytest.raises(SystemExit) as stopped:
        run(list(args))
    assert stopped.value.code == 0, args


def spec_of(name: str, units: Units) -> str:
    fabric, style = STYLES[name]
    sizes = {"border": 13, "repeat": 29} if units == "cm" else {"border": 5, "repeat": 11.5}
    return (
        f'units = "{units}"\n[body]\n{BODIES[units]}[fabric]\n{fabric.format(**sizes)}'
        f"[style]\n{style}[print]\npapers = {PAPERS[units]}\nfiles = ['projector']\n"
    )


#: The style that goes through most commands in both systems, the others in one; `-m full` has all.
SAMPLED = {("knit", "cm"), ("knit", "in"), ("border", "in"), ("woven", "cm")}


@pytest.mark.parametrize(
    ("name", "units"),
    [
        pytest.param(*pair, marks=[] if pair in SAMPLED else [pytest.mark.full])
        for pair in product(STYLES, BODIES)
    ],
)
def test_every_text_is_in_the_units_of_the_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str, units: Units
) -> None:
    spec = tmp_path / "pants.toml"
    spec.write_text(spec_of(name, units))
    commands: list[tuple[str, ...]] = [
        ("draft", str(spec), "--out", str(tmp_path / "draft")),
        ("lay", str(spec), "--seconds", "0", "--out", str(tmp_path / "lay")),
        ("worksheet", str(spec), "--out", str(tmp_path / "worksheet")),
        ("buy", str(spec)),
    ]
    if name == "knit":
        commands += [
            ("check", str(spec)),
            ("trial", str(spec), "--out", str(tmp_path / "trial")),
            ("compare", str(spec), "--vary", "rise=high,low", "--out", str(tmp_path / "compare")),
            ("fit", str(spec), "--see", "seat too tight", "--out", str(tmp_path / "fit")),
        ]
    found = {}
    for command in commands:
        done(*command)
        told = capsys.readouterr()
        found |= dict.fromkeys(foreign(told.out + told.err, units), command[0])
    for path in tmp_path.rglob("*"):
        if path.is_file() and path != spec:
            found |= dict.fromkeys(foreign(read(path), units), path.name)
    assert not found


@pytest.mark.parametrize("units", ["cm", "in"])
def test_a_class_and_the_files_to_start_from(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], units: Units
) -> None:
    style = tmp_path / "style.toml"
    style.write_text(spec_of("knit", units).replace(f"[body]\n{BODIES[units]}", ""))
    keys, values = zip(*(row.split(" = ") for row in BODIES[units].splitlines()), strict=True)
    table = tmp_path / "class.csv"
    table.write_text(f"name;{';'.join(keys)}\nWanda Ickx;{';'.join(values)}\n")
    done(
        "batch",
        str(table),
        "--style",
        str(style),
        "--units",
        units,
        "--patterns",
        str(tmp_path / "p"),
    )
    started = tmp_path / "start.toml"
    done("init", "--all", "--units", units, str(started))
    # Above the first table it says how a length of the other system may be written.
    said = read(started).partition("[body]")[2]
    found = dict.fromkeys(foreign(capsys.readouterr().out, units), "terminal")
    found |= dict.fromkeys(foreign(said, units), "start")
    for path in (tmp_path / "p").rglob("*"):
        if path.is_file():
            found |= dict.fromkeys(foreign(read(path), units), path.name)
    assert not found


def test_a_refusal_speaks_the_units_of_the_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for units in ("cm", "in"):
        spec = tmp_path / f"{units}.toml"
        text = spec_of("border", units).replace('stretch_along = "30 %"', "")  # type: ignore[arg-type]
        spec.write_text(text)
        with pytest.raises(SystemExit):
            run(["check", str(spec)])
        said = capsys.readouterr().err
        assert "pull firmly" in said
        assert not list(foreign(said, units))  # type: ignore[arg-type]
