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
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from outseam.draft.lay.model.orientations import Item, Orientation
from outseam.draft.lay.model.placement import Floats
from outseam.draft.lay.model.positions import Position, Positions
from outseam.draft.lay.nest.rows import EVEN, Rows, meeting

#: A square is about so large, mm: along the fabric and across it.
ALONG_MM, ACROSS_MM = 25.0, 2.5

#: Where a piece is put: as near to the cut end as it goes, there as low or as high as it goes; or
#: as near as it goes along the selvedge at y = 0, or along the other edge; or as low or as high
#: as it goes in a row of some length, there nearest to the cut end.
Corner: TypeAlias = Literal["low", "high", "selvedge", "far", "below", "above"]
CORNERS: tuple[Corner, ...] = ("low", "high", "selvedge", "far", "below", "above")


#: Two shapes as they are seen, see `Form.seen`.
_Pair: TypeAlias = tuple[tuple[int, bool, bool], tuple[int, bool, bool]]


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

    `off` has the places that it may not have even on an empty board, `beside` those besides that
    are not along the edge into which a corner pushes.
    """

    number: int
    orientation: Orientation
    base: _Base
    along: bool
    across: bool
    shape: Rows
    off: int
    beside: dict[Corner, int]

    def like(self, other: Form) -> bool:
        """Return whether it takes the same squares as another."""
        if self.base is not other.base:
            return self.shape.like(other.shape)
        return self.seen() == other.seen()

    def seen(self, *, turned: bool = False) -> tuple[int, bool, bool]:
        """Return what tells its squares from others, or those after half a turn."""
        along = not self.base.even_along and self.along != turned
        return self.base.number, along, not self.base.even_across and self.across != turned


class OnBoard:
    """What lies on a board: an item at the place `at`, `x * stride + y` in squares, put down last.

    `before` is what lay there already (None: nothing). `length` is how far all of it reaches and
    `reach` how far each does, added up. Never changed but for what all of it forbids other forms,
    which is kept as it is asked for: lays that begin alike share it.
    """

    __slots__ = ("at", "before", "forbidden", "form", "item", "length", "reach")

    def __init__(self, before: OnBoard | None, item: Item, form: Form, at: int, end: int) -> None:
        self.before, self.item, self.form, self.at = before, item, form, at
        self.length, self.reach = end, end * form.shape.high
        if before is not None:
            self.length = max(end, before.length)
            self.reach += before.reach
        self.forbidden: dict[int, int] = {}

    def __iter__(self) -> Iterator[OnBoard]:
        """Yield what was put down, the last first."""
        one: OnBoard | None = self
        while one is not None:
            yield one
            one = one.before


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
        self._beside: dict[_Pair, int] = {}
        self._bits: dict[tuple[int, int], tuple[int, int]] = {}
        self._column = (1 << self.stride) - 1
        first = np.arange(self.stride) == 0
        self._first_row = _number(np.tile(first, self.long + 1))

    def forms(self, item: Item) -> tuple[Form, ...]:
        """Return an item's forms that differ, in the order of its orientations."""
        found: list[Form] = []
        for orientation in item.orientations:
            key = id(orientation), item.at_fold
            if key not in self._forms:
                self._forms[key] = self._form(item, orientation)
            form = self._forms[key]
            if not any(form.like(other) for other in found):
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
        off, far = self._all_but(0, free + 1), self._all_but(max(0, free), free + 1)
        beside: dict[Corner, int] = {}
        if item.at_fold:
            off = far
        else:
            beside = {"selvedge": self._all_but(0, min(1, free + 1)), "far": far}
        return Form(
            number=len(self._forms),
            orientation=orientation,
            base=base,
            along=along,
            across=across,
            shape=shape,
            off=off,
            beside=beside,
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

    def _all_but(self, first: int, end: int) -> int:
        """Return all places but those in the rows from `first` to before `end`."""
        rows = (self._first_row << max(first, end)) - (self._first_row << first)
        return rows ^ (1 << self.stride * (self.long + 1)) - 1

    def _taken(self, laid: OnBoard | None, form: Form) -> int:
        """Return all places that a form may not have beside what lies there."""
        number, fresh, taken = form.number, [], form.off
        while laid is not None:
            known = laid.forbidden.get(number)
            if known is not None:
                taken = known
                break
            fresh.append(laid)
            laid = laid.before
        for one in reversed(fresh):
            bits, back = self._bits.get((one.form.number, number)) or self._forbidden(
                one.form, form
            )
            shift = one.at - back
            taken |= bits << shift if shift >= 0 else bits >> -shift
            one.forbidden[number] = taken
        return taken

    def place(self, laid: OnBoard | None, form: Form, corner: Corner, within: int) -> int | None:
        """Return the place of a form beside what lies there; None if it is nowhere free.

        Pushed across, it stays within so many columns.
        """
        taken = self._taken(laid, form)
        if corner in ("below", "above"):
            return self._across(taken, within - form.shape.long + 1, below=corner == "below")
        if corner in form.beside:
            taken |= form.beside[corner]
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
        rows = free
        while columns > 1:
            # The columns of one half are laid on those of the other.
            columns = (columns + 1) // 2
            half = columns * self.stride
            rows = rows >> half | rows & (1 << half) - 1
        row = ((rows ^ (rows - 1)) if below else rows).bit_length() - 1
        found = free >> row & self._first_row
        return (found ^ (found - 1)).bit_length() - 1 + row

    def _forbidden(self, a: Form, b: Form) -> tuple[int, int]:
        """Return where b may not stand beside an a at place 0: bits, and how far up they are."""
        # After half a turn of both, a lies beside b as b did beside a.
        key, turned = (a.seen(), b.seen()), (b.seen(turned=True), a.seen(turned=True))
        bits = self._beside.get(key) or self._beside.get(turned)
        if bits is None:
            met = self._meeting(a, b)
            high = met.shape[1] - self.stride
            # What is higher than the paper is at the lower end of the next column, off the fabric.
            flat = np.zeros((len(met) + 1, self.stride), dtype=bool)
            flat[:-1, : met.shape[1]] = met[:, : self.stride]
            if high > 0:
                flat[1:, :high] |= met[:, self.stride :]
            bits = self._beside[key] = _number(flat.ravel())
        back = (b.shape.long - 1) * self.stride + b.shape.high - 1
        found = self._bits[a.number, b.number] = bits, back
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

    def put(self, laid: OnBoard | None, item: Item, form: Form, at: int) -> OnBoard:
        """Return what lies there with an item more."""
        return OnBoard(laid, item, form, at, at // self.stride + form.shape.long)

    def positions(self, laid: OnBoard) -> Positions:
        """Return the items where they stand, in millimetres on the fabric, in their order."""
        found = []
        for one in laid:
            x, y = divmod(one.at, self.stride)
            form, orientation = one.form, one.form.orientation
            room = self._breadth - orientation.breadth_mm
            level = min(max(0.0, y * self.across_mm + form.base.y_mm - self._out), room)
            found.append(
                Position(
                    item=one.item,
                    orientation=orientation,
                    x_mm=x * ALONG_MM + form.base.x_mm,
                    y_mm=room if one.item.at_fold else level,
                )
            )
        return tuple(reversed(found))


def _united(
    rows: NDArray[np.intp], left: Floats, right: Floats
) -> tuple[NDArray[np.intp], Floats, Floats]:
    """Return the parts of rows, those that touch made one."""
    order = np.lexsort((left, rows))
    rows, left, right = rows[order], left[order], right[order]
    # Rows are set so far apart that the furthest end so far is never one of another row.
    apart = rows * (float(right.max()) - float(left.min()) + 1.0)
    reach = np.maximum.accumulate(right + apart)
    first = np.flatnonzero(np.append(True, (left + apart)[1:] > reach[:-1]))
    return rows[first], left[first], np.maximum.reduceat(right, first)


def _number(bits: NDArray[np.bool_]) -> int:
    """Return bits, the lowest first, as one whole number."""
    return int.from_bytes(np.packbits(bits, bitorder="little").tobytes(), "little")
