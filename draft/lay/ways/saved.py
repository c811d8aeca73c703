"""A lay as plain data, to be kept beside the spec, and back: the same lay is drawn next time.

The pieces are recognised by their sizes, not by a hash: the same draft on another machine differs
in the last digits, and a person may read what the file says.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any, Final, TypeGuard

from outseam.draft.border.levels import above_hem_mm
from outseam.draft.inputs.show import TAPE_STEPS_MM
from outseam.draft.lay.model.bounds import area_mm2, bound_mm, narrow_bound_mm
from outseam.draft.lay.model.cloth import Cloth
from outseam.draft.lay.model.orientations import Item, items_of
from outseam.draft.lay.model.parts import Part, TurnRule, eithers_of, narrow_parts, opened_out
from outseam.draft.lay.model.result import (
    Lay,
    Placed,
    garment_names,
    in_order,
    lining_pieces,
    placed_at,
)
from outseam.draft.lay.ways.border import PROVED, told_at_border
from outseam.draft.model import Pattern

#: Version of the file. One of another version is not read; the lay is searched anew.
VERSION: Final = 1
#: Sizes that differ by less are the same piece, mm and share of the area.
_SAME_MM: Final = 0.3
_SAME_AREA: Final = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Stale:
    """A kept lay that does not serve any more, and why, as the end of a sentence."""

    says: str


def kept_data(lay: Lay, items: Sequence[Item], patterns: Sequence[Pattern]) -> dict[str, Any]:
    """Return a lay as plain data for a file."""
    places = _border_data(lay.cloth, patterns)
    proved = {"proved_mm": round(lay.bound_mm, 2)} if lay.how == PROVED else {}
    return (
        {
            "outseam_lay": VERSION,
            "cloth": _cloth_data(lay.cloth),
            "garments": list(lay.names),
            "pieces": {i.key: _size(i) for i in items},
            "length_mm": lay.length_mm,
            "opened_mm": lay.opened_mm,
            "fold_mm": lay.fold_mm,
            "tape_mm": lay.tape_mm,
            "how": lay.how,
            "placed": [
                {
                    "piece": p.key,
                    "zone": p.part.zone,
                    "face": p.lie.face,
                    "turn_deg": p.lie.turn_deg,
                    "x_mm": p.x_mm,
                    "y_mm": p.y_mm,
                }
                for p in lay.placed
            ],
        }
        | ({} if places is None else {"border": places})
        | proved
    )


def _border_data(cloth: Cloth, patterns: Sequence[Pattern]) -> dict[str, Any] | None:
    """Return what the places of pieces at a border follow from; None without a border."""
    if cloth.border is None:
        return None
    return {
        "printed": {k: _rounded(v) for k, v in asdict(cloth.border).items()},
        "garments": [
            {
                "above_hem_mm": round(above_hem_mm(p.spec, p.pieces), 2),
                "band_from": p.spec.style.band_from,
                "figure_at": p.spec.style.figure_at,
            }
            for p in patterns
        ],
    }


def _rounded(value: object) -> object:
    if isinstance(value, dict):
        return {k: _rounded(v) for k, v in value.items()}
    return round(value, 2) if isinstance(value, float) else value


def _cloth_data(cloth: Cloth) -> dict[str, Any]:
    found: dict[str, Any] = {
        "width_mm": round(cloth.width_mm, 2),
        "folded": cloth.folded,
        "narrow": cloth.narrow,
        "one_way": cloth.one_way,
        "gap_mm": round(cloth.gap_mm, 2),
    }
    if cloth.striped:
        found["repeats_mm"] = [cloth.repeat_along_mm, cloth.repeat_across_mm]
    return found


def _size(item: Item) -> dict[str, float]:
    """Return what a piece is recognised by: length and breadth as first laid, area in cm2."""
    orientation = item.orientations[0]
    return {
        "length_mm": round(orientation.length_mm, 1),
        "breadth_mm": round(orientation.breadth_mm, 1),
        "area_cm2": round(item.area_mm2 / 100.0, 1),
    }


def _same(a: Mapping[str, Any], b: Mapping[str, float]) -> bool:
    return all(
        isinstance(a.get(k), int | float)
        and abs(a[k] - v) <= (_SAME_AREA * v if k == "area_cm2" else _SAME_MM)
        for k, v in b.items()
    )


def _place(value: object) -> TypeGuard[float]:
    """Return whether a value from the file can be a position: a number on any fabric there is."""
    return isinstance(value, int | float) and abs(value) < 1e6  # false for NaN


def _tape(value: object) -> float | None:
    """Return the step of the tape by which a lay was told, None for none or one unknown."""
    known = {step for steps in TAPE_STEPS_MM.values() for step in steps}
    return value if isinstance(value, float) and value in known else None


def restored(
    data: object,
    patterns: Sequence[Pattern],
    cloth: Cloth,
    parts: Sequence[Part],
    turns: TurnRule,
) -> Lay | Stale:
    """Return the lay that was kept, or why it cannot be used. It is not yet checked.

    Anything may stand in a file that a person can edit, so everything is looked at.
    """
    if not isinstance(data, Mapping) or data.get("outseam_lay") != VERSION:
        return Stale(says="it is not a lay of this version")
    fabrics = [p.spec.fabric for p in patterns]
    now = {i.key: i for i in items_of(parts, fabrics, cloth)}
    stale = _outdated(data, patterns, cloth, now)
    if stale is not None:
        return stale
    rows = data.get("placed")
    if not isinstance(rows, list) or not all(isinstance(r, Mapping) for r in rows):
        return Stale(says="it has no positions")
    items = items_of(_laid_as(rows, patterns, cloth, parts, turns), fabrics, cloth)
    placed = _placed(rows, items)
    if isinstance(placed, Stale):
        return placed
    opened, fold = data.get("opened_mm"), data.get("fold_mm")
    if cloth.narrow and not _place(fold):
        return Stale(says="it does not say how deep the fold is")
    if cloth.border is not None:
        placed = list(told_at_border(placed, patterns, cloth.border))
    length = round(max(p.end_mm for p in placed), 2)
    bound = bound_mm(items, cloth)
    if cloth.narrow:
        bound = narrow_bound_mm(tuple(now.values()), cloth)
    how = str(data.get("how", ""))
    if how == PROVED and data.get("length_mm") != length:
        how = "border"
    if how == PROVED:
        proved = data.get("proved_mm", length)
        bound = min(length, proved) if _place(proved) else length
    return Lay(
        cloth=cloth,
        names=garment_names(patterns),
        placed=in_order(placed),
        length_mm=length,
        bound_mm=bound,
        area_mm2=area_mm2(items),
        opened_mm=float(opened) if _place(opened) else None,
        fold_mm=float(fold) if cloth.narrow and _place(fold) else None,
        tape_mm=_tape(data.get("tape_mm")),
        how=how,
        left_out=lining_pieces(patterns),
    )


def _outdated(
    data: Mapping[str, Any], patterns: Sequence[Pattern], cloth: Cloth, now: Mapping[str, Item]
) -> Stale | None:
    """Return what has changed since: the fabric, the border, or a piece; None if nothing has."""
    if data.get("cloth") != _cloth_data(cloth):
        return Stale(says="the fabric or the way it lies has changed")
    if data.get("border") != _border_data(cloth, patterns):
        return Stale(says="the border, or where the pieces lie on it, has changed")
    kept = data.get("pieces")
    if not isinstance(kept, Mapping) or set(kept) != set(now):
        return Stale(says="other pieces are needed now")
    for key, item in now.items():
        if not isinstance(kept[key], Mapping) or not _same(kept[key], _size(item)):
            return Stale(says=f"the {item.part.piece.title.lower()} has changed")
    return None


def _placed(rows: Sequence[Mapping[str, Any]], items: Sequence[Item]) -> list[Placed] | Stale:
    """Return every piece where its row has it."""
    by_key = {i.key: i for i in items}
    placed = []
    for row in rows:
        found = by_key.pop(str(row.get("piece")), None)
        x, y = row.get("x_mm"), row.get("y_mm")
        if found is None or not _place(x) or not _place(y):
            return Stale(says="its positions are not complete")
        face, turn = row.get("face"), row.get("turn_deg")
        orientation = next(
            (f for f in found.orientations if (f.face, f.turn_deg) == (face, turn)), None
        )
        if orientation is None:
            return Stale(says="a piece may not lie as it did")
        placed.append(placed_at(found.part, orientation, x, y))
    return Stale(says="its positions are not complete") if by_key else placed


def _laid_as(
    rows: Sequence[Mapping[str, Any]],
    patterns: Sequence[Pattern],
    cloth: Cloth,
    parts: Sequence[Part],
    turns: TurnRule,
) -> tuple[Part, ...]:
    """Return the parts as the rows lay them: opened out, or double on a narrow fold."""
    if cloth.narrow:
        double = frozenset(str(r.get("piece")) for r in rows if r.get("zone") in ("main", "fold"))
        return narrow_parts(eithers_of(patterns, turns), double)
    out = frozenset(str(r.get("piece")) for r in rows if r.get("zone") == "opened")
    return opened_out(parts, out, turns, patterns)
