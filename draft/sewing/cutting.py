"""Cutting out: one layer or two, which way the pieces lie, how often each is cut.

All of it is common practice, no source.

Slippery knit is cut in a single layer: cut once, turn the piece face down, cut again.
"""

from __future__ import annotations

from outseam.draft.alter import alteration_words
from outseam.draft.border.levels import above_hem_mm
from outseam.draft.border.places import wants_border_band
from outseam.draft.border.printed import border_of
from outseam.draft.inputs.text import listing
from outseam.draft.lay.ways.border_words import border_lay, stands_says
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece
from outseam.draft.sewing.tools.job import Job
from outseam.draft.step import Figure, Step, given, phrase, share

CAUTION = (
    "Rotary cutters and shears injure: cut away from your hand, close the cutter each time you put "
    "it down."
)

_TIMES = {1: "once", 2: "twice"}


def band_in_border(job: Job) -> bool:
    """Return whether the waistband is cut from the border."""
    border = border_of(job.fabric)
    return (
        border is not None
        and bool(job.pattern.band.pieces)
        and wants_border_band(job.style, border)
    )


def _named(piece: Piece, pattern: Pattern) -> str:
    """Return what a piece is called in a list: `left front leg`."""
    whole = piece if pattern.legs is None else pattern.legs[0].piece(piece.part)
    title = whole.title
    return f"{piece.side} {title[:1].lower()}{title[1:]}".strip()


def cut_list(job: Job) -> str:
    """Return how often each piece is cut, as words: pairs, single pieces, lining."""
    groups: dict[str, list[Piece]] = {}
    for p in job.pattern.pieces:
        if p.mirrored:
            pairs = p.copies // 2
            how = "in a mirrored pair" if pairs == 1 else f"in {pairs} mirrored pairs"
        else:
            how = _TIMES.get(p.copies, f"{p.copies} times")
            if p.side:
                how += ", printed side down" if p.turned_over else ", printed side up"
        groups.setdefault(how + (" from lining" if p.lining else ""), []).append(p)
    return "; ".join(
        f"{how}: {', '.join(_named(p, job.pattern) for p in pieces)}"
        for how, pieces in groups.items()
    )


_SLIPS = (
    "This fabric is slippery, and in a fold the lower layer slides off the grain: one layer is "
    "safer. Then cut each piece, turn it face down, and cut again."
)


def _layer_words(job: Job) -> tuple[str, ...]:
    """Return how the fabric lies and how pairs are cut."""
    fabric = job.fabric
    pairs = any(p.mirrored for p in job.pattern.pieces)
    if fabric.fold == "narrow" and not fabric.turned:
        found = [
            "Turn one selvedge in, right sides together, only as far as the lay says. Each cut in "
            "the double part gives two pieces, one the mirror image of the other, or one whole "
            "piece whose middle lies on the fold; the rest is cut from the single part beside it, "
            "pairs once printed side up and once printed side down.",
        ]
        return (*found, *((_SLIPS,) if fabric.slippery else ()))
    if fabric.fold == "folded" and not fabric.turned:
        found = [
            "Fold the fabric lengthwise, right sides together, selvedge on selvedge. Each cut "
            "gives two pieces, one the mirror image of the other. What is cut once lies with its "
            "middle on the fold, or on one layer that you open out.",
        ]
        return (*found, *((_SLIPS,) if fabric.slippery else ()))
    found = ["Spread the fabric in a single layer, right side up; let nothing hang off the table."]
    if pairs:
        found.append(
            "Cut each piece once with its printed side up. For the other one of a pair turn the "
            "paper face down, keep the grain line along the selvedge, and cut again."
            if not fabric.turned
            else "Cut each piece once with its printed side up. For the other one of a pair turn "
            "the paper face down, hem along the border again, and cut."
        )
    if fabric.slippery:
        found.append("Hold it with weights instead of pins and cut with a rotary cutter on a mat.")
    return tuple(found)


def figure_says(job: Job) -> tuple[str, ...]:
    """Return where a figure of the border lies and how left and right look, in sentences."""
    if job.style.figure_at != "centre":
        return ()
    band = " and at the centre front of the waistband" if band_in_border(job) else ""
    sides = (
        "The figures are their own mirror images, so left and right leg are too."
        if job.fabric.border_mirrors
        else "The figures all face one way, so left and right show the same, not mirrored."
    )
    return (
        f"The middle of a figure lies on the crease line of both fronts{band}: lay the first leg "
        f"so, the others by their distances from it. {sides}",
    )


def _direction_words(job: Job) -> tuple[tuple[str, ...], tuple[Figure, ...]]:
    """Return which way the pieces lie, with the figures of it."""
    fabric, style = job.fabric, job.style
    found: list[str] = []
    figures: list[Figure] = []
    if fabric.turned:
        above = above_hem_mm(job.pattern.spec, job.pattern.pieces)
        figures.append(given("above", abs(above)))
        where = (
            "the border's edge {above} above the finished hem"
            if above > 0.0
            else "the border's edge on the finished hem"
            if above == 0.0
            else "{above} of the border below the fold, to be turned up with the hem"
        )
        found.append(f"The legs lie a quarter turned, the hem along the border, {where}.")
        if band_in_border(job):
            found.append(
                "The waistband comes from the border too, the middle of the figure in the middle "
                "of the half that will show."
            )
        if above == 0.0:
            figures.clear()
        found.append(
            "So the stretch along the selvedge goes round the body: {round}, which the pieces are "
            "drafted for."
        )
        figures.append(share("round", fabric.stretch_round_ratio))
        lay = border_lay(job.pattern)
        if lay is not None:
            found += stands_says(lay)
        found += figure_says(job)
    elif job.pattern.block.ease.stretches:
        found.append("The greatest stretch goes round the body.")
    if fabric.one_way:
        found.append(
            "Print or nap runs one way: lay the top of every piece toward the same cut end."
            if not fabric.turned
            else "Print or nap runs one way: turn no piece but as the border asks."
        )
    if not fabric.turned and (fabric.repeat_along or fabric.repeat_across):
        found.append(
            f"Stripes meet at the outseam at the {style.match_at}: lay front and back with the "
            "same stripe at that level, and left and right alike."
        )
    return tuple(found), tuple(figures)


def steps(job: Job) -> tuple[Step, ...]:
    """Return the step of cutting out."""
    ways, figures = _direction_words(job)
    more: list[str] = []
    more_figures: list[Figure] = []
    if job.sided:
        more.append(
            "Left and right pieces differ, so each is cut by itself; printed side down means that "
            "the paper lies face down. Chalk L or R, the wearer's side, on the wrong side of each "
            "piece as soon as it is cut."
        )
    altered = alteration_words(job.pattern.spec.alter, job.pattern.spec.units)
    if altered:
        more.append("The legs carry your alterations already ({altered}): add nothing.")
        more_figures.append(phrase("altered", listing(altered, "and")))
    folded = job.fabric.fold in ("folded", "narrow") and not job.fabric.turned
    return (
        Step(
            key="cut",
            title="Cut out",
            text=(
                *_layer_words(job),
                *ways,
                "Cut {list}.",
                "Seams of {seam} and a hem of {hem} are on the pieces: add nothing, cut on the "
                "heavy line.",
                *more,
            ),
            figures=(
                phrase("list", cut_list(job)),
                job.seam,
                given("hem", job.style.hem_allowance),
                *figures,
                *more_figures,
            ),
            drawing="cut-border" if job.fabric.turned else "cut-folded" if folded else "cut-single",
            caution=CAUTION,
        ),
    )
