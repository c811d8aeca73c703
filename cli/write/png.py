"""Scene -> PNG: a small picture to look at where a person would rather look than read."""

from __future__ import annotations

import io
import math
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from outseam.cli.scene.compose import with_margin
from outseam.cli.scene.font import FONT_FILE
from outseam.cli.scene.scene import Colour, Label, Scene, Stroke
from outseam.cli.scene.text import clean_text
from outseam.cli.scene.validate import refuse_nonfinite
from outseam.curves.path import Floats
from outseam.curves.region import flatten_all

if TYPE_CHECKING:
    from PIL import Image, ImageFont

#: What the picture of a folder's content is called.
PREVIEW = "preview.png"

#: The longer side in pixels: fills a screen, and is shown whole in a listing.
SIDE_PX = 1400

#: A picture larger than this is made smaller, so that it can be sent and listed anywhere.
MOST_BYTES = 200_000

#: White left round the drawing, of its longer side.
_MARGIN = 0.02

#: Drawn so many times as large and then averaged, so that a line's edges are grey.
_FINER = 4

_ANCHORS = {"start": "ls", "middle": "ms", "end": "rs"}


def preview_png(scene: Scene, side_px: int = SIDE_PX) -> bytes:
    """Return the scene on white, at most `side_px` wide and high and `MOST_BYTES` large.

    Raises ValueError for a number that cannot be drawn.
    """
    refuse_nonfinite(scene)
    framed = with_margin(scene, _MARGIN * max(scene.width_mm, scene.height_mm))
    scale = side_px / max(framed.width_mm, framed.height_mm)
    while True:
        out = io.BytesIO()
        out.name = PREVIEW  # by its ending the library loads the writer of this format alone
        _drawn(framed, scale).save(out)
        if out.tell() <= MOST_BYTES:
            return out.getvalue()
        scale *= 0.8


def _drawn(scene: Scene, scale: float) -> Image.Image:
    """Return the scene with `scale` pixels per mm."""
    # Imported here: most commands draw no pixels.
    from PIL import Image, ImageDraw

    fine = scale * _FINER
    size = [max(1, round(side * scale)) * _FINER for side in (scene.width_mm, scene.height_mm)]
    coloured = any(isinstance(c, tuple) for item in scene.items for c in _colours(item))
    picture = Image.new("RGB" if coloured else "L", (size[0], size[1]), "white")
    draw = ImageDraw.Draw(picture)

    def level(colour: Colour) -> int | tuple[int, ...]:
        three = colour if isinstance(colour, tuple) else (colour,) * 3
        levels = tuple(round(255 * min(max(v, 0.0), 1.0)) for v in three)
        return levels if coloured else levels[0]

    strokes = [item for item in scene.items if isinstance(item, Stroke)]
    lines = dict(
        zip(map(id, strokes), flatten_all([s.path for s in strokes], 0.5 / fine), strict=True)
        if strokes
        else ()
    )
    for item in scene.items:
        if isinstance(item, Label):
            at = (item.at[0] * fine, size[1] - item.at[1] * fine)
            _write(picture, item, at, item.size_mm * fine, level(item.colour))
            continue
        points = lines[id(item)] * (fine, -fine) + (0.0, size[1])
        if item.fill is not None:
            draw.polygon(points.ravel().tolist(), fill=level(item.fill))
        if item.pen is not None:
            dashes = _dashes(points, [mm * fine for mm in item.pen.dash_mm])
            width = max(1, round(item.pen.width_mm * fine))
            for dash in dashes:
                draw.line(dash.ravel().tolist(), fill=level(item.pen.colour), width=width)
    return picture.reduce(_FINER)


def _colours(item: Stroke | Label) -> tuple[Colour | None, ...]:
    if isinstance(item, Label):
        return (item.colour,)
    return item.fill, None if item.pen is None else item.pen.colour


def _dashes(points: Floats, pattern: list[float]) -> list[Floats]:
    """Return the parts of a broken line (m, 2) that dashes and gaps of a pattern leave drawn."""
    if not pattern:
        return [points]
    run = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))))
    ends = np.cumsum(np.resize(pattern, 2 * int(run[-1] / sum(pattern[:2]) + 1)))
    parts = []
    for start, stop in np.concatenate(([0.0], ends[:-1])).reshape(-1, 2):
        inner = points[(run > start) & (run < stop)]
        caps = [
            (np.interp(at, run, points[:, 0]), np.interp(at, run, points[:, 1]))
            for at in (start, min(stop, run[-1]))
        ]
        parts.append(np.concatenate((caps[:1], inner, caps[1:])))
    return parts


def _write(
    picture: Image.Image,
    label: Label,
    at: tuple[float, float],
    size_px: float,
    colour: int | tuple[int, ...],
) -> None:
    """Write a label with its anchor at a pixel."""
    from PIL import Image, ImageDraw

    text, font, anchor = clean_text(label.text), _font(round(size_px, 1)), _ANCHORS[label.anchor]
    if not label.angle_deg:
        ImageDraw.Draw(picture).text(at, text, fill=colour, font=font, anchor=anchor)
        return
    # A square round the anchor turns about its middle and holds the text at any angle.
    half = math.ceil(math.hypot(*np.abs(font.getbbox(text, anchor=anchor)).reshape(2, 2).max(0)))
    ink = Image.new("L", (2 * half, 2 * half))
    ImageDraw.Draw(ink).text((half, half), text, fill=255, font=font, anchor=anchor)
    ink = ink.rotate(label.angle_deg, Image.Resampling.BILINEAR)
    x, y = round(at[0]) - half, round(at[1]) - half
    picture.paste(colour, (x, y, x + 2 * half, y + 2 * half), ink)


@cache
def _font(size_px: float) -> ImageFont.FreeTypeFont:
    from PIL import ImageFont

    return ImageFont.truetype(FONT_FILE, size_px)
