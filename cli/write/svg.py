"""Scene -> SVG: the only place where y is turned over and the only one that knows svgwrite."""

from __future__ import annotations

from collections.abc import Collection

import numpy as np
import svgwrite
from svgwrite.base import BaseElement
from svgwrite.extensions import Inkscape

from outseam.cli.scene.extent import straight_segments
from outseam.cli.scene.font import FAMILY
from outseam.cli.scene.scene import Colour, Label, Layer, Scene, Stroke
from outseam.cli.scene.text import clean_text
from outseam.cli.scene.validate import refuse_nonfinite
from outseam.curves.path import Path

#: Numbers are written to a tenth of a micrometre: finer than any blade or printer, and short.
_DECIMALS = 4


def write_svg_text(
    scene: Scene, hidden_layers: Collection[str] = (), *, validate: bool = False
) -> str:
    """Return the scene as an SVG document at true scale.

    The sheet's size is in mm and one unit inside is one mm; every layer is a group that vector
    editors show as a layer, those named in `hidden_layers` switched off. `validate` checks every
    element against the SVG standard (slow; for tests). Raises ValueError, naming the layer, for a
    number that cannot be drawn.
    """
    refuse_nonfinite(scene)
    width, height = _number(scene.width_mm), _number(scene.height_mm)
    drawing = svgwrite.Drawing(
        size=(f"{width}mm", f"{height}mm"), viewBox=f"0 0 {width} {height}", debug=validate
    )
    drawing.set_desc(title=clean_text(scene.title, any_font=True))
    editor = Inkscape(drawing)
    for number, layer in enumerate(scene.layers, start=1):
        group = editor.layer(
            label=clean_text(layer.name, any_font=True),
            id=f"layer{number}",
            **({"style": "display:none"} if layer.name in hidden_layers else {}),
        )
        _fill_group(drawing, group, layer, scene.height_mm)
        drawing.add(group)
    text: str = drawing.tostring()
    return '<?xml version="1.0" encoding="utf-8"?>\n' + text + "\n"


def _fill_group(
    drawing: svgwrite.Drawing, group: BaseElement, layer: Layer, height_mm: float
) -> None:
    for item in layer.items:
        if isinstance(item, Label):
            group.add(_text(drawing, item, height_mm))
        else:
            group.add(_path(drawing, item, height_mm))


def _path(drawing: svgwrite.Drawing, stroke: Stroke, height_mm: float) -> BaseElement:
    look: dict[str, object] = {"fill": "none" if stroke.fill is None else _colour(stroke.fill)}
    if stroke.pen:
        look["stroke"] = _colour(stroke.pen.colour)
        look["stroke_width"] = _number(stroke.pen.width_mm)
        look["stroke_linejoin"] = "round"
        if stroke.pen.dash_mm:
            look["stroke_dasharray"] = ",".join(map(_number, stroke.pen.dash_mm))
    return drawing.path(d=_path_data(stroke.path, height_mm), **look)


def _path_data(path: Path, height_mm: float) -> str:
    """Return SVG path data, y down from the sheet's top."""
    flipped = np.round(path.cubics * (1.0, -1.0) + (0.0, height_mm), _DECIMALS) + 0.0
    segments: list[list[list[float]]] = flipped.tolist()
    parts = ["M" + _pair(segments[0][0])]
    for straight, (_, b, c, d) in zip(straight_segments(path).tolist(), segments, strict=True):
        if straight:
            parts.append("L" + _pair(d))
        else:
            parts.append(f"C{_pair(b)} {_pair(c)} {_pair(d)}")
    return "".join(parts) + ("Z" if path.closed else "")


def _pair(point: list[float]) -> str:
    return f"{point[0]:.10g},{point[1]:.10g}"


def _text(drawing: svgwrite.Drawing, label: Label, height_mm: float) -> BaseElement:
    x, y = _number(label.at[0]), _number(height_mm - label.at[1])
    turn = {"transform": f"rotate({_number(-label.angle_deg)} {x} {y})"} if label.angle_deg else {}
    return drawing.text(
        clean_text(label.text, any_font=True),
        x=[x],
        y=[y],
        font_family=f"{FAMILY}, sans-serif",
        font_size=_number(label.size_mm),
        text_anchor=label.anchor,
        fill=_colour(label.colour),
        **turn,
    )


def _colour(colour: Colour) -> str:
    levels = colour if isinstance(colour, tuple) else (colour,) * 3
    return "#" + "".join(f"{round(255 * min(max(v, 0.0), 1.0)):02x}" for v in levels)


def _number(value: float) -> str:
    return f"{round(float(value), _DECIMALS) + 0.0:.12g}"
