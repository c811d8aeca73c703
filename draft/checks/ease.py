"""No looser than the fit intends at hip and thigh; if it is, the fit that would be closer."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from outseam.draft.body.measures import Measures
from outseam.draft.body.population import condition
from outseam.draft.checks.strain import levels
from outseam.draft.checks.verdict import at_most
from outseam.draft.fits import FITS, KNIT_STRETCH, WEAR_SHARE, Ease, Fit
from outseam.draft.inputs.text import capital
from outseam.draft.inputs.words import Words, measure, words
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Finding

#: Ease beyond the fit's own by this share of the body's girth shows (common practice, no source:
#: 2 % of a hip is 2 cm, 5 % of a thigh 3 cm).
HIP_BEYOND: Final = 0.02
THIGH_BEYOND: Final = 0.05

#: A leg whose knee is at least this share of its thigh falls wide from the hip, on purpose.
_FALLS: Final = 0.97


def intended_thigh(m: Measures, ease: Ease) -> float:
    """Return the ease, as a ratio, that the fit gives the thigh usual for this hip.

    The handbook's forks make the leg's girth a share of the pattern's hip, whatever the thigh.
    """
    known = ("height", "waist", "hip", "inside_leg")
    usual = condition(m.build, known, [getattr(m, key) for key in known], m.waist_above_navel)
    thigh = float(usual.mm[usual.names.index("thigh")])
    share = 0.5 + ease.fit.front_fork_ratio + ease.fit.back_fork_ratio
    return share * (1.0 + ease.hip_ratio) * m.hip / thigh - 1.0


def closer_fit(ease: Ease) -> Fit | None:
    """Return the next closer fit that the same fabric allows, None if there is none."""
    knit = ease.wear_strain >= WEAR_SHARE * KNIT_STRETCH
    closer = FITS[: [fit.name for fit in FITS].index(ease.fit.name)]
    return next((f for f in reversed(closer) if knit or f.woven_hip_mm is not None), None)


def check_ease(pattern: Pattern) -> Iterator[Finding]:
    """Compare the ease at hip and thigh with what the fit intends there."""
    m, ease = pattern.measures, pattern.block.ease
    by_name = {level.name: level for level in levels(pattern)}
    closer = closer_fit(ease)
    do = f'a closer one is fit = "{closer.name}"' if closer else "in this fabric none is closer"
    wanted = [("hip", m.hip, ease.hip_ratio, HIP_BEYOND)]
    thigh, knee = by_name["thigh"], by_name.get("knee")
    if knee is None or knee.pattern_mm < _FALLS * thigh.pattern_mm:
        wanted.append(("thigh", m.thigh, intended_thigh(m, ease), THIGH_BEYOND))
    for name, body, intended, beyond in wanted:
        if name not in by_name:
            continue
        most = body * (intended + beyond)
        yield at_most(
            "ease of the fit",
            name,
            by_name[name].ease_mm,
            most,
            f"at the {name} no looser than the fit intends",
            fails="note",
            advice=words(
                "At the {where} these pants come out {measured} than the body, where this fit has "
                "at most {most}: looser than meant. {do}.",
                where=name,
                measured=_wide(by_name[name].ease_mm),
                most=_wide(most),
                do=capital(do),
            ),
        )


def _wide(mm: float) -> Words:
    return words("{by} {way}", by=measure(abs(mm)), way="smaller" if mm < 0.0 else "larger")
