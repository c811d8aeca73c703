"""How much the pattern hangs on a measurement that was estimated."""

from __future__ import annotations

from dataclasses import dataclass, replace

from draft.alter import change_of, for_side
from draft.block.block import build_block
from draft.body import Estimate, with_measure
from draft.errors import OutseamError
from draft.landmarks import largest_move
from draft.pattern import Pattern


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """One estimate and what one standard deviation more of it would move, mm.

    `where` is the landmark that moves most, empty where the draft does not depend on it at all.
    """

    estimate: Estimate
    where: str
    moves_mm: float


def estimate_effects(pattern: Pattern) -> tuple[Effect, ...]:
    """Redraft once per estimate, with it one sd off, and return the effects, largest first."""
    found = []
    spec, m = pattern.spec, pattern.measures
    # Where the legs differ, the pattern's block is the left one.
    change = change_of(for_side(spec.alter, "left"))
    m = replace(m, knee_height=m.knee_height + change.above_knee)  # as measured
    for e in m.estimates:
        where, moves = "", 0.0
        for sign in (1.0, -1.0):
            try:
                shifted = with_measure(m, e.name, sign * e.sd_mm)
                other = build_block(shifted, spec.fabric, spec.style, change)
            except OutseamError:
                continue
            where, moves = largest_move(pattern.block, other)
            break
        found.append(Effect(estimate=e, where=where if moves >= 0.1 else "", moves_mm=moves))
    return tuple(sorted(found, key=lambda x: (-x.moves_mm, x.estimate.name)))
