"""What a draft results in: the pattern, with its pieces, seams and the verdict on them."""

from __future__ import annotations

from dataclasses import dataclass

from outseam.curves.length import length
from outseam.draft.bands import BandPlan
from outseam.draft.block.block import Block
from outseam.draft.body.estimate import Measures
from outseam.draft.piece.piece import Finding, Piece, Seam
from outseam.draft.spec.spec import Spec


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """A drafted pattern and the verdict on it.

    Pieces are as sewn, in fabric that no longer shrinks; `shrinkage.grown` gives them as cut.
    Where the legs differ, `block` and the pieces `front` and `back` are those of the left leg,
    `other_block` is that of the other leg, and `legs` are the patterns that each leg would have for
    both, left and right.
    """

    spec: Spec
    measures: Measures
    block: Block
    band: BandPlan
    pieces: tuple[Piece, ...]
    seams: tuple[Seam, ...]
    findings: tuple[Finding, ...] = ()
    other_block: Block | None = None
    legs: tuple[Pattern, Pattern] | None = None

    def piece(self, name: str) -> Piece:
        """Return the piece of that name; raises KeyError."""
        for p in self.pieces:
            if p.name == name:
                return p
        raise KeyError(name)

    @property
    def top_edge_mm(self) -> float:
        """Length of the whole edge that the band joins, both legs together."""
        return sum(
            length(panel.waist)
            for block in (self.block, self.other_block or self.block)
            for panel in (block.front, block.back)
        )

    @property
    def errors(self) -> tuple[Finding, ...]:
        """Findings that forbid writing the pattern."""
        return tuple(f for f in self.findings if f.level == "error")

    @property
    def warnings(self) -> tuple[Finding, ...]:
        """Findings that a person should read before cutting."""
        return tuple(f for f in self.findings if f.level == "warning")


def band_level_mm(m: Measures, block: Block) -> float:
    """Return the height above the floor of the middle of the finished band."""
    depth = block.band_height_mm or block.turn_mm
    return m.waist_height + block.rise.side_mm - depth / 2.0
