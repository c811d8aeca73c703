"""The font embedded in a PDF: only the glyphs that are used, and what each of them reads as.

A composite font (PDF 32000-1:2008, 9.7) whose character codes are the glyph numbers of the shipped
font: a page's text can be written before it is known which glyphs the document needs.
"""

from __future__ import annotations

import functools
import hashlib
import io
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import numpy as np
import pikepdf
from pikepdf import Array, Dictionary, Name, Pdf, String

from outseam.cli.scene.font import FAMILY, glyph_of, open_font
from outseam.cli.scene.scene import Label, SceneItem
from outseam.cli.scene.text import clean_text

if TYPE_CHECKING:
    from fontTools.ttLib import TTFont

#: A table of readings may hold so many lines in one go.
_MOST_READINGS = 100

#: The letters of a subset's name.
_TAG_LETTERS = "ABCDEFGHIJKLMNOP"


def embed_font(pdf: Pdf, items: Iterable[SceneItem]) -> pikepdf.Object | None:
    """Add the font to a document for all labels among the items; None where there is no text."""
    texts = {clean_text(item.text) for item in items if isinstance(item, Label)}
    used = {c: glyph for c in sorted(set().union(*texts)) if (glyph := glyph_of(c))}
    if not used:
        return None
    data, metrics = _subset(frozenset(number for number, _ in used.values()))
    tag = "".join(_TAG_LETTERS[b % 16] for b in hashlib.sha256(data).digest()[:6])
    name = Name(f"/{tag}+{FAMILY.replace(' ', '')}")
    descriptor = Dictionary(
        Type=Name.FontDescriptor,
        FontName=name,
        # Symbolic: the codes are glyph numbers, not those of a standard alphabet.
        Flags=4,
        ItalicAngle=0,
        StemV=80,
        FontFile2=pdf.make_stream(data, Length1=len(data)),
        **metrics,
    )
    descendant = Dictionary(
        Type=Name.Font,
        Subtype=Name.CIDFontType2,
        BaseFont=name,
        CIDSystemInfo=Dictionary(
            Registry=String("Adobe"), Ordering=String("Identity"), Supplement=0
        ),
        FontDescriptor=pdf.make_indirect(descriptor),
        W=_widths(used.values()),
        CIDToGIDMap=Name.Identity,
    )
    return pdf.make_indirect(
        Dictionary(
            Type=Name.Font,
            Subtype=Name.Type0,
            BaseFont=name,
            Encoding=Name("/Identity-H"),
            DescendantFonts=Array([pdf.make_indirect(descendant)]),
            ToUnicode=pdf.make_stream(_readings(used)),
        )
    )


def _widths(glyphs: Iterable[tuple[int, float]]) -> Array:
    """Return the advance of each glyph in thousandths of an em."""
    entries = ((number, Array([round(em * 1000, 3)])) for number, em in sorted(set(glyphs)))
    return Array([part for entry in entries for part in entry])


@functools.cache
def _source() -> tuple[TTFont, dict[str, bytes]]:
    """Return the font, its outlines read, and the tables that a subset keeps, as bytes."""
    font = open_font()
    for table in ("glyf", "head", "hhea"):
        font[table]
    return font, {tag: font.reader[tag] for tag in ("head", "hhea", "maxp", "hmtx")}


@functools.lru_cache(maxsize=16)
def _subset(glyphs: frozenset[int]) -> tuple[bytes, dict[str, Any]]:
    """Return a font file with these glyphs under their own numbers, and the font's measures.

    The others have no outline and no advance, which pack to nothing. fontTools' own subsetter does
    more, but importing it takes as long as writing a document.
    """
    from fontTools.ttLib.sfnt import SFNTWriter

    font, raw = _source()
    names, outlines, head, hhea = font.getGlyphOrder(), font["glyf"], font["head"], font["hhea"]
    kept, fresh = set[int](), {0, *glyphs}
    while fresh:
        kept |= fresh
        parts = {p for number in fresh for p in outlines[names[number]].getComponentNames(outlines)}
        fresh = {font.getGlyphID(name) for name in parts} - kept
    shapes, sizes = [], np.zeros(len(names), dtype=np.int64)
    for number in sorted(kept):
        outline = outlines[names[number]]
        outline.removeHinting()
        shape = outline.compile(outlines, recalcBBoxes=False)
        shapes.append(shape + b"\0" * (-len(shape) % 4))
        sizes[number] = len(shapes[-1])
    advances = np.frombuffer(raw["hmtx"], dtype=">u2").copy()
    whole = advances[: 2 * hhea.numberOfHMetrics].reshape(-1, 2)
    whole[[number not in kept for number in range(len(whole))]] = 0
    tables = {
        **raw,
        "hmtx": advances.tobytes(),
        "loca": np.concatenate([[0], np.cumsum(sizes)]).astype(">u4").tobytes(),
        "glyf": b"".join(shapes),
    }
    tall = glyph_of("H")
    assert tall is not None, "the shipped font has capitals"
    out = io.BytesIO()
    writer = SFNTWriter(out, len(tables))
    for tag, data in tables.items():
        writer[tag] = data
    writer.close()
    scale = 1000 / head.unitsPerEm
    return out.getvalue(), {
        "FontBBox": Array([round(v * scale) for v in (head.xMin, head.yMin, head.xMax, head.yMax)]),
        "Ascent": round(hhea.ascent * scale),
        "Descent": round(hhea.descent * scale),
        "CapHeight": round(outlines[names[tall[0]]].yMax * scale),
    }


def _readings(used: dict[str, tuple[int, float]]) -> bytes:
    """Return what every code reads as, so that text can be searched and copied.

    Characters that share a glyph read as the first of them.
    """
    first = {number: character for character, (number, _) in reversed(used.items())}
    lines = [
        f"<{number:04x}> <{character.encode('utf-16-be').hex()}>"
        for number, character in sorted(first.items())
    ]
    groups = [lines[i : i + _MOST_READINGS] for i in range(0, len(lines), _MOST_READINGS)]
    body = "\n".join(
        f"{len(group)} beginbfchar\n" + "\n".join(group) + "\nendbfchar" for group in groups
    )
    return (
        "/CIDInit /ProcSet findresource begin 12 dict begin begincmap\n"
        "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n"
        "/CMapName /Adobe-Identity-UCS def /CMapType 2 def\n"
        "1 begincodespacerange <0000> <ffff> endcodespacerange\n"
        f"{body}\n"
        "endcmap CMapName currentdict /CMap defineresource pop end end\n"
    ).encode()
