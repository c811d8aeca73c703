"""The border on the legs: its lines drawn across them, and its notches at both seams.

Common practice, no source: mark the border's height on front and back at the same distance above
the hem and notch it on both seams, so that it is seen to run on before the seam is sewn.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final, Literal, TypeAlias

from outseam.draft.border.levels import above_hem_mm, hem_mm
from outseam.draft.border.printed import Border
from outseam.draft.piece.marks import across, outline_of
from outseam.draft.piece.piece import Line, LineRole, Notch, NotchRole, Piece
from outseam.draft.piece.ruler import ruler_length, run_at_y
from outseam.draft.spec.spec import Spec

BorderLevel: TypeAlias = Literal["edge", "eye", "inner end"]
LEVELS: Final[tuple[BorderLevel, ...]] = ("edge", "eye", "inner end")
#: Where the border begins and ends there is a notch; the level of its figures has a line only.
NOTCHED: Final[dict[BorderLevel, NotchRole]] = {"edge": "border begins", "inner end": "border ends"}
_LINES: Final[dict[BorderLevel, tuple[LineRole, str]]] = {
    "edge": ("border begins", "border begins"),
    "eye": ("border figure", "middle of the border's figure"),
    "inner end": ("border ends", "border ends"),
}
#: A line nearer to the hem's fold than this would be drawn over it.
_CLEAR_MM: Final = 3.0
#: A line to lengthen at keeps this far from the border and from other levels.
_LENGTHEN_MM: Final = 45.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BorderMark:
    """Where a level of the border crosses a seam: distance along it from the hem, finished, mm."""

    seam: str
    level: BorderLevel
    above_hem_mm: float
    front_mm: float
    back_mm: float

    @property
    def mismatch_mm(self) -> float:
        """How much higher it meets the back's seam than the front's."""
        return self.back_mm - self.front_mm


def levels_mm(spec: Spec, pieces: tuple[Piece, ...], border: Border) -> dict[BorderLevel, float]:
    """Return how far above the finished hem each level of the border lies."""
    growth = spec.fabric.shrink_factors[0]
    above = above_hem_mm(spec, pieces)
    heights = (0.0, border.eye_mm, border.height_mm)
    return {k: above + h / growth for k, h in zip(LEVELS, heights, strict=True)}


def crossings(
    front: Piece, back: Piece, levels: dict[BorderLevel, float]
) -> tuple[BorderMark, ...]:
    """Return where the levels cross outseam and inseam.

    Levels that are turned up with the hem, or lie above a seam, are left out.
    """
    found = []
    for seam in ("outseam", "inseam"):
        for level, at in levels.items():
            rows = []
            for piece in (front, back):
                path = piece.edge(seam).path
                y = hem_mm(piece) + at
                low, high = sorted((path.start[1], path.end[1]))
                if not low < y < high:
                    break
                run = run_at_y(path, y)
                rows.append(ruler_length(path) - run if seam == "outseam" else run)
            if len(rows) == 2 and at > 0.0:
                found.append(
                    BorderMark(
                        seam=seam,
                        level=level,
                        above_hem_mm=at,
                        front_mm=rows[0],
                        back_mm=rows[1],
                    )
                )
    return tuple(found)


def with_border(spec: Spec, legs: tuple[Piece, ...], border: Border) -> tuple[Piece, ...]:
    """Return front and back leg with the border's lines and notches on them.

    A notch is as far from the hem on the back as on the front, so that the two meet.
    """
    front, back = legs
    levels = levels_mm(spec, legs, border)
    marks = crossings(front, back, levels)
    figured = border.repeat_mm is not None or spec.fabric.border_eye is not None
    return tuple(_marked(leg, levels, marks, figured=figured) for leg in legs)


def _marked(
    leg: Piece, levels: dict[BorderLevel, float], marks: tuple[BorderMark, ...], *, figured: bool
) -> Piece:
    outline = outline_of(leg.edges)
    lines: list[Line] = []
    for level, at in levels.items():
        if at < _CLEAR_MM or (level == "eye" and not figured):
            continue
        role, label = _LINES[level]
        line = across(outline, hem_mm(leg) + at, "level", label)
        if line is not None:
            lines.append(replace(line, role=role))
    notches = []
    for mark in marks:
        if mark.level in NOTCHED and mark.above_hem_mm >= _CLEAR_MM:
            whole = ruler_length(leg.edge(mark.seam).path)
            at = whole - mark.front_mm if mark.seam == "outseam" else mark.front_mm
            notches.append(Notch(edge=mark.seam, at_mm=at, role=NOTCHED[mark.level]))
    kept = _clear_of_border(leg, hem_mm(leg) + levels["inner end"])
    return replace(leg, lines=(*kept, *lines), notches=(*leg.notches, *notches))


def _clear_of_border(leg: Piece, top_y: float) -> tuple[Line, ...]:
    """Return the lines of a leg with that to lengthen at above the border, or without it.

    Length that is put in or taken out within the border would tear it.
    """
    least = top_y + _LENGTHEN_MM
    outline = outline_of(leg.edges)
    taken = [k.path.start[1] for k in leg.lines if k.kind in ("level", "lengthen")]
    found: list[Line] = []
    for line in leg.lines:
        if line.kind != "lengthen" or line.path.start[1] >= least:
            found.append(line)
            continue
        others = [y for y in taken if y != line.path.start[1]]
        free = next(
            (
                y
                for y in (least, *(o + _LENGTHEN_MM for o in sorted(others) if o >= top_y))
                if y < 0.0 and all(abs(y - o) >= _LENGTHEN_MM - 1e-6 for o in others)
            ),
            None,
        )
        moved = None if free is None else across(outline, free, "lengthen", line.label)
        if moved is not None:
            found.append(moved)
    return tuple(found)
