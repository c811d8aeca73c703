"""Wide sheets: pieces whole, for a copy shop's plotter, on cut sheets or off a roll."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from outseam.cli.paper.print_job import GAP_MM, PrintJob, place_of
from outseam.cli.paper.printed import Printed
from outseam.cli.paper.whole_pages import arrange_whole
from outseam.cli.pattern.drawing import (
    SQUARE_ROOM_MM,
    Place,
    cut_outline,
    draw_pieces,
    pieces_to_print,
    scale_square,
)
from outseam.cli.scene.scene import Scene
from outseam.cli.write.pdf import MAX_PAGE_MM, write_sheet_pdf
from outseam.curves.path import Floats
from outseam.draft.inputs.show import MM_PER_UNIT

#: The margin that plotters keep.
WIDE_MARGIN_MM = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class WideSheet:
    """Paper of a copy shop: a sheet, or a roll `height_mm` of which fits one page of a file."""

    width_mm: float
    height_mm: float
    roll: bool = False


#: ISO 216.
SHEETS: Final = {
    "a0": WideSheet(width_mm=841.0, height_mm=1189.0),
    "a1": WideSheet(width_mm=594.0, height_mm=841.0),
}


def roll_name(width_mm: float) -> str:
    """Return what a roll is called in the name of a file: by whole inches, else by centimetres."""
    inches = width_mm / float(MM_PER_UNIT["in"])
    whole = abs(inches - round(inches)) < 1e-6
    return f"roll-{inches:.0f}in" if whole else f"roll-{width_mm / 10.0:.4g}cm"


def roll_sheet(width_mm: float) -> WideSheet:
    """Return a roll of that width; what is longer than a page may be goes on with a new page."""
    return WideSheet(width_mm=width_mm, height_mm=MAX_PAGE_MM, roll=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPlan:
    """One page: its size, the pieces on it by number with their places, and those of squares."""

    width_mm: float
    height_mm: float
    pieces: tuple[tuple[int, Place], ...]
    squares: tuple[Place, ...]


def plan_sheets(outlines: list[Floats], sheet: WideSheet) -> tuple[SheetPlan, ...]:
    """Return where outlines (m, 2), mm, and one test square lie whole on as little paper as found.

    A page off a roll is as long as what lies on it. Raises TooLargeError where one fits no sheet.
    """
    room = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]) * SQUARE_ROOM_MM
    width, height = (side - 2.0 * WIDE_MARGIN_MM for side in (sheet.width_mm, sheet.height_mm))
    plans = []
    for page in arrange_whole([*outlines, room], width, height, GAP_MM, cut_short=sheet.roll):
        placed = [(p.piece, place_of(p, WIDE_MARGIN_MM)) for p in page.placements]
        high = page.height_mm + 2.0 * WIDE_MARGIN_MM if sheet.roll else sheet.height_mm
        plans.append(
            SheetPlan(
                width_mm=sheet.width_mm,
                height_mm=high,
                pieces=tuple((i, place) for i, place in placed if i < len(outlines)),
                squares=tuple(place for i, place in placed if i == len(outlines)),
            )
        )
    return tuple(plans)


def wide_scenes(job: PrintJob, sheet: WideSheet) -> tuple[Scene, ...]:
    """Return the pieces whole on as few sheets, or as short a roll, as found.

    Raises TooLargeError where a piece is larger than the sheet.
    """
    pieces = pieces_to_print(job.pattern)
    scenes = []
    for plan in plan_sheets([cut_outline(p) for p in pieces], sheet):
        drawn = [pieces[i] for i, _ in plan.pieces]
        layers = draw_pieces(job.pattern, drawn, [place for _, place in plan.pieces])
        scenes.append(
            Scene(
                title=job.title,
                width_mm=plan.width_mm,
                height_mm=plan.height_mm,
                layers=(*layers, *(scale_square(at, job.units) for at in plan.squares)),
            )
        )
    return tuple(scenes)


def wide_sheets(job: PrintJob, sheet: WideSheet) -> Printed:
    """Return the wide sheets of a pattern; for a roll the paper's length is counted too, mm."""
    scenes = wide_scenes(job, sheet)
    pages: dict[str, float] = {"pages": len(scenes)}
    if sheet.roll:
        pages["length_mm"] = sum(scene.height_mm for scene in scenes)
    return Printed(data=write_sheet_pdf(scenes, title=job.title), pages=pages)
