"""What a border lay comes to on the finished pants: level, matching, stretch, where to notch."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from outseam.curves.point import Point
from outseam.curves.region import bounds
from outseam.draft.border.levels import above_hem_mm, face_middle_mm, is_leg
from outseam.draft.border.marks import BorderMark, crossings, levels_mm
from outseam.draft.border.places import plain
from outseam.draft.border.printed import Border, Selvedge
from outseam.draft.checks.verdict import at_most, equal
from outseam.draft.figures.finished import finished
from outseam.draft.inputs.errors import OutseamError
from outseam.draft.inputs.show import per_cent
from outseam.draft.inputs.words import measure, off, words
from outseam.draft.lay.model.result import Lay, Placed
from outseam.draft.lay.ways.border import leg_widths, wearer_side
from outseam.draft.model import Pattern
from outseam.draft.pattern import draft_measures
from outseam.draft.piece.piece import Finding
from outseam.draft.piece.ruler import x_at

#: Positions are kept to a hundredth of a millimetre.
_EXACT_MM = 0.1
#: A border off by less than this at a seam is sewn level without easing (common practice, no
#: source); beyond three times that it shows.
MATCH_MM = 1.5
_SHOWS_MM = 4.5
#: The eye may be this far from the middle of a waistband's face before anybody sees it.
_EYE_MM = 2.0


def border_marks(pattern: Pattern, border: Border) -> tuple[BorderMark, ...]:
    """Return where the border's edge, eye and inner end cross the outseam and the inseam."""
    levels = levels_mm(pattern.spec, pattern.pieces, border)
    return crossings(pattern.piece("front"), pattern.piece("back"), levels)


def check_border(lay: Lay, patterns: Sequence[Pattern]) -> tuple[Finding, ...]:
    """Return how level the border lies, how it meets, and what the turned fabric does."""
    border = lay.cloth.border
    assert border is not None, "only fabrics with a border are laid so"
    found: list[Finding] = []
    for p in lay.placed:
        pattern = patterns[p.part.garment]
        if is_leg(p.part.piece):
            found += _level(p, lay, pattern, border)
        elif p.border:
            found += _eye(p, lay, border)
    for garment, pattern in enumerate(patterns):
        found += _meets(garment, pattern, border)
        found += _repeats(garment, pattern, lay, border)
        found += turned_findings(pattern)
    return tuple(found)


def _from_border(y_mm: float, placed: Placed, lay: Lay, border: Border) -> float:
    """Return how far a height of the fabric lies inside the border's edge."""
    far = stands_far(placed, lay)
    own = lay.cloth.width_mm - y_mm if far else y_mm
    return own - border.at("far" if far else "near").edge_mm


def stands_far(placed: Placed, lay: Lay) -> bool:
    """Return whether a piece at the border stands on that of the far selvedge."""
    if is_leg(placed.part.piece):
        return placed.lie.turn_deg == 270
    return placed.y_mm + placed.top_mm > lay.cloth.width_mm


def _level(placed: Placed, lay: Lay, pattern: Pattern, border: Border) -> Iterator[Finding]:
    """The border above the hem: at the seams as the style has it, and elsewhere."""
    growth = pattern.spec.fabric.shrink_factors[0]
    above = above_hem_mm(pattern.spec, pattern.pieces)
    out = placed.lie.path(placed.piece.edge("outseam").path).end[1]
    inner = placed.lie.path(placed.piece.edge("inseam").path).start[1]
    at_seams = [-_from_border(y, placed, lay, border) / growth for y in (out, inner)]
    for y, seam in zip(at_seams, ("outseam", "inseam"), strict=True):
        yield equal(
            "border above the hem",
            f"{placed.key}, {seam}",
            y,
            above,
            _EXACT_MM,
            "the border's edge lies as far above the hem as the style has it",
            fails="warning",
        )
    hem = placed.piece.line("hem fold")
    if hem is None or placed.part.copy > 1:
        return
    _, low, _, high = bounds(placed.lie.path(hem.path))
    edge = sum(at_seams) / 2.0
    ends = [-_from_border(y, placed, lay, border) / growth for y in (low, high)]
    arc = max((e - edge for e in ends), key=abs)
    yield at_most(
        "border level along the hem",
        f"{placed.key}, middle",
        abs(arc),
        MATCH_MM,
        words(
            "the hem of the {piece} is an arc: in its middle the border lies {by} {way} above it "
            "than at the seams",
            piece=placed.piece.title.lower(),
            by=off(arc),
            way="further" if arc > 0 else "less far",
        ),
        fails="note",
    )


