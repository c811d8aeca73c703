"""Seam and hem allowances: the cut is parallel to the seam, and what is turned in fits inside.

Distances are taken with shapely between densely broken lines, not with the program's own ruler.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
import shapely

from outseam.curves.evaluate import points_at
from outseam.curves.length import length, param_at_length
from outseam.curves.path import Path, join
from outseam.curves.region import area
from outseam.draft.bands import BAND_NAMES
from outseam.draft.block.panels import Panel
from outseam.draft.fabric import Fabric
from outseam.draft.inputs.errors import InputError
from outseam.draft.legs import LEG_NAMES
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece

Make = Callable[..., Pattern]


def line_of(path: Path) -> shapely.LineString:
    return shapely.LineString(points_at(path, np.linspace(0.0, len(path), 400 * len(path) + 1)))


def along(path: Path, shares: tuple[float, ...] | np.ndarray) -> np.ndarray:
    """Points (m, 2) at shares of a path's length."""
    whole = length(path)
    return points_at(path, [param_at_length(path, float(s) * whole) for s in shares])


def outline_of(paths: tuple[Path, ...]) -> shapely.Polygon:
    rings = [points_at(p, np.linspace(0.0, len(p), 200 * len(p) + 1))[:-1] for p in paths]
    return shapely.Polygon(np.concatenate(rings))


def legs(pattern: Pattern) -> tuple[Piece, Piece]:
    return pattern.piece("front"), pattern.piece("back")


@pytest.mark.parametrize("seam", [6.0, 9.525, 16.0])
@pytest.mark.parametrize("leg", LEG_NAMES)
def test_the_cut_lies_an_allowance_outside_the_seam(
    make_pattern: Make, leg: str, seam: float
) -> None:
    for piece in make_pattern(leg=leg, seam_allowance=seam).pieces:
        for edge, cut in zip(piece.edges, piece.cut, strict=True):
            assert edge.allowance_mm == (0.0 if edge.name == "hem_cut" else seam)
            # The middle of a cut edge; at its ends it runs on to meet its neighbour.
            sewn = line_of(edge.path)
            shares = (0.25, 0.5, 0.75) if length(edge.path) > 60.0 else (0.5,)
            for x, y in along(cut, shares):
                far = sewn.distance(shapely.Point(x, y))
                assert far == pytest.approx(edge.allowance_mm, abs=0.05)
        sewing, cutting = outline_of(tuple(e.path for e in piece.edges)), outline_of(piece.cut)
        assert cutting.buffer(0.03).contains(sewing)


@pytest.mark.parametrize("leg", LEG_NAMES)
def test_allowances_add_a_margin_round_the_piece(make_pattern: Make, leg: str) -> None:
    """Area: the cut piece is larger by the sewn edges' length times the allowance, corners and the
    turns of the curves apart.
    """
    for piece in make_pattern(leg=leg, seam_allowance=10.0).pieces:
        more = area(join(list(piece.cut))) - area(join([e.path for e in piece.edges]))
        margin = sum(length(e.path) * e.allowance_mm for e in piece.edges)
        assert more == pytest.approx(margin, rel=0.02, abs=800.0)


@pytest.mark.parametrize("leg", LEG_NAMES)
@pytest.mark.parametrize("name", ["full", "capri", "knee"])
@pytest.mark.parametrize("hem", [15.0, 40.0])
def test_the_hem_allowance_mirrors_the_leg(
    make_pattern: Make, leg: str, name: str, hem: float
) -> None:
    """Turned up at the fold, it lies on the leg it came from (truing, common practice)."""
    pattern = make_pattern(leg=leg, length=name, hem_allowance=hem)
    for piece, panel in zip(legs(pattern), (pattern.block.front, pattern.block.back), strict=True):
        for edge, side in (("outseam", "outseam_turn"), ("inseam", "inseam_turn")):
            folded = piece.edge(side).path.mirrored(panel.hem.start, panel.hem.end)
            far = [
                line_of(piece.edge(edge).path).distance(shapely.Point(x, y))
                for x, y in points_at(folded, np.linspace(0.0, len(folded), 20))
            ]
            assert max(far) < 0.05
        cut, fold = piece.edge("hem_cut").path, line_of(panel.hem)
        for x, y in along(cut, np.linspace(0.2, 0.8, 7)):
            assert fold.distance(shapely.Point(x, y)) == pytest.approx(hem, abs=0.1)


