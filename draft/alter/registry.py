"""The alterations: one file for each family, and one line here."""

from __future__ import annotations

from draft.alter.alteration import Alteration
from draft.alter.band import ALTERATIONS as BAND
from draft.alter.calf import ALTERATIONS as CALF
from draft.alter.curve import ALTERATIONS as CURVE
from draft.alter.depth import ALTERATIONS as DEPTH
from draft.alter.front import ALTERATIONS as FRONT
from draft.alter.hip import ALTERATIONS as HIP
from draft.alter.legs import ALTERATIONS as LEGS
from draft.alter.length import ALTERATIONS as LENGTH
from draft.alter.seat import ALTERATIONS as SEAT
from draft.alter.thigh import ALTERATIONS as THIGH
from draft.alter.waist import ALTERATIONS as WAIST

ALTERATIONS: tuple[Alteration, ...] = (
    *SEAT,
    *FRONT,
    *DEPTH,
    *CURVE,
    *WAIST,
    *HIP,
    *THIGH,
    *CALF,
    *LEGS,
    *LENGTH,
    *BAND,
)

ALTERATION_NAMES = tuple(a.name for a in ALTERATIONS)


def alteration_named(name: str) -> Alteration:
    """Return the alteration of that name; raises KeyError."""
    for one in ALTERATIONS:
        if one.name == name:
            return one
    raise KeyError(name)
