"""A pocket in the side seam: four bag pieces, one shape, sewn to front and back outseam.

The bag's straight side is the front's own outseam. Front and back outseam are equally long from
the top, so the mirrored pair fits the back as well. Under a band that is sewn on the bag reaches
the waist edge and is caught there, so that it cannot fall to the back; under a casing cut on the
leg it hangs from the opening.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from outseam.curves.evaluate import direction_at, point_at
from outseam.curves.length import length, param_at_length
from outseam.curves.point import right_of
from outseam.curves.region import bounds
from outseam.curves.split import subpath
from outseam.draft.block.panels import smooth
from outseam.draft.body.hand_size import least_opening_mm, usual_opening_mm
from outseam.draft.features.bag import (
    CAUGHT_SHARE,
    NOTCH_CLEAR_MM,
    bag_bottom_y,
    bag_edge,
    bag_grain,
    bag_width_mm,
)
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.words import most_allowed, words
from outseam.draft.model import Make, Pattern, Pocket, SeamWork
from outseam.draft.piece.piece import OPENING_ENDS, Edge, Notch, Piece, Seam, Stretch
from outseam.draft.piece.ruler import run_at_y
from outseam.draft.sewing.tools.job import Job, names, outseam_foot
from outseam.draft.sewing.tools.settings import inside_mm
from outseam.draft.step import Step, given, mm

#: The opening begins this far above the hip line, but not nearer to the top edge, nor farther
#: below it, than these (common practice, no source).
ABOVE_HIP_MM: Final = 50.0
FROM_TOP_MM: Final = (30.0, 80.0)
#: Below a casing cut on the leg it begins at least this far under the casing's stitching.
BELOW_CASING_MM: Final = 15.0
#: It ends no farther below the crotch line than this, or the hand would have to reach for it.
OPENING_END_Y: Final = -70.0
#: A bag that hangs from the seam begins this far above the opening.
SEAM_ABOVE_MM: Final = 12.0
#: The top of a hanging bag drops by this share of its width, so that the hand meets no corner.
_TOP_DROP_MM: Final = 20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """Where the opening lies on the outseam: from and to, mm below the leg's top edge."""

    from_mm: float
    to_mm: float


def solve_opening(make: Make) -> Opening:
    """Return the opening in the hip zone. Raises InputError where the seam has no room for it."""
    block, style, m = make.block, make.spec.style, make.measures
    outseam = block.front.outseam
    low, high = FROM_TOP_MM
    hip = length(outseam) - block.front.hip_from_hem_mm
    start = min(max(hip - ABOVE_HIP_MM, low), high)
    if block.turn_mm:
        start = max(start, block.turn_mm + BELOW_CASING_MM)
    if abs(start - hip) < NOTCH_CLEAR_MM:
        start = hip + NOTCH_CLEAR_MM
    most = run_at_y(outseam, OPENING_END_Y) - start
    wanted = style.pocket_opening
    if wanted is None:
        wanted = usual_opening_mm(m)
        if most >= least_opening_mm(m):
            wanted = min(wanted, most)
    if wanted > most:
        raise InputError(
            "style.pocket" if style.pocket_opening is None else "style.pocket_opening",
            words("a side-seam pocket with an opening of {wanted}", wanted=most_allowed(wanted)),
            words(
                "{most} or less, so that it ends where a hand reaches it",
                most=most_allowed(max(most, 0.0)),
            ),
            "choose a higher rise, a shorter pocket_opening or a patch pocket",
        )
    return Opening(from_mm=start, to_mm=start + wanted)


def _edges(make: Make, opening: Opening) -> tuple[Edge, ...]:
    """Return the bag's edges: the seam, the free edge round it, and the waist or a free top."""
    panel, seam = make.block.front, make.spec.style.seam_allowance
    end_y = point_at(panel.outseam, param_at_length(panel.outseam, opening.to_mm))[1]
    bottom = bag_bottom_y(make, end_y, "a side-seam pocket")
    below = CAUGHT_SHARE * (end_y - bottom)
    width = bag_width_mm(make, opening.to_mm - opening.from_mm)
    corner_u = param_at_length(panel.waist, length(panel.waist) - width)
    corner, up = point_at(panel.waist, corner_u), right_of(direction_at(panel.waist, corner_u))
    top_mm = 0.0
    if make.block.turn_mm:
        top_mm = opening.from_mm - SEAM_ABOVE_MM
    at_top, at_low = (param_at_length(panel.outseam, x) for x in (top_mm, opening.to_mm + below))
    side = subpath(panel.outseam, at_top, at_low)
    if not make.block.turn_mm:
        waist = subpath(panel.waist, corner_u, len(panel.waist))
        last = Edge(name="waist", path=waist, allowance_mm=seam)
    else:
        corner, up = (corner[0], side.start[1] - _TOP_DROP_MM), (0.0, 1.0)
        top = smooth(corner, (-1.0, 0.0), side.start, (-1.0, 0.0))
        last = Edge(name="bag_top", path=top, allowance_mm=seam)
    return (
        Edge(name="outseam", path=side, allowance_mm=seam),
        Edge(name="bag", path=bag_edge(side, bottom, width, corner, up), allowance_mm=seam),
        last,
    )


def _bag(make: Make, opening: Opening, edges: tuple[Edge, ...], above_mm: float) -> Piece:
    """Return the bag with the ends of the opening notched; its seam begins at `above_mm`."""
    side, round_ = edges[0].path, edges[1].path
    grain = bag_grain(round_)
    left = max(side.start[0], side.end[0]) + 14.0
    middle = (bounds(round_)[1] + side.start[1]) / 2.0
    return Piece(
        name="pocket_bag",
        title="Pocket bag",
        copies=4,
        mirrored=True,
        cut_note="cut 4, two mirrored pairs",
        edges=edges,
        notches=tuple(
            Notch(edge="outseam", at_mm=at - above_mm, role=role, named=True)
            for at, role in zip((opening.from_mm, opening.to_mm), OPENING_ENDS, strict=True)
        ),
        lines=(grain,),
        notes=(
            "one pair of lining, if the fabric is thick",
            "tape the opening against stretch",
        ),
        label_at=(left, middle + 26.0),
        label_width_mm=grain.path.start[0] - 6.0 - left,
    )


