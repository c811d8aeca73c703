"""Draft the class in `gallery/class` anew: `python gallery/evening_class.py`.

Eight invented students, a style for all, and what each wants otherwise, in one CSV. Kept of what
the batch writes are the class sheet and the packet for wide paper; `drafted` is what the test
compares.
"""

from __future__ import annotations

import contextlib
import io
import tempfile
from pathlib import Path

from outseam.cli.main import run

FOLDER = Path(__file__).parent / "class"
TABLE = FOLDER / "evening-class.csv"
#: Of all that is written, what the gallery keeps.
KEPT = ("class-sheet.csv", "class-sheet.html", "class-sheet.pdf", "packet-a0.pdf")
PICTURE_PX = 900


def drafted(folder: Path) -> str:
    """Draft the class into a folder; return what is said. Raises ValueError if it fails."""
    said = io.StringIO()
    args = ["batch", str(TABLE), "--style", str(FOLDER / "style.toml"), "--patterns", str(folder)]
    with contextlib.redirect_stdout(said):
        try:
            run(args)
        except SystemExit as stopped:
            if stopped.code:
                raise ValueError(said.getvalue()) from None
    return said.getvalue()


def picture(pdf: bytes) -> bytes:
    """Return the first page of a PDF as a PNG in greys."""
    import pypdfium2

    page = pypdfium2.PdfDocument(pdf)[0]
    out = io.BytesIO()
    image = page.render(scale=PICTURE_PX / page.get_width()).to_pil().convert("L")
    image.save(out, "PNG", optimize=True)
    return out.getvalue()


def build() -> None:
    """Write what the gallery keeps, and a picture of the sheet."""
    with tempfile.TemporaryDirectory() as folder:
        print(drafted(Path(folder)), end="")
        for name in KEPT:
            (FOLDER / name).write_bytes((Path(folder) / name).read_bytes())
    (FOLDER / "class-sheet.png").write_bytes(picture((FOLDER / "class-sheet.pdf").read_bytes()))


if __name__ == "__main__":
    build()
