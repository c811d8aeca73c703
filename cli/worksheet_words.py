"""The words of the worksheet: style, fabric, strain and findings as a person who sews says them."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import replace

from draft.bands import band_named
from draft.checks.strain import Level
from draft.fabric import Fabric, classify_stretch
from draft.features import wanted
from draft.fits import Ease, fit_named
from draft.legs import leg_named
from draft.lengths import length_named
from draft.pattern import Pattern
from draft.piece import Finding
from draft.rises import RISE_NAMES, rise_named
from draft.style import Style
from draft.units import Units, per_cent, show_length

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


#: Blanks that a line must not break at: inside 37 5/8, before a unit, round a multiplication.
_BOUND = re.compile(r"(?<=\d) (?=\d+/\d)|(?<=\d) (?=(?:cm|mm|m|yd|%|×)(?!\w))|(?<=[×±]) (?=\d)")


def bound(text: str) -> str:
    """Return the text with no-break spaces where a number would be torn apart."""
    return _BOUND.sub("\N{NO-BREAK SPACE}", text)


def capital(text: str) -> str:
    """Return the text with a capital first letter, the rest as it is."""
    return text[:1].upper() + text[1:]


def strain_words(level: Level, ease: Ease, units: Units) -> str:
    """Return how the fabric feels at a level: stretched, by how much, and how much is well."""
    strain = level.strain
    if strain < 0.005:
        room = show_length(max(0.0, level.ease_mm), units)
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


def length_words(style: Style, units: Units) -> str:
    """Return how long the leg is."""
    if style.inseam is not None:
        return f"an inseam of {show_length(style.inseam, units)}"
    named = length_named(style.length)
    if named.up_mm:
        return f"{style.length}: {show_length(named.up_mm, units)} above full length"
    return f"{style.length}: {named.says}"


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
        ("length", length_words(style, units)),
        ("waistband", f"{style.band}: {band_named(style.band).says}"),
    ]
    extras = "; ".join(f.says for f in wanted(style))
    if extras:
        rows.append(("with", extras))
    return tuple(rows)


def fabric_words(fabric: Fabric, units: Units) -> str:
    """Return what is known of the fabric."""
    kind = classify_stretch(fabric.stretch_across_ratio) if fabric.kind == "knit" else None
    across = f"stretches {per_cent(fabric.stretch_across_ratio)} across"
    if kind is not None:
        across += f" ({kind.name})"
    if "stretch_across" in fabric.assumed:
        across += ", which was assumed: measure it"
    parts = [x for x in (fabric.name, fabric.kind, across) if x]
    if fabric.stretch_along is not None:
        parts.append(f"{per_cent(fabric.stretch_along_ratio)} along")
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
    return f"{math.ceil(mm / 914.4)} yd" if units == "in" else f"{math.ceil(mm / 1000.0)} m"


def size_words(across_mm: float, along_mm: float, units: Units) -> str:
    """Return an extent as `32.2 × 101 cm`, or with both marks in inches."""
    first, second = show_length(across_mm, units), show_length(along_mm, units)
    return f"{first.removesuffix(f' {units}')} × {second}"


_Say = Callable[[Finding, Callable[[float], str]], str]


def _band(f: Finding, show: Callable[[float], str]) -> str:
    if f.where == "elastic":
        return (
            f"The elastic ({show(f.measured)}) is longer than the band lets lie flat "
            f"({show(f.expected)}): it will fold over inside. Take a shorter one."
        )
    return (
        f"The waistband is only {per_cent(f.measured)} of the edge it joins. Below "
        f"{per_cent(f.expected)} the edge gathers a little however hard you stretch the band: "
        "divide both in eighths and pin every mark."
    )


def _pull_on(f: Finding, show: Callable[[float], str]) -> str:
    if f.unit == "ratio":
        return (
            f"To pass the hip the elastic would have to stretch {per_cent(f.measured)}; most "
            f"elastics give about {per_cent(f.expected)}. Choose a softer or longer one, and try "
            "it over the hip before sewing."
        )
    return (
        f"The {f.where}, stretched as far as it goes, opens to {show(f.measured)}; the hip needs "
        f"{show(f.expected)}. You will not get these pants on: choose an easier fit, another "
        "waistband or a fabric that gives more."
    )


def _foot(f: Finding, show: Callable[[float], str]) -> str:
    return (
        f"The hem, stretched as far as it goes, opens to {show(f.measured)}; heel and instep need "
        f"{show(f.expected)}. Your foot may stick: choose a wider hem or leave a slit."
    )


def _strain(f: Finding, show: Callable[[float], str]) -> str:
    return (
        f"At the {f.where} the fabric would be stretched {100 * f.measured:.1f} %; it wears well "
        f"up to {100 * f.expected:.0f} %. It will feel tight there: choose an easier fit, or a "
        "fabric that stretches more."
    )


def _floor(f: Finding, show: Callable[[float], str]) -> str:
    height = f"only {show(f.measured)} above the floor" if f.measured > 0.0 else "down on the floor"
    return (
        f"The finished hem hangs {height} without shoes. A hem that drags trips people, on stairs "
        "above all: shorten the leg at the lengthen/shorten lines."
    )


def _curve(f: Finding, show: Callable[[float], str]) -> str:
    return (
        f"The {f.where} curve bends both ways, which is hard to sew smooth. Look at it on paper, "
        "and measure the crotch lengths again."
    )


def _rise(f: Finding, show: Callable[[float], str]) -> str:
    return (
        f"The top sits {show(f.measured)} higher than this rise usually does: on this body the "
        "band leaves no room for a lower one. A narrower elastic allows it."
    )


def _hand(f: Finding, show: Callable[[float], str]) -> str:
    pocket, _, large = f.where.partition(", ")
    return (
        f"The {pocket} opens {show(f.measured)} wide; a {large or 'middling hand'} needs "
        f"{show(f.expected)}. Measure the hand that is to use it."
    )


def _carry(f: Finding, show: Callable[[float], str]) -> str:
    if f.where.startswith("weight, "):
        return (
            f"This fabric weighs {f.measured:.0f} g/m²; pockets want about {f.expected:.0f} or "
            "more. Leave them out, or back their seams with tape and keep the bags light."
        )
    if f.where == "slippery":
        return "Pockets drag a slippery fabric out of shape. Leave them out if you can."
    return (
        "The fabric's weight is not given, so nothing can be said about whether it carries "
        "pockets. A light one is dragged down by them: hang a bunch of keys on it and look."
    )


def _pocket_fit(f: Finding, show: Callable[[float], str]) -> str:
    return (
        f"At the hip these pants are drafted {per_cent(abs(f.measured))} smaller than the body. "
        "Stretched over it a pocket gapes and its bag shows."
    )


def _belt(f: Finding, show: Callable[[float], str]) -> str:
    if f.where == "tie":
        return (
            f"Beyond the centre front the belt reaches {show(f.measured)}; a knot and two ends "
            f"take about {show(f.expected)}. Give it a longer tie."
        )
    return (
        f"The belt is {show(f.measured)} wide, {show(f.expected)} can be turned right side out. "
        "Choose a wide belt or a wider elastic."
    )


def _unknown(f: Finding, show: Callable[[float], str]) -> str:
    """Say a finding of a check that has no sentence of its own here."""
    numbers = ""
    if f.unit == "mm":
        numbers = f" It measures {show(f.measured)} against {show(f.expected)}."
    elif f.unit == "ratio":
        numbers = f" It comes to {per_cent(f.measured)} against {per_cent(f.expected)}."
    return f"Doubtful: {f.check}, {f.where}. Wanted: {f.says}.{numbers}"


#: How a finding of each check is said when it is not a pass.
SAYS: dict[str, _Say] = {
    "tape": lambda f, show: f"{capital(f.says)}.",
    "band fits its edge": _band,
    "goes over the hip": _pull_on,
    "foot goes through": _foot,
    "strain in wear": _strain,
    "hem clears the floor": _floor,
    "curves are clean": _curve,
    "rise": _rise,
    "a hand goes into the pocket": _hand,
    "fabric carries pockets": _carry,
    "pocket suits the fit": _pocket_fit,
    "belt fits its band": _belt,
}


def finding_words(f: Finding, units: Units) -> str:
    """Return a finding that is not a pass as a sentence."""

    def show(mm: float) -> str:
        return show_length(mm, units)

    where, _, side = f.where.rpartition(", ")
    if side not in ("left leg", "right leg"):
        return SAYS.get(f.check, _unknown)(f, show)
    words = SAYS.get(f.check, _unknown)(replace(f, where=where), show)
    return f"{capital(side)}: {words}"
