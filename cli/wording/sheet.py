"""The words of the worksheet: style, fabric and strain as a person who sews says them."""

from __future__ import annotations

import math

from outseam.draft.bands import band_named
from outseam.draft.checks.floor import hem_clearance_mm
from outseam.draft.checks.strain import Level
from outseam.draft.fabric import Fabric, classify_stretch
from outseam.draft.fits import Ease, fit_named
from outseam.draft.inputs.show import YARD_MM, Units, per_cent, show_length, told_mm
from outseam.draft.legs import leg_named
from outseam.draft.lengths import length_named
from outseam.draft.model import Pattern
from outseam.draft.rises import RISE_NAMES, rise_named
from outseam.draft.style import Style

#: Each key of `figures.finished`, and how it is taken on the finished pants.
HOW_FINISHED: dict[str, str] = {
    "waistband": "all round, not stretched",
    "band_height": "folded, from seam to fold",
    "elastic": "joined, lying flat, all round",
    "top_edge": "both legs' top, before the band",
    "hip": "all round at the hip line",
    "thigh": "one leg at the crotch line",
    "knee": "one leg, all round",
    "calf": "one leg, all round",
    "ankle": "one leg, all round",
    "hem": "one leg, all round",
    "inseam": "crotch point to hem",
    "outseam": "top to hem along the side",
    "front_rise": "crotch seam, up to the top",
    "back_rise": "crotch seam, up to the top",
    "hem_above_floor": "lowest point, without shoes",
}


def strain_words(level: Level, ease: Ease, units: Units) -> str:
    """Return how the fabric feels at a level: stretched, by how much, and how much is well."""
    strain = level.strain
    if strain < 0.005:
        room_mm = told_mm(level.pattern_mm, units) - told_mm(level.body_mm, units)
        room = show_length(max(0.0, room_mm), units)
        return f"not stretched, {room} of room"
    told, well = per_cent(strain), per_cent(ease.wear_strain)
    if strain > ease.pull_strain + 0.002:
        return f"would have to stretch {told}, more than this fabric can"
    if strain > ease.wear_strain + 0.002:
        return f"stretched {told}, more than the {well} that wear well"
    return f"stretched {told}, wears well up to {well}"


def _above(mm: float, units: Units) -> str:
    """Return "at ", or how far above or below, for a level to follow."""
    if abs(mm) < 0.05:
        return "at "
    return f"{show_length(abs(mm), units)} {'above' if mm > 0 else 'below'} "


def rise_words(style: Style, units: Units) -> str:
    """Return where the top sits."""
    if isinstance(style.rise, str) and style.rise in RISE_NAMES:
        words = f"{style.rise}: {_above(rise_named(style.rise).above_natural_mm, units)}"
        words += "the natural waist"
    else:
        words = f"{_above(float(style.rise), units)}your waist tape"
    for side, mm in (("front", style.front_rise), ("back", style.back_rise)):
        if mm is not None:
            words += f"; at the centre {side} {_above(mm, units)}your waist tape"
    return words


def length_words(pattern: Pattern) -> str:
    """Return how long the leg is, with where its hem hangs."""
    style, units = pattern.spec.style, pattern.spec.units
    if style.inseam is not None:
        said = f"an inseam of {show_length(style.inseam, units)}"
    else:
        named = length_named(style.length)
        says = named.says
        if named.up_mm:
            says = f"{show_length(named.up_mm, units)} above full length"
        said = f"{style.length}: {says}"
    clear = hem_clearance_mm(pattern)
    if clear <= 0.0:
        return f"{said}; as drafted the hem comes down to the floor"
    return f"{said}; the hem hangs {show_length(clear, units)} above the floor without shoes"


def style_facts(pattern: Pattern) -> tuple[tuple[str, str], ...]:
    """Return the style, a word and its meaning a row."""
    style, units = pattern.spec.style, pattern.spec.units
    leg = f"{style.leg}: {leg_named(style.leg).says}"
    if style.hem_width is not None:
        leg += f"; hem {show_length(style.hem_width, units)} as asked for"
    rows = [
        ("leg", leg),
        ("fit", f"{style.fit}: {fit_named(style.fit).says}"),
        ("rise", rise_words(style, units)),
        ("length", length_words(pattern)),
        ("waistband", f"{style.band}: {band_named(style.band).says}"),
    ]
    extras = "; ".join(f.says for f in pattern.features)
    if extras:
        rows.append(("with", extras))
    return tuple(rows)


def fabric_words(fabric: Fabric, units: Units) -> str:
    """Return what is known of the fabric."""
    kind = classify_stretch(fabric.stretch_round_ratio) if fabric.kind == "knit" else None
    across = f"stretches {per_cent(fabric.stretch_across_ratio)} across"
    if kind is not None and not fabric.turned:
        across += f" ({kind.name})"
    if "stretch_across" in fabric.assumed:
        across += ", which was assumed: measure it"
    parts = [x for x in (fabric.name, fabric.kind, across) if x]
    if fabric.stretch_along is not None:
        along = f"{per_cent(fabric.stretch_along_ratio)} along"
        if fabric.turned:
            named = "" if kind is None else f" ({kind.name})"
            along += f"{named}, which goes round the body"
        parts.append(along)
    if fabric.kind == "knit":
        parts.append(f"{fabric.recovery} recovery")
    if fabric.width is not None:
        parts.append(f"{show_length(fabric.width, units)} wide")
    if fabric.weight is not None:
        parts.append(f"{fabric.weight:.0f} g/m²")
    if fabric.slippery:
        parts.append("slippery: cut it in a single layer")
    if fabric.one_way:
        parts.append("one way: all pieces lie head up")
    return "; ".join(parts)


def shrinkage_words(fabric: Fabric) -> str:
    """Return by how much the pieces were grown for the wash; empty if not at all."""
    parts = [
        f"{100.0 * (factor - 1.0):.1f} % {way}".replace(".0 %", " %")
        for factor, way in zip(fabric.shrink_factors, ("across", "along"), strict=True)
        if factor != 1.0
    ]
    if not parts:
        return ""
    return (
        f"The pieces are cut {' and '.join(parts)} larger, because the fabric still shrinks. "
        "Do not wash it first."
    )


def thread_words(mm: float, units: Units) -> str:
    """Return a length of thread as it is sold: whole metres up, or yards for a file in inches."""
    return f"{math.ceil(mm / YARD_MM)} yd" if units == "in" else f"{math.ceil(mm / 1000.0)} m"


def size_words(across_mm: float, along_mm: float, units: Units) -> str:
    """Return an extent as `32.2 × 101 cm`, or with both marks in inches."""
    first, second = show_length(across_mm, units), show_length(along_mm, units)
    return f"{first.removesuffix(f' {units}')} × {second}"
