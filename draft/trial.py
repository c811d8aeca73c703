"""The trial: the same draft cut short at the knee, for cheap fabric and few sheets of paper."""

from __future__ import annotations

from dataclasses import replace

from draft.block.block import Block
from draft.block.panels import cut_hem
from draft.leg_pieces import knee_from_hem_mm
from draft.marks import across, outline_of
from draft.pattern import Pattern, assemble
from draft.piece import Line, Piece

#: Turned up, or left raw, at the trial's hem.
HEM_MM = 10.0


def _balanced(piece: Piece, block: Block) -> Piece:
    """Return a leg with lines to judge by: level and upright ones, and a word that it is a trial.

    Lines that hang level and plumb on the body show where a trial pulls.
    """
    if piece.name not in ("front", "back"):
        return replace(piece, title=f"TRIAL {piece.title.lower()}")
    panel = block.front if piece.name == "front" else block.back
    outline = outline_of(piece.edges)
    levels = (
        (panel.hip_y / 2.0, "balance line, half way from hip to crotch"),
        (panel.hem_y / 2.0, "balance line, mid thigh"),
    )
    extra = tuple(x for y, label in levels if (x := across(outline, y, "level", label)) is not None)
    lines: tuple[Line, ...] = tuple(x for x in piece.lines if x.kind != "lengthen") + extra
    return replace(
        piece,
        title=f"TRIAL {piece.title.lower()}",
        lines=lines,
        notes=(*piece.notes, "mark every line on the trial fabric"),
    )


def trial_pattern(pattern: Pattern) -> Pattern:
    """Return the trial of a drafted pattern: its block ends at the knee, nothing else differs.

    A leg that already ends there keeps its length.
    """
    block, m = pattern.block, pattern.measures
    cut = knee_from_hem_mm(block, m) or 0.0
    if cut > 0.0:
        front, back = (cut_hem(p, cut, cut) for p in (block.front, block.back))
        block = replace(block, front=front, back=back)
    style = replace(pattern.spec.style, hem_allowance=HEM_MM)
    title = f"TRIAL {pattern.spec.title}".strip()
    trial = assemble(replace(pattern.spec, style=style, title=title), m, block)
    return replace(trial, pieces=tuple(_balanced(p, block) for p in trial.pieces))
