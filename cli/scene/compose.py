"""Items gathered in layers, moved to their places, and pages stacked to one tall sheet."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from outseam.cli.scene.scene import (
    Anchor,
    Colour,
    Label,
    Layer,
    Pen,
    Scene,
    SceneItem,
    Stroke,
    scene_of,
)
from outseam.curves.path import Path
from outseam.curves.point import Point


@dataclass(slots=True)
class LayerItems:
    """Items gathered layer by layer while a drawing is made; `names` are in drawing order."""

    names: Sequence[str]
    items: dict[str, list[SceneItem]] = field(init=False)

    def __post_init__(self) -> None:
        self.items = {name: [] for name in self.names}

    def stroke(self, layer: str, path: Path, pen: Pen | None, fill: Colour | None = None) -> None:
        """Add a path to a layer."""
        self.items[layer].append(Stroke(path=path, pen=pen, fill=fill))

    def text(
        self,
        layer: str,
        text: str,
        at: Point,
        size_mm: float,
        anchor: Anchor = "start",
        angle_deg: float = 0.0,
    ) -> None:
        """Add a line of text to a layer."""
        self.items[layer].append(
            Label(text=text, at=at, size_mm=size_mm, anchor=anchor, angle_deg=angle_deg)
        )

    def add(self, layer: str, items: Iterable[SceneItem]) -> None:
        """Add items to a layer."""
        self.items[layer] += items

    def layers(self) -> tuple[Layer, ...]:
        """Return the layers in drawing order."""
        return tuple(Layer(name=name, items=tuple(items)) for name, items in self.items.items())


def moved(items: Iterable[SceneItem], dx_mm: float, dy_mm: float) -> list[SceneItem]:
    """Return items shifted on the sheet."""
    return [
        replace(item, at=(item.at[0] + dx_mm, item.at[1] + dy_mm))
        if isinstance(item, Label)
        else replace(item, path=item.path.moved(dx_mm, dy_mm))
        for item in items
    ]


def with_margin(scene: Scene, margin_mm: float) -> Scene:
    """Return a scene with room on all sides."""
    return replace(
        scene,
        width_mm=scene.width_mm + 2.0 * margin_mm,
        height_mm=scene.height_mm + 2.0 * margin_mm,
        layers=tuple(
            replace(layer, items=tuple(moved(layer.items, margin_mm, margin_mm)))
            for layer in scene.layers
        ),
    )


def stacked(scenes: Sequence[Scene]) -> Scene:
    """Return pages as one sheet, the first at the top; layers of the same name become one."""
    layers: dict[str, list[SceneItem]] = {}
    height = top = sum(scene.height_mm for scene in scenes)
    for scene in scenes:
        top -= scene.height_mm
        for layer in scene.layers:
            layers.setdefault(layer.name, []).extend(moved(layer.items, 0.0, top))
    return scene_of(scenes[0].title, (max(scene.width_mm for scene in scenes), height), layers)
