"""Paths with known properties, for the tests of the geometry."""

import math

import numpy as np
from hypothesis import strategies as st
from splines import through

from outseam.curves.path import Path, join, path

#: The usual cubic for a quarter circle; its largest radial error is 2.7253e-4 of the radius
#: (a well-known figure; derivable from the polynomial, and checked in test_evaluate).
KAPPA = 4 / 3 * (math.sqrt(2) - 1)
CIRCLE_ERROR = 2.7253e-4


def quarter(radius: float) -> Path:
    """A quarter circle about the origin, counter-clockwise from (radius, 0)."""
    k = KAPPA * radius
    return path([[(radius, 0), (radius, k), (k, radius), (0, radius)]])


def circle(radius: float, pieces: int = 4) -> Path:
    """A circle about the origin, counter-clockwise from (radius, 0), of equal cubics."""
    step = 2 * math.pi / pieces
    k = 4 / 3 * math.tan(step / 4) * radius
    x, y = radius * math.cos(step), radius * math.sin(step)
    arc = path(
        [[(radius, 0), (radius, k), (x + k * math.sin(step), y - k * math.cos(step)), (x, y)]]
    )
    return join([arc.turned(i * step) for i in range(pieces)])


def parabola(width: float, height: float) -> Path:
    """y = height (x / width)^2 from 0 to width, exactly, as a cubic with even x."""
    w, h = width, height
    return path([[(0, 0), (w / 3, 0), (2 * w / 3, h / 3), (w, h)]])


def parabola_length(width: float, height: float) -> float:
    """The closed form: integral of sqrt(1 + (2 h x / w^2)^2)."""
    a = 2 * height / width**2
    q = a * width
    return (q * math.sqrt(1 + q * q) + math.asinh(q)) / (2 * a)


def three() -> Path:
    """Three smooth segments such as a seam may have, turning both ways."""
    return path(
        [
            [(0, 0), (60, 0), (100, 40), (100, 100)],
            [(100, 100), (100, 130), (110, 180), (120, 200)],
            [(120, 200), (130, 220), (160, 240), (200, 240)],
        ]
    )


_coordinate = st.floats(-300, 300, allow_nan=False, width=32)
_point = st.tuples(_coordinate, _coordinate)


@st.composite
def paths(draw: st.DrawFn, most: int = 3) -> Path:
    """Any chain of cubics with ends at least 1 mm apart."""
    n = draw(st.integers(1, most))
    points = draw(st.lists(_point, min_size=3 * n + 1, max_size=3 * n + 1))
    p = np.array(points)
    # Ends that fall together are drawn apart: they are not what these tests are about.
    p[::3, 0] += 700 * np.arange(n + 1)
    return path([p[3 * i : 3 * i + 4] for i in range(n)])


@st.composite
def gentle_paths(draw: st.DrawFn) -> Path:
    """Seam-like curves: x goes on, slopes below 45 degrees, radii above about 40 mm."""
    n = draw(st.integers(2, 4))
    steps = draw(st.lists(st.floats(60, 150), min_size=n, max_size=n))
    ys = draw(st.lists(st.floats(-12, 12), min_size=n + 1, max_size=n + 1))
    return through(np.column_stack([np.concatenate([[0.0], np.cumsum(steps)]), ys]))


angles = st.floats(-math.pi, math.pi)
