"""Rasters of pieces against scipy's image and transform tools."""

from __future__ import annotations

import numpy as np
from scipy import fft, ndimage

from outseam.cli.paper.raster import collisions, filled, good_length, spectrum_of


def test_what_is_enclosed_is_filled() -> None:
    chance = np.random.default_rng(3)
    for _ in range(150):
        edge = chance.random(chance.integers(1, 50, 2)) < chance.uniform(0.05, 0.6)
        assert np.array_equal(filled(edge), ndimage.binary_fill_holes(edge))


def test_lengths_that_transform_quickly() -> None:
    for least in range(1, 1500):
        assert good_length(least) == fft.next_fast_len(least, real=True)


def test_collisions_are_counted_cell_by_cell() -> None:
    chance = np.random.default_rng(4)
    taken, piece = chance.random((24, 31)) < 0.1, chance.random((5, 7)) < 0.5
    shape = (20, 25)
    size = (good_length(24 + 5), good_length(31 + 7))
    found = collisions(spectrum_of(taken, size), spectrum_of(piece, size).conj(), size, shape)
    for row in range(shape[0]):
        for column in range(shape[1]):
            under = taken[row : row + 5, column : column + 7]
            meets = bool((under & piece[: under.shape[0], : under.shape[1]]).any())
            assert found[row, column] == meets
