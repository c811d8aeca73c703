"""Ilke's story: two different borders and a one-way field. `python gallery/border.py` writes it."""

from __future__ import annotations

import shutil
from pathlib import Path

from telling import HERE, Story, build, lines, pdf_page, picture, refused, replace_line, said

FOLDER = HERE / "border"

OTHER = """border_repeat = 32
border_shift = 9
other_border_height = 10
other_border_from_selvedge = 2.5
other_border_eye = 5
"""


def live(spec: Path) -> dict[str, str]:
    """Run the commands of the story and return what the page quotes."""
    answers: dict[str, str] = {}
    answers["asked"] = refused("check", "ilke.toml")
    replace_line(spec, "weight = 210", 'stretch_along = "45 %"\nweight = 210')
    first = said("check", "ilke.toml")
    answers["round"] = lines(first, "Round the body")
    answers["place"] = lines(first, "note: The border begins")
    answers["arc"] = lines(first, "note: The hem of the front leg")
    replace_line(spec, "[style]\n", "[style]\nborder_above_hem = 0\n")
    answers["no_room"] = refused("check", "ilke.toml")
    replace_line(spec, "border_above_hem = 0\n", "")
    replace_line(spec, 'leg = "palazzo"', 'leg = "palazzo"\nhem_line = "straight"')
    level = said("check", "ilke.toml")
    answers["fall"] = lines(level, "note: The hem is straight", "note: The border begins")
    answers["alone"] = lines(said("lay", "ilke.toml", "--out", "alone"), "Length needed")
    (spec.parent / "ilke.lay.json").unlink()
    replace_line(spec, 'band = "folded"', 'band = "folded"\nband_from = "other border"')
    answers["other"] = refused("check", "ilke.toml")
    replace_line(spec, "border_repeat = 32\n", OTHER)
    replace_line(spec, "[style]\n", '[style]\nfigure_at = "centre"\n')
    last = said("draft", "ilke.toml", "--out", "last")
    answers["last"] = lines(last, "Checks: ", "Pages: ")
    answers["trial"] = lines(said("trial", "ilke.toml", "--out", "trial"), "Wrote ")
    if (FOLDER / "ilke.lay.json").exists():
        shutil.copy(FOLDER / "ilke.lay.json", spec.parent)
    answers["lay"] = lines(said("lay", "ilke.toml", "--out", "lay"), "Length needed", "note: at")
    bought = said("buy", "ilke.toml", columns=92)
    answers["bought"] = "\n".join(
        line.rstrip() for line in bought.split("Everything else")[0].strip().splitlines()
    )
    said("worksheet", "ilke.toml", "--out", "sheet")
    answers["end"] = spec.read_text("utf-8").split("[fabric]")[1].strip()
    return answers


def draw(folder: Path) -> None:
    """Make the pictures from what the commands wrote."""
    picture((folder / "alone/lay.svg").read_bytes(), FOLDER / "alone.png")
    picture((folder / "lay/lay.svg").read_bytes(), FOLDER / "lay.png")
    picture((folder / "last/pattern.svg").read_bytes(), FOLDER / "pattern.png")
    picture((folder / "trial/trial.svg").read_bytes(), FOLDER / "trial.png", 560)
    sheet = folder / "sheet/worksheet.pdf"
    pdf_page(sheet, page_with(sheet, "Cut out"), FOLDER / "cutting.png", 560)
    pdf_page(sheet, page_with(sheet, "Notch and baste"), FOLDER / "basting.png", 560)


def page_with(pdf: Path, words: str) -> int:
    """Return the number of the first page of a PDF on which words stand. Raises ValueError."""
    import pypdfium2

    for number, page in enumerate(pypdfium2.PdfDocument(str(pdf))):
        if words in page.get_textpage().get_text_range():
            return number
    raise ValueError(f"{words!r} stands on no page")


STORY = Story(name="border", who="ilke", folder=FOLDER, live=live, draw=draw)

if __name__ == "__main__":
    build(STORY)
