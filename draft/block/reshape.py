"""A solved block with its alterations: new shapes of both panels, before they are trued.

Each panel keeps the inseam length that the legs share by letting its own crotch point rise or sink
a little, as on paper, where the inseams are laid on each other; so a panel that is not altered
does not move. What a seam is meant to gain is put in at the top of the centre, exactly.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from outseam.draft.block.change import Change
from outseam.draft.block.panels import Edges
from outseam.draft.block.shape import (
    Frame,
    Leg,
    PanelShape,
    Params,
    below_length,
    below_of,
    inseam_length,
    join_panel,
    legs_of,
    point_radii,
    seam_length,
    shapes,
    side_of,
)
from outseam.draft.body.limb import CALF_OF_KNEE, GirthLine
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.words import least_allowed, measure, most_allowed, words
from outseam.draft.legs import Station

#: A crotch curve's handles, the upper one first, as shares of the way to its corner; beyond these
#: the curve has a corner, or begins with one. Of a change the lower handle takes this share, as far
#: as it may.
CURVE_LIMITS, LOWER_SHARE = np.array(((0.38, 0.31), (0.95, 0.95))), 0.7
#: A fork keeps at least this share of the pattern's hip girth, and the hip line this height.
LEAST_FORK = {"front": 0.02, "back": 0.04}
LEAST_HIP_MM = 10.0
#: Stations of a leg stay this far apart, and the first this far below the crotch line.
NEAR_MM = 40.0
FIRST_MM = 80.0
#: Distances that differ by less are alike.
_EVEN_MM = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Reshaped:
    """Altered shapes and what they were made from.

    `added_mm`: how much longer front and back crotch seam got at the waist tape.
    """

    frame: Frame
    front: PanelShape
    back: PanelShape
    edges: Edges
    added_mm: tuple[float, float]


def _girth_at(stations: Sequence[Station], height: float) -> tuple[float, float]:
    """Return the leg's girth and its slope at a height between two stations."""
    rows = stations[::-1]
    line = GirthLine(
        np.array([s.height_mm for s in rows]),
        np.array([s.girth_mm for s in rows]),
        np.array([s.girth_slope for s in rows]),
    )
    return float(line.at(height)), float(line.slope_at(height))


def _with_calf(
    stations: tuple[Station, ...], knee_height: float, hem_height: float, more_mm: float
) -> tuple[Station, ...]:
    """Return the leg with its girth at the calf changed, nothing at the knee or the hem."""
    height = knee_height * CALF_OF_KNEE
    if hem_height > height - NEAR_MM or stations[0].height_mm < height:
        raise InputError(
            "alter",
            "the calf is to be altered, but these pants end at the calf or above",
            hint="leave this alteration out, or set style.hem_width",
        )
    if hem_height > stations[-1].height_mm + NEAR_MM / 2.0:
        # The leg will be cut off above its last station: there the change has run out.
        girth, slope = _girth_at(stations, hem_height)
        end = Station(height_mm=hem_height, girth_mm=girth, girth_slope=slope)
        stations = tuple(sorted((*stations, end), key=lambda s: -s.height_mm))
    near = [s for s in stations if abs(s.height_mm - height) < NEAR_MM]
    if near:
        wider = replace(near[0], girth_mm=near[0].girth_mm + more_mm)
        return tuple(wider if s is near[0] else s for s in stations)
    girth, slope = _girth_at(stations, height)
    fresh = Station(height_mm=height, girth_mm=girth + more_mm, girth_slope=slope)
    return tuple(sorted((*stations, fresh), key=lambda s: -s.height_mm))


