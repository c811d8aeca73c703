"""Turning a measurement into a Finding."""

from __future__ import annotations

import math
from typing import Literal

from outseam.draft.piece.piece import Finding

Level = Literal["note", "warning", "error"]


def equal(
    check: str,
    where: str,
    measured: float,
    expected: float,
    tolerance: float,
    says: str,
    *,
    unit: Literal["mm", "ratio", "deg", "count", "sd"] = "mm",
    fails: Level = "error",
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
    )


def at_least(
    check: str,
    where: str,
    measured: float,
    least: float,
    says: str,
    *,
    unit: Literal["mm", "ratio", "deg", "count", "sd"] = "mm",
    fails: Level = "error",
) -> Finding:
    """Return a pass if `measured` is not below `least`, else the level `fails`."""
    good = math.isfinite(measured) and measured >= least
    return Finding(
        check=check,
        where=where,
        level="pass" if good else fails,
        measured=measured,
        expected=least,
        tolerance=0.0,
        unit=unit,
        says=says,
    )


def at_most(
    check: str,
    where: str,
    measured: float,
    most: float,
    says: str,
    *,
    unit: Literal["mm", "ratio", "deg", "count", "sd"] = "mm",
    fails: Level = "error",
) -> Finding:
    """Return a pass if `measured` is not above `most`, else the level `fails`."""
    good = math.isfinite(measured) and measured <= most
    return Finding(
        check=check,
        where=where,
        level="pass" if good else fails,
        measured=measured,
        expected=most,
        tolerance=0.0,
        unit=unit,
        says=says,
    )
