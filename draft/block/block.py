"""The block: solved proportions, trued front and back panel, and the levels they came from."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np

from outseam.curves.length import length
from outseam.curves.path import Path
from outseam.curves.tolerance import JOIN_MM
from outseam.draft.bands import Band, band_named
from outseam.draft.block.change import NONE, Change
from outseam.draft.block.panels import (
    SIDE_SHAPING_MM,
    SIDE_SHAPING_SHARE,
    SIDE_SPREAD_MM,
    WAIST_LEAN,
    Edges,
    Panel,
    Sides,
    cut_hem,
    side_above_hip,
    side_below_hip,
    side_to_length,
    side_widened,
    true_panel,
)
from outseam.draft.block.proportions import SPLIT_SD_MM, BackWaist, Target
from outseam.draft.block.reshape import reshape
from outseam.draft.block.shape import (
    FRONT_CENTRE_IN_MM,
    Frame,
    PanelShape,
    below_of,
    floats,
    line_slope,
    split_of,
)
from outseam.draft.block.solve import (
    NEARLY_SETTLED,
    SETTLED,
    Asking,
    Question,
    Solution,
    answered,
)
from outseam.draft.body.estimate import Measures
from outseam.draft.body.limb import limb_of
from outseam.draft.body.population import load_model
from outseam.draft.body.seat import seat_depth_ratio, side_shift_mm
from outseam.draft.fabric import Fabric
from outseam.draft.fits import (
    CROTCH_BY_HIP,
    KNIT_STRETCH,
    MEN_CROTCH_MM,
    MEN_FRONT_MM,
    Ease,
    ease_for,
    fit_named,
    lengthwise_ratio,
)
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import Units
from outseam.draft.inputs.words import measure, most_allowed, words
from outseam.draft.legs import (
    LegContext,
    LegLine,
    LegShape,
    Station,
    leg_line,
    leg_named,
    refuse_no_leg,
)
from outseam.draft.lengths import length_named
from outseam.draft.piece.ruler import chords, ruler_length, run_at_y, x_on
from outseam.draft.rises import rise_named
from outseam.draft.style import Style

#: An inseam that leans more than this is a beak that no leg fills.
MOST_LEAN_DEG = 32.0
#: An inseam that was asked for is met to this; the checks allow 0.5 mm.
_INSEAM_MM = 0.01
#: The pattern's hip line lies at least this far above the body's crotch; a firm rod finds the
#: crotch above the fullest seat on some bodies, and the panel needs its width above the curve.
_LEAST_HIP_MM = 15.0
#: The seam that carries the band stays at least this far above where the crotch seam bends.
_LEAST_TOP_MM = 10.0
#: ... or cuts off so much of its upper end, which is nearly straight.
_INTO_CURVE_MM = 40.0
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

    def seam_below_mm(self, band_mm: float) -> tuple[float, float, float]:
        """Return how far below the tape the seam of a band of that height lies, alike."""
        return band_mm - self.front_mm, band_mm - self.side_mm, band_mm - self.back_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A solved and trued block.

    `crotch_target_mm` is what front and back crotch seam of the panels must measure together:
    crotch length and its ease and what alterations add, less what the rise and the band take off at
    the top. `solution` is the draft as measured, before any alteration.
    `foot_widens_mm` is how much wider the whole leg's hem is so that the foot passes it.
    `rise_raised_mm` is how much higher than its word the top had to stay on a short rise;
    `square_hem` are the panels as they were before their hems were made straight, None where that
    was not asked for;
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
    crotch_target_mm: float
    inseam_ease_mm: float
    crotch_line_height_mm: float
    foot_widens_mm: float = 0.0
    square_hem: tuple[Panel, Panel] | None = None

    @property
    def thigh_mm(self) -> float:
        """Girth as drawn at the level of the crotch points."""
        return sum(p.point[0] - x_on(p.outseam, p.point[1]) for p in (self.front, self.back))


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
        limb=limb_of(m),
        hem_height_mm=hem_height_mm,
        hem_width_mm=style.hem_width,
        knee_width_mm=style.knee_width,
        flare_from=style.flare_from or "knee",
        closed=style.ankle == "closed",
        top_girth_mm=hip_mm * (0.5 + fit.fork_ratio),
        top_height_mm=m.inside_leg - fit.drop_mm,
    )


def crotch_target_mm(m: Measures, fabric: Fabric, ease: Ease) -> tuple[float, float]:
    """Return the crotch seam at the waist tape and what its front half has over its back half."""
    share = 1.0 + lengthwise_ratio(ease, fabric.stretch_length_ratio, fabric.recovery)
    extra = ease.fit.crotch_ease_mm + (MEN_CROTCH_MM if m.build == "men" else 0.0)
    extra += CROTCH_BY_HIP[m.build] * (m.hip - 1000.0)
    return (
        m.crotch_length * share + extra,
        (m.front_crotch_length - m.back_crotch_length) * share,
    )


def _targets(m: Measures, fabric: Fabric, ease: Ease, inseam_ease_mm: float) -> Target:
    """Return the seam conditions at the waist tape."""
    crotch, halves = crotch_target_mm(m, fabric, ease)
    guessed = 0.0 if m.split_given else _half_sd_mm(m)
    thigh = m.estimate("thigh")
    thigh_mm = m.thigh * (1.0 + ease.thigh_ratio)
    return Target(
        crotch_mm=crotch,
        halves_mm=halves,
        halves_given=m.split_given,
        halves_sd_mm=2.0 * math.hypot(SPLIT_SD_MM, guessed),
        inseam_ease_mm=inseam_ease_mm,
        thigh_mm=thigh_mm,
        thigh_scale=1.0 + ease.thigh_ratio,
        thigh_wish_mm=ease.fit.thigh_room * thigh_mm,
        thigh_sd_mm=math.hypot(ease.fit.thigh_sd_mm, 0.0 if thigh is None else thigh.sd_mm),
        waist_share=(m.hip - m.waist) / m.hip,
        seat_depth=seat_depth_ratio(m),
        front_raise_mm=MEN_FRONT_MM if m.build == "men" else 0.0,
        back_waist=_back_waist(m, ease),
    )


def _back_waist(m: Measures, ease: Ease) -> BackWaist:
    """Return what the height of the centre back goes by, for the side as the fit shapes it."""
    hip = m.hip * (1.0 + ease.hip_ratio)
    rise = m.waist_height - max(m.hip_height, m.inside_leg + _LEAST_HIP_MM)
    taken = 2.0 * FRONT_CENTRE_IN_MM + 2.0 * ease.fit.slant * rise
    wish = (hip - waist_target_mm(m, ease) - taken) / 4.0
    most = min(SIDE_SHAPING_MM, SIDE_SHAPING_SHARE * rise)
    inset = max(-SIDE_SPREAD_MM, min(most, wish))
    return BackWaist(
        rise, hip / 4.0 + side_shift_mm(m) - inset, WAIST_LEAN * max(0.0, inset) / rise
    )


def _half_sd_mm(m: Measures) -> float:
    """Return the standard deviation of an estimated half of the crotch length."""
    found = [m.estimate(f"{side}_crotch_length") for side in ("front", "back")]
    return max((e.sd_mm for e in found if e is not None), default=0.0)


def _leg_of(style: Style) -> LegShape:
    """Return the leg shape of a style. Raises InputError for a flare that it does not have."""
    leg = leg_named(style.leg)
    if style.flare_from is not None and not leg.flares:
        raise InputError(
            "style.flare_from",
            f'given for a "{style.leg}" leg',
            'only for leg = "flare"',
            "leave it out, or choose the flared leg",
        )
    return leg


def _inseam_ease_mm(style: Style, stretch: float) -> float:
    """Return how much shorter the back inseam is drafted, to be stretched on."""
    if style.inseam_easing is not None:
        return style.inseam_easing
    return WOVEN_INSEAM_EASE_MM if stretch < KNIT_STRETCH else 0.0


def build_block(
    m: Measures,
    fabric: Fabric,
    style: Style,
    change: Change = NONE,
    start: Solution | None = None,
    units: Units = "cm",
) -> Block:
    """Draft front and back for measures, fabric and style, with a sum of alterations.

    `start`, the solution of a draft like this one, makes it quicker and nearly as exact: a draft
    to be compared, not one to be cut. `units` are those of the file: the room in the waistband is
    whole in them.

    Raises InputError for a style that cannot be, UnsolvableError for measures that contradict
    each other beyond the limits of the model.
    """
    return answered(asking_block(m, fabric, style, change, start, units))


def asking_block(
    m: Measures,
    fabric: Fabric,
    style: Style,
    change: Change = NONE,
    start: Solution | None = None,
    units: Units = "cm",
) -> Asking[Block]:
    """Draft as `build_block` does, asking for what the solver is to find."""
    stretch = fabric.stretch_round_ratio
    ease = ease_for(fit_named(style.fit), stretch, m.hip)
    hip_mm = m.hip * (1.0 + ease.hip_ratio)
    target = _targets(m, fabric, ease, _inseam_ease_mm(style, stretch))
    shift, leg = side_shift_mm(m), _leg_of(style)

    def solved(
        context: LegContext, start: Solution | None, up_mm: float, settled: float, *, drawn: bool
    ) -> Asking[tuple[LegLine, Frame, Solution]]:
        line = leg_line(leg, context)
        if up_mm:
            line = _hem_raised(line, up_mm)
        frame = frame_of(m, leg, line, hip_mm, shift)
        below = below_of(line.stations)
        return line, frame, (yield Question(frame, below, ease.fit, target, start, settled, drawn))

    def attempt(hem_height: float, start: Solution | None, up_mm: float) -> Asking[_Draft]:
        context = _context(m, style, ease, hip_mm, hem_height)
        if leg.follows_forks:
            # What the forks add decides how the leg begins, and is known when they are.
            _, _, near = yield from solved(context, start, up_mm, NEARLY_SETTLED, drawn=False)
            p = near.params
            top = hip_mm * (0.5 + p.front_fork + p.back_fork)
            context = replace(context, top_girth_mm=top)
        line, frame, solution = yield from solved(context, start, up_mm, settled, drawn=True)
        widens = leg.foot_widens_mm(context, line)
        return _Draft(*on_line(frame, solution, line.stations), widens)

    settled = SETTLED if start is None else NEARLY_SETTLED
    full, longer_mm = length_named("full").hem_height_mm(m), change.above_knee + change.below_knee

    def drawn(hem_height: float, start: Solution | None, up_mm: float = 0.0) -> Asking[Block]:
        refuse_no_leg(_context(m, style, ease, hip_mm, hem_height + up_mm))
        # A hem of the leg's own is where the whole leg is cut off; one that is asked for, or that
        # lies lower than the whole leg, shapes the leg anew.
        own = style.hem_width is None and hem_height > full
        draft = yield from attempt(full if own else hem_height, start, up_mm)
        block = _true(draft, m, style, ease, target, hip_mm, hem_height + up_mm, change, units)
        # Length that is put in carries the hem down.
        low = hem_height - longer_mm - block.crotch_line_height_mm
        return _cut_at(block, low) if own else block

    if style.inseam is None:
        block = yield from drawn(length_named(style.length).hem_height_mm(m), start)
    else:
        height = m.inside_leg - ease.fit.drop_mm - style.inseam
        block = yield from _to_inseam(drawn, height, style.inseam + longer_mm, start)
    if style.flare_from is not None and block.stations[0].height_mm > m.knee_height:
        _refuse_beak(block)
    return block


def _hem_raised(line: LegLine, up_mm: float) -> LegLine:
    """Return a leg with its hem so much higher and all else where it was."""
    *above, last = line.stations
    return replace(line, stations=(*above, replace(last, height_mm=last.height_mm + up_mm)))


def _refuse_beak(block: Block) -> None:
    """Raise InputError where a flare begins so high that the inseam would stick out to the fork."""
    lean = max(
        float(np.degrees(np.arctan2(np.abs(d[:, 0]), np.abs(d[:, 1]))).max())
        for d in (np.diff(chords(p.inseam)[0], axis=0) for p in (block.front, block.back))
    )
    if lean > MOST_LEAN_DEG:
        raise InputError(
            "style.flare_from",
            f"the inseam would lean {lean:.0f} degrees at the crotch",
            f"{MOST_LEAN_DEG:.0f} degrees or less",
            'begin the flare lower: flare_from = "knee" always does',
        )


def frame_of(m: Measures, leg: LegShape, line: LegLine, hip_mm: float, shift_mm: float) -> Frame:
    """Return what stays fixed of a draft: hip and waist, and the leg below its first station."""
    first, last = line.stations[0], line.stations[-1]
    return Frame(
        hip_mm=hip_mm,
        side_shift_mm=shift_mm,
        waist_height=m.waist_height - m.inside_leg,
        hip_height=max(_LEAST_HIP_MM, m.hip_height - m.inside_leg),
        leg_height=first.height_mm - m.inside_leg,
        leg_girth_mm=first.girth_mm,
        leg_slope=first.girth_slope,
        base_mm=line.base_mm,
        base_slope=line.base_slope,
        lean=leg.lean,
        straight=leg.straight,
        on_line=leg.straight,
        inseam_share=leg.inseam_share,
        split_slope=leg.split_slope,
        hem_height=last.height_mm - m.inside_leg,
        hem_mm=last.girth_mm,
    )


def on_line(
    frame: Frame, solution: Solution, stations: tuple[Station, ...]
) -> tuple[Frame, Solution, tuple[Station, ...]]:
    """Return a draft whose leg is one line with its stations on that line, now that it is known."""
    if not frame.on_line:
        return frame, solution, stations
    slope = float(line_slope(frame, solution.params))
    last = stations[-1]
    stations = tuple(
        replace(
            s, girth_mm=last.girth_mm + slope * (s.height_mm - last.height_mm), girth_slope=slope
        )
        for s in stations
    )
    p = solution.params
    frame = replace(
        frame,
        on_line=False,
        leg_girth_mm=stations[0].girth_mm,
        leg_slope=slope,
        base_mm=frame.hip_mm * (0.5 + p.front_fork + p.back_fork),
        base_slope=slope,
    )
    return frame, solution, stations


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
    ) -> Asking[Block]: ...


def _to_inseam(
    drawn: _Drawn, height: float, inseam_mm: float, start: Solution | None
) -> Asking[Block]:
    """Return the block whose front inseam has the length asked for.

    The inseam's length follows the hem's height nearly one for one, so stepping by the miss
    converges; where the leg changes its shape from one height to the next it may not. Then the
    shape with fewer levels, the smoother one, is kept and only its hem is moved.
    """
    tried: list[tuple[int, float, float]] = []
    for _ in range(8):
        block = yield from drawn(height, start)
        miss = length(block.front.inseam) - inseam_mm
        if abs(miss) <= _INSEAM_MM:
            return block
        tried.append((len(block.stations), abs(miss), height))
        height, start = height + miss, block.solution
    _, _, height = min(tried)
    up = 0.0
    for _ in range(20):
        block = yield from drawn(height, start, up)
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
    foot_widens_mm: float


def _inset(
    frame: Frame, front: PanelShape, back: PanelShape, waist_mm: float, most_mm: float
) -> float:
    """Return how far each panel's side comes in from hip to waist, at most `most_mm`."""
    taken = 2.0 * FRONT_CENTRE_IN_MM - 2.0 * float(back.top[0])
    wish = (frame.hip_mm - waist_mm - taken) / 4.0
    return max(-SIDE_SPREAD_MM, min(most_mm, wish))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Altered:
    """A draft's shapes after alterations, their levels over the crotch line, its height `zero`.

    `inset_mm` is how far the sides come in from hip to waist, `added_mm` what front and back crotch
    seam gain.
    """

    frame: Frame
    front: PanelShape
    back: PanelShape
    edges: Edges
    waist_y: float
    hip_y: float
    zero: float
    inset_mm: float
    added_mm: tuple[float, float]


