"""Strokes and labels as the operators of a PDF page, in millimetres, to a thousandth of one."""

from __future__ import annotations

import functools
import math
from collections.abc import Iterable

from outseam.cli.scene.extent import is_straight, straight_segments
from outseam.cli.scene.font import glyph_of
from outseam.cli.scene.scene import Colour, Item, Label, Pen, Stroke
from outseam.cli.scene.text import clean_text, text_width_mm
from outseam.curves.path import Path

#: What the font is called in the resources of whatever the operators stand in.
FONT_NAME = "/F0"
_FONT = FONT_NAME.encode()

_LINE, _CURVE = b"%.3f %.3f l\n", b"%.3f %.3f %.3f %.3f %.3f %.3f c\n"

#: From this number of segments on, arrays are quicker than a segment at a time.
_LONG = 12


def item_operators(items: Iterable[Item]) -> bytes:
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
        if item.pen is not None and item.pen != pen:
            pen = item.pen
            dash = b" ".join(b"%.4f" % d for d in pen.dash_mm)
            out.append(
                b"%.4f w [%s] 0 d " % (pen.width_mm, dash) + _colour(pen.colour, b"G", b"RG")
            )
        out += (path_operators(item.path), _painting(item))
    return b"".join(out)


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
    if len(points) == 1:
        controls = points.ravel().tolist()
        return b"%.3f %.3f m\n" % tuple(controls[:2]) + _segment(controls)
    if len(points) == 4 and _is_upright_rectangle(path):
        (x, y), far = path.start, points[1, 3]
        return b"%.3f %.3f %.3f %.3f re\n" % (x, y, far[0] - x, far[1] - y)
    if len(points) < _LONG:
        drawn = b"".join(map(_segment, points.reshape(-1, 8).tolist()))
    else:
        straight = straight_segments(path)
        if straight.all():
            drawn = _LINE * len(points) % tuple(points[:, 3].ravel().tolist())
        elif not straight.any():
            drawn = _CURVE * len(points) % tuple(points[:, 1:].ravel().tolist())
        else:
            drawn = b"".join(map(_segment, points.reshape(-1, 8).tolist()))
    x, y = path.start
    return b"%.3f %.3f m\n%s%s" % (x, y, drawn, b"h " if path.closed else b"")


def _is_upright_rectangle(path: Path) -> bool:
    """Return whether a closed path of four segments goes round an upright rectangle."""
    if not (path.closed and straight_segments(path).all()):
        return False
    steps = path.cubics[:, 3] - path.cubics[:, 0]
    still = steps == 0.0
    return bool((still.sum(axis=1) == 1).all() and (still[0::2, 0] == still[1::2, 1]).all())


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
    if label.angle_deg:
        turn = math.radians(label.angle_deg)
        c, s = math.cos(turn), math.sin(turn)
        place = (c, s, -s, c, x - back * c, y - back * s)
        at = b"%.6f %.6f %.6f %.6f %.4f %.4f Tm" % place
    else:
        at = b"%.4f %.4f Td" % (x - back, y)
    return b"BT %s %.4f Tf %s <%s> Tj ET\n" % (_FONT, label.size_mm, at, _codes(text))


@functools.lru_cache(maxsize=1024)
def _codes(text: str) -> bytes:
    """Return the glyph numbers of a text as a hexadecimal string."""
    return "".join(f"{glyph[0]:04x}" for glyph in map(glyph_of, text) if glyph).encode()
