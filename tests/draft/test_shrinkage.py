"""Pieces grown for the wash: washed, every line is back where it was drafted."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from outseam.curves.evaluate import points_at
from outseam.curves.length import length, param_at_length
from outseam.curves.path import Path
from outseam.draft.fabric import Fabric
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece
from outseam.draft.piece.shrinkage import grown

Make = Callable[..., Pattern]

WASHED = [(0.03, 0.05), (0.0, 0.08), (0.06, 0.0), (-0.02, 0.04)]


def washed(path: Path, across: float, along: float) -> Path:
    """A path in fabric that has shrunk by these ratios of what it was."""
    return path.mapped(1.0 - across, 0.0, 0.0, 1.0 - along)


def place(piece: Piece, edge: str, at_mm: float) -> tuple[float, float]:
    path = piece.edge(edge).path
    x, y = points_at(path, [param_at_length(path, at_mm)])[0]
    return float(x), float(y)


def pairs(before: Piece, after: Piece) -> list[tuple[Path, Path]]:
    return [
        *zip((e.path for e in before.edges), (e.path for e in after.edges), strict=True),
        *zip(before.cut, after.cut, strict=True),
        *zip((k.path for k in before.lines), (k.path for k in after.lines), strict=True),
    ]


@pytest.mark.parametrize(("across", "along"), WASHED)
def test_washed_every_line_is_back_in_its_place(
    make_pattern: Make, across: float, along: float
) -> None:
    fabric = Fabric(stretch_across=0.5, shrink_across=across, shrink_along=along)
    for piece in make_pattern(fabric=fabric).pieces:
        cut = grown(piece, fabric)
        for before, after in pairs(piece, cut):
            back = washed(after, across, along)
            assert np.abs(back.cubics - before.cubics).max() < 1e-9
        for one, other in zip(piece.notches, cut.notches, strict=True):
            x, y = place(cut, other.edge, other.at_mm)
            before_x, before_y = place(piece, one.edge, one.at_mm)
            assert x * (1.0 - across) == pytest.approx(before_x, abs=0.01)
            assert y * (1.0 - along) == pytest.approx(before_y, abs=0.01)
            assert (other.edge, other.count, other.role) == (one.edge, one.count, one.role)
        assert cut.label_at[0] * (1.0 - across) == pytest.approx(piece.label_at[0])
        assert cut.label_at[1] * (1.0 - along) == pytest.approx(piece.label_at[1])


def test_fabric_that_does_not_shrink_is_cut_as_drafted(make_pattern: Make) -> None:
    piece = make_pattern().piece("back")
    assert grown(piece, Fabric(stretch_across=0.5)) is piece


def test_the_draft_itself_knows_nothing_of_shrinkage(make_pattern: Make) -> None:
    plain = make_pattern(fabric=Fabric(stretch_across=0.5))
    shrinks = make_pattern(fabric=Fabric(stretch_across=0.5, shrink_along=0.08))
    for one, other in zip(plain.pieces, shrinks.pieces, strict=True):
        assert all(np.array_equal(a.cubics, b.cubics) for a, b in pairs(one, other))


def test_across_is_round_the_body_and_along_is_down_the_leg(make_pattern: Make) -> None:
    fabric = Fabric(stretch_across=0.5, shrink_across=0.0, shrink_along=0.10)
    pattern = make_pattern(fabric=fabric)
    piece = pattern.piece("front")
    crease = next(k.path for k in piece.lines if k.kind == "crease")
    hip = next(k.path for k in piece.lines if k.label == "hip")
    cut = grown(piece, fabric)
    longer = next(k.path for k in cut.lines if k.kind == "crease")
    assert length(longer) == pytest.approx(length(crease) / 0.9)
    assert length(next(k.path for k in cut.lines if k.label == "hip")) == pytest.approx(length(hip))


def test_seams_still_match_before_the_wash(make_pattern: Make) -> None:
    """Sewn before it is washed: anisotropic growth parts curves of different slope a little.

    Within 1 mm a leg's seam, as much as an overlocker evens out unseen (common practice, no
    source).
    """
    fabric = Fabric(stretch_across=0.5, shrink_across=0.02, shrink_along=0.06)
    pattern = make_pattern(fabric=fabric)
    front, back = (grown(pattern.piece(n), fabric) for n in ("front", "back"))
    for edge in ("inseam", "outseam"):
        apart = length(front.edge(edge).path) - length(back.edge(edge).path)
        assert abs(apart) < 1.0