def _with_length(
    stations: tuple[Station, ...],
    knee_height: float,
    hem_height: float,
    zero: float,
    change: Change,
) -> tuple[Station, ...]:
    """Return the leg with length put in between crotch and knee and between knee and hem.

    Widths go along with their places, so the leg keeps its shape.
    """
    last = stations[-1]
    if change.below_knee and hem_height > knee_height - NEAR_MM:
        raise InputError(
            "alter",
            "length is to be changed below the knee, but these pants end at the knee or above",
            hint="change it above the knee instead",
        )
    # The lengthen/shorten lines lie half way; a flare that begins at one stays where it is.
    upper, lower = (zero + knee_height) / 2.0 - NEAR_MM, (knee_height + hem_height) / 2.0
    found = []
    for s in stations:
        down = change.above_knee if s.height_mm < upper or s is last else 0.0
        down += change.below_knee if s.height_mm < lower or s is last else 0.0
        found.append(replace(s, height_mm=s.height_mm - down))
    # Stations that the draft itself puts nearer to each other may stay as near.
    first = zero - FIRST_MM + NEAR_MM
    before, after = (
        [a - b for a, b in pairwise([first, *(s.height_mm for s in row)])]
        for row in (stations, found)
    )
    if any(now < min(NEAR_MM, was - _EVEN_MM) for was, now in zip(before, after, strict=True)):
        raise InputError(
            "alter",
            "the leg is shortened by more than there is between two of its levels",
            hint="shorten it by less, or choose a shorter length",
        )
    return tuple(found)


def altered_stations(
    stations: tuple[Station, ...],
    knee_height: float,
    hem_height: float,
    zero: float,
    change: Change,
) -> tuple[Station, ...]:
    """Return a leg's stations with the change; heights are above the floor, `zero` the crotch line.

    `hem_height` is where the leg will be cut off, at its last station or above. Raises InputError
    where the leg has no room for it.
    """
    if change.calf:
        stations = _with_calf(stations, knee_height, hem_height, change.calf)
    if change.above_knee or change.below_knee:
        stations = _with_length(stations, knee_height, hem_height, zero, change)
    return stations


@dataclass(frozen=True, slots=True, kw_only=True)
class _Side:
    """One panel's part of a change, and what it keeps."""

    back: bool
    seam_mm: float
    fork_mm: float
    inseam_mm: float
    curve_mm: float
    leg: Leg
    radius: float
    inseam_length_mm: float

    @property
    def name(self) -> str:
        return "back" if self.back else "front"


def _proportions(side: _Side, frame: Frame, p: Params, more_mm: float) -> Params:
    """Return proportions with the panel's fork longer by `more_mm`."""
    key = f"{side.name}_fork"
    fork = getattr(p, key) + more_mm / frame.hip_mm
    least = LEAST_FORK[side.name]
    if fork < least:
        short = (least - fork) * frame.hip_mm
        raise InputError(
            "alter",
            f"together the alterations leave no {side.name} fork",
            hint=words(
                "take back at least {short} of those that narrow the thigh or the {side}",
                short=least_allowed(short),
                side=side.name,
            ),
        )
    return p._replace(**{key: fork})


def _formula(side: _Side, frame: Frame, p: Params) -> PanelShape:
    return side_of(shapes(frame, p), int(side.back))


def _on(line: PanelShape, y: float) -> tuple[float, float]:
    """Return the point at height `y` on a shape's seam line."""
    (x, at), (dx, dy) = line.top, line.seam_down
    return float(x + (y - at) * dx / dy), y


def _joined(
    side: _Side,
    frame: Frame,
    p: Params,
    line: PanelShape,
    top: tuple[float, float],
    scoop_mm: tuple[float, float] = (0.0, 0.0),
) -> PanelShape:
    """Return the panel with its top given and its crotch point where the inseam has its length.

    Its curve begins on the seam line of the shape `line`, so that a fork does not turn that line;
    `scoop_mm` makes the curve's handles longer.
    """
    made = _formula(side, frame, p)
    start = _on(line, float(made.start[1]))
    hollow = p.back_hollow if side.back else p.front_hollow

    y = float(made.point[1])
    # The inseam grows nearly one for one with the crotch point's height: step by the miss.
    for _ in range(40):
        shape = join_panel(
            frame,
            side.leg,
            top=top,
            start=start,
            point=(made.point[0], y),
            hollow=hollow,
            radius=side.radius,
            scoop_mm=scoop_mm,
        )
        miss = float(inseam_length(shape)) - side.inseam_length_mm
        if abs(miss) < 1e-10:
            break
        y -= miss
    return shape


