"""How a print holds the pieces that lie on it: at one level, or by whole repeats of its figures."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from outseam.draft.border.printed import Selvedge
from outseam.draft.lay.model.orientations import items_of
from outseam.draft.lay.model.result import Lay, Placed
from outseam.draft.lay.model.turning import at_border
from outseam.draft.lay.ways.border import fixed_place, match_of
from outseam.draft.lay.ways.border_report import stands_far
from outseam.draft.lay.ways.stripes import phase_of
from outseam.draft.model import Pattern

#: Positions are kept to a hundredth of a millimetre; a print is met to a tenth.
_EXACT_MM = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """What a piece may do without leaving its print, mm.

    `along_mm` and `across_mm` are the steps by which it may move (None: by any amount), `level_mm`
    the only height of its lowest point (None: any). `group` names the pieces that show the same
    figures, and `at` is its point that falls on them, as it lies; empty where none do.
    """

    along_mm: float | None = None
    across_mm: float | None = None
    level_mm: float | None = None
    group: str = ""
    at: tuple[float, float] = (0.0, 0.0)


def holds(lay: Lay, patterns: Sequence[Pattern]) -> dict[str, Hold]:
    """Return how every piece of a lay is held, by its key.

    A piece that is alone in showing its figures is held by nothing but the level of a border.
    """
    found = {p.key: _hold(p, lay, patterns) for p in lay.placed}
    sharing = Counter(h.group for h in found.values())
    return {
        key: h if sharing[h.group] > 1 or not h.group else Hold(level_mm=h.level_mm)
        for key, h in found.items()
    }


def _hold(p: Placed, lay: Lay, patterns: Sequence[Pattern]) -> Hold:
    cloth, pattern = lay.cloth, patterns[p.part.garment]
    if p.part.zone == "fold":
        return Hold(level_mm=lay.room_mm(p.part)[1] - p.breadth_mm)
    if cloth.border is not None:
        if not at_border(pattern, p.part.piece, cloth.border):
            return Hold()
        (item,) = items_of([p.part], [q.spec.fabric for q in patterns], cloth)
        side: Selvedge = "far" if stands_far(p, lay) else "near"
        match = match_of(p.part, item, pattern, cloth.border, side)
        level = fixed_place(p.part, item, pattern, cloth, side, match)[0].y_mm
        if match is None:
            return Hold(level_mm=level)
        at = (p.x_mm + match.at_mm, 0.0)
        # Where the repeats differ, each border is a print of its own.
        group = f"{match.group} {side}" if cloth.border.apart else match.group
        return Hold(along_mm=match.repeat_mm, level_mm=level, group=group, at=at)
    if not cloth.striped:
        return Hold()
    (item,) = items_of([p.part], [q.spec.fabric for q in patterns], cloth)
    phase = phase_of(item, patterns)
    if phase is None:
        return Hold()
    return Hold(
        along_mm=cloth.repeat_along_mm,
        across_mm=cloth.repeat_across_mm,
        group=phase.group,
        at=(p.x_mm + phase.along_mm, p.y_mm + phase.across_mm),
    )


def off_print(lay: Lay, patterns: Sequence[Pattern]) -> str:
    """Return the name of a piece that does not lie on its print as it should, empty if all do."""
    first: dict[str, tuple[float, float]] = {}
    found = holds(lay, patterns)
    for p in lay.placed:
        hold = found[p.key]
        if hold.level_mm is not None and abs(p.y_mm - hold.level_mm) > _EXACT_MM:
            return p.name
        rule = first.setdefault(hold.group, hold.at) if hold.group else hold.at
        for at, other, step in zip(hold.at, rule, (hold.along_mm, hold.across_mm), strict=True):
            if step is not None and abs((at - other + step / 2.0) % step - step / 2.0) > _EXACT_MM:
                return p.name
    return ""
