"""Seam and hem allowances: from sewing edges to the line that is cut."""

from __future__ import annotations

from collections.abc import Sequence

from curves.length import length, param_at_length
from curves.meet import intersections
from curves.offset import offset, outset
from curves.path import Path
from curves.split import extend, subpath
from curves.tolerance import OFFSET_MM
from draft.errors import UnsolvableError
from draft.piece import Edge

#: How much of the seams is mirrored below the fold before it is trimmed to the hem's cut edge.
_TURN_SPARE = 1.6


def turned_up(
    outseam: Path, hem: Path, inseam: Path, hem_mm: float, seam_mm: float
) -> tuple[Edge, Edge, Edge]:
    """Return the edges below the hem fold: outseam side, cut edge, inseam side.

    The sides are the leg's own edges mirrored in the fold line, so that the allowance, turned up,
    is as wide as the leg it lies against; the cut edge runs parallel to the fold.
    """
    spare = _TURN_SPARE * hem_mm
    down = subpath(outseam, param_at_length(outseam, length(outseam) - spare), len(outseam))
    up = subpath(inseam, 0.0, param_at_length(inseam, spare))
    left = down.mirrored(hem.start, hem.end).reversed()
    right = up.mirrored(hem.start, hem.end).reversed()
    bottom = extend(offset(hem, hem_mm, OFFSET_MM), spare, spare)
    at_left, at_right = intersections(left, bottom), intersections(bottom, right)
    if not at_left or not at_right:
        raise UnsolvableError(
            "The hem allowance", hem_mm, "inside_leg", "Give a smaller style.hem_allowance."
        )
    ul, bl = at_left[0]
    br, ur = at_right[-1]
    return (
        Edge(name="outseam_turn", path=subpath(left, 0.0, ul), allowance_mm=seam_mm),
        Edge(name="hem_cut", path=subpath(bottom, bl, br), allowance_mm=0.0),
        Edge(name="inseam_turn", path=subpath(right, ur, len(right)), allowance_mm=seam_mm),
    )


def cut_edges(edges: Sequence[Edge]) -> tuple[Path, ...]:
    """Return the cutting line, one path per edge.

    Corners are mitred: where edges meet at a right angle, as they do at waist, crotch point and
    band, that is also the corner that lies flat and matches once the first seam is pressed.
    """
    return outset([e.path for e in edges], [e.allowance_mm for e in edges], OFFSET_MM)