def _altered(
    draft: _Draft,
    m: Measures,
    ease: Ease,
    target: Target,
    hem_height: float,
    change: Change,
    *,
    upright: bool,
) -> _Altered:
    """Return the solved draft with its alterations; `upright`: the sides may not be shaped."""
    frame, p = draft.frame, draft.solution.params
    front, back = draft.solution.panels
    waist_y, hip_y = frame.waist_height + p.drop, frame.hip_height + p.drop
    zero, stations = m.inside_leg - p.drop, draft.stations
    edges = Edges(
        stations=stations,
        ys=tuple(st.height_mm - m.inside_leg + p.drop for st in stations),
        split=split_of(frame, p),
    )
    most = 0.0 if upright else min(SIDE_SHAPING_MM, SIDE_SHAPING_SHARE * (waist_y - hip_y))
    # From the draft as measured: the side must not move where only the centre is altered.
    inset = _inset(frame, front, back, waist_target_mm(m, ease), most)
    added = (0.0, 0.0)
    if change.reshapes:
        easing = target.inseam_ease_mm
        r = reshape(frame, p, edges, m.knee_height, hem_height, zero, easing, change)
        frame, front, back, edges = r.frame, r.front, r.back, r.edges
        waist_y, hip_y, zero = waist_y + change.depth, hip_y + change.depth, zero - change.depth
        added = r.added_mm
    return _Altered(
        frame=frame,
        front=front,
        back=back,
        edges=edges,
        waist_y=waist_y,
        hip_y=hip_y,
        zero=zero,
        inset_mm=inset,
        added_mm=added,
    )


