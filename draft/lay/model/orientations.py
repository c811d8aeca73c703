"""How a part can lie on the fabric: its outline at each face and turn that it may have."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
from shapely import Polygon, box, clip_by_rect

from outseam.draft.fabric import Fabric
from outseam.draft.lay.model.cloth import Cloth
from outseam.draft.lay.model.parts import Part
from outseam.draft.lay.model.placement import Face, Floats, Lie, Turn, as_cut, outline_of_cut
from outseam.draft.lay.model.profile import Trapezoids, profile_of
from outseam.draft.piece.piece import Piece

#: The outline kept half a gap away from a piece may lie this much further out, mm: fewer corners.
FINE_MM = 0.1
COARSE_MM = 2.0
#: Corners nearer than this are the same, mm.
_SAME_MM = 1e-6


@dataclass(frozen=True, kw_only=True, eq=False)
class Orientation:
    """A part at one face and turn; its outline's lowest and leftmost points are at 0.

    `cut` is the piece as cut, grown for shrinkage, and `lie` puts it there. On the fold, `outline`
    is the half that lies on the fabric. `length_mm` is along the fabric, `breadth_mm` across.
    `twin` is another one of which this is the mirror image: what was worked out there serves here.
    """

    cut: Piece
    lie: Lie
    outline: Floats
    length_mm: float
    breadth_mm: float
    gap_mm: float
    twin: Orientation | None = None

    @cached_property
    def ring(self) -> Floats:
        """Corners of the outline with half the gap around it."""
        if self.twin is not None:
            return self._mirrored(self.twin.ring)
        return around(self.outline, self.gap_mm / 2.0, FINE_MM)

    @cached_property
    def coarse_ring(self) -> Floats:
        """The same with fewer corners, nowhere closer than `ring`."""
        if self.twin is not None:
            return self._mirrored(self.twin.coarse_ring)
        return around(self.outline, self.gap_mm / 2.0 + FINE_MM, COARSE_MM, self.gap_mm / 2.0)

    @cached_property
    def profile(self) -> Trapezoids:
        """`ring` as trapezoids."""
        if self.twin is not None:
            return self.twin.profile.mirrored(*self._axes)
        return profile_of(self.ring)

    @cached_property
    def coarse(self) -> Trapezoids:
        """`coarse_ring` as trapezoids."""
        if self.twin is not None:
            return self.twin.coarse.mirrored(*self._axes)
        return profile_of(self.coarse_ring)

    @property
    def mirrors(self) -> tuple[bool, bool]:
        """Whether it is its cut face up at turn 0 or 90 in a mirror along the fabric, and across.

        Both make half a turn.
        """
        turned, down = self.turn_deg >= 180, self.face == "down"
        upright = self.turn_deg % 180 == 0
        return turned != (down and not upright), turned != (down and upright)

    @property
    def _axes(self) -> tuple[float | None, float | None]:
        """What is its twin's length and breadth where it is that in a mirror along and across."""
        assert self.twin is not None
        along, across = (a != b for a, b in zip(self.mirrors, self.twin.mirrors, strict=True))
        return self.length_mm if along else None, self.breadth_mm if across else None

    def _mirrored(self, points: Floats) -> Floats:
        """Return points of its twin as they lie here."""
        x, y = points.T
        long, high = self._axes
        return np.stack([x if long is None else long - x, y if high is None else high - y], axis=1)

    @property
    def face(self) -> Face:
        """Which side of the pattern piece is up."""
        return self.lie.face

    @property
    def turn_deg(self) -> Turn:
        """How it is turned."""
        return self.lie.turn_deg


@dataclass(frozen=True, kw_only=True, eq=False)
class Item:
    """A part with its orientations; `level_mm` is the only height it may have (None: any).

    `area_mm2` is the fabric it takes, one layer counted once.
    """

    part: Part
    orientations: tuple[Orientation, ...]
    at_fold: bool = False
    area_mm2: float = field(default=0.0)

    @property
    def key(self) -> str:
        """The part's key."""
        return self.part.key


