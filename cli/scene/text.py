"""Text on drawings: cleaned, measured, shortened and broken into lines, all in the shipped font."""

from __future__ import annotations

import functools
import re
import unicodedata
from typing import Final

from outseam.cli.scene.font import glyph_of
from outseam.cli.scene.scene import Colour, Label
from outseam.curves.point import Point

#: Longer lines are cut before anything is measured: nothing readable is lost (2,000 characters
#: are wider than any sheet), and a pasted megabyte costs nothing.
MAX_CHARS: Final = 2000

ELLIPSIS: Final = "…"
_UNKNOWN: Final = "\N{REPLACEMENT CHARACTER}"

#: Distance of the lines of a paragraph, and of its first baseline from its top, in text sizes.
LEADING: Final = 1.36
_FIRST_LINE: Final = 0.98

_TIED: Final = "\N{NO-BREAK SPACE}"
#: Blanks that a line must not break at: inside 37 5/8, before a unit, round a multiplication.
_IN_NUMBERS: Final = re.compile(
    r"(?<=\d) (?=\d+/\d)|(?<=\d) (?=(?:cm|mm|m|yd|%|×)(?!\w))|(?<=[×±]) (?=\d)"
)
_BREAKS: Final = re.compile(rf"[^\S{_TIED}]+")


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
            any_font or glyph_of(character) is not None
        ):
            out.append(_UNKNOWN)
        else:
            out.append(character)
    return "".join(out)


def _advance(character: str) -> float:
    glyph = glyph_of(character)
    return 0.0 if glyph is None else glyph[1]


def text_width_mm(text: str, size_mm: float) -> float:
    """Return the width of `text` (cleaned first) set at `size_mm` per em: its advances, summed."""
    return _width_em(clean_text(text)) * size_mm


@functools.lru_cache(maxsize=4096)
def _width_em(cleaned: str) -> float:
    return sum(map(_advance, cleaned))


def shorten_text(text: str, size_mm: float, width_mm: float) -> str:
    """Return `text` cleaned and, if wider than `width_mm`, cut at its end with an ellipsis."""
    cleaned = clean_text(text).strip()
    if len(text) <= MAX_CHARS and text_width_mm(cleaned, size_mm) <= width_mm:
        return cleaned
    room = width_mm / size_mm - _advance(ELLIPSIS)
    kept = 0
    for character in cleaned:
        room -= _advance(character)
        if room < 0:
            break
        kept += 1
    return cleaned[:kept].rstrip() + ELLIPSIS


def nonbreaking(text: str) -> str:
    """Return the text with no-break spaces where a number would be torn apart."""
    return _IN_NUMBERS.sub(_TIED, text)


def wrap_text(
    text: str, size_mm: float, width_mm: float, *, most: int | None = None
) -> tuple[str, ...]:
    """Return the lines of `text` broken at spaces to fit `width_mm`, at most so many.

    A longer word is shortened, and so is the last line where more were needed. Numbers keep their
    fractions and units, but are rather torn than shortened.
    """
    words: list[str] = []
    for tied in _BREAKS.split(nonbreaking(text[:MAX_CHARS].strip())):
        word = clean_text(tied)
        words += [word] if text_width_mm(word, size_mm) <= width_mm else word.split(" ")
    lines: list[str] = []
    for word in filter(None, words):
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and text_width_mm(joined, size_mm) <= width_mm:
            lines[-1] = joined
        else:
            lines.append(shorten_text(word, size_mm, width_mm))
    if most is not None and len(lines) > most:
        rest = f"{' '.join(lines[most - 1 :])} {ELLIPSIS}"
        lines[most - 1 :] = [shorten_text(rest, size_mm, width_mm)]
    return tuple(lines)


def paragraph(
    text: str,
    top: Point,
    size_mm: float,
    width_mm: float,
    *,
    most: int | None = None,
    colour: Colour = 0.0,
) -> tuple[list[Label], float]:
    """Return the wrapped lines of a text whose upper left corner is `top`, and their height."""
    step = size_mm * LEADING
    x, y = top[0], top[1] - size_mm * _FIRST_LINE
    labels = [
        Label(text=line, at=(x, y - i * step), size_mm=size_mm, colour=colour)
        for i, line in enumerate(wrap_text(text, size_mm, width_mm, most=most))
    ]
    return labels, step * len(labels)
