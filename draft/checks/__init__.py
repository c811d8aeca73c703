"""Checks every pattern passes before it is written: one file each, one line in the registry."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from draft.checks import (
    band,
    belt,
    corners,
    crotch,
    curvature,
    floor,
    foot,
    outlines,
    pocket,
    pull_on,
    rise,
    seams,
    strain,
    tape,
)
from draft.pattern import Pattern
from draft.piece import Finding
from draft.ruler import measure_together

Check = Callable[[Pattern], Iterable[Finding]]

CHECKS: tuple[Check, ...] = (
    tape.check_tape,
    seams.check_seams,
    seams.check_notches,
    crotch.check_crotch,
    corners.check_corners,
    corners.check_joints,
    outlines.check_outlines,
    outlines.check_allowances,
    band.check_band,
    pull_on.check_pull_on,
    foot.check_foot,
    strain.check_strain,
    curvature.check_curvature,
    floor.check_floor,
    rise.check_rise,
    pocket.check_openings,
    pocket.check_carry,
    pocket.check_fit,
    pocket.check_place,
    pocket.check_mouth,
    belt.check_belt,
)


def run_checks(pattern: Pattern) -> tuple[Finding, ...]:
    """Return the findings of every check, in the order of the registry."""
    measure_together(
        p for piece in pattern.pieces for p in (*piece.cut, *(e.path for e in piece.edges))
    )
    return tuple(f for check in CHECKS for f in check(pattern))
