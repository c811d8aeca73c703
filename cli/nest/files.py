"""The files of a nest: the drawing, home pages and wide sheets, all with a layer for each size."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from outseam.cli.nest.drawing import (
    Drawn,
    draw_family,
    hidden_layers,
    key_layer,
    key_size,
    nest_layers,
    sizes_says,
)
from outseam.cli.nest.nest import Nest
from outseam.cli.paper.arrange import arrange_pieces
from outseam.cli.paper.pattern_files import Sheets
from outseam.cli.paper.print_job import GAP_MM, place_of
from outseam.cli.paper.readback import check_scale
from outseam.cli.paper.tiles import PAPERS, TiledPdf, TileOptions, tile_pdf
from outseam.cli.paper.whole_pages import TooLargeError
from outseam.cli.paper.wide_sheets import SHEETS, WideSheet, plan_sheets, roll_name, roll_sheet
from outseam.cli.pattern.drawing import (
    SQUARE_ROOM_MM,
    Place,
    beside_places,
    scale_square,
)
from outseam.cli.scene.scene import Layer, Scene
from outseam.cli.write.pdf import write_sheet_pdf
from outseam.cli.write.svg import write_svg_text
from outseam.curves.path import Floats
from outseam.draft.spec.spec import PrintOptions

#: The key stands this far above the test square.
_KEY_LIFT_MM = 30.0


@dataclass(frozen=True, kw_only=True)
class NestJob:
    """A nest on its way to paper: what its files share, drawn once."""

    nest: Nest

    @cached_property
    def drawn(self) -> tuple[Drawn, ...]:
        """The families about their reference points."""
        return tuple(draw_family(self.nest, family) for family in self.nest.families)

    @cached_property
    def outlines(self) -> list[Floats]:
        """What each family takes, and, last, the key."""
        wide, high = key_size(self.nest)
        key = np.array([(0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)])
        return [*(family.outline() for family in self.nest.families), key]

    @property
    def hidden(self) -> tuple[str, ...]:
        """Layers that start switched off."""
        return hidden_layers(self.nest)

    def layers(self, placed: Iterable[tuple[int, Place]]) -> list[Layer]:
        """Return the layers of what lies on a sheet, by its number among `outlines`."""
        key, listed = len(self.drawn), list(placed)
        families = [(self.drawn[i], at) for i, at in listed if i < key]
        layers = nest_layers(self.nest, [f for f, _ in families], [at for _, at in families])
        return [*layers, *(key_layer(self.nest, at) for i, at in listed if i == key)]


def nest_scene(job: NestJob) -> Scene:
    """Return the nest on one sheet, legs upright side by side, the key and a test square beside."""
    boxes = [(*o.min(axis=0).tolist(), *o.max(axis=0).tolist()) for o in job.outlines[:-1]]
    wide, high = key_size(job.nest)
    lift = SQUARE_ROOM_MM + _KEY_LIFT_MM
    (*at, corner), wide, high = beside_places([*boxes, (0.0, 0.0, wide, lift + high)])
    at.append(replace(corner, dy_mm=corner.dy_mm + lift))
    layers = (*job.layers(enumerate(at)), scale_square(corner, job.nest.units))
    return Scene(title=job.nest.title, width_mm=wide, height_mm=high, layers=layers)


def nest_svg(job: NestJob) -> bytes:
    """Return the drawing; every size is a group that editors show as a layer."""
    return write_svg_text(nest_scene(job), job.hidden).encode()


def nest_tiles(job: NestJob, paper: str, options: TileOptions | None = None) -> TiledPdf:
    """Return the nest on home pages ("a4" or "letter"). Raises as `tile_pdf` does."""
    nest = job.nest
    options = options or TileOptions(hidden_layers=job.hidden)
    arranged = arrange_pieces(job.outlines, *options.window, GAP_MM)
    scene = Scene(
        title=f"{nest.title}, {sizes_says(nest)}",
        width_mm=arranged.grid.width_mm,
        height_mm=arranged.grid.height_mm,
        layers=tuple(job.layers((p.piece, place_of(p)) for p in arranged.placements)),
    )
    notes = (
        sizes_says(nest),
        f"sizes meet at {nest.way.says}",
        "each size has a line of its own: see the key",
    )
    tiled = tile_pdf(scene, paper, options, notes)
    check_scale(tiled.data, options.calibration)
    return tiled


def nest_sheets(job: NestJob, sheet: WideSheet) -> tuple[bytes, tuple[Scene, ...]]:
    """Return the nest whole on wide sheets, and their scenes.

    Raises TooLargeError for a piece no sheet holds.
    """
    title = job.nest.title
    scenes = tuple(
        Scene(
            title=title,
            width_mm=plan.width_mm,
            height_mm=plan.height_mm,
            layers=(
                *job.layers(plan.pieces),
                *(scale_square(at, job.nest.units) for at in plan.squares),
            ),
        )
        for plan in plan_sheets(job.outlines, sheet)
    )
    return write_sheet_pdf(scenes, title=title, hidden_layers=job.hidden), scenes


def nest_files(nest: Nest, options: PrintOptions) -> Sheets:
    """Return the drawing and the nest on every paper of `options`, as bytes by file name.

    A paper that no piece may be cut up for and that is too small for one is left out and said.
    """
    job = NestJob(nest=nest)
    made = Sheets(files={"nest.svg": nest_svg(job)}, pages={})
    tiling = TileOptions.asked(options, nest.units, job.hidden)
    for paper in options.papers:
        if paper in PAPERS:
            tiled = nest_tiles(job, str(paper), tiling)
            made.files[f"nest-{paper}.pdf"] = tiled.data
            made.pages[str(paper)] = {"pages": tiled.pages, "tiles": tiled.tiles}
            continue
        word = roll_name(paper) if isinstance(paper, float) else paper
        sheet = roll_sheet(paper) if isinstance(paper, float) else SHEETS[paper]
        try:
            made.files[f"nest-{word}.pdf"], scenes = nest_sheets(job, sheet)
        except TooLargeError as error:
            made.left_out[f"nest-{word}.pdf"] = str(error.in_units(nest.units))
        else:
            made.pages[word] = {"pages": len(scenes)}
    return made
