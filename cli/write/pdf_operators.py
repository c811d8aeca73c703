"""Strokes as the operators of a PDF page, in millimetres: what cairo is not needed for.

Cairo embeds the font and sets words; but a line is only numbers, and writing those straight away
takes half as long, and keeps them to a thousandth of a millimetre.
"""

from __future__ import annotations

from collections.abc import Iterable

from outseam.cli.scene.extent import is_straight, straight_segments
from outseam.cli.scene.scene import Pen, Stroke
from outseam.curves.path import Path

_LINE, _CURVE = b"%.3f %.3f l\n", b"%.3f %.3f %.3f %.3f %.3f %.3f c\n"

#: From this number of segments on, arrays are quicker than a segment at a time.
_LONG = 12


def stroke_operators(strokes: Iterable[Stroke]) -> bytes:
    """Return the operators that draw the strokes in order; joins are round, ends are cut off."""
    out = [b"1 j 0 J\n"]
    pen: Pen | None = None
    fill: float | None = None
    for stroke in strokes:
        if stroke.pen is None and stroke.fill_grey is None:
            continue
        if stroke.fill_grey is not None and stroke.fill_grey != fill:
            fill = stroke.fill_grey
            out.append(b"%.4g g\n" % fill)
        if stroke.pen is not None and stroke.pen != pen:
            pen = stroke.pen
            dash = b" ".join(b"%.4f" % d for d in pen.dash_mm)
            out.append(b"%.4f w [%s] 0 d %.4g G\n" % (pen.width_mm, dash, pen.grey))
        out.append(path_operators(stroke.path))
        kind = (stroke.fill_grey is not None, stroke.pen is not None)
        out.append({(True, True): b"B\n", (True, False): b"f\n", (False, True): b"S\n"}[kind])
    return b"".join(out)


def path_operators(path: Path) -> bytes:
    """Return the operators that make a path the current one; straight segments become lines."""
    points = path.cubics
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


def _segment(controls: list[float]) -> bytes:
    """Return the operator of one segment."""
    if is_straight(controls):
        return _LINE % tuple(controls[6:])
    return _CURVE % tuple(controls[2:])
