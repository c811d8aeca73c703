"""Finished pieces: the block's own edges, notches that meet, lines that lie where they say."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations, pairwise

import numpy as np
import pytest
import shapely

from outseam.curves.evaluate import points_at
from outseam.curves.length import length, param_at_length
from outseam.curves.path import Path
from outseam.draft.bands import BAND_NAMES
from outseam.draft.body.estimate import Body
from outseam.draft.fabric import Fabric
from outseam.draft.legs import LEG_NAMES
from outseam.draft.lengths import LENGTH_NAMES
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Line, Piece
from outseam.draft.piece.ruler import x_at
from outseam.draft.rises import RISE_NAMES

Make = Callable[..., Pattern]

LARGE = Body(height=1650.0, waist=1130.0, hip=1320.0, inside_leg=740.0)


def legs(pattern: Pattern) -> tuple[Piece, Piece]:
    return pattern.piece("front"), pattern.piece("back")


def at(path: Path, mm: float) -> tuple[float, float]:
    x, y = points_at(path, [param_at_length(path, mm)])[0]
    return float(x), float(y)


def outline(piece: Piece) -> shapely.Polygon:
    parts = [
        points_at(e.path, np.linspace(0, len(e.path), 60 * len(e.path) + 1))[:-1]
        for e in piece.edges
    ]
    return shapely.Polygon(np.concatenate(parts))


def lines(piece: Piece, kind: str) -> list[Line]:
    return [k for k in piece.lines if k.kind == kind]


# Edges -----------------------------------------------------------------------------------------


def test_pieces_are_made_of_the_edges_that_were_drafted(make_pattern: Make) -> None:
    """What the checks measure on the block is what is cut: hem, top edge and sides are the same."""
    pattern = make_pattern(leg="flare")
    for piece, panel in zip(legs(pattern), (pattern.block.front, pattern.block.back), strict=True):
        for name in ("outseam", "inseam", "crotch", "waist"):
            assert np.array_equal(piece.edge(name).path.cubics, getattr(panel, name).cubics)
        fold = next(k.path for k in piece.lines if k.label == "hem fold")
        assert np.array_equal(fold.cubics, panel.hem.cubics)


@pytest.mark.parametrize("band", BAND_NAMES)
def test_edges_follow_one_another(make_pattern: Make, band: str) -> None:
    for piece in make_pattern(band=band, elastic_width=20.0).pieces:
        names = [e.name for e in piece.edges]
        assert len(set(names)) == len(names)
        for before, after in pairwise((*piece.edges, piece.edges[0])):
            assert before.path.end == pytest.approx(after.path.start, abs=1e-6)
        assert outline(piece).exterior.is_ccw


def test_pieces_have_names_of_their_own_and_say_how_often_to_cut(make_pattern: Make) -> None:
    pieces = make_pattern().pieces
    assert len({p.name for p in pieces}) == len(pieces)
    for piece in pieces:
        pair = piece.name in ("front", "back")
        assert ("2" in piece.cut_note) is pair
        assert ("mirror" in piece.cut_note) is pair


# Notches ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("length_name", LENGTH_NAMES)
def test_notches_meet_when_the_legs_are_sewn(make_pattern: Make, length_name: str) -> None:
    """Measured from the hem upward on both sides of each seam, below what is stretched on."""
    woven = Fabric(kind="woven")
    for fabric in (None, woven):
        front, back = legs(make_pattern(fabric=fabric, length=length_name))
        for edge in ("outseam", "inseam"):
            found = []
            for piece in (front, back):
                whole = length(piece.edge(edge).path)
                notches = [n for n in piece.notches if n.edge == edge]
                found.append(
                    {n.role: whole - n.at_mm if edge == "outseam" else n.at_mm for n in notches}
                )
            assert found[0] == pytest.approx(found[1], abs=0.02)
            if length_name in ("full", "ankle", "seven-eighths", "capri"):
                assert "knee" in found[0]


def test_notches_lie_at_the_levels_they_name(make_pattern: Make) -> None:
    for body in (None, LARGE):
        pattern = make_pattern(**({} if body is None else {"body": body}))
        block, m = pattern.block, pattern.measures
        front, back = legs(pattern)
        for piece in (front, back):
            for notch in piece.notches:
                y = at(piece.edge(notch.edge).path, notch.at_mm)[1] + block.crotch_line_height_mm
                if notch.role == "knee":
                    # On the inseam the notch lies as far from the hem as on the outseam.
                    assert y == pytest.approx(m.knee_height, abs=4.0)
                elif notch.role == "hip":
                    assert y == pytest.approx(m.hip_height, abs=10.0 if piece is back else 0.05)


def test_one_notch_in_front_and_two_behind(make_pattern: Make) -> None:
    """Common practice, no source. So that front and back cannot be mistaken for one another."""
    pattern = make_pattern()
    for name, ticks in (("front", 1), ("back", 2)):
        crotch = [n for n in pattern.piece(name).notches if n.edge == "crotch"]
        assert [n.count for n in crotch] == [ticks]
        centre = [n for n in pattern.piece(f"{name}_band").notches if n.role == f"centre {name}"]
        assert {n.count for n in centre} == {ticks}
        # On the curve, clear of the straight part.
        panel = pattern.block.front if name == "front" else pattern.block.back
        assert 20.0 < crotch[0].at_mm < panel.curve_start_mm - 20.0


def test_the_quarters_of_band_and_leg_meet(make_pattern: Make) -> None:
    """Half a panel's top edge lies at a quarter of its band, however the band is stretched."""
    pattern = make_pattern()
    for name in ("front", "back"):
        leg, band = pattern.piece(name), pattern.piece(f"{name}_band")
        edge = length(leg.edge("waist").path)
        on_leg = next(n.at_mm for n in leg.notches if n.edge == "waist") / edge
        lower = length(band.edge("lower").path)
        on_band = sorted(n.at_mm / lower for n in band.notches if n.edge == "lower")
        assert on_band == pytest.approx([on_leg / 2, 0.5, 1.0 - on_leg / 2])
        # The upper edge runs the other way; folded, its notches fall on the lower ones.
        upper = sorted(n.at_mm / lower for n in band.notches if n.edge == "upper")
        assert upper == pytest.approx(sorted(1.0 - x for x in on_band))


