"""The block: solved proportions, trued front and back panel, and the levels they came from."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Protocol

from outseam.curves.length import length
from outseam.curves.tolerance import JOIN_MM
from outseam.draft.bands import Band, band_named
from outseam.draft.block.change import NONE, Change
from outseam.draft.block.panels import (
    SIDE_SHAPING_MM,
    SIDE_SHAPING_SHARE,
    SIDE_SPREAD_MM,
    Panel,
    cut_hem,
    floats,
    side_above_hip,
    side_below_hip,
    side_to_length,
    true_panel,
)
from outseam.draft.block.reshape import reshape
from outseam.draft.block.shape import (
    FRONT_CENTRE_IN_MM,
    Frame,
    PanelShape,
    back_shape,
    front_shape,
)
from outseam.draft.block.solve import Solution, Target, solve_block
from outseam.draft.body.estimate import Measures
from outseam.draft.body.population import load_model
from outseam.draft.fabric import Fabric
from outseam.draft.fits import KNIT_STRETCH, Ease, ease_for, fit_named
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.words import measure, most_allowed, words
from outseam.draft.legs import LegContext, Station, leg_named, leg_stations, refuse_no_leg
from outseam.draft.lengths import length_named
from outseam.draft.piece.ruler import ruler_length, run_at_y, x_on
from outseam.draft.rises import rise_named
from outseam.draft.style import Style

#: An inseam that was asked for is met to this; the checks allow 0.5 mm.
_INSEAM_MM = 0.01
#: The pattern's hip line lies at least this far above the body's crotch; a firm rod finds the
#: crotch above the fullest seat on some bodies, and the panel needs its width above the curve.
_LEAST_HIP_MM = 15.0
#: The seam that carries the band stays at least this far above the curve of the crotch seam.
_LEAST_TOP_MM = 10.0
#: A named rise may be raised by this much before the style is refused.
_MOST_RAISED_MM = 40.0
#: A woven back inseam is stretched onto the front by this (0.5-1 cm above the knee, common
#: practice, no source), unless the style says otherwise.
WOVEN_INSEAM_EASE_MM = 5.0


@dataclass(frozen=True, slots=True)
class Rise:
    """Where the finished top sits against the waist tape at front, side and back, mm above it."""

    front_mm: float
    side_mm: float
    back_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A solved and trued block.

    `crotch_target_mm` is what front and back crotch seam of the panels must measure together:
    crotch length and its ease and what alterations add, less what the rise and the band take off at
    the top. `solution` is the draft as measured, before any alteration.
    `rise_raised_mm` is how much higher than its word the top had to stay on a short rise;
    `thigh_mm` is the girth as drawn at the level of the crotch points;
    `band_height_mm` is the finished height of the band above the panels; `turn_mm` how much of the
    leg itself is turned in for the elastic where no band is sewn on.
    """

    ease: Ease
    frame: Frame
    solution: Solution
    stations: tuple[Station, ...]
    station_ys: tuple[float, ...]
    rise: Rise
    rise_raised_mm: float
    band: Band
    band_height_mm: float
    turn_mm: float
    front: Panel
    back: Panel
    hip_mm: float
    thigh_mm: float
    crotch_target_mm: float
    crotch_split_target_mm: tuple[float, float] | None
    inseam_ease_mm: float
    crotch_line_height_mm: float


def rise_of(style: Style, m: Measures) -> Rise:
    """Return the rise asked for, front, side and back, against the waist tape.

    A distance is taken from the tape. A name is meant against the natural waist: where the tape is
    known to have been somewhere else, its distance from there comes in.
    """
    if isinstance(style.rise, str):
        natural = 0.0
        if "waist_above_navel" in m.given:
            natural = load_model(m.build).above_navel_mm - m.waist_above_navel
        whole = rise_named(style.rise).above_natural_mm + natural
    else:
        whole = style.rise
    front = whole if style.front_rise is None else style.front_rise
    back = whole if style.back_rise is None else style.back_rise
    side = whole if style.front_rise is None and style.back_rise is None else (front + back) / 2.0
    return Rise(front, side, back)


def waist_target_mm(m: Measures, ease: Ease) -> float:
    """Return the girth of the legs' edge at the waist tape: the body's, but it passes the hip."""
    fitted = m.waist * (1.0 + ease.waist_ratio)
    return max(fitted, ease.over_mm(m.hip))


def _context(
    m: Measures, style: Style, ease: Ease, hip_mm: float, hem_height_mm: float
) -> LegContext:
    """Return what the leg shape may look at, with the crotch line where the handbook has it."""
    fit = ease.fit
    return LegContext(
        measures=m,
        ease=ease,
        hem_height_mm=hem_height_mm,
        hem_width_mm=style.hem_width,
        knee_width_mm=style.knee_width,
        flare_from=style.flare_from or "knee",
        top_girth_mm=hip_mm * (0.5 + fit.front_fork_ratio + fit.back_fork_ratio),
        top_height_mm=m.inside_leg - fit.drop_mm,
    )


