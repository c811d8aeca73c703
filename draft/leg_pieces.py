"""Front and back leg as pattern pieces: allowances, notches, lines, and the seams between them."""

from __future__ import annotations

from curves.length import length
from draft.allowance import cut_edges, turned_up
from draft.block.block import Block
from draft.block.panels import Panel
from draft.body import Measures
from draft.marks import across, upright
from draft.piece import Edge, Line, Notch, Piece, Seam, Stretch
from draft.style import Style

#: A lengthen/shorten line keeps this far from levels and hem, or it would be drawn over them.
_CLEAR_MM = 45.0


def knee_from_hem_mm(block: Block, m: Measures) -> float | None:
    """Return the arc length from the hem to the knee notch; None where the leg ends above it.

    It is measured on the front outseam and set at the same distance on every seam, so that the
    notches meet.
    """
    knee_y = m.knee_height - block.crotch_line_height_mm
    if knee_y - block.front.hem_y < _CLEAR_MM:
        return None
    return _length_below(block.front, knee_y)


def _length_below(panel: Panel, y: float) -> float:
    """Return the outseam's length from the hem up to height `y`."""
    from curves.meet import intersections
    from curves.length import length_at
    from curves.path import line

    wide = 3000.0
    hits = intersections(panel.outseam, line((-wide, y), (wide, y)))
    return length(panel.outseam) - length_at(panel.outseam, hits[0][0])


def lengthen_levels(knee_y: float | None, hem_y: float) -> tuple[float, float]:
    """Return the heights of the two lengthen/shorten lines below the crotch line.

    One between crotch and knee, one between knee and hem, so that the knee stays where it
    belongs; on a leg that ends above the knee they divide it in three.
    """
    if knee_y is None or knee_y - hem_y < 3 * _CLEAR_MM:
        return hem_y / 3.0, 2.0 * hem_y / 3.0
    return knee_y / 2.0, (knee_y + hem_y) / 2.0


def leg_piece(block: Block, m: Measures, style: Style, *, back: bool) -> Piece:
    """Return one leg with allowances, notches and lines."""
    panel = block.back if back else block.front
    side = "back" if back else "front"
    seam = style.seam_allowance
    turn = turned_up(panel.outseam, panel.hem, panel.inseam, style.hem_allowance, seam)
    edges = (
        Edge(name="outseam", path=panel.outseam, allowance_mm=seam),
        *turn,
        Edge(name="inseam", path=panel.inseam, allowance_mm=seam),
        Edge(name="crotch", path=panel.crotch, allowance_mm=seam),
        Edge(name="waist", path=panel.waist, allowance_mm=seam),
    )
    outseam, crotch, waist = (length(p) for p in (panel.outseam, panel.crotch, panel.waist))
    count = 2 if back else 1
    notches = [
        Notch(edge="crotch", at_mm=panel.curve_start_mm * 0.55, count=count, says="crotch"),
        Notch(edge="waist", at_mm=waist / 2.0, says="band quarter"),
    ]
    # Where the front has its hip line: on the back the same distance from the hem, so they meet.
    hip = block.front.hip_from_hem_mm
    if outseam - hip > _CLEAR_MM / 2:
        notches.append(Notch(edge="outseam", at_mm=outseam - hip, says="hip"))
    knee = knee_from_hem_mm(block, m)
    if knee is not None:
        notches.append(Notch(edge="outseam", at_mm=outseam - knee, says="knee"))
        notches.append(Notch(edge="inseam", at_mm=knee, says="knee"))
    knee_y = None if knee is None else m.knee_height - block.crotch_line_height_mm
    upper, lower = lengthen_levels(knee_y, panel.hem_y)
    lines: list[Line | None] = [
        Line(kind="fold", path=panel.hem, label="hem fold"),
        across(edges, panel.hip_y, "level", "hip"),
        across(edges, min(0.0, panel.point[1]) + 0.05 if back else 0.05, "level", "crotch line"),
        None if knee_y is None else across(edges, knee_y, "level", "knee"),
        across(edges, upper, "lengthen", "lengthen or shorten here"),
        across(edges, lower, "lengthen", "lengthen or shorten here"),
        upright(edges, panel.crease_x, "crease", "crease line"),
    ]
    grain_x = panel.crease_x - 22.0
    top, bottom = panel.hip_y * 0.2, max(panel.hem_y * 0.75, panel.hem_y + 60.0)
    from curves.path import line

    lines.append(Line(kind="grain", path=line((grain_x, bottom), (grain_x, top)), label="grain"))
    del crotch
    return Piece(
        name=side,
        title=f"{side.capitalize()} leg",
        cut_note="cut 2, mirrored",
        edges=edges,
        cut=cut_edges(edges),
        notches=tuple(notches),
        lines=tuple(x for x in lines if x is not None),
        notes=("greatest stretch round the body",),
        label_at=(panel.crease_x + 12.0, panel.hip_y * 0.55),
        label_width_mm=95.0,
    )


def leg_seams(block: Block, m: Measures) -> tuple[Seam, ...]:
    """Return the seams between front and back leg, notch to notch."""
    front, back = block.front, block.back
    knee = knee_from_hem_mm(block, m)
    marks = [0.0] + ([knee] if knee is not None else [])
    totals = (length(front.outseam), length(back.outseam))
    hip = front.hip_from_hem_mm
    stops = [*marks] + ([hip] if totals[0] - hip > _CLEAR_MM / 2 else [])
    names = ["hem", *(["knee"] if knee is not None else []), *(["hip"] if len(stops) > len(marks) else []), "top"]
    seams: list[Seam] = []
    for i, start in enumerate(stops):
        ends = [(totals[k] if i + 1 == len(stops) else stops[i + 1]) for k in (0, 1)]
        seams.append(
            Seam(
                name=f"outseam, {names[i]} to {names[i + 1]}",
                a=Stretch(piece="front", edge="outseam", from_mm=totals[0] - ends[0], to_mm=totals[0] - start),
                b=Stretch(piece="back", edge="outseam", from_mm=totals[1] - ends[1], to_mm=totals[1] - start),
            )
        )
    inseams = (length(front.inseam), length(back.inseam))
    for i, start in enumerate(marks):
        last = i + 1 == len(marks)
        ends = [inseams[k] if last else marks[i + 1] for k in (0, 1)]
        where = f"{names[i]} to {'crotch point' if last else names[i + 1]}"
        seams.append(
            Seam(
                name=f"inseam, {where}",
                a=Stretch(piece="front", edge="inseam", from_mm=start, to_mm=ends[0]),
                b=Stretch(piece="back", edge="inseam", from_mm=start, to_mm=ends[1]),
                ease_mm=block.inseam_ease_mm if last else 0.0,
            )
        )
    return tuple(seams)
