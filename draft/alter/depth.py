"""A deeper or shallower crotch: spread or overlap level between hip and crotch.

0.5-2.5 cm (from memory of Liechty, Pottberg and Rasband, Fitting and Pattern Alteration). The
leg hangs lower or higher by the amount, and the hem is moved so that it stays where it was.
"""

from __future__ import annotations

from outseam.draft.alter.alteration import pair
from outseam.draft.block.change import Change

ALTERATIONS = pair(
    "[deeper crotch|shallower crotch]",
    "front and back [spread|overlapped] level between hip and crotch; the hem "
    "[taken up|let down] as much",
    "how much [longer|shorter] each crotch seam gets, and the outseam nearly as much",
    "the crotch points, and the hem above the floor",
    Change(depth=1.0),
    start_mm=10.0,
    most_mm=25.0,
)
