"""What holds for any formula: results move with the paths, and many at once are as each alone.

A motion far from the origin would show a term that does not cancel, and a size ten times larger
one that has the wrong power.
"""

import math

import numpy as np
import pytest
from figures import circle, quarter, three

from outseam.curves.evaluate import curvatures_all, directions_at, points_at
from outseam.curves.length import know_lengths, length, lengths, param_at_length
from outseam.curves.meet import intersections, nearest_many
from outseam.curves.offset import offset, outset
from outseam.curves.path import Path, cubic, join, line, path
from outseam.curves.region import area, bounds, flatten, flatten_all
from outseam.curves.split import extend, subpath

PATHS = {
    "seam": three(),
    "quarter": quarter(120.0),
    "handle on its start": cubic((0, 0), (0, 0), (60, 0), (100, 60)),
    "handle on its end": cubic((0, 0), (40, 0), (100, 60), (100, 60)),
    "both handles on the ends": cubic((0, 0), (0, 0), (90, 40), (90, 40)),
    "both handles on the start": cubic((0, 0), (0, 0), (0, 0), (90, 40)),
    "circle": circle(70.0, 5),
}


def moved(p: Path) -> Path:
    """Turned by a third of a right angle, and half a metre and more away."""
    return p.turned(math.pi / 6).moved(640.0, -530.0)


def larger(p: Path) -> Path:
    return p.mapped(10.0, 0.0, 0.0, 10.0)


@pytest.mark.parametrize("name", PATHS)
def test_what_follows_from_a_path_moves_with_it(name: str) -> None:
    p, m = PATHS[name], moved(PATHS[name])
    u = np.linspace(0.0, len(p), 23)
    assert points_at(m, u) == pytest.approx(
        np.array([moved(line((0, 0), q)).end for q in points_at(p, u).tolist()]), abs=1e-9
    )
    straight = [moved(line(a, b)).start_direction for a, b in _ahead(p, u)]
    assert directions_at(m, u) == pytest.approx(np.array(straight), abs=1e-9)
    assert length(m) == pytest.approx(length(p), abs=1e-6)
    assert param_at_length(m, 30.0) == pytest.approx(param_at_length(p, 30.0), abs=1e-8)
    assert len(flatten(m, 0.02)) == len(flatten(p, 0.02))
    for distance in (6.0, 15.0):
        q = offset(p, distance)
        assert offset(m, distance).cubics == pytest.approx(moved(q).cubics, abs=1e-7)
        back = offset(m.reversed(), -distance).reversed()
        assert back.cubics == pytest.approx(moved(q).cubics, abs=1e-7)
    points = np.array([(-40.0, 30.0), (20.0, 25.0), (110.0, -15.0), (55.0, 90.0)])
    there = np.array([moved(line((0, 0), q)).end for q in points.tolist()])
    at, far = nearest_many(p, points)
    # Of two places equally near either may be told.
    found = points_at(m, nearest_many(m, there)[0])
    assert np.hypot(*(found - there).T) == pytest.approx(far, abs=1e-6)
    assert np.hypot(*(points_at(p, at) - points).T) == pytest.approx(far, abs=1e-6)


def _ahead(p: Path, u: np.ndarray) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    return [((0.0, 0.0), (x, y)) for x, y in directions_at(p, u).tolist()]


@pytest.mark.parametrize("name", PATHS)
def test_what_follows_from_a_path_grows_with_it(name: str) -> None:
    p, m = PATHS[name], larger(PATHS[name])
    u = np.linspace(0.1, len(p) - 0.1, 9)
    assert length(m, 1e-6) == pytest.approx(10.0 * length(p, 1e-7), abs=1e-5)
    assert area(join([m, line(m.end, m.start)]) if not m.closed else m) == pytest.approx(
        100.0 * area(join([p, line(p.end, p.start)]) if not p.closed else p), abs=1e-8
    )
    assert np.array(bounds(m)) == pytest.approx(10.0 * np.array(bounds(p)), abs=1e-9)
    (k,), (ten,) = curvatures_all([p], [u]), curvatures_all([m], [u])
    assert ten == pytest.approx(k / 10.0, rel=1e-9, abs=1e-15)
    assert len(flatten(m, 0.2)) == len(flatten(p, 0.02))
    q = offset(p, 6.0, 0.01)
    assert offset(m, 60.0, 0.1).cubics == pytest.approx(larger(q).cubics, abs=1e-6)


def test_crossings_move_and_grow_with_the_paths() -> None:
    a = three()
    for b in (line((20, 90), (130, 60)), line((0, 200), (200, 110)), circle(110.0), three()):
        found = intersections(a, b.turned(0.1))
        for change in (moved, larger):
            again = intersections(change(a), change(b.turned(0.1)))
            assert np.array(again) == pytest.approx(np.array(found), abs=1e-6)


def test_an_outset_outline_moves_with_its_edges() -> None:
    edges = (
        cubic((0, 0), (0, 0), (70, -30), (100, 0)),
        line((100, 0), (100, 80)),
        cubic((100, 80), (60, 110), (0, 80), (0, 80)),
        line((0, 80), (0, 0)),
    )
    wide = (10.0, 6.0, 10.0, 0.0)
    for one, two in zip(outset(edges, wide), outset([moved(e) for e in edges], wide), strict=True):
        assert two.cubics == pytest.approx(moved(one).cubics, abs=1e-7)


def test_many_together_are_as_each_alone() -> None:
    """Lengths from the sum of chords, drawn ever finer: they come from below and stay near."""
    paths = list(PATHS.values())
    for one, p in zip(flatten_all(paths, 0.05), paths, strict=True):
        assert one == pytest.approx(flatten(p, 0.05), abs=0.0)
    us = [np.linspace(0.2, len(p) - 0.3, 4 + n) for n, p in enumerate(paths)]
    for n, found in enumerate(curvatures_all(paths, us)):
        assert found == pytest.approx(curvatures_all([paths[n]], [us[n]])[0])
    fresh = [path(p.cubics + 1e-3) for p in paths]
    know_lengths(fresh)
    for p in fresh:
        chords = np.diff(flatten(p, 1e-4), axis=0)
        assert -1e-9 <= length(p) - np.hypot(*chords.T).sum() < 0.02
        assert sum(lengths(p)) == pytest.approx(length(p), abs=1e-6)
    # To rounding: the bound of the error is shared out over a path's own segments alone.
    rng = np.random.default_rng(8)
    many = [path(rng.uniform(0.0, 200.0, (1, 4, 2)) * (1.0, 0.02 * n)) for n in range(1, 200)]
    alone = [length(path(p.cubics)) for p in many]
    know_lengths(many)
    assert [length(p) for p in many] == pytest.approx(alone, abs=1e-11)
    low, high = bounds(*paths)[:2], bounds(*paths)[2:]
    each = np.array([bounds(p) for p in paths])
    assert low == tuple(each[:, :2].min(axis=0))
    assert high == tuple(each[:, 2:].max(axis=0))


def test_parts_and_prolongations_move_with_the_path() -> None:
    p = PATHS["seam"]
    for change in (moved, lambda one: one.reversed().reversed()):
        part = subpath(change(p), 0.3, 2.4)
        assert part.cubics == pytest.approx(change(subpath(p, 0.3, 2.4)).cubics, abs=1e-9)
        long = extend(change(p), 7.0, 5.0)
        assert long.cubics == pytest.approx(change(extend(p, 7.0, 5.0)).cubics, abs=1e-9)
