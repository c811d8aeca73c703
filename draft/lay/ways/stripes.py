"""Stripes and checks: a chosen level meets at the seams, and left and right leg look alike.

All pieces lie one way: stripes need not be the same upside down. Along the fabric, a level of the
outseam (a notch, so front and back have it at the same distance from the hem) falls on one phase
of the repeat for all four legs; across it, the crease lines do. Pockets that show follow their leg
(`stripe_pockets`). Waistband pieces match among themselves. Phases are relative: which stripe it
is, the first leg decides (common practice, no source).
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice, permutations

from outseam.curves.evaluate import point_at
from outseam.curves.length import length, param_at_length
from outseam.curves.point import Point
from outseam.draft.border.levels import face_middle_mm, is_leg
from outseam.draft.checks.verdict import at_most
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.words import off, words
from outseam.draft.lay.model.bounds import area_mm2, bound_mm
from outseam.draft.lay.model.cloth import Cloth
from outseam.draft.lay.model.fits_width import fitting_orientations, too_broad
from outseam.draft.lay.model.orientations import Item, items_of
from outseam.draft.lay.model.parts import parts_of
from outseam.draft.lay.model.placement import as_cut
from outseam.draft.lay.model.positions import Position, Positions, Slides, levels_of, reach_mm
from outseam.draft.lay.model.profile import first_free, merged
from outseam.draft.lay.model.result import (
    Lay,
    Placed,
    garment_names,
    in_order,
    lining_pieces,
    placed_positions,
)
from outseam.draft.lay.model.turning import stripe_turns
from outseam.draft.lay.nest.bottom_left import heights, orders
from outseam.draft.lay.ways.refusal import require_single
from outseam.draft.lay.ways.stripe_pockets import (
    Host,
    host_of,
    mouth_ends,
    on_stripes,
    place_of,
    upper_edge,
)
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Finding, Notch, Piece
from outseam.draft.style import MATCH_LEVELS

#: Orders of the legs that are tried, and phases of the first piece across the fabric.
_MOST_ORDERS = 120
_PHASES = 3
#: Lays made by climbing from the best of them for the pieces of one garment, so many; of more
#: pieces fewer, as each takes longer.
_TRIES, _USUAL = 150, 10
#: A start that misses its phase by less than this has it, mm.
_HAIR_MM = 1e-6
#: Positions are kept to a hundredth of a millimetre.
_EXACT_MM = 0.1
#: Stripes that meet within this look matched (common practice, no source).
MEETS_MM = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Phase:
    """Where an orientation has to fall on the repeats, from its leftmost and lowest points, mm."""

    group: str
    along_mm: float
    across_mm: float


def match_level(pattern: Pattern) -> str:
    """Return the level of the outseam that meets: the style's, or the next below both legs have.

    A scoop pocket takes the hip's notch off the front, a short leg has no knee.
    """
    wanted = MATCH_LEVELS[MATCH_LEVELS.index(pattern.spec.style.match_at) :]
    legs = [pattern.piece(name) for name in ("front", "back")]
    for level in wanted:
        if all(any(_is(n, level) for n in leg.notches) for leg in legs):
            return level
    return MATCH_LEVELS[-1]


def _is(notch: Notch, level: str) -> bool:
    return notch.edge == "outseam" and notch.role == level


def on_outseam(piece: Piece, level: str) -> Point:
    """Return the point of a leg's outseam at a notched level, or at the hem."""
    edge = piece.edge("outseam")
    for notch in piece.notches:
        if _is(notch, level):
            return point_at(edge.path, param_at_length(edge.path, notch.at_mm))
    return edge.path.end


def phase_point(piece: Piece, pattern: Pattern) -> Point | None:
    """Return the point of a piece that falls on the repeats, None where it need not match."""
    if is_leg(piece):
        crease = next((k.path.start[0] for k in piece.lines if k.kind == "crease"), None)
        x, y = on_outseam(piece, match_level(pattern))
        return (x if crease is None else crease), y
    if piece.name in {p.name for p in pattern.band.pieces}:
        low, high = piece.edge("lower").path.start[0], piece.edge("lower").path.end[0]
        return (low + high) / 2.0, face_middle_mm(piece)
    return None


