"""How much the pattern hangs on a measurement that was estimated."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Final

from outseam.draft.alter import change_of
from outseam.draft.block.block import Block, asking_block
from outseam.draft.block.solve import Asking, answered_together
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
    works: dict[tuple[Estimate, float], Asking[Block | None]] = {}
    for e in pattern.measures.estimates:
        if e.name in _BOTH_WAYS:
            works |= {(e, off): _redraft(pattern, e, off) for off in (e.sd_mm, -e.sd_mm)}
        elif e.name != _OF_THE_BAND:
            works[e, e.sd_mm] = _redraft(pattern, e, e.sd_mm, -e.sd_mm)
    moves: dict[Estimate, list[tuple[str, float]]] = {}
    for (e, _), block in zip(works, answered_together(list(works.values())), strict=True):
        if isinstance(block, Exception):
            raise block
        if block is not None:
            moves.setdefault(e, []).append(largest_move(pattern.block, block))
    found = []
    for e in pattern.measures.estimates:
        if e.name == _OF_THE_BAND:
            moves[e] = [_band_move(pattern, e)]
        where, mm = max(moves.get(e, []), key=lambda x: x[1], default=("", 0.0))
        found.append(Effect(estimate=e, where=where if mm >= _SEEN_MM else "", moves_mm=mm))
    # Of moves that are equal, rounding must not choose one.
    return tuple(sorted(found, key=lambda x: (-round(x.moves_mm, 6), x.estimate.name)))


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


def _redraft(pattern: Pattern, e: Estimate, *offs: float) -> Asking[Block | None]:
    """Draft the block with an estimate measured off by the first of some lengths that drafts."""
    spec = pattern.spec
    # Where the legs differ, the pattern's block is the left one.
    change, start = change_of(spec.alter, "left"), pattern.block.solution
    for off in offs:
        measured: dict[str, Any] = {e.name: e.mm + off}
        try:
            m = complete(replace(spec.body, **measured), spec.units)
            return (yield from asking_block(m, spec.fabric, spec.style, change, start, spec.units))
        except OutseamError:
            continue
    return None
