"""The one font of every drawing: read from the shipped file, never asked from the system.

Text must look the same on every machine.
"""

from __future__ import annotations

import functools
import io
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fontTools.ttLib import TTFont

#: Where the font and its licence are shipped.
FONT_FOLDER = Path(__file__).parent / "fonts"
FONT_FILE = FONT_FOLDER / "DejaVuSans.ttf"

#: Family name, for writers that can only name a font.
FAMILY = "DejaVu Sans"


def open_font() -> TTFont:
    """Return the shipped font, opened afresh; only the tables that are asked for are read.

    Glyphs are called by their numbers: reading thousands of names takes longer than all the rest.
    """
    # Imported here: a tenth of what a start takes, and most commands draw nothing.
    from fontTools.ttLib import TTFont

    font = TTFont(io.BytesIO(FONT_FILE.read_bytes()), lazy=True, recalcTimestamp=False)
    font.setGlyphOrder([f"glyph{n}" for n in range(font["maxp"].numGlyphs)])
    return font


@functools.cache
def _tables() -> tuple[dict[int, str], dict[str, tuple[int, int]], dict[str, int], int]:
    """Return glyph names by character, advances by glyph name, glyph numbers, units per em."""
    font = open_font()
    metrics: dict[str, tuple[int, int]] = font["hmtx"].metrics
    return font.getBestCmap(), metrics, font.getReverseGlyphMap(), int(font["head"].unitsPerEm)


@functools.lru_cache(maxsize=4096)
def glyph_of(character: str) -> tuple[int, float] | None:
    """Return a character's glyph number and advance in em, None where the font lacks it."""
    names, metrics, numbers, units = _tables()
    name = names.get(ord(character))
    return None if name is None else (numbers[name], metrics[name][0] / units)
