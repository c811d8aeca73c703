"""A slit or a zip in the outseam at the ankle, so that a leg may be narrower than the foot.

Common practice, no source: the outseam stays open from the hem up to where the leg, stretched,
lets heel and instep through.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import numpy as np

from outseam.curves.length import length
from outseam.draft.block.profile import leg_widths
from outseam.draft.checks.foot import open_from_hem_mm
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.words import measure, most_allowed, words
from outseam.draft.legs.leg import foot_hem_mm
from outseam.draft.model import Feature, Make, Pattern, Zips
from outseam.draft.piece.piece import Notch, Seam, Stretch
from outseam.draft.piece.ruler import run_at_y
from outseam.draft.sewing.tools.job import Job
from outseam.draft.sewing.tools.settings import inside_mm
from outseam.draft.step import Step, given, mm

#: Openings that the draft chooses are so long at least, and whole steps of this, in which zips are
#: sold (common practice, no source).
LEAST_MM: Final = 100.0
STEP_MM: Final = 20.0
#: The opening ends this far below the next notch of the seam.
CLEAR_MM: Final = 45.0
#: Slits are stitched so far beyond their end, mm.
_BEYOND_MM: Final = 20.0


def needed_mm(make: Make) -> float:
    """Return how far up the outseam, from the hem, the leg is too narrow for the foot, mm."""
    block = make.block
    outseam = block.front.outseam
    low = max(p.outseam.end[1] for p in (block.front, block.back))
    ys = np.arange(low + 1.0, -CLEAR_MM, 2.0)
    narrow = np.flatnonzero(leg_widths(block, ys) < foot_hem_mm(make.measures.foot, block.ease))
    if not len(narrow):
        return 0.0
    return length(outseam) - run_at_y(outseam, float(ys[narrow[-1]] + 2.0))


def _room_mm(make: Make) -> float:
    """Return how long the opening may be: up to below the knee, or the hip where that is next."""
    leg = make.piece("front")
    outseam = length(leg.edge("outseam").path)
    next_up = [n.at_mm for n in leg.notches if n.edge == "outseam" and n.role in ("hip", "knee")]
    return outseam - max(next_up, default=0.0) - CLEAR_MM


def opening_mm(make: Make, value: str) -> float:
    """Return the length of the opening. Raises InputError where the leg has no room for it."""
    asked, room = make.spec.style.ankle_opening, _room_mm(make)
    found = asked
    if found is None:
        found = max(LEAST_MM, STEP_MM * math.ceil(needed_mm(make) / STEP_MM - 1e-6))
    if found > room:
        raise InputError(
            "style.ankle" if asked is None else "style.ankle_opening",
            words("a {what} {long} long at the ankle", what=value, long=measure(found)),
            words("{most} or less on this leg", most=most_allowed(max(room, 0.0))),
            'ankle = "closed" lets the hem itself pass the foot',
        )
    return found


def _shortened(seam: Seam, by_mm: float) -> Seam:
    """Return the lowest seam of the outseams begun above the opening."""
    if seam.line != "outseam" or seam.between is None or seam.between[0] != "hem":
        return seam

    def cut(s: Stretch) -> Stretch:
        return replace(s, to_mm=s.to_mm - by_mm, to_end=False)

    low, high = "ankle opening", seam.between[1]
    name = seam.name.replace("outseam, hem", f"outseam, {low}")
    return replace(seam, name=name, between=(low, high), a=cut(seam.a), b=cut(seam.b))


def _apply(make: Make, value: str) -> Make:
    """Notch both outseams where they open, and begin their seam there."""
    open_mm = opening_mm(make, value)
    for name in ("front", "back"):
        leg = make.piece(name)
        at = length(leg.edge("outseam").path) - open_mm
        mark = Notch(edge="outseam", at_mm=at, role="ankle opening", named=True)
        make = make.with_piece(replace(leg, notches=(*leg.notches, mark)))
    return replace(make, seams=tuple(_shortened(s, open_mm) for s in make.seams))


def _zips(pattern: Pattern) -> Iterator[Zips]:
    for leg in Job(pattern=pattern).parts("front"):
        of = "the ankles" if leg.copies > 1 else f"the {leg.side} ankle"
        yield Zips(why=f"for {of}", length_mm=open_from_hem_mm(leg), count=leg.copies)


def _slit_steps(pattern: Pattern) -> tuple[Step, ...]:
    job = Job(pattern=pattern)
    return (
        Step(
            key="ankle",
            title="Slits at the ankle",
            text=(
                "The outseam is open from the notch “ankle opening” down to the hem: {long} above "
                "the fold. Press its allowance to the wrong side on both edges, on the seam line, "
                "and {beyond} beyond the notch.",
                "Stitch both edges down {inside} from the fold, up one, straight across the seam "
                "at the notch and down the other; at the notch sew a few stitches back and forth: "
                "there it tears first.",
                "The hem is turned up over the ends of these edges later, their folds even.",
            ),
            figures=(
                mm("long", open_from_hem_mm(job.parts("front")[0])),
                given("beyond", _BEYOND_MM),
                given("inside", inside_mm(job.style.seam_allowance, job.units)),
            ),
            drawing="ankle-slit",
        ),
    )


def _zip_steps(pattern: Pattern) -> tuple[Step, ...]:
    job = Job(pattern=pattern)
    return (
        Step(
            key="ankle",
            title="Zips at the ankle",
            text=(
                "The outseam is open from the notch “ankle opening” down to the hem: {long} above "
                "the fold. Press its allowance to the wrong side on both edges, on the seam line."
                + (" Do not stretch them: iron a strip of interfacing on first." * job.knit),
                "Lay the zip under the opening, its stop at the notch and its slider at the "
                "hem when closed; both folds meet over the teeth. Baste.",
                "Stitch it in from the right side with the zip foot, {inside} from the folds, "
                "straight across above the stop.",
                "Fold the free ends of the tape under at the hem's fold: the hem is turned up over "
                "them and must not catch the slider.",
            ),
            figures=(
                mm("long", open_from_hem_mm(job.parts("front")[0])),
                given("inside", inside_mm(job.style.seam_allowance, job.units)),
            ),
            drawing="ankle-zip",
        ),
    )


SLIT = Feature(
    key="ankle",
    value="slit",
    says="slits at the ankle",
    apply=lambda make: _apply(make, "slit"),
    sizes=("ankle_opening",),
    steps=_slit_steps,
)
ZIP = Feature(
    key="ankle",
    value="zip",
    says="zips at the ankle",
    apply=lambda make: _apply(make, "zip"),
    sizes=("ankle_opening",),
    steps=_zip_steps,
    zips=_zips,
)
