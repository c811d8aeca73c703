"""How straight the hem lies along a border, and what a straight hem changes of the leg's fall."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from outseam.curves.region import bounds
from outseam.draft.block.block import Block
from outseam.draft.block.panels import Panel
from outseam.draft.block.profile import reached_widths
from outseam.draft.border.levels import above_hem_mm
from outseam.draft.checks.verdict import at_most
from outseam.draft.inputs.words import measure, off, words
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Finding

#: A border further than this from level along a hem is seen (common practice, no source).
LEVEL_MM = 1.5
#: A hem that was drawn straight is straight to this.
STRAIGHT_MM = 0.1
#: The fall is compared up to so far above the hem, at heights so far apart: it changes slowly.
_UP_MM = 400.0
_STEP_MM = 10.0


def arc_mm(panel: Panel) -> float:
    """Return how far a panel's hem is from straight and level, mm."""
    _, low, _, high = bounds(panel.hem)
    return float(high - low)


def fall_mm(now: Block, square: tuple[Panel, Panel]) -> tuple[float, float]:
    """Return by how much a straight hem makes a leg wider (or narrower) where that is most.

    All round one leg, mm, and how far above the hem that is. `square`: front and back as they were
    with a hem square to their seams.
    """
    ups = np.arange(0.0, _UP_MM, _STEP_MM)
    blocks = now, replace(now, front=square[0], back=square[1])
    ys = (now.front.hem_y + ups).tolist()
    widths = (reached_widths(block, ys) for block in blocks)
    found = [
        (a - b, up)
        for a, b, up in zip(*widths, ups.tolist(), strict=True)
        if a is not None and b is not None
    ]
    return max(found, key=lambda one: abs(one[0]))


def _place(pattern: Pattern) -> Iterator[Finding]:
    """Where the border lies if the file leaves that to the program: on the hem, if it can."""
    style, fabric = pattern.spec.style, pattern.spec.fabric
    if not fabric.turned or style.border_above_hem is not None:
        return
    above = above_hem_mm(pattern.spec, pattern.pieces)
    yield at_most(
        "border on the hem",
        "hem",
        -above,
        0.0,
        "the border begins on the hem's fold",
        fails="note",
        advice=words(
            "The border begins {edge} from the selvedge, too near for the whole hem: {up} of it "
            "are turned up with the hem. A smaller hem_allowance would show more of it.",
            edge=measure(fabric.border_from_selvedge),
            up=measure(-above),
        ),
    )


def check_hem(pattern: Pattern) -> Iterator[Finding]:
    """Certify the hem against a level line where that was asked for or a border runs along it."""
    yield from _place(pattern)
    block, style = pattern.block, pattern.spec.style
    straight = style.hem_line == "straight"
    if not straight and not pattern.spec.fabric.turned:
        return
    for name in ("front", "back"):
        arc = arc_mm(getattr(block, name))
        yield at_most(
            "hem level",
            f"{name} leg",
            arc,
            STRAIGHT_MM if straight else LEVEL_MM,
            f"the hem of the {name} leg lies straight along the border",
            fails="error" if straight else "note",
            advice=words(
                "The hem of the {name} leg is an arc, square to its seams: in its middle the "
                'border lies {arc} off. style.hem_line = "straight" draws a hem that lies level.',
                name=name,
                arc=off(arc),
            ),
        )
    if block.square_hem is None:
        return
    by, up = fall_mm(block, block.square_hem)
    yield at_most(
        "fall above a straight hem",
        "leg",
        abs(by),
        LEVEL_MM,
        "the leg falls as it does with a hem square to leaning seams",
        fails="note",
        advice=words(
            "The hem is straight: above it the flare is drawn anew and falls straight down into "
            "it. Hem and seams are as long as before; {up} above the hem the leg is {by} {way} all "
            "round.",
            up=measure(up),
            by=measure(abs(by)),
            way="wider" if by > 0.0 else "narrower",
        ),
    )
