"""Which border each piece stands on.

Legs never stand on different borders, and a waistband is never cut from both, unless the file says
that the two are one print; and even then all lie the same way up where the field between them has
an up.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final, Literal, TypeAlias

from outseam.draft.border.levels import is_leg
from outseam.draft.border.printed import Border, Selvedge
from outseam.draft.fabric import Fabric
from outseam.draft.piece.piece import Piece
from outseam.draft.spec.spec import Spec
from outseam.draft.style import Style

#: A quarter turned, hem (or lower edge) toward the near selvedge, or toward the far one.
Quarter: TypeAlias = Literal[90, 270]
_TURN_OF: Final[dict[Selvedge, Quarter]] = {"near": 90, "far": 270}


def wants_border_band(style: Style, border: Border) -> bool:
    """Return whether the waistband is cut from a border."""
    return border.both if style.band_from is None else style.band_from != "plain"


def on_border(spec: Spec, piece: Piece, bands: frozenset[str], border: Border) -> bool:
    """Return whether a piece has its place at a border; `bands` names the waistband's pieces."""
    return is_leg(piece) or (piece.name in bands and wants_border_band(spec.style, border))


def leg_sides(fabric: Fabric, border: Border) -> tuple[Selvedge, ...]:
    """Return the selvedges that legs may stand on.

    Figures that are to match need a known shift as well.
    """
    if not (border.both and border.alike) or fabric.one_way:
        return ("near",)
    if border.repeat_mm is None or border.shift_mm is not None:
        return border.sides
    return ("near",)


def band_sides(spec: Spec, border: Border) -> tuple[Selvedge, ...]:
    """Return the selvedges that the pieces of a waistband may stand on."""
    if spec.style.band_from == "other border":
        return ("far",)
    if not (border.both and border.alike) or spec.fabric.one_way:
        return ("near",)
    if border.repeat_mm is None or border.shift_mm is not None:
        return border.sides
    # The figures of the two borders cannot be compared: all of a waistband is cut from one.
    return ("near",) if spec.style.figure_at == "centre" else ("far",)


def sides_of(spec: Spec, piece: Piece, border: Border) -> tuple[Selvedge, ...]:
    """Return the selvedges that a piece at the border may stand on."""
    return leg_sides(spec.fabric, border) if is_leg(piece) else band_sides(spec, border)


def turn_at(fabric: Fabric, side: Selvedge) -> Quarter:
    """Return how a piece at a selvedge is turned: as the legs are where the field has an up."""
    return 90 if fabric.one_way else _TURN_OF[side]


def plain(spec: Spec, *, stays_turned: bool = False) -> Spec:
    """Return the spec on the same fabric without its border, laid on the straight grain.

    `stays_turned`: what stretches and shrinks round the body stays as it is.
    """
    f = spec.fabric
    fabric = replace(
        f,
        border="none",
        border_height=None,
        border_eye=None,
        border_repeat=None,
        border_shift=None,
        borders_alike=False,
        border_mirrors=False,
        other_border_height=None,
        other_border_from_selvedge=None,
        other_border_eye=None,
        other_border_repeat=None,
    )
    if stays_turned and f.turned:
        fabric = replace(
            fabric,
            stretch_across=f.stretch_along_ratio,
            stretch_along=f.stretch_across_ratio,
            shrink_across=f.shrink_along,
            shrink_along=f.shrink_across,
        )
    style = replace(spec.style, border_above_hem=None, band_from=None, figure_at="free")
    return replace(spec, fabric=fabric, style=style)
