"""Rebuild the gallery: for every spec beside this file its drawing (SVG) and a thumbnail (PNG).

Run `python gallery/build.py` from the project's folder. `drawings()` is what the tests compare.
"""

from __future__ import annotations

import io
from pathlib import Path

from outseam.cli.pattern.drawing import pattern_scene
from outseam.cli.write.svg import write_svg_text
from outseam.draft.pattern import draft_pattern
from outseam.draft.spec.spec import load_spec

HERE = Path(__file__).parent
THUMBNAIL_PX = 720
#: Size of a picture on the contact sheet, and how many stand in a row.
CELL_PX, COLUMNS = 300, 4


def specs() -> list[Path]:
    """Return the gallery's specs, by name."""
    return sorted(HERE.glob("*.toml"))


def drawing(spec: Path) -> str:
    """Return the SVG of one spec's pattern. Raises ValueError if it fails a check."""
    pattern = draft_pattern(load_spec(spec))
    if pattern.errors:
        raise ValueError(f"{spec.name}: {pattern.errors[0].says}")
    return write_svg_text(pattern_scene(pattern))


def thumbnail(svg: str) -> bytes:
    """Return a PNG of a drawing on white."""
    import cairosvg

    png: bytes = cairosvg.svg2png(
        bytestring=svg.encode(), output_width=THUMBNAIL_PX, background_color="white"
    )
    return png


def contact_sheet() -> bytes:
    """Return one PNG with every thumbnail, four a row, its name below it."""
    from PIL import Image, ImageDraw, ImageFont

    found = [(s.stem, Image.open(s.with_suffix(".png")).convert("L")) for s in specs()]
    cell, rows = (CELL_PX, int(CELL_PX * 1.75)), -(-len(found) // COLUMNS)
    sheet = Image.new("L", (COLUMNS * cell[0], rows * cell[1]), 255)
    font = ImageFont.truetype(HERE.parent / "cli" / "scene" / "fonts" / "DejaVuSans.ttf", 15)
    for i, (name, picture) in enumerate(found):
        x, y = i % COLUMNS * cell[0], i // COLUMNS * cell[1]
        picture.thumbnail((cell[0] - 20, cell[1] - 50))
        sheet.paste(picture, (x + 10, y + 10))
        ImageDraw.Draw(sheet).text((x + 10, y + cell[1] - 30), name, fill=0, font=font)
    out = io.BytesIO()
    sheet.save(out, "PNG", optimize=True)
    return out.getvalue()


def build() -> None:
    """Write every drawing and thumbnail, and the contact sheet."""
    for spec in specs():
        svg = drawing(spec)
        spec.with_suffix(".svg").write_text(svg, encoding="utf-8")
        spec.with_suffix(".png").write_bytes(thumbnail(svg))
    (HERE / "contact.png").write_bytes(contact_sheet())


if __name__ == "__main__":
    build()
