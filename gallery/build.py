"""Rebuild the gallery: for every spec beside this file its drawing (SVG) and a thumbnail (PNG).

Run `python gallery/build.py` from the project's folder. `drawings()` is what the tests compare.
"""

from __future__ import annotations

from pathlib import Path

from cli.drawing import pattern_scene
from cli.svg import write_svg_text
from draft.pattern import draft_pattern
from draft.spec import load_spec

HERE = Path(__file__).parent
THUMBNAIL_PX = 720


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


def build() -> None:
    """Write every drawing and thumbnail."""
    for spec in specs():
        svg = drawing(spec)
        spec.with_suffix(".svg").write_text(svg, encoding="utf-8")
        spec.with_suffix(".png").write_bytes(thumbnail(svg))


if __name__ == "__main__":
    build()
