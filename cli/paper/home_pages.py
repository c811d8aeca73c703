"""Home pages: the sheet in tiles for a domestic printer, its test squares read back."""

from __future__ import annotations

from outseam.cli.paper.print_job import PrintJob, notes
from outseam.cli.paper.printed import Printed
from outseam.cli.paper.readback import check_scale
from outseam.cli.paper.tiles import tile_pdf


def home_pages(job: PrintJob, paper: str) -> Printed:
    """Return the tiles of a pattern on a home paper; raises ValueError if they are not to scale."""
    tiled = tile_pdf(job.home_scene, paper, job.tiling, notes(job.pattern))
    check_scale(tiled.data, job.tiling.calibration)
    return Printed(
        data=tiled.data,
        pages={
            "pages": tiled.pages,
            "tiles": tiled.tiles,
            "columns": tiled.columns,
            "rows": tiled.rows,
            "left_out": len(tiled.empty),
        },
    )
