"""The waist edge tilted, or lowered at the centre back only.

Centre 0.5-2 cm to nothing at the side; sway back: centre back down 0.5-2 cm (from memory of
Liechty, Pottberg and Rasband, Fitting and Pattern Alteration).
"""

from __future__ import annotations

from outseam.draft.alter.alteration import Alteration, pair
from outseam.draft.block.change import Change

TILT = pair(
    "[waist tilted forward|waist tilted back]",
    "top edge [lower|higher] at the centre front and [higher|lower] at the centre back",
    "how far each centre moves, front [down|up] and back [up|down]",
    "the top of the outseam, and everything from the crotch curves down",
    Change(front_seam=-1.0, back_seam=1.0),
    start_mm=10.0,
    most_mm=20.0,
)

SWAY_BACK = Alteration(
    name="sway back",
    says="top edge lower at the centre back, where folds lie across the hollow",
    measures="how far the centre back moves down",
    stays="the top of the outseam, the back from the crotch curve down, and the whole front",
    change=Change(back_seam=-1.0),
    start_mm=10.0,
    most_mm=20.0,
)

ALTERATIONS = (*TILT, SWAY_BACK)