def apply(make: Make) -> Make:
    """Notch the outseams and add the bags. Raises InputError where there is no room."""
    opening = solve_opening(make)
    edges = _edges(make, opening)
    above = opening.from_mm - SEAM_ABOVE_MM if make.block.turn_mm else 0.0
    caught = length(edges[0].path)
    marks = tuple(
        Notch(edge="outseam", at_mm=at, role=role, named=True)
        for at, role in zip((opening.from_mm, opening.to_mm), OPENING_ENDS, strict=True)
    )
    seams: list[Seam] = []
    for name in ("front", "back"):
        leg = make.piece(name)
        make = make.with_piece(replace(leg, notches=(*leg.notches, *marks)))
        seams.append(
            Seam(
                name=f"pocket bag to {name} outseam",
                a=Stretch(piece=name, edge="outseam", from_mm=above, to_mm=above + caught),
                b=Stretch(
                    piece="pocket_bag", edge="outseam", from_mm=0.0, to_mm=caught, to_end=True
                ),
            )
        )
    if not make.block.turn_mm:
        width, total = length(edges[2].path), length(make.block.front.waist)
        seams.append(
            Seam(
                name="pocket bag caught in the waist seam",
                a=Stretch(
                    piece="front", edge="waist", from_mm=total - width, to_mm=total, to_end=True
                ),
                b=Stretch(piece="pocket_bag", edge="waist", from_mm=0.0, to_mm=width, to_end=True),
            )
        )
    return make.adding(pieces=(_bag(make, opening, edges, above),), seams=seams)


def _gap_mm(piece: Piece) -> float | None:
    """Return how far apart the ends of the opening are notched, None without both."""
    ends = piece.opening_ends_mm()
    return ends[1] - ends[0] if len(ends) == 2 else None


def _tape_mm(pattern: Pattern) -> float:
    """Return the length of both openings, as the bag has them."""
    bag = next(p for p in pattern.pieces if p.part == "pocket_bag")
    return 2.0 * (_gap_mm(bag) or 0.0)


def _steps(pattern: Pattern) -> tuple[Step, ...]:
    """Return how the bags are sewn to the legs (common practice, no source)."""
    job = Job(pattern=pattern)
    seams = job.seams(lambda _, b: b[0] == "pocket_bag" and b[1] in ("outseam", "waist"))
    top, end = job.parts("front")[0].opening_ends_mm()
    caught = any(s.b.edge == "waist" for s in seams)
    neaten = () if job.knit else ("Neaten the edges of the bags and of all outseams.",)
    return (
        Step(
            key="side-pocket",
            title="Side-seam pockets: the bags",
            text=(
                *neaten,
                "Iron or sew a stay tape on the wrong side of each front along the outseam, from "
                "a little above the upper notch “pocket opening” to a little below the lower "
                "one.",
                "Pin a bag on each front and each back, right sides together, outseam on outseam, "
                "the notches “pocket opening” on each other: they are {from} and {to} below the "
                "top edge.",
                "Sew each bag on {inside} from the edge, a little less than the allowance, so that "
                "this seam stays hidden. Press the bag away from the leg and stitch it down on its "
                "own allowance, close to the seam.",
                "The upper edge of the bags is caught in the waist seam later."
                if caught
                else "The bags hang from this seam and end below the casing.",
            ),
            figures=(
                mm("from", top),
                mm("to", end),
                given("inside", inside_mm(job.style.seam_allowance, job.units)),
            ),
            drawing="side-pocket",
            seams=names(seams),
            notches=job.notches(*(("outseam", role) for role in OPENING_ENDS)),
        ),
    )


def _in_outseam(pattern: Pattern, match: str, long: str) -> SeamWork:
    """Return how the outseam is sewn round the opening, and the bags with it."""
    job = Job(pattern=pattern)
    hangs = bool(job.unsewn("bag_top"))
    round_ = "along the top and round their curve" if hangs else "round their curve"
    text: tuple[str, ...] = (
        "Pin each front on its back, right sides together, the bags out to the side. " + match,
        "Sew the outseam {seam} from the edge, from the top to the upper notch “pocket "
        f"opening”, stitch back, leave the opening, go on from the lower notch to "
        f"{outseam_foot(job, 'the hem')}: {long} with the opening.",
        f"Then sew the two bags together {round_}. At both ends of the opening sew a "
        "few stitches back and forth: there it tears first.",
        "Press the seam and the bags to the front."
        if job.knit
        else "Snip the back's allowance above and below the bag; press the seam open beyond "
        "the snips, the bags to the front.",
    )
    if any(s.b.edge == "waist" for s in job.seams(lambda _, b: b[0] == "pocket_bag")):
        text += ("Baste the top of the bags to the front's waist edge.",)
    return SeamWork(text=text, drawing="outseam-pocket", edges=job.unsewn("bag", "bag_top"))


POCKET = Pocket(
    value="side-seam",
    says="a side-seam pocket",
    apply=apply,
    sizes=("pocket_opening",),
    claims=lambda _: (("front", "outseam"), ("back", "outseam")),
    steps=_steps,
    opening_mm=lambda pattern: _gap_mm(pattern.piece("front")),
    tape_mm=_tape_mm,
    behind=("pocket_bag",),
    in_outseam=_in_outseam,
)
