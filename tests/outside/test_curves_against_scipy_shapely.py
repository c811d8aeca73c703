"""The plane geometry against general-purpose libraries.

Sources: scipy.integrate.quad (QUADPACK) for arc lengths, scipy.interpolate.CubicSpline for the
path through points, scipy.optimize.minimize_scalar for nearest points, shapely (GEOS) for areas,
lengths, crossings and parallels of fine polylines.
"""

import math

import numpy as np
import pytest
import shapely
from scipy.integrate import quad
from scipy.optimize import minimize_scalar
from splines import through

from outseam.curves.evaluate import directions_at, points_at
from outseam.curves.length import length, param_at_length
from outseam.curves.meet import intersections, nearest
from outseam.curves.offset import offset, outset
from outseam.curves.path import Path, join, line, path
from outseam.curves.region import area, flatten, is_simple, polygon


def random_paths(count: int, seed: int) -> list[Path]:
    rng = np.random.default_rng(seed)
    out = []
    for _ in range(count):
        n = int(rng.integers(1, 4))
        p = rng.uniform(0, 200, (3 * n + 1, 2))
        out.append(path([p[3 * i : 3 * i + 4] for i in range(n)]))
    return out


def seam() -> Path:
    return through([(0, 0), (60, 8), (105, 50), (110, 130), (128, 240)], (1, 0), (0.1, 1))


def outline() -> tuple[Path, ...]:
    side = through([(220, 0), (226, 90), (210, 180), (214, 300)])
    crotch = through([(0, 300), (0, 220), (-12, 160), (-60, 130)], (0, -1), (-1, 0))
    inseam = through([(-60, 130), (-20, 60), (0, 0)])
    return line((0, 0), (220, 0)), side, line((214, 300), (0, 300)), crotch, inseam


@pytest.mark.parametrize("accuracy", [1e-2, 1e-4, 1e-8])
def test_arc_length_against_quad(accuracy: float) -> None:
    for p in [*random_paths(25, seed=1), seam()]:
        want = 0.0
        for c in p.cubics:
            d = 3 * np.diff(c, axis=0)

            def speed(t: float, d: np.ndarray = d) -> float:
                s = 1 - t
                return float(np.hypot(*(s * s * d[0] + 2 * s * t * d[1] + t * t * d[2])))

            # Quarters, so that no sharp turn slips between the nodes of the first rule.
            for a in (0.0, 0.25, 0.5, 0.75):
                want += quad(speed, a, a + 0.25, epsabs=1e-10, epsrel=1e-12, limit=400)[0]
        assert abs(length(p, accuracy) - want) <= accuracy + 1e-8


def test_lengths_and_areas_against_fine_polylines() -> None:
    for p in random_paths(20, seed=2):
        fine = shapely.LineString(flatten(p, 1e-5))
        assert length(p) == pytest.approx(fine.length, abs=2e-3)
        s = 0.37 * fine.length
        u = param_at_length(p, s)
        at = shapely.line_interpolate_point(fine, s)
        assert points_at(p, [u])[0] == pytest.approx((at.x, at.y), abs=5e-3)
    shape = join(outline())
    assert area(shape) == pytest.approx(shapely.Polygon(flatten(shape, 1e-5)).area, abs=1e-2)


def test_nearest_points_against_scalar_minimisation() -> None:
    rng = np.random.default_rng(5)
    for p in random_paths(10, seed=6):
        for x, y in rng.uniform(-50, 250, (4, 2)).tolist():

            def gap(u: float, p: Path = p, x: float = x, y: float = y) -> float:
                return float(np.hypot(*(points_at(p, [u])[0] - (x, y))))

            knots = np.linspace(0, len(p), 60 * len(p) + 1)
            least = min(
                minimize_scalar(gap, bounds=(a, b), method="bounded", options={"xatol": 1e-10}).fun
                for a, b in zip(knots[:-1:6], knots[6::6], strict=True)
            )
            least = min(least, gap(0.0), gap(float(len(p))))
            u, d = nearest(p, (x, y))
            assert d <= least + 1e-6
            assert d == pytest.approx(gap(u), abs=1e-9)


def test_crossings_against_shapely() -> None:
    a_paths, b_paths = random_paths(40, seed=7), random_paths(40, seed=8)
    total = 0
    for a, b in zip(a_paths, b_paths, strict=True):
        common = shapely.LineString(flatten(a, 1e-5)).intersection(
            shapely.LineString(flatten(b, 1e-5))
        )
        want = sorted((g.x, g.y) for g in shapely.get_parts(common) if not g.is_empty)
        ours = intersections(a, b)
        got = sorted(map(tuple, points_at(a, [u for u, _ in ours]).tolist())) if ours else []
        assert len(got) == len(want)
        total += len(want)
        for g, w in zip(got, want, strict=True):
            # A shallow crossing moves along by the tolerance over the sine of its angle.
            assert math.dist(g, w) < 0.05
    assert total > 80


@pytest.mark.parametrize("distance", [-12.0, 6.0, 15.0])
def test_a_parallel_against_shapely(distance: float) -> None:
    p = seam()
    fine = shapely.LineString(flatten(p, 1e-5))
    # GEOS replaces arcs by chords; 400 to the quarter keeps those within 1e-4 mm.
    buffer = fine.buffer(abs(distance), cap_style="flat", quad_segs=400)
    q = flatten(offset(p, distance), 1e-4)
    assert shapely.distance(buffer.exterior, shapely.points(q)).max() <= 0.021
    to_the_right = directions_at(p, [0.0])[0][::-1] * (1, -1)
    assert to_the_right @ (q[0] - p.start) == pytest.approx(distance)


@pytest.mark.parametrize("distance", [-10.0, 10.0, 20.0])
def test_an_outline_against_shapely(distance: float) -> None:
    edges = outline()
    cut = join(outset(edges, [distance] * len(edges)))
    fine = shapely.Polygon(flatten(join(edges), 1e-4)[:-1])
    want = fine.buffer(distance, join_style="mitre", mitre_limit=4.0)
    assert is_simple(cut)
    ours = polygon(cut, 1e-4)
    # GEOS mitres the short chords at a corner, ours the tangents: alike but at the very corners.
    assert ours.symmetric_difference(want).area < 0.021 * length(cut)
    inner = polygon(join(edges))
    assert ours.contains(inner) == (distance > 0)
