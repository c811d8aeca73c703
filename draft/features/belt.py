"""A belt in two halves, caught in the waistband's side seams and tied at the centre front.

Common practice, no source: a wide belt is as wide as the finished band, a narrow one half of it;
nothing of it is at the back, so nothing is bulky there. Each half is a tube folded lengthwise,
from the side seam to the centre front and on as a tie.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from outseam.curves.path import line
from outseam.curves.region import bounds
from outseam.draft.bands.tube import rectangle
from outseam.draft.checks.belt import WIDTH_OF_BAND
from outseam.draft.fabric import EITHER_GRAIN, LIGHT_G
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.words import least_allowed, measure, words
from outseam.draft.model import Feature, Make, Pattern, Strip
from outseam.draft.piece.piece import Line, Notch, Piece, Seam, Stretch
from outseam.draft.piece.ruler import across_mm, ruler_length
from outseam.draft.sewing.tools.job import Job, names
from outseam.draft.sewing.tools.settings import by_zigzag
from outseam.draft.step import Step, mm

#: A tube narrower than this cannot be turned right side out (common practice, no source).
LEAST_WIDTH_MM: Final = 10.0

#: Free tie of each half for a bow: two loops and ends, and a knot that takes more the wider the
#: belt (common practice, no source).
TIE_MM: Final = 450.0
TIE_OF_WIDTH: Final = 2.0

#: Across the belt, the first two lines of the title block take this much.
_HEAD_MM: Final = 21.0


def tie_mm(make: Make, width_mm: float) -> float:
    """Return how far a half goes on beyond the centre front, mm."""
    given = make.spec.style.belt_tie
    return TIE_MM + TIE_OF_WIDTH * width_mm if given is None else given


def _refuse(make: Make, value: str, width_mm: float) -> None:
    """Raise InputError where no side seam can catch the belt, or it could not be turned."""
    band = make.block.band
    if not band.side_seams:
        raise InputError(
            "style.belt",
            f'"{value}" with band = "{band.name}", which has no side seams to catch a belt in',
            'a band that is sewn on, such as "folded" or "casing"',
            'choose another band, or belt = "none"',
        )
    if width_mm < LEAST_WIDTH_MM:
        height = LEAST_WIDTH_MM / WIDTH_OF_BAND[value]
        raise InputError(
            "style.belt",
            words(
                '"{belt}" on a waistband {height} high: a tube that narrow cannot be turned',
                belt=value,
                height=measure(make.block.band_height_mm),
            ),
            words("a waistband {height} high or more", height=least_allowed(height)),
            "choose a wider elastic" + (' or belt = "wide"' if value == "narrow" else ""),
        )


def belt_piece(width_mm: float, length_mm: float, seam_mm: float) -> Piece:
    """Return one half, flat and upright: its side-seam end below, the long fold in the middle.

    The grain runs along it, so that a tie does not stretch.
    """
    names = ("side", "long_right", "end", "long_left")
    edges = rectangle(2.0 * width_mm, length_mm, seam_mm, names)
    words_y = 0.45 * length_mm
    grain_x = 0.5 * width_mm
    return Piece(
        name="belt",
        title="Belt",
        copies=2,
        any_grain=True,
        edges=edges,
        lines=(
            Line(kind="fold", path=line((width_mm, 0.0), (width_mm, length_mm)), label="fold"),
            Line(
                kind="grain",
                path=line((grain_x, 0.12 * length_mm), (grain_x, 0.38 * length_mm)),
                label=EITHER_GRAIN,
            ),
        ),
        notes=("lower end in side seam", "fold lengthwise, turn"),
        # The words run along the belt, the first two lines left of the fold, the rest right of it.
        label_at=(width_mm - _HEAD_MM, words_y),
        rest_at=(width_mm - 1.2, words_y),
        label_turn_deg=90.0,
        label_width_mm=min(0.25 * length_mm, 200.0),
    )


def _caught_mm(width_mm: float, height_mm: float) -> tuple[float, float]:
    """Return where on the outer half of the band's side the belt is caught, from its lower edge."""
    low = (height_mm - width_mm) / 2.0
    return low, low + width_mm


