"""Turning a measurement into a Finding."""

from __future__ import annotations

import math
from typing import TypedDict, Unpack

from outseam.draft.inputs.words import Sentence
from outseam.draft.piece.piece import Doubt, Finding, FindingUnit


class _More(TypedDict, total=False):
    """What a finding says besides: the unit of its numbers, advice, and the keys it is about."""

    unit: FindingUnit
    advice: Sentence
    about: tuple[str, ...]


def _found(
    good: bool,
    check: str,
    where: str,
    numbers: tuple[float, float, float],
    says: Sentence,
    fails: Doubt,
    more: _More,
) -> Finding:
    """Return a finding; `numbers` are what was measured and expected, and the tolerance."""
    measured, expected, tolerance = numbers
    return Finding(
        check=check,
        where=where,
        level="pass" if good and math.isfinite(measured) else fails,
        measured=measured,
        expected=expected,
        tolerance=tolerance,
        says=says,
        **more,
    )


def equal(
    check: str,
    where: str,
    measured: float,
    expected: float,
    tolerance: float,
    says: Sentence,
    *,
    fails: Doubt = "error",
    **more: Unpack[_More],
) -> Finding:
    """Return a pass if `measured` is within `tolerance` of `expected`, else the level `fails`."""
    good = abs(measured - expected) <= tolerance
    return _found(good, check, where, (measured, expected, tolerance), says, fails, more)


def at_least(
    check: str,
    where: str,
    measured: float,
    least: float,
    says: Sentence,
    *,
    fails: Doubt = "error",
    **more: Unpack[_More],
) -> Finding:
    """Return a pass if `measured` is not below `least`, else the level `fails`."""
    return _found(measured >= least, check, where, (measured, least, 0.0), says, fails, more)


def at_most(
    check: str,
    where: str,
    measured: float,
    most: float,
    says: Sentence,
    *,
    fails: Doubt = "error",
    **more: Unpack[_More],
) -> Finding:
    """Return a pass if `measured` is not above `most`, else the level `fails`."""
    return _found(measured <= most, check, where, (measured, most, 0.0), says, fails, more)
