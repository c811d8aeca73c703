"""Pockets: a hand goes in, the fabric carries them, and they lie where there is room for them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, Final

import numpy as np

from outseam.curves.point import turn
from outseam.draft.body.hand_size import hand_of, opening_for
from outseam.draft.checks.corners import ANGLE_DEG, corner_deg
from outseam.draft.checks.seams import SEAM_MM
from outseam.draft.checks.verdict import at_least, at_most, equal
from outseam.draft.inputs.show import per_cent
from outseam.draft.inputs.words import Words, measure, words
from outseam.draft.model import OnLeg, Pattern
from outseam.draft.piece.divided_edge import edge_parts
from outseam.draft.piece.piece import Finding, Piece
from outseam.draft.piece.ruler import chords, ruler_length

if TYPE_CHECKING:
    from shapely import Polygon

#: Lightest fabric that carries pockets, g/m2 (common practice, no source): a firm double knit
#: does, a light or slippery knit is dragged down by them.
LEAST_WEIGHT: Final = {"knit": 200.0, "woven": 110.0}
#: Reduction of the hip up to which a pocket there stays closed (common practice, no source).
LEAST_EASE: Final = -0.05
#: A bag keeps this far from crotch curve and inseam, a patch from every edge of its leg, and both
#: this far above knee line and hem.
BAG_CLEAR_MM: Final = 10.0
PATCH_CLEAR_MM: Final = 15.0
KNEE_CLEAR_MM: Final = 40.0
HEM_CLEAR_MM: Final = 20.0
#: What is laid on a leg may stick out by rounding only.
INSIDE_MM: Final = 0.1

#: Of the points along an edge, a few millimetres apart, every so many are compared.
_EVERY: Final = 3


def openings_mm(pattern: Pattern) -> dict[str, float]:
    """Return the flat openings of the pockets as they are on the pieces, mm, by kind."""
    found = {pocket.value: pocket.opening_mm(pattern) for pocket in pattern.pockets}
    return {kind: mm for kind, mm in found.items() if mm is not None}


def _too_narrow(pocket: str, hand: str, opening_mm: float, needed_mm: float) -> Words:
    return words(
        "The {pocket} opens {opening} wide; a {hand} needs {needed}. Measure the hand that is to "
        "use it.",
        pocket=pocket,
        hand=hand,
        opening=measure(opening_mm),
        needed=measure(needed_mm),
    )


def check_openings(pattern: Pattern) -> Iterator[Finding]:
    """Compare every opening with the hands of the body's build: a middling one, a large one.

    Where a pocket is for things more than for hands, as a patch at the back is, a large one is
    not asked of it.
    """
    hand = hand_of(pattern.measures)
    middling, large = opening_for(hand.middling_mm), opening_for(hand.large_mm) - SEAM_MM
    for pocket in pattern.pockets:
        kind, opening = pocket.value, pocket.opening_mm(pattern)
        if opening is None:
            continue
        yield at_least(
            "a hand goes into the pocket",
            f"{kind} pocket",
            opening,
            middling,
            "the opening lets a middling hand in, three quarters of its girth at the knuckles",
            fails="warning",
            advice=_too_narrow(f"{kind} pocket", "middling hand", opening, middling),
        )
        if pocket.for_hands:
            yield at_least(
                "a hand goes into the pocket",
                f"{kind} pocket, large hand",
                opening,
                large,
                "the opening lets a large hand in; measure the hand that is to use it",
                fails="note",
                advice=_too_narrow(f"{kind} pocket", "large hand", opening, large),
            )


def check_carry(pattern: Pattern) -> Iterator[Finding]:
    """Judge whether the fabric carries pockets, by its weight and how it slides."""
    if not openings_mm(pattern):
        return
    fabric = pattern.spec.fabric
    least = LEAST_WEIGHT[fabric.kind]
    if fabric.weight is None:
        yield equal(
            "fabric carries pockets",
            "weight given",
            0.0,
            1.0,
            0.0,
            f"the fabric's weight is given, so that it can be judged: a {fabric.kind} carries "
            f"pockets from about {least:.0f} g/m2 on; a lighter one is dragged down by them",
            unit="count",
            fails="note",
            advice="The fabric's weight is not given, so nothing can be said about whether it "
            "carries pockets. A light one is dragged down by them: hang a bunch of keys on it and "
            "look.",
        )
    else:
        yield at_least(
            "fabric carries pockets",
            "weight, g/m2",
            fabric.weight,
            least,
            f"a {fabric.kind} that carries pockets weighs about {least:.0f} g/m2 or more; in a "
            "lighter one leave them out, or back the seams with tape and keep the bags light",
            unit="count",
            fails="warning",
            advice=f"This fabric weighs {fabric.weight:.0f} g/m²; pockets want about {least:.0f} "
            "or more. Leave them out, or back their seams with tape and keep the bags light.",
        )
    yield equal(
        "fabric carries pockets",
        "slippery",
        float(fabric.slippery),
        0.0,
        0.0,
        "a fabric that carries pockets is not slippery; pockets drag a slippery one out of shape",
        unit="count",
        fails="warning",
        advice="Pockets drag a slippery fabric out of shape. Leave them out if you can.",
    )


def check_fit(pattern: Pattern) -> Iterator[Finding]:
    """Say that pockets a hand goes into gape where the pants are worn stretched."""
    if any(p.for_hands and p.opening_mm(pattern) is not None for p in pattern.pockets):
        yield at_least(
            "pocket suits the fit",
            "room at the hip",
            pattern.block.ease.hip_ratio,
            LEAST_EASE,
            "pants with pockets at the hip are not drafted much smaller than the body; stretched "
            "over it, a pocket gapes and its bag shows",
            unit="ratio",
            fails="note",
            advice="At the hip these pants are drafted "
            f"{per_cent(abs(pattern.block.ease.hip_ratio))} smaller than the body. Stretched over "
            "it a pocket gapes and its bag shows.",
        )


def _polygon(piece: Piece) -> Polygon:
    """Return what the sewing line of a piece encloses."""
    import shapely

    outline = shapely.Polygon(np.concatenate([chords(e.path)[0][:-1] for e in piece.edges]))
    shapely.prepare(outline)
    return outline


def _lowest_findings(pattern: Pattern, where: str, lowest_y: float, hem_y: float) -> Finding:
    """Compare the lowest place of a pocket with knee line and turned-up hem."""
    zero = pattern.block.crotch_line_height_mm
    limit = max(
        pattern.measures.knee_height - zero + KNEE_CLEAR_MM,
        hem_y + pattern.spec.style.hem_allowance + HEM_CLEAR_MM,
    )
    return at_least(
        "pocket lies clear",
        f"{where}, above knee and hem",
        lowest_y + zero,
        limit + zero,
        "the pocket ends well above the knee and the turned-up hem",
    )


def check_place(pattern: Pattern) -> Iterator[Finding]:
    """Look whether bags and patches lie on their leg, clear of its seams, knee and hem."""
    import shapely

    behind = [pattern.piece(n) for pocket in pattern.pockets for n in pocket.behind]
    if behind:
        front = pattern.piece("front")
        leg = _polygon(front)
        seams = shapely.linestrings(
            np.concatenate([chords(front.edge(e).path)[0] for e in ("inseam", "crotch")])
        )
    for piece in behind:
        bag = chords(piece.edge("bag").path)[0][::_EVERY]
        beyond = bag[~np.asarray(shapely.intersects_xy(leg, *bag.T))]
        yield at_most(
            "pocket lies clear",
            f"{piece.name}, behind the front",
            float(shapely.distance(leg, shapely.points(beyond)).max(initial=0.0)),
            INSIDE_MM,
            f"the {piece.title.lower()} lies behind the front leg and nowhere beyond it",
        )
        yield at_least(
            "pocket lies clear",
            f"{piece.name}, from the crotch curve and inseam",
            float(shapely.distance(seams, shapely.multipoints(bag))),
            BAG_CLEAR_MM,
            f"the {piece.title.lower()} keeps clear of crotch curve and inseam",
        )
        yield _lowest_findings(
            pattern, piece.name, float(bag[:, 1].min()), pattern.block.front.hem_y
        )
    for pocket in pattern.pockets:
        if pocket.set_on is not None:
            yield from _set_on(pattern, f"{pocket.value} pocket", pocket.set_on)


def _set_on(pattern: Pattern, name: str, at: OnLeg) -> Iterator[Finding]:
    """Compare the place drawn on a leg with the leg and with the pocket itself."""
    import shapely

    leg, piece = pattern.piece(at.leg), pattern.piece(at.piece)
    places = [x.path for x in leg.lines if x.role == "pocket place"]
    area = _polygon(leg)
    panel = pattern.block.front if at.leg == "front" else pattern.block.back
    for place in places:
        points, run = chords(place)
        spots = shapely.points(points[::_EVERY])
        inside = 0.0
        if np.all(shapely.covers(area, spots)):
            inside = float(shapely.distance(area.exterior, spots).min())
        yield at_least(
            "pocket lies clear",
            f"{name}, from the seams",
            inside,
            PATCH_CLEAR_MM,
            f"the place of the {name} lies inside the {at.leg} leg, clear of its seams",
        )
        yield _lowest_findings(pattern, name, float(points[:, 1].min()), panel.hem_y)
        sides = piece.edge("sides").path
        yield equal(
            "pocket lies clear",
            f"{name}, outline of its place",
            float(run[-1]),
            ruler_length(sides) + math.dist(sides.start, sides.end),
            SEAM_MM,
            f"the place drawn on the {at.leg} leg has the outline of the finished patch",
        )
    yield equal(
        "pocket lies clear",
        f"{name}, places drawn",
        float(len(places)),
        1.0,
        0.0,
        f"the {at.leg} leg shows one place for a {name}",
        unit="count",
    )


def check_mouth(pattern: Pattern) -> Iterator[Finding]:
    """Measure a scoop's mouth where it meets waist and outseam, and how front and facing run on."""
    front = pattern.piece("front")
    edge = {e.name: e.path for e in front.edges}
    if "mouth" not in edge:
        return
    for where, into, out in (
        ("mouth at the waist", "waist", "mouth"),
        ("mouth at the outseam", "mouth", "outseam"),
    ):
        yield equal(
            "joins run on",
            where,
            corner_deg(edge[into], edge[out]),
            90.0,
            ANGLE_DEG,
            "the pocket's mouth meets the edge at a right angle, so that facing and front run on",
            unit="deg",
        )
    for name in ("waist", "outseam"):
        first, second = edge_parts(pattern, "front", name)
        bend = abs(math.degrees(turn(first.end_direction, second.start_direction)))
        yield at_most(
            "joins run on",
            f"facing along the {name}",
            bend,
            ANGLE_DEG,
            f"front and facing make one smooth {name}",
            unit="deg",
        )
        yield at_most(
            "joins run on",
            f"facing along the {name}, gap",
            math.dist(first.end, second.start),
            INSIDE_MM,
            f"front and facing meet at the {name}, neither short of the other nor over it",
        )
