"""Which way a piece may be turned on the fabric: nap, print, and stretch the other way.

The greatest stretch goes round the body. A piece may be turned a quarter only where the fabric
stretches enough the other way too (common practice, no source); that is found out by asking the
draft's own checks again for the fabric turned, not by comparing two numbers.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from outseam.draft.border.places import on_border, sides_of, turn_at
from outseam.draft.border.printed import Border, border_of
from outseam.draft.checks.foot import check_foot
from outseam.draft.checks.pull_on import check_pull_on
from outseam.draft.checks.strain import check_strain
from outseam.draft.fabric import Fabric
from outseam.draft.fits import ease_for
from outseam.draft.inputs.errors import InputError
from outseam.draft.lay.model.cloth import Cloth
from outseam.draft.lay.model.parts import TurnRule
from outseam.draft.lay.model.placement import Turn
from outseam.draft.lay.model.result import Lay
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece

#: Ease may fall short by this without anybody feeling it (ratio of the girth: 2 mm in a metre).
_EASE_RATIO = 0.002


def turned_fabric(fabric: Fabric) -> Fabric:
    """Return the fabric as pieces meet it that are laid a quarter turned."""
    return replace(
        fabric,
        stretch_across=fabric.stretch_along_ratio,
        stretch_along=fabric.stretch_across_ratio,
        shrink_across=fabric.shrink_along,
        shrink_along=fabric.shrink_across,
    )


def _in_turned(pattern: Pattern) -> Pattern:
    """Return the same draft as if its fabric stretched round the body as it does along.

    Raises InputError where the fit cannot be had in such a fabric.
    """
    fabric = turned_fabric(pattern.spec.fabric)
    ease = ease_for(pattern.block.ease.fit, fabric.stretch_round_ratio, pattern.measures.hip)
    return replace(
        pattern,
        spec=replace(pattern.spec, fabric=fabric),
        block=replace(pattern.block, ease=ease),
    )


def _worse(before: Pattern, after: Pattern, *, band: bool) -> bool:
    """Whether the checks find something in the turned fabric only, for the band or the legs."""

    def found(p: Pattern, *, passed: bool) -> set[tuple[str, str]]:
        checks = (*check_strain(p), *check_pull_on(p), *check_foot(p))
        return {
            (f.check, f.where)
            for f in checks
            if ("waistband" in f.about) == band and "elastic" not in f.about
            if (f.level == "pass") == passed
        }

    failed = found(after, passed=False)
    return bool(failed) and not failed.isdisjoint(found(before, passed=True))


def legs_turned(pattern: Pattern) -> bool:
    """Return whether the legs may lie a quarter turned, as they were drafted."""
    try:
        turned = _in_turned(pattern)
    except InputError:
        return False
    short = turned.block.ease.hip_ratio - pattern.block.ease.hip_ratio
    return short <= _EASE_RATIO and not _worse(pattern, turned, band=False)


def band_turned(pattern: Pattern) -> bool:
    """Return whether the waistband may lie a quarter turned, as it was drafted."""
    try:
        turned = _in_turned(pattern)
    except InputError:
        return False
    return not _worse(pattern, turned, band=True)


def turns_of(pattern: Pattern, piece: Piece) -> tuple[Turn, ...]:
    """Return the turns a piece may have on the fabric of its own spec.

    One-way fabric: all pieces the same way up. Otherwise half a turn is free. A quarter turn is
    for knits that stretch enough the other way, each for the legs and the band by its own check,
    and for pieces that nothing stretches; a woven keeps its grain.
    """
    fabric = pattern.spec.fabric
    if fabric.one_way:
        return (0,)
    half: tuple[Turn, ...] = (0, 180)
    quarter: tuple[Turn, ...] = (0, 180, 90, 270)
    if piece.any_grain:
        return quarter
    if fabric.kind == "woven":
        return half
    band = piece.name in {p.name for p in pattern.band.pieces}
    return quarter if (band_turned if band else legs_turned)(pattern) else half


def at_border(pattern: Pattern, piece: Piece, border: Border) -> bool:
    """Return whether a piece of a pattern has its place at the border."""
    return on_border(pattern.spec, piece, frozenset(p.name for p in pattern.band.pieces), border)


def border_turns(pattern: Pattern, piece: Piece) -> tuple[Turn, ...]:
    """Return how a piece may be turned in a border lay: as the legs, or anyhow if nothing pulls it.

    Raises InputError for a fabric whose border cannot be used.
    """
    fabric = pattern.spec.fabric
    border = border_of(fabric)
    assert border is not None, "only fabrics with a border are laid so"
    if at_border(pattern, piece, border):
        sides = sides_of(pattern.spec, piece, border)
        return tuple(dict.fromkeys(turn_at(fabric, side) for side in sides))
    if fabric.one_way:
        return (90,)
    if piece.any_grain:
        return (90, 270, 0, 180)
    band = piece.name in {p.name for p in pattern.band.pieces}
    if band and fabric.kind == "knit" and band_turned(pattern):
        return (90, 270, 0, 180)
    return (90, 270)


def stripe_turns(pattern: Pattern, piece: Piece) -> tuple[Turn, ...]:
    """Return the one way in which pieces lie on stripes and checks."""
    del pattern, piece
    return (0,)


def turn_rule(cloth: Cloth) -> TurnRule:
    """Return how pieces may be turned on a cloth."""
    if cloth.border is not None:
        return border_turns
    return stripe_turns if cloth.striped else turns_of


def alike_rules(patterns: Sequence[Pattern], turns: TurnRule = turns_of) -> tuple[TurnRule, ...]:
    """Return the rules of which a lay is to keep to one, so that copies of a piece lie alike.

    `turns` is what the fabric allows. A piece that may lie either way and is cut more than once,
    such as the halves of a belt, would hang and stretch differently, one along the fabric and one
    across it.
    """
    either = any(
        piece.any_grain and piece.copies > 1 and {t % 180 for t in turns(pattern, piece)} == {0, 90}
        for pattern in patterns
        for piece in pattern.pieces
    )
    if not either:
        return (turns,)

    def only(*kept: Turn) -> TurnRule:
        def rule(pattern: Pattern, piece: Piece) -> tuple[Turn, ...]:
            allowed = turns(pattern, piece)
            if piece.any_grain and piece.copies > 1:
                return tuple(t for t in allowed if t in kept)
            return allowed

        return rule

    return only(0, 180), only(90, 270)


def shortest_of(rules: Sequence[TurnRule], lay_by: Callable[[TurnRule], Lay]) -> Lay:
    """Return the shortest of the lays made by each rule. Raises InputError where none can be."""
    found: list[Lay] = []
    refused: list[InputError] = []
    for rule in rules:
        try:
            found.append(lay_by(rule))
        except InputError as error:
            refused.append(error)
    if not found:
        raise refused[0]
    return min(found, key=lambda lay: lay.length_mm)
