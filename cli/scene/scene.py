"""One description of a drawing that every writer reads: layers of plain strokes and labels.

Millimetres, x right, y up, origin at the lower left corner of the sheet. Nothing in here knows
what a leg is; nothing in a writer knows either.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal, TypeAlias

from outseam.curves.path import Path
from outseam.curves.point import Point

Colour: TypeAlias = float | tuple[float, float, float]
"""A grey, 0 black to 1 white, or red, green and blue, each 0 to 1."""

Anchor: TypeAlias = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pen:
    """How a line looks: width in mm, dash lengths in mm (empty: solid), colour."""

    width_mm: float
    dash_mm: tuple[float, ...] = ()
    colour: Colour = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """A path filled with a colour (None: not filled), then drawn with a pen (None: no line)."""

    path: Path
    pen: Pen | None
    fill: Colour | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A line of text; `at` is its baseline at the anchor, and the angle turns it about `at`."""

    text: str
    at: Point
    size_mm: float
    angle_deg: float = 0.0
    anchor: Anchor = "start"
    colour: Colour = 0.0


SceneItem: TypeAlias = Stroke | Label


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """Items drawn in order under one name that editors and PDF viewers can switch on and off."""

    name: str
    items: tuple[SceneItem, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """A sheet of width x height mm and its layers, drawn in order."""

    title: str
    width_mm: float
    height_mm: float
    layers: tuple[Layer, ...]

    @property
    def items(self) -> tuple[SceneItem, ...]:
        """All items of all layers, in drawing order."""
        return tuple(item for layer in self.layers for item in layer.items)


def scene_of(
    title: str, size_mm: tuple[float, float], layers: Mapping[str, Iterable[SceneItem]]
) -> Scene:
    """Return a sheet, width by height, with the items of its layers by name, in drawing order."""
    return Scene(
        title=title,
        width_mm=size_mm[0],
        height_mm=size_mm[1],
        layers=tuple(Layer(name=name, items=tuple(items)) for name, items in layers.items()),
    )