def _raised(shape: PanelShape, by_mm: float) -> tuple[float, float]:
    """Return the top of the centre moved along the seam line."""
    return (
        float(shape.top[0] - by_mm * shape.seam_down[0]),
        float(shape.top[1] - by_mm * shape.seam_down[1]),
    )


def _scoop_mm(side: _Side, shape: PanelShape) -> tuple[float, float]:
    """Return how much longer both handles get to move the middle of the curve as asked.

    The middle of a cubic moves by 3/8 of what the handles' ends move (de Casteljau).
    """
    start, point = np.array(shape.start), np.array(shape.point)
    down, out = np.array(shape.handle_1) - start, np.array(shape.handle_2) - point
    handles = np.array((np.hypot(*down), np.hypot(*out)))
    down, out = down / handles[0], out / handles[1]
    # The corner is where both tangents meet.
    corners = np.linalg.solve(np.stack((down, -out), axis=-1), point - start)
    low, high = (shares * corners - handles for shares in CURVE_LIMITS)
    along = float(down @ out)
    asked = side.curve_mm / 0.375

    def rest(part: float) -> float:
        """What one handle gets when the other has `part`, along its own direction."""
        left = max(0.0, asked**2 - part**2 * (1.0 - along**2))
        return float(np.copysign(np.sqrt(left), asked) - part * along)

    lower = float(np.clip(LOWER_SHARE * asked, low[1], high[1]))
    upper = rest(lower)
    if not low[0] <= upper <= high[0]:
        upper = float(np.clip(upper, low[0], high[0]))
        lower = rest(upper)
    if not low[1] <= lower <= high[1]:
        ends = high if side.curve_mm > 0 else low
        most = 0.375 * float(np.sqrt(ends @ ends + 2.0 * ends[0] * ends[1] * along))
        word = "scooped" if side.curve_mm > 0 else "filled"
        raise InputError(
            "alter",
            words(
                "the {side} crotch curve is to be {word} by {by}",
                side=side.name,
                word=word,
                by=measure(abs(side.curve_mm)),
            ),
            words("{most} or less on this draft", most=most_allowed(most)),
            "a deeper or shallower crotch may be what is needed",
        )
    return upper, lower


def _reshape_side(side: _Side, frame: Frame, p: Params, seam_mm: float) -> PanelShape:
    """Return the altered panel; its crotch seam gains `side.seam_mm` on `seam_mm`.

    Forks that belong to a longer seam come first and the top takes up the rest; then thigh and
    curve, with the top where it is.
    """
    p_seam = _proportions(side, frame, p, side.fork_mm)
    line = _formula(side, frame, p)
    top = (float(line.top[0]), float(line.top[1]))
    shape = _joined(side, frame, p_seam, line, top)
    # Along the seam line the length grows one for one.
    top = _raised(shape, seam_mm + side.seam_mm - float(seam_length(shape)))
    p_all = _proportions(side, frame, p, side.fork_mm + side.inseam_mm)
    shape = _joined(side, frame, p_all, line, top)
    if not side.curve_mm:
        return shape
    return _joined(side, frame, p_all, line, top, _scoop_mm(side, shape))


def _moved_legs(frame: Frame, p: Params, shift_mm: float) -> list[Leg]:
    """Return how front and back leg lie, moved sideways."""
    sides = legs_of(frame, p)
    return [
        Leg(*(float(v[i]) for v in sides))._replace(crease=float(sides.crease[i]) + shift_mm)
        for i in (0, 1)
    ]


def _require_hip(hip_y: float, deeper_mm: float) -> None:
    """Raise InputError for a crotch so much shallower that the hip line would lie below it."""
    if hip_y + deeper_mm < LEAST_HIP_MM:
        raise InputError(
            "alter",
            "the crotch is made so much shallower that the hip line would lie below it",
            words("{most} or less on this body", most=most_allowed(hip_y - LEAST_HIP_MM)),
            "check body.inside_leg and body.waist_to_hip",
        )


