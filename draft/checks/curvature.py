"""The crotch curve bends one way only, and so does the side over the hip."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from curves.evaluate import curvatures_at
from curves.path import Path
from draft.checks.verdict import equal
from draft.pattern import Pattern
from draft.piece import Finding

#: Curvature below this (a radius of twenty metres) is straight.
_STRAIGHT = 5e-5


def bends_both_ways(path: Path) -> bool:
    """Return whether a path bends to the left somewhere and to the right elsewhere."""
    k = curvatures_at(path, np.linspace(0.002, len(path) - 0.002, 24 * len(path)))
    return bool(k.max() > _STRAIGHT and k.min() < -_STRAIGHT)


def check_curvature(pattern: Pattern) -> Iterator[Finding]:
    """Look for a wave in the crotch seams."""
    for name in ("front", "back"):
        yield equal(
            "curves are clean",
            f"{name} crotch",
            float(bends_both_ways(pattern.piece(name).edge("crotch").path)),
            0.0,
            0.0,
            f"the {name} crotch curve bends one way only",
            unit="count",
            fails="warning",
        )
