"""Knock knees and bow legs: the leg moved sideways below the crotch, both edges alike.

0.5-2 cm (from memory of Liechty, Pottberg and Rasband, Fitting and Pattern Alteration). From the
hip line to the knee the edges run over smoothly; the crease line goes with the leg.
"""

from __future__ import annotations

from outseam.draft.alter.alteration import pair
from outseam.draft.block.change import Change

ALTERATIONS = pair(
    "[knock knees|bow legs]",
    "legs moved toward the [inseam|outseam] below the crotch",
    "how far the leg moves at the knee and below",
    "the hip line, the front crotch point, and all widths of the leg",
    Change(shift=1.0),
    start_mm=10.0,
    most_mm=20.0,
    legs="either",
)
