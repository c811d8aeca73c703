"""A pattern on its way to paper: what the formats share, arranged once."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from outseam.cli.paper.arrange import arrange_pieces
from outseam.cli.paper.placement import Placement
from outseam.cli.paper.tiles import TileOptions
from outseam.cli.pattern.drawing import Place, cut_outline, draw_pieces, pieces_to_print
from outseam.cli.pattern.words import stamp
from outseam.cli.scene.scene import Scene
from outseam.draft.inputs.show import Units, show_length
from outseam.draft.model import Pattern
from outseam.draft.spec.spec import PrintOptions

#: Paper left free between pieces.
GAP_MM = 12.0


@dataclass(frozen=True, kw_only=True)
class PrintJob:
    """A checked pattern to be printed, its files named from `stem`."""

    pattern: Pattern
    stem: str = "pattern"

    @property
    def options(self) -> PrintOptions:
        """How the spec wants it printed."""
        return self.pattern.spec.print

    @property
    def title(self) -> str:
        """What stands on every page."""
        return self.pattern.spec.title or "Pants"

    @property
    def units(self) -> Units:
        """The units of the file."""
        return self.pattern.spec.units

    @property
    def tiling(self) -> TileOptions:
        """Overlap and calibration of home pages."""
        return TileOptions.asked(self.options, self.units)

    @cached_property
    def home_scene(self) -> Scene:
        """The pieces on one sheet so that few home pages are needed."""
        return home_scene(self.pattern)


def place_of(p: Placement, margin_mm: float = 0.0) -> Place:
    """Return where an arranged piece is drawn, on a sheet with a margin."""
    return Place(dx_mm=p.dx_mm + margin_mm, dy_mm=p.dy_mm + margin_mm, turn_deg=p.turn_deg)


def home_scene(pattern: Pattern) -> Scene:
    """Return the pieces on one sheet so that few home pages are needed."""
    pieces = pieces_to_print(pattern)
    options = TileOptions(overlap_mm=pattern.spec.print.overlap)
    arranged = arrange_pieces([cut_outline(p) for p in pieces], *options.window, GAP_MM)
    places = [place_of(p) for p in sorted(arranged.placements, key=lambda p: p.piece)]
    return Scene(
        title=pattern.spec.title or "Pants",
        width_mm=arranged.grid.width_mm,
        height_mm=arranged.grid.height_mm,
        layers=draw_pieces(pattern, pieces, places, joints=tuple(arranged.grid.joints())),
    )


def notes(pattern: Pattern) -> tuple[str, ...]:
    """Return the lines printed under the title on the first page."""
    spec = pattern.spec
    u, style = spec.units, spec.style
    what = (
        f"hip {show_length(pattern.measures.hip, u)}, {style.leg} leg, {style.fit} fit, "
        f"{len(pattern.pieces)} pieces"
    )
    warned = len(pattern.warnings)
    lines = [spec.who, what, spec.fabric.round_note, " · ".join(stamp(pattern))]
    if warned:
        lines.append(f"{warned} warning{'s' * (warned > 1)}: read the summary before you cut")
    return tuple(x for x in lines if x)
