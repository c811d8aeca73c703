"""The border lay: legs and band pieces along the border, the rest where there is room."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice, permutations

from outseam.draft.border.levels import (
    above_hem_mm,
    band_level_mm,
    face_middle_mm,
    hem_mm,
    is_leg,
    leg_level_mm,
)
from outseam.draft.border.places import sides_of, turn_at
from outseam.draft.border.printed import Border, Selvedge
from outseam.draft.border.room import Reach, require_room
from outseam.draft.lay.model.bounds import area_mm2, bound_mm
from outseam.draft.lay.model.cloth import Cloth
from outseam.draft.lay.model.fits_width import fitting_orientations, too_broad
from outseam.draft.lay.model.orientations import Item, items_of, unlike
from outseam.draft.lay.model.parts import Part, TurnRule, parts_of
from outseam.draft.lay.model.placement import Face, as_cut
from outseam.draft.lay.model.positions import Once, Positions, Slides, reach_mm
from outseam.draft.lay.model.result import (
    Lay,
    Placed,
    garment_names,
    in_order,
    lining_pieces,
    placed_positions,
)
from outseam.draft.lay.model.turning import at_border, border_turns
from outseam.draft.lay.nest.bottom_left import bottom_left, orders
from outseam.draft.lay.nest.fixed_rows import FixedPlace, FixedRows, Match, best_rows
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece
from outseam.draft.piece.ruler import x_at

#: How a lay was found that no other is shorter than.
PROVED = "border, every order tried"
#: Legs stand on both selvedges if that saves this much, mm.
_BOTH_MM = 20.0
#: Orders of the free pieces that are tried in a row, besides those by size.
_MOST_ORDERS = 24
#: More free pieces than these take long in every order.
_FEW_FREE = 7
#: A piece may stand out of the fabric by this: rounding.
_EVEN_MM = 1e-6


def wearer_side(piece: Piece, face: Face) -> str:
    """Return which leg of the wearer a leg piece becomes, laid on a fabric that is right side up.

    Drawn with the outseam on the left, a front face up is the right one and a back the left one.
    """
    return piece.side or ("right" if (piece.part == "front") == (face == "up") else "left")


def fixed_place(
    part: Part,
    item: Item,
    pattern: Pattern,
    cloth: Cloth,
    side: Selvedge,
    match: Match | None = None,
    above_mm: float | None = None,
) -> tuple[FixedPlace, Reach]:
    """Return a part on the border of one selvedge, and how far it would stand out.

    `above_mm` is what `above_hem_mm` says of the pattern, where that is known already.
    """
    border, fabric = cloth.border, pattern.spec.fabric
    assert border is not None, "only fabrics with a border are laid so"
    one, turn = border.at(side), turn_at(fabric, side)
    orientation = next(f for f in item.orientations if f.turn_deg == turn)
    cut, leg = orientation.cut, is_leg(part.piece)
    above = above_hem_mm(pattern.spec, pattern.pieces) if above_mm is None else above_mm
    if leg:
        level = leg_level_mm(cut, one, above, fabric.shrink_factors[0])
    else:
        level = band_level_mm(cut, one)
    if side == "far":
        # Where the field has an up, a band at the far border stands the same way up as the legs.
        own_mm = one.edge_mm + one.eye_mm + face_middle_mm(cut) if turn == 90 else level
        level = cloth.width_mm - own_mm
    y = level - orientation.lie.dy_mm
    below, beyond = -y, y + orientation.breadth_mm - cloth.width_mm
    if side == "far":
        below, beyond = beyond, below
    if not leg and below > 0.0:
        # A band whose eye lies too near the selvedge is moved in as far as it must.
        y += below if side == "near" else -below
        below = 0.0
    # With a repeat, both pieces of a leg stand on one border: its figures run on over the seams.
    own = wearer_side(part.piece, orientation.face)
    tied = leg and border.repeat_mm is not None
    tie = f"{part.garment} {own}" if tied else ""
    place = FixedPlace(item=item, orientation=orientation, y_mm=y, side=side, match=match, tie=tie)
    return place, Reach(
        piece=part.piece, spec=pattern.spec, above_mm=above, below_mm=below, beyond_mm=beyond
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Widths:
    """A leg at the level of the border's eye, as cut, from its crease line outward, mm."""

    crease_mm: float
    out_mm: float
    in_mm: float

    @property
    def whole_mm(self) -> float:
        """From seam to seam."""
        return self.out_mm + self.in_mm


