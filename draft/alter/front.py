"""A fuller or flatter front than measured: length at the centre front, depth in the front fork.

On one side the other leg's centre front rises by as much, as behind (`seat`).

Centre front up, front fork longer by 0.5-1 cm; the reverse for a flat front (from memory of
Liechty, Pottberg and Rasband, Fitting and Pattern Alteration).
"""

from __future__ import annotations

from outseam.draft.alter.alteration import pair
from outseam.draft.block.change import Change

#: This share of the length goes into the fork.
FORK_SHARE = 0.5

ALTERATIONS = pair(
    "[full front|flat front]",
    "[more|less] length over the belly: centre front [higher|lower], front fork [longer|shorter]",
    "how much [longer|shorter] the front crotch seam gets",
    "the outseam, the front leg from the knee down, and the whole back",
    Change(front_seam=1.0, front_fork=FORK_SHARE),
    start_mm=10.0,
    most_mm=20.0,
    legs="either",
    other=Change(front_seam=1.0),
)
