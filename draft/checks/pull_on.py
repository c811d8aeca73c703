"""The pants go over the hip: the leg's top edge, the band and the elastic."""

from __future__ import annotations

from collections.abc import Iterator

from outseam.draft.checks.verdict import at_least, at_most
from outseam.draft.inputs.show import per_cent
from outseam.draft.inputs.words import measure, words
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Finding

#: A knitted elastic stretches to about twice its length (common practice, no source).
ELASTIC_STRETCH = 1.0


def check_pull_on(pattern: Pattern) -> Iterator[Finding]:
    """Stretch each opening as far as it goes and compare it with the hip."""
    hip = pattern.measures.hip
    open_by = 1.0 + pattern.block.ease.pull_strain
    for key, where, says, girth in (
        ("top_edge", "top edge of the legs", "the top edge", pattern.top_edge_mm),
        ("waistband", "waistband", "the waistband", pattern.band.girth_mm),
    ):
        yield at_least(
            "goes over the hip",
            where,
            girth * open_by,
            hip * 0.999,
            f"{says}, pulled on, passes the hip",
            fails="warning",
            advice=words(
                "The {where}, stretched as far as it goes, opens to {opens}; the hip needs {hip}. "
                "You will not get these pants on: choose an easier fit, another waistband or a "
                "fabric that gives more.",
                where=where,
                opens=measure(girth * open_by),
                hip=measure(hip),
            ),
            about=(key,),
        )
    if pattern.band.elastic_mm is None:
        return
    stretch = hip / pattern.band.elastic_mm - 1.0
    yield at_most(
        "goes over the hip",
        "elastic",
        stretch,
        ELASTIC_STRETCH,
        "the elastic has to stretch no further than elastics do",
        unit="ratio",
        fails="warning",
        advice=f"To pass the hip the elastic would have to stretch {per_cent(stretch)}; most "
        f"elastics give about {per_cent(ELASTIC_STRETCH)}. Choose a softer or longer one, and try "
        "it over the hip before sewing.",
        about=("elastic",),
    )
