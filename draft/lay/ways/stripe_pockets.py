"""Pockets on stripes: they lie so that the stripes run on over the leg they are sewn to.

A patch pocket is laid as it sits on the leg: tilted as there, and by whole repeats away from its
place. The leg's lie and its own are then the same but for that. The facing of a scoop pocket shows
in the mouth; it is drafted in the front's own coordinates and follows the front (common practice,
no source).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from outseam.curves.evaluate import point_at
from outseam.curves.path import Path, line
from outseam.curves.point import Point
from outseam.draft.lay.model.parts import Part
from outseam.draft.lay.model.placement import Face
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece


@dataclass(frozen=True, slots=True, kw_only=True)
class Host:
    """The leg that a pocket's stripes have to follow, and the face it is laid with.

    `set_on`: the pocket is stitched onto it; otherwise it shows in a mouth of it.
    """

    leg: Piece
    face: Face
    set_on: bool


def _set_on(pattern: Pattern, part: str) -> tuple[Host, ...]:
    """Return the legs of a part with a pocket's place, in the order of the pocket's copies."""
    found: list[Host] = []
    for leg in pattern.pieces:
        if leg.part != part or place_of(leg) is None:
            continue
        if leg.mirrored:
            found += [
                Host(leg=leg, face="up", set_on=True),
                Host(leg=leg, face="down", set_on=True),
            ]
        else:
            found.append(Host(leg=leg, face="down" if leg.turned_over else "up", set_on=True))
    return tuple(found)


def host_of(part: Part, pattern: Pattern) -> Host | None:
    """Return the leg that a copy of a pocket follows, None for other pieces."""
    piece = part.piece
    for pocket in pattern.pockets:
        if pocket.set_on is not None and piece.part == pocket.set_on.piece:
            legs = _set_on(pattern, pocket.set_on.leg)
            return legs[part.copy - 1] if part.copy <= len(legs) else None
        if pocket.shows is not None and piece.part == pocket.shows.piece:
            own = [p for p in pattern.pieces if p.part == pocket.shows.leg]
            leg = next((p for p in own if p.side in ("", piece.side)), None)
            return None if leg is None else Host(leg=leg, face=part.faces[0], set_on=False)
    return None


def place_of(leg: Piece) -> tuple[Point, Point] | None:
    """Return the upper corners of a patch pocket's place on a leg, None if it has none."""
    mark = leg.line("pocket place")
    return None if mark is None else (mark.path.start, point_at(mark.path, 1.0))


def upper_edge(pocket: Piece) -> tuple[Point, Point]:
    """Return the upper corners of a patch pocket, at its fold."""
    top = pocket.line("pocket top")
    assert top is not None, "a pocket that is set on has an upper edge"
    return top.path.start, top.path.end


def mouth_ends(piece: Piece) -> tuple[Point, Point]:
    """Return the ends of a scoop pocket's mouth on its facing or its front."""
    mark = piece.line("pocket mouth")
    path = piece.edge("mouth").path if mark is None else mark.path
    return path.start, path.end


def tilt_rad(host: Host) -> float:
    """Return how far a patch pocket is turned on its leg as that is laid, counter-clockwise."""
    place = place_of(host.leg)
    assert place is not None, "a host has a place for the pocket"
    (x0, y0), (x1, y1) = place
    angle = math.atan2(y1 - y0, x1 - x0)
    return angle if host.face == "up" else -angle


def patch_tilt_rad(pocket: Piece) -> float:
    """Return how far a patch pocket is turned that is in the coordinates of its leg."""
    (x0, y0), (x1, y1) = upper_edge(pocket)
    return math.atan2(y1 - y0, x1 - x0)


def as_on_leg(pocket: Piece, host: Host) -> Piece:
    """Return a patch pocket in the coordinates of its leg; of one laid face down, seen mirrored."""
    place = place_of(host.leg)
    assert place is not None, "a host has a place for the pocket"
    corners = place if host.face == "up" else tuple((-x, y) for x, y in reversed(place))
    return _moved(pocket, tilt_rad(host), upper_edge(pocket)[0], corners[0])


def _moved(piece: Piece, angle_rad: float, start: Point, to: Point) -> Piece:
    """Return a piece turned, and moved so that a point of it comes to another.

    Its grain line is drawn anew: straight up, in the middle of it.
    """
    at = line(start, (start[0] + 1.0, start[1])).turned(angle_rad).start
    dx, dy = to[0] - at[0], to[1] - at[1]

    def put(path: Path) -> Path:
        return path.turned(angle_rad).moved(dx, dy)

    sides = put(piece.edges[0].path)
    x, top = ((a + b) / 2.0 for a, b in zip(sides.start, sides.end, strict=True))
    width = math.dist(sides.start, sides.end)
    upright = line((x, top - 0.7 * width), (x, top - 0.15 * width))
    return replace(
        piece,
        edges=tuple(replace(e, path=put(e.path)) for e in piece.edges),
        cut=tuple(put(c) for c in piece.cut),
        lines=tuple(
            replace(k, path=upright if k.kind == "grain" else put(k.path)) for k in piece.lines
        ),
    )


def on_stripes(parts: Sequence[Part], patterns: Sequence[Pattern]) -> tuple[Part, ...]:
    """Return the parts with every patch pocket turned as it sits on its leg."""
    found = []
    for part in parts:
        host = host_of(part, patterns[part.garment])
        if host is not None and host.set_on:
            part = replace(part, piece=as_on_leg(part.piece, host))
        found.append(part)
    return tuple(found)
