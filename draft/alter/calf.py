"""A fuller or slimmer calf: all four edges moved alike, to nothing at the knee and at the hem.

Common practice, no source.
"""

from __future__ import annotations

from outseam.draft.alter.alteration import pair
from outseam.draft.block.change import Change

ALTERATIONS = pair(
    "[full calf|slim calf]",
    "leg [wider|narrower] at the calf, to nothing at the knee and at the hem",
    "how much [wider|narrower] the leg gets there, all round",
    "the knee, the hem, and everything above the knee",
    Change(calf=1.0),
    start_mm=20.0,
    most_mm=60.0,
    legs="either",
)
