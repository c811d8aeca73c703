"""What a lay would refuse for the fabric, found without laying: told before paper is printed."""

from __future__ import annotations

from outseam.draft.inputs.errors import InputError
from outseam.draft.lay.model.cloth import Cloth, cloth_of
from outseam.draft.lay.model.fits_width import too_broad
from outseam.draft.lay.model.orientations import items_of
from outseam.draft.lay.model.parts import parts_of
from outseam.draft.lay.model.turning import turn_rule
from outseam.draft.model import Pattern


def require_single(cloth: Cloth) -> None:
    """Raise InputError for stripes on folded fabric: two layers never match by themselves."""
    if cloth.folded or cloth.narrow:
        raise InputError(
            "fabric.fold",
            f'"{"narrow" if cloth.narrow else "folded"}" for stripes or checks to be matched',
            '"single": the lower layer cannot be seen while it is cut',
            "leave fold out, or leave the repeats out",
        )


def refused(pattern: Pattern) -> InputError | None:
    """Return why the pieces cannot be laid on the fabric of their spec; None if nothing is known.

    What has no room beside a border is refused by the draft itself.
    """
    fabric, units = pattern.spec.fabric, pattern.spec.units
    try:
        cloth = cloth_of(fabric, units)
        if cloth.striped:
            require_single(cloth)
        turns = turn_rule(cloth)
        complaint = too_broad(items_of(parts_of([pattern], cloth, turns), [fabric], cloth), cloth)
    except InputError as error:
        complaint = error
    return None if complaint is None else complaint.in_units(units)