def _carried(frame: Frame, was: Station, first: Station, deeper_mm: float) -> Frame:
    """Return the frame with waist and hip carried by a deeper crotch, and its first station."""
    return replace(
        frame,
        waist_height=frame.waist_height + deeper_mm,
        hip_height=frame.hip_height + deeper_mm,
        leg_height=frame.leg_height + first.height_mm - was.height_mm,
        leg_girth_mm=first.girth_mm,
        leg_slope=first.girth_slope,
    )


def _side_of(
    change: Change, leg: Leg, radius: float, inseam_length_mm: float, *, back: bool
) -> _Side:
    """Return one panel's part of a change."""
    name = "back" if back else "front"
    return _Side(
        back=back,
        seam_mm=getattr(change, f"{name}_seam") + change.depth,
        fork_mm=getattr(change, f"{name}_fork"),
        inseam_mm=getattr(change, f"{name}_inseam") + getattr(change, f"{name}_alone"),
        curve_mm=getattr(change, f"{name}_curve"),
        leg=leg,
        radius=radius,
        inseam_length_mm=inseam_length_mm,
    )


def reshape(
    frame: Frame,
    p: Params,
    edges: Edges,
    knee_height: float,
    hem_height: float,
    zero: float,
    inseam_ease_mm: float,
    change: Change,
) -> Reshaped:
    """Return front and back of solved proportions `p` with a change.

    Heights are above the floor and before the change: `knee_height` of the body, `hem_height` of
    the finished hem, `zero` of the crotch line. Raises InputError where a body or style has no
    room for it.
    """
    _require_hip(frame.hip_height + p.drop, change.depth)
    seams = [float(x) for x in seam_length(shapes(frame, p))]
    plain: Reshaped | None = None
    if change.keeps_seam:
        still = replace(change, shift=0.0, front_alone=0.0, back_alone=0.0)
        plain = reshape(frame, p, edges, knee_height, hem_height, zero, inseam_ease_mm, still)
    unaltered = frame
    legs = altered_stations(edges.stations, knee_height, hem_height, zero, change)
    frame = _carried(frame, edges.stations[0], legs[0], change.depth)
    both, radii = shapes(frame, p), point_radii(frame, p)
    moved = _moved_legs(frame, p, change.shift)
    formula = side_of(both, 0)
    ends = {"top": formula.top, "start": formula.start, "point": formula.point}
    radius = float(radii[0])
    plain_front = join_panel(frame, moved[0], **ends, hollow=p.front_hollow, radius=radius)
    # Heights as the pants hang: from the waist, so a deeper crotch carries the leg down; but the
    # hem stays where it was above the floor.
    kept = change.depth if len(legs) > 1 else 0.0
    legs = (*legs[:-1], replace(legs[-1], height_mm=legs[-1].height_mm + kept))
    below = below_length(unaltered, below_of(legs), legs_of(unaltered, p))
    inseam = float(inseam_length(plain_front) + below[0])
    made, added = [], []
    for back, seam, leg in zip((False, True), seams, moved, strict=True):
        inseam_mm = inseam - float(below[int(back)]) - (inseam_ease_mm if back else 0.0)
        side = _side_of(change, leg, float(radii[int(back)]), inseam_mm, back=back)
        shape = _reshape_side(side, frame, p, seam)
        if plain is not None:
            # A leg moved sideways, or fuller by itself, keeps the crotch seam it would have without
            # that: the other leg may be without, and both are sewn to each other at the centre.
            off = plain.added_mm[back] - (float(seam_length(shape)) - seam)
            shape = shape._replace(top=_raised(shape, off))
        made.append(shape)
        added.append(float(seam_length(shape)) - seam)
    return Reshaped(
        frame=frame,
        front=made[0],
        back=made[1],
        edges=Edges(
            stations=tuple(replace(s, height_mm=s.height_mm - change.depth) for s in legs),
            ys=tuple(s.height_mm - zero for s in legs),
            split=edges.split,
        ),
        added_mm=(added[0], added[1]),
    )
