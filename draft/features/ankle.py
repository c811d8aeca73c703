"""A slit or a zip in the outseam at the ankle, so that a leg may be narrower than the foot.

Common practice, no source: the outseam stays open from the hem up to where the leg, stretched,
lets heel and instep through. A strip folded lengthwise lies behind it, sewn to the back's edge: a
slit does not gape, and a zip does not scratch. Where it is stitched is drawn on both legs.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import numpy as np

from outseam.curves.evaluate import point_at
from outseam.curves.length import length, param_at_length
from outseam.curves.offset import offset
from outseam.curves.path import join, line
from outseam.curves.split import subpath
from outseam.draft.bands.tube import rectangle
from outseam.draft.block.profile import leg_widths
from outseam.draft.checks.foot import open_from_hem_mm
from outseam.draft.fabric import EITHER_GRAIN
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.usual import UNDERLAP, Usual
from outseam.draft.inputs.words import measure, most_allowed, words
from outseam.draft.legs.leg import foot_hem_mm
from outseam.draft.model import Feature, Make, Pattern, Zips
from outseam.draft.piece.allowance import cut_edges
from outseam.draft.piece.piece import Line, Notch, Piece, Seam, Stretch
from outseam.draft.piece.ruler import ruler_length, run_at_y
from outseam.draft.sewing.tools.job import Job, names
from outseam.draft.sewing.tools.settings import by_zigzag, inside_mm
from outseam.draft.step import Figure, Step, given, mm

#: Openings that the draft chooses are so long at least, and whole steps of this, in which zips are
#: sold (common practice, no source).
LEAST: Final = Usual(100.0, 4)
STEP: Final = Usual(20.0, 1)
#: The opening ends this far below the next notch of the seam.
CLEAR_MM: Final = 45.0
#: Slits are stitched so far beyond their end.
_BEYOND: Final = Usual(20.0, 3 / 4)


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
        units = make.spec.units
        step = STEP.mm(units)
        found = max(LEAST.mm(units), step * math.ceil(needed_mm(make) / step - 1e-6))
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


def _stitching(make: Make, leg: Piece, at_mm: float) -> Line:
    """Return the line a leg is stitched along: from the seam at the notch, then down to the hem."""
    seam = leg.edge("outseam").path
    u = param_at_length(seam, at_mm)
    inside = inside_mm(make.spec.style.seam_allowance, make.spec.units)
    down = offset(subpath(seam, u, float(len(seam.cubics))), -inside)
    return Line(
        kind="topstitch",
        path=join([line(point_at(seam, u), down.start), down]),
        label="stitch here",
        role="ankle stitching",
    )


def underlap(make: Make, open_mm: float) -> Piece:
    """Return the strip behind the opening, flat and upright, its fold in the middle."""
    wide = UNDERLAP.mm(make.spec.units)
    names = ("strip_end", "long_right", "strip_top", "long_left")
    edges = rectangle(2.0 * wide, open_mm, make.spec.style.seam_allowance, names)
    fold = line((wide, 0.0), (wide, open_mm))
    grain = line((0.5 * wide, 0.2 * open_mm), (0.5 * wide, 0.8 * open_mm))
    return Piece(
        name="ankle_underlap",
        title="Ankle underlap",
        copies=2,
        any_grain=True,
        edges=edges,
        cut=cut_edges(edges),
        lines=(
            Line(kind="fold", path=fold, label="fold"),
            Line(kind="grain", path=grain, label=EITHER_GRAIN),
        ),
        notes=("to the back edge of the opening",),
        label_at=(0.45 * wide, 0.3 * open_mm),
        label_turn_deg=90.0,
        label_width_mm=0.9 * open_mm,
    )


def _apply(make: Make, value: str) -> Make:
    """Notch both outseams where they open, begin their seam there, and add the underlap."""
    open_mm = opening_mm(make, value)
    for name in ("front", "back"):
        leg = make.piece(name)
        at = length(leg.edge("outseam").path) - open_mm
        mark = Notch(edge="outseam", at_mm=at, role="ankle opening", named=True)
        lines = (*leg.lines, _stitching(make, leg, at))
        make = make.with_piece(replace(leg, notches=(*leg.notches, mark), lines=lines))
    make = replace(make, seams=tuple(_shortened(s, open_mm) for s in make.seams))
    strip = [
        Stretch(piece="ankle_underlap", edge=edge, from_mm=0.0, to_mm=open_mm, to_end=True)
        for edge in ("long_left", "long_right")
    ]
    back = Stretch(piece="back", edge="outseam", from_mm=at, to_mm=at + open_mm, to_end=True)
    seams = [
        Seam(name="underlap to back", a=strip[0], b=back),
        Seam(name="underlap, long edges", a=strip[0], b=strip[1]),
    ]
    return make.adding(pieces=(underlap(make, open_mm),), seams=seams)


def _zips(pattern: Pattern) -> Iterator[Zips]:
    for leg in Job(pattern=pattern).parts("front"):
        of = "the ankles" if leg.copies > 1 else f"the {leg.side} ankle"
        yield Zips(why=f"for {of}", length_mm=open_from_hem_mm(leg), count=leg.copies)


def _step(
    pattern: Pattern, title: str, drawing: str, text: tuple[str, ...], *figures: Figure
) -> Step:
    """Return the step of an opening: its underlap made first, then what is peculiar to it."""
    job = Job(pattern=pattern)
    (strip,) = {p.part: p for p in job.parts("ankle_underlap")}.values()
    wide = ruler_length(strip.edge("strip_end").path) / 2.0
    return Step(
        key="ankle",
        title=title,
        text=(
            "Fold each ankle underlap lengthwise, right sides together. Sew its lower end, {seam} "
            f"from the edge{by_zigzag(job)}; turn it and press: {{wide}} wide. Neaten its raw "
            "edges as one.",
            "The outseam is open from the notch “ankle opening” down to the hem: {long} above the "
            "fold. Lay the underlap on the back's edge of the opening, right sides together, its "
            "closed end on the hem's fold and its raw edges on the leg's. Sew it on, {seam} from "
            "the edge, from that fold to the notch, and press it forward, under the front, the "
            "allowance to the back.",
            *text,
        ),
        figures=(
            job.seam,
            mm("wide", wide),
            mm("long", open_from_hem_mm(job.parts("front")[0])),
            given("inside", inside_mm(job.style.seam_allowance, job.units)),
            *figures,
        ),
        drawing=drawing,
        seams=names(job.seams(lambda a, _: a[0] == "ankle_underlap")),
        edges=job.unsewn("strip_end", "strip_top"),
    )


def _slit_steps(pattern: Pattern) -> tuple[Step, ...]:
    text = (
        "Press the allowance of the front's edge to the wrong side on the seam line, and {beyond} "
        "beyond the notch.",
        "Stitch both edges down along the lines drawn on the legs, {inside} from the seam: up one, "
        "straight across the seam at the notch, through the underlap too, and down the other; at "
        "the notch sew a few stitches back and forth: there it tears first. Down the front the "
        "underlap stays free.",
        "The hem is turned up over the ends of these edges later, their folds even with the "
        "underlap's end.",
    )
    beyond = given("beyond", _BEYOND.mm(pattern.spec.units))
    return (_step(pattern, "Slits at the ankle", "ankle-slit", text, beyond),)


def _zip_steps(pattern: Pattern) -> tuple[Step, ...]:
    knit = " Do not stretch it: iron a strip of interfacing on first."
    text = (
        "Press the allowance of the front's edge to the wrong side on the seam line."
        + knit * (pattern.spec.fabric.kind == "knit"),
        "Lay the zip under the opening and over the underlap, its stop at the notch and its slider "
        "at the hem when closed; both folds meet over the teeth. Baste.",
        "Stitch it in from the right side with the zip foot along the lines drawn on the legs, "
        "{inside} from the seam, straight across above the stop; the underlap is caught with the "
        "back's side and at the notch only.",
        "Fold the free ends of the tape under at the hem's fold: the hem is turned up over them "
        "and must not catch the slider.",
    )
    return (_step(pattern, "Zips at the ankle", "ankle-zip", text),)


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
