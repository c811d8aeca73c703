"""What a draft results in: the pattern, what was added to it, and the verdict on it.

`Make` is a pattern in the making. A `Feature` is what a style adds to it, and holds everything
that buying, laying, checking and sewing have to know of that; they ask the pattern's features and
name none of them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from outseam.curves.length import length
from outseam.draft.bands import BandPlan
from outseam.draft.block.block import Block
from outseam.draft.body.estimate import Measures
from outseam.draft.piece.piece import Edge, Finding, Piece, Seam
from outseam.draft.spec.spec import Spec
from outseam.draft.step import PartEdge, Step
from outseam.draft.style import Style


@dataclass(frozen=True, slots=True, kw_only=True)
class Make:
    """A pattern in the making."""

    spec: Spec
    measures: Measures
    block: Block
    band: BandPlan
    pieces: tuple[Piece, ...]
    seams: tuple[Seam, ...]

    def piece(self, name: str) -> Piece:
        """Return the piece of that name; raises KeyError."""
        return {p.name: p for p in self.pieces}[name]

    def with_piece(self, piece: Piece) -> Make:
        """Return the same with the piece of that name replaced."""
        return replace(
            self, pieces=tuple(piece if p.name == piece.name else p for p in self.pieces)
        )

    def adding(self, *, pieces: Iterable[Piece] = (), seams: Iterable[Seam] = ()) -> Make:
        """Return the same with pieces and seams added."""
        return replace(self, pieces=(*self.pieces, *pieces), seams=(*self.seams, *seams))


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """A drafted pattern and the verdict on it.

    Pieces are as sewn, in fabric that no longer shrinks; `shrinkage.grown` gives them as cut.
    `features` are what its style added. Where the legs differ, `block` and the pieces `front` and
    `back` are those of the left leg, `other_block` is that of the other leg, and `legs` are the
    patterns that each leg would have for both, left and right.
    """

    spec: Spec
    measures: Measures
    block: Block
    band: BandPlan
    pieces: tuple[Piece, ...]
    seams: tuple[Seam, ...]
    findings: tuple[Finding, ...] = ()
    features: tuple[Feature, ...] = ()
    other_block: Block | None = None
    legs: tuple[Pattern, Pattern] | None = None

    def piece(self, name: str) -> Piece:
        """Return the piece of that name; raises KeyError."""
        for p in self.pieces:
            if p.name == name:
                return p
        raise KeyError(name)

    def unsewn_edges(self) -> Iterator[tuple[Piece, Edge]]:
        """Yield the edges that no seam names, with their pieces."""
        named = {(s.piece, s.edge) for seam in self.seams for s in (seam.a, seam.b)}
        for piece in self.pieces:
            for edge in piece.edges:
                if (piece.name, edge.name) not in named:
                    yield piece, edge

    @property
    def pockets(self) -> tuple[Pocket, ...]:
        """The pockets among its features."""
        return tuple(f for f in self.features if isinstance(f, Pocket))

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


# --- what a style adds ----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """Strips of interfacing of one size: what they stiffen, their size in mm, and how many."""

    why: str
    across_mm: float
    along_mm: float
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Zips:
    """Zips of one length, mm: what they are for, and how many."""

    why: str
    length_mm: float
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OnLeg:
    """A piece and the leg on which it is seen, both as parts: `patch_pocket` on `back`."""

    piece: str
    leg: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SeamWork:
    """How a seam is sewn that a pocket lies in: sentences, a picture, edges that are seen to."""

    text: tuple[str, ...]
    drawing: str
    edges: tuple[PartEdge, ...] = ()


def _none(_: Pattern) -> tuple[()]:
    return ()


def _nothing(_: Pattern) -> float:
    return 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Feature:
    """One feature. `key` is its key in [style], `value` the word there that asks for it.

    The key holds one word or a tuple of them. `sizes` are the keys in [style] that only features
    read, of which this one is. `claims` names the (piece, edge) pairs it changes; `apply` raises
    InputError where it cannot be had with the rest of the style.
    `steps` are how it is made, `marking` a sentence about what has to be marked for it on the cut
    pieces; `stiffened` is what gets interfacing, `zips` what is closed with a zip.
    """

    key: str
    value: str
    says: str
    apply: Callable[[Make], Make]
    sizes: tuple[str, ...] = ()
    claims: Callable[[Make], tuple[tuple[str, str], ...]] = lambda _: ()
    steps: Callable[[Pattern], tuple[Step, ...]] = _none
    marking: str = ""
    stiffened: Callable[[Pattern], Iterable[Strip]] = _none
    zips: Callable[[Pattern], Iterable[Zips]] = _none

    def wanted(self, style: Style) -> bool:
        """Return whether the style asks for it."""
        asked = getattr(style, self.key)
        return self.value in (asked if isinstance(asked, tuple) else (asked,))


@dataclass(frozen=True, slots=True, kw_only=True)
class Pocket(Feature):
    """A pocket.

    `opening_mm` is the opening of one, flat, None where the pieces do not show it; `for_hands`: a
    large hand is to go in and not things alone. `tape_mm` is how much of all openings is held by
    stay tape.
    `behind` are the pieces that hang behind the front, in its coordinates, from a bag on; `set_on`
    is the piece stitched onto a leg, whose line "pocket place" says where; `shows` is a piece that
    shows in a mouth, so that its stripes follow the leg.
    `meets` is what is matched in the outseam because of it; `in_outseam` is how that seam is sewn
    with this pocket in it: of the pattern, the sentence about what is matched, and the words for
    how long it is.
    """

    key: str = "pocket"
    opening_mm: Callable[[Pattern], float | None]
    for_hands: bool = True
    tape_mm: Callable[[Pattern], float] = _nothing
    behind: tuple[str, ...] = ()
    set_on: OnLeg | None = None
    shows: OnLeg | None = None
    meets: str = ""
    in_outseam: Callable[[Pattern, str, str], SeamWork] | None = None