def phase_of(item: Item, patterns: Sequence[Pattern]) -> Phase | None:
    """Return where an item has to fall on the repeats, None where it need not."""
    pattern, orientation = patterns[item.part.garment], item.orientations[0]
    host = host_of(item.part, pattern)
    legs = host is not None or is_leg(orientation.cut)
    if host is None:
        point = phase_point(orientation.cut, pattern)
    else:
        leg = as_cut(host.leg, pattern.spec.fabric, orientation.turn_deg)
        point = phase_point(leg, pattern)
        if point is not None and host.face != orientation.face:
            point = -point[0], point[1]
    if point is None:
        return None
    x, y = orientation.lie.points([point])[0]
    group = f"{item.part.garment} {'legs' if legs else 'band'}"
    return Phase(group=group, along_mm=float(x), across_mm=float(y))


def search_stripes(patterns: Sequence[Pattern], cloth: Cloth, *, quick: bool = False) -> Lay:
    """Return the shortest lay found with all repeats matched; not yet checked. Deterministic.

    `quick` tries a few orders only. Raises InputError for folded fabric and for a piece that is
    too broad.
    """
    require_single(cloth)
    fabrics = [p.spec.fabric for p in patterns]
    parts = on_stripes(parts_of(patterns, cloth, stripe_turns), patterns)
    items = items_of(parts, fabrics, cloth)
    complaint = too_broad(items, cloth)
    if complaint is not None:
        raise complaint
    items = tuple(replace(i, orientations=fitting_orientations(i, cloth.breadth_mm)) for i in items)
    phases = {i.key: phase_of(i, patterns) for i in items}
    best = _best_order(items, phases, cloth, quick=quick)
    positions = None if best is None else _laid(best[1], phases, cloth, Slides(), best[2])
    if positions is None:
        raise InputError(
            "fabric.repeat_across",
            "no place across the fabric for a piece so that its stripes match",
            "a wider fabric, or a smaller repeat",
            "leave repeat_across out, or match only along the fabric",
        )
    placed = in_order(placed_positions(positions))
    return Lay(
        cloth=cloth,
        names=garment_names(patterns),
        placed=placed,
        length_mm=round(max(p.end_mm for p in placed), 2),
        bound_mm=bound_mm(items, cloth),
        area_mm2=area_mm2(items),
        how="stripes",
        left_out=lining_pieces(patterns),
    )


def _best_order(
    items: Sequence[Item], phases: dict[str, Phase | None], cloth: Cloth, *, quick: bool
) -> tuple[float, tuple[Item, ...], float] | None:
    """Return the length, order and phase of the shortest lay found; None if there is none.

    Orders by size and of the large ones, and then what climbing makes of the best of them: two
    items change places, or one goes elsewhere, and that stays if the lay gets no longer.
    """
    slides = Slides(coarse=True)
    best: tuple[float, tuple[Item, ...], float] | None = None

    def tried(order: tuple[Item, ...], share: float, worse_mm: float) -> None:
        nonlocal best
        positions = _laid(order, phases, cloth, slides, share)
        if positions is not None:
            length = reach_mm(positions)
            if best is None or length < best[0] + worse_mm:
                best = length, order, share

    for order in orders(items) if quick else _orders(items):
        for share in _shares(cloth):
            tried(order, share, -_HAIR_MM)
    if best is None or quick or len(items) < 2:
        return best
    chance = random.Random(1)
    for _ in range(int(_TRIES * min(1.0, (_USUAL / len(items)) ** 2))):
        changed = list(best[1])
        i, j = chance.sample(range(len(changed)), 2)
        if chance.random() < 0.5:
            changed[i], changed[j] = changed[j], changed[i]
        else:
            changed.insert(j, changed.pop(i))
        tried(tuple(changed), best[2], _HAIR_MM)
    return best


def _orders(items: Sequence[Item]) -> Iterator[tuple[Item, ...]]:
    """Yield orders worth trying: of the largest four in all ways, the rest by size behind them."""
    yield from orders(items)
    by_size = sorted(items, key=lambda i: (-i.area_mm2, i.key))
    for first in islice(permutations(by_size[:4]), _MOST_ORDERS):
        yield (*first, *by_size[4:])


