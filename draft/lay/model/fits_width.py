"""Before anything is laid: does every piece fit across the fabric at all?"""

from __future__ import annotations

from collections.abc import Sequence

from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.words import Sentence, joined, measure, words
from outseam.draft.lay.model.cloth import Cloth
from outseam.draft.lay.model.orientations import Item, Orientation

#: A piece broader by less than this still fits; nobody cuts a selvedge off straighter.
_EVEN_MM = 1e-6


def fitting_orientations(item: Item, breadth_mm: float) -> tuple[Orientation, ...]:
    """Return the orientations of an item that the fabric is broad enough for."""
    return tuple(f for f in item.orientations if f.breadth_mm <= breadth_mm + _EVEN_MM)


def too_broad(items: Sequence[Item], cloth: Cloth) -> InputError | None:
    """Return the complaint about the piece that the fabric is most too narrow for, or None."""
    worst: tuple[float, Item] | None = None
    for item in items:
        breadth = cloth.width_mm if item.part.zone == "opened" else cloth.breadth_mm
        least = min(f.breadth_mm for f in item.orientations)
        if least > breadth + _EVEN_MM and (worst is None or least - breadth > worst[0]):
            worst = least - breadth, item
    if worst is None:
        return None
    over, item = worst
    least = min(f.breadth_mm for f in item.orientations)
    folds = 2.0 if cloth.folded and item.part.zone != "opened" else 1.0
    helps: list[Sentence] = []
    if folds == 2.0 and least <= cloth.width_mm:
        helps.append('a single layer (fabric.fold = "single")')
    helps.append(words("a fabric at least {least} wide", least=measure(folds * least + 0.05)))
    upright = item.orientations[0].length_mm
    if upright <= cloth.breadth_mm and len({f.turn_deg % 180 for f in item.orientations}) == 1:
        helps.append(
            "turning the piece, if the fabric has no direction and stretches enough along "
            "(fabric.stretch_along)"
        )
    layer = "folded in half" if cloth.folded else "in a single layer"
    return InputError(
        "fabric.width",
        words(
            "{width} {layer} is {over} too narrow for the {piece}, which is {least} across",
            width=measure(cloth.width_mm),
            layer=layer,
            over=measure(max(over, 0.05)),
            piece=item.part.piece.title.lower(),
            least=measure(least),
        ),
        hint=words("what would help: {helps}", helps=joined(", or ", helps)),
    )