def _targets(m: Measures, ease: Ease, inseam_ease_mm: float) -> Target:
    """Return the seam conditions at the waist tape."""
    extra = ease.fit.crotch_ease_mm
    split = None
    if m.split_given:
        split = (m.front_crotch_length + extra / 2.0, m.back_crotch_length + extra / 2.0)
    return Target(
        crotch_mm=m.crotch_length + extra,
        split_mm=split,
        inseam_ease_mm=inseam_ease_mm,
        thigh_mm=m.thigh * (1.0 + ease.thigh_ratio),
        thigh_scale=1.0 + ease.thigh_ratio,
    )


def build_block(m: Measures, fabric: Fabric, style: Style, change: Change = NONE) -> Block:
    """Draft front and back for measures, fabric and style, with a sum of alterations.

    Raises InputError for a style that cannot be, UnsolvableError for measures that contradict
    each other beyond the limits of the model.
    """
    stretch = fabric.stretch_round_ratio
    ease = ease_for(fit_named(style.fit), stretch, m.hip)
    hip_mm = m.hip * (1.0 + ease.hip_ratio)
    easing = style.inseam_easing
    if easing is None:
        easing = WOVEN_INSEAM_EASE_MM if stretch < KNIT_STRETCH else 0.0
    target = _targets(m, ease, easing)
    leg = leg_named(style.leg)
    if style.flare_from is not None and not leg.flares:
        raise InputError(
            "style.flare_from",
            f'given for a "{style.leg}" leg',
            'only for leg = "flare"',
            "leave it out, or choose the flared leg",
        )

    def attempt(hem_height: float, start: Solution | None, up_mm: float) -> _Draft:
        stations = leg_stations(leg, _context(m, style, ease, hip_mm, hem_height))
        if up_mm:
            last = stations[-1]
            stations = (*stations[:-1], replace(last, height_mm=last.height_mm + up_mm))
        first = stations[0]
        frame = Frame(
            hip_mm=hip_mm,
            waist_height=m.waist_height - m.inside_leg,
            hip_height=max(_LEAST_HIP_MM, m.hip_height - m.inside_leg),
            leg_height=first.height_mm - m.inside_leg,
            leg_girth_mm=first.girth_mm,
            leg_slope=first.half_slope,
        )
        solution = solve_block(frame, ease.fit, target, start)
        return _Draft(frame, solution, stations)

    full = length_named("full").hem_height_mm(m)
    longer_mm = change.above_knee + change.below_knee

    def drawn(hem_height: float, start: Solution | None, up_mm: float = 0.0) -> Block:
        refuse_no_leg(_context(m, style, ease, hip_mm, hem_height + up_mm))
        # A hem of the leg's own is where the whole leg is cut off; one that is asked for, or that
        # lies lower than the whole leg, shapes the leg anew.
        own = style.hem_width is None and hem_height > full
        draft = attempt(full if own else hem_height, start, up_mm)
        block = _true(draft, m, style, ease, target, hip_mm, hem_height + up_mm, change)
        # Length that is put in carries the hem down, and so does a deeper crotch.
        down = change.depth + longer_mm
        return _cut_at(block, hem_height - down - block.crotch_line_height_mm) if own else block

    if style.inseam is None:
        return drawn(length_named(style.length).hem_height_mm(m), None)
    height = m.inside_leg - ease.fit.drop_mm - style.inseam
    return _to_inseam(drawn, height, style.inseam + longer_mm)


def _cut_at(block: Block, y: float) -> Block:
    """Return the block with its legs cut off at level `y` over the crotch line.

    Front and back lose equally much of each seam, so the seams still match.
    """
    outseam = ruler_length(block.front.outseam) - run_at_y(block.front.outseam, y)
    return _cut_off(block, outseam, run_at_y(block.front.inseam, y))


def _cut_off(block: Block, outseam_mm: float, inseam_mm: float) -> Block:
    if min(outseam_mm, inseam_mm) < JOIN_MM:
        return block
    front, back = (cut_hem(p, outseam_mm, inseam_mm) for p in (block.front, block.back))
    return replace(block, front=front, back=back)


class _Drawn(Protocol):
    """Draws a block with its hem at a height, or `up_mm` above what shapes the leg."""

    def __call__(
        self, hem_height: float, start: Solution | None, up_mm: float = 0.0, /
    ) -> Block: ...


def _to_inseam(drawn: _Drawn, height: float, inseam_mm: float) -> Block:
    """Return the block whose front inseam has the length asked for.

    The inseam's length follows the hem's height nearly one for one, so stepping by the miss
    converges; where the leg changes its shape from one height to the next it may not. Then the
    shape with fewer levels, the smoother one, is kept and only its hem is moved.
    """
    start: Solution | None = None
    tried: list[tuple[int, float, float]] = []
    for _ in range(8):
        block = drawn(height, start)
        miss = length(block.front.inseam) - inseam_mm
        if abs(miss) <= _INSEAM_MM:
            return block
        tried.append((len(block.stations), abs(miss), height))
        height, start = height + miss, block.solution
    _, _, height = min(tried)
    up = 0.0
    for _ in range(20):
        block = drawn(height, start, up)
        miss = length(block.front.inseam) - inseam_mm
        if abs(miss) <= _INSEAM_MM:
            break
        up, start = up + miss, block.solution
    return block


