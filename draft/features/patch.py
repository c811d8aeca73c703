"""A patch pocket on each back leg: a rounded patch with a turned-down facing, and its place.

The upper edge runs parallel to the waist edge, which hangs level on the body, and the patch stands
half way between outseam and seat. Its place is drawn on the back leg.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from outseam.curves.evaluate import point_at
from outseam.curves.length import length, param_at_length
from outseam.curves.path import Floats, Path, cubic, join, line
from outseam.curves.point import Point, Vector, left_of, unit
from outseam.curves.region import bounds
from outseam.draft.block.panels import Panel
from outseam.draft.body.hand_size import least_opening_mm
from outseam.draft.features.bag import ABOVE_HEM_MM, ABOVE_KNEE_MM, ROUND
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import show_length
from outseam.draft.inputs.usual import POCKET_FACING
from outseam.draft.inputs.words import most_allowed, words
from outseam.draft.model import Make, OnLeg, Pattern, Pocket, Strip
from outseam.draft.piece.allowance import turned
from outseam.draft.piece.piece import Edge, Line, Notch, Piece
from outseam.draft.piece.ruler import across_mm, chords
from outseam.draft.sewing.tools.job import Job
from outseam.draft.sewing.tools.settings import TOP_STITCH_MM, inside_mm
from outseam.draft.step import Step, dial, given, mm

#: Width over the hip, and its limits: not wider than this, and a middling hand goes in. Height
#: over the width (common practice, no source).
WIDTH_OF_HIP: Final = 0.145
MOST_WIDTH_MM: Final = 180.0
HEIGHT_OF_WIDTH: Final = 1.05
#: Widths and heights that the draft chooses are whole multiples of this.
_STEP_MM: Final = 5.0
#: A patch that has to be made smaller to fit its leg is no smaller than this, either way, unless a
#: smaller one is asked for.
LEAST_MM: Final = 100.0
#: Radius of the lower corners over the width.
CORNER_OF_WIDTH: Final = 0.18
#: Distance of the upper edge from the waist edge: so that the patch's middle comes this far above
#: the hip line, between these; below a casing cut on the leg it clears the casing's stitching.
ABOVE_HIP_MM: Final = 15.0
FROM_WAIST_MM: Final = (35.0, 90.0)
BELOW_CASING_MM: Final = 15.0
#: The patch keeps this far from every seam, and its lower edge this near to the crotch line.
CLEAR_MM: Final = 20.0
LOWEST_Y: Final = -70.0

#: How often a patch is moved down to keep clear of the waist edge: each move leaves a little.
_LOWERINGS: Final = 4

#: Height of the words on a leg.
_WORDS_MM: Final = 58.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Patch:
    """A patch: width and height, mm, and where on the back leg its upper left corner lies.

    `along` is the direction of its upper edge there, from the side to the centre.
    """

    width_mm: float
    height_mm: float
    corner: Point
    along: Vector

    def placed(self, p: Path) -> Path:
        """Return a path of the piece (origin at its lower left corner) as it lies on the leg."""
        x, y = self.along
        down = (y, -x)
        origin = (
            self.corner[0] + self.height_mm * down[0],
            self.corner[1] + self.height_mm * down[1],
        )
        return p.turned(math.atan2(y, x)).moved(*origin)


def patch_sides(width_mm: float, height_mm: float) -> Path:
    """Return left side, rounded lower edge and right side, from corner to corner of the top."""
    w, h = width_mm, height_mm
    r = min(CORNER_OF_WIDTH * w, 0.4 * h)
    k = r * (1.0 - ROUND)
    return join(
        [
            line((0.0, h), (0.0, r)),
            cubic((0.0, r), (0.0, k), (k, 0.0), (r, 0.0)),
            line((r, 0.0), (w - r, 0.0)),
            cubic((w - r, 0.0), (w - k, 0.0), (w, k), (w, r)),
            line((w, r), (w, h)),
        ]
    )


def _usual_size(make: Make) -> tuple[float, float]:
    """Return width and height as asked for, or as they follow from hip and hand, mm."""
    style, m = make.spec.style, make.measures
    width = style.patch_width
    if width is None:
        by_hip = max(least_opening_mm(m), min(WIDTH_OF_HIP * m.hip, MOST_WIDTH_MM))
        width = _STEP_MM * math.ceil(by_hip / _STEP_MM)
    height = style.patch_height
    if height is None:
        height = _STEP_MM * round(HEIGHT_OF_WIDTH * width / _STEP_MM)
    return width, height


def _placed(panel: Panel, width: float, height: float, turn_mm: float) -> Patch:
    """Return a patch half way along the waist edge, at the usual distance from it."""
    u = param_at_length(panel.waist, length(panel.waist) / 2.0)
    (x, y), (x0, y0), (x1, y1) = point_at(panel.waist, u), panel.waist.start, panel.waist.end
    towards_side = unit((x1 - x0, y1 - y0))
    along, into = (-towards_side[0], -towards_side[1]), left_of(towards_side)
    low, high = FROM_WAIST_MM
    far = min(max(y - panel.hip_y - ABOVE_HIP_MM - height / 2.0, low), high)
    if turn_mm:
        far = max(far, turn_mm + BELOW_CASING_MM)
    corner = (
        x + far * into[0] - width / 2.0 * along[0],
        y + far * into[1] - width / 2.0 * along[1],
    )
    patch = Patch(width_mm=width, height_mm=height, corner=corner, along=along)
    # A waist edge that rises steeply to the back comes nearer at a corner than in the middle.
    for _ in range(_LOWERINGS):
        near = CLEAR_MM - _far(_outline(patch), panel.waist)
        if near <= 0.0:
            break
        (x, y), (ix, iy) = patch.corner, into
        patch = replace(patch, corner=(x + near * ix, y + near * iy))
    return patch


def _outline(patch: Patch) -> Floats:
    """Return points (m, 2) along all sides of a patch on the leg."""
    w, h = patch.width_mm, patch.height_mm
    across, up = np.linspace(0.0, w, 8), np.linspace(0.0, h, 8)
    x = np.concatenate([np.zeros(8), across, np.full(8, w), across])
    y = np.concatenate([up, np.zeros(8), up, np.full(8, h)])
    ax, ay = patch.along
    left, top = patch.corner
    out: Floats = np.stack(
        [left + ax * x - ay * (y - h), top + ay * x + ax * (y - h)], axis=1, dtype=np.float64
    )
    return out


def _far(points: Floats, *paths: Path) -> float:
    """Return the least distance of `points` (m, 2) from paths, measured on their chords, mm."""
    least = math.inf
    for path in paths:
        p = chords(path)[0]
        a, run = p[:-1], np.diff(p, axis=0)
        off = points[:, None] - a
        t = np.clip(np.sum(off * run, axis=2) / np.sum(run * run, axis=1), 0.0, 1.0)
        gap = off - t[..., None] * run
        least = min(least, float(np.hypot(gap[..., 0], gap[..., 1]).min()))
    return least


def _clear(panel: Panel, patch: Patch) -> tuple[float, float]:
    """Return how far a patch stays from the outseam, and from seat seam and inseam, mm."""
    points = _outline(patch)
    return _far(points, panel.outseam), _far(points, panel.crotch, panel.inseam)


def _centred(panel: Panel, patch: Patch) -> tuple[Patch, float]:
    """Return the patch moved along its upper edge to stand midway, and how clear it then is."""
    side, seat = _clear(panel, patch)
    shift = (seat - side) / 2.0
    (x, y), (ax, ay) = patch.corner, patch.along
    moved = replace(patch, corner=(x + shift * ax, y + shift * ay))
    return moved, min(_clear(panel, moved))


def _tried(make: Make, width: float, height: float) -> tuple[Patch, float, float]:
    """Return the patch in its place, and by how much it is too high and too wide for it, mm."""
    panel = make.block.back
    floor = max(
        LOWEST_Y,
        make.measures.knee_height - make.block.crotch_line_height_mm + ABOVE_KNEE_MM,
        panel.hem_y + make.spec.style.hem_allowance + ABOVE_HEM_MM,
    )
    patch, clear = _centred(panel, _placed(panel, width, height, make.block.turn_mm))
    return patch, floor - float(_outline(patch)[:, 1].min()), 2.0 * (CLEAR_MM - clear)


def _fitted(make: Make, width: float, height: float) -> Patch | None:
    """Return the patch, made smaller in steps where the back leg has no room; None if too small."""
    least = min(LEAST_MM, width, height)
    while min(width, height) >= least:
        patch, over, narrow = _tried(make, width, height)
        if over <= 0.0 and narrow <= 0.0:
            return patch
        if over > 0.0:
            height = _STEP_MM * math.floor((height - over) / _STEP_MM)
        if narrow > 0.0:
            width = _STEP_MM * math.floor((width - narrow) / _STEP_MM)
    return None


def solve_patch(make: Make) -> Patch:
    """Return the patch of the size asked for, or the usual one made to fit the back leg.

    Raises InputError where the leg has no room for it.
    """
    style = make.spec.style
    width, height = _usual_size(make)
    patch = _fitted(make, width, height)
    if patch is None:
        raise InputError(
            "style.pocket",
            "a patch pocket on a back leg without room for it",
            "a leg with more room between waist edge, seams and hem",
            "choose a higher rise or a longer leg, or leave the pocket out",
        )
    for key, says, asked, room in (
        ("patch_width", "wide", width, patch.width_mm),
        ("patch_height", "high", height, patch.height_mm),
    ):
        if asked > room and getattr(style, key) is not None:
            raise InputError(
                f"style.{key}",
                words("a patch pocket {asked} {way}", asked=most_allowed(asked), way=says),
                words("{room} or less on this back leg", room=most_allowed(room)),
                "choose a smaller pocket, a higher rise or a longer leg",
            )
    return patch


def _piece(make: Make, patch: Patch, sides: Path) -> Piece:
    """Return the patch as it is cut, its facing above the fold."""
    w, h, seam = patch.width_mm, patch.height_mm, make.spec.style.seam_allowance
    facing = POCKET_FACING.mm(make.spec.units)
    fold = line((w, h), (0.0, h))
    edges = (
        Edge(name="sides", path=sides, allowance_mm=seam),
        *turned(
            sides,
            fold,
            sides,
            depth_mm=facing,
            seam_mm=seam,
            names=("facing_right", "facing_cut", "facing_left"),
        ),
    )
    return Piece(
        name="patch_pocket",
        title="Back pocket",
        copies=2,
        edges=edges,
        notches=(
            Notch(edge="sides", at_mm=0.0, role="fold"),
            Notch(edge="sides", at_mm=length(sides), role="fold"),
        ),
        lines=(
            Line(kind="fold", path=fold.reversed(), label="fold", role="pocket top"),
            Line(
                kind="grain",
                path=line((w - 16.0, 0.25 * h), (w - 16.0, 0.8 * h)),
                label="grain",
            ),
        ),
        notes=(
            f"facing at the top: turn down {show_length(facing, make.spec.units)}",
            "round the corners over a card",
        ),
        label_at=(12.0, h - 12.0),
        label_width_mm=w - 36.0,
    )


def _label_below(back: Piece, place: Path) -> Point:
    """Return where the leg's words go so that they stand below the patch and across no line."""
    x, y = back.label_at
    y = min(y, bounds(place)[1] - 12.0)
    for mark in sorted((k.path.start[1] for k in back.lines if k.kind == "lengthen"), reverse=True):
        if y - _WORDS_MM < mark < y + 8.0:
            y = mark - 8.0
    return x, y


