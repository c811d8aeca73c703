"""The crotch curve bends one way only, and so does the side over the hip."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from curves.evaluate import curvatures_at
from curves.length import length, param_at_length
from curves.path import Path
from curves.split import subpath
from draft.checks.verdict import equal
from draft.features.parts import edge_length, edge_parts
from draft.pattern import Pattern
from draft.piece import Finding

#: Curvature below this (a radius of twenty metres) is straight.
_STRAIGHT = 5e-5
#: A side that ends this near to the hip is not judged.
_SHORT_MM = 20.0


def bends_both_ways(path: Path) -> bool:
    """Return whether a path bends to the left somewhere and to the right elsewhere."""
    k = curvatures_at(path, np.linspace(0.002, len(path) - 0.002, 24 * len(path)))
    return bool(k.max() > _STRAIGHT and k.min() < -_STRAIGHT)


def _over_hip(pattern: Pattern, name: str) -> Path | None:
    """Return the side from the top down to the hip notch; None where the top lies below it.

    Where a pocket has divided the outseam the part that is the facing's ends at the mouth.
    """
    outseam = edge_parts(pattern, name, "outseam")[0]
    panel = pattern.block.front if name == "front" else pattern.block.back
    above = edge_length(pattern, name, "outseam") - panel.hip_from_hem_mm
    if above < _SHORT_MM:
        return None
    return subpath(outseam, 0.0, param_at_length(outseam, min(above, length(outseam))))


def check_curvature(pattern: Pattern) -> Iterator[Finding]:
    """Look for a wave in the crotch seams and in the sides over the hip."""
    for name in ("front", "back"):
        curves = {"crotch": pattern.piece(name).edge("crotch").path}
        side = _over_hip(pattern, name)
        if side is not None:
            curves["side over the hip"] = side
        for what, path in curves.items():
            yield equal(
                "curves are clean",
                f"{name} {what}",
                float(bends_both_ways(path)),
                0.0,
                0.0,
                f"the {name} {what} bends one way only",
                unit="count",
                fails="warning",
            )
