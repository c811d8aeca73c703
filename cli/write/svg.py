"""Scene -> SVG: the only place where y is turned over and the only one that knows SVG."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import Final
from xml.etree.ElementTree import Element, SubElement, tostring

import numpy as np

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
#: What stands at the head of a file: SVG 1.1, and the names by which vector editors know layers.
_FILE: Final = {
    "baseProfile": "full",
    "version": "1.1",
    "xmlns": "http://www.w3.org/2000/svg",
    "xmlns:ev": "http://www.w3.org/2001/xml-events",
    "xmlns:inkscape": "http://www.inkscape.org/namespaces/inkscape",
    "xmlns:sodipodi": "http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd",
    "xmlns:xlink": "http://www.w3.org/1999/xlink",
}


def write_svg_text(scene: Scene, hidden_layers: Collection[str] = ()) -> str:
    """Return the scene as an SVG document at true scale.

    The sheet's size is in mm and one unit inside is one mm; every layer is a group that vector
    editors show as a layer, those named in `hidden_layers` switched off. Raises ValueError, naming
    the layer, for a number that cannot be drawn.
    """
    root = _new_drawing(scene, _FILE)
    SubElement(root, "defs")
    notation = _Notation(height_mm=scene.height_mm, decimals=_DECIMALS)
    for number, layer in enumerate(scene.layers, start=1):
        group = {
            "id": f"layer{number}",
            "inkscape:groupmode": "layer",
            "inkscape:label": clean_text(layer.name, any_font=True),
        }
        if layer.name in hidden_layers:
            group["style"] = "display:none"
        notation.write(layer, SubElement(root, "g", group))
    return f'<?xml version="1.0" encoding="utf-8"?>\n{tostring(root, encoding="unicode")}\n'


def write_inline_svg(scene: Scene) -> str:
    """Return the scene as an SVG element to stand inside a page.

    Layers become groups of the class of their name; what only editors read, and identifiers that
    would stand twice in one page, are left out. Raises ValueError as `write_svg_text`.
    """
    root = _new_drawing(scene, {})
    notation = _Notation(height_mm=scene.height_mm, decimals=_INLINE_DECIMALS)
    for layer in scene.layers:
        notation.write(
            layer, SubElement(root, "g", {"class": clean_text(layer.name, any_font=True)})
        )
    root.set("role", "img")
    return tostring(root, encoding="unicode")


def _new_drawing(scene: Scene, head: dict[str, str]) -> Element:
    refuse_nonfinite(scene)
    width, height = _number(scene.width_mm), _number(scene.height_mm)
    size = {"height": f"{height}mm", "viewBox": f"0 0 {width} {height}", "width": f"{width}mm"}
    root = Element("svg", dict(sorted((head | size).items())))
    SubElement(root, "title").text = clean_text(scene.title, any_font=True)
    return root


@dataclass(frozen=True, slots=True, kw_only=True)
class _Notation:
    """How items are written: y down from the sheet's top, numbers rounded to so many places."""

    height_mm: float
    decimals: int

    def write(self, layer: Layer, group: Element) -> None:
        """Write a layer's items into its group, attributes in the order of the alphabet."""
        for item in layer.items:
            if isinstance(item, Label):
                look = sorted(self.text(item).items())
                SubElement(group, "text", dict(look)).text = clean_text(item.text, any_font=True)
            else:
                SubElement(group, "path", dict(sorted(self.path(item).items())))

    def path(self, stroke: Stroke) -> dict[str, str]:
        look = {
            "d": self.path_data(stroke.path),
            "fill": "none" if stroke.fill is None else _colour(stroke.fill),
        }
        if stroke.pen:
            look["stroke"] = _colour(stroke.pen.colour)
            look["stroke-width"] = _number(stroke.pen.width_mm)
            look["stroke-linejoin"] = "round"
            if stroke.pen.dash_mm:
                look["stroke-dasharray"] = ",".join(map(_number, stroke.pen.dash_mm))
        return look

    def path_data(self, path: Path) -> str:
        turned = path.cubics * (1.0, -1.0) + (0.0, self.height_mm)
        segments: list[list[list[float]]] = (np.round(turned, self.decimals) + 0.0).tolist()
        parts = ["M" + _pair(segments[0][0])]
        for straight, (_, b, c, d) in zip(straight_segments(path).tolist(), segments, strict=True):
            parts.append("L" + _pair(d) if straight else f"C{_pair(b)} {_pair(c)} {_pair(d)}")
        return "".join(parts) + ("Z" if path.closed else "")

    def text(self, label: Label) -> dict[str, str]:
        x, y = (_number(v, self.decimals) for v in (label.at[0], self.height_mm - label.at[1]))
        look = {
            "x": x,
            "y": y,
            "font-family": f"{FAMILY}, sans-serif",
            "font-size": _number(label.size_mm),
            "text-anchor": label.anchor,
            "fill": _colour(label.colour),
        }
        if label.angle_deg:
            look["transform"] = f"rotate({_number(-label.angle_deg)} {x} {y})"
        return look


def _pair(point: list[float]) -> str:
    return f"{point[0]:.10g},{point[1]:.10g}"


def _colour(colour: Colour) -> str:
    levels = colour if isinstance(colour, tuple) else (colour,) * 3
    return "#" + "".join(f"{round(255 * min(max(v, 0.0), 1.0)):02x}" for v in levels)


def _number(value: float, decimals: int = _DECIMALS) -> str:
    return f"{round(float(value), decimals) + 0.0:.12g}"
