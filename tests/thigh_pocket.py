"""A pocket as somebody else would add one: a lined square on the front thigh, in this one file."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from outseam.curves.path import Path, join, line
from outseam.draft.features.patch import patch_sides
from outseam.draft.model import Make, OnLeg, Pattern, Pocket, Strip
from outseam.draft.piece.allowance import cut_edges
from outseam.draft.piece.piece import Edge, Line, Piece
from outseam.draft.sewing.tools.job import Job
from outseam.draft.step import Step, mm

WIDE_MM, HIGH_MM, TOP_Y = 165.0, 150.0, -40.0


def _piece(make: Make, name: str, title: str, *, lining: bool) -> Piece:
    seam = make.spec.style.seam_allowance
    top = line((WIDE_MM, HIGH_MM), (0.0, HIGH_MM))
    edges = (
        Edge(name="sides", path=patch_sides(WIDE_MM, HIGH_MM), allowance_mm=seam),
        Edge(name="top", path=top, allowance_mm=seam),
    )
    return Piece(
        name=name,
        title=title,
        copies=2,
        lining=lining,
        edges=edges,
        cut=cut_edges(edges),
        lines=(
            Line(kind="fold", path=top.reversed(), label="upper edge", role="pocket top"),
            Line(kind="grain", path=line((140.0, 40.0), (140.0, 110.0)), label="grain"),
        ),
        label_at=(14.0, HIGH_MM - 14.0),
        label_width_mm=110.0,
    )


def _place(make: Make) -> Path:
    sides = patch_sides(WIDE_MM, HIGH_MM)
    around = join([line((0.0, HIGH_MM), (WIDE_MM, HIGH_MM)), sides.reversed()])
    return around.moved(make.block.front.crease_x - WIDE_MM / 2.0, TOP_Y - HIGH_MM)


def apply(make: Make) -> Make:
    """Add the pocket, its lining, and the place on the front leg."""
    front = make.piece("front")
    place = Line(kind="topstitch", path=_place(make), label="thigh pocket", role="pocket place")
    make = make.with_piece(replace(front, lines=(*front.lines, place)))
    return make.adding(
        pieces=(
            _piece(make, "thigh_pocket", "Thigh pocket", lining=False),
            _piece(make, "thigh_lining", "Thigh pocket lining", lining=True),
        )
    )


def _stiffened(pattern: Pattern) -> Iterator[Strip]:
    yield Strip(why="the top of each thigh pocket", across_mm=WIDE_MM, along_mm=25.0, count=2)


def _steps(pattern: Pattern) -> tuple[Step, ...]:
    return (
        Step(
            key="thigh",
            title="Thigh pockets",
            text=("Line each pocket, {wide} wide, and stitch it on the front of the thigh.",),
            figures=(mm("wide", WIDE_MM),),
            drawing="thigh",
            edges=Job(pattern=pattern).unsewn("sides", "top"),
        ),
    )


POCKET = Pocket(
    value="thigh",
    says="a thigh pocket",
    apply=apply,
    steps=_steps,
    marking="Chalk the place of the thigh pocket on both fronts.",
    stiffened=_stiffened,
    opening_mm=lambda _: WIDE_MM,
    for_hands=False,
    tape_mm=lambda _: 2.0 * WIDE_MM,
    set_on=OnLeg(piece="thigh_pocket", leg="front"),
)