def _shares(cloth: Cloth) -> list[float]:
    """Return where in the repeat across the first piece is tried."""
    return [0.0] if cloth.repeat_across_mm is None else [n / _PHASES for n in range(_PHASES)]


def _laid(
    order: Sequence[Item],
    phases: dict[str, Phase | None],
    cloth: Cloth,
    slides: Slides,
    share: float,
) -> Positions | None:
    """Return the items laid bottom left in this order, each on its phase; None if one cannot be."""
    placed: Positions = ()
    set_by: dict[str, Position] = {}
    for item in order:
        phase = phases[item.key]
        first = None if phase is None else set_by.get(phase.group)
        position = _put(item, phase, first, phases, placed, cloth, slides, share)
        if position is None:
            return None
        placed = (*placed, position)
        if phase is not None:
            set_by.setdefault(phase.group, position)
    return placed


def _put(
    item: Item,
    phase: Phase | None,
    first: Position | None,
    phases: dict[str, Phase | None],
    placed: Positions,
    cloth: Cloth,
    slides: Slides,
    share: float,
) -> Position | None:
    """Return the position on its phase where the item ends nearest to the cut end."""
    orientation = item.orientations[0]
    along = across = None
    if phase is not None and first is not None:
        ruling = phases[first.item.key]
        assert ruling is not None, "the first of a group has a phase"
        along = first.x_mm + ruling.along_mm - phase.along_mm
        across = first.y_mm + ruling.across_mm - phase.across_mm
    if cloth.repeat_across_mm is not None and phase is not None and across is None:
        across = share * cloth.repeat_across_mm
    levels = heights(item, orientation, placed, cloth.breadth_mm)
    if cloth.repeat_across_mm is not None and across is not None:
        low, high = levels_of(item, orientation, cloth.breadth_mm)
        levels = _in_phase(low, high, across, cloth.repeat_across_mm)
    beside = [
        (s.x_mm, slides.blocked_at(s.orientation, orientation, [y - s.y_mm for y in levels]))
        for s in placed
    ]
    best: Position | None = None
    for n, y in enumerate(levels):
        rows = merged((a + dx, b + dx) for dx, found in beside for a, b in found[n])
        x = first_free(rows, 0.0)
        if along is not None and cloth.repeat_along_mm is not None:
            x = first_in_phase(rows, along, cloth.repeat_along_mm)
        if best is None or x + orientation.length_mm < best.end_mm - _HAIR_MM:
            best = Position(item=item, orientation=orientation, x_mm=x, y_mm=y)
    return best


def _in_phase(low: float, high: float, at: float, repeat: float) -> list[float]:
    """Return the heights from `low` to `high` that are whole repeats from `at`."""
    first = math.ceil((low - at) / repeat - _HAIR_MM)
    last = math.floor((high - at) / repeat + _HAIR_MM)
    return [min(max(at + n * repeat, low), high) for n in range(first, last + 1)]


def first_in_phase(rows: Sequence[tuple[float, float]], at: float, repeat: float) -> float:
    """Return the least free slide, not below 0, that is a whole number of repeats from `at`."""
    x, rows = 0.0, tuple(rows)
    while True:
        # A hair less is taken for as far, and two hairs too far for free, or a place that lies
        # just short of a repeat would be found again and again.
        n = math.ceil((x - _HAIR_MM - at) / repeat)
        snapped = max(0.0, at + n * repeat)
        free = first_free(rows, snapped)
        if free <= snapped + 2.0 * _HAIR_MM:
            return snapped
        x = free


def _from_whole(mm: float, repeat: float | None) -> float:
    """Return the shortest way from a distance to a whole number of repeats."""
    return 0.0 if repeat is None else mm - repeat * round(mm / repeat)


def check_stripes(lay: Lay, patterns: Sequence[Pattern]) -> tuple[Finding, ...]:
    """Return how stripes or checks meet on the finished pants."""
    found: list[Finding] = []
    for garment, pattern in enumerate(patterns):
        own = [p for p in lay.placed if p.part.garment == garment]
        found += _phases(own, pattern, lay.cloth)
        if lay.cloth.repeat_along_mm is not None:
            found += _seams(pattern)
    return tuple(found)


