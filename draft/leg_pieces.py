"""Front and back leg as pattern pieces: allowances, notches, lines, and the seams between them."""

from __future__ import annotations

from itertools import pairwise

from outseam.curves.length import know_lengths, length
from outseam.curves.path import line
from outseam.draft.block.block import Block
from outseam.draft.block.panels import Panel
from outseam.draft.body.estimate import Measures
from outseam.draft.fabric import Fabric
from outseam.draft.piece.allowance import turned
from outseam.draft.piece.marks import across, outline_of, upright
from outseam.draft.piece.piece import Edge, Line, Notch, Piece, Seam, Stretch
from outseam.draft.piece.ruler import measure_together, ruler_length, run_at_y
from outseam.draft.style import Style

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
    outseam = block.front.outseam
    return ruler_length(outseam) - run_at_y(outseam, knee_y)


def lengthen_levels(knee_y: float | None, hem_y: float) -> tuple[float, float]:
    """Return the heights of the two lengthen/shorten lines below the crotch line.

    One between crotch and knee, one between knee and hem, so that the knee stays where it
    belongs; on a leg that ends above the knee they divide it in three.
    """
    if knee_y is None or knee_y - hem_y < 3 * _CLEAR_MM:
        return hem_y / 3.0, 2.0 * hem_y / 3.0
    return knee_y / 2.0, (knee_y + hem_y) / 2.0


def _edges(panel: Panel, seam_mm: float, hem_mm: float, turn_mm: float) -> tuple[Edge, ...]:
    """Return the leg's edges; where the band is cut on, the waist is a fold with a turn beyond."""
    hem = turned(
        panel.outseam,
        panel.hem,
        panel.inseam,
        depth_mm=hem_mm,
        seam_mm=seam_mm,
        names=("outseam_turn", "hem_cut", "inseam_turn"),
    )
    top: tuple[Edge, ...] = (Edge(name="waist", path=panel.waist, allowance_mm=seam_mm),)
    if turn_mm > 0.0:
        top = turned(
            panel.crotch,
            panel.waist,
            panel.outseam,
            depth_mm=turn_mm,
            seam_mm=seam_mm,
            names=("crotch_casing", "casing_cut", "outseam_casing"),
            straight=False,
        )
    return (
        Edge(name="outseam", path=panel.outseam, allowance_mm=seam_mm),
        *hem,
        Edge(name="inseam", path=panel.inseam, allowance_mm=seam_mm),
        Edge(name="crotch", path=panel.crotch, allowance_mm=seam_mm),
        *top,
    )


def leg_pieces(block: Block, m: Measures, style: Style, fabric: Fabric) -> tuple[Piece, Piece]:
    """Return front and back leg with allowances, notches and lines, yet to be cut."""
    seam, hem = style.seam_allowance, style.hem_allowance
    know_lengths(
        path
        for p in (block.front, block.back)
        for path in (p.outseam, p.hem, p.inseam, p.crotch, p.waist)
    )
    front, back = (_edges(p, seam, hem, block.turn_mm) for p in (block.front, block.back))
    measure_together(e.path for e in (*front, *back))
    knee = knee_from_hem_mm(block, m)
    return (
        _leg_piece(block, m, fabric, front, knee, back=False),
        _leg_piece(block, m, fabric, back, knee, back=True),
    )


def _leg_piece(
    block: Block,
    m: Measures,
    fabric: Fabric,
    edges: tuple[Edge, ...],
    knee: float | None,
    *,
    back: bool,
) -> Piece:
    panel = block.back if back else block.front
    side = "back" if back else "front"
    outseam, waist = length(panel.outseam), length(panel.waist)
    count = 2 if back else 1
    notches = [
        Notch(edge="crotch", at_mm=panel.curve_start_mm * 0.55, count=count, role="crotch"),
    ]
    if not block.turn_mm:
        notches.append(Notch(edge="waist", at_mm=waist / 2.0, role="band quarter"))
    # Where the front has its hip line: on the back the same distance from the hem, so they meet.
    hip = block.front.hip_from_hem_mm
    if outseam - hip > _CLEAR_MM / 2:
        notches.append(Notch(edge="outseam", at_mm=outseam - hip, role="hip"))
    if knee is not None:
        notches.append(Notch(edge="outseam", at_mm=outseam - knee, role="knee"))
        notches.append(Notch(edge="inseam", at_mm=knee, role="knee"))
    # Where the hem is turned up, at both seams.
    notches.append(Notch(edge="outseam", at_mm=outseam, role="hem fold"))
    notches.append(Notch(edge="inseam", at_mm=0.0, role="hem fold"))
    lines = _lines(block, m, fabric, edges, knee, back=back)
    return Piece(
        name=side,
        title=f"{side.capitalize()} leg",
        copies=2,
        mirrored=True,
        # Drawn with the outseam on the left, a front is the right one and a back the left one.
        drawn_for="left" if back else "right",
        edges=edges,
        notches=tuple(notches),
        lines=tuple(x for x in lines if x is not None),
        notes=tuple(
            filter(
                None,
                (
                    fabric.lies("leg", stretches=block.ease.stretches),
                    fabric.round_note if fabric.turned else "",
                ),
            )
        ),
        label_at=(panel.crease_x + 12.0, -16.0),
        label_width_mm=95.0,
    )


