"""What a feature is: it takes a pattern in the making and returns it with something added."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from outseam.draft.bands import BandPlan
from outseam.draft.block.block import Block
from outseam.draft.body.estimate import Measures
from outseam.draft.piece.piece import Finding, Piece, Seam
from outseam.draft.style import Style

if TYPE_CHECKING:
    from outseam.draft.spec.spec import Spec


@dataclass(frozen=True, slots=True, kw_only=True)
class Make:
    """A pattern in the making. `findings` are what features have to say about themselves."""

    spec: Spec
    measures: Measures
    block: Block
    band: BandPlan
    pieces: tuple[Piece, ...]
    seams: tuple[Seam, ...]
    findings: tuple[Finding, ...] = ()

    def piece(self, name: str) -> Piece:
        """Return the piece of that name; raises KeyError."""
        for p in self.pieces:
            if p.name == name:
                return p
        raise KeyError(name)

    def with_piece(self, piece: Piece) -> Make:
        """Return the same with the piece of that name replaced."""
        return replace(
            self, pieces=tuple(piece if p.name == piece.name else p for p in self.pieces)
        )

    def adding(
        self,
        *,
        pieces: Iterable[Piece] = (),
        seams: Iterable[Seam] = (),
        findings: Iterable[Finding] = (),
    ) -> Make:
        """Return the same with pieces, seams and findings added."""
        return replace(
            self,
            pieces=(*self.pieces, *pieces),
            seams=(*self.seams, *seams),
            findings=(*self.findings, *findings),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Feature:
    """One feature. `key` is its key in [style], `value` the word there that asks for it.

    The key holds one word or a tuple of them. `sizes` are the keys in [style] that only features
    read, of which this one is. `claims` names the (piece, edge) pairs it changes; `apply` raises
    InputError where it cannot be had with the rest of the style.
    """

    key: str
    value: str
    says: str
    apply: Callable[[Make], Make]
    sizes: tuple[str, ...] = ()
    claims: Callable[[Make], tuple[tuple[str, str], ...]] = lambda _: ()

    def wanted(self, style: Style) -> bool:
        """Return whether the style asks for it."""
        asked = getattr(style, self.key)
        return self.value in (asked if isinstance(asked, tuple) else (asked,))
