"""The one font of every drawing: loaded from the shipped file, measured, and cleaned for.

Text must look the same on every machine, so the font is never asked from the system: its bytes
go through FreeType straight into a cairo font face.
"""

from __future__ import annotations

import functools
import unicodedata
from pathlib import Path

import cairocffi
import cffi  # type: ignore[import-untyped]

#: Where the font and its licence are shipped.
FONT_FOLDER = Path(__file__).parent / "fonts"

#: Family name, for writers that can only name a font.
FAMILY = "DejaVu Sans"

#: Longer lines are cut before anything is measured: nothing readable is lost (2,000 characters
#: are wider than any sheet), and a pasted megabyte costs nothing.
MAX_CHARS = 2000

ELLIPSIS = "…"
_UNKNOWN = "\N{REPLACEMENT CHARACTER}"

#: Design units per em of the shipped font: at this size advances are whole numbers.
_UNITS_PER_EM = 2048


class FontError(RuntimeError):
    """The shipped font cannot be handed to cairo on this machine."""


def font_bytes() -> bytes:
    """Return the shipped font file."""
    return (FONT_FOLDER / "DejaVuSans.ttf").read_bytes()


@functools.cache
def font_face() -> cairocffi.FontFace:
    """Return the shipped font as a cairo font face. Raises FontError without FreeType."""
    ffi = cffi.FFI()
    ffi.cdef(
        """
        int FT_Init_FreeType(void **library);
        int FT_New_Memory_Face(void *library, const char *bytes, long size, long index,
                               void **face);
        void *cairo_ft_font_face_create_for_ft_face(void *face, int load_flags);
        """
    )
    try:
        freetype = cairocffi.dlopen(
            ffi,
            ("freetype", "freetype-6", "libfreetype-6"),
            ("libfreetype.so.6", "libfreetype.6.dylib", "libfreetype-6.dll"),
        )
        cairo = cairocffi.dlopen(
            ffi,
            ("cairo-2", "cairo", "libcairo-2"),
            ("libcairo.so.2", "libcairo.2.dylib", "libcairo-2.dll"),
        )
        create = cairo.cairo_ft_font_face_create_for_ft_face
    except (OSError, AttributeError) as error:
        raise FontError(
            "the drawing library cairo was found, but not FreeType, which it needs to load the "
            "font: install the package freetype (libfreetype6) of your system"
        ) from error
    data = font_bytes()
    buffer = ffi.new("char[]", data)
    library, face = ffi.new("void **"), ffi.new("void **")
    failed = freetype.FT_Init_FreeType(library) or freetype.FT_New_Memory_Face(
        library[0], buffer, len(data), 0, face
    )
    if failed:
        raise FontError("the shipped font file is damaged: install outseam again")
    pointer = cairocffi.ffi.cast(
        "cairo_font_face_t *", int(ffi.cast("uintptr_t", create(face[0], 0)))
    )
    # FreeType reads the buffer as long as the face lives, which is as long as the process.
    _KEPT.extend((ffi, buffer, library, face))
    return cairocffi.FontFace._from_pointer(pointer, incref=False)


_KEPT: list[object] = []


@functools.cache
def plain_options() -> cairocffi.FontOptions:
    """Return font options without hinting: advances scale exactly with the size."""
    return cairocffi.FontOptions(
        hint_style=cairocffi.HINT_STYLE_NONE, hint_metrics=cairocffi.HINT_METRICS_OFF
    )


@functools.cache
def _design_font() -> cairocffi.ScaledFont:
    """Return the font at one design unit per unit."""
    size = cairocffi.Matrix(xx=_UNITS_PER_EM, yy=_UNITS_PER_EM)
    return cairocffi.ScaledFont(font_face(), size, cairocffi.Matrix(), plain_options())


@functools.lru_cache(maxsize=4096)
def _advance(character: str) -> float | None:
    """Return a character's advance in em, None when the font has no such character."""
    font = _design_font()
    glyphs = font.text_to_glyphs(0, 0, character, with_clusters=False)
    if len(glyphs) != 1 or glyphs[0][0] == 0:
        return None
    return float(font.glyph_extents(glyphs)[4]) / _UNITS_PER_EM


def clean_text(text: str, *, any_font: bool = False) -> str:
    """Return `text` as it can be drawn: composed, one line, nothing invisible.

    White space becomes a plain space; control, formatting, private and unassigned characters, and
    (unless `any_font`) characters the shipped font lacks become the replacement character, so that
    a reader sees that something stood there. Text is drawn left to right without shaping: scripts
    that need it come out as separate letters.
    """
    return _cleaned(text[:MAX_CHARS], any_font)


@functools.lru_cache(maxsize=1024)
def _cleaned(text: str, any_font: bool) -> str:
    out = []
    for character in unicodedata.normalize("NFC", text):
        if character.isspace():
            out.append(" ")
        elif unicodedata.category(character).startswith("C") or not (
            any_font or _advance(character) is not None
        ):
            out.append(_UNKNOWN)
        else:
            out.append(character)
    return "".join(out)


def text_width_mm(text: str, size_mm: float) -> float:
    """Return the width of `text` (cleaned first) set at `size_mm` per em: its advances, summed."""
    return sum(_advance(character) or 0.0 for character in clean_text(text)) * size_mm


def shorten_text(text: str, size_mm: float, width_mm: float) -> str:
    """Return `text` cleaned and, if wider than `width_mm`, cut at its end with an ellipsis."""
    cleaned = clean_text(text).strip()
    if len(text) <= MAX_CHARS and text_width_mm(cleaned, size_mm) <= width_mm:
        return cleaned
    room = width_mm / size_mm - (_advance(ELLIPSIS) or 0.0)
    kept = 0
    for character in cleaned:
        room -= _advance(character) or 0.0
        if room < 0:
            break
        kept += 1
    return cleaned[:kept].rstrip() + ELLIPSIS


def wrap_text(text: str, size_mm: float, width_mm: float) -> tuple[str, ...]:
    """Return the lines of `text` broken at spaces to fit `width_mm`; a longer word is shortened."""
    lines: list[str] = []
    for word in clean_text(text).split():
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and text_width_mm(joined, size_mm) <= width_mm:
            lines[-1] = joined
        else:
            lines.append(shorten_text(word, size_mm, width_mm))
    return tuple(lines)
