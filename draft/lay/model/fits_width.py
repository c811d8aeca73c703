"""Before anything is laid: does every piece fit across the fabric at all?"""

from __future__ import annotations

from collections.abc import Sequence

from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import Units, show_length
from outseam.draft.lay.model.cloth import Cloth
from outseam.draft.lay.model.orientations import Form, Item

#: A piece broader by less than this still fits; nobody cuts a selvedge off straighter.
_EVEN_MM = 1e-6


def fitting_forms(item: Item, breadth_mm: float) -> tuple[Form, ...]:
    """Return the forms of an item that the fabric is broad enough for."""
    return tuple(f for f in item.forms if f.breadth_mm <= breadth_mm + _EVEN_MM)


def too_broad(items: Sequence[Item], cloth: Cloth, units: Units) -> InputError | None:
    """Return the complaint about the piece that the fabric is most too narrow for, or None."""
    worst: tuple[float, Item] | None = None
    for item in items:
        breadth = cloth.width_mm if item.part.zone == "opened" else cloth.breadth_mm
        least = min(f.breadth_mm for f in item.forms)
        if least > breadth + _EVEN_MM and (worst is None or least - breadth > worst[0]):
            worst = least - breadth, item
    if worst is None:
        return None
    over, item = worst
    least = min(f.breadth_mm for f in item.forms)
    folds = 2.0 if cloth.folded and item.part.zone != "opened" else 1.0
    helps = []
    if folds == 2.0 and least <= cloth.width_mm:
        helps.append('a single layer (fabric.fold = "single")')
    helps.append(f"a fabric at least {show_length(folds * least + 0.05, units)} wide")
    upright = item.forms[0].length_mm
    if upright <= cloth.breadth_mm and len({f.turn_deg % 180 for f in item.forms}) == 1:
        helps.append(
            "turning the piece, if the fabric has no direction and stretches enough along "
            "(fabric.stretch_along)"
        )
    layer = "folded in half" if cloth.folded else "in a single layer"
    return InputError(
        "fabric.width",
        f"{show_length(cloth.width_mm, units)} {layer} is "
        f"{show_length(max(over, 0.05), units)} too narrow for the {item.part.piece.title.lower()}"
        f", which is {show_length(least, units)} across",
        hint="what would help: " + ", or ".join(helps),
    )
