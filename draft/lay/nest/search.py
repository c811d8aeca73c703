"""The search for a general lay: several ways, the shortest kept, never longer than the shelf."""

from __future__ import annotations

import math
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from itertools import combinations

from outseam.draft.lay.model.bounds import area_mm2, bound_mm
from outseam.draft.lay.model.cloth import Cloth
from outseam.draft.lay.model.fits_width import fitting_orientations, too_broad
from outseam.draft.lay.model.orientations import Item, items_of
from outseam.draft.lay.model.parts import Part, TurnRule, opened_out
from outseam.draft.lay.model.positions import Positions, Slides, reach_mm, spread
from outseam.draft.lay.model.result import (
    Lay,
    garment_names,
    in_order,
    lining_pieces,
    placed_positions,
)
from outseam.draft.lay.nest.bottom_left import bottom_left, orders, put
from outseam.draft.lay.nest.climb import climbed
from outseam.draft.lay.nest.compaction import compacted, tidied
from outseam.draft.lay.nest.shelf import shelf
from outseam.draft.lay.nest.solver import solve
from outseam.draft.lay.nest.squeeze import Squeeze
from outseam.draft.lay.nest.unfold import mirrored_lays
from outseam.draft.model import Pattern

#: Lays made by climbing without a search, with one, and of what lies behind the main lay.
_FEW_TRIES, _MANY_TRIES, _LEAST_TRIES = 1000, 20_000, 30
#: So many of the lays that climbing comes to are looked at further.
_SEVERAL = 6
#: So many of the shortest lays of all are drawn together without a search, and with one.
_FEW_DRAWN, _MANY_DRAWN = 3, 8
#: Share of the time that climbing may take.
_CLIMB_SHARE = 0.25
#: A lay shorter by less than this is not worth another arrangement, mm.
_WORTH_MM = 0.5
#: Opening out folded fabric to cut the rest in one layer has to save this much, mm.
_OPENING_MM = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A lay in its two parts; `opened` is laid on the whole width from `opened_mm` on."""

    main: Positions
    opened: Positions
    opened_mm: float | None
    length_mm: float
    how: str


def search(
    patterns: Sequence[Pattern],
    cloth: Cloth,
    parts: Sequence[Part],
    turns: TurnRule,
    *,
    seconds: float,
) -> Lay:
    """Return the shortest lay found in about `seconds`; not yet checked.

    Below one second nothing but the deterministic lays is tried. Raises InputError, naming the
    piece and what would help, where a piece does not fit across the fabric.
    """
    fabrics = [p.spec.fabric for p in patterns]
    items = items_of(parts, fabrics, cloth)
    complaint = too_broad(items, cloth)
    if complaint is not None:
        raise complaint
    items = tuple(
        replace(i, orientations=fitting_orientations(i, _breadth(i, cloth))) for i in items
    )
    started = time.monotonic()

    def best_of(time_s: float, most: int) -> Found:
        found = sorted(_candidates(items, patterns, cloth, parts, turns, time_s), key=_merit)
        squeeze = Squeeze(cloth.breadth_mm)
        best = min([*found, *(_drawn(one, squeeze) for one in found[:most])], key=_merit)
        return _tidied(_face_up(_mended(best, cloth), cloth), cloth)

    best = best_of(0.0, _FEW_DRAWN)
    if seconds >= 1.0:
        left = max(1.0, seconds - (time.monotonic() - started))
        best = min(best, best_of(left, _MANY_DRAWN), key=_merit)
    return _lay(best, items, patterns, cloth)


def _breadth(item: Item, cloth: Cloth) -> float:
    return cloth.width_mm if item.part.zone == "opened" else cloth.breadth_mm


def _merit(found: Found) -> float:
    """Shorter is better; one that has to be opened out must be clearly so."""
    return found.length_mm + (_OPENING_MM if found.opened else 0.0)


def _candidates(
    items: tuple[Item, ...],
    patterns: Sequence[Pattern],
    cloth: Cloth,
    parts: Sequence[Part],
    turns: TurnRule,
    seconds: float,
) -> Iterator[Found]:
    """Yield lays of all kinds; the first two are deterministic and always there."""
    free = tuple(i for i in items if i.part.zone == "main")
    on_fold = tuple(i for i in items if i.at_fold)
    opened = tuple(i for i in items if i.part.zone == "opened")
    breadth = cloth.breadth_mm
    slides = Slides()
    with ThreadPoolExecutor(1) as pool:
        solving = (
            pool.submit(solve, free, breadth, seconds=seconds, slides=slides)
            if seconds >= 1.0 and len(free) > 1
            else None
        )
        # Without a solver the lay must not depend on how fast the machine is.
        tries = _MANY_TRIES if seconds >= 1.0 else _FEW_TRIES
        time_s = _CLIMB_SHARE * seconds if seconds >= 1.0 else math.inf
        plain = shelf(free, breadth)
        assert plain is not None, "every orientation fits"
        bases = [(plain, "shelf")]
        around_fold: list[Positions] = []
        if free or on_fold:
            around_fold = climbed(
                (*free, *on_fold), breadth, tries=tries, seconds=time_s, most=_SEVERAL
            )
        if on_fold and free:
            alone = climbed(free, breadth, tries=tries, seconds=time_s, most=_SEVERAL)
            bases += [(positions, "corner") for positions in alone]
        elif not on_fold:
            bases += [(positions, "corner") for positions in around_fold]
        if not cloth.folded:
            halves = mirrored_lays(items, patterns, cloth, turns, tries=_FEW_TRIES, most=_SEVERAL)
            bases += [(compacted(h, slides) or h, "corner") for h in halves]
        solved = solving.result() if solving is not None else ()
    bases += [(positions, "solver") for positions in solved]
    shelf_all = shelf((*free, *on_fold), breadth)
    assert shelf_all is not None, "every orientation fits"
    yield _with_opened(shelf_all, opened, cloth, "shelf")
    for positions in around_fold:
        yield _with_opened(positions, opened, cloth, "corner")
    yield from _divided(bases, on_fold, patterns, cloth, parts, turns, slides)


def _divided(
    bases: Sequence[tuple[Positions, str]],
    on_fold: Sequence[Item],
    patterns: Sequence[Pattern],
    cloth: Cloth,
    parts: Sequence[Part],
    turns: TurnRule,
    slides: Slides,
) -> Iterator[Found]:
    """Yield lays that add what lies on the fold to one without: there, or some of it opened out."""
    fabrics = [p.spec.fabric for p in patterns]
    for keys in _subsets([i.key for i in on_fold]):
        moved = opened_out(parts, keys, turns, patterns)
        out = items_of([p for p in moved if p.zone == "opened"], fabrics, cloth)
        out = tuple(replace(i, orientations=fitting_orientations(i, cloth.width_mm)) for i in out)
        stay = [i for i in on_fold if i.key not in keys]
        if any(not i.orientations for i in out):
            continue
        for positions, how in bases:
            for order in orders(stay) if stay else [()]:
                more = bottom_left(order, cloth.breadth_mm, slides, placed=positions)
                if more is not None:
                    yield _with_opened(_compacted(more, slides) or more, out, cloth, how)


def _compacted(positions: Positions | None, slides: Slides) -> Positions | None:
    return None if positions is None else compacted(positions, slides)


def _subsets(keys: Sequence[str]) -> Iterator[frozenset[str]]:
    """Yield which items leave the fold: none, all, and each one or pair of them."""
    found = [(), tuple(keys), *combinations(keys, 1), *combinations(keys, 2)]
    yield from dict.fromkeys(frozenset(f) for f in found)


def _with_opened(main: Positions, opened: Sequence[Item], cloth: Cloth, how: str) -> Found:
    """Return the main lay with the rest laid on the opened fabric behind it."""
    end = reach_mm(main)
    if not opened:
        return Found(main=main, opened=(), opened_mm=None, length_mm=end, how=how)
    start = end + (cloth.gap_mm if main else 0.0)
    # Where nothing lies double, what is opened out is the whole lay.
    (positions,) = climbed(opened, cloth.width_mm, tries=_LEAST_TRIES if main else _FEW_TRIES)
    if not main:
        drawn = Squeeze(cloth.width_mm).squeezed(positions)
        positions = compacted(drawn, Slides()) or positions
    behind = spread(positions, start)
    return Found(main=main, opened=behind, opened_mm=start, length_mm=reach_mm(behind), how=how)


def face_up(main: Positions) -> Positions:
    """Return a folded lay end for end, if more pieces then lie face up: less paper to turn over.

    Seen in a mirror along the fabric, a piece face down is one face up, turned by a half.
    """
    down = sum(s.orientation.face == "down" for s in main)
    if 2 * down <= len([s for s in main if len(s.item.part.faces) > 1]):
        return main
    end, mirrored = reach_mm(main), []
    for s in main:
        turn = {0: 180, 180: 0}.get(s.orientation.turn_deg, s.orientation.turn_deg)
        faces = {"up": "down", "down": "up"} if len(s.item.part.faces) > 1 else {"up": "up"}
        wanted = faces.get(s.orientation.face), turn
        orientation = next((f for f in s.item.orientations if (f.face, f.turn_deg) == wanted), None)
        if orientation is None:
            return main
        mirrored.append(replace(s, orientation=orientation, x_mm=end - s.end_mm))
    again = compacted(mirrored, Slides())
    return main if again is None or reach_mm(again) > end + _WORTH_MM else again


def _face_up(found: Found, cloth: Cloth) -> Found:
    """Return a folded lay with more pieces face up, if nothing lies behind it."""
    if not cloth.folded or found.opened:
        return found
    return replace(found, main=face_up(found.main))


def _tidied(found: Found, cloth: Cloth) -> Found:
    """Return the lay on whole millimetres, pieces along selvedge and neighbours where they can."""
    slides = Slides()
    main = tidied(found.main, slides, cloth.breadth_mm)
    if main is None:
        return found
    if found.opened_mm is None:
        return replace(found, main=main, length_mm=reach_mm(main))
    # Behind the line where the fabric is opened out everything is measured from there.
    start = math.ceil(reach_mm(main) + cloth.gap_mm) if main else 0
    back = spread(found.opened, -found.opened_mm)
    opened = spread(tidied(back, slides, cloth.width_mm) or back, start)
    return replace(
        found, main=main, opened=opened, opened_mm=float(start), length_mm=reach_mm(opened)
    )


def _mended(found: Found, cloth: Cloth) -> Found:
    """Return the lay with the piece that reaches furthest put elsewhere, as long as that helps."""
    slides, main = Slides(), found.main
    for _ in range(len(main)):
        last = max(main, key=lambda s: s.end_mm)
        others = tuple(s for s in main if s is not last)
        position = put(last.item, last.item.orientations, others, cloth.breadth_mm, slides)
        if position is None:
            break
        again = compacted((*others, position), slides)
        if again is None or reach_mm(again) > reach_mm(main) - _WORTH_MM:
            break
        main = again
    return _shortened(found, main)


def _drawn(found: Found, squeeze: Squeeze) -> Found:
    """Return the lay drawn together."""
    main = squeeze.squeezed(found.main)
    return _shortened(found, compacted(main, Slides()) or found.main)


def _shortened(found: Found, main: Positions) -> Found:
    """Return the lay with another main part, if that is shorter, and the rest behind it."""
    shorter = reach_mm(found.main) - reach_mm(main)
    if shorter <= 0.0:
        return found
    return replace(
        found,
        main=main,
        opened=spread(found.opened, -shorter),
        opened_mm=None if found.opened_mm is None else found.opened_mm - shorter,
        length_mm=found.length_mm - shorter,
    )


def _lay(
    found: Found,
    items: Sequence[Item],
    patterns: Sequence[Pattern],
    cloth: Cloth,
) -> Lay:
    placed = in_order((*placed_positions(found.main), *placed_positions(found.opened)))
    return Lay(
        cloth=cloth,
        names=garment_names(patterns),
        placed=placed,
        length_mm=round(max(p.end_mm for p in placed), 2),
        bound_mm=bound_mm(items, cloth),
        area_mm2=area_mm2(items),
        opened_mm=None if found.opened_mm is None else round(found.opened_mm, 2),
        how=found.how,
        left_out=lining_pieces(patterns),
    )
