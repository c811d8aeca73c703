"""Draws the items of a scene with cairo, in millimetres, y turned over.

A long path is handed to cairo whole, as one array: calling it once per segment takes as long as the
drawing itself. For a short one the array costs more than the calls. Pens, greys and sizes are set
only where they change.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

import cairocffi
import numpy as np

from outseam.cli.scene.extent import is_straight, straight_segments
from outseam.cli.scene.font import clean_text, font_face, plain_options, text_width_mm
from outseam.cli.scene.scene import Label, Pen, Stroke
from outseam.curves.path import Path

#: How cairo lays out a path (cairo_path_data_t): 16 bytes each, a header (kind and number of
#: entries, itself included) followed by the points it needs.
_HEADER = np.dtype([("kind", np.intc), ("length", np.intc), ("unused", np.float64)])
_MOVE, _LINE, _CURVE, _CLOSE = 0, 1, 2, 3

#: From this number of segments on, one array is quicker than a call per segment.
_LONG = 12


def paint_items(context: cairocffi.Context, items: Iterable[Stroke | Label]) -> None:
    """Draw items in order on a context whose unit is the millimetre."""
    context.set_line_join(cairocffi.LINE_JOIN_ROUND)
    context.set_font_face(font_face())
    context.set_font_options(plain_options())
    brush = _Brush(context)
    for item in items:
        if isinstance(item, Label):
            _paint_label(context, brush, item)
        else:
            _paint_stroke(context, brush, item)


class _Brush:
    """What the context is set to, so that nothing is set twice."""

    def __init__(self, context: cairocffi.Context) -> None:
        self._context = context
        self._grey = self._size = math.nan
        self._pen: Pen | None = None

    def grey(self, grey: float) -> None:
        if grey != self._grey:
            self._context.set_source_rgb(grey, grey, grey)
            self._grey = grey

    def pen(self, pen: Pen) -> None:
        self.grey(pen.grey)
        if pen != self._pen:
            self._context.set_line_width(pen.width_mm)
            self._context.set_dash(pen.dash_mm)
            self._pen = pen

    def size(self, size_mm: float) -> None:
        if size_mm != self._size:
            self._context.set_font_size(size_mm)
            self._size = size_mm


def _paint_stroke(context: cairocffi.Context, brush: _Brush, stroke: Stroke) -> None:
    if len(stroke.path) < _LONG:
        _trace_path(context, stroke.path)
    else:
        _append_path(context, stroke.path)
    if stroke.fill_grey is not None:
        brush.grey(stroke.fill_grey)
        if stroke.pen is None:
            context.fill()
        else:
            context.fill_preserve()
    if stroke.pen is not None:
        brush.pen(stroke.pen)
        context.stroke()
    context.new_path()


def _trace_path(context: cairocffi.Context, path: Path) -> None:
    """Add a path to the context's path, segment by segment, straight ones as lines."""
    x, y = path.start
    context.move_to(x, -y)
    for controls in path.cubics.reshape(-1, 8).tolist():
        _, _, bx, by, cx, cy, dx, dy = controls
        if is_straight(controls):
            context.line_to(dx, -dy)
        else:
            context.curve_to(bx, -by, cx, -cy, dx, -dy)
    if path.closed:
        context.close_path()


def _append_path(context: cairocffi.Context, path: Path) -> None:
    """Do as `_trace_path` does, for all segments at once."""
    points = path.cubics * (1.0, -1.0)
    straight = straight_segments(path)
    # one header and one point for the start, two entries per line, four per curve, one to close
    sizes = np.where(straight, 2, 4)
    at = 2 + np.concatenate([[0], np.cumsum(sizes)])
    data = np.zeros((int(at[-1]) + path.closed, 2))
    headers = data.view(_HEADER)[:, 0]
    headers["kind"][0], headers["length"][0] = _MOVE, 2
    data[1] = points[0, 0]
    starts, curved = at[:-1], at[:-1][~straight]
    headers["kind"][starts] = np.where(straight, _LINE, _CURVE)
    headers["length"][starts] = sizes
    for handle in (1, 2):
        data[curved + handle] = points[~straight, handle]
    data[starts + sizes - 1] = points[:, 3]
    if path.closed:
        headers["kind"][-1], headers["length"][-1] = _CLOSE, 1
    ffi = cairocffi.ffi
    whole = ffi.new("cairo_path_t *")
    whole.data = ffi.from_buffer("cairo_path_data_t[]", data)
    whole.num_data = len(data)
    cairocffi.cairo.cairo_append_path(context._pointer, whole)


def _paint_label(context: cairocffi.Context, brush: _Brush, label: Label) -> None:
    text = clean_text(label.text)
    if not text.strip():
        return
    brush.grey(label.grey)
    brush.size(label.size_mm)
    x, y = label.at[0], -label.at[1]
    back = {"start": 0.0, "middle": 0.5, "end": 1.0}[label.anchor]
    back = back and back * text_width_mm(text, label.size_mm)
    if label.angle_deg:
        context.save()
        context.translate(x, y)
        context.rotate(-math.radians(label.angle_deg))
        context.move_to(-back, 0.0)
        context.show_text(text)
        context.restore()
    else:
        context.move_to(x - back, y)
        context.show_text(text)
    context.new_path()
