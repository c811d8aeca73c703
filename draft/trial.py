"""The trial: the same draft cut short at the knee, for cheap fabric and few sheets of paper."""

from __future__ import annotations

from dataclasses import replace

from outseam.draft.block.block import Block
from outseam.draft.block.panels import cut_hem
from outseam.draft.leg_pieces import knee_from_hem_mm
from outseam.draft.model import Pattern
from outseam.draft.pattern import assemble
from outseam.draft.piece.marks import across, outline_of
from outseam.draft.piece.piece import Line, Piece
from outseam.draft.sided import put_together
from outseam.draft.spec.spec import Spec

#: Turned up, or left raw, at the trial's hem.
HEM_MM = 10.0


def _balanced(piece: Piece, block: Block) -> Piece:
    """Return a leg with lines to judge by: level and upright ones, and a word that it is a trial.

    Lines that hang level and plumb on the body show where a trial pulls.
    """
    if piece.part not in ("front", "back"):
        return replace(piece, title=f"TRIAL {piece.title.lower()}")
    panel = block.front if piece.part == "front" else block.back
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
    spec = _trial_spec(pattern.spec)
    if pattern.legs is None:
        block = _cut_short(pattern)
        trial = assemble(spec, pattern.measures, block)
    else:
        left, right = pattern.legs
        one, other = _cut_short(left), _cut_short(right)
        trial = put_together(
            spec,
            assemble(_trial_spec(left.spec), left.measures, one, other),
            assemble(_trial_spec(right.spec), right.measures, other, one),
        )
    return replace(trial, pieces=tuple(_balanced(p, _block_of(p, trial)) for p in trial.pieces))


def _block_of(piece: Piece, trial: Pattern) -> Block:
    other = trial.other_block if piece.side == "right" else None
    return other or trial.block


def _cut_short(pattern: Pattern) -> Block:
    block = pattern.block
    cut = knee_from_hem_mm(block, pattern.measures) or 0.0
    if cut <= 0.0:
        return block
    front, back = (cut_hem(p, cut, cut) for p in (block.front, block.back))
    return replace(block, front=front, back=back)


def _trial_spec(spec: Spec) -> Spec:
    style = replace(spec.style, hem_allowance=HEM_MM)
    return replace(spec, style=style, title=f"TRIAL {spec.title}".strip())
