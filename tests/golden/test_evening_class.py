"""The gallery's class is what the program drafts today: its sheet, and the words of its packet."""

from __future__ import annotations

import csv
import io
import re
import sys
from pathlib import Path

import pypdf
import pytest

GALLERY = Path(__file__).parents[2] / "gallery"
sys.path.insert(0, str(GALLERY))
import evening_class  # noqa: E402

#: Two machines may differ in the last digits of a solved draft; a person cannot cut closer.
TOLERANCE_MM = 0.01


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory, request: pytest.FixtureRequest) -> Path:
    if request.config.getoption("--rewrite"):
        evening_class.build()
    folder = tmp_path_factory.mktemp("class")
    assert "Drafted 8 of 8" in evening_class.drafted(folder)
    return folder


def cells(folder: Path) -> list[list[str]]:
    return list(csv.reader(io.StringIO((folder / "class-sheet.csv").read_text("utf-8-sig"))))


def test_figures(made: Path) -> None:
    now, kept = cells(made), cells(evening_class.FOLDER)
    assert len(kept) == 9
    for row, record in zip(now, kept, strict=True):
        for cell, recorded in zip(row, record, strict=True):
            if re.fullmatch(r"\d+\.\d+", recorded):
                assert abs(float(cell) - float(recorded)) <= TOLERANCE_MM
            else:
                assert cell == recorded


def test_words_of_the_sheet(made: Path) -> None:
    for name in ("class-sheet.html",):
        assert (made / name).read_text() == (evening_class.FOLDER / name).read_text()


@pytest.mark.parametrize("name", ["class-sheet.pdf", "packet-a0.pdf"])
def test_words_and_sizes_of_the_pages(name: str, made: Path) -> None:
    now, kept = (pypdf.PdfReader(folder / name).pages for folder in (made, evening_class.FOLDER))
    assert len(now) == len(kept)
    for page, record in zip(now, kept, strict=True):
        assert page.mediabox == record.mediabox
        assert sorted(page.extract_text().split()) == sorted(record.extract_text().split())


def test_class_is_told_on_one_page_and_kept_small() -> None:
    assert len(pypdf.PdfReader(evening_class.FOLDER / "class-sheet.pdf").pages) == 1
    assert sum(p.stat().st_size for p in evening_class.FOLDER.iterdir()) < 300_000


def test_every_student_has_a_folder(made: Path) -> None:
    head, *rows = cells(made)
    at = head.index("folder")
    assert {row[at] for row in rows} == {p.name for p in made.iterdir() if p.is_dir()}
