"""A finished lay, frozen: what lies where, how much fabric it takes, and the verdict on it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from outseam.draft.lay.model.cloth import Cloth
from outseam.draft.lay.model.orientations import Orientation
from outseam.draft.lay.model.parts import Part
from outseam.draft.lay.model.placement import Lie
from outseam.draft.lay.model.positions import Positions
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Finding, Piece


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """One copy on the fabric, mm.

    `piece` is as cut, grown for shrinkage; `lie` puts it there. `x_mm` is from the cut end to its
    leftmost point, `y_mm` from the selvedge at y = 0 to its lowest. On the fold only the half
    below its middle lies on the fabric. `border` says that its place is at the border.
    """

    part: Part
    piece: Piece
    lie: Lie
    x_mm: float
    y_mm: float
    length_mm: float
    breadth_mm: float
    border: bool = False

    @property
    def key(self) -> str:
        """The copy's key within the lay."""
        return self.part.key

    @property
    def name(self) -> str:
        """What the copy is called: its piece and its number."""
        return f"{self.piece.title.lower()} {self.part.copy}"

    @property
    def end_mm(self) -> float:
        """How far from the cut end it reaches."""
        return self.x_mm + self.length_mm

    @property
    def top_mm(self) -> float:
        """How far from the selvedge it reaches."""
        return self.y_mm + self.breadth_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Lay:
    """Pieces on a cloth.

    `names` says whose each garment is. `length_mm` is from the cut end to the end of the last
    piece, `bound_mm` what no lay of these pieces can be shorter than. Folded fabric is opened out
    at `opened_mm` (None: nowhere). `fold_mm` is how deep a narrow fold is turned in (None: there is
    none). `left_out` names the pieces that are cut from a lining. `order` has the pieces of each
    garment in the order of its cutting list, which numbers them. `tape_mm` is how far apart the
    lines of the tape are on which the places lie (None: on none).
    `area_mm2` is the fabric in the pieces, both layers counted.
    """

    cloth: Cloth
    names: tuple[str, ...]
    placed: tuple[Placed, ...]
    length_mm: float
    bound_mm: float
    area_mm2: float
    opened_mm: float | None = None
    fold_mm: float | None = None
    tape_mm: float | None = None
    how: str = ""
    left_out: tuple[str, ...] = ()
    order: tuple[tuple[str, ...], ...] = ()
    findings: tuple[Finding, ...] = ()

    def number(self, placed: Placed) -> int:
        """Return the number of a placed piece: that of its piece in the cutting list.

        Copies of a piece share it. Without an `order` it is the place in which it is met.
        """
        if not self.order:
            return self.placed.index(placed) + 1
        return self.order[placed.part.garment].index(placed.part.piece.name) + 1

    @property
    def utilisation(self) -> float:
        """Share of the fabric that is in the pieces."""
        return self.area_mm2 / (self.length_mm * self.cloth.width_mm)

    @property
    def table_mm(self) -> float:
        """How far the fabric reaches across the table, where that is most."""
        if self.fold_mm is not None:
            return self.cloth.width_mm - self.fold_mm
        return self.cloth.width_mm if self.opened_mm is not None else self.cloth.breadth_mm

    @property
    def turned_in_mm(self) -> float | None:
        """Where the selvedge lies that a narrow fold turns in, from the near one."""
        return None if self.fold_mm is None else self.cloth.width_mm - 2.0 * self.fold_mm

    def room_mm(self, part: Part) -> tuple[float, float]:
        """Return from where to where across the fabric a part may lie."""
        turned_in = self.turned_in_mm
        if turned_in is not None:
            return (0.0, turned_in) if part.zone == "single" else (turned_in, self.table_mm)
        return 0.0, self.cloth.width_mm if part.zone == "opened" else self.cloth.breadth_mm

    @property
    def errors(self) -> tuple[Finding, ...]:
        """What makes the lay unusable."""
        return tuple(f for f in self.findings if f.level == "error")


def placed_at(part: Part, orientation: Orientation, x_mm: float, y_mm: float) -> Placed:
    """Return a part in one of its orientations with its leftmost and lowest points at x and y."""
    return Placed(
        part=part,
        piece=orientation.cut,
        lie=orientation.lie.moved(x_mm, y_mm),
        x_mm=x_mm,
        y_mm=y_mm,
        length_mm=orientation.length_mm,
        breadth_mm=orientation.breadth_mm,
    )


def placed_positions(positions: Positions) -> tuple[Placed, ...]:
    """Return positions as placed pieces, positions rounded, in the order in which they are met."""
    return in_order(
        placed_at(s.item.part, s.orientation, round(s.x_mm, 2), round(s.y_mm, 2)) for s in positions
    )


def in_order(placed: Iterable[Placed]) -> tuple[Placed, ...]:
    """Return pieces as a person meets them who lays from the cut end on: by column, then across."""
    return tuple(sorted(placed, key=lambda p: (round(p.x_mm / 150.0), p.y_mm, p.x_mm, p.key)))


def lining_pieces(patterns: Sequence[Pattern]) -> tuple[str, ...]:
    """Return what is not laid on the fabric, in words."""
    return tuple(
        f"{piece.title.lower()} ({piece.cut_note})"
        for pattern in patterns
        for piece in pattern.pieces
        if piece.lining
    )


def garment_names(patterns: Sequence[Pattern]) -> tuple[str, ...]:
    """Return what to call each garment: its title, else its wearer, numbered if not told apart."""
    names = [p.spec.title or p.spec.body.name or "pants" for p in patterns]
    return tuple(
        f"{name} ({n + 1})" if names.count(name) > 1 else name for n, name in enumerate(names)
    )
