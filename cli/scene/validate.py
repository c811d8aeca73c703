"""The guard before every writer: the drawing libraries let NaN and infinity through."""

from __future__ import annotations

import math

import numpy as np

from outseam.cli.scene.scene import Colour, Label, Pen, Scene, Stroke


def refuse_nonfinite(scene: Scene) -> None:
    """Raise ValueError, naming the layer, unless every number of the scene can be drawn.

    Refused are NaN and infinity anywhere, a sheet without extent, a pen of negative width, and
    dashes that are negative or all zero.
    """
    if not (_finite(scene.width_mm, scene.height_mm) and min(scene.width_mm, scene.height_mm) > 0):
        raise ValueError(f"the sheet has no usable size: {scene.width_mm} x {scene.height_mm} mm")
    for layer in scene.layers:
        for number, item in enumerate(layer.items, start=1):
            wrong = _wrong_label(item) if isinstance(item, Label) else _wrong_stroke(item)
            if wrong:
                raise ValueError(f"layer {layer.name!r}, item {number}: {wrong}")


def _wrong_label(label: Label) -> str:
    if not _finite(*label.at, label.size_mm, label.angle_deg, *_levels(label.colour)):
        return f"the label {label.text[:40]!r} has a number that is not finite"
    return "" if label.size_mm > 0 else f"the label {label.text[:40]!r} has no size"


def _wrong_stroke(stroke: Stroke) -> str:
    if not np.isfinite(stroke.path.cubics).all():
        return "a coordinate is not a finite number"
    if stroke.fill is not None and not _finite(*_levels(stroke.fill)):
        return "the fill is not a finite number"
    return _wrong_pen(stroke.pen) if stroke.pen else ""


def _wrong_pen(pen: Pen) -> str:
    if not _finite(pen.width_mm, *_levels(pen.colour), *pen.dash_mm):
        return "the pen has a number that is not finite"
    if pen.width_mm < 0:
        return "the pen has a negative width"
    if pen.dash_mm and (min(pen.dash_mm) < 0 or max(pen.dash_mm) == 0):
        return "the dashes are negative or have no length"
    return ""


def _levels(colour: Colour) -> tuple[float, ...]:
    return colour if isinstance(colour, tuple) else (colour,)


def _finite(*numbers: float) -> bool:
    return all(map(math.isfinite, numbers))
