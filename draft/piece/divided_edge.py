"""An edge that a feature has divided over two pieces: its parts, and the seams along it.

A pocket facing completes the front leg at the hip corner. It lies in the front's own coordinates
and has edges of the same names, so the whole edge is both parts in the order they are sewn on end.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Protocol

from outseam.curves.path import Path
from outseam.draft.piece.piece import Notch, NotchRole, Piece, Seam, Stretch
from outseam.draft.piece.ruler import ruler_length


class HasPieces(Protocol):
    """A pattern, finished or in the making."""

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """Its pieces."""


def _holders(pattern: HasPieces, piece: str, edge: str) -> list[Piece]:
    """Return the pieces that hold a part of an edge, in the order of its run."""
    found = [
        p
        for p in pattern.pieces
        if piece in (p.name, p.completes) and any(e.name == edge for e in p.edges)
    ]
    if len(found) == 2:
        first, second = (p.edge(edge).path for p in found)
        if math.dist(first.end, second.start) > math.dist(second.end, first.start):
            found.reverse()
    return found


def edge_parts(pattern: HasPieces, piece: str, edge: str) -> tuple[Path, ...]:
    """Return the parts of an edge of a leg, in the order of its run; one where it is whole."""
    return tuple(p.edge(edge).path for p in _holders(pattern, piece, edge))


def edge_length(pattern: HasPieces, piece: str, edge: str) -> float:
    """Return the length of an edge of a leg, all its parts together, mm, by the second ruler."""
    return sum(ruler_length(path) for path in edge_parts(pattern, piece, edge))


def edge_notches(pattern: HasPieces, piece: str, edge: str) -> dict[NotchRole, float]:
    """Return where along the whole edge its notches sit, mm from its start, by their roles."""
    found: dict[NotchRole, float] = {}
    before = 0.0
    for holder in _holders(pattern, piece, edge):
        found |= {n.role: before + n.at_mm for n in holder.notches if n.edge == edge}
        before += ruler_length(holder.edge(edge).path)
    return found


def divided_notches(
    notches: Iterable[Notch], edge: str, at_mm: float, *, first_stays: bool
) -> tuple[tuple[Notch, ...], tuple[Notch, ...]]:
    """Return the notches that stay and those that go with the part of `edge` that is cut away.

    `at_mm` is where the edge is divided; `first_stays`: its first part stays.
    """
    stay: list[Notch] = []
    go: list[Notch] = []
    for n in notches:
        if n.edge != edge:
            stay.append(n)
            continue
        first = n.at_mm <= at_mm
        moved = n if first else replace(n, at_mm=n.at_mm - at_mm)
        (stay if first == first_stays else go).append(moved)
    return tuple(stay), tuple(go)


def divided_seams(
    seams: Iterable[Seam], whole: tuple[str, str], at_mm: float, first: str, second: str
) -> tuple[Seam, ...]:
    """Return the seams with those along the edge `whole` (piece, edge) divided at `at_mm`.

    What lies before `at_mm` belongs to the edge of that name of the piece `first`, the rest to
    `second`. Both sides of a seam are taken to run the same way; planned ease stays in the last
    part.
    """

    def owner(s: Stretch, *, before: bool) -> Stretch:
        shift = 0.0 if before else at_mm
        return replace(
            s,
            piece=first if before else second,
            from_mm=s.from_mm - shift,
            to_mm=s.to_mm - shift,
        )

    found: list[Seam] = []
    for seam in seams:
        side = next((k for k in ("a", "b") if _is(getattr(seam, k), whole)), None)
        if side is None:
            found.append(seam)
            continue
        s: Stretch = getattr(seam, side)
        if s.to_mm <= at_mm or s.from_mm >= at_mm:
            found.append(_with(seam, side, owner(s, before=s.to_mm <= at_mm)))
            continue
        found += _two(seam, side, at_mm, owner)
    return tuple(found)


def _is(s: Stretch, whole: tuple[str, str]) -> bool:
    return (s.piece, s.edge) == whole


def _with(seam: Seam, side: str, s: Stretch) -> Seam:
    return replace(seam, a=s) if side == "a" else replace(seam, b=s)


def _two(seam: Seam, side: str, at_mm: float, owner: Callable[..., Stretch]) -> tuple[Seam, Seam]:
    """Return a seam as two, divided where its side `side` reaches `at_mm`."""
    s: Stretch = getattr(seam, side)
    other = seam.b if side == "a" else seam.a
    far = other.from_mm + (at_mm - s.from_mm)
    other_side = "b" if side == "a" else "a"
    above = _with(seam, side, owner(replace(s, to_mm=at_mm, to_end=True), before=True))
    above = _with(above, other_side, replace(other, to_mm=far, to_end=False))
    below = _with(seam, side, owner(replace(s, from_mm=at_mm), before=False))
    below = _with(below, other_side, replace(other, from_mm=far))
    low, high = seam.between or ("", "")
    return (
        replace(
            above, name=f"{seam.name}, above the pocket", between=("pocket", high), ease_mm=0.0
        ),
        replace(below, name=f"{seam.name}, below the pocket", between=(low, "pocket")),
    )