def apply(make: Make) -> Make:
    """Add the patch and draw its place on the back leg. Raises InputError without room for it."""
    patch = solve_patch(make)
    sides = patch_sides(patch.width_mm, patch.height_mm)
    w, h = patch.width_mm, patch.height_mm
    # From the upper left corner along the top, so that the label stands upright on the upper edge.
    around = join([line((0.0, h), (w, h)), sides.reversed()])
    place = Line(
        kind="topstitch", path=patch.placed(around), label="back pocket", role="pocket place"
    )
    back = make.piece("back")
    back = replace(back, lines=(*back.lines, place), label_at=_label_below(back, place.path))
    return make.with_piece(back).adding(pieces=(_piece(make, patch, sides),))


def _opening_mm(pattern: Pattern) -> float:
    sides = pattern.piece("patch_pocket").edge("sides").path
    return math.dist(sides.start, sides.end)


def _stiffened(pattern: Pattern) -> Iterator[Strip]:
    """Yield its facing, on a fabric that would give."""
    if pattern.spec.fabric.kind == "knit":
        for piece in pattern.pieces:
            if piece.part == "patch_pocket":
                yield Strip(
                    why="the facing of each patch pocket",
                    across_mm=across_mm(piece),
                    along_mm=POCKET_FACING.mm(pattern.spec.units),
                    count=piece.copies,
                )


