"""Turning a measurement into a Finding."""

from __future__ import annotations

import math

from outseam.draft.inputs.words import Sentence
from outseam.draft.piece.piece import Doubt, Finding, FindingUnit


def equal(
    check: str,
    where: str,
    measured: float,
    expected: float,
    tolerance: float,
    says: Sentence,
    *,
    unit: FindingUnit = "mm",
    fails: Doubt = "error",
    advice: Sentence = "",
    about: tuple[str, ...] = (),
) -> Finding:
    """Return a pass if `measured` is within `tolerance` of `expected`, else the level `fails`."""
    good = math.isfinite(measured) and abs(measured - expected) <= tolerance
    return Finding(
        check=check,
        where=where,
        level="pass" if good else fails,
        measured=measured,
        expected=expected,
        tolerance=tolerance,
        unit=unit,
        says=says,
        advice=advice,
        about=about,
    )


def at_least(
    check: str,
    where: str,
    measured: float,
    least: float,
    says: Sentence,
    *,
    unit: FindingUnit = "mm",
    fails: Doubt = "error",
    advice: Sentence = "",
    about: tuple[str, ...] = (),
) -> Finding:
    """Return a pass if `measured` is not below `least`, else the level `fails`."""
    return _limited(
        measured >= least, check, where, measured, least, says, unit, fails, advice, about
    )


def at_most(
    check: str,
    where: str,
    measured: float,
    most: float,
    says: Sentence,
    *,
    unit: FindingUnit = "mm",
    fails: Doubt = "error",
    advice: Sentence = "",
    about: tuple[str, ...] = (),
) -> Finding:
    """Return a pass if `measured` is not above `most`, else the level `fails`."""
    return _limited(
        measured <= most, check, where, measured, most, says, unit, fails, advice, about
    )


def _limited(
    within: bool,
    check: str,
    where: str,
    measured: float,
    limit: float,
    says: Sentence,
    unit: FindingUnit,
    fails: Doubt,
    advice: Sentence,
    about: tuple[str, ...],
) -> Finding:
    return Finding(
        check=check,
        where=where,
        level="pass" if within and math.isfinite(measured) else fails,
        measured=measured,
        expected=limit,
        tolerance=0.0,
        unit=unit,
        says=says,
        advice=advice,
        about=about,
    )