def _height_of(band: Band, style: Style, units: Units) -> float:
    """Return the finished height of a waistband above the leg's edge, mm."""
    if style.band_height is not None:
        return band.given_height(style.band_height)
    return band.height(style.elastic_width, units)


def _raised_rise(rise: Rise, style: Style, spare: float, band_height: float) -> tuple[Rise, float]:
    """Return the rise that leaves the band its place, and by how much a named one was raised.

    `spare` is how far the seam of the band may lie below the waist tape. Raises InputError for a
    rise that is too low.
    """
    deepest = max(rise.seam_below_mm(band_height))
    raised = 0.0
    if deepest > spare and isinstance(style.rise, str) and rise.front_mm == rise.back_mm:
        # A word leaves room: the lowest top this body allows. A distance is meant as it stands.
        raised = min(deepest - spare, _MOST_RAISED_MM)
        rise = Rise(*(r + raised for r in (rise.front_mm, rise.side_mm, rise.back_mm)))
    if deepest - raised > spare + JOIN_MM:
        off = measure(deepest - raised)
        raise InputError(
            "style.rise",
            words("the waistband's seam would sit {off} below your waist tape", off=off),
            words("{spare} or less for this body", spare=most_allowed(spare)),
            "choose a higher rise or a narrower elastic",
        )
    return rise, raised


