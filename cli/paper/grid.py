"""The grid of home pages over a large sheet: windows, seams, and which pages are needed.

Pages are counted from the sheet's upper left, as they are read; the grid itself hangs on the
sheet's lower left corner. Neighbouring windows share a strip `overlap_mm` wide. Along each axis
the sheet is therefore a row of bands that alternate: the part only one page shows, the strip two
pages show, and so on.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import shapely

from outseam.cli.scene.extent import label_corners, path_points
from outseam.cli.scene.scene import Label, Scene, Stroke
from outseam.curves.path import Floats

#: A page's place: row from the top, column from the left, both from 0.
Cell: TypeAlias = tuple[int, int]

#: Sheets are drawn in doubles; a sheet this little larger than the grid needs no further page.
_ROUNDING_MM = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class TileGrid:
    """`columns` x `rows` windows of the given size, neighbours sharing `overlap_mm`."""

    columns: int
    rows: int
    window_w_mm: float
    window_h_mm: float
    overlap_mm: float

    @property
    def pitch_w_mm(self) -> float:
        """Distance from a window to the next on its right."""
        return self.window_w_mm - self.overlap_mm

    @property
    def pitch_h_mm(self) -> float:
        """Distance from a window to the next above it."""
        return self.window_h_mm - self.overlap_mm

    @property
    def width_mm(self) -> float:
        """Width all windows cover together."""
        return self.columns * self.pitch_w_mm + self.overlap_mm

    @property
    def height_mm(self) -> float:
        """Height all windows cover together."""
        return self.rows * self.pitch_h_mm + self.overlap_mm

    def corner(self, cell: Cell) -> tuple[float, float]:
        """Return the lower left corner of a page's window on the sheet."""
        row, column = cell
        return column * self.pitch_w_mm, (self.rows - 1 - row) * self.pitch_h_mm

    def joints(self) -> Iterator[Floats]:
        """Yield the edges of windows that have a neighbour behind them, as lines over the sheet."""
        for count, pitch, window, way in (
            (self.columns, self.pitch_w_mm, self.window_w_mm, 0),
            (self.rows, self.pitch_h_mm, self.window_h_mm, 1),
        ):
            long = self.height_mm if way == 0 else self.width_mm
            for k in range(1, count):
                for at in dict.fromkeys((k * pitch, (k - 1) * pitch + window)):
                    ends = np.array([(at, 0.0), (at, long)])
                    yield ends if way == 0 else ends[:, ::-1]

    def cells(self) -> Iterator[Cell]:
        """Walk the pages in reading order."""
        return ((row, column) for row in range(self.rows) for column in range(self.columns))


def grid_for_sheet(
    width_mm: float, height_mm: float, window_w_mm: float, window_h_mm: float, overlap_mm: float
) -> TileGrid:
    """Return the smallest grid that covers a sheet of the given size."""

    def count(side: float, window: float) -> int:
        return max(1, math.ceil((side - overlap_mm - _ROUNDING_MM) / (window - overlap_mm)))

    return TileGrid(
        columns=count(width_mm, window_w_mm),
        rows=count(height_mm, window_h_mm),
        window_w_mm=window_w_mm,
        window_h_mm=window_h_mm,
        overlap_mm=overlap_mm,
    )


def choose_cells(columns: int, rows: int, touched: Callable[[int, int], bool]) -> frozenset[Cell]:
    """Return the pages that together show everything.

    `touched(i, j)` says whether something lies in the i-th band across and the j-th band up. A
    band only one page shows makes that page needed; a strip that no needed page shows
    adds the page that shows most of such strips.
    """
    across = [(i // 2,) if i % 2 == 0 else (i // 2, i // 2 + 1) for i in range(2 * columns - 1)]
    up = [(j // 2,) if j % 2 == 0 else (j // 2, j // 2 + 1) for j in range(2 * rows - 1)]
    needed: set[Cell] = set()
    strips: list[frozenset[Cell]] = []
    for i, of_columns in enumerate(across):
        for j, of_levels in enumerate(up):
            if touched(i, j):
                cells = frozenset((rows - 1 - lv, c) for lv in of_levels for c in of_columns)
                if len(cells) == 1:
                    needed |= cells
                else:
                    strips.append(cells)
    while open_strips := [cells for cells in strips if not cells & needed]:
        candidates = sorted({cell for cells in open_strips for cell in cells})
        needed.add(max(candidates, key=lambda cell: sum(cell in cells for cells in open_strips)))
    return frozenset(needed)


def needed_cells(
    grid: TileGrid, shapes: Sequence[shapely.Geometry], margin_mm: float = 0.0
) -> frozenset[Cell]:
    """Return the pages needed to show the shapes (in mm) and `margin_mm` around each of them."""
    x0, x1 = _band_edges(grid.columns, grid.pitch_w_mm, grid.overlap_mm, margin_mm)
    y0, y1 = _band_edges(grid.rows, grid.pitch_h_mm, grid.overlap_mm, margin_mm)
    boxes = shapely.box(x0[:, None], y0[None, :], x1[:, None], y1[None, :])
    near, which = shapely.STRtree(shapes).query(boxes.ravel())
    shapely.prepare(shapes)
    meets = shapely.intersects(np.array(shapes, dtype=object)[which], boxes.ravel()[near])
    hit = np.zeros(boxes.size, dtype=bool)
    hit[near[meets]] = True
    touched = hit.reshape(boxes.shape)
    return choose_cells(grid.columns, grid.rows, lambda i, j: bool(touched[i, j]))


def _band_edges(count: int, pitch: float, overlap: float, margin: float) -> tuple[Floats, Floats]:
    """Return where the bands of an axis start and end, widened by a margin.

    The first band is shown by the first window only, the next by the first two, and so on.
    """
    inner = np.arange(1, count) * pitch
    edges = np.concatenate([[0.0], np.stack([inner, inner + overlap], axis=1).ravel()])
    ends = np.append(edges[1:], count * pitch + overlap)
    return edges - margin, ends + margin


@dataclass(frozen=True, slots=True, kw_only=True)
class Shapes:
    """A scene as shapely geometries, mm: strokes as lines, labels as boxes, closed strokes' areas.

    Areas count because a piece needs the paper inside it even where there is no ink. `half_pen_mm`
    is half the width of the widest pen.
    """

    lines: tuple[shapely.LineString, ...]
    labels: tuple[shapely.Polygon, ...]
    areas: tuple[shapely.Geometry, ...]
    half_pen_mm: float

    @property
    def all(self) -> list[shapely.Geometry]:
        """Every shape that a page may have to show."""
        return [*self.lines, *self.labels, *self.areas]


def scene_shapes(scene: Scene) -> Shapes:
    """Return what a scene's items cover. Strokes without pen and fill cover nothing."""
    drawn = [i for i in scene.items if isinstance(i, Stroke) and (i.pen or i.fill is not None)]
    labels = [shapely.Polygon(label_corners(i)) for i in scene.items if isinstance(i, Label)]
    points = path_points([stroke.path for stroke in drawn])
    areas = [
        shapely.Polygon(p)
        for p, stroke in zip(points, drawn, strict=True)
        if len(p) >= 4 and (stroke.path.closed or stroke.fill is not None)
    ]
    return Shapes(
        lines=tuple(map(shapely.LineString, points)),
        labels=tuple(labels),
        areas=tuple(a if a.is_valid else shapely.make_valid(a) for a in areas),
        half_pen_mm=max((s.pen.width_mm for s in drawn if s.pen), default=0.0) / 2,
    )