def _phases(own: Sequence[Placed], pattern: Pattern, cloth: Cloth) -> Iterator[Finding]:
    """All legs on one phase, all waistband pieces on another, and pockets on their leg."""
    first: dict[bool, tuple[float, float]] = {}
    for p in own:
        host = host_of(p.part, pattern)
        if host is not None:
            yield from _on_leg(p, host, own, cloth)
            continue
        point = phase_point(p.piece, pattern)
        if point is None:
            continue
        x, y = (float(v) for v in p.lie.points([point])[0])
        ruling = first.setdefault(is_leg(p.piece), (x, y))
        for name, at, rule, repeat in (
            ("along", x, ruling[0], cloth.repeat_along_mm),
            ("across", y, ruling[1], cloth.repeat_across_mm),
        ):
            if repeat is not None:
                yield at_most(
                    f"repeat {name}",
                    p.key,
                    abs(_from_whole(at - rule, repeat)),
                    _EXACT_MM,
                    f"the stripes of the {p.piece.title.lower()} match those of the others",
                    fails="warning",
                )


def _on_leg(pocket: Placed, host: Host, own: Sequence[Placed], cloth: Cloth) -> Iterator[Finding]:
    """The stripes of a pocket against those of its leg, at both ends of the edge that shows."""
    leg = next(
        (p for p in own if p.part.piece.name == host.leg.name and p.lie.face == host.face), None
    )
    if leg is None:
        return
    if host.set_on:
        place = place_of(leg.piece)
        assert place is not None, "a host has a place for the pocket"
        mine = upper_edge(pocket.piece)
        theirs = place if host.face == "up" else tuple(reversed(place))
    else:
        mine, theirs = mouth_ends(pocket.piece), mouth_ends(leg.piece)
    apart = pocket.lie.points(mine) - leg.lie.points(theirs)
    along = max(abs(_from_whole(float(d), cloth.repeat_along_mm)) for d in apart[:, 0])
    across = max(abs(_from_whole(float(d), cloth.repeat_across_mm)) for d in apart[:, 1])
    apart_mm = max(along, across)
    miss = words(": they are {by} apart", by=off(apart_mm))
    yield at_most(
        "stripes run on over the pocket",
        pocket.key,
        apart_mm,
        _EXACT_MM,
        words(
            "the stripes of the {piece} meet those of its leg{miss}",
            piece=pocket.piece.title.lower(),
            miss=miss if apart_mm > _EXACT_MM else "",
        ),
        fails="warning",
        about=(pocket.key,),
    )


def _seams(pattern: Pattern) -> Iterator[Finding]:
    """How far stripes that meet at the chosen level are apart at other notches of the seams.

    Front and back slope differently, so what meets at one level drifts a little at the others.
    """
    front, back = pattern.piece("front"), pattern.piece("back")
    level = match_level(pattern)
    zero = on_outseam(front, level)[1] - on_outseam(back, level)[1]
    for seam in ("outseam", "inseam"):
        for says, a, b in _stations(front, back, seam):
            apart = abs(a[1] - b[1] - zero)
            miss = words(": there they are {by} apart", by=off(apart))
            yield at_most(
                "stripes meet",
                f"{seam}, {says}",
                apart,
                MEETS_MM,
                words(
                    "stripes meet at the {seam} at the {level}{miss}",
                    seam=seam,
                    level=says,
                    miss=miss if apart > MEETS_MM else "",
                ),
                fails="note",
                about=(seam, says),
            )


def _stations(front: Piece, back: Piece, seam: str) -> Iterator[tuple[str, Point, Point]]:
    """Yield the places that front and back seam share: their notches and the hem."""
    a, b = front.edge(seam).path, back.edge(seam).path
    yield ("hem", a.end, b.end) if seam == "outseam" else ("hem", a.start, b.start)
    # The fold of the hem is where the hem itself is measured.
    others = {n.role: n.at_mm for n in back.notches if n.edge == seam and n.role != "hem fold"}
    for notch in front.notches:
        if notch.edge == seam and notch.role in others:
            at = others[notch.role]
            if notch.at_mm <= length(a) and at <= length(b):
                yield (
                    notch.role,
                    point_at(a, param_at_length(a, notch.at_mm)),
                    point_at(b, param_at_length(b, at)),
                )
