"""A lay as it is written: the order in which pieces are put down on a board, and how each is."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from outseam.draft.lay.model.orientations import Item
from outseam.draft.lay.nest.board import Board, Corner, Form, OnBoard


class Gene(NamedTuple):
    """How an item is put down: in one of its forms by number, or in the best (-1).

    `within` is how long a row it is pushed in, squares, where it is pushed across.
    """

    item: int
    form: int = -1
    corner: Corner = "low"
    within: int = 0


class Written(NamedTuple):
    """A lay as it is written, and what lies on the board after each item was put down."""

    genes: Sequence[Gene]
    steps: Sequence[OnBoard]

    @property
    def laid(self) -> OnBoard:
        """All of it."""
        return self.steps[-1]

    @property
    def length(self) -> int:
        """How long it is, squares."""
        return self.steps[-1].length


def merit(lay: Written) -> tuple[int, int]:
    """Return what is compared of lays, less is better."""
    laid = lay.steps[-1]
    return laid.length, laid.reach


class Laying:
    """Some items and the board on which they are laid.

    Copies of a piece that nothing pulls lie alike, all along the fabric or all across.
    """

    def __init__(self, items: Sequence[Item], board: Board) -> None:
        self.items, self.board = tuple(items), board
        self.forms = [board.forms(i) for i in items]
        self._alike = [i.part.piece.any_grain and i.part.piece.copies > 1 for i in items]

    def lay(
        self, genes: Sequence[Gene], limit: int | None = None, known: Written | None = None
    ) -> Written | None:
        """Return the lay; None where it gets longer than the limit or something fits nowhere.

        As far as it is written like a known one it lies like that.
        """
        most = self.board.long if limit is None else limit
        steps: list[OnBoard] = []
        laid: OnBoard | None = None
        same = 0 if known is None else len(known.genes)
        for n, gene in enumerate(genes):
            if n < same and known is not None and gene == known.genes[n]:
                laid = known.steps[n]
            else:
                same, laid = 0, self.put(gene, laid)
            if laid is None or laid.length > most:
                return None
            steps.append(laid)
        return Written(genes, steps)

    def put(self, gene: Gene, laid: OnBoard | None) -> OnBoard | None:
        """Return what lies there with an item more: as near to the cut end as it goes, or as far
        across if so pushed.
        """
        item, forms, stride = self.items[gene.item], self.forms[gene.item], self.board.stride
        if gene.form >= 0:
            forms = forms[gene.form : gene.form + 1]
        grain = None
        if self._alike[gene.item] and laid is not None:
            alike = (one.form for one in laid if one.item.part.piece is item.part.piece)
            grain = next((f.orientation.turn_deg % 180 for f in alike), None)
        best: tuple[int, Form, int] | None = None
        for form in forms:
            if grain is not None and form.orientation.turn_deg % 180 != grain:
                continue
            at = self.board.place(laid, form, gene.corner, gene.within)
            if at is None:
                continue
            if gene.corner == "below":
                worth = at % stride + form.shape.high
            elif gene.corner == "above":
                worth = -(at % stride)
            else:
                worth = at // stride + form.shape.long
            if best is None or worth < best[0]:
                best = worth, form, at
        return None if best is None else self.board.put(laid, item, best[1], best[2])
