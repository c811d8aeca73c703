"""Two legs that differ put together: pieces for either side, and the seams between them.

Each leg comes drafted as if both were like it. What is the same on both stays one piece, cut as
often as before; what differs becomes a piece for each side, labelled, and cut half as often.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import numpy as np

from outseam.draft.alter import SIDES
from outseam.draft.checks import run_checks
from outseam.draft.checks.centre import CENTRE_MM
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.words import measure, words
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece, Seam, Stretch, cut_words, sided_name
from outseam.draft.piece.piece import Side as PieceSide
from outseam.draft.piece.ruler import ruler_length
from outseam.draft.spec.spec import Spec

#: The wearer's side at the beginning of a band's lower edge, seen from outside.
_BEGINS: Final = {"front_band": "right", "back_band": "left"}
#: A stretch of a band that ends within this of the centre is meant to end there.
_NEAR_MM: Final = 1.0


def _same(a: Piece, b: Piece) -> bool:
    """Whether two pieces could be cut from one pattern piece."""
    return (
        a.notches == b.notches
        and len(a.edges) == len(b.edges)
        and all(
            x.name == y.name and np.array_equal(x.path.cubics, y.path.cubics)
            for x, y in zip(a.edges, b.edges, strict=True)
        )
        and all(np.array_equal(x.cubics, y.cubics) for x, y in zip(a.cut, b.cut, strict=True))
    )


def _for_side(piece: Piece, side: PieceSide) -> Piece:
    """Return a piece as the one of a side, cut half as often."""
    copies = piece.copies // 2
    over = copies == 1 and (piece.drawn_for or side) != side
    words = cut_words(copies, mirrored=copies > 1 and piece.mirrored, lining=piece.lining)
    if copies == 1:
        words += ", printed side down" if over else ", printed side up"
    return replace(
        piece,
        name=sided_name(piece.name, side),
        title=f"{piece.title}, {side}",
        copies=copies,
        mirrored=copies > 1 and piece.mirrored,
        side=side,
        completes=sided_name(piece.completes, side) if piece.completes else "",
        turned_over=over,
        cut_note=words,
    )


def _half(stretch: Stretch, side: str) -> Stretch:
    """Return the half of a band's stretch that one side's leg is sewn to."""
    middle = (stretch.from_mm + stretch.to_mm) / 2.0
    if _BEGINS[stretch.piece] == side:
        return replace(stretch, to_mm=middle, to_end=False)
    return replace(stretch, from_mm=middle)


def _on_side(stretch: Stretch, middle_mm: float, side: str) -> bool:
    """Whether a stretch of a band lies on a side; `middle_mm` is its centre."""
    begins = stretch.to_mm <= middle_mm + _NEAR_MM
    return begins == (_BEGINS[stretch.piece] == side)


def _seams_of(pattern: Pattern, divided: frozenset[str], side: PieceSide) -> Iterator[Seam]:
    """Yield one side's seams, those of pieces that are the same on both sides left out."""
    for seam in pattern.seams:
        ours = [s.piece in divided for s in (seam.a, seam.b)]
        if not any(ours):
            continue
        a, b = seam.a, seam.b
        ease, name = seam.ease_mm, seam.name
        if not all(ours):
            leg, rest = (a, b) if ours[0] else (b, a)
            if leg.times > 1:  # both legs' edges to one band: this leg's to its half of it
                leg = replace(leg, times=leg.times // 2)
                rest = _half(rest, side)
                ease /= 2.0
            elif rest.piece in _BEGINS:
                whole = pattern.piece(rest.piece).edge(rest.edge).path
                if not _on_side(rest, (whole.start[0] + whole.end[0]) / 2.0, side):
                    continue
                # Of a pair of such seams, told apart by the band's ends, each leg has one.
                name = name.removesuffix(f" {seam.end}")
            a, b = (leg, rest) if ours[0] else (rest, leg)
        a, b = (
            replace(s, piece=sided_name(s.piece, side)) if s.piece in divided else s for s in (a, b)
        )
        yield replace(
            seam,
            name=f"{name}, {side} leg",
            line=seam.line or seam.name,
            said=seam.said or seam.name,
            end="",
            side=side,
            a=a,
            b=b,
            ease_mm=ease,
        )


def _refuse_unequal(spec: Spec, left: Pattern, right: Pattern) -> None:
    """Raise InputError where one leg's alterations changed the crotch seam that both share.

    A leg made much shorter, or fuller, under a thigh that is altered bends the curve's end.
    """
    most = max(
        abs(ruler_length(a) - ruler_length(b))
        for a, b in (
            [leg.piece(part).edge("crotch").path for leg in (left, right)]
            for part in ("front", "back")
        )
    )
    if most <= CENTRE_MM:
        return
    one = max((a for a in spec.alter if a.side), key=lambda a: a.amount)
    raise InputError(
        "alter",
        words(
            "{what} by {amount} on the {side} side only, with the other alterations: the crotch "
            "seams of the two legs come to differ by {most}",
            what=one.what,
            amount=measure(one.amount),
            side=one.side,
            most=measure(most),
        ),
        "legs that can be sewn to each other",
        "alter both sides alike, or this side by less",
    )


def put_together(spec: Spec, left: Pattern, right: Pattern) -> Pattern:
    """Return the checked pattern of two legs that differ, each drafted as if both were like it.

    `spec` is that of both, with all its alterations. Raises InputError where the two legs cannot
    be sewn to each other.
    """
    _refuse_unequal(spec, left, right)
    legs = dict(zip(SIDES, (left, right), strict=True))
    pieces: list[Piece] = []
    divided = []
    for name in dict.fromkeys(p.name for leg in legs.values() for p in leg.pieces):
        both = [leg.piece(name) for leg in legs.values()]
        if name not in ("front", "back") and _same(*both):
            pieces.append(both[0])
            continue
        divided.append(name)
        pieces += [_for_side(p, s) for s, p in zip(SIDES, both, strict=True)]
    parts = frozenset(divided)
    shared = [s for s in left.seams if s.a.piece not in parts and s.b.piece not in parts]
    sided = [s for side, leg in legs.items() for s in _seams_of(leg, parts, side)]
    pattern = Pattern(
        spec=spec,
        measures=left.measures,
        block=left.block,
        band=left.band,
        pieces=tuple(pieces),
        seams=(*sided, *shared),
        features=left.features,
        other_block=right.block,
        legs=(left, right),
    )
    return replace(pattern, findings=run_checks(pattern))
