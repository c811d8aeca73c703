"""Lays on squared paper: places are squares, and what pieces forbid each other is sets of squares.

A piece, half the gap around it, is cut into rows as high as a square; each row reaches from its
leftmost to its rightmost point, so nothing comes nearer than the gap. For two pieces the offsets at
which their rows meet form a set; kept as the bits of one whole number, column after column, it is
moved by a shift, united by an or, and the lowest bit that is free is the place nearest to the cut
end. So a piece is placed in some hundredths of a millisecond, and hundreds of lays can be tried in
the time of one exact one. What is found is settled exactly afterwards.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from outseam.draft.lay.model.orientations import Item, Orientation
from outseam.draft.lay.model.placement import Floats
from outseam.draft.lay.model.positions import Position, Positions
from outseam.draft.lay.nest.rows import EVEN, Rows, meeting

#: A square is about so large, mm: along the fabric and across it.
ALONG_MM, ACROSS_MM = 20.0, 2.25

#: Where a piece is put: as near to the cut end as it goes, there as low or as high as it goes; or
#: as near as it goes along the selvedge at y = 0, or along the other edge; or as low or as high
#: as it goes in a row of some length, there nearest to the cut end.
Corner: TypeAlias = Literal["low", "high", "selvedge", "far", "below", "above"]
CORNERS: tuple[Corner, ...] = ("low", "high", "selvedge", "far", "below", "above")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Base:
    """A shape of which several forms are mirror images; `even`: it is its own.

    `x_mm` and `y_mm` are from the corner of its squares to its leftmost and lowest point.
    """

    number: int
    plain: Rows
    x_mm: float
    y_mm: float
    even_along: bool
    even_across: bool


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Form:
    """An item in an orientation on the board: a shape of `base`, perhaps in a mirror.

    `off` has for each corner the places that it may not have even on an empty board.
    """

    number: int
    orientation: Orientation
    base: _Base
    along: bool
    across: bool
    shape: Rows
    off: dict[Corner, int]


#: An item's form and its place, `x * stride + y` in squares.
Spot: TypeAlias = tuple[Item, Form, int]


class Board:
    """Squared paper as broad as a fabric, and what the orientations laid on it forbid each other.

    No lay may get longer than `length_mm`.
    """

    def __init__(self, breadth_mm: float, gap_mm: float, length_mm: float) -> None:
        self._breadth, self._out = breadth_mm, gap_mm / 2.0
        whole = breadth_mm + 2.0 * self._out
        self.high = max(1, math.ceil(whole / ACROSS_MM))
        self.across_mm = whole / self.high
        self.stride = self.high + 1
        self.long = math.ceil(length_mm / ALONG_MM) + 1
        self._forms: dict[tuple[int, bool], Form] = {}
        self._bases: dict[tuple[int, bool, bool], _Base] = {}
        self._met: dict[tuple[int, int, bool, bool], NDArray[np.bool_]] = {}
        self._bits: dict[tuple[int, int], tuple[int, int]] = {}
        self._column = (1 << self.stride) - 1
        first = np.arange(self.stride) == 0
        self._first_row = _number(np.tile(first, self.long))

    def forms(self, item: Item) -> tuple[Form, ...]:
        """Return an item's forms that differ, in the order of its orientations."""
        found: list[Form] = []
        for orientation in item.orientations:
            key = id(orientation), item.at_fold
            if key not in self._forms:
                self._forms[key] = self._form(item, orientation)
            form = self._forms[key]
            if not any(form.shape.like(other.shape) for other in found):
                found.append(form)
        return tuple(found)

    def _form(self, item: Item, orientation: Orientation) -> Form:
        along, across = orientation.mirrors
        if item.at_fold:  # half of a piece that is its own mirror image across
            across = False
        key = id(orientation.cut), orientation.turn_deg % 180 == 0, item.at_fold
        if key not in self._bases:
            shape, x_mm, y_mm = self._rows(orientation)
            plain = shape.flipped(along=along, across=across)
            self._bases[key] = _Base(
                number=len(self._bases),
                plain=plain,
                x_mm=x_mm,
                y_mm=y_mm,
                even_along=plain.like(plain.flipped(along=True, across=False)),
                even_across=plain.like(plain.flipped(along=False, across=True)),
            )
        base = self._bases[key]
        shape = base.plain.flipped(along=along, across=across)
        free = self.high - shape.high
        far = self._all_but(range(max(0, free), free + 1))
        off = dict.fromkeys(CORNERS, far)
        if not item.at_fold:
            off = dict.fromkeys(CORNERS, self._all_but(range(free + 1)))
            off |= {"selvedge": self._all_but(range(min(1, free + 1))), "far": far}
        return Form(
            number=len(self._forms),
            orientation=orientation,
            base=base,
            along=along,
            across=across,
            shape=shape,
            off=off,
        )

    def _rows(self, orientation: Orientation) -> tuple[Rows, float, float]:
        """Return an orientation in rows, in the middle of its squares, and how far that is."""
        p, out = orientation.coarse, self._out
        long = math.ceil((orientation.length_mm + 2.0 * out) / ALONG_MM - EVEN)
        high = math.ceil((orientation.breadth_mm + 2.0 * out) / self.across_mm - EVEN)
        x = (long * ALONG_MM - orientation.length_mm) / 2.0
        y = (high * self.across_mm - orientation.breadth_mm) / 2.0
        low, top = (p.low + y) / self.across_mm, (p.high + y) / self.across_mm
        first = np.clip(np.floor(low + EVEN).astype(np.intp), 0, high - 1)
        last = np.clip(np.ceil(top - EVEN).astype(np.intp) - 1, first, high - 1)
        count = last - first + 1
        which = np.repeat(np.arange(len(first)), count)
        rows = np.arange(len(which)) - np.repeat(np.cumsum(count) - count, count) + first[which]
        height = (top - low)[which]
        start = np.clip((rows - low[which]) / height, 0.0, 1.0)
        end = np.clip((rows + 1 - low[which]) / height, 0.0, 1.0)

        def at(share: Floats, a: Floats, b: Floats) -> Floats:
            return (a[which] + share * (b - a)[which] + x) / ALONG_MM

        left = np.minimum(at(start, p.left_low, p.left_high), at(end, p.left_low, p.left_high))
        right = np.maximum(at(start, p.right_low, p.right_high), at(end, p.right_low, p.right_high))
        rows, left, right = _united(rows, left, right)
        return Rows(rows=rows, left=left, right=right, high=high, long=long), x, y

    def _all_but(self, rows: range) -> int:
        """Return all places but those in some rows."""
        column = np.ones(self.stride, dtype=bool)
        column[rows.start : rows.stop] = False
        return _number(np.tile(column, self.long + 1))

    def place(self, placed: Sequence[Spot], form: Form, corner: Corner, within: int) -> int | None:
        """Return the place of a form beside others; None if it is nowhere free.

        Pushed across, it stays within so many columns.
        """
        taken = form.off[corner]
        for _, other, at in placed:
            bits, back = self._bits.get((other.number, form.number)) or self._forbidden(other, form)
            shift = at - back
            taken |= bits << shift if shift >= 0 else bits >> -shift
        if corner in ("below", "above"):
            return self._across(taken, within - form.shape.long + 1, below=corner == "below")
        place = (taken ^ (taken + 1)).bit_length() - 1
        if place >= self.long * self.stride:
            return None
        if corner == "high":
            begin = place - place % self.stride
            column = taken >> begin & self._column ^ self._column
            place = begin + column.bit_length() - 1
        return place

    def _across(self, taken: int, columns: int, *, below: bool) -> int | None:
        """Return the free place in the lowest or highest row, of so many columns."""
        size = max(0, columns) * self.stride
        every = (1 << size) - 1
        free = taken & every ^ every
        if not free:
            return None
        rows, step = free, self.stride
        while step < size:
            rows |= rows >> step
            step *= 2
        rows &= self._column
        row = ((rows ^ (rows - 1)) if below else rows).bit_length() - 1
        found = free >> row & self._first_row
        return (found ^ (found - 1)).bit_length() - 1 + row

    def _forbidden(self, a: Form, b: Form) -> tuple[int, int]:
        """Return where b may not stand beside an a at place 0: bits, and how far up they are."""
        met = self._meeting(a, b)
        long, high = b.shape.long - 1, b.shape.high - 1
        # What lies below a column is at the upper end of the one before it, off the fabric.
        twice = np.zeros((len(met), 2 * self.stride), dtype=bool)
        begin = self.stride - high
        twice[:, begin : begin + met.shape[1]] = met
        flat = np.zeros((len(met) + 1, self.stride), dtype=bool)
        flat[:-1] = twice[:, : self.stride]
        flat[1:] |= twice[:, self.stride :]
        found = self._bits[a.number, b.number] = _number(flat.ravel()), (long + 1) * self.stride
        return found

    def _meeting(self, a: Form, b: Form) -> NDArray[np.bool_]:
        """Return whether b meets a at each offset (along, across), from the lowest of both."""
        first, second = a.base, b.base
        if first.number > second.number:
            return self._meeting(b, a)[::-1, ::-1]
        # Both are seen in the mirror that makes one of them plain; what meets there meets here.
        along = b.along if first.even_along else a.along
        across = b.across if first.even_across else a.across
        key = (
            first.number,
            second.number,
            not first.even_along and not second.even_along and a.along != b.along,
            not first.even_across and not second.even_across and a.across != b.across,
        )
        if key not in self._met:
            self._met[key] = meeting(
                a.shape.flipped(along=along, across=across),
                b.shape.flipped(along=along, across=across),
            )
        return self._met[key][:: -1 if along else 1, :: -1 if across else 1]

    def positions(self, placed: Sequence[Spot]) -> Positions:
        """Return the items where they stand, in millimetres on the fabric."""
        found = []
        for item, form, at in placed:
            x, y = divmod(at, self.stride)
            orientation = form.orientation
            room = self._breadth - orientation.breadth_mm
            level = min(max(0.0, y * self.across_mm + form.base.y_mm - self._out), room)
            found.append(
                Position(
                    item=item,
                    orientation=orientation,
                    x_mm=x * ALONG_MM + form.base.x_mm,
                    y_mm=room if item.at_fold else level,
                )
            )
        return tuple(found)


def _united(
    rows: NDArray[np.intp], left: Floats, right: Floats
) -> tuple[NDArray[np.intp], Floats, Floats]:
    """Return the parts of rows, those that touch made one."""
    order = np.lexsort((left, rows))
    found: list[list[float]] = []
    for row, a, b in np.stack([rows, left, right], axis=1)[order].tolist():
        if found and found[-1][0] == row and a <= found[-1][2]:
            found[-1][2] = max(found[-1][2], b)
        else:
            found.append([row, a, b])
    table = np.array(found)
    return table[:, 0].astype(np.intp), table[:, 1], table[:, 2]


def _number(bits: NDArray[np.bool_]) -> int:
    """Return bits, the lowest first, as one whole number."""
    return int.from_bytes(np.packbits(bits, bitorder="little").tobytes(), "little")
