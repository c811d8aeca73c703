"""Leg shapes: one file each, and one line in the registry."""

from __future__ import annotations

from outseam.draft.legs import bootcut, close, flare, palazzo, slim, straight
from outseam.draft.legs.leg import LegContext, LegLine, LegShape, Station, leg_line, refuse_no_leg

LEGS: tuple[LegShape, ...] = (
    close.LEG,
    slim.LEG,
    straight.LEG,
    bootcut.LEG,
    flare.LEG,
    palazzo.LEG,
)

LEG_NAMES = tuple(leg.name for leg in LEGS)


def leg_named(name: str) -> LegShape:
    """Return the leg of that name; raises KeyError."""
    return next(leg for leg in LEGS if leg.name == name)


__all__ = [
    "LEGS",
    "LEG_NAMES",
    "LegContext",
    "LegLine",
    "LegShape",
    "Station",
    "leg_line",
    "leg_named",
    "refuse_no_leg",
]
