"""Tell one invented person's story with real files: `python gallery/story.py` writes `story.md`.

Every command of the story is run on copies of its files, and what the page quotes is what the
program says. `tell` is what the test compares; the pictures are made by `build`.
"""

from __future__ import annotations

import contextlib
import io
import os
import shutil
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from outseam.cli.main import run

HERE = Path(__file__).parent
PAGE = HERE / "story.md"
FOLDER = HERE / "story"
#: Text of the page, with `{{ name }}` where an answer of the program goes.
TEXT = FOLDER / "story.md.jinja"
#: Widest picture on the page.
PICTURE_PX = 860


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """The page, what its spec and its lay look like in the end, and the folder of drawings."""

    page: str
    spec: str
    lay: str


def said(*arguments: str, columns: int = 1000) -> str:
    """Run a command as typed on a terminal so wide and return what it prints.

    Raises ValueError where it fails.
    """
    out = io.StringIO()
    os.environ["COLUMNS"] = str(columns)
    with contextlib.redirect_stdout(out):
        try:
            run(list(arguments))
        except SystemExit as stopped:
            if stopped.code:
                raise ValueError(f"outseam {' '.join(arguments)}: {out.getvalue()}") from None
    return out.getvalue()


def lines(text: str, *starts: str) -> str:
    """Return the lines of an answer that begin in one of these ways, in the order of these.

    Raises ValueError where one of them is not said.
    """
    found = []
    for start in starts:
        here = [line.strip() for line in text.splitlines() if line.startswith(start)]
        if not here:
            raise ValueError(f"{start!r} is not said in {text}")
        found += here
    return "\n".join(found)


@contextlib.contextmanager
def at_home(folder: Path) -> Iterator[None]:
    """Work in a folder; leave everything as it was."""
    before, columns = Path.cwd(), os.environ.get("COLUMNS")
    os.chdir(folder)
    try:
        yield
    finally:
        os.chdir(before)
        os.environ.pop("COLUMNS", None)
        if columns is not None:
            os.environ["COLUMNS"] = columns


def _replace(path: Path, old: str, new: str) -> None:
    text = path.read_text("utf-8")
    if old not in text:
        raise ValueError(f"{path.name} has no line {old!r}")
    path.write_text(text.replace(old, new), "utf-8")


def tell(folder: Path) -> Told:
    """Live the story in an empty folder and return its page; the drawings stay in the folder."""
    import jinja2

    spec = folder / "oda.toml"
    shutil.copy(FOLDER / "begin.toml", spec)
    answers: dict[str, str] = {}
    with at_home(folder):
        answers["begin"] = spec.read_text("utf-8").strip()
        answers["warned"] = lines(said("check", "oda.toml"), "WARNING: Crotch length")
        _replace(spec, "crotch_length = 97", "crotch_length = 79")
        first = said("draft", "oda.toml", "--out", "first")
        answers["next"] = lines(first, "Measure this next")
        _replace(spec, "crotch_length = 79\n", "crotch_length = 79\nback_crotch_length = 42.5\n")
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
            shutil.copy(FOLDER / "oda.lay.json", folder)
        answers["lay"] = lines(said("lay", "oda.toml", "--out", "lay"), "Length needed")
        bought = said("buy", "oda.toml", columns=92)
        answers["bought"] = "\n".join(line.rstrip() for line in bought.strip().splitlines())
        said("worksheet", "oda.toml", "--out", "sheet")
    environment = jinja2.Environment(undefined=jinja2.StrictUndefined, keep_trailing_newline=True)
    page = environment.from_string(TEXT.read_text("utf-8")).render(answers)
    return Told(
        page=page,
        spec=spec.read_text("utf-8"),
        lay=(folder / "oda.lay.json").read_text("utf-8"),
    )


def picture(svg: bytes, path: Path, wide_px: int = PICTURE_PX) -> None:
    """Write a drawing as a small PNG on white."""
    import cairosvg
    from PIL import Image

    png = cairosvg.svg2png(bytestring=svg, output_width=2 * wide_px, background_color="white")
    image = Image.open(io.BytesIO(png)).convert("RGB")
    image = image.resize((wide_px, round(wide_px * image.height / image.width)), Image.LANCZOS)
    image.quantize(32).save(path, optimize=True)


def pdf_page(pdf: Path, number: int, path: Path, wide_px: int = PICTURE_PX) -> None:
    """Write a page of a PDF as a small PNG."""
    import pypdfium2
    from PIL import Image

    document = pypdfium2.PdfDocument(str(pdf))
    page = document[number % len(document)]
    image = page.render(scale=2.5).to_pil().convert("L")
    image = image.resize((wide_px, round(wide_px * image.height / image.width)), Image.LANCZOS)
    image.quantize(16).save(path, optimize=True)


def build() -> None:
    """Tell the story and put its page, spec, lay and pictures in their places."""
    from outseam.cli.fitting.drawings import sign_drawing
    from outseam.cli.measure.drawings import crotch_length
    from outseam.cli.write.svg import write_svg_text
    from outseam.draft.alter.signs import sign_named

    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(temporary)
        told = tell(folder)
        PAGE.write_text(told.page, "utf-8")
        (FOLDER / "oda.toml").write_text(told.spec, "utf-8")
        (FOLDER / "oda.lay.json").write_text(told.lay, "utf-8")
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


if __name__ == "__main__":
    build()