def _eye(placed: Placed, lay: Lay, border: Border) -> Iterator[Finding]:
    """The border's eye in the middle of the waistband's face."""
    middle = placed.lie.points([(0.0, face_middle_mm(placed.piece))])[0, 1]
    one = border.at("far" if stands_far(placed, lay) else "near")
    low = _from_border(float(middle), placed, lay, border) - one.eye_mm
    # At the far border, the same way up as the legs, the band is moved the other way.
    way = "too high" if stands_far(placed, lay) and placed.lie.turn_deg == 90 else "too low"
    why = words(": it is {by} {way}, the border begins too near the selvedge", by=off(low), way=way)
    yield at_most(
        "eye in the middle of the band",
        placed.key,
        abs(low),
        _EYE_MM,
        words(
            "the eye of the border lies in the middle of the face of the {piece}{why}",
            piece=placed.piece.title.lower(),
            why=why if low > _EYE_MM else "",
        ),
        fails="warning",
    )


def _meets(garment: int, pattern: Pattern, border: Border) -> Iterator[Finding]:
    """The border at each seam, front against back."""
    for mark in border_marks(pattern, border):
        apart = abs(mark.mismatch_mm)
        ease = words(": they differ by {by}, ease it there", by=off(apart))
        yield at_most(
            "border meets at the seams",
            f"{garment + 1}, {mark.seam}, {mark.level}",
            apart,
            MATCH_MM,
            words(
                "the border's {level} meets the {seam} at the same distance from the hem on front "
                "and back{ease}",
                level=mark.level,
                seam=mark.seam,
                ease=ease if apart > MATCH_MM else "",
            ),
            fails="warning" if apart > _SHOWS_MM else "note",
        )


