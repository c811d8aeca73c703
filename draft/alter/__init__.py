"""Alterations: what a trial shows turned into a change of the block, kept in the spec."""

from __future__ import annotations

from outseam.draft.alter.alteration import Alteration
from outseam.draft.alter.entry import (
    SIDES,
    AlterationEntry,
    LegSide,
    alteration_words,
    change_of,
    for_side,
    is_sided,
    read_alterations,
    total_mm,
)
from outseam.draft.alter.registry import ALTERATION_NAMES, ALTERATIONS, alteration_named

__all__ = [
    "ALTERATIONS",
    "ALTERATION_NAMES",
    "SIDES",
    "Alteration",
    "AlterationEntry",
    "LegSide",
    "alteration_named",
    "alteration_words",
    "change_of",
    "for_side",
    "is_sided",
    "read_alterations",
    "total_mm",
]
