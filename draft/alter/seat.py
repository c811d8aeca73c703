"""A fuller or flatter seat than measured: length at the centre back, depth in the back fork.

On one side the other leg's centre back rises by as much, without a longer fork: both are sewn to
each other there, so both get the length, and only the fuller side gets the depth.

Centre back up 0.6-1.3 cm to nothing at the side, back fork longer by 0.5-1.5 cm; the reverse for
a flat seat (from memory of Liechty, Pottberg and Rasband, Fitting and Pattern Alteration).
"""

from __future__ import annotations

from outseam.draft.alter.alteration import pair
from outseam.draft.block.change import Change

#: This share of the length goes into the fork, so that the top of the centre takes about as much.
FORK_SHARE = 0.54

ALTERATIONS = pair(
    "[full seat|flat seat]",
    "[more|less] length over the seat: centre back [higher|lower], back fork [longer|shorter]",
    "how much [longer|shorter] the back crotch seam gets",
    "the outseam, the back leg from the knee down, and the whole front",
    Change(back_seam=1.0, back_fork=FORK_SHARE),
    start_mm=10.0,
    most_mm=25.0,
    legs="either",
    other=Change(back_seam=1.0),
)
