"""How long home pages and their arrangement take, beside cairo drawing forty paths once.

Run with `pytest tests/bench -s --benchmark-only`; ratios of processor time are printed beside their
goals.
"""

import io
import statistics
import time
from importlib.resources import files

import cairocffi
import numpy as np
import pytest

from outseam.cli.paper.arrange import arrange_pieces
from outseam.cli.paper.readback import check_scale
from outseam.cli.paper.tiles import tile_pdf
from outseam.cli.pattern.drawing import cut_outline, pieces_to_print
from outseam.cli.scene.scene import Layer, Pen, Scene, Stroke
from outseam.curves.path import path
from outseam.draft.pattern import draft_pattern
from outseam.draft.spec.spec import parse_spec


def paths(count=40, segments=60):
    """Wavy closed outlines of a metre or so, all over a sheet of 5 x 6 windows."""
    rng = np.random.default_rng(5)
    turn = np.linspace(0, 2 * np.pi, segments + 1)[:, None]
    around = np.hstack([np.cos(turn), np.sin(turn)]).round(12)
    found = []
    for _ in range(count):
        radii = rng.uniform(60, 200, 2)
        wave = 1 + 0.1 * np.cos(rng.integers(3, 9) * turn)
        middle = rng.uniform((225, 225), (685, 1249))
        knots = middle + radii * wave * around
        knots[-1] = knots[0]
        slope = np.gradient(knots, axis=0) / 3
        a, b = knots[:-1], knots[1:]
        found.append(path(np.stack([a, a + slope[:-1], b - slope[1:], b], axis=1)))
    return found


def drawn_once(curves, width_mm, height_mm):
    """The floor: the same paths, straight through cairo onto one page."""
    out = io.BytesIO()
    surface = cairocffi.PDFSurface(out, width_mm * 72 / 25.4, height_mm * 72 / 25.4)
    context = cairocffi.Context(surface)
    context.scale(72 / 25.4, 72 / 25.4)
    context.set_line_width(0.5)
    for curve in curves:
        rows = curve.cubics.reshape(-1, 8).tolist()
        context.move_to(*rows[0][:2])
        for row in rows:
            context.curve_to(*row[2:])
        context.stroke()
    surface.finish()
    return out.getvalue()


@pytest.mark.benchmark(timer=time.process_time)
def test_thirty_home_pages(benchmark):
    curves = paths()
    scene = Scene(
        title="Bench",
        width_mm=5 * 180 + 10,
        height_mm=6 * 244 + 10,
        layers=(
            Layer(name="cut", items=tuple(Stroke(path=p, pen=Pen(width_mm=0.5)) for p in curves)),
        ),
    )
    floor = []
    for _ in range(7):
        start = time.process_time()
        drawn_once(curves, scene.width_mm, scene.height_mm)
        floor.append(time.process_time() - start)
    tiled = benchmark.pedantic(tile_pdf, args=(scene, "a4"), rounds=7, warmup_rounds=1)
    assert (tiled.tiles, check_scale(tiled.data).pages) == (30, 31)
    if benchmark.stats:
        once, all_pages = statistics.median(floor), benchmark.stats.stats.median
        print(
            f"\n30 home pages {all_pages * 1e3:.0f} ms, {len(tiled.data) / 1e3:.0f} kB; the paths "
            f"drawn once by cairo {once * 1e3:.0f} ms; ratio {all_pages / once:.2f}, goal <= 1.5"
        )


@pytest.mark.benchmark(timer=time.process_time)
def test_arranging_for_home_pages(benchmark):
    demo = files("outseam.draft").joinpath("data/demo.toml").read_text()
    outlines = [cut_outline(p) for p in pieces_to_print(draft_pattern(parse_spec(demo)))]
    args = (outlines, 190.0, 254.0, 10.0, 12.0)
    arranged = benchmark.pedantic(arrange_pieces, args=args, rounds=5, warmup_rounds=1)
    curves, floor = paths(), []
    for _ in range(7):
        start = time.process_time()
        drawn_once(curves, 910.0, 1474.0)
        floor.append(time.process_time() - start)
    assert arranged.pages > 0
    if benchmark.stats:
        once, took = statistics.median(floor), benchmark.stats.stats.median
        print(
            f"\n{len(outlines)} pieces arranged on {arranged.pages} pages {took * 1e3:.0f} ms; 40 "
            f"paths drawn once by cairo {once * 1e3:.0f} ms; ratio {took / once:.1f}, was 44"
        )
