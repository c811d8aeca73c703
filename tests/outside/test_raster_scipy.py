"""Rasters of pieces against scipy's image tools."""

from __future__ import annotations

import numpy as np
from scipy import ndimage, signal

from outseam.cli.paper.raster import Mask, Meetings, Raster, filled


def test_what_is_enclosed_is_filled() -> None:
    chance = np.random.default_rng(3)
    for _ in range(150):
        edge = chance.random(chance.integers(1, 50, 2)) < chance.uniform(0.05, 0.6)
        assert np.array_equal(filled(edge), ndimage.binary_fill_holes(edge))


def _raster(mask: Mask, halo: Mask) -> Raster:
    return Raster(
        turn_deg=0, mask=mask, halo=halo, back=(2, 1), lower_left=(0.0, 0.0), size_mm=(1.0, 1.0)
    )


def test_pieces_keep_out_of_halos_cell_by_cell() -> None:
    chance = np.random.default_rng(4)
    sheet, shape = (24, 31), (20, 25)
    known = Meetings()
    rasters = [_raster(chance.random((5, 7)) < 0.5, chance.random((9, 8)) < 0.2) for _ in range(4)]
    for _ in range(30):
        occupied, placed = np.zeros(sheet), []
        for other in rasters[:3]:
            # The halo may reach over every edge of the sheet.
            row, column = (int(chance.integers(-4, side + 4)) for side in sheet)
            placed.append((other, row, column))
            for i, j in np.add(np.argwhere(other.halo), (row - 2, column - 1)):
                if 0 <= i < sheet[0] and 0 <= j < sheet[1]:
                    occupied[i, j] = 1
        found = known.taken(placed, rasters[3], shape)
        shared = signal.correlate(occupied, rasters[3].mask.astype(float), "valid")
        assert np.array_equal(found, shared > 0.5)