def _off_phase(mm: float, repeat_mm: float) -> float:
    """Return the shortest way from a distance to a whole number of repeats."""
    return mm - repeat_mm * round(mm / repeat_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class _EyePoints:
    """Where a placed leg's seams and crease line are along the fabric at the eye's level, mm.

    The far border's figures lie further on by its shift; that is taken off.
    """

    outseam: float
    inseam: float
    crease: float
    far: bool


def _eye_points(placed: Placed, pattern: Pattern, lay: Lay, border: Border) -> _EyePoints:
    """Return the points at the eye's level, or at the leg's end nearest to it."""
    piece, far = placed.piece, placed.lie.turn_deg == 270
    level = border.edge_mm + border.eye_mm
    dy = placed.lie.dy_mm
    y = dy - (lay.cloth.width_mm - level) if far else level - dy
    outseam, inseam = piece.edge("outseam").path, piece.edge("inseam").path
    low, high = max(outseam.end[1], inseam.start[1]), min(outseam.start[1], inseam.end[1])
    y = min(max(y, low), high)
    ends = [x_at(path, y) for path in (outseam, inseam)]
    crease = leg_widths(placed.part.piece, pattern, border).crease_mm
    points = placed.lie.points([(x, y) for x in (*ends, crease) if x is not None])[:, 0]
    out, inner, middle = (points - ((border.shift_mm or 0.0) if far else 0.0)).tolist()
    return _EyePoints(outseam=out, inseam=inner, crease=middle, far=far)


def _repeats(garment: int, pattern: Pattern, lay: Lay, border: Border) -> Iterator[Finding]:
    """Figures along the border: left against right, and over the seams."""
    own = [p for p in lay.placed if p.part.garment == garment]
    if border.repeat_mm is not None:
        yield from _repeat(garment, own, pattern, lay, border.repeat_mm)
    yield from _repeat_in_band(own, lay, border)


def _repeat(
    garment: int, own: Sequence[Placed], pattern: Pattern, lay: Lay, repeat: float
) -> Iterator[Finding]:
    border = lay.cloth.border
    assert border is not None, "only fabrics with a border are laid so"
    legs: dict[tuple[str, str], _EyePoints] = {
        (p.part.piece.part, wearer_side(p.part.piece, p.lie.face)): _eye_points(
            p, pattern, lay, border
        )
        for p in own
        if is_leg(p.part.piece)
    }
    where = f"{garment + 1}"
    for leg in ("right", "left"):
        yield from _repeat_over_seams(where, leg, legs["front", leg], legs["back", leg], repeat)
    for name, fails in (("front", "warning"), ("back", "note")):
        apart = abs(_off_phase(legs[name, "right"].crease - legs[name, "left"].crease, repeat))
        differ = words(
            "the figures of left and right {name} are {by} apart, because both follow the fronts "
            "over the outseams",
            name=name,
            by=off(apart),
        )
        yield at_most(
            "repeat left and right",
            f"{where}, {name}",
            apart,
            _EXACT_MM if name == "front" else MATCH_MM,
            f"left and right {name} show the same figures" if apart <= MATCH_MM else differ,
            fails="warning" if fails == "warning" else "note",
        )


def _repeat_over_seams(
    garment: str, leg: str, a: _EyePoints, b: _EyePoints, repeat: float
) -> Iterator[Finding]:
    """The figures of one leg, front (a) against back (b)."""
    where = f"{garment}, {leg}"
    yield equal(
        "leg on one border",
        where,
        float(a.far),
        float(b.far),
        0.0,
        "front and back of a leg stand on one border, so that its figures meet at the seams",
        unit="count",
        fails="warning",
    )
    yield at_most(
        "repeat at the outseam",
        where,
        abs(_off_phase(a.outseam - b.outseam, repeat)),
        _EXACT_MM,
        "the figures go on over the outseam at the height of the eye",
        fails="warning",
    )
    apart = abs(_off_phase(a.inseam - b.inseam, repeat))
    yield at_most(
        "repeat at the inseam",
        where,
        apart,
        MATCH_MM,
        words(
            "at the {leg} inseam the figures are {by} apart: round the leg there is no whole "
            "number of repeats",
            leg=leg,
            by=off(apart),
        ),
        fails="note",
    )


def _repeat_in_band(own: Sequence[Placed], lay: Lay, border: Border) -> Iterator[Finding]:
    """The same figure in the middle of all pieces of a waistband that are cut from one border."""
    bands = [p for p in own if p.border and not is_leg(p.part.piece)]
    first: dict[Selvedge | None, float] = {}
    for p in bands:
        side: Selvedge = "far" if stands_far(p, lay) else "near"
        repeat = border.at(side).repeat_mm
        if repeat is None:
            continue
        x = p.x_mm + p.length_mm / 2.0 - ((border.shift_mm or 0.0) if side == "far" else 0.0)
        rule = first.setdefault(side if border.apart else None, x)
        if p is bands[0]:
            continue
        yield at_most(
            "repeat in the band",
            p.key,
            abs(_off_phase(x - rule, repeat)),
            _EXACT_MM,
            "the same figure is in the middle of front and back band",
            fails="warning",
        )


def figures_mm(lay: Lay, patterns: Sequence[Pattern]) -> tuple[Point, ...]:
    """Return the middles of the border's figures on the fabric, where they are to be at a centre.

    Several garments on one fabric have each their own; those of the first are returned.
    """
    border, pattern = lay.cloth.border, patterns[0]
    if border is None or border.repeat_mm is None or pattern.spec.style.figure_at != "centre":
        return ()
    first = _pinned(lay, patterns)
    used: dict[Selvedge, None] = {}
    for p in lay.placed:
        if p.border:
            used["far" if stands_far(p, lay) else "near"] = None
    found: list[Point] = []
    for side in used:
        one, far = border.at(side), side == "far"
        repeat = one.repeat_mm or border.repeat_mm
        start = (first + ((border.shift_mm or 0.0) if far else 0.0)) % repeat
        y = one.edge_mm + one.eye_mm
        while start <= lay.length_mm:
            found.append((start, lay.cloth.width_mm - y if far else y))
            start += repeat
    return tuple(found)


def pin_mm(lay: Lay, patterns: Sequence[Pattern]) -> float | None:
    """Return where the figure lies that the shift was measured at, from the cut end.

    None where any figure will do, because both borders have one repeat or none is to be centred.
    """
    border, style = lay.cloth.border, patterns[0].spec.style
    if border is None or not border.apart or style.figure_at != "centre":
        return None
    return _pinned(lay, patterns) if style.band_from == "other border" else None


def _pinned(lay: Lay, patterns: Sequence[Pattern]) -> float:
    """Return where a figure of the near border lies that the shift holds for, from the cut end.

    Where both borders have one repeat that is any of them. Where they differ, the figures on which
    the legs lie and those in the middle of the band tell which one it is: the nearest to a front.
    """
    border, pattern = lay.cloth.border, patterns[0]
    assert border is not None, "only fabrics with a border are laid so"
    assert border.repeat_mm is not None, "figures come again"
    front = next(p for p in lay.placed if p.part.garment == 0 and p.part.piece.part == "front")
    crease = _eye_points(front, pattern, lay, border).crease
    band = next(
        (
            p
            for p in lay.placed
            if p.border and not is_leg(p.part.piece) and stands_far(p, lay) and not p.part.garment
        ),
        None,
    )
    far = border.at("far").repeat_mm
    if band is None or far is None or not border.apart:
        return crease
    there = band.x_mm + band.length_mm / 2.0 - (border.shift_mm or 0.0)
    most = math.ceil(lay.length_mm / border.repeat_mm) + 1
    near = [crease + k * border.repeat_mm for k in range(-most, most + 1)]
    return min(
        (x for x in near if 0.0 <= x <= lay.length_mm),
        key=lambda x: (round(abs(_off_phase(there - x, far)), 1), abs(x - crease)),
    )


def turned_findings(pattern: Pattern) -> tuple[Finding, ...]:
    """Return what it means for the draft that the fabric lies a quarter turned.

    The pattern is drafted for the stretch along; the same is drafted on the straight grain to
    compare with.
    """
    fabric = pattern.spec.fabric
    along, across = fabric.stretch_along_ratio, fabric.stretch_across_ratio
    spec = plain(pattern.spec)
    try:
        straight = draft_measures(spec, pattern.measures)
    except OutseamError:
        return ()
    now, then = finished(pattern), finished(straight)
    known = {(f.check, f.where) for f in straight.warnings}
    fresh = [f for f in pattern.warnings if (f.check, f.where) not in known]
    grain = Finding(
        check="turned fabric",
        where="draft",
        level="note",
        measured=now["hip"],
        expected=then["hip"],
        tolerance=1.0,
        unit="mm",
        says=words(
            "laid along the border, the fabric stretches {along} round the body, its stretch along "
            "the selvedge, not {across}; the pants are drafted for that, {by} {way} at the hip "
            "than on the straight grain",
            along=per_cent(along),
            across=per_cent(across),
            by=measure(abs(now["hip"] - then["hip"])),
            way="wider" if now["hip"] >= then["hip"] else "narrower",
        ),
    )
    worse = tuple(
        replace(
            f,
            check="turned fabric",
            says=words(
                "turned, the fabric does not stretch enough at the {where}: it should hold that "
                "{says}",
                where=f.where,
                says=f.says,
            ),
            advice="",
        )
        for f in fresh
    )
    return (grain, *worse)
