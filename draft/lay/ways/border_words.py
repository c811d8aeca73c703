"""The lay on a border as it is told and drawn elsewhere: which piece stands where."""

from __future__ import annotations

from outseam.draft.border.levels import is_leg
from outseam.draft.inputs.errors import InputError
from outseam.draft.lay.model.result import Lay
from outseam.draft.lay.ways.border_report import stands_far
from outseam.draft.lay.ways.plan import plan_lay
from outseam.draft.model import Pattern


def border_lay(pattern: Pattern) -> Lay | None:
    """Return the lay of a pattern on its border, the same every time; None where there is none."""
    try:
        return plan_lay([pattern], seconds=0.0)
    except InputError:
        return None


def stands_says(lay: Lay) -> tuple[str, ...]:
    """Return on which borders legs and waistband stand, in sentences."""
    border = lay.cloth.border
    if border is None or not border.both:
        return ()
    legs = {stands_far(p, lay) for p in lay.placed if is_leg(p.part.piece)}
    bands = {stands_far(p, lay) for p in lay.placed if p.border and not is_leg(p.part.piece)}
    found = []
    if legs == {False}:
        found.append(
            "All legs stand on the border of the near selvedge, the one your file measures first."
        )
    elif len(legs) == 2:
        found.append(
            "Legs stand on both borders, which are the same print; those on the far one lie the "
            "other way up."
        )
    if len(bands) == 2:
        found.append("The pieces of the waistband are cut from both borders.")
    elif bands == {True}:
        found.append("The waistband is cut from the border of the far selvedge.")
    elif bands == {False} and found:
        found.append("The waistband is cut from the border of the near selvedge.")
    return tuple(found)
