"""How a story is told with real files: every command is run, and what a page quotes is its answer.

A story is an invented person's. `tell` is what the test compares; `build` puts page, spec, lay and
pictures in their places.
"""

from __future__ import annotations

import contextlib
import io
import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from outseam.cli.main import run

HERE = Path(__file__).parent
#: Widest picture on a page.
PICTURE_PX = 860


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """A story of the gallery.

    `name` is of its page and `who` of its spec file; its folder holds the spec it begins with, the
    text of the page with `{{ name }}` where an answer goes, the spec and the lay that it ends with,
    and its pictures. `live` runs its commands where the spec lies and returns the answers; `draw`
    makes the pictures from what these wrote, in the folder given.
    """

    name: str
    who: str
    folder: Path
    live: Callable[[Path], dict[str, str]]
    draw: Callable[[Path], None]

    @property
    def page(self) -> Path:
        """The page."""
        return HERE / f"{self.name}.md"

    @property
    def spec(self) -> Path:
        """The spec as it is in the end."""
        return self.folder / f"{self.who}.toml"

    @property
    def lay(self) -> Path:
        """The lay as it is kept."""
        return self.folder / f"{self.who}.lay.json"


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


def refused(*arguments: str) -> str:
    """Run a command that cannot do what is asked and return the sentence it says.

    Raises ValueError where it does it.
    """
    err = io.StringIO()
    with contextlib.redirect_stderr(err), contextlib.suppress(ValueError):
        said(*arguments)
        raise AssertionError(f"outseam {' '.join(arguments)} was not refused")
    return err.getvalue().strip().removeprefix("outseam: ")


def replace_line(path: Path, old: str, new: str) -> None:
    """Change a file as a person would; raises ValueError where the old text is not there."""
    text = path.read_text("utf-8")
    if old not in text:
        raise ValueError(f"{path.name} has no line {old!r}")
    path.write_text(text.replace(old, new), "utf-8")


def tell(story: Story, folder: Path) -> Told:
    """Live a story in an empty folder and return its page; the drawings stay in the folder."""
    import jinja2

    spec = folder / story.spec.name
    shutil.copy(story.folder / "begin.toml", spec)
    with at_home(folder):
        answers = {"begin": spec.read_text("utf-8").strip(), **story.live(spec)}
    environment = jinja2.Environment(undefined=jinja2.StrictUndefined, keep_trailing_newline=True)
    text = (story.folder / "story.md.jinja").read_text("utf-8")
    return Told(
        page=environment.from_string(text).render(answers),
        spec=spec.read_text("utf-8"),
        lay=(folder / story.lay.name).read_text("utf-8"),
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


def build(story: Story) -> None:
    """Tell a story and put its page, spec, lay and pictures in their places."""
    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(temporary)
        told = tell(story, folder)
        story.page.write_text(told.page, "utf-8")
        story.spec.write_text(told.spec, "utf-8")
        story.lay.write_text(told.lay, "utf-8")
        story.draw(folder)
