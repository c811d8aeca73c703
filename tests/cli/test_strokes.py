"""Strokes as PDF operators: every point, pen and fill arrives as it was given."""

from __future__ import annotations

import math

import numpy as np
import pytest

from outseam.cli.scene.scene import Pen, Stroke
from outseam.cli.write.pdf_operators import item_operators, path_operators
from outseam.curves.path import cubic, join, line, path, polyline


def test_lines_curves_and_closing() -> None:
    corner = join([line((0, 0), (10, 0)), cubic((10, 0), (12, 0), (12, 5), (10, 5))])
    assert path_operators(corner).decode().split("\n") == [
        "0.000 0.000 m",
        "10.000 0.000 l",
        "12.000 0.000 12.000 5.000 10.000 5.000 c",
        "",
    ]
    closed = polyline([(0, 0), (4, 0), (0, 3), (0, 0)])
    assert path_operators(closed).endswith(b"0.000 0.000 l\nh ")


def test_an_upright_rectangle_is_written_as_one() -> None:
    corners = [(1, 2), (4, 2), (4, 7), (1, 7), (1, 2)]
    assert path_operators(polyline(corners)) == b"1.000 2.000 3.000 5.000 re\n"
    assert path_operators(polyline(corners[::-1])) == b"1.000 2.000 3.000 5.000 re\n"
    for other in (
        [(1, 2), (4, 2), (5, 7), (1, 7), (1, 2)],
        [(1, 2), (4, 2), (6, 2), (8, 2), (1, 2)],
        corners[:4],
    ):
        assert b"re" not in path_operators(polyline(other))


@pytest.mark.parametrize("bent", [0, 1, 2], ids=["straight", "curved", "mixed"])
def test_long_paths_are_written_as_short_ones(bent: int) -> None:
    """Many segments go through arrays, few one by one: the operators are the same."""
    t = np.linspace(0, 2 * math.pi, 31)
    c = polyline(np.stack([100 * np.cos(t), 80 * np.sin(t)], axis=1)).cubics.copy()
    if bent:
        c[::bent, 1] += 0.5
    whole = path_operators(path(c))
    pieces = [path_operators(path(one[None])).split(b"m\n")[1] for one in c]
    assert whole.split(b"m\n")[1] == b"".join(pieces) + b"h "


def test_pens_and_fills_are_set_where_they_change() -> None:
    thin, dashed = Pen(width_mm=0.3, colour=0.5), Pen(width_mm=0.3, dash_mm=(6.0, 3.0))
    p = line((0, 0), (1, 1))
    said = item_operators(
        [
            Stroke(path=p, pen=thin),
            Stroke(path=p, pen=thin),
            Stroke(path=p, pen=dashed, fill=0.25),
            Stroke(path=p, pen=None, fill=0.25),
            Stroke(path=p, pen=None),
        ]
    ).decode()
    drawn = "0.000 0.000 m\n1.000 1.000 l\n"
    assert said == (
        "1 j 0 J\n"
        f"0.3000 w [] 0 d 0.5 G\n{drawn}S\n{drawn}S\n"
        f"0.25 g\n0.3000 w [6.0000 3.0000] 0 d 0 G\n{drawn}B\n{drawn}f\n"
    )
