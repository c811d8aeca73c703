"""Whether the pieces have room at their places on the border: told before anything is printed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from outseam.curves.region import bounds
from outseam.draft.border.levels import above_hem_mm, band_level_mm, is_leg, leg_level_mm
from outseam.draft.border.places import on_border, sides_of
from outseam.draft.border.printed import Border
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.words import Sentence, least_allowed, measure, most_allowed, words
from outseam.draft.piece.piece import Piece
from outseam.draft.piece.shrinkage import grown
from outseam.draft.spec.spec import Spec

#: A piece may stand out of the fabric by this: rounding.
_EVEN_MM = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """How far a piece would stand out of the fabric, mm: below its selvedge and at the other.

    `above_mm` is how far above its hem the border's edge is to lie, if it is a leg.
    """

    piece: Piece
    spec: Spec
    above_mm: float
    below_mm: float
    beyond_mm: float


def require_room(reaches: Sequence[Reach], border: Border) -> None:
    """Raise InputError, with what would help, about the piece that stands out most."""
    low = max(reaches, key=lambda r: r.below_mm)
    if low.below_mm > _EVEN_MM:
        room = low.above_mm - low.below_mm / low.spec.fabric.shrink_factors[0]
        up = "; below zero, that much of the border is turned up with the hem"
        raise InputError(
            "style.border_above_hem",
            words(
                "{above}, and the border begins {edge} from the selvedge: {short} of fabric are "
                "missing below it for the hem of the {piece}",
                above=measure(low.above_mm),
                edge=measure(border.edge_mm),
                short=least_allowed(low.below_mm),
                piece=low.piece.title.lower(),
            ),
            words("at most {room}{up}", room=most_allowed(room), up=up if room < -_EVEN_MM else ""),
            "leave it out, and the border lies as near to the hem as it can; or take a smaller "
            "hem_allowance, or face the hem",
        )
    high = max(reaches, key=lambda r: r.beyond_mm)
    if high.beyond_mm > _EVEN_MM:
        over = least_allowed(high.beyond_mm)
        allowed: Sentence
        if is_leg(high.piece):
            allowed = words("a leg {over} shorter, or a fabric that much wider", over=over)
            hint = "shorten it (style.length or style.inseam), or let the hem lie nearer the edge"
        else:
            allowed, hint = "a fabric that holds it", 'cut it plain (style.band_from = "plain")'
        raise InputError(
            "fabric.width",
            words(
                "from its place at the border up, the {piece} is {over} longer than the fabric is "
                "wide",
                piece=high.piece.title.lower(),
                over=over,
            ),
            allowed,
            hint,
        )


def require_places(
    spec: Spec, pieces: Iterable[Piece], bands: frozenset[str], border: Border
) -> None:
    """Raise InputError where a lay could not put the pieces of a draft on the border."""
    pieces = tuple(pieces)
    fabric, above = spec.fabric, above_hem_mm(spec, pieces)
    width, growth = fabric.width_mm, fabric.shrink_factors[0]
    reaches = []
    for piece in pieces:
        if piece.lining or not on_border(spec, piece, bands, border):
            continue
        cut = grown(piece, fabric)
        low, high = (f(bounds(c)[i] for c in cut.cut) for f, i in ((min, 1), (max, 3)))
        for side in sides_of(spec, piece, border):
            one = border.at(side)
            if is_leg(piece):
                level = leg_level_mm(cut, one, above, growth)
                below = -(level + low)
            else:
                # A band whose eye lies too near the selvedge is moved in as far as it must.
                level = max(band_level_mm(cut, one), -low)
                below = 0.0
            beyond = level + high - width
            reaches.append(
                Reach(piece=piece, spec=spec, above_mm=above, below_mm=below, beyond_mm=beyond)
            )
    require_room(reaches, border)
