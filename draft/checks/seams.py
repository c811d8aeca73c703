"""Seams that are sewn together are equally long, notch by notch, or differ by what is planned."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from outseam.draft.checks.verdict import equal
from outseam.draft.model import Pattern
from outseam.draft.piece.divided_edge import edge_length, edge_notches
from outseam.draft.piece.piece import Finding, NotchRole, Stretch
from outseam.draft.piece.ruler import ruler_length

SEAM_MM = 0.5


def measured_mm(pattern: Pattern, s: Stretch) -> float:
    """Return a stretch's length on the finished piece, by the second ruler.

    A stretch that is meant to run to the end of its edge does so wherever that end is.
    """
    edge = pattern.piece(s.piece).edge(s.edge).path
    to = ruler_length(edge) if s.to_end else s.to_mm
    return (to - s.from_mm) * s.times


def check_seams(pattern: Pattern) -> Iterator[Finding]:
    """Measure both sides of every seam on the finished pieces."""
    for seam in pattern.seams:
        yield equal(
            "seams match",
            seam.name,
            measured_mm(pattern, seam.a) - measured_mm(pattern, seam.b),
            seam.ease_mm,
            SEAM_MM,
            f"{seam.name}: the two sides differ by the planned amount",
        )


def check_notches(pattern: Pattern) -> Iterator[Finding]:
    """Compare where matching notches sit on the two sides of each long seam."""
    for edge, from_end in (("outseam", True), ("inseam", False)):
        places: list[dict[NotchRole, float]] = []
        for name in ("front", "back"):
            total = edge_length(pattern, name, edge)
            notches = edge_notches(pattern, name, edge)
            places.append({role: total - at if from_end else at for role, at in notches.items()})
        front, back = places
        for role in sorted(front.keys() | back.keys()):
            yield equal(
                "notches meet",
                f"{edge}, {role}",
                front.get(role, np.nan) - back.get(role, np.nan),
                0.0,
                SEAM_MM,
                f"the {role} notches of the {edge} are equally far from the hem",
            )
