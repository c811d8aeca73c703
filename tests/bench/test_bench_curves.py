"""How long the geometry of one piece takes. Run apart from the suite, with pytest-benchmark.

The outline has six edges and about fourteen cubics, as a trouser front has. The budget for a whole
draft of five or six such pieces with all its checks is ten milliseconds.
"""

import numpy as np
import pytest
from splines import through

from outseam.curves.evaluate import points_at
from outseam.curves.length import length, param_at_length, params_at_lengths
from outseam.curves.meet import intersections, nearest, nearest_many
from outseam.curves.offset import offset, outset
from outseam.curves.path import Path, join, line
from outseam.curves.region import area, bounds, flatten


@pytest.fixture
def edges() -> tuple[Path, ...]:
    return (
        line((0, 0), (220, 0)),
        through([(220, 0), (232, 300), (240, 600), (226, 790)]),
        through([(226, 790), (222, 900), (216, 1000)]),
        through([(216, 1000), (110, 992), (0, 985)]),
        through([(0, 985), (0, 860), (-8, 790), (-60, 740)], (0, -1), (-1, -0.1)),
        through([(-60, 740), (-20, 400), (0, 0)]),
    )


@pytest.fixture
def crotch(edges: tuple[Path, ...]) -> Path:
    return edges[4]


@pytest.fixture
def outline(edges: tuple[Path, ...]) -> Path:
    return join(edges)


def test_length(benchmark, crotch: Path) -> None:
    assert 260 < benchmark(length, crotch) < 280


def test_length_of_an_outline(benchmark, outline: Path) -> None:
    assert benchmark(length, outline) > 2000


def test_param_at_length(benchmark, crotch: Path) -> None:
    assert 0 < benchmark(param_at_length, crotch, 100.0) < 3


def test_params_at_lengths(benchmark, crotch: Path) -> None:
    s = np.linspace(0, 250, 20)
    assert len(benchmark(params_at_lengths, crotch, s)) == 20


def test_points_at(benchmark, outline: Path) -> None:
    u = np.linspace(0, len(outline), 50)
    assert len(benchmark(points_at, outline, u)) == 50


def test_offset(benchmark, crotch: Path) -> None:
    assert len(benchmark(offset, crotch, 10.0)) >= 3


def test_outset(benchmark, edges: tuple[Path, ...]) -> None:
    assert len(benchmark(outset, edges, (25, 10, 10, 35, 10, 12))) == 6


def test_flatten(benchmark, outline: Path) -> None:
    assert len(benchmark(flatten, outline)) > 50


def test_area(benchmark, outline: Path) -> None:
    assert benchmark(area, outline) > 1e5


def test_bounds(benchmark, outline: Path) -> None:
    assert benchmark(bounds, outline)[0] == -60


def test_through(benchmark) -> None:
    points = [(0, 985), (0, 860), (-8, 790), (-60, 740)]
    assert len(benchmark(through, points, (0, -1), (-1, 0))) == 3


def test_intersections(benchmark, crotch: Path) -> None:
    assert len(benchmark(intersections, crotch, line((-80, 800), (80, 800)))) == 1


def test_nearest(benchmark, crotch: Path) -> None:
    assert benchmark(nearest, crotch, (30.0, 800.0))[1] > 10


def test_nearest_many(benchmark, outline: Path) -> None:
    points = np.random.default_rng(1).uniform((-60, 0), (220, 1000), (100, 2))
    assert len(benchmark(nearest_many, outline, points)[0]) == 100
