"""The printed files of a pattern: home tiles, wide sheets and the drawing, as bytes by name."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from outseam.cli.paper.arrange import Placement, arrange_pieces, arrange_whole
from outseam.cli.paper.readback import check_scale
from outseam.cli.paper.tiles import TileOptions, tile_pdf
from outseam.cli.pattern.drawing import (
    SQUARE_ROOM_MM,
    Place,
    cut_outline,
    draw_pieces,
    pattern_scene,
    pieces_to_print,
    scale_square,
)
from outseam.cli.scene.scene import Scene
from outseam.cli.write.pdf import write_sheet_pdf
from outseam.cli.write.svg import write_svg_text
from outseam.draft.inputs.show import show_length
from outseam.draft.model import Pattern

#: A0 with the margin that plotters keep.
A0_MM = (841.0, 1189.0)
WIDE_MARGIN_MM = 10.0
GAP_MM = 12.0
HOME_PAPERS = ("a4", "letter")


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheets:
    """Files by name, and what was counted while making them, by paper."""

    files: dict[str, bytes]
    pages: dict[str, dict[str, Any]]


def _place(p: Placement, margin_mm: float = 0.0) -> Place:
    return Place(dx_mm=p.dx_mm + margin_mm, dy_mm=p.dy_mm + margin_mm, turn_deg=p.turn_deg)


def notes(pattern: Pattern) -> tuple[str, ...]:
    """Return the lines printed under the title on the first page."""
    spec = pattern.spec
    u, style = spec.units, spec.style
    who = " · ".join(x for x in (spec.body.name, spec.fabric.name) if x)
    what = (
        f"hip {show_length(pattern.measures.hip, u)}, {style.leg} leg, {style.fit} fit, "
        f"{len(pattern.pieces)} pieces"
    )
    warned = len(pattern.warnings)
    lines = [who, what]
    if warned:
        lines.append(f"{warned} warning{'s' * (warned > 1)}: read the summary before you cut")
    return tuple(x for x in lines if x)


def _title(pattern: Pattern) -> str:
    return pattern.spec.title or "Pants"


def home_scene(pattern: Pattern) -> Scene:
    """Return the pieces on one sheet so that few home pages are needed."""
    pieces = pieces_to_print(pattern)
    options = TileOptions(overlap_mm=pattern.spec.print.overlap)
    arranged = arrange_pieces(
        [cut_outline(p) for p in pieces],
        options.window_w_mm,
        options.window_h_mm,
        options.overlap_mm,
        GAP_MM,
    )
    places = [_place(p) for p in sorted(arranged.placements, key=lambda p: p.piece)]
    return Scene(
        title=_title(pattern),
        width_mm=arranged.grid.width_mm,
        height_mm=arranged.grid.height_mm,
        layers=draw_pieces(pattern, pieces, places),
    )


def wide_scenes(pattern: Pattern) -> tuple[Scene, ...]:
    """Return the pieces whole on as few A0 sheets as can be.

    Raises InputError where a piece is larger than the sheet.
    """
    pieces = pieces_to_print(pattern)
    usable = tuple(side - 2.0 * WIDE_MARGIN_MM for side in A0_MM)
    room = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]) * SQUARE_ROOM_MM
    outlines = [*(cut_outline(p) for p in pieces), room]
    pages = arrange_whole(outlines, usable[0], usable[1], GAP_MM)
    scenes = []
    for page in pages:
        placed = [(p.piece, _place(p, WIDE_MARGIN_MM)) for p in page.placements]
        drawn = [(pieces[i], place) for i, place in placed if i < len(pieces)]
        layers = draw_pieces(pattern, [p for p, _ in drawn], [place for _, place in drawn])
        squares = tuple(scale_square(place) for i, place in placed if i == len(pieces))
        scenes.append(
            Scene(
                title=_title(pattern),
                width_mm=A0_MM[0],
                height_mm=A0_MM[1],
                layers=(*layers, *squares),
            )
        )
    return tuple(scenes)


def make_sheets(
    pattern: Pattern, step: Callable[[str], None] = lambda _: None, *, stem: str = "pattern"
) -> Sheets:
    """Return every file the spec asks for, named from `stem`; `step` is told what is being made.

    The test squares of each home file are read back before it is handed out.
    """
    printing = pattern.spec.print
    calibration = (printing.calibrate_across, printing.calibrate_along)
    step(f"{stem}.svg")
    files = {f"{stem}.svg": write_svg_text(pattern_scene(pattern)).encode()}
    pages: dict[str, dict[str, Any]] = {}
    home = [p for p in HOME_PAPERS if p in printing.papers]
    scene = home_scene(pattern) if home else None
    for paper in home:
        assert scene is not None
        step(f"{stem}-{paper}.pdf")
        tiled = tile_pdf(
            scene,
            paper,
            TileOptions(overlap_mm=printing.overlap, calibration=calibration),
            notes(pattern),
        )
        check_scale(tiled.data, calibration)
        files[f"{stem}-{paper}.pdf"] = tiled.data
        pages[paper] = {
            "pages": tiled.pages,
            "tiles": tiled.tiles,
            "columns": tiled.columns,
            "rows": tiled.rows,
            "left_out": len(tiled.empty),
        }
    if "a0" in printing.papers:
        step(f"{stem}-a0.pdf")
        scenes = wide_scenes(pattern)
        files[f"{stem}-a0.pdf"] = write_sheet_pdf(scenes, title=_title(pattern))
        pages["a0"] = {"pages": len(scenes)}
    return Sheets(files=files, pages=pages)
