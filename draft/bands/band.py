"""What a waistband is: a height it adds above the leg, pieces, and the seams that join them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from outseam.draft.fits import Ease
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import Units
from outseam.draft.piece.piece import Piece, Seam

#: Length of elastic against the girth where it sits (0.85-0.95 by kind, common practice, no
#: source).
ELASTIC_RATIO = 0.9


@dataclass(frozen=True, slots=True, kw_only=True)
class BandContext:
    """What a waistband may look at, mm. Edge lengths are of one panel; the leg has two of each.

    `lies` and `grain_says` are what its pieces say about how they lie on the fabric.
    """

    front_edge_mm: float
    back_edge_mm: float
    body_girth_mm: float
    hip_mm: float
    height_mm: float
    elastic_ratio: float | None
    seam_mm: float
    ease: Ease
    firm_recovery: bool
    lies: str = ""
    grain_says: str = "grain"

    @property
    def edge_mm(self) -> float:
        """Length of the whole edge that the band joins."""
        return 2.0 * (self.front_edge_mm + self.back_edge_mm)

    @property
    def over_hip_mm(self) -> float:
        """Least girth of an opening in this fabric that passes the hip when pulled on."""
        return self.ease.over_mm(self.hip_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class BandPlan:
    """A drafted waistband.

    `girth_mm` is its finished girth unstretched, `elastic_mm` the length of elastic without its
    overlap, None where the band holds by itself.
    """

    pieces: tuple[Piece, ...]
    seams: tuple[Seam, ...]
    girth_mm: float
    elastic_mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """One kind of waistband.

    `height` gives its finished height above the leg's edge from the elastic's width and the units
    of the file, `turn` how much of the leg itself is turned in instead; `takes_height` whether the
    style may set the height; `side_seams` whether a belt can be caught in them; mm.
    """

    name: str
    says: str
    height: Callable[[float, Units], float]
    plan: Callable[[BandContext], BandPlan]
    turn: Callable[[float, Units], float] = lambda *_: 0.0
    takes_height: bool = True
    side_seams: bool = True

    def given_height(self, height_mm: float) -> float:
        """Return the finished height the style asks for. Raises InputError where it cannot."""
        if not self.takes_height:
            raise InputError(
                "style.band_height",
                f'given for a "{self.name}" waistband',
                "only for a band that is sewn on",
                "leave it out; the height follows from elastic_width",
            )
        return height_mm


def elastic_mm(c: BandContext, band_mm: float) -> float:
    """Return the length of elastic without its overlap: the ratio asked for, of the body's girth.

    Unless asked for, it is `ELASTIC_RATIO` of the girth and never longer than what holds it.
    """
    if c.elastic_ratio is not None:
        return c.elastic_ratio * c.body_girth_mm
    return min(ELASTIC_RATIO * c.body_girth_mm, band_mm)
