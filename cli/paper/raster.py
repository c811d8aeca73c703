"""A piece as a raster of cells, at each quarter turn: the form the arranging works on."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray

from outseam.curves.path import Floats
from outseam.draft.lay.model.placement import Turn
from outseam.draft.lay.nest.rows import Rows, meeting

Mask: TypeAlias = NDArray[np.bool_]

TURNS: tuple[Turn, ...] = (0, 90, 180, 270)

#: Buffers with round corners lie up to 1 % inside the true parallel; the halo makes up for it.
_ROUND = 1.02

#: The outline is sampled this many times per cell: a corner that dips less than a thirty-second
#: of a cell into a neighbour can be missed, which `_SLACK_MM` makes up for.
_SAMPLES_PER_CELL = 16
_SLACK_MM = 0.3


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Raster:
    """One piece at one turn: the cells it fills (`mask`), those it keeps others out of (`halo`).

    Rows run upward. `lower_left` is where the mask's first cell starts, in the coordinates of the
    turned outline; the halo starts `back` cells (up, across) before it. `size_mm` is the width and
    height of what the mask covers.
    """

    turn_deg: Turn
    mask: Mask
    halo: Mask
    back: tuple[int, int]
    lower_left: tuple[float, float]
    size_mm: tuple[float, float]


def turned(points: Floats, turn_deg: Turn) -> Floats:
    """Return points, shape (m, 2), turned counter-clockwise about the origin, exactly."""
    c, s = {0: (1.0, 0.0), 90: (0.0, 1.0), 180: (-1.0, 0.0), 270: (0.0, -1.0)}[turn_deg]
    return np.asarray(np.asarray(points, dtype=np.float64) @ np.array([[c, s], [-s, c]]))


def piece_rasters(
    outline: Floats, cell_mm: tuple[float, float], margin_mm: float, gap_mm: float
) -> list[Raster]:
    """Raster a piece at every turn on cells of `cell_mm` (across, up).

    The mask covers the piece and `margin_mm` around it. Where the mask of one piece and the halo
    of another share no cell, the two pieces are at least `gap_mm` apart.
    """
    found = []
    for turn_deg in TURNS:
        polygon = shapely.make_valid(shapely.Polygon(turned(outline, turn_deg)))
        body = shapely.buffer(polygon, margin_mm)
        around = shapely.buffer(
            polygon, max(gap_mm - margin_mm, 0.0) * _ROUND + margin_mm / 50 + _SLACK_MM
        )
        x0, y0, x1, y1 = body.bounds
        across, up = (math.ceil((gap_mm + 1.0) / side) for side in cell_mm)
        found.append(
            Raster(
                turn_deg=turn_deg,
                mask=_cells(body, (x0, y0), cell_mm),
                halo=_cells(around, (x0 - across * cell_mm[0], y0 - up * cell_mm[1]), cell_mm),
                back=(up, across),
                lower_left=(x0, y0),
                size_mm=(x1 - x0, y1 - y0),
            )
        )
    return found


def _cells(
    shape: shapely.Geometry, corner: tuple[float, float], cell_mm: tuple[float, float]
) -> Mask:
    """Return the cells a shape touches, the first cell starting at `corner`."""
    fine = shapely.segmentize(shapely.boundary(shape), min(cell_mm) / _SAMPLES_PER_CELL)
    x, y = shapely.get_coordinates(fine).T
    columns = np.floor((x - corner[0]) / cell_mm[0] + 1e-9).astype(int)
    rows = np.floor((y - corner[1]) / cell_mm[1] + 1e-9).astype(int)
    edge = np.zeros((rows.max() + 1, columns.max() + 1), dtype=bool)
    edge[rows, columns] = True
    return filled(edge)


def filled(edge: Mask) -> Mask:
    """Return the cells and all that they enclose: what cannot be reached from outside, by rows and
    columns in turn."""
    outside = np.pad(np.zeros_like(edge), 1, constant_values=True)
    free = np.pad(~edge, 1, constant_values=True)
    reached = 0
    while (now := int(outside.sum())) > reached:
        reached = now
        for across in (True, False):
            way, told = (free, outside) if across else (free.T, outside.T)
            # Free cells in a line without a taken one between them are reached together.
            runs = np.cumsum(~way, axis=1) + np.arange(len(way))[:, None] * (way.shape[1] + 1)
            open_runs = np.bincount(runs[told], minlength=int(runs.max()) + 1) > 0
            told |= open_runs[runs] & way
    return ~outside[1:-1, 1:-1]


def stamp(occupied: Mask, raster: Raster, row: int, column: int) -> Mask:
    """Return the occupied cells with the halo of a piece whose mask starts at (row, column)."""
    out = occupied.copy()
    _add(out, raster.halo, row - raster.back[0], column - raster.back[1])
    return out


def _add(cells: Mask, more: Mask, row: int, column: int) -> None:
    """Add cells, the first at (row, column), which may lie outside, as may the last."""
    high, wide = more.shape
    inside = more[
        max(-row, 0) : max(cells.shape[0] - row, 0),
        max(-column, 0) : max(cells.shape[1] - column, 0),
    ]
    cells[max(row, 0) : max(row + high, 0), max(column, 0) : max(column + wide, 0)] |= inside


class Meetings:
    """Where one piece may not lie because of another: what is found out serves for every layout."""

    def __init__(self) -> None:
        self._rows: dict[int, Rows] = {}
        self._met: dict[tuple[int, int], Mask] = {}
        # Masks are told apart by identity, so they must live as long as what is known of them.
        self._kept: list[Mask] = []

    def taken(
        self, placed: Iterable[tuple[Raster, int, int]], raster: Raster, shape: tuple[int, int]
    ) -> Mask:
        """Return at which positions (rows, columns) of `shape` a piece would come into a halo.

        Of what is placed, the row and column are told at which its mask starts.
        """
        found = np.zeros(shape, dtype=bool)
        high, wide = raster.mask.shape
        for other, row, column in placed:
            met = self._meeting(other.halo, raster.mask)
            _add(found, met, row - other.back[0] - high + 1, column - other.back[1] - wide + 1)
        return found

    def _meeting(self, halo: Mask, mask: Mask) -> Mask:
        """Return whether a mask meets a halo at each offset (up, across), from the lowest."""
        key = id(halo), id(mask)
        if key not in self._met:
            self._met[key] = np.ascontiguousarray(meeting(*map(self._in_rows, (halo, mask))).T)
        return self._met[key]

    def _in_rows(self, cells: Mask) -> Rows:
        if id(cells) not in self._rows:
            self._kept.append(cells)
            change = np.diff(np.pad(cells, ((0, 0), (1, 1))).astype(np.int8), axis=1)
            (rows, left), (_, right) = np.nonzero(change > 0), np.nonzero(change < 0)
            high, long = cells.shape
            self._rows[id(cells)] = Rows(
                rows=rows,
                left=left.astype(np.float64),
                right=right.astype(np.float64),
                high=high,
                long=long,
            )
        return self._rows[id(cells)]
