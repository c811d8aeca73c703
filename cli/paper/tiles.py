"""Scene -> home pages: the sheet drawn once, shown piece by piece through a window on each page.

The drawing's layers are form objects that all pages share; a page places them under a clip. The
calibration factors stand in the page's matrix and nowhere else, so that drawing, frames and test
squares are stretched alike. Pages always stand upright: `across` is the short side of the paper,
as it goes through the printer, `along` the long one.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from itertools import chain

from pikepdf import Dictionary

from outseam.cli.paper.first_page import FirstPage, first_page_items
from outseam.cli.paper.free_space import Occupancy, occupancy_of
from outseam.cli.paper.furniture import (
    FIRST_H_MM,
    FIRST_W_MM,
    FURNITURE_MM,
    SQUARE_CM_AT,
    SQUARE_CM_MM,
    SQUARE_IN_AT,
    SQUARE_IN_MM,
    TilePage,
    tile_items,
)
from outseam.cli.paper.grid import Cell, TileGrid, grid_for_sheet, needed_cells, scene_shapes
from outseam.cli.paper.joints import number_spots, page_joints
from outseam.cli.scene.home_paper import HOME_PAPERS_MM, PAPER_NAMES
from outseam.cli.scene.scene import Scene
from outseam.cli.scene.validate import refuse_nonfinite
from outseam.cli.write.pdf import (
    PT_PER_MM,
    add_page,
    add_switches,
    document_bytes,
    item_content,
    layer_forms,
    matrix_text,
    new_document,
    place_layers,
)
from outseam.cli.write.pdf_font import embed_font
from outseam.cli.write.pdf_operators import FONT_NAME
from outseam.curves.point import Point
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import Units
from outseam.draft.inputs.words import least_allowed, measure, most_allowed, words
from outseam.draft.spec.spec import PrintOptions

#: Name and width x height in mm.
PAPERS: dict[str, tuple[str, float, float]] = {
    paper: (PAPER_NAMES[paper], *size) for paper, size in HOME_PAPERS_MM.items()
}

#: Factors outside are no printer's tolerance: its driver scales the page.
CALIBRATION_LOW, CALIBRATION_HIGH = 0.95, 1.05

#: A window that is smaller, either way, is mostly overlap.
_LEAST_WINDOW_MM = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class TileOptions:
    """How home pages are cut from a sheet.

    The window fits A4 and Letter with the margins most printers keep. An overlap of 0 butts the
    pages. `calibration` is (across, along): the true side of a square divided by what it
    measures. `units` are those of the file, for what is said.
    """

    window_w_mm: float = 190.0
    window_h_mm: float = 254.0
    overlap_mm: float = 10.0
    calibration: tuple[float, float] = (1.0, 1.0)
    hidden_layers: Collection[str] = ()
    units: Units = "cm"

    @classmethod
    def asked(
        cls, options: PrintOptions, units: Units, hidden_layers: Collection[str] = ()
    ) -> TileOptions:
        """Return what the spec of a pattern asks for."""
        return cls(
            overlap_mm=options.overlap,
            calibration=(options.calibrate_across, options.calibrate_along),
            hidden_layers=hidden_layers,
            units=units,
        )

    @property
    def window(self) -> tuple[float, float, float]:
        """Width and height of the window, and the overlap, mm."""
        return self.window_w_mm, self.window_h_mm, self.overlap_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class TiledPdf:
    """The file; `pages` counts the first page too, `tiles` those that show the drawing."""

    data: bytes
    pages: int
    tiles: int
    columns: int
    rows: int
    empty: tuple[Cell, ...]


def tile_pdf(
    scene: Scene,
    paper: str,
    options: TileOptions | None = None,
    notes: Sequence[str] = (),
) -> TiledPdf:
    """Return the scene on home pages of `paper` ("a4" or "letter"), after a page that explains.

    Windows hang on the sheet's lower left corner, where `arrange_pieces` counts them from. Pages
    that show neither ink nor the inside of a closed line are left out. `notes` are printed under
    the title on the first page. Raises InputError for an unknown paper, a calibration factor
    outside 0.95 to 1.05, or a window or overlap that does not work; ValueError for numbers in the
    scene that cannot be drawn.
    """
    options = options or TileOptions()
    refuse_nonfinite(scene)
    check_options(paper, options)
    grid = grid_for_sheet(scene.width_mm, scene.height_mm, *options.window)
    shapes = scene_shapes(scene)
    needed = needed_cells(grid, shapes.all, shapes.half_pen_mm)
    numbers = {cell: n for n, cell in enumerate((c for c in grid.cells() if c in needed), start=2)}
    occupancy = occupancy_of(shapes, scene.width_mm, scene.height_mm)
    pages = _tile_pages(scene.title, grid, numbers, occupancy, options)
    first = FirstPage(
        title=scene.title,
        lines=shapes.lines,
        grid=grid,
        numbers=numbers,
        pages=len(numbers) + 1,
        paper=PAPERS[paper][0],
        notes=tuple(notes),
        calibration=options.calibration,
        units=options.units,
    )
    data = _assembled(scene, grid, numbers, first, pages, paper, options)
    return TiledPdf(
        data=data,
        pages=len(numbers) + 1,
        tiles=len(numbers),
        columns=grid.columns,
        rows=grid.rows,
        empty=tuple(cell for cell in grid.cells() if cell not in numbers),
    )


def check_options(paper: str, options: TileOptions) -> None:
    """Raise InputError, as `tile_pdf` does, for options that cannot be printed."""
    if paper not in PAPERS:
        raise InputError("print.papers", repr(paper), " or ".join(PAPERS), "choose one of them")
    for name, factor in zip(("across", "along"), options.calibration, strict=True):
        if not CALIBRATION_LOW <= factor <= CALIBRATION_HIGH:
            raise InputError(
                f"print.calibrate_{name}",
                f"{factor:g}",
                f"{CALIBRATION_LOW} to {CALIBRATION_HIGH}",
                "a printer that is this far off is probably set to fit-to-page: switch that off, "
                "print at 100 % and measure the square again",
            )
    _, width, height = PAPERS[paper]
    window = (options.window_w_mm, options.window_h_mm)
    most = [
        side / max(1.0, factor) - 2 * FURNITURE_MM
        for side, factor in zip((width, height), options.calibration, strict=True)
    ]
    if not all(_LEAST_WINDOW_MM <= side <= limit for side, limit in zip(window, most, strict=True)):
        raise InputError(
            "print.window",
            words(
                "{wide} x {high} on {paper} paper",
                wide=measure(window[0]),
                high=measure(window[1]),
                paper=PAPERS[paper][0],
            ),
            words(
                "{least} x {least} up to {wide} x {high}",
                least=least_allowed(_LEAST_WINDOW_MM),
                wide=most_allowed(most[0]),
                high=most_allowed(most[1]),
            ),
            "choose a window that leaves a margin for the printer",
        )
    if not 0.0 <= options.overlap_mm <= min(window) / 4:
        raise InputError(
            "print.overlap",
            words("{overlap}", overlap=measure(options.overlap_mm)),
            words("0 to {most}", most=most_allowed(min(window) / 4)),
            words("{usual} is usual, 0 butts the pages", usual=measure(TileOptions().overlap_mm)),
        )


def _tile_pages(
    title: str, grid: TileGrid, numbers: dict[Cell, int], occupancy: Occupancy, options: TileOptions
) -> list[TilePage]:
    """Return what stands on each page beside the drawing, in page order."""
    joints = page_joints(grid, numbers, occupancy)
    spots = number_spots(grid, joints, occupancy)
    return [
        TilePage(
            number=number,
            pages=len(numbers) + 1,
            row=cell[0] + 1,
            column=cell[1] + 1,
            title=title,
            window_w_mm=grid.window_w_mm,
            window_h_mm=grid.window_h_mm,
            overlap_mm=grid.overlap_mm,
            joints=joints[cell],
            tag_at=spots[cell],
            calibration=options.calibration,
        )
        for cell, number in numbers.items()
    ]


def _assembled(
    scene: Scene,
    grid: TileGrid,
    numbers: dict[Cell, int],
    first: FirstPage,
    pages: Sequence[TilePage],
    paper: str,
    options: TileOptions,
) -> bytes:
    """Return the file: the first page, then a page per printed window."""
    _, width, height = PAPERS[paper]
    first_at = ((width - FIRST_W_MM) / 2, (height - FIRST_H_MM) / 2)
    window_at = ((width - grid.window_w_mm) / 2, (height - grid.window_h_mm) / 2)
    furniture = [
        (first_page_items(first), first_at),
        *((tile_items(page), window_at) for page in pages),
    ]
    pdf = new_document(scene.title)
    switches = add_switches(pdf, [layer.name for layer in scene.layers], options.hidden_layers)
    font = embed_font(pdf, chain(scene.items, *(items for items, _ in furniture)))
    layers = layer_forms(pdf, scene, font)
    stretch = _page_matrix(width, height, options.calibration)
    for number, (items, at) in enumerate(furniture):
        page = add_page(pdf, width, height)
        page.Resources.Font = Dictionary({FONT_NAME: font})
        if number == 0:
            inner = _squares(first_at)
        else:
            cell = list(numbers)[number - 1]
            inner = _window(grid, cell, window_at, place_layers(page, scene, switches, layers))
        content = [b"q", stretch.encode(), inner, b"% furniture", item_content(items, at), b"Q"]
        page.Contents = pdf.make_stream(b"\n".join(content))
    return document_bytes(pdf)


def _page_matrix(width_mm: float, height_mm: float, calibration: tuple[float, float]) -> str:
    """Return the matrix that stretches a page about its middle."""
    across, along = calibration
    x, y = width_mm * PT_PER_MM / 2, height_mm * PT_PER_MM / 2
    return matrix_text((across, 0, 0, along, x * (1 - across), y * (1 - along)))


def _squares(area_at: Point) -> bytes:
    """Return the two test squares as plain stroked rectangles."""
    content = ["q 0.7 w 0 G 0 j"]
    for (x, y), side in ((SQUARE_CM_AT, SQUARE_CM_MM), (SQUARE_IN_AT, SQUARE_IN_MM)):
        numbers = (x + area_at[0], y + area_at[1], side, side)
        content.append(" ".join(f"{v * PT_PER_MM:.5f}" for v in numbers) + " re S")
    return "\n".join([*content, "Q"]).encode()


def _window(grid: TileGrid, cell: Cell, window_at: Point, drawn: bytes) -> bytes:
    """Return the content that shows one page's part of the drawing through its window."""
    corner = grid.corner(cell)
    box = (*window_at, grid.window_w_mm, grid.window_h_mm)
    clip = " ".join(f"{v * PT_PER_MM:.5f}" for v in box) + " re W n"
    shift = [(at - on_sheet) * PT_PER_MM for at, on_sheet in zip(window_at, corner, strict=True)]
    return b"\n".join(
        [b"q", clip.encode(), matrix_text((1, 0, 0, 1, *shift)).encode(), drawn, b"Q"]
    )