def test_every_notch_is_on_its_edge(make_pattern: Make) -> None:
    for leg in LEG_NAMES:
        for piece in make_pattern(leg=leg, length="capri").pieces:
            for notch in piece.notches:
                whole = length(piece.edge(notch.edge).path)
                if notch.role == "hem fold":  # at the lower end of either seam
                    assert notch.at_mm in (0.0, whole)
                else:
                    assert 5.0 < notch.at_mm < whole - 5.0
                assert notch.role


# Lines -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("leg", LEG_NAMES)
@pytest.mark.parametrize("length_name", LENGTH_NAMES)
def test_lines_lie_inside_and_run_from_edge_to_edge(
    make_pattern: Make, leg: str, length_name: str
) -> None:
    for piece in make_pattern(leg=leg, length=length_name).pieces:
        inside = outline(piece)
        for line in piece.lines:
            drawn = shapely.LineString(points_at(line.path, np.linspace(0, len(line.path), 30)))
            assert inside.buffer(0.2).contains(drawn), f"{piece.name}, {line.label}"
            if line.kind in ("level", "lengthen", "crease"):
                for end in (line.path.start, line.path.end):
                    assert inside.exterior.distance(shapely.Point(end)) < 0.3
        assert inside.contains(shapely.Point(piece.label_at))


def test_level_lines_lie_at_their_levels(make_pattern: Make) -> None:
    pattern = make_pattern()
    m, zero = pattern.measures, pattern.block.crotch_line_height_mm
    for piece, panel in zip(legs(pattern), (pattern.block.front, pattern.block.back), strict=True):
        at_height = {k.label: k.path.start[1] + zero for k in lines(piece, "level")}
        assert at_height["hip"] == pytest.approx(m.hip_height, abs=0.01)
        assert at_height["knee"] == pytest.approx(m.knee_height, abs=0.01)
        assert at_height["crotch line"] == pytest.approx(zero + panel.point[1], abs=0.1)
        for line in (*lines(piece, "level"), *lines(piece, "lengthen")):
            assert line.path.start[1] == pytest.approx(line.path.end[1])


