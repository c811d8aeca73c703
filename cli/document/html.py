"""Drawings that stand inside an HTML page."""

from __future__ import annotations

from typing import Final
from xml.etree import ElementTree

from outseam.cli.scene.scene import Scene
from outseam.cli.write.svg import write_svg_text

_SVG: Final = "{http://www.w3.org/2000/svg}"
_LAYER: Final = "{http://www.inkscape.org/namespaces/inkscape}label"


def inline_svg(scene: Scene) -> str:
    """Return the scene as an SVG element to stand inside a page.

    Layers become groups of the class of their name; what only editors read, and identifiers that
    would stand twice in one page, are left out.
    """
    root = ElementTree.fromstring(write_svg_text(scene))
    for element in root.iter():
        name = element.attrib.get(_LAYER)
        for key in [k for k in element.attrib if k.startswith("{") or k == "id"]:
            del element.attrib[key]
        if name is not None:
            element.set("class", name)
        element.tag = element.tag.removeprefix(_SVG)
    for empty in [e for e in root if e.tag == "defs" and not len(e)]:
        root.remove(empty)
    for key in ("baseProfile", "version"):
        root.attrib.pop(key, None)
    root.set("role", "img")
    return ElementTree.tostring(root, encoding="unicode")