def unlike(orientations: Sequence[Orientation]) -> tuple[Orientation, ...]:
    """Return the orientations without those that cover just what another one does."""
    found: list[Orientation] = []
    for one in orientations:
        if not any(_alike(one.outline, other.outline) for other in found):
            found.append(one)
    return tuple(found)


def _alike(a: Floats, b: Floats) -> bool:
    """Return whether two outlines have the same corners, in whatever order."""
    if len(a) != len(b):
        return False
    a, b = (points[np.lexsort(np.round(points, 3).T)] for points in (a, b))
    return bool(np.abs(a - b).max() < _SAME_MM)


def around(
    outline: Floats, distance_mm: float, tolerance_mm: float, most_mm: float | None = None
) -> Floats:
    """Return corners (m, 2) of a parallel outline: up to `tolerance_mm` too far out, no nearer.

    Along and across it reaches just `most_mm` further than the outline (None: the distance): boxes
    that keep a gap are never nearer.
    """
    out = distance_mm + tolerance_mm
    grown = Polygon(outline).buffer(out, join_style="mitre", mitre_limit=1.5)
    most_mm = distance_mm if most_mm is None else most_mm
    (x0, y0), (x1, y1) = outline.min(axis=0) - most_mm, outline.max(axis=0) + most_mm
    shape = clip_by_rect(Polygon(grown.exterior).simplify(tolerance_mm), x0, y0, x1, y1)
    assert isinstance(shape, Polygon), "what surrounds one piece is one piece"
    points: Floats = np.asarray(shape.exterior.coords)[:-1, :2]
    return points


def _orientation(
    cut: Piece, outline: Floats, gap_mm: float, face: Face, turn_deg: Turn, *, half: bool
) -> Orientation:
    """Return an orientation of a piece as cut; `half` of it lies there where it is on the fold."""
    lie = Lie(face=face, turn_deg=turn_deg)
    points = lie.points(outline)
    if half:
        points = lower_half(points)
    x, y = points.min(axis=0)
    points = points - (x, y)
    length, breadth = points.max(axis=0)
    return Orientation(
        cut=cut,
        lie=lie.moved(-float(x), -float(y)),
        outline=points,
        length_mm=float(length),
        breadth_mm=float(breadth),
        gap_mm=gap_mm,
    )


def lower_half(points: Floats) -> Floats:
    """Return the part of an outline below the level line through its middle."""
    (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
    half = Polygon(points).intersection(box(x0 - 1.0, y0 - 1.0, x1 + 1.0, (y0 + y1) / 2.0))
    assert isinstance(half, Polygon), "a piece on the fold is whole below its middle"
    corners: Floats = np.asarray(half.exterior.coords)[:-1, :2]
    return corners


def items_of(parts: Sequence[Part], fabrics: Sequence[Fabric], cloth: Cloth) -> tuple[Item, ...]:
    """Return the parts with their orientations; `fabrics` are those of the garments.

    Copies of a piece share their orientations, so that what is worked out for one is known for all.
    """
    cuts: dict[tuple[int, int, bool], tuple[Piece, Floats]] = {}
    orientations: dict[tuple[int, int, Face, Turn, bool], Orientation] = {}
    twins: dict[tuple[int, int, bool], Orientation] = {}

    def orientation(part: Part, face: Face, turn: Turn) -> Orientation:
        piece, half = (part.garment, id(part.piece)), part.zone == "fold"
        if (*piece, face, turn, half) not in orientations:
            grain = (*piece, turn % 180 == 0)
            if grain not in cuts:
                cut = as_cut(part.piece, fabrics[part.garment], turn)
                cuts[grain] = cut, outline_of_cut(cut)
            found = _orientation(*cuts[grain], cloth.gap_mm, face, turn, half=half)
            # On the fold the other half lies there once it is turned: like it, but not the same.
            if not half and twins.setdefault(grain, found) is not found:
                found = replace(found, twin=twins[grain])
            orientations[*piece, face, turn, half] = found
        return orientations[*piece, face, turn, half]

    found = []
    for part in parts:
        own = tuple(orientation(part, face, turn) for face in part.faces for turn in part.turns)
        area = float(Polygon(own[0].outline).area)
        found.append(Item(part=part, orientations=own, at_fold=part.zone == "fold", area_mm2=area))
    return tuple(found)
