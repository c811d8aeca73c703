"""Seam and hem allowances: from sewing edges to the line that is cut."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from outseam.curves.errors import CurveError
from outseam.curves.length import length
from outseam.curves.meet import intersections, leaving
from outseam.curves.offset import offset, outset, outset_all
from outseam.curves.path import Path
from outseam.curves.point import Point, Vector, unit
from outseam.curves.split import extend, subpath
from outseam.curves.tolerance import OFFSET_MM
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.words import ByUnits, measure, words
from outseam.draft.piece.piece import Edge, Piece

#: How far along the mirrored seams, over its depth, the cut edge may be met.
_TURN_SPARE = 1.6
#: A turn is at most this share of the shorter of the seams it is mirrored from.
_DEEPEST = 0.5


def turned(
    before: Path,
    fold: Path,
    after: Path,
    *,
    depth_mm: float,
    seam_mm: float,
    names: tuple[str, str, str],
    straight: bool = True,
) -> tuple[Edge, Edge, Edge]:
    """Return the edges beyond a fold line: first side, cut edge, second side, named so.

    `before` ends where `fold` begins and `after` begins where it ends, counter-clockwise. The
    sides are those edges mirrored in the fold line, so that the allowance, turned in, is as wide
    as what it lies against; the cut edge runs parallel to the fold at `depth_mm`.
    A `straight` fold stands for its chord (a hem's arc is shallow and even); otherwise each side
    is mirrored in the direction the fold has there (a waist edge bends near the side).
    """
    shorter = min(length(before), length(after))
    if depth_mm > _DEEPEST * shorter:
        raise _too_deep(names, depth_mm)
    spare = min(_TURN_SPARE * depth_mm, 0.95 * shorter)
    along = unit((fold.end[0] - fold.start[0], fold.end[1] - fold.start[1]))
    first, last = (along, along) if straight else (fold.start_direction, fold.end_direction)
    left = before.mirrored(fold.start, _ahead(fold.start, first)).reversed()
    right = after.mirrored(fold.end, _ahead(fold.end, last))
    try:
        bottom = extend(offset(fold, depth_mm, OFFSET_MM), spare, spare)
    except CurveError:
        raise _too_deep(names, depth_mm) from None
    # Both sides go out from the fold; the cut edge is met near its ends.
    at_left, at_right = _first(left, bottom), _first(right, bottom.reversed())
    if at_left is None or at_right is None:
        raise _too_deep(names, depth_mm)
    down, up = subpath(left, 0.0, at_left[0]), subpath(right, 0.0, at_right[0])
    if max(math.dist(side.start, side.end) for side in (down, up)) > spare:
        raise _too_deep(names, depth_mm)
    return (
        Edge(name=names[0], path=down, allowance_mm=seam_mm),
        Edge(
            name=names[1],
            path=subpath(bottom, at_left[1], len(bottom) - at_right[1]),
            allowance_mm=0.0,
        ),
        Edge(name=names[2], path=up.reversed(), allowance_mm=seam_mm),
    )


def _first(side: Path, cut: Path) -> tuple[float, float] | None:
    """Return where a side first crosses the cut edge: parameters on both."""
    return leaving(side, cut) or next(iter(intersections(side, cut)), None)


def _too_deep(names: tuple[str, str, str], depth_mm: float) -> InputError:
    """Return the error for a turn that its edges cannot take."""
    what = names[1].replace("_cut", "")
    return InputError(
        "style.hem_allowance" if what == "hem" else "style.elastic_width",
        words("{depth} to turn in at the {what}", depth=measure(depth_mm), what=what),
        "less for edges as short or as curved as these",
        "choose a smaller allowance" if what == "hem" else "choose a narrower elastic",
    )


def _ahead(p: Point, direction: Vector) -> Point:
    """Return the point 100 mm from `p` along a unit direction."""
    return p[0] + 100.0 * direction[0], p[1] + 100.0 * direction[1]


#: Edges of a pocket that curve more than a leg does, and what is said of their pieces.
_ROUND = {"mouth": "the pocket's mouth", "bag": "the pocket bag"}


def cut_edges(edges: Sequence[Edge]) -> tuple[Path, ...]:
    """Return the cutting line, one path per edge.

    Corners are mitred: where edges meet at a right angle, as they do at waist, crotch point and
    band, that is also the corner that lies flat and matches once the first seam is pressed.
    Raises InputError where the allowance is too wide to follow a curve.
    """
    try:
        return outset([e.path for e in edges], [e.allowance_mm for e in edges], OFFSET_MM)
    except CurveError:
        names = {e.name for e in edges}
    for name, says in _ROUND.items():
        if name in names:
            raise InputError(
                "style.seam_allowance",
                f"too wide to go round the curve of {says}",
                words("{most} or less", most=ByUnits("1.5 cm", '5/8"')),
                "choose a narrower seam allowance or another pocket",
            )
    widest = max(e.allowance_mm for e in edges)
    raise InputError(
        "style.seam_allowance",
        words("{widest}", widest=measure(widest)),
        "less than the radius of the tightest curve, which is in the crotch or the hem's ends",
        "choose a smaller allowance",
    )


def cut_pieces(pieces: Iterable[Piece]) -> tuple[Piece, ...]:
    """Return the pieces, those without a cutting line with theirs: all are cut at once.

    Raises InputError as `cut_edges`.
    """
    pieces = tuple(pieces)
    fresh = [p.edges for p in pieces if not p.cut]
    try:
        cuts = iter(
            outset_all(
                [[e.path for e in edges] for edges in fresh],
                [[e.allowance_mm for e in edges] for edges in fresh],
                OFFSET_MM,
            )
        )
    except CurveError:
        cuts = iter([cut_edges(edges) for edges in fresh])  # raises for the one that it is
    return tuple(p if p.cut else replace(p, cut=next(cuts)) for p in pieces)


def let_out_seams(pieces: Iterable[Piece], seam_mm: float) -> tuple[str, ...]:
    """Return the seams of these pieces that have more than the pants' allowance `seam_mm`."""
    wide = {e.name for p in pieces for e in p.edges if e.allowance_mm > seam_mm}
    told = {"outseam": "outseam", "inseam": "inseam", "crotch": "centre back"}
    return tuple(said for edge, said in told.items() if edge in wide)
