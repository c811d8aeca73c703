"""How much the pattern hangs on a measurement that was estimated."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any, Final

from outseam.draft.alter import change_of
from outseam.draft.block.block import Block, build_block
from outseam.draft.body.estimate import Estimate, complete
from outseam.draft.figures.landmarks import largest_move
from outseam.draft.inputs.errors import OutseamError
from outseam.draft.model import Pattern
from outseam.draft.pattern import build_band

#: Measuring one of these does more than settle a number: the halves of the crotch seam are then
#: met each on its own, and a named rise is taken from the string where it truly lies. So the two
#: directions differ and both are tried; for the others they are alike.
_BOTH_WAYS: Final = frozenset({"front_crotch_length", "back_crotch_length", "waist_above_navel"})

#: This one shapes the waistband and its elastic, not the legs.
_OF_THE_BAND: Final = "high_hip"

#: A move below this is lost in the width of a pencil line.
_SEEN_MM: Final = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """One estimate and how far the pattern would move, mm, if it were measured one sd off.

    `where` is the landmark that moves most, empty where nothing moves that could be seen.
    """

    estimate: Estimate
    where: str
    moves_mm: float


def estimate_effects(pattern: Pattern) -> tuple[Effect, ...]:
    """Redraft as if each estimate had been measured one sd off; the effects, largest first.

    The other estimates follow, as they would if the tape said so.
    """
    found = []
    for e in pattern.measures.estimates:
        if e.name == _OF_THE_BAND:
            moves = iter((_band_move(pattern, e),))
        else:
            moves = (largest_move(pattern.block, other) for other in _redrafts(pattern, e))
        where, mm = max(moves, key=lambda x: x[1], default=("", 0.0))
        found.append(Effect(estimate=e, where=where if mm >= _SEEN_MM else "", moves_mm=mm))
    return tuple(sorted(found, key=lambda x: (-x.moves_mm, x.estimate.name)))


def _band_move(pattern: Pattern, e: Estimate) -> tuple[str, float]:
    """Return how far the waistband's side would move, mm, were an estimate measured one sd off.

    That is a quarter of what the elastic, or a band without one, changes by: the legs' landmarks
    lie on quarters too.
    """
    off: dict[str, Any] = {e.name: e.mm + e.sd_mm}
    other = replace(pattern.measures, **off)
    plans = (pattern.band, build_band(pattern.spec, other, pattern.block, pattern.other_block))
    a, b = (plan.girth_mm if plan.elastic_mm is None else plan.elastic_mm for plan in plans)
    return "side of the waistband", abs(a - b) / 4.0


def _redrafts(pattern: Pattern, e: Estimate) -> Iterator[Block]:
    """Yield the block with an estimate measured one sd off: up or down, for some both."""
    spec = pattern.spec
    # Where the legs differ, the pattern's block is the left one.
    change = change_of(spec.alter, "left")
    for off in (e.sd_mm, -e.sd_mm):
        measured: dict[str, Any] = {e.name: e.mm + off}
        try:
            m = complete(replace(spec.body, **measured), spec.units)
            yield build_block(
                m, spec.fabric, spec.style, change, pattern.block.solution, spec.units
            )
        except OutseamError:
            continue
        if e.name not in _BOTH_WAYS:
            return
