"""Checks every pattern passes before it is written: one file each, one line in the registry."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

from outseam.draft.checks import (
    band,
    belt,
    centre,
    corners,
    crotch,
    curvature,
    ease,
    floor,
    foot,
    hem,
    outlines,
    pocket,
    pull_on,
    rise,
    seams,
    strain,
    tape,
)
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Finding, Side
from outseam.draft.piece.ruler import measure_together

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
    ease.check_ease,
    curvature.check_curvature,
    floor.check_floor,
    hem.check_hem,
    rise.check_rise,
    pocket.check_openings,
    pocket.check_carry,
    pocket.check_fit,
    pocket.check_place,
    pocket.check_mouth,
    belt.check_belt,
    centre.check_centre,
)

#: Checks that look at every piece and seam, whatever their names; the others look at one leg.
_WHOLE: tuple[Check, ...] = (
    seams.check_seams,
    outlines.check_outlines,
    outlines.check_allowances,
    centre.check_centre,
)


def run_checks(pattern: Pattern) -> tuple[Finding, ...]:
    """Return the findings of every check, in the order of the registry."""
    measure_together(
        p for piece in pattern.pieces for p in (*piece.cut, *(e.path for e in piece.edges))
    )
    if pattern.legs is None:
        return tuple(f for check in CHECKS for f in check(pattern))
    whole = (f for check in _WHOLE for f in check(pattern))
    return (*whole, *_of_each_leg(*pattern.legs))


def _of_each_leg(left: Pattern, right: Pattern) -> Iterator[Finding]:
    """Yield what each leg's own checks found: once where it is the same, else with its side."""
    found: dict[tuple[str, str, str, str], list[tuple[Side, Finding]]] = {}
    sides: tuple[tuple[Side, Pattern], ...] = (("left", left), ("right", right))
    for side, leg in sides:
        for f in leg.findings:
            key = (f.check, f.where, f.level, f"{f.measured:.6f} {f.expected:.6f}")
            found.setdefault(key, []).append((side, f))
    for both in found.values():
        for side, f in both[:1] if len(both) > 1 else both:
            yield f if len(both) > 1 else replace(f, where=f"{f.where}, {side} leg", side=side)
