"""Alterations: what a trial shows turned into a change of the block, kept in the spec."""

from __future__ import annotations

from draft.alter.alteration import Alteration
from draft.alter.asked import Asked, change_of, read_asked, total_mm
from draft.alter.registry import ALTERATION_NAMES, ALTERATIONS, alteration_named

__all__ = [
    "ALTERATIONS",
    "ALTERATION_NAMES",
    "Alteration",
    "Asked",
    "alteration_named",
    "change_of",
    "read_asked",
    "total_mm",
]
