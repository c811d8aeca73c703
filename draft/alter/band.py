"""What holds the waist, made tighter or looser: the elastic, or a band without one.

Common practice, no source: 2 cm at a time. The legs and the band that covers the elastic stay.
"""

from __future__ import annotations

from outseam.draft.alter.alteration import pair
from outseam.draft.block.change import Change

ALTERATIONS = pair(
    "[tighter band|looser band]",
    "the elastic cut [shorter|longer], or the band itself where there is none",
    "how much [shorter|longer] it gets, all round",
    "both legs",
    Change(band=-1.0),
    start_mm=20.0,
    most_mm=100.0,
)
