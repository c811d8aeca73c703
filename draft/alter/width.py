"""More or less width across the seat: the back's outseam moved out or in at the hip line.

To nothing at the waist tape and at the knee, or where a close leg first meets its thigh (from
memory of Liechty, Pottberg and Rasband, Fitting and Pattern Alteration: 0.5-2.5 cm a side).
"""

from __future__ import annotations

from outseam.draft.alter.alteration import pair
from outseam.draft.block.change import Change

ALTERATIONS = pair(
    "[wide seat|narrow seat]",
    "the back's outseam moved [out|in] at the hip line, to nothing at the waist and the knee; "
    "pants that end below the waist keep some of it at the top",
    "how much [wider|narrower] each back gets at the hip line; the pants get [wider|narrower] "
    "by twice that",
    "the crotch seam, the leg from the knee down and the whole front; the top of the back's "
    "outseam sinks or rises a little with the way round",
    Change(seat_width=1.0),
    start_mm=10.0,
    most_mm=25.0,
    legs="either",
)