def leg_widths(piece: Piece, pattern: Pattern, border: Border) -> Widths:
    """Return where a leg's seams and crease are at the level of the border's eye.

    A seam slopes, so figures can meet exactly at one level only: there they are largest. A level
    off the leg is moved to its nearest end.
    """
    fabric = pattern.spec.fabric
    cut = as_cut(piece, fabric, 90)
    growth = fabric.shrink_factors[0]
    above = above_hem_mm(pattern.spec, pattern.pieces) * growth + border.eye_mm
    outseam, inseam = cut.edge("outseam").path, cut.edge("inseam").path
    low = max(outseam.end[1], inseam.start[1])
    high = min(outseam.start[1], inseam.end[1])
    y = min(max(hem_mm(cut) + above, low), high)
    left, right = x_at(outseam, y), x_at(inseam, y)
    assert left is not None, "the level lies on the outseam"
    assert right is not None, "the level lies on the inseam"
    hems = outseam.end[0], inseam.start[0]
    crease = next((k.path.start[0] for k in cut.lines if k.kind == "crease"), sum(hems) / 2.0)
    return Widths(crease_mm=crease, out_mm=crease - left, in_mm=right - crease)


def match_of(
    part: Part,
    item: Item,
    pattern: Pattern,
    border: Border,
    side: Selvedge = "near",
    known: dict[int, Widths] | None = None,
) -> Match | None:
    """Return where a piece has to meet the repeat.

    The two fronts have one phase at their crease lines. Each back continues its front's figures
    over the outseam. Waistband pieces have one phase at their middles, apart from the legs' unless
    one figure is wanted at the centre of both. At the far selvedge everything lies by the shift of
    that border's figures further on. `known` keeps the widths of the pattern's legs by identity.
    """
    repeat = border.at(side).repeat_mm
    if repeat is None:
        return None
    turn = turn_at(pattern.spec.fabric, side)
    orientation = next(f for f in item.orientations if f.turn_deg == turn)
    shift = (border.shift_mm or 0.0) if side == "far" else 0.0
    garment = part.garment
    if not is_leg(part.piece):
        group = "legs" if pattern.spec.style.figure_at == "centre" else "band"
        at = orientation.length_mm / 2.0 - shift
        return Match(group=f"{garment} {group}", at_mm=at, repeat_mm=repeat)
    known = {} if known is None else known

    def widths(leg: Piece) -> Widths:
        if id(leg) not in known:
            known[id(leg)] = leg_widths(leg, pattern, border)
        return known[id(leg)]

    own = widths(part.piece)
    # Along the fabric, outseam to inseam: onward if face up at the near selvedge.
    sign = (1.0 if orientation.face == "up" else -1.0) * (1.0 if side == "near" else -1.0)
    at = sign * own.crease_mm + orientation.lie.dx_mm - shift
    if part.piece.part != "front":
        front = widths(front_of(part.piece, orientation.face, pattern))
        at -= sign * (front.out_mm + own.out_mm)
    return Match(group=f"{garment} legs", at_mm=at, repeat_mm=repeat)


def front_of(back: Piece, face: Face, pattern: Pattern) -> Piece:
    """Return the front that a back is sewn to."""
    side = wearer_side(back, face)
    return next(p for p in pattern.pieces if p.part == "front" and p.side in ("", side))


def search_border(patterns: Sequence[Pattern], cloth: Cloth, turns: TurnRule = border_turns) -> Lay:
    """Return the shortest border lay whose pieces keep to `turns`; not yet checked.

    Deterministic. With pieces at the border only, `bound_mm` equals the length: it is proved that
    no order and no choice of selvedges is shorter. Raises InputError where a piece does not fit
    between border and far selvedge, or the hem has no fabric below the border.
    """
    border = cloth.border
    assert border is not None, "only fabrics with a border are laid so"
    fabrics = [p.spec.fabric for p in patterns]
    parts = parts_of(patterns, cloth, turns)
    items = items_of(parts, fabrics, cloth)
    places: list[list[FixedPlace]] = []
    reaches: list[Reach] = []
    free: list[Item] = []
    above = [above_hem_mm(p.spec, p.pieces) for p in patterns]
    known: list[dict[int, Widths]] = [{} for _ in patterns]
    for part, item in zip(parts, items, strict=True):
        pattern = patterns[part.garment]
        if not at_border(pattern, part.piece, border):
            free.append(item)
            continue
        own = []
        for side in sides_of(pattern.spec, part.piece, border):
            match = match_of(part, item, pattern, border, side, known[part.garment])
            place, reach = fixed_place(part, item, pattern, cloth, side, match, above[part.garment])
            reaches.append(reach)
            own.append(place)
        places.append(own)
    if reaches:
        require_room(reaches, border)
    complaint = too_broad(free, cloth)
    if complaint is not None:
        raise complaint
    free = [replace(i, orientations=unlike(fitting_orientations(i, cloth.width_mm))) for i in free]
    found, positions = _laid(places, free, border, cloth)
    placed = in_order(told_at_border(placed_positions(positions), patterns, border))
    length = round(max(p.end_mm for p in placed), 2)
    return Lay(
        cloth=cloth,
        names=garment_names(patterns),
        placed=placed,
        length_mm=length,
        bound_mm=min(
            length,
            found.bound_mm if found.proved else max(found.bound_mm, bound_mm(items, cloth)),
        ),
        area_mm2=area_mm2(items),
        how=PROVED if found.proved else "border",
        left_out=lining_pieces(patterns),
    )


