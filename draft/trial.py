"""The trial: the same draft cut short at the knee, for cheap fabric and few sheets of paper.

It has what is needed to see and to let out, and nothing else: no pocket, no belt, no opening at the
ankle, no border, and wide allowances where pants are let out.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from outseam.draft.block.block import Block
from outseam.draft.block.panels import cut_hem
from outseam.draft.border.places import plain
from outseam.draft.checks.outlines import check_allowances, check_outlines
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.usual import LET_OUT
from outseam.draft.leg_pieces import knee_from_hem_mm
from outseam.draft.model import Pattern
from outseam.draft.pattern import assemble
from outseam.draft.piece.allowance import cut_edges
from outseam.draft.piece.marks import across, outline_of
from outseam.draft.piece.piece import Line, Piece
from outseam.draft.sided import put_together
from outseam.draft.spec.spec import Spec

#: Turned up, or left raw, at the trial's hem.
HEM_MM = 10.0

#: The seams that are let out, by the beginning of their edges' names: outseam and inseam of both
#: legs, centre back.
_LET_OUT: Final = {"front": ("outseam", "inseam"), "back": ("outseam", "inseam", "crotch")}


def let_out_mm(spec: Spec) -> float:
    """Return the allowance of the trial's long seams, mm; never less than the pants have."""
    return max(LET_OUT.mm(spec.units), spec.style.seam_allowance)


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
        notes=(*piece.notes, "mark every line, the dashed seam line too"),
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
    wide = let_out_mm(spec)
    pieces = (_widened(_balanced(p, _block_of(p, trial)), wide) for p in trial.pieces)
    trial = replace(trial, pieces=tuple(pieces))
    cut_anew = (*check_outlines(trial), *check_allowances(trial))
    known = {(f.check, f.where) for f in cut_anew}
    others = (f for f in trial.findings if (f.check, f.where) not in known)
    return replace(trial, findings=(*others, *cut_anew))


def _widened(piece: Piece, wide_mm: float) -> Piece:
    """Return a piece with wide allowances at the seams that are let out.

    Where the crotch curve is too tight for one, it keeps the allowance that the pants have.
    """
    names = _LET_OUT.get(piece.part)
    if names is None:
        return piece
    try:
        return _with_allowance(piece, names, wide_mm)
    except InputError:
        return _with_allowance(piece, _LET_OUT["front"], wide_mm)


def _with_allowance(piece: Piece, names: tuple[str, ...], wide_mm: float) -> Piece:
    edges = tuple(
        replace(e, allowance_mm=wide_mm) if e.allowance_mm > 0.0 and e.name.startswith(names) else e
        for e in piece.edges
    )
    return replace(piece, edges=edges, cut=cut_edges(edges))


def _block_of(piece: Piece, trial: Pattern) -> Block:
    other = trial.other_block if piece.side == "right" else None
    return other or trial.block


def _cut_short(pattern: Pattern) -> Block:
    # A hem drawn straight bends the seams above it: the trial is cut from the leg before that.
    front, back = pattern.block.square_hem or (pattern.block.front, pattern.block.back)
    block = replace(pattern.block, front=front, back=back, square_hem=None)
    cut = knee_from_hem_mm(block, pattern.measures) or 0.0
    if cut <= 0.0:
        return pattern.block
    return replace(block, front=cut_hem(front, cut, cut), back=cut_hem(back, cut, cut))


def _trial_spec(spec: Spec) -> Spec:
    """Return the spec of a trial: what hangs on the legs and what a print asks for is left out.

    Its fabric gives as much round the body, has no border, and is worn as it is cut: how the good
    one shrinks is no matter.
    """
    spec = plain(spec, stays_turned=True)
    style = replace(
        spec.style,
        hem_width=None,
        hem_allowance=HEM_MM,
        hem_line="square",
        pocket=("none",),
        belt="none",
        ankle="closed",
        ankle_opening=None,
        pocket_opening=None,
        patch_width=None,
        patch_height=None,
        belt_tie=None,
    )
    fabric = replace(spec.fabric, shrink_across=0.0, shrink_along=0.0)
    return replace(spec, style=style, fabric=fabric, title=f"TRIAL {spec.title}".strip())
