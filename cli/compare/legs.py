"""The legs of a pattern as they are compared: sewing lines, without allowances, on one frame.

x runs from the crease line, y from the crotch line, mm on the body. The back leg is mirrored, so
that front and back stand side by side with their inseams facing: half a pair of pants each.
"""

from __future__ import annotations

from dataclasses import dataclass

from outseam.curves.evaluate import direction_at, point_at
from outseam.curves.length import length, param_at_length
from outseam.curves.path import Path, join, line
from outseam.curves.point import Point, right_of
from outseam.curves.region import bounds
from outseam.draft.block.panels import Panel, smooth
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import OPENING_ENDS, Piece
from outseam.draft.piece.ruler import x_at
from outseam.draft.variants import Comparison

#: The edges that every leg has; any other was cut into it, such as the mouth of a pocket.
_LEG_EDGES = frozenset(
    {
        *("outseam", "outseam_turn", "hem_cut", "inseam_turn", "inseam", "crotch", "waist"),
        *("crotch_casing", "casing_cut", "outseam_casing"),
    }
)
#: Half the tick that marks the end of a pocket in a seam.
_TICK_MM = 9.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedLeg:
    """One leg: closed `outline`, the band above it, level lines, and what lies inside.

    `side_top` and `side_hem` are the ends of the outseam, `crotch_line_mm` the height of y = 0
    above the floor.
    """

    outline: Path
    band: tuple[Path, ...]
    levels: tuple[Path, ...]
    details: tuple[Path, ...]
    side_top: Point
    side_hem: Point
    crotch_line_mm: float

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Extent of the leg with its band: xmin, ymin, xmax, ymax, mm."""
        boxes = [bounds(p) for p in (self.outline, *self.band)]
        return (
            min(b[0] for b in boxes),
            min(b[1] for b in boxes),
            max(b[2] for b in boxes),
            max(b[3] for b in boxes),
        )


def _band(panel: Panel, height_mm: float) -> tuple[Path, ...]:
    """Return the band standing on the edge it joins: up the centre, along the top, and down."""
    if height_mm <= 0.0:
        return ()
    waist = panel.waist
    ends = []
    for point, direction in (
        (waist.start, waist.start_direction),
        (waist.end, waist.end_direction),
    ):
        nx, ny = right_of(direction)
        ends.append((point[0] + nx * height_mm, point[1] + ny * height_mm))
    top = smooth(ends[0], waist.start_direction, ends[1], waist.end_direction)
    return (join([line(waist.start, ends[0]), top, line(ends[1], waist.end)]),)


def _levels(panel: Panel, knee_y: float) -> tuple[Path, ...]:
    """Return hip and knee line across the leg, where it reaches them."""
    found = []
    for y, inner in ((panel.hip_y, panel.crotch), (knee_y, panel.inseam)):
        a, b = x_at(panel.outseam, y), x_at(inner, y)
        if a is not None and b is not None:
            found.append(line((a, y), (b, y)))
    return tuple(found)


def _details(piece: Piece) -> tuple[Path, ...]:
    """Return what pockets leave to be seen on the leg."""
    found = [e.path for e in piece.edges if e.name not in _LEG_EDGES]
    found += [x.path for x in piece.lines if x.kind == "topstitch"]
    for notch in piece.notches:
        if notch.role in OPENING_ENDS:
            seam = piece.edge(notch.edge).path
            u = param_at_length(seam, min(notch.at_mm, length(seam)))
            (x, y), (nx, ny) = point_at(seam, u), right_of(direction_at(seam, u))
            found.append(
                line((x - nx * _TICK_MM, y - ny * _TICK_MM), (x + nx * _TICK_MM, y + ny * _TICK_MM))
            )
    return tuple(found)


def leg_of(pattern: Pattern, *, back: bool) -> ComparedLeg:
    """Return one leg of a pattern on the common frame."""
    block = pattern.block
    panel = block.back if back else block.front
    knee_y = pattern.measures.knee_height - block.crotch_line_height_mm
    flip = -1.0 if back else 1.0

    def framed(p: Path) -> Path:
        return p.mapped(flip, 0.0, 0.0, 1.0, -flip * panel.crease_x, 0.0)

    def at(p: Point) -> Point:
        return flip * (p[0] - panel.crease_x), p[1]

    return ComparedLeg(
        outline=framed(join([panel.outseam, panel.hem, panel.inseam, panel.crotch, panel.waist])),
        band=tuple(map(framed, _band(panel, block.band_height_mm))),
        levels=tuple(map(framed, _levels(panel, knee_y))),
        details=tuple(map(framed, _details(pattern.piece("back" if back else "front")))),
        side_top=at(panel.outseam.start),
        side_hem=at(panel.outseam.end),
        crotch_line_mm=block.crotch_line_height_mm,
    )


#: Front and back leg of every variant that has a pattern, by its number.
ComparedLegs = dict[int, tuple[ComparedLeg, ComparedLeg]]


def legs_of(comparison: Comparison) -> ComparedLegs:
    """Return the legs of a comparison."""
    return {
        v.number: (leg_of(v.pattern, back=False), leg_of(v.pattern, back=True))
        for v in comparison.drafted
        if v.pattern is not None
    }