def told_at_border(
    placed: Iterable[Placed], patterns: Sequence[Pattern], border: Border
) -> Iterator[Placed]:
    """Yield placed pieces with whether each has its place at the border."""
    for p in placed:
        yield replace(p, border=at_border(patterns[p.part.garment], p.part.piece, border))


def _laid(
    places: Sequence[Sequence[FixedPlace]], free: Sequence[Item], border: Border, cloth: Cloth
) -> tuple[FixedRows, Positions]:
    """Return the rows at the border and the lay with the free pieces in them.

    Only where the best row has no room for these are rows looked at that are hardly longer.
    """
    if not places:
        positions = _with_free([()], free, cloth, 0.0)
        return FixedRows(rows=(), proved=False, bound_mm=0.0, steps=0), positions
    slides = Slides()
    found = _rows(places, border, slides, near=False)
    least = found.rows[0].length_mm
    positions = _with_free([found.rows[0].positions], free, cloth, least)
    if free and reach_mm(positions) > least + _EVEN_MM:
        more = _rows(places, border, slides, near=True).rows[1:]
        other = _with_free([r.positions for r in more], free, cloth, least) if more else positions
        positions = min(positions, other, key=reach_mm)
    return found, positions


def _rows(
    places: Sequence[Sequence[FixedPlace]], border: Border, slides: Slides, *, near: bool
) -> FixedRows:
    """Return the best rows; the legs stand on both selvedges only where that saves something.

    On one selvedge all legs have the same border and lie the same way up.
    """
    repeat = border.repeat_mm or border.at("far").repeat_mm
    found = best_rows(places, slides, repeat_mm=repeat, near=near)
    legs_near = [r[:1] if is_leg(r[0].item.part.piece) else r for r in places]
    if any(len(a) != len(b) for a, b in zip(legs_near, places, strict=True)):
        worth = found.rows[0].length_mm + _BOTH_MM
        plain = best_rows(legs_near, slides, repeat_mm=repeat, near=near, limit_mm=worth)
        if plain.rows:
            return replace(plain, bound_mm=found.bound_mm, proved=found.proved and plain.proved)
    return found


def _with_free(
    rows: Sequence[Positions], free: Sequence[Item], cloth: Cloth, least_mm: float
) -> Positions:
    """Return the row into which the free pieces fit best, with them.

    Each in any of its turns, in every order of a few; the first lay that gets no longer than
    `least_mm`, which none can undercut, is taken.
    """
    if not free:
        return rows[0]
    plain = bottom_left(next(orders(free)), cloth.breadth_mm, Once(), placed=rows[0])
    if plain is not None and reach_mm(plain) <= least_mm + _EVEN_MM:
        return plain
    best: tuple[float, Positions, tuple[Item, ...]] | None = None
    for row in sorted(rows, key=reach_mm):
        begun: dict[tuple[Item, ...], Positions | None] = {(): row}
        # Of many pieces all orders are tried in one row only, in others the best of that and a few.
        few = best if len(free) > _FEW_FREE else None
        for order in (*orders(free), few[2]) if few else _free_orders(free):
            shorter = math.inf if best is None else best[0] - _EVEN_MM
            positions = _continued(order, begun, cloth.breadth_mm, shorter)
            if positions is not None and reach_mm(positions) < shorter:
                best = reach_mm(positions), row, order
            if best is not None and best[0] <= max(least_mm, reach_mm(row)) + _EVEN_MM:
                break
        if best is not None and best[0] <= least_mm + _EVEN_MM:
            break
    assert best is not None, "every orientation fits"
    closer = bottom_left(best[2], cloth.breadth_mm, Once(), placed=best[1])
    assert closer is not None, "every orientation fits"
    return closer


def _continued(
    order: tuple[Item, ...],
    begun: dict[tuple[Item, ...], Positions | None],
    breadth_mm: float,
    below_mm: float,
) -> Positions | None:
    """Return `bottom_left` of an order, which many others begin alike: those begun are kept."""
    for n, item in enumerate(order):
        placed = begun[order[:n]]
        if placed is None or reach_mm(placed) >= below_mm:
            return None
        if order[: n + 1] not in begun:
            begun[order[: n + 1]] = bottom_left(
                (item,), breadth_mm, Once(coarse=True), placed=placed
            )
    return begun[order]


def _free_orders(free: Sequence[Item]) -> Iterator[tuple[Item, ...]]:
    """Yield the orders of the free pieces: large ones first, then others, up to so many."""
    yield from orders(free)
    by_size = sorted(free, key=lambda i: (-i.area_mm2, i.key))
    for first in islice(permutations(by_size[:4]), 1, _MOST_ORDERS):
        yield (*first, *by_size[4:])