@dataclass(frozen=True, slots=True)
class _Draft:
    frame: Frame
    solution: Solution
    stations: tuple[Station, ...]


def _inset(
    frame: Frame, front: PanelShape, back: PanelShape, waist_mm: float, most_mm: float
) -> float:
    """Return how far each panel's side comes in from hip to waist, at most `most_mm`."""
    taken = 2.0 * FRONT_CENTRE_IN_MM - 2.0 * float(back.top[0])
    wish = (frame.hip_mm - waist_mm - taken) / 4.0
    return max(-SIDE_SPREAD_MM, min(most_mm, wish))


def _true(
    draft: _Draft,
    m: Measures,
    style: Style,
    ease: Ease,
    target: Target,
    hip_mm: float,
    hem_height: float,
    change: Change,
) -> Block:
    """Alter a solved draft and true it: sides, top, hem."""
    frame, p = draft.frame, draft.solution.params
    front, back = front_shape(frame, p), back_shape(frame, p)
    waist_y, hip_y = frame.waist_height + p.drop, frame.hip_height + p.drop
    zero, stations = m.inside_leg - p.drop, draft.stations
    ys = [st.height_mm - m.inside_leg + p.drop for st in stations]
    band = band_named(style.band)
    turn = band.turn(style.elastic_width)
    # A side that is to be turned in runs straight up, or it would not lie against the leg.
    most = 0.0 if turn else min(SIDE_SHAPING_MM, SIDE_SHAPING_SHARE * (waist_y - hip_y))
    # From the draft as measured: the side must not move where only the centre is altered.
    inset = _inset(frame, front, back, waist_target_mm(m, ease), most)
    added = (0.0, 0.0)
    if change.reshapes:
        easing = target.inseam_ease_mm
        r = reshape(frame, p, stations, m.knee_height, hem_height, zero, easing, change)
        frame, front, back, stations, ys = r.frame, r.front, r.back, r.stations, list(r.ys)
        waist_y, hip_y, zero = waist_y + change.depth, hip_y + change.depth, zero - change.depth
        added = r.added_mm

    front_side = side_below_hip(frame, p, front, stations, ys, back=False)
    side_y = waist_y + change.side
    front_up = side_above_hip(front_side, (-frame.front_hip_mm + inset, side_y))
    back_side = side_below_hip(frame, p, back, stations, ys, back=True)
    wanted = length(front_side.lower) + length(front_up) - length(back_side.lower)
    back_up = side_to_length(back_side, -frame.back_hip_mm + inset, side_y, wanted)

    band_height = band.height(style.elastic_width)
    if style.band_height is not None:
        band_height = band.given_height(style.band_height)
    rise = rise_of(style, m)
    off = [band_height - r for r in (rise.front_mm, rise.side_mm, rise.back_mm)]
    straight = [math.dist(floats(s.top), floats(s.start)) for s in (front, back)]
    spare = min(*straight, side_y - hip_y + max(0.0, hip_y - _LEAST_TOP_MM)) - _LEAST_TOP_MM
    raised = 0.0
    if max(off) > spare and isinstance(style.rise, str) and rise.front_mm == rise.back_mm:
        # A word leaves room: the lowest top this body allows. A distance is meant as it stands.
        raised = min(max(off) - spare, _MOST_RAISED_MM)
        rise = Rise(*(r + raised for r in (rise.front_mm, rise.side_mm, rise.back_mm)))
        off = [x - raised for x in off]
    if max(off) > spare + JOIN_MM:
        raise InputError(
            "style.rise",
            words(
                "the waistband's seam would sit {off} below your waist tape", off=measure(max(off))
            ),
            words("{spare} or less for this body", spare=most_allowed(spare)),
            "choose a higher rise or a narrower elastic",
        )
    panels = [
        true_panel(
            shape=shape,
            sides=side,
            side_up=up,
            hip_y=hip_y,
            stations=stations,
            ys=ys,
            back=is_back,
            off_side_mm=off[1],
            off_centre_mm=centre,
        )
        for shape, side, up, is_back, centre in (
            (front, front_side, front_up, False, off[0]),
            (back, back_side, back_up, True, off[2]),
        )
    ]
    split = target.split_mm
    return Block(
        ease=ease,
        frame=frame,
        solution=draft.solution,
        stations=stations,
        station_ys=tuple(float(y) for y in ys),
        rise=rise,
        rise_raised_mm=raised,
        band=band,
        band_height_mm=band_height,
        turn_mm=turn,
        front=panels[0],
        back=panels[1],
        hip_mm=hip_mm,
        thigh_mm=sum(
            shape.point[0] - x_on(panel.outseam, shape.point[1])
            for shape, panel in ((front, panels[0]), (back, panels[1]))
        ),
        crotch_target_mm=target.crotch_mm + sum(added) - off[0] - off[2],
        crotch_split_target_mm=None
        if split is None
        else (split[0] + added[0] - off[0], split[1] + added[1] - off[2]),
        inseam_ease_mm=target.inseam_ease_mm,
        crotch_line_height_mm=zero,
    )