def _steps(pattern: Pattern) -> tuple[Step, ...]:
    """Return how it is made and stitched on (common practice, no source)."""
    job = Job(pattern=pattern)
    patch = job.parts("patch_pocket")[0]
    x0, y0, x1, y1 = bounds(patch.edge("sides").path)
    text = [
        "Neaten the upper edge. Fold the facing to the right side along the notches, {facing} "
        "deep, and sew its two short ends {seam} from the edge. Trim the corners, turn the facing "
        "to the inside and press.",
        "Stitch the facing down {down} below the fold. Press {seam} to the wrong side round the "
        "other edges, over a card with the same rounded corners: {wide} wide, {high} high.",
        "Pin each pocket on the right side of a back, corners on the dots, and stitch it on close "
        "to the edge, {stitch} long, from corner to corner round the bottom. Sew a few stitches "
        "back and forth at both corners.",
    ]
    if job.knit:
        text.insert(
            0,
            "Iron thin fusible on the wrong side of the facing of each pocket, and small squares "
            "of it on the wrong side of the backs, behind the upper corners, so that they hold.",
        )
    return (
        Step(
            key="patch",
            title="Back pockets",
            text=tuple(text),
            figures=(
                given("facing", POCKET_FACING.mm(job.units)),
                given("down", inside_mm(POCKET_FACING.mm(job.units), job.units)),
                job.seam,
                mm("wide", x1 - x0),
                mm("high", y1 - y0),
                dial("stitch", TOP_STITCH_MM),
            ),
            drawing="patch",
            edges=job.unsewn("sides", "facing_right", "facing_left", "facing_cut"),
            notches=job.notches(("sides", "fold")),
        ),
    )


POCKET = Pocket(
    value="patch",
    says="a patch pocket",
    apply=apply,
    sizes=("patch_width", "patch_height"),
    steps=_steps,
    marking="Mark the corners of the back pocket's place on the right side of both backs: prick "
    "through the paper with a pin and chalk the dots.",
    stiffened=_stiffened,
    opening_mm=_opening_mm,
    for_hands=False,
    set_on=OnLeg(piece="patch_pocket", leg="back"),
)