def _apply(make: Make, value: str) -> Make:
    """Add the belt's half, its seams, and notches where the band's sides take it."""
    height = make.block.band_height_mm
    width = WIDTH_OF_BAND[value] * height
    _refuse(make, value, width)
    half_front = ruler_length(make.piece("front_band").edge("lower").path) / 2.0
    tall = half_front + tie_mm(make, width)
    belt = belt_piece(width, tall, make.spec.style.seam_allowance)
    low, high = _caught_mm(width, height)
    # The right side runs up from the lower edge, the left side down to it.
    places = {"right": (low, high), "left": (2.0 * height - high, 2.0 * height - low)}
    for name in ("front_band", "back_band"):
        band = make.piece(name)
        marks = tuple(
            Notch(edge=side, at_mm=at, role="belt", named=True)
            for side, ends in places.items()
            for at in ends
            if 0.1 < at < 2.0 * height - 0.1
        )
        make = make.with_piece(replace(band, notches=(*band.notches, *marks)))
    end, *long = (
        Stretch(piece="belt", edge=edge, from_mm=0.0, to_mm=mm, to_end=True)
        for edge, mm in (("side", 2.0 * width), ("long_right", tall), ("long_left", tall))
    )
    seams = [
        Seam(
            name=f"belt, {side}",
            line="belt",
            said=f"belt in the {side} side",
            a=end,
            b=Stretch(piece="front_band", edge=side, from_mm=ends[0], to_mm=ends[1], times=2),
        )
        for side, ends in places.items()
    ]
    said = "belt along its length"
    seams.append(Seam(name="belt, lengthwise", line="belt", said=said, a=long[0], b=long[1]))
    return make.adding(pieces=(belt,), seams=seams)


def _stiffened(pattern: Pattern) -> Iterator[Strip]:
    """Yield its halves, where the fabric is limp or may be."""
    weight = pattern.spec.fabric.weight
    if weight is not None and weight >= LIGHT_G:
        return
    why = "the belt, because the fabric is light"
    if weight is None:
        why = "the belt, if the fabric is light (its weight is not given)"
    for piece in pattern.pieces:
        if piece.part == "belt":
            along = ruler_length(piece.edge("long_left").path)
            yield Strip(why=why, across_mm=across_mm(piece), along_mm=along, count=piece.copies)


def _steps(pattern: Pattern) -> tuple[Step, ...]:
    """Return how it is made and basted to the front band (common practice, no source)."""
    job = Job(pattern=pattern)
    _, y0, _, y1 = bounds(job.parts("belt")[0].edge("long_right").path)
    width = bounds(job.parts("belt")[0].edge("side").path)[2] / 2.0
    notches = job.notches(("left", "belt"), ("right", "belt"))
    narrow = width < job.pattern.block.band_height_mm - 0.2
    where = "between the two notches" if narrow else "from the lower edge's seam line to the fold"
    return (
        Step(
            key="belt",
            title="Belt",
            text=(
                "Fold each half lengthwise, right sides together. Sew the long side and one end, "
                f"{{seam}} from the edge{by_zigzag(job)}; the other end stays open. Trim the "
                "corner, turn the tube and press: {width} wide, {long} long.",
                "Lay a half on the right side of the front waistband at either side, its open end "
                f"on the band's edge, on the lower half of the flat band: {where}. Baste.",
                "Pin the free ends to the middle of the band, out of the way of the next seams.",
            ),
            figures=(job.seam, mm("width", width), mm("long", y1 - y0)),
            drawing="belt",
            seams=names(job.seams(lambda a, _: a[0] == "belt")),
            edges=job.unsewn("end"),
            notches=notches,
        ),
    )


def _feature(value: str) -> Feature:
    return Feature(
        key="belt",
        value=value,
        says=f"a {value} belt",
        apply=lambda make: _apply(make, value),
        sizes=("belt_tie",),
        claims=lambda _: (("front_band", "left"), ("front_band", "right")),
        steps=_steps,
        stiffened=_stiffened,
    )


WIDE, NARROW = _feature("wide"), _feature("narrow")
