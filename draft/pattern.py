"""The whole story: body, fabric and style in; a drafted, checked pattern out."""

from __future__ import annotations

from dataclasses import dataclass, replace

from curves.length import length
from draft.alter import change_of, total_mm
from draft.bands import BandContext, BandPlan
from draft.bands.altered import altered_band
from draft.block.block import Block, build_block
from draft.body import Measures, complete
from draft.features import apply_features
from draft.features.feature import Make
from draft.leg_pieces import leg_piece, leg_seams
from draft.levels import girth_at
from draft.piece import Finding, Piece, Seam
from draft.spec import Spec
from draft.units import show_length


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """A drafted pattern and the verdict on it.

    Pieces are as sewn, in fabric that no longer shrinks; `shrinkage.grown` gives them as cut.
    """

    spec: Spec
    measures: Measures
    block: Block
    band: BandPlan
    pieces: tuple[Piece, ...]
    seams: tuple[Seam, ...]
    findings: tuple[Finding, ...] = ()

    def piece(self, name: str) -> Piece:
        """Return the piece of that name; raises KeyError."""
        for p in self.pieces:
            if p.name == name:
                return p
        raise KeyError(name)

    @property
    def errors(self) -> tuple[Finding, ...]:
        """Findings that forbid writing the pattern."""
        return tuple(f for f in self.findings if f.level == "error")

    @property
    def warnings(self) -> tuple[Finding, ...]:
        """Findings that a person should read before cutting."""
        return tuple(f for f in self.findings if f.level == "warning")


def band_level_mm(m: Measures, block: Block) -> float:
    """Return the height above the floor of the middle of the finished band."""
    depth = block.band_height_mm or block.turn_mm
    return m.waist_height + block.rise.side_mm - depth / 2.0


def build_band(spec: Spec, m: Measures, block: Block) -> BandPlan:
    """Draft the waistband that the style asks for onto a block."""
    style = spec.style
    context = BandContext(
        front_edge_mm=length(block.front.waist),
        back_edge_mm=length(block.back.waist),
        body_girth_mm=girth_at(m, band_level_mm(m, block)),
        hip_mm=m.hip,
        height_mm=block.band_height_mm,
        elastic_width_mm=style.elastic_width,
        elastic_ratio=style.elastic_ratio,
        seam_mm=style.seam_allowance,
        ease=block.ease,
        firm_recovery=spec.fabric.recovery == "firm",
    )
    return altered_band(block.band, context, change_of(spec.alter).band)


def altered_notes(spec: Spec) -> tuple[str, ...]:
    """Return what is printed on the legs about alterations, one line for each."""
    totals = {a.what: total_mm(spec.alter, a.what) for a in spec.alter}
    return tuple(
        f"altered: {what} {show_length(mm, spec.units)}" for what, mm in totals.items() if mm
    )


def _with_notes(piece: Piece, notes: tuple[str, ...]) -> Piece:
    return replace(piece, notes=(*piece.notes, *notes)) if notes else piece


def assemble(spec: Spec, m: Measures, block: Block) -> Pattern:
    """Return the checked pattern on a block that is already built: band, pieces, features."""
    from draft.checks import run_checks

    band = build_band(spec, m, block)
    legs = tuple(
        _with_notes(leg_piece(block, m, spec.style, back=back), altered_notes(spec))
        for back in (False, True)
    )
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
        pieces=make.pieces,
        seams=make.seams,
    )
    return replace(pattern, findings=(*run_checks(pattern), *make.findings))


def draft_measures(spec: Spec, m: Measures) -> Pattern:
    """Draft and check a pattern for measures that are already complete.

    Raises InputError and UnsolvableError; a pattern that fails a check is returned with the
    finding, so that the caller can say so. Only the writer refuses it.
    """
    change = change_of(spec.alter)
    block = build_block(m, spec.fabric, spec.style, change)
    # Length put in above the knee says that the knee lies lower than measured.
    return assemble(spec, replace(m, knee_height=m.knee_height - change.above_knee), block)


def draft_pattern(spec: Spec) -> Pattern:
    """Draft and check the pattern of a spec. Raises InputError and UnsolvableError."""
    return draft_measures(spec, complete(spec.body, spec.units))