def test_the_grain_runs_along_the_crease(make_pattern: Make) -> None:
    """Common practice, no source."""
    pattern = make_pattern()
    for piece, panel in zip(legs(pattern), (pattern.block.front, pattern.block.back), strict=True):
        (grain,), (crease,) = lines(piece, "grain"), lines(piece, "crease")
        for line in (grain, crease):
            assert line.path.start[0] == pytest.approx(line.path.end[0])
        assert crease.path.start[0] == panel.crease_x
        assert length(grain.path) > 0.4 * length(crease.path)
        # The crease is the middle of the crotch line's width, hip edge to crotch point, but for
        # the little by which front and back share otherwise what the forks add.
        side = x_at(panel.outseam, panel.hip_y)
        assert side is not None
        assert 2.0 * panel.crease_x == pytest.approx(side + panel.point[0], abs=4.0)


@pytest.mark.parametrize("length_name", LENGTH_NAMES)
@pytest.mark.parametrize("leg", ["straight", "flare"])
def test_lengthen_lines_leave_knee_and_hem_alone(
    make_pattern: Make, leg: str, length_name: str
) -> None:
    """One above and one below the knee, so that extra length does not move it."""
    pattern = make_pattern(leg=leg, length=length_name)
    for piece, panel in zip(legs(pattern), (pattern.block.front, pattern.block.back), strict=True):
        upper, lower = (k.path.start[1] for k in lines(piece, "lengthen"))
        assert 0.0 > upper > lower > panel.hem_y
        knee = [k.path.start[1] for k in lines(piece, "level") if k.label == "knee"]
        if length_name in ("full", "ankle", "seven-eighths", "capri"):
            assert upper > knee[0] > lower
        others = [0.0, panel.hem_y, upper, lower, *knee]
        assert min(abs(a - b) for a, b in combinations(others, 2)) > 40.0


@pytest.mark.parametrize("rise", RISE_NAMES)
@pytest.mark.parametrize("leg", ["close", "palazzo"])
def test_every_piece_is_one_sound_polygon(make_pattern: Make, leg: str, rise: str) -> None:
    for piece in make_pattern(leg=leg, rise=rise).pieces:
        found = outline(piece)
        assert found.is_valid
        assert found.area > 1e4


# Seams -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("band", BAND_NAMES)
@pytest.mark.parametrize("length_name", ["full", "knee"])
def test_seams_cover_both_legs_from_end_to_end(
    make_pattern: Make, band: str, length_name: str
) -> None:
    """Every part of inseam and outseam is in exactly one seam, and the edges have no part left."""
    pattern = make_pattern(band=band, length=length_name, elastic_width=20.0)
    for piece in legs(pattern):
        for edge in ("inseam", "outseam"):
            parts = sorted(
                (s.from_mm, s.to_mm)
                for seam in pattern.seams
                for s in (seam.a, seam.b)
                if (s.piece, s.edge) == (piece.name, edge)
            )
            assert parts[0][0] == pytest.approx(0.0, abs=0.01)
            assert parts[-1][1] == pytest.approx(length(piece.edge(edge).path), abs=0.01)
            for one, other in pairwise(parts):
                assert one[1] == pytest.approx(other[0], abs=0.01)


def test_seams_name_edges_that_exist(make_pattern: Make) -> None:
    for band in BAND_NAMES:
        pattern = make_pattern(band=band, elastic_width=20.0)
        for seam in pattern.seams:
            for s in (seam.a, seam.b):
                whole = length(pattern.piece(s.piece).edge(s.edge).path)
                assert -0.01 <= s.from_mm < s.to_mm <= whole + 0.01
