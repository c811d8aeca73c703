"""Pieces cut into rows of squares, and where two of them meet."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from outseam.draft.lay.model.placement import Floats

#: Rows that touch by less than this do not meet, squares.
EVEN = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rows:
    """A piece in rows of squares: `rows` (n,) counts from below, `left` and `right` (n,) are where
    they begin and end. A row may come more than once. `high` and `long` are what all takes.
    """

    rows: NDArray[np.intp]
    left: Floats
    right: Floats
    high: int
    long: int

    @property
    def area(self) -> float:
        """How many squares it takes at least."""
        return float((self.right - self.left).sum())

    def flipped(self, *, along: bool, across: bool) -> Rows:
        """Return it in a mirror along the fabric, across it, or both."""
        return Rows(
            rows=self.high - 1 - self.rows if across else self.rows,
            left=self.long - self.right if along else self.left,
            right=self.long - self.left if along else self.right,
            high=self.high,
            long=self.long,
        )

    def like(self, other: Rows) -> bool:
        """Return whether it takes the same squares as another."""
        if (self.high, self.long, len(self.rows)) != (other.high, other.long, len(other.rows)):
            return False
        mine, theirs = (np.lexsort((s.left, s.rows)) for s in (self, other))
        apart = np.abs(self.left[mine] - other.left[theirs]) + np.abs(
            self.right[mine] - other.right[theirs]
        )
        return bool((self.rows[mine] == other.rows[theirs]).all() and apart.max() < EVEN)

    @property
    def straight(self) -> bool:
        """Whether all its rows are alike, so that it is a rectangle."""
        one_a_row = len(self.rows) == self.high
        return one_a_row and float(max(np.ptp(self.left), np.ptp(self.right))) < EVEN

    def lowest(self) -> Rows:
        """Return its lowest row alone."""
        own = self.rows == 0
        return Rows(
            rows=self.rows[own], left=self.left[own], right=self.right[own], high=1, long=self.long
        )


def meeting(a: Rows, b: Rows) -> NDArray[np.bool_]:
    """Return whether b meets a at each offset (along, across), from the lowest of both."""
    if b.high > 1 and b.straight:
        # Where its lowest row meets a, the others do as much lower.
        low = meeting(a, b.lowest())
        met = np.zeros((len(low), a.high + b.high - 1), dtype=bool)
        met[:, : a.high] = low
        done = 1
        while done < b.high:
            more = min(done, b.high - done)
            met[:, more:] |= met[:, :-more]
            done += more
        return met
    if a.high > 1 and a.straight:
        return meeting(b, a)[::-1, ::-1]
    return _meeting(a, b)


def _meeting(a: Rows, b: Rows) -> NDArray[np.bool_]:
    long, high = a.long + b.long - 1, a.high + b.high - 1
    # Offsets are counted along, row after row, with one more in each, where all that meets ends.
    size = high * (long + 1)
    on_a, on_b = a.rows * (long + 1.0), (b.rows + 1.0 - b.high) * (long + 1.0) - b.long
    at = np.empty((len(on_a), len(on_b)), dtype=np.intp)
    np.subtract((on_a + a.left + EVEN)[:, None], on_b + b.right, out=at, casting="unsafe")
    depth = np.bincount(at.ravel(), minlength=size)
    np.subtract((on_a + a.right - EVEN)[:, None], on_b + b.left, out=at, casting="unsafe")
    depth -= np.bincount(at.ravel(), minlength=size)
    met = np.cumsum(depth, out=depth).reshape(high, long + 1)[:, :long].T
    return np.greater(met, 0, order="C")
