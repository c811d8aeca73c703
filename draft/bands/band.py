"""What a waistband is: a height it adds above the leg, pieces, and the seams that join them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from draft.fits import Ease
from draft.piece import Piece, Seam

#: Room for the elastic to lie flat in its casing (common practice, no source).
ROOM_MM = 25.4 / 8.0

#: Length of elastic against the girth where it sits.
ELASTIC_RATIO = 0.9


@dataclass(frozen=True, slots=True, kw_only=True)
class BandContext:
    """What a waistband may look at, mm. Edge lengths are of one panel; the leg has two of each."""

    front_edge_mm: float
    back_edge_mm: float
    body_girth_mm: float
    hip_mm: float
    height_mm: float
    elastic_width_mm: float
    elastic_ratio: float | None
    seam_mm: float
    ease: Ease


def elastic_mm(c: BandContext, band_mm: float) -> float:
    """Return the length of elastic without its overlap: the ratio asked for, of the body's girth.

    Unless asked for, it is 0.9 of the girth (0.85-0.95 by kind of elastic, common practice, no
    source) and never longer than the band that holds it.
    """
    if c.elastic_ratio is not None:
        return c.elastic_ratio * c.body_girth_mm
    return min(ELASTIC_RATIO * c.body_girth_mm, band_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class BandPlan:
    """A drafted waistband. `girth_mm` is its finished girth unstretched, `elastic_mm` the length
    of elastic to cut without its overlap.
    """

    pieces: tuple[Piece, ...]
    seams: tuple[Seam, ...]
    girth_mm: float
    elastic_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """One kind of waistband. `height` gives its finished height from the elastic's width, mm."""

    name: str
    says: str
    height: Callable[[float], float]
    plan: Callable[[BandContext], BandPlan]
