"""Pictures of the sewing order at the ankle: a slit, and a zip set into the outseam."""

from __future__ import annotations

import numpy as np

from outseam.cli.scene.scene import Scene
from outseam.cli.sewing.canvas import (
    EDGE,
    HIGH_MM,
    LINING,
    SEWN,
    WRONG,
    StepPicture,
    below,
    by_name,
    cut_line,
    fitted,
    flipped,
    leg_of,
    moved_onto,
    piece_line,
    shifted,
)
from outseam.curves.path import Floats
from outseam.draft.inputs.usual import UNDERLAP
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece
from outseam.draft.sewing.tools.settings import inside_mm

#: So much of the leg is shown above the opening, mm of fabric; half a zip's tape.
_ABOVE_MM = 90.0
_TAPE_MM = 14.0


def _opening(piece: Piece) -> tuple[Floats, Floats]:
    """Return the outseam above and within the opening, as lines (n, 2)."""
    at = next(n.at_mm for n in piece.notches if n.role == "ankle opening")
    return cut_line(piece_line(piece, "outseam"), at)


def _ankle(pattern: Pattern, title: str, *, zipped: bool) -> Scene:
    """Front and back opened flat on their wrong sides, joined down to the opening."""
    picture = StepPicture(title)
    back = leg_of(pattern, "back")
    sewn, opened = _opening(pattern.piece("back"))
    high = float(opened[0, 1]) + _ABOVE_MM
    on_front = _opening(pattern.piece("front"))[1]
    front = moved_onto(flipped(leg_of(pattern, "front")), flipped(on_front), opened)
    shapes = [below(back, high), below(front, high)]
    view = fitted(shapes, (3.0, 44.0, 3.0, HIGH_MM - 3.0))
    for shape in shapes:
        picture.shape(view(shape), WRONG)
    strip = shifted(opened, -UNDERLAP.mm(pattern.spec.units), 0.0)
    picture.shape(view(np.concatenate([opened, strip[::-1]])), LINING)
    inside = inside_mm(pattern.spec.style.seam_allowance, pattern.spec.units)
    if zipped:
        # Seen from the wrong side the zip lies under the strip: its tape shows behind.
        sides = [shifted(opened, s * _TAPE_MM, 0.0) for s in (-1.0, 1.0)]
        picture.shape(view(np.concatenate([sides[0], sides[1][::-1]])), LINING)
    picture.line(view(sewn[sewn[:, 1] <= high]), SEWN)
    picture.line(view(opened), EDGE)
    left, right = (shifted(opened, s * inside, 0.0) for s in (-1.0, 1.0))
    round_ = np.concatenate([left[::-1], right])
    picture.line(view(round_), SEWN)
    (x, y), (_, low) = view(opened[:1])[0], view(opened[-1:])[0]
    middle = (y + low) / 2.0
    picture.note("notch", y + 3.0, (x + 0.5, y))
    picture.note("zip below" if zipped else "open", middle - 2.0, (x + 0.3, middle))
    picture.word("wrong side", (10.0, 1.0))
    picture.note("underlap", middle - 8.0, (view(strip[-1:])[0, 0], middle))
    return picture.scene()


def ankle_slit(pattern: Pattern) -> Scene:
    """The edges of a slit stitched down."""
    return _ankle(pattern, "A slit at the ankle", zipped=False)


def ankle_zip(pattern: Pattern) -> Scene:
    """A zip stitched under the opening."""
    return _ankle(pattern, "A zip at the ankle", zipped=True)


DRAWINGS = by_name(ankle_slit, ankle_zip)
