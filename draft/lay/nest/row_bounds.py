"""What rows of a few pieces cannot undercut, whatever the order of those to come."""

from __future__ import annotations

import numpy as np

from outseam.draft.lay.model.placement import Floats

#: Rows of more pieces have too many subsets.
MOST_PIECES = 8


def least_rests(after: Floats, lengths: Floats) -> Floats:
    """Return what rows take at least from the start of a piece on, if a set of others comes behind.

    `after` (m, n, n) is for m rows of n pieces how far behind the start of one another starts at
    least, `lengths` (m, n) how long they are, mm. The answer (m, 2 ** n, n) counts sets by their
    bits. Each piece keeps its distance from the one before it, in the best of all orders (Held and
    Karp, A dynamic programming approach to sequencing problems, from memory).
    """
    rows, n = lengths.shape
    found = np.empty((1 << n, rows, n))
    found[0] = lengths
    for others in range(1, 1 << n):
        ways = [
            after[:, :, k] + found[others ^ 1 << k, :, k, None] for k in range(n) if others >> k & 1
        ]
        np.maximum(lengths, np.minimum.reduce(ways), out=found[others])
    return found.transpose(1, 0, 2)
