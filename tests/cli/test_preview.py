"""The small picture of a pattern: what a person sees at a glance, read back with Pillow."""

from __future__ import annotations

import io
from dataclasses import replace

import cairosvg
import numpy as np
import pytest
from PIL import Image

from outseam.cli.paper.pattern_files import make_sheets
from outseam.cli.pattern.overview import pieces_scene
from outseam.cli.scene.compose import with_margin
from outseam.cli.scene.scene import Label, Layer, Pen, Scene, Stroke
from outseam.cli.write.png import MOST_BYTES, SIDE_PX, preview_png
from outseam.cli.write.svg import write_svg_text
from outseam.curves.path import polyline
from outseam.curves.region import flatten
from outseam.draft.pattern import draft_pattern
from outseam.draft.spec.spec import parse_spec

SPEC = """
units = "mm"
[body]
height = 1680
waist = 806
hip = 1040
inside_leg = 770
[fabric]
stretch_across = "50 %"
"""


def ink(png: bytes) -> np.ndarray:
    """Ink of each pixel, 0 to 1; a picture without colours and without holes is asked for."""
    with Image.open(io.BytesIO(png)) as picture:
        assert picture.getextrema()[3:] in ((), ((255, 255),))
        return 1.0 - np.asarray(picture.convert("L")) / 255.0


@pytest.fixture(scope="module")
def pattern():
    return draft_pattern(parse_spec(SPEC, "a test"))


def test_a_folder_gets_a_picture_with_every_piece_large_enough(pattern) -> None:
    png = make_sheets(pattern).files["preview.png"]
    assert len(png) < MOST_BYTES
    dark = ink(png)
    assert max(dark.shape) == SIDE_PX
    # White all round, and drawn nearly from edge to edge.
    rim = round(0.015 * SIDE_PX)
    assert dark[:rim].max() == dark[-rim:].max() == dark[:, :rim].max() == 0.0
    rows = np.flatnonzero(dark.max(axis=1) > 0.5)
    assert np.ptp(rows) > 0.9 * (dark.shape[0] - 2 * rim)


def test_every_cutting_line_is_dark_in_the_picture(pattern) -> None:
    scene, _ = pieces_scene(pattern, on_paper=False)
    dark = ink(preview_png(scene))
    scale = dark.shape[1] / (scene.width_mm * 1.04)
    cuts = [k for k in scene.items if isinstance(k, Stroke) and k.path.closed and k.pen]
    assert len(cuts) >= len(pattern.pieces)
    for stroke in cuts:
        points = flatten(stroke.path, 0.1) + 0.02 * scene.width_mm
        x = np.round(points[:, 0] * scale - 0.5).astype(int)
        y = np.round(dark.shape[0] - points[:, 1] * scale - 0.5).astype(int)
        assert dark[y, x].min() > 0.4


def test_a_crowded_drawing_is_made_smaller_until_it_can_be_sent() -> None:
    rng = np.random.default_rng(3)
    items = tuple(
        Stroke(path=polyline(rng.uniform(0, 100, (2, 2))), pen=Pen(width_mm=0.1))
        for _ in range(1500)
    )
    scene = Scene(
        title="x", width_mm=100, height_mm=100, layers=(Layer(name="lines", items=items),)
    )
    png = preview_png(scene)
    assert len(png) <= MOST_BYTES
    assert 200 < max(ink(png).shape) < SIDE_PX


def test_the_picture_is_what_another_program_draws_of_the_svg(pattern) -> None:
    """cairosvg draws the same scene from its SVG: same ink in patches, but for letters' edges."""
    scene, _ = pieces_scene(pattern, on_paper=False)
    turned = tuple(
        Label(
            text="Hip 104", at=(400.0 + 60.0 * i, 900.0), size_mm=30.0, anchor=anchor, angle_deg=a
        )
        for i, (anchor, a) in enumerate((("start", 90.0), ("middle", 30.0), ("end", -60.0)))
    )
    scene = replace(scene, layers=(*scene.layers, Layer(name="turned", items=turned)))
    now = ink(preview_png(scene))
    framed = with_margin(scene, 0.02 * max(scene.width_mm, scene.height_mm))
    other = ink(
        cairosvg.svg2png(
            bytestring=write_svg_text(framed).encode(),
            output_width=now.shape[1],
            output_height=now.shape[0],
            background_color="white",
        )
    )
    high, wide = now.shape[0] // 10, now.shape[1] // 10
    patches = [
        a[: 10 * high, : 10 * wide].reshape(high, 10, wide, 10).mean(axis=(1, 3))
        for a in (now, other)
    ]
    assert np.abs(patches[0] - patches[1]).max() < 0.3
    assert np.corrcoef(patches[0].ravel(), patches[1].ravel())[0, 1] > 0.985
