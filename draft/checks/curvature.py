"""The crotch curve bends one way only, and so does the side over the hip."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from outseam.curves.evaluate import curvatures_all
from outseam.curves.length import length, param_at_length
from outseam.curves.path import Floats, Path
from outseam.draft.checks.verdict import equal
from outseam.draft.model import Pattern
from outseam.draft.piece.divided_edge import edge_length, edge_parts
from outseam.draft.piece.piece import Finding

#: Curvature below this (a radius of twenty metres) is straight.
_STRAIGHT = 5e-5
#: A side that ends this near to the hip is not judged.
_SHORT_MM = 20.0


#: Places looked at on every segment: a seam bends too slowly to hide a wave between them.
_PLACES = 24
#: How near to the ends of a path, where a retracted handle would have no curvature.
_END = 0.002


def _places(end: float) -> Floats:
    """Return evenly spread parameters up to `end`."""
    return np.linspace(_END, end - _END, _PLACES * math.ceil(end))


def bend_both_ways(paths: Sequence[Path], ends: Sequence[float]) -> list[bool]:
    """Return of each path, from its start to the parameter given, whether it bends both ways."""
    found = curvatures_all(paths, [_places(end) for end in ends])
    return [bool(k.max() > _STRAIGHT and k.min() < -_STRAIGHT) for k in found]


def _over_hip(pattern: Pattern, name: str) -> tuple[Path, float] | None:
    """Return the side and its parameter at the hip notch; None where the top lies below it.

    Where a pocket has divided the outseam the part that is the facing's ends at the mouth.
    """
    outseam = edge_parts(pattern, name, "outseam")[0]
    panel = pattern.block.front if name == "front" else pattern.block.back
    above = edge_length(pattern, name, "outseam") - panel.hip_from_hem_mm
    if above < _SHORT_MM:
        return None
    return outseam, param_at_length(outseam, min(above, length(outseam)))


def check_curvature(pattern: Pattern) -> Iterator[Finding]:
    """Look for a wave in the crotch seams and in the sides over the hip."""
    curves: dict[str, tuple[Path, float]] = {}
    for name in ("front", "back"):
        crotch = pattern.piece(name).edge("crotch").path
        curves[f"{name} crotch"] = crotch, float(len(crotch))
        side = _over_hip(pattern, name)
        if side is not None:
            curves[f"{name} side over the hip"] = side
    paths, ends = zip(*curves.values(), strict=True)
    for where, waves in zip(curves, bend_both_ways(paths, ends), strict=True):
        yield equal(
            "curves are clean",
            where,
            float(waves),
            0.0,
            0.0,
            f"the {where} bends one way only",
            unit="count",
            fails="warning",
            advice=f"The {where} curve bends both ways, which is hard to sew smooth. Look at it on "
            "paper, and measure the crotch lengths again.",
        )
