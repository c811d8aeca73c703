"""A crotch curve scooped out or filled in between its two ends.

Common practice, no source: a few millimetres at a time. Scooping makes the crotch seam a little
longer, filling a little shorter; the top edge and the crotch point stay.
"""

from __future__ import annotations

from outseam.draft.alter.alteration import Alteration, pair
from outseam.draft.block.change import Change


def _pair(side: str, change: Change) -> tuple[Alteration, Alteration]:
    other = "front" if side == "back" else "back"
    where = "under the seat" if side == "back" else "below the belly"
    return pair(
        f"[scooped {side} curve|filled {side} curve]",
        f"the {side} crotch curve [cut out deeper, where it is tight|filled in, where there is "
        f"slack] {where}",
        "how far the middle of the curve moves [toward|out of] its corner",
        f"both ends of the {side} crotch seam, its other edges, and the whole {other}",
        change,
        start_mm=5.0,
        most_mm=12.0,
    )


ALTERATIONS = (*_pair("back", Change(back_curve=1.0)), *_pair("front", Change(front_curve=1.0)))