def _between(
    names: list[str], stops: tuple[list[float], list[float]], edge: str, ease_mm: float
) -> list[Seam]:
    """Return the seams between neighbouring marks of an edge; `ease_mm` goes into the topmost.

    `stops` are distances from the hem on front and back, one more than there are seams; the
    outseam runs down to the hem, the inseam up from it.
    """
    found = []
    for i, (low, high) in enumerate(pairwise(names)):
        sides = []
        for piece, s in zip(("front", "back"), stops, strict=True):
            from_mm, to_mm = s[i], s[i + 1]
            if edge == "outseam":
                from_mm, to_mm = s[-1] - s[i + 1], s[-1] - s[i]
            to_end = i == 0 if edge == "outseam" else i + 2 == len(names)
            sides.append(
                Stretch(piece=piece, edge=edge, from_mm=from_mm, to_mm=to_mm, to_end=to_end)
            )
        last = i + 2 == len(names)
        found.append(
            Seam(
                name=f"{edge}, {low} to {high}",
                line=edge,
                between=(low, high),
                a=sides[0],
                b=sides[1],
                ease_mm=ease_mm if last else 0.0,
            )
        )
    return found


def leg_seams(block: Block, m: Measures) -> tuple[Seam, ...]:
    """Return the seams between front and back leg, notch to notch."""
    front, back = block.front, block.back
    knee = knee_from_hem_mm(block, m)
    names, marks = ["hem"], [0.0]
    if knee is not None:
        names, marks = [*names, "knee"], [*marks, knee]
    inseams = (length(front.inseam), length(back.inseam))
    seams = _between(
        [*names, "crotch point"],
        ([*marks, inseams[0]], [*marks, inseams[1]]),
        "inseam",
        block.inseam_ease_mm,
    )
    outseams = (length(front.outseam), length(back.outseam))
    if outseams[0] - front.hip_from_hem_mm > _CLEAR_MM / 2:
        names, marks = [*names, "hip"], [*marks, front.hip_from_hem_mm]
    stops = ([*marks, outseams[0]], [*marks, outseams[1]])
    return (*_between([*names, "top"], stops, "outseam", 0.0), *seams)


def _lines(
    block: Block,
    m: Measures,
    fabric: Fabric,
    edges: tuple[Edge, ...],
    knee: float | None,
    *,
    back: bool,
) -> list[Line | None]:
    """Return folds, levels, crease and grain of a leg; None where a line has no place."""
    panel = block.back if back else block.front
    knee_y = None if knee is None else m.knee_height - block.crotch_line_height_mm
    upper, lower = lengthen_levels(knee_y, panel.hem_y)
    outline = outline_of(edges)
    lines: list[Line | None] = [
        Line(kind="fold", path=panel.hem, label="hem fold", role="hem fold"),
        across(outline, panel.hip_y, "level", "hip"),
        across(outline, min(0.0, panel.point[1]) + 0.05 if back else 0.05, "level", "crotch line"),
        None if knee_y is None else across(outline, knee_y, "level", "knee"),
        across(outline, upper, "lengthen", "lengthen or shorten here"),
        across(outline, lower, "lengthen", "lengthen or shorten here"),
        upright(outline, panel.crease_x, "crease", "crease line"),
        Line(kind="fold", path=panel.waist, label="casing fold", role="casing fold")
        if block.turn_mm
        else None,
    ]
    grain_x = panel.crease_x - 22.0
    top, bottom = panel.hip_y * 0.2, max(panel.hem_y * 0.75, panel.hem_y + 60.0)
    lines.append(
        Line(kind="grain", path=line((grain_x, bottom), (grain_x, top)), label=fabric.grain_says)
    )
    return lines