def _seat_widened(a: _Altered, sides: Sides, up: Path, wider_mm: float) -> tuple[Sides, Path]:
    """Return the back's outseam wider at the hip, and its part up to the waist, as long as before.

    Nothing is left of it at the waist tape; pants that end lower keep some at their top, as when
    the alteration is drawn on the whole block.
    """
    total = length(sides.lower) + length(up)
    sides = side_below_hip(a.frame, a.back, a.edges, a.hip_y, back=True, wider_mm=wider_mm)
    return sides, side_widened(sides, up, total - length(sides.lower))


def _trued(
    a: _Altered, sides: Sides, up: Path, off_side_mm: float, off_centre_mm: float, *, back: bool
) -> Panel:
    return true_panel(
        shape=a.back if back else a.front,
        sides=sides,
        side_up=up,
        hip_y=a.hip_y,
        edges=a.edges,
        back=back,
        off_side_mm=off_side_mm,
        off_centre_mm=off_centre_mm,
    )


def _spare_mm(a: _Altered, side_y: float) -> float:
    """Return how far below the waist tape the seam that carries the band may lie."""
    side = side_y - a.hip_y + max(0.0, a.hip_y - _LEAST_TOP_MM)
    straight = (math.dist(floats(s.top), floats(s.start)) for s in (a.front, a.back))
    return min(min(straight) + _INTO_CURVE_MM, side) - _LEAST_TOP_MM