def test_the_allowance_of_a_flare_narrows_away_from_the_fold(make_pattern: Make) -> None:
    """Since it is turned up against a leg that narrows upward; a tapered one widens."""
    for leg, sign in (("flare", -1.0), ("palazzo", -1.0), ("slim", 1.0), ("close", 1.0)):
        pattern = make_pattern(leg=leg, hem_allowance=40.0)
        for piece, panel in zip(
            legs(pattern), (pattern.block.front, pattern.block.back), strict=True
        ):
            wider = length(piece.edge("hem_cut").path) - length(panel.hem)
            assert wider * sign > 0.1


def test_the_edges_beyond_the_fold_are_cut_outside_too(make_pattern: Make) -> None:
    piece = make_pattern(hem_allowance=30.0).piece("back")
    low = {e.name: min(y for _, y in e.path.cubics.reshape(-1, 2)) for e in piece.edges}
    fold = next(k.path for k in piece.lines if k.label == "hem fold")
    assert low["hem_cut"] == pytest.approx(min(fold.cubics[..., 1].ravel()) - 30.0, abs=0.5)
    assert low["outseam"] == pytest.approx(fold.start[1])


@pytest.mark.parametrize("elastic", [10.0, 25.0])
def test_a_casing_cut_on_mirrors_the_top(make_pattern: Make, elastic: float) -> None:
    """Turned in, it lies on the leg; the fold is the finished top."""
    pattern = make_pattern(band="turned", elastic_width=elastic)
    assert pattern.block.turn_mm > elastic
    for piece, panel in zip(legs(pattern), (pattern.block.front, pattern.block.back), strict=True):
        fold: Path = next(k.path for k in piece.lines if k.label == "casing fold")
        assert fold.cubics == pytest.approx(panel.waist.cubics)
        cut = piece.edge("casing_cut").path
        for x, y in along(cut, np.linspace(0.1, 0.9, 7)):
            far = line_of(fold).distance(shapely.Point(x, y))
            assert far == pytest.approx(pattern.block.turn_mm, abs=0.1)
        # A raised centre back makes the top hollow, so the raw edge is shorter than the leg it
        # comes to lie on; a knit gives as much as that, and a narrow casing keeps it small.
        assert shorter_than_its_leg(piece, panel, pattern.block.turn_mm) < 0.06


def shorter_than_its_leg(piece: Piece, panel: Panel, deep_mm: float) -> float:
    """By which share the casing's raw edge is shorter than the leg is wide where it will lie."""
    fold = line_of(panel.waist)
    # Run counter-clockwise, the piece lies to the left.
    inside = fold.offset_curve(deep_mm)
    leg = outline_of((panel.outseam, panel.hem, panel.inseam, panel.crotch, panel.waist))
    across = inside.intersection(leg.buffer(0.01))
    assert across.length > 0.9 * fold.length
    return 1.0 - length(piece.edge("casing_cut").path) / float(across.length)


@pytest.mark.parametrize("band", BAND_NAMES)
def test_a_leg_is_one_closed_outline(make_pattern: Make, band: str) -> None:
    for piece in legs(make_pattern(band=band, elastic_width=20.0)):
        for paths in ([e.path for e in piece.edges], list(piece.cut)):
            whole = join(paths)
            assert whole.closed
            assert area(whole) > 0.0
            assert outline_of(tuple(paths)).is_valid


def test_a_seam_allowance_that_cannot_be_drawn_is_refused(make_pattern: Make) -> None:
    """Wider than the crotch curve's radius: the style allows it, this body's curve does not."""
    with pytest.raises(InputError) as error:
        make_pattern(
            fabric=Fabric(stretch_across=1.0), fit="close", leg="close", seam_allowance=50.0
        )
    assert error.value.field == "style.seam_allowance"
    assert error.value.hint


def test_a_hem_deeper_than_the_leg_is_refused(make_pattern: Make) -> None:
    with pytest.raises(InputError) as error:
        make_pattern(leg="slim", inseam=110.0, hem_allowance=120.0)
    assert error.value.field == "style.hem_allowance"
    assert error.value.hint
    assert make_pattern(leg="slim", inseam=110.0, hem_allowance=20.0).errors == ()
