"""The whole story: body, fabric and style in; a drafted, checked pattern out.

Where an alteration is meant for one side, each leg is drafted as if both were like it, on a band
for both, and the two are put together (`outseam.draft.sided`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from outseam.curves.length import length
from outseam.draft.alter import SIDES, alteration_words, change_of, for_side, is_sided
from outseam.draft.bands import BandContext, BandPlan
from outseam.draft.bands.altered import altered_band
from outseam.draft.block.block import Block, asking_block
from outseam.draft.block.level_hem import level_hem
from outseam.draft.block.solve import Asking, answered, answered_together
from outseam.draft.body.estimate import Measures, complete
from outseam.draft.body.girths import girth_at
from outseam.draft.body.tape_check import sentence, suspects
from outseam.draft.border.marks import with_border
from outseam.draft.border.printed import border_of, require_said
from outseam.draft.border.room import require_places
from outseam.draft.checks import run_checks
from outseam.draft.features import apply_features, wanted
from outseam.draft.inputs.errors import UnsolvableError, raised_in
from outseam.draft.inputs.text import capital
from outseam.draft.leg_pieces import leg_pieces, leg_seams
from outseam.draft.model import Make, Pattern, band_level_mm
from outseam.draft.piece.allowance import cut_pieces
from outseam.draft.piece.piece import Piece, Seam
from outseam.draft.sided import put_together
from outseam.draft.spec.spec import Spec


def _onto(seam: Seam, edges: dict[str, float]) -> Seam:
    """Return a seam of the band with the edge of the leg as long as this leg has it."""
    a = seam.a
    if a.edge != "waist" or a.piece not in edges:
        return seam
    a = replace(a, to_mm=edges[a.piece])
    return replace(seam, a=a, ease_mm=a.length_mm - seam.b.length_mm)


def build_band(spec: Spec, m: Measures, block: Block, other: Block | None = None) -> BandPlan:
    """Draft the waistband that the style asks for onto a block; `other` is that of the other leg.

    Its halves are as long as the mean of both legs lets them be, so centres and sides meet.
    """
    style = spec.style
    blocks = (block, other or block)
    front, back = (
        sum(length(getattr(b, side).waist) for b in blocks) / 2.0 for side in ("front", "back")
    )
    lies = spec.fabric.lies("band", stretches=block.ease.stretches)
    if spec.fabric.turned:
        lies = f"{lies}; {spec.fabric.round_note}"
    context = BandContext(
        front_edge_mm=front,
        back_edge_mm=back,
        body_girth_mm=girth_at(m, band_level_mm(m, block)),
        hip_mm=m.hip,
        height_mm=block.band_height_mm,
        elastic_ratio=style.elastic_ratio,
        seam_mm=style.seam_allowance,
        ease=block.ease,
        firm_recovery=spec.fabric.recovery == "firm",
        lies=lies,
        grain_says=spec.fabric.grain_says,
    )
    plan = altered_band(block.band, context, change_of(spec.alter).band)
    if other is None:
        return plan
    edges = {side: length(getattr(block, side).waist) for side in ("front", "back")}
    return replace(plan, seams=tuple(_onto(s, edges) for s in plan.seams))


def assemble(spec: Spec, m: Measures, block: Block, other: Block | None = None) -> Pattern:
    """Return the checked pattern on a block that is already built: band, pieces, features.

    `other` is the block of the other leg, where the legs differ.
    """
    band = build_band(spec, m, block, other)
    altered = [f"altered: {said}" for said in alteration_words(spec.alter, spec.units)]
    legs: tuple[Piece, ...] = tuple(
        replace(leg, notes=(*leg.notes, *altered))
        for leg in leg_pieces(block, m, spec.style, spec.fabric)
    )
    border = border_of(spec.fabric)
    if border is not None:
        legs = with_border(spec, cut_pieces(legs), border)
    make = apply_features(
        Make(
            spec=spec,
            measures=m,
            block=block,
            band=band,
            pieces=(*legs, *band.pieces),
            seams=(*leg_seams(block, m), *band.seams),
        )
    )
    pattern = Pattern(
        spec=spec,
        measures=m,
        block=block,
        band=band,
        pieces=cut_pieces(make.pieces),
        seams=make.seams,
        features=wanted(spec.style),
        other_block=other,
    )
    return replace(pattern, findings=run_checks(pattern))


def draft_measures(spec: Spec, m: Measures) -> Pattern:
    """Draft and check a pattern for measures that are already complete.

    Raises InputError and UnsolvableError; a pattern that fails a check is returned with the
    finding, so that the caller can say so. Only the writer refuses it. What a lay would refuse
    about a border is refused here, before anything is printed.
    """
    return answered(_of_measures(spec, m))


def draft_pattern(spec: Spec) -> Pattern:
    """Draft and check the pattern of a spec. Raises InputError and UnsolvableError.

    Where no draft has the measurements, the one that does not go with the others is named first.
    """
    return answered(_of_spec(spec))


def draft_patterns(specs: Sequence[Spec]) -> list[Pattern | Exception]:
    """Draft and check many patterns; for each what `draft_pattern` would return, or raise.

    What their blocks ask of the solver is solved together, which takes far less time.
    """
    return answered_together([_of_spec(spec) for spec in specs])


def _of_spec(spec: Spec) -> Asking[Pattern]:
    try:
        return (yield from _of_measures(spec, complete(spec.body, spec.units)))
    except UnsolvableError as e:
        found = suspects(spec.body, spec.units)
        if not found:
            raise
        told = sentence(found[0], spec.units)
        raise UnsolvableError(
            e.step,
            e.residual_mm,
            found[0].key,
            f"{capital(told)}. {e.hint}",
            spec.units,
        ) from None


def _of_measures(spec: Spec, m: Measures) -> Asking[Pattern]:
    with raised_in(spec.units):
        border = require_said(spec.fabric, spec.style)
        if is_sided(spec.alter):
            pattern = yield from _of_sides(spec, m)
        else:
            block, m = yield from _drawn(spec, m)
            pattern = assemble(spec, m, block)
        if border is not None:
            bands = frozenset(p.name for p in pattern.band.pieces)
            require_places(spec, pattern.pieces, bands, border)
        return pattern


def _drawn(spec: Spec, m: Measures, leg: str = "") -> Asking[tuple[Block, Measures]]:
    """Return the block of a leg with its alterations, and the measures that it says the body has.

    Without a `leg` it is that of both.
    """
    change = change_of(spec.alter, leg)
    block = yield from asking_block(m, spec.fabric, spec.style, change, units=spec.units)
    if spec.style.hem_line == "straight":
        square = block.front, block.back
        front, back = level_hem(*square)
        block = replace(block, front=front, back=back, square_hem=square)
    if change.above_knee:
        # Length put in above the knee says that the knee lies lower than measured.
        m = replace(m, knee_height=m.knee_height - change.above_knee)
    return block, m


def _of_sides(spec: Spec, m: Measures) -> Asking[Pattern]:
    """Draft each leg with what it gets, and put them together."""
    specs = [replace(spec, alter=for_side(spec.alter, side)) for side in SIDES]
    left, left_m = yield from _drawn(spec, m, SIDES[0])
    right, right_m = yield from _drawn(spec, m, SIDES[1])
    return put_together(
        spec,
        assemble(specs[0], left_m, left, right),
        assemble(specs[1], right_m, right, left),
    )
