"""The alterations: one file for each family, and one line here."""

from __future__ import annotations

from outseam.draft.alter.alteration import Alteration
from outseam.draft.alter.band import ALTERATIONS as BAND
from outseam.draft.alter.calf import ALTERATIONS as CALF
from outseam.draft.alter.curve import ALTERATIONS as CURVE
from outseam.draft.alter.depth import ALTERATIONS as DEPTH
from outseam.draft.alter.front import ALTERATIONS as FRONT
from outseam.draft.alter.hip import ALTERATIONS as HIP
from outseam.draft.alter.legs import ALTERATIONS as LEGS
from outseam.draft.alter.length import ALTERATIONS as LENGTH
from outseam.draft.alter.seat import ALTERATIONS as SEAT
from outseam.draft.alter.thigh import ALTERATIONS as THIGH
from outseam.draft.alter.waist import ALTERATIONS as WAIST
from outseam.draft.alter.width import ALTERATIONS as WIDTH

ALTERATIONS: tuple[Alteration, ...] = (
    *SEAT,
    *WIDTH,
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
