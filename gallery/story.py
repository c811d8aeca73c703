"""Oda's story: from the tape to the machine. `python gallery/story.py` writes `story.md`."""

from __future__ import annotations

import shutil
from pathlib import Path

from telling import HERE, Story, build, lines, pdf_page, picture, replace_line, said

FOLDER = HERE / "story"


def live(spec: Path) -> dict[str, str]:
    """Run the commands of the story and return what the page quotes."""
    answers: dict[str, str] = {}
    answers["warned"] = lines(said("check", "oda.toml"), "WARNING: Crotch length")
    replace_line(spec, "crotch_length = 97", "crotch_length = 79")
    first = said("draft", "oda.toml", "--out", "first")
    answers["next"] = lines(first, "Measure this next")
    replace_line(spec, "crotch_length = 79\n", "crotch_length = 79\nback_crotch_length = 42.5\n")
    drafted = said("draft", "oda.toml", "--out", "first")
    answers["figure"] = lines(drafted, "Figure: ")
    answers["drafted"] = lines(drafted, "Checks: ", "Pages: ")
    answers["trial"] = lines(said("trial", "oda.toml", "--out", "trial"), "Wrote ")
    seen = ("--see", "folds below the back waist", "--amount", "1.5 cm", "--date", "2031-05-28")
    answers["sway"] = lines(
        said("fit", "oda.toml", *seen, "--out", "sway"), "folds below", "sway back"
    )
    seen = ("--see", "waist dips on one side", "--side", "left", "--date", "2031-05-28")
    answers["hip"] = lines(
        said("fit", "oda.toml", *seen, "--out", "hip"), "waist dips", "hip higher"
    )
    answers["history"] = spec.read_text("utf-8").split("\n\n[[alter]]", 1)[1].strip()
    answers["history"] = "[[alter]]\n" + answers["history"]
    last = said("draft", "oda.toml", "--out", "last")
    answers["last"] = lines(last, "Altered", "Checks: ")
    if (FOLDER / "oda.lay.json").exists():
        shutil.copy(FOLDER / "oda.lay.json", spec.parent)
    answers["lay"] = lines(said("lay", "oda.toml", "--out", "lay"), "Length needed")
    bought = said("buy", "oda.toml", columns=92)
    answers["bought"] = "\n".join(line.rstrip() for line in bought.strip().splitlines())
    said("worksheet", "oda.toml", "--out", "sheet")
    return answers


def draw(folder: Path) -> None:
    """Make the pictures from what the commands wrote."""
    from outseam.cli.fitting.drawings import sign_drawing
    from outseam.cli.measure.drawings import crotch_length
    from outseam.cli.write.svg import write_svg_text
    from outseam.draft.alter.signs import sign_named

    picture(write_svg_text(crotch_length()).encode(), FOLDER / "measure.png", 260)
    for name, key in (
        ("sway", "folds below the back waist"),
        ("hip", "waist dips on one side"),
    ):
        sign = sign_named(key)
        drawn = write_svg_text(sign_drawing(sign.key, sign.view, sign.look)).encode()
        picture(drawn, FOLDER / f"sign-{name}.png", 200)
        picture((folder / name / "before-after.svg").read_bytes(), FOLDER / f"{name}.png")
    picture((folder / "first/pattern.svg").read_bytes(), FOLDER / "first.png")
    picture((folder / "trial/trial.svg").read_bytes(), FOLDER / "trial.png", 560)
    picture((folder / "last/pattern.svg").read_bytes(), FOLDER / "last.png")
    picture((folder / "lay/lay.svg").read_bytes(), FOLDER / "lay.png")
    pdf_page(folder / "sheet/worksheet.pdf", 0, FOLDER / "worksheet.png", 560)
    pdf_page(folder / "sheet/worksheet.pdf", -3, FOLDER / "sewing.png", 560)


STORY = Story(name="story", who="oda", folder=FOLDER, live=live, draw=draw)

if __name__ == "__main__":
    build(STORY)
