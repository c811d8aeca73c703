"""A fuller or slimmer thigh: both inseams moved out or in at the fork, to nothing at the knee.

0.5-1.5 cm a panel (from memory of Liechty, Pottberg and Rasband, Fitting and Pattern Alteration).
The crotch seam grows or shrinks with the forks; the top edge stays. On one leg alone the crotch
seam keeps its length, for it is sewn to the other leg's: the top of its centre gives way.
"""

from __future__ import annotations

from outseam.draft.alter.alteration import pair
from outseam.draft.block.change import Change

ALTERATIONS = pair(
    "[full thigh|slim thigh]",
    "both inseams moved [out|in] at the crotch point, to nothing at the knee",
    "how far each inseam moves [out|in]; the thigh gets [wider|narrower] by about twice that",
    "the top edge, the outseam, and the leg from the knee down",
    Change(front_inseam=1.0, back_inseam=1.0),
    start_mm=10.0,
    most_mm=15.0,
    legs="either",
    alone=Change(front_alone=1.0, back_alone=1.0),
)
