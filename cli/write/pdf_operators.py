"""Strokes and labels as the operators of a PDF page, in millimetres, to a thousandth of one."""

from __future__ import annotations

import functools
import math
from collections.abc import Iterable

from outseam.cli.scene.extent import is_straight, straight_segments
from outseam.cli.scene.font import glyph_of
from outseam.cli.scene.scene import Colour, Label, Pen, SceneItem, Stroke
from outseam.cli.scene.text import clean_text, text_width_mm
from outseam.curves.path import Path

#: What the font is called in the resources of whatever the operators stand in.
FONT_NAME = "/F0"
#: A line of text, level and turned: size, place, characters.
_LEVEL = b"BT %s %%.4f Tf %%.4f %%.4f Td <%%s> Tj ET\n" % FONT_NAME.encode()
_TURNED = (
    b"BT %s %%.4f Tf %%.6f %%.6f %%.6f %%.6f %%.4f %%.4f Tm <%%s> Tj ET\n" % FONT_NAME.encode()
)

_LINE, _CURVE = b"%.3f %.3f l\n", b"%.3f %.3f %.3f %.3f %.3f %.3f c\n"

#: From this number of segments on, arrays are quicker than a segment at a time.
_LONG = 12


def item_operators(items: Iterable[SceneItem]) -> bytes:
    """Return the operators that draw the items in order; joins are round, ends are cut off.

    Pens and fills are set only where they change.
    """
    out = [b"1 j 0 J\n"]
    pen: Pen | None = None
    fill: Colour | None = None
    for item in items:
        wanted = item.colour if isinstance(item, Label) else item.fill
        if wanted is not None and wanted != fill:
            fill = wanted
            out.append(_colour(fill, b"g", b"rg"))
        if isinstance(item, Label):
            out.append(_label_operators(item))
            continue
        if item.pen is None and item.fill is None:
            continue
        if item.pen is not None and item.pen is not pen and item.pen != pen:
            pen = item.pen
            out.append(_pen(pen))
        out += (path_operators(item.path), _painting(item))
    return b"".join(out)


@functools.lru_cache(maxsize=256)
def _pen(pen: Pen) -> bytes:
    """Return the operators that set a pen."""
    dash = b" ".join(b"%.4f" % d for d in pen.dash_mm)
    return b"%.4f w [%s] 0 d " % (pen.width_mm, dash) + _colour(pen.colour, b"G", b"RG")


@functools.lru_cache(maxsize=256)
def _colour(colour: Colour, grey: bytes, rgb: bytes) -> bytes:
    """Return the operator, one of two, that sets a colour."""
    if isinstance(colour, tuple):
        red, green, blue = (round(v, 4) for v in colour)
        return b"%.4g %.4g %.4g %s\n" % (red, green, blue, rgb)
    return b"%.4g %s\n" % (round(colour, 4), grey)


def _painting(stroke: Stroke) -> bytes:
    if stroke.fill is None:
        return b"S\n"
    return b"f\n" if stroke.pen is None else b"B\n"


def path_operators(path: Path) -> bytes:
    """Return the operators that make a path the current one; straight segments become lines.

    An upright rectangle is written as one: readers that measure a file find it as such.
    """
    points = path.cubics
    if len(points) < _LONG:
        rows = points.reshape(-1, 8).tolist()
        if len(rows) == 4 and _is_upright_rectangle(rows):
            x, y = rows[0][:2]
            return b"%.3f %.3f %.3f %.3f re\n" % (x, y, rows[1][6] - x, rows[1][7] - y)
        drawn = b"".join(map(_segment, rows))
    else:
        straight = straight_segments(path)
        if straight.all():
            drawn = _LINE * len(points) % tuple(points[:, 3].ravel().tolist())
        elif not straight.any():
            drawn = _CURVE * len(points) % tuple(points[:, 1:].ravel().tolist())
        else:
            drawn = b"".join(map(_segment, points.reshape(-1, 8).tolist()))
    end = b"h " if len(points) > 1 and path.closed else b""
    return b"%.3f %.3f m\n%s%s" % (*points[0, 0].tolist(), drawn, end)


def _is_upright_rectangle(rows: list[list[float]]) -> bool:
    """Return whether four segments go round an upright rectangle, given as controls."""
    if rows[0][:2] != rows[3][6:] or not all(map(is_straight, rows)):
        return False
    level = [row[1] == row[7] for row in rows]
    steep = [row[0] == row[6] for row in rows]
    return level in ([True, False] * 2, [False, True] * 2) and steep == [not one for one in level]


def _segment(controls: list[float]) -> bytes:
    """Return the operator of one segment."""
    if is_straight(controls):
        return _LINE % tuple(controls[6:])
    return _CURVE % tuple(controls[2:])


def _label_operators(label: Label) -> bytes:
    """Return the operators that set a line of text; its characters are glyph numbers."""
    text = clean_text(label.text)
    if not text.strip():
        return b""
    back = {"start": 0.0, "middle": 0.5, "end": 1.0}[label.anchor]
    back = back and back * text_width_mm(text, label.size_mm)
    x, y = label.at
    if not label.angle_deg:
        return _LEVEL % (label.size_mm, x - back, y, _codes(text))
    turn = math.radians(label.angle_deg)
    c, s = math.cos(turn), math.sin(turn)
    place = (c, s, -s, c, x - back * c, y - back * s)
    return _TURNED % (label.size_mm, *place, _codes(text))


@functools.lru_cache(maxsize=1024)
def _codes(text: str) -> bytes:
    """Return the glyph numbers of a text as a hexadecimal string."""
    return "".join(f"{glyph[0]:04x}" for glyph in map(glyph_of, text) if glyph).encode()
