"""One piece of a lay moved by hand: put where it may lie, then judged like any other lay."""

from __future__ import annotations

import math
from dataclasses import replace

from outseam.draft.inputs.errors import OutseamError
from outseam.draft.lay.model.result import Lay, Placed, in_order
from outseam.draft.lay.ways.hold import Hold, holds
from outseam.draft.lay.ways.rules import Rules
from outseam.draft.piece.piece import Finding

#: What a lay says of how it was found.
BY_HAND = "by hand"


class NotThereError(OutseamError):
    """A piece that may not lie where it was put; the lay is as it was."""


def held(x_mm: float, y_mm: float, p: Placed, hold: Hold, lay: Lay) -> tuple[float, float]:
    """Return the place nearest to the one wanted that print, fold and fabric allow a piece."""
    low, high = lay.room_mm(p.part)
    start = lay.opened_mm or 0.0 if p.part.zone == "opened" else 0.0
    tape = lay.tape_mm
    x = _stepped(x_mm, p.x_mm, hold.along_mm, start, math.inf, tape)
    if hold.level_mm is not None:
        return x, p.y_mm
    return x, _stepped(y_mm, p.y_mm, hold.across_mm, low, high - p.breadth_mm, tape)


def _stepped(
    wanted: float, now: float, step: float | None, low: float, high: float, tape: float | None
) -> float:
    """Return what is nearest to the wanted, whole steps from now, within the limits.

    What may move by any amount comes to lie on a line of the tape, if there is one within them.
    """
    if step is None:
        at = min(max(wanted, low), max(low, high))
        line = at if tape is None else round(at / tape) * tape
        return line if low <= line <= high else round(at, 2)
    least, most = math.ceil((low - now) / step - 1e-6), (high - now) / step + 1e-6
    steps = max(least, round((wanted - now) / step))
    return now + step * (min(steps, math.floor(most)) if math.isfinite(most) else steps)


def moved(lay: Lay, rules: Rules, key: str, x_mm: float, y_mm: float) -> Lay:
    """Return the lay with one piece as near as may be to a place, checked.

    Its leftmost point comes to `x_mm` from the cut end, its lowest to `y_mm` from the selvedge.
    Where folded fabric is opened out behind the rest, what lies there keeps behind it. Raises
    NotThereError, with a sentence, where that breaks a rule that held before, and KeyError for no
    such piece.
    """
    by_key = {p.key: p for p in lay.placed}
    piece = by_key[key]
    x, y = held(x_mm, y_mm, piece, holds(lay, rules.patterns)[key], lay)
    by_key[key] = _shifted(piece, x - piece.x_mm, y - piece.y_mm)
    opened = lay.opened_mm
    if opened and piece.part.zone != "opened":
        ends = [p.end_mm for p in by_key.values() if p.part.zone != "opened"]
        by = max(ends) + lay.cloth.gap_mm - opened
        opened = round(opened + by, 2)
        by_key.update(
            {k: _shifted(p, by, 0.0) for k, p in by_key.items() if p.part.zone == "opened"}
        )
    length = round(max(p.end_mm for p in by_key.values()), 2)
    found = replace(
        lay,
        placed=in_order(by_key.values()),
        length_mm=length,
        bound_mm=min(lay.bound_mm, length),
        opened_mm=opened,
        how=BY_HAND,
    )
    found = replace(found, findings=rules.check(found))
    before = {(f.check, f.where) for f in lay.findings if f.level == "warning"}
    for f in found.findings:
        worse = f.level == "warning" and (f.check, f.where) not in before
        if f.level == "error" or (worse and f.check != "length in hand"):
            raise NotThereError(_refused(f, piece, by_key))
    return found


def _shifted(p: Placed, dx_mm: float, dy_mm: float) -> Placed:
    return replace(p, lie=p.lie.moved(dx_mm, dy_mm), x_mm=p.x_mm + dx_mm, y_mm=p.y_mm + dy_mm)


def _refused(f: Finding, piece: Placed, by_key: dict[str, Placed]) -> str:
    """Return why a piece may not lie there."""
    others = [by_key[k].name for k in f.about if k in by_key and k != piece.key]
    if f.check == "pieces apart" and others:
        return f"The {piece.name} would lie on the {others[0]}."
    if f.check == "gap kept" and others:
        return f"The {piece.name} would lie too near to the {others[0]}: the gap is not kept."
    if f.check == "on the fabric":
        return f"The {piece.name} would not lie wholly on its part of the fabric."
    return f"The {piece.name} may not lie there ({f.check})."
