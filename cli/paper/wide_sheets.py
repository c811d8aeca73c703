"""Wide sheets: pieces whole, for a copy shop's plotter."""

from __future__ import annotations

import numpy as np

from outseam.cli.paper.arrange import arrange_whole
from outseam.cli.paper.print_job import GAP_MM, PrintJob, place_of
from outseam.cli.paper.printed import Printed
from outseam.cli.pattern.drawing import (
    SQUARE_ROOM_MM,
    cut_outline,
    draw_pieces,
    pieces_to_print,
    scale_square,
)
from outseam.cli.scene.scene import Scene
from outseam.cli.write.pdf import write_sheet_pdf

#: A0 with the margin that plotters keep.
A0_MM = (841.0, 1189.0)
WIDE_MARGIN_MM = 10.0


def wide_scenes(job: PrintJob) -> tuple[Scene, ...]:
    """Return the pieces whole on as few A0 sheets as can be.

    Raises InputError where a piece is larger than the sheet.
    """
    pattern, pieces = job.pattern, pieces_to_print(job.pattern)
    usable = tuple(side - 2.0 * WIDE_MARGIN_MM for side in A0_MM)
    room = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]) * SQUARE_ROOM_MM
    outlines = [*(cut_outline(p) for p in pieces), room]
    pages = arrange_whole(outlines, usable[0], usable[1], GAP_MM)
    scenes = []
    for page in pages:
        placed = [(p.piece, place_of(p, WIDE_MARGIN_MM)) for p in page.placements]
        drawn = [(pieces[i], place) for i, place in placed if i < len(pieces)]
        layers = draw_pieces(pattern, [p for p, _ in drawn], [place for _, place in drawn])
        squares = tuple(scale_square(place) for i, place in placed if i == len(pieces))
        scenes.append(
            Scene(
                title=job.title,
                width_mm=A0_MM[0],
                height_mm=A0_MM[1],
                layers=(*layers, *squares),
            )
        )
    return tuple(scenes)


def wide_sheets(job: PrintJob) -> Printed:
    """Return the wide sheets of a pattern."""
    scenes = wide_scenes(job)
    return Printed(
        data=write_sheet_pdf(scenes, title=job.title),
        pages={"pages": len(scenes)},
    )
