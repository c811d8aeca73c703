"""Seams that are sewn together are equally long, notch by notch, or differ by what is planned."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from draft.checks.verdict import equal
from draft.pattern import Pattern
from draft.piece import Finding, Stretch
from draft.ruler import chords

SEAM_MM = 0.5


def measured_mm(pattern: Pattern, s: Stretch, cache: dict[tuple[str, str], float]) -> float:
    """Return a stretch's length on the finished piece, by the second ruler."""
    key = (s.piece, s.edge)
    if key not in cache:
        cache[key] = float(chords(pattern.piece(s.piece).edge(s.edge).path)[1][-1])
    total = cache[key]
    return (min(s.to_mm, total) - max(s.from_mm, 0.0)) * s.times if s.to_mm < total - 1.0 else (
        total - s.from_mm
    ) * s.times


def check_seams(pattern: Pattern) -> Iterator[Finding]:
    """Measure both sides of every seam on the finished pieces."""
    cache: dict[tuple[str, str], float] = {}
    for seam in pattern.seams:
        a, b = (measured_mm(pattern, s, cache) for s in (seam.a, seam.b))
        yield equal(
            "seams match",
            seam.name,
            a - b,
            seam.ease_mm,
            SEAM_MM,
            f"{seam.name}: the two sides differ by the planned amount",
        )


def check_notches(pattern: Pattern) -> Iterator[Finding]:
    """Compare where matching notches sit on the two sides of each long seam."""
    for edge, from_end in (("outseam", True), ("inseam", False)):
        places: list[dict[str, float]] = []
        for name in ("front", "back"):
            piece = pattern.piece(name)
            total = float(chords(piece.edge(edge).path)[1][-1])
            places.append(
                {
                    n.says: total - n.at_mm if from_end else n.at_mm
                    for n in piece.notches
                    if n.edge == edge
                }
            )
        front, back = places
        for says in sorted(front.keys() | back.keys()):
            yield equal(
                "notches meet",
                f"{edge}, {says}",
                front.get(says, np.nan) - back.get(says, np.nan),
                0.0,
                SEAM_MM,
                f"the {says} notches of the {edge} are equally far from the hem",
            )
