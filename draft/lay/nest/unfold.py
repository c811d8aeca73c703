"""Lays in one layer that are their own mirror image: laid as on folded fabric, then opened out.

Half as many pieces have to be placed, so a few tries find a better lay than for all of them; no
lay on folded fabric can then be shorter than the one in a single layer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from outseam.draft.lay.model.cloth import Cloth
from outseam.draft.lay.model.fits_width import fitting_orientations
from outseam.draft.lay.model.orientations import Item, Orientation, items_of
from outseam.draft.lay.model.parts import TurnRule, parts_of
from outseam.draft.lay.model.placement import Face, Turn
from outseam.draft.lay.model.positions import Position, Positions
from outseam.draft.lay.nest.climb import climbed
from outseam.draft.model import Pattern

#: Turns seen in a mirror along the fabric.
_MIRRORED: dict[Turn, Turn] = {0: 0, 90: 270, 180: 180, 270: 90}
_OTHER: dict[Face, Face] = {"up": "down", "down": "up"}


def mirrored_lays(
    items: Sequence[Item],
    patterns: Sequence[Pattern],
    cloth: Cloth,
    turns: TurnRule,
    *,
    tries: int,
    most: int,
) -> list[Positions]:
    """Return lays in a single layer whose halves are mirror images, the gap between them kept.

    Up to `most`; none where a piece is cut once and is not its own mirror image, or is too
    broad for it.
    """
    folded = replace(cloth, folded=True)
    fabrics = [p.spec.fabric for p in patterns]
    halves = items_of(parts_of(patterns, folded, turns), fabrics, folded)
    if any(h.part.zone == "opened" for h in halves):
        return []
    half_mm = (cloth.width_mm - cloth.gap_mm) / 2.0
    if any(min(f.breadth_mm for f in h.orientations) > half_mm for h in halves):
        return []
    halves = tuple(replace(h, orientations=fitting_orientations(h, half_mm)) for h in halves)
    laid = climbed(halves, half_mm, tries=tries, most=most)
    whole = (unfolded(positions, items, cloth.width_mm) for positions in laid)
    return [positions for positions in whole if positions is not None]


def unfolded(laid: Positions, items: Sequence[Item], width_mm: float) -> Positions | None:
    """Return what lies on folded fabric as it lies when opened out, the fold in the middle.

    `items` are the copies for a single layer; None if one of them may not lie so.
    """
    left = list(items)
    found: list[Position] = []

    def put(position: Position, face: Face, turn: Turn, y_mm: float | None) -> bool:
        for item in left:
            a, b = item.part, position.item.part
            if (a.garment, a.piece.name) != (b.garment, b.piece.name):
                continue
            orientation = _orientation(item, face, turn)
            if orientation is not None:
                y = (width_mm - orientation.breadth_mm) / 2.0 if y_mm is None else y_mm
                found.append(
                    Position(item=item, orientation=orientation, x_mm=position.x_mm, y_mm=y)
                )
                left.remove(item)
                return True
        return False

    for position in laid:
        face, turn = position.orientation.face, position.orientation.turn_deg
        if position.item.at_fold:
            done = put(position, face, turn, None)
        else:
            other = _OTHER[face] if position.item.part.piece.mirrored else face
            far = width_mm - position.top_mm
            done = put(position, face, turn, position.y_mm) and put(
                position, other, _MIRRORED[turn], far
            )
        if not done:
            return None
    return tuple(found) if not left else None


def _orientation(item: Item, face: Face, turn: Turn) -> Orientation | None:
    return next((f for f in item.orientations if (f.face, f.turn_deg) == (face, turn)), None)
