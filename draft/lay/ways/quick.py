"""A lay in the time of a draft, the same on every machine: for figures that are called "about".

Some hundred lays are tried on squared paper (`nest.climb`), first those with the legs in their best
orders, and the best of all is drawn together (`nest.squeeze`). What is found is a real lay, checked
like any other, so a figure from it may be generous and is never short.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from outseam.draft.fabric import Fabric
from outseam.draft.inputs.errors import InputError
from outseam.draft.lay.model.bounds import area_mm2
from outseam.draft.lay.model.cloth import Cloth, cloth_of
from outseam.draft.lay.model.fits_width import fitting_orientations, too_broad
from outseam.draft.lay.model.orientations import Item, items_of
from outseam.draft.lay.model.parts import opened_out, parts_of
from outseam.draft.lay.model.positions import Positions, Slides, reach_mm, spread
from outseam.draft.lay.model.result import Lay, garment_names, lining_pieces, placed_positions
from outseam.draft.lay.model.turning import turns_of
from outseam.draft.lay.nest.board import Board
from outseam.draft.lay.nest.climb import Climber
from outseam.draft.lay.nest.compaction import compacted
from outseam.draft.lay.nest.squeeze import Squeeze
from outseam.draft.model import Pattern

# The other ways to lay are imported where a fabric asks for them: every draft has a quick lay.

#: Lays that are tried, and steps in which the best is drawn together.
_TRIES, _FEW_TRIES, _STEPS = 160, 10, 3
#: A lay this near to the least possible length is not improved on.
_GOOD_RATIO = 1.05


def slow_because(fabric: Fabric) -> str:
    """Return what makes even a plain lay on a fabric take a second or more; empty if nothing."""
    return "" if fabric.fold in ("single", "folded") else "a narrow fold"


def quick_lay(pattern: Pattern) -> Lay:
    """Return a lay of one pattern on its fabric, found at once; positions not looked over.

    Deterministic. Where `slow_because` says so it takes a second. Raises InputError, naming
    the piece, where one does not fit across the fabric, and where a border, stripes or a narrow
    fold cannot be laid.
    """
    fabric = pattern.spec.fabric
    cloth = cloth_of(fabric, pattern.spec.units)
    if cloth.border is not None or slow_because(fabric):
        from outseam.draft.lay.ways.plan import plan_lay

        return plan_lay([pattern], seconds=0.0)
    if cloth.striped:
        from outseam.draft.lay.ways.stripes import search_stripes

        return search_stripes([pattern], cloth, quick=True)
    parts = parts_of([pattern], cloth, turns_of)
    on_fold = frozenset(p.key for p in parts if p.zone == "fold")
    moved = opened_out(parts, on_fold, turns_of, [pattern]) if on_fold else ()
    both = items_of([*parts, *moved], [fabric], cloth)
    items, others = both[: len(parts)], both[len(parts) :]
    complaint = too_broad(items, cloth)
    if complaint is not None:
        raise complaint
    area = area_mm2(items)
    least = max(area / cloth.width_mm, *(min(f.length_mm for f in i.orientations) for i in items))
    found = _InParts(items, cloth, _GOOD_RATIO * least)
    if others:
        found = min(found, _InParts(others, cloth, _GOOD_RATIO * least, found.board), key=_length)
    positions, start = found.drawn()
    placed = placed_positions(positions)
    return Lay(
        cloth=cloth,
        names=garment_names([pattern]),
        placed=placed,
        length_mm=round(max(p.end_mm for p in placed), 2),
        bound_mm=least,
        area_mm2=area,
        opened_mm=None if start is None else round(start, 2),
        how="quick",
        left_out=lining_pieces([pattern]),
    )


class _InParts:
    """A lay as it is first found: `main`, and `opened` behind it where folded fabric is opened."""

    def __init__(
        self, items: Sequence[Item], cloth: Cloth, good_mm: float, board: Board | None = None
    ) -> None:
        main = [_fitting(i, cloth.breadth_mm) for i in items if i.part.zone != "opened"]
        opened = [_fitting(i, cloth.width_mm) for i in items if i.part.zone == "opened"]
        self._cloth, self.board = cloth, board
        self._main: Positions = ()
        self._opened: Positions = ()
        if main:
            climber = Climber(main, cloth.breadth_mm, board=board)
            self._main, self.board = climber.climb(_TRIES, good_mm=good_mm), climber.board
        if opened:
            self._opened = _settled(Climber(opened, cloth.width_mm).climb(_FEW_TRIES))
        self.length_mm = (
            self._start_mm(self._main) + reach_mm(self._opened) if opened else reach_mm(self._main)
        )

    def _start_mm(self, main: Positions) -> float:
        return reach_mm(main) + (self._cloth.gap_mm if main else 0.0)

    def drawn(self) -> tuple[Positions, float | None]:
        """Return it drawn together, and where the fabric is opened out."""
        squeeze = Squeeze(self._cloth.breadth_mm, coarse=True)
        main = _settled(squeeze.squeezed(self._main, _STEPS))
        if not self._opened:
            return main, None
        start = self._start_mm(main)
        return (*main, *spread(self._opened, start)), start


def _length(found: _InParts) -> float:
    return found.length_mm


def _fitting(item: Item, breadth_mm: float) -> Item:
    return replace(item, orientations=fitting_orientations(item, breadth_mm))


def _settled(positions: Positions) -> Positions:
    return compacted(positions, Slides()) or positions


# --- how much fabric ------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class FabricLength:
    """How much fabric of a usable width a pattern takes, as cut, mm.

    `kept` says that the lay was searched for before and kept, else it is a quick one and the length
    is an "about". Without a lay `why` says in a few words why there is none; `narrow` that the
    width is what is wrong, `slow` that one could be had, but would take long.
    """

    width_mm: float
    lay: Lay | None = None
    kept: bool = False
    why: str = ""
    narrow: bool = False
    slow: bool = False

    @property
    def length_mm(self) -> float | None:
        """Length of the lay; None where there is none."""
        return None if self.lay is None else self.lay.length_mm


def kept_lay(pattern: Pattern, kept: object) -> Lay | None:
    """Return the lay that was kept, if it still serves this pattern and passes its checks.

    `kept` is what `Plan.keep` was, read back from a file; anything else is no lay.
    """
    if kept is None:
        return None
    from outseam.draft.lay.ways.rules import rules_of
    from outseam.draft.lay.ways.saved import Stale

    found = rules_of([pattern], cloth_of(pattern.spec.fabric, pattern.spec.units)).kept(kept)
    return None if isinstance(found, Stale) else found


def fabric_length(
    pattern: Pattern, kept: object = None, *, patient: bool = False, seconds: float = 0.0
) -> FabricLength:
    """Return the length on the file's own width: of the kept lay if it serves, else a quick one.

    Never fails: a lay that cannot be had, or would take long and the caller is not `patient`, is
    told in `why`. From one second on it is searched for as well, where the quick lay may be worth
    improving; then the length is not quite the same every time.
    """
    width = pattern.spec.fabric.width_mm(pattern.spec.units)
    try:
        lay = kept_lay(pattern, kept)
        if lay is not None:
            return FabricLength(width_mm=width, lay=lay, kept=True)
        slow = slow_because(pattern.spec.fabric)
        if slow and not patient:
            return FabricLength(width_mm=width, why=f"{slow} takes longer to lay", slow=True)
        lay = quick_lay(pattern)
        if not slow and seconds >= 1.0 and lay.length_mm > _GOOD_RATIO * lay.bound_mm:
            from outseam.draft.lay.ways.plan import plan_lay

            searched = plan_lay([pattern], seconds=seconds)
            if not searched.errors and searched.length_mm < lay.length_mm:
                lay = searched
        return FabricLength(width_mm=width, lay=lay)
    except InputError as error:
        e = error.in_units(pattern.spec.units)
        narrow = e.field == "fabric.width"
        return FabricLength(width_mm=width, why=e.got if narrow else str(e), narrow=narrow)


def length_on(pattern: Pattern, width_mm: float, *, seconds: float = 0.0) -> FabricLength:
    """Return the length on another usable width, found as `fabric_length` does. Never fails."""
    other = _on(pattern, replace(pattern.spec.fabric, width=width_mm))
    return fabric_length(other, patient=True, seconds=seconds)


def lining_length(pattern: Pattern, width_mm: float) -> FabricLength | None:
    """Return the length of lining of a usable width for the pieces cut from it; None without any.

    They are laid upright on plain cloth, cut as much larger as those of the fabric.
    """
    pieces = tuple(replace(p, lining=False) for p in pattern.pieces if p.lining)
    if not pieces:
        return None
    fabric = pattern.spec.fabric
    shrinks = max(0.0, fabric.shrink_across, fabric.shrink_along)
    cloth = Fabric(
        kind="woven",
        width=width_mm,
        gap=fabric.gap,
        shrink_across=shrinks,
        shrink_along=shrinks,
    )
    return fabric_length(_on(replace(pattern, pieces=pieces), cloth))


def _on(pattern: Pattern, fabric: Fabric) -> Pattern:
    return replace(pattern, spec=replace(pattern.spec, fabric=fabric))
