"""Scene -> SVG: the only place where y is turned over and the only one that knows svgwrite."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from xml.etree import ElementTree

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
#: Inside a page a drawing is looked at: a thousandth of a millimetre is more than enough.
_INLINE_DECIMALS = 3


def write_svg_text(
    scene: Scene, hidden_layers: Collection[str] = (), *, validate: bool = False
) -> str:
    """Return the scene as an SVG document at true scale.

    The sheet's size is in mm and one unit inside is one mm; every layer is a group that vector
    editors show as a layer, those named in `hidden_layers` switched off. `validate` checks every
    element against the SVG standard (slow; for tests). Raises ValueError, naming the layer, for a
    number that cannot be drawn.
    """
    drawing = _new_drawing(scene, validate)
    notation = _Notation(drawing=drawing, height_mm=scene.height_mm, decimals=_DECIMALS)
    editor = Inkscape(drawing)
    for number, layer in enumerate(scene.layers, start=1):
        group = editor.layer(
            label=clean_text(layer.name, any_font=True),
            id=f"layer{number}",
            **({"style": "display:none"} if layer.name in hidden_layers else {}),
        )
        notation.add(group, layer)
    text: str = drawing.tostring()
    return '<?xml version="1.0" encoding="utf-8"?>\n' + text + "\n"


def write_inline_svg(scene: Scene) -> str:
    """Return the scene as an SVG element to stand inside a page.

    Layers become groups of the class of their name; what only editors read, and identifiers that
    would stand twice in one page, are left out. Raises ValueError as `write_svg_text`.
    """
    drawing = _new_drawing(scene, validate=False)
    notation = _Notation(drawing=drawing, height_mm=scene.height_mm, decimals=_INLINE_DECIMALS)
    for layer in scene.layers:
        group = drawing.g(class_=clean_text(layer.name, any_font=True))
        notation.add(group, layer)
    root = drawing.get_xml()
    for empty in root.findall("defs"):
        root.remove(empty)
    for key in ("baseProfile", "version", "xmlns", "xmlns:ev", "xmlns:xlink"):
        root.attrib.pop(key, None)
    root.set("role", "img")
    return ElementTree.tostring(root, encoding="unicode")


def _new_drawing(scene: Scene, validate: bool) -> svgwrite.Drawing:
    refuse_nonfinite(scene)
    width, height = _number(scene.width_mm), _number(scene.height_mm)
    drawing = svgwrite.Drawing(
        size=(f"{width}mm", f"{height}mm"), viewBox=f"0 0 {width} {height}", debug=validate
    )
    drawing.set_desc(title=clean_text(scene.title, any_font=True))
    return drawing


@dataclass(frozen=True, slots=True, kw_only=True)
class _Notation:
    """How items are written: y down from the sheet's top, numbers rounded to so many places."""

    drawing: svgwrite.Drawing
    height_mm: float
    decimals: int

    def add(self, group: BaseElement, layer: Layer) -> None:
        """Write a layer's items into its group, and the group into the drawing."""
        for item in layer.items:
            group.add(self.text(item) if isinstance(item, Label) else self.path(item))
        self.drawing.add(group)

    def path(self, stroke: Stroke) -> BaseElement:
        look: dict[str, object] = {"fill": "none" if stroke.fill is None else _colour(stroke.fill)}
        if stroke.pen:
            look["stroke"] = _colour(stroke.pen.colour)
            look["stroke_width"] = _number(stroke.pen.width_mm)
            look["stroke_linejoin"] = "round"
            if stroke.pen.dash_mm:
                look["stroke_dasharray"] = ",".join(map(_number, stroke.pen.dash_mm))
        return self.drawing.path(d=self.path_data(stroke.path), **look)

    def path_data(self, path: Path) -> str:
        turned = path.cubics * (1.0, -1.0) + (0.0, self.height_mm)
        segments: list[list[list[float]]] = (np.round(turned, self.decimals) + 0.0).tolist()
        parts = ["M" + _pair(segments[0][0])]
        for straight, (_, b, c, d) in zip(straight_segments(path).tolist(), segments, strict=True):
            parts.append("L" + _pair(d) if straight else f"C{_pair(b)} {_pair(c)} {_pair(d)}")
        return "".join(parts) + ("Z" if path.closed else "")

    def text(self, label: Label) -> BaseElement:
        x, y = (_number(v, self.decimals) for v in (label.at[0], self.height_mm - label.at[1]))
        turn = f"rotate({_number(-label.angle_deg)} {x} {y})"
        return self.drawing.text(
            clean_text(label.text, any_font=True),
            x=[x],
            y=[y],
            font_family=f"{FAMILY}, sans-serif",
            font_size=_number(label.size_mm),
            text_anchor=label.anchor,
            fill=_colour(label.colour),
            **({"transform": turn} if label.angle_deg else {}),
        )


def _pair(point: list[float]) -> str:
    return f"{point[0]:.10g},{point[1]:.10g}"


def _colour(colour: Colour) -> str:
    levels = colour if isinstance(colour, tuple) else (colour,) * 3
    return "#" + "".join(f"{round(255 * min(max(v, 0.0), 1.0)):02x}" for v in levels)


def _number(value: float, decimals: int = _DECIMALS) -> str:
    return f"{round(float(value), decimals) + 0.0:.12g}"
