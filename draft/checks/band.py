"""The waistband against the edge it joins."""

from __future__ import annotations

from collections.abc import Iterator

from outseam.draft.checks.verdict import at_least, at_most
from outseam.draft.inputs.show import per_cent
from outseam.draft.inputs.words import measure, words
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Finding

#: A band shorter than this share of its edge puckers it, however hard it is stretched while
#: sewing; a knit easily takes 0.8 (common practice, no source).
LEAST_RATIO = 0.78


def band_ratio(pattern: Pattern) -> float:
    """Return the band's girth over the girth of the edge it joins."""
    return pattern.band.girth_mm / pattern.top_edge_mm


def check_band(pattern: Pattern) -> Iterator[Finding]:
    """Compare the band with its edge and with its elastic."""
    ratio = band_ratio(pattern)
    yield at_most(
        "band fits its edge",
        "band over edge",
        ratio,
        1.0 + 1e-6,
        "the waistband is not longer than the edge it joins",
        unit="ratio",
    )
    yield at_least(
        "band fits its edge",
        "band over edge, least",
        ratio,
        LEAST_RATIO,
        "the waistband can be stretched onto its edge without gathering it",
        unit="ratio",
        fails="note",
        advice=f"The waistband is only {per_cent(ratio)} of the edge it joins. Below "
        f"{per_cent(LEAST_RATIO)} the edge gathers a little however hard you stretch the band: "
        "divide both in eighths and pin every mark.",
    )
    if pattern.band.elastic_mm is None:
        return
    elastic, most = pattern.band.elastic_mm, pattern.band.girth_mm * 1.05
    yield at_most(
        "band fits its edge",
        "elastic",
        elastic,
        most,
        "the elastic is not longer than the band that holds it",
        fails="warning",
        advice=words(
            "The elastic ({elastic}) is longer than the band lets lie flat ({most}): it will fold "
            "over inside. Take a shorter one.",
            elastic=measure(elastic),
            most=measure(most),
        ),
    )
