"""What the checks found, as a person who sews says it: one sentence for each kind of check."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from outseam.draft.inputs.show import Units, per_cent, show_length
from outseam.draft.inputs.text import capital
from outseam.draft.piece.piece import Finding

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
