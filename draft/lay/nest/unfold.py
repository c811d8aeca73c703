"""Lays in one layer that are their own mirror image: laid as on folded fabric, then opened out.

Half as many pieces have to be placed, so a few tries find a better lay than for all of them; no
lay on folded fabric can then be shorter than the one in a single layer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from outseam.draft.lay.model.cloth import Cloth
from outseam.draft.lay.model.orientations import Form, Item, items_of
from outseam.draft.lay.model.parts import TurnRule, parts_of
from outseam.draft.lay.model.placement import Face, Turn
from outseam.draft.lay.model.positions import Spot, Spots
from outseam.draft.lay.nest.bottom_left import climbed
from outseam.draft.model import Pattern

#: Turns seen in a mirror along the fabric.
_MIRRORED: dict[Turn, Turn] = {0: 0, 90: 270, 180: 180, 270: 90}
_OTHER: dict[Face, Face] = {"up": "down", "down": "up"}


def mirrored_lay(
    items: Sequence[Item], patterns: Sequence[Pattern], cloth: Cloth, turns: TurnRule, tries: int
) -> Spots | None:
    """Return a lay in a single layer whose halves are mirror images, the gap between them kept.

    None where a piece is cut once and is not its own mirror image, or is too broad for it.
    """
    folded = replace(cloth, folded=True)
    fabrics = [p.spec.fabric for p in patterns]
    halves = items_of(parts_of(patterns, folded, turns), fabrics, folded)
    if any(h.part.zone == "opened" for h in halves):
        return None
    half_mm = (cloth.width_mm - cloth.gap_mm) / 2.0
    laid = climbed(halves, half_mm, tries=tries, seconds=float("inf"))
    return None if laid is None else unfolded(laid, items, cloth.width_mm)


def unfolded(laid: Spots, items: Sequence[Item], width_mm: float) -> Spots | None:
    """Return what lies on folded fabric as it lies when opened out, the fold in the middle.

    `items` are the copies for a single layer; None if one of them may not lie so.
    """
    left = list(items)
    found: list[Spot] = []

    def put(spot: Spot, face: Face, turn: Turn, y_mm: float | None) -> bool:
        for item in left:
            a, b = item.part, spot.item.part
            if (a.garment, a.piece.name) != (b.garment, b.piece.name):
                continue
            form = _form(item, face, turn)
            if form is not None:
                y = (width_mm - form.breadth_mm) / 2.0 if y_mm is None else y_mm
                found.append(Spot(item=item, form=form, x_mm=spot.x_mm, y_mm=y))
                left.remove(item)
                return True
        return False

    for spot in laid:
        face, turn = spot.form.face, spot.form.turn_deg
        if spot.item.at_fold:
            done = put(spot, face, turn, None)
        else:
            other = _OTHER[face] if spot.item.part.piece.mirrored else face
            far = width_mm - spot.top_mm
            done = put(spot, face, turn, spot.y_mm) and put(spot, other, _MIRRORED[turn], far)
        if not done:
            return None
    return tuple(found) if not left else None


def _form(item: Item, face: Face, turn: Turn) -> Form | None:
    return next((f for f in item.forms if (f.face, f.turn_deg) == (face, turn)), None)
