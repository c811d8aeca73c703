"""The pants go over the hip: the leg's top edge, the band and the elastic."""

from __future__ import annotations

from collections.abc import Iterator

from outseam.draft.checks.verdict import at_least, at_most
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Finding

#: A knitted elastic stretches to about twice its length (common practice, no source).
ELASTIC_STRETCH = 1.0


def check_pull_on(pattern: Pattern) -> Iterator[Finding]:
    """Stretch each opening as far as it goes and compare it with the hip."""
    block, hip = pattern.block, pattern.measures.hip
    open_by = 1.0 + block.ease.pull_strain
    yield at_least(
        "goes over the hip",
        "top edge of the legs",
        pattern.top_edge_mm * open_by,
        hip * 0.999,
        "the top edge, pulled on, passes the hip",
        fails="warning",
    )
    yield at_least(
        "goes over the hip",
        "waistband",
        pattern.band.girth_mm * open_by,
        hip * 0.999,
        "the waistband, pulled on, passes the hip",
        fails="warning",
    )
    if pattern.band.elastic_mm is None:
        return
    yield at_most(
        "goes over the hip",
        "elastic",
        hip / pattern.band.elastic_mm - 1.0,
        ELASTIC_STRETCH,
        "the elastic has to stretch no further than elastics do",
        unit="ratio",
        fails="warning",
    )