def _true(
    draft: _Draft,
    m: Measures,
    style: Style,
    ease: Ease,
    target: Target,
    hip_mm: float,
    hem_height: float,
    change: Change,
    units: Units,
) -> Block:
    """Alter a solved draft and true it: sides, top, hem."""
    band = band_named(style.band)
    turn = band.turn(style.elastic_width, units)
    # A side that is to be turned in runs straight up, or it would not lie against the leg.
    a = _altered(draft, m, ease, target, hem_height, change, upright=bool(turn))
    frame, edges, hip_y = a.frame, a.edges, a.hip_y
    front_side = side_below_hip(frame, a.front, edges, hip_y, back=False)
    side_y = a.waist_y + change.side
    front_up = side_above_hip(front_side, (-frame.front_hip_mm + a.inset_mm, side_y))
    back_side = side_below_hip(frame, a.back, edges, hip_y, back=True)
    wanted = length(front_side.lower) + length(front_up) - length(back_side.lower)
    back_up = side_to_length(back_side, -frame.back_hip_mm + a.inset_mm, side_y, wanted)

    band_height = _height_of(band, style, units)
    spare = _spare_mm(a, side_y)
    rise, raised = _raised_rise(rise_of(style, m), style, spare, band_height)
    off_front, off_side, off_back = rise.seam_below_mm(band_height)
    if change.seat_width:
        back_side, back_up = _seat_widened(a, back_side, back_up, change.seat_width)
    return Block(
        ease=ease,
        frame=frame,
        solution=draft.solution,
        stations=edges.stations,
        station_ys=edges.ys,
        rise=rise,
        rise_raised_mm=raised,
        band=band,
        band_height_mm=band_height,
        turn_mm=turn,
        front=_trued(a, front_side, front_up, off_side, off_front, back=False),
        back=_trued(a, back_side, back_up, off_side, off_back, back=True),
        hip_mm=hip_mm,
        crotch_target_mm=target.crotch_mm + sum(a.added_mm) - off_front - off_back,
        inseam_ease_mm=target.inseam_ease_mm,
        crotch_line_height_mm=a.zero,
        foot_widens_mm=draft.foot_widens_mm,
    )
