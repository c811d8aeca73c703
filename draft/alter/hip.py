"""One hip higher than the other: the outseam of that side longer at the waist.

Side up to nothing at the centre, so that the waist edge lies level on the body (from memory of
Liechty, Pottberg and Rasband, Fitting and Pattern Alteration). Left and right pieces then differ.
"""

from __future__ import annotations

from outseam.draft.alter.alteration import pair
from outseam.draft.block.change import Change

ALTERATIONS = pair(
    "[hip higher|hip lower]",
    "top of the outseam [higher|lower] on the side of the [higher|lower] hip",
    "how far the top of the outseam moves [up|down]",
    "the centre seam, everything from the hip line down, and the other leg",
    Change(side=1.0),
    start_mm=10.0,
    most_mm=30.0,
    legs="one",
)
