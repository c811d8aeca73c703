"""What leaves the desk: the square, the fold test, files, lists, what the trial shows."""

from __future__ import annotations

import io
from pathlib import Path

import pypdf
import pytest

from outseam.cli.page import out
from outseam.cli.page.desk import Desk
from outseam.cli.page.folder import Folder
from outseam.cli.page.products import PRODUCTS
from outseam.cli.page.signs import ZONES, altered_text, shown_change, sign_rows
from outseam.cli.paper.formats import FORMATS
from outseam.draft.alter.signs import SIGNS
from outseam.draft.inputs.errors import InputError
from page.conftest import ANA


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    (tmp_path / "ana.toml").write_text(ANA, encoding="utf-8")
    return Desk(folder=Folder(root=tmp_path.resolve()), name="ana")


def test_the_square_is_measured_against_the_page_that_was_printed(desk: Desk) -> None:
    out.make_files(desk, "page-1-a4", "cm")
    assert "across +1.0 %" in out.calibrate(desk, "99", "", "cm")
    assert desk.data["print"]["calibrate_across"] == pytest.approx(1.0101)
    # Typed again without printing again: not on top of the first.
    out.calibrate(desk, "99,5", "", "cm")
    assert desk.data["print"]["calibrate_across"] == pytest.approx(1.005, abs=1e-4)
    # Printed again, and now right.
    out.make_files(desk, "page-1-a4", "cm")
    out.calibrate(desk, "100", "10 cm", "cm")
    assert desk.data["print"]["calibrate_across"] == pytest.approx(1.005, abs=1e-4)
    out.calibrate(desk, "", "4", "in")
    assert desk.data["print"]["calibrate_along"] == 1.0
    with pytest.raises(InputError, match="fits the page"):
        out.calibrate(desk, "94", "", "cm")


def test_page_1_is_one_page_and_every_format_has_a_button(desk: Desk) -> None:
    made = out.make_files(desk, "page-1-a4", "cm")
    assert made["files"] == [{"name": "page-1-a4.pdf", "pages": 1}]
    first = pypdf.PdfReader(io.BytesIO(out.made_file(desk, "page-1-a4.pdf")))
    assert "10 cm" in first.pages[0].extract_text()
    assert {f"pattern{f.ending}" for f in FORMATS if not f.name} <= set(PRODUCTS)
    labels = [p.label for p in PRODUCTS.values()]
    assert len(set(labels)) == len(labels)
    with pytest.raises(KeyError):
        out.made_file(desk, "../ana.toml")


def test_the_fold_test() -> None:
    assert out.stretch_says("10", "15", "cm") == (pytest.approx(0.5), "50 %")
    assert out.stretch_says("4", "5 1/2", "in")[1] == "38 %"
    with pytest.raises(InputError):
        out.stretch_says("10", "9", "cm")


def test_lists_are_of_exactly_these_pants(desk: Desk) -> None:
    titles = [s.title for s in out.sewing(desk, "cm")]
    assert any("pocket" in t.casefold() for t in titles)
    found = out.shopping(desk, "in")
    assert any("elastic" in row[0].casefold() for row in found["rest"])
    assert '"' in found["fabric"][0][1]


def test_a_sign_is_shown_before_it_is_kept(desk: Desk) -> None:
    assert sum(len(rows) for _, rows in sign_rows("cm")) == len(SIGNS)
    assert all(rows for _, rows in sign_rows("cm"))
    assert {place for _, places in ZONES for place in places} <= {s.where for s in SIGNS}
    text = altered_text(desk, "tight across the thigh", "8 mm", "", "cm")
    found = shown_change(desk, text, "cm")
    assert desk.source == ANA
    assert any(row[0] == "Thigh" and row[3].startswith("+") for row in found["rows"])
    assert "<svg" in found["drawing"]
    with pytest.raises(InputError, match="left or right"):
        altered_text(desk, "waist dips on one side", "", "", "cm")
    desk.replace_text(text)
    assert desk.source.startswith(ANA.rstrip("\n"))
    desk.step(-1)
    assert desk.source == ANA
