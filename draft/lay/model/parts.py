"""What has to lie on the fabric: every piece as often as it is cut, and how each copy may lie.

In a single layer each mirrored pair is one copy face up and one face down. Folded selvedge to
selvedge, one copy gives both of a pair, whichever face is up. A piece that is cut once is laid
there in one of two ways: half of it on the fold, if it is its own mirror image (the fold then runs
along its grain), or whole, through one layer, where the rest of the fabric is opened out beyond
the folded part (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from outseam.draft.lay.model.cloth import Cloth
from outseam.draft.lay.model.placement import Face, Turn, is_symmetric
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece

#: Where a part is laid: anywhere in the main lay, half on the fold, in the part opened out, or in
#: the single part beside a narrow fold.
Zone: TypeAlias = Literal["main", "fold", "opened", "single"]

TurnRule: TypeAlias = Callable[[Pattern, Piece], tuple[Turn, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One copy of a piece to be laid.

    `garment` counts the patterns of the lay from 0; `copy` the copies of a piece from 1. `piece`
    is as sewn, before shrinkage. `cuts` is how many pieces of fabric the copy yields.
    """

    garment: int
    piece: Piece
    copy: int
    faces: tuple[Face, ...]
    turns: tuple[Turn, ...]
    zone: Zone = "main"
    cuts: int = 1

    @property
    def key(self) -> str:
        """A name of its own within the lay: `1.front.2`."""
        return f"{self.garment + 1}.{self.piece.name}.{self.copy}"


def parts_of(patterns: Sequence[Pattern], cloth: Cloth, turns: TurnRule) -> tuple[Part, ...]:
    """Return the copies to lay, in the order of the patterns and their pieces.

    On a folded cloth, pieces cut once that may lie on the fold are put there; `opened_out` moves
    them.
    """
    found: list[Part] = []
    for number, pattern in enumerate(patterns):
        for piece in of_fabric(pattern):
            allowed = turns(pattern, piece)
            found += (_doubled if cloth.folded else _single)(number, piece, allowed)
    return tuple(found)


def of_fabric(pattern: Pattern) -> tuple[Piece, ...]:
    """Return the pieces of a pattern that are cut from its fabric and not from a lining."""
    return tuple(p for p in pattern.pieces if not p.lining)


def _single(garment: int, piece: Piece, turns: tuple[Turn, ...]) -> list[Part]:
    """Return a piece's copies on one layer of fabric, face up and face down in turn."""
    first = own_face(piece)
    both: tuple[Face, Face] = ("up", "down") if piece.mirrored else (first, first)
    return [
        Part(garment=garment, piece=piece, copy=n + 1, faces=(both[n % 2],), turns=turns)
        for n in range(piece.copies)
    ]


def _doubled(garment: int, piece: Piece, turns: tuple[Turn, ...]) -> list[Part]:
    """Return a piece's copies on fabric that lies double."""
    symmetric = not piece.mirrored and is_symmetric(piece)
    pairs = piece.copies // 2 if piece.mirrored or symmetric else 0
    both: tuple[Face, ...] = ("up", "down") if piece.mirrored else ("up",)
    double = Part(garment=garment, piece=piece, copy=1, faces=both, turns=turns, cuts=2)
    found = [replace(double, copy=n + 1) for n in range(pairs)]
    for n in range(pairs, piece.copies - pairs):
        single = replace(double, copy=n + 1, faces=(own_face(piece),), cuts=1)
        if symmetric:
            found.append(replace(single, zone="fold", turns=_straight(turns)))
        else:
            found.append(replace(single, zone="opened"))
    return found


def own_face(piece: Piece) -> Face:
    """Return which side of a piece that has no mirror image is up."""
    return "down" if piece.turned_over else "up"


def _straight(turns: tuple[Turn, ...]) -> tuple[Turn, ...]:
    """Return the turns in which a piece's middle runs along the fabric."""
    return tuple(t for t in turns if t in (0, 180))


@dataclass(frozen=True, slots=True, kw_only=True)
class Either:
    """What a narrow fold leaves open: a copy in the double part, or its copies in the single part.

    `double` is a pair cut through both layers or half a piece on the fold, None where there is no
    choice.
    """

    double: Part | None
    singles: tuple[Part, ...]


def eithers_of(patterns: Sequence[Pattern], turns: TurnRule) -> tuple[Either, ...]:
    """Return the choices of a narrow fold, in the order of the patterns and their pieces."""
    found: list[Either] = []
    for number, pattern in enumerate(patterns):
        for piece in of_fabric(pattern):
            allowed = turns(pattern, piece)
            singles = [replace(p, zone="single") for p in _single(number, piece, allowed)]
            symmetric = not piece.mirrored and is_symmetric(piece)
            pairs = piece.copies // 2 if piece.mirrored or symmetric else 0
            both: tuple[Face, ...] = ("up", "down") if piece.mirrored else ("up",)
            for n in range(0, 2 * pairs, 2):
                pair = tuple(singles[n : n + 2])
                double = replace(pair[0], faces=both, zone="main", cuts=2)
                found.append(Either(double=double, singles=pair))
            for one in singles[2 * pairs :]:
                half = replace(one, zone="fold", turns=_straight(allowed)) if symmetric else None
                found.append(Either(double=half, singles=(one,)))
    return tuple(found)


def narrow_parts(choices: Sequence[Either], doubled: frozenset[str]) -> tuple[Part, ...]:
    """Return the copies to lay if the double parts of the given keys are chosen."""
    found: list[Part] = []
    for one in choices:
        if one.double is not None and one.double.key in doubled:
            found.append(one.double)
        else:
            found += one.singles
    return tuple(found)


def opened_out(
    parts: Sequence[Part], keys: frozenset[str], turns: TurnRule, patterns: Sequence[Pattern]
) -> tuple[Part, ...]:
    """Return the parts with those of the given keys moved from the fold to the opened part."""
    return tuple(
        replace(p, zone="opened", turns=turns(patterns[p.garment], p.piece)) if p.key in keys else p
        for p in parts
    )
