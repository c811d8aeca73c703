"""Fits: how much larger or smaller than the body the pants are drafted, given the fabric's stretch.

Adding a fit is one line in `FITS`. Ease is a ratio of the body's girth: 0.05 drafts 5 % larger,
-0.05 drafts 5 % smaller so that the fabric is stretched in wear.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import per_cent

#: Crosswise stretch from which a fabric is drafted as a knit; below it as a fabric that gives
#: nothing. Between the two the ease runs straight from one rule to the other.
RIGID_STRETCH = 0.05
KNIT_STRETCH = 0.18

#: Share of the stated stretch that is comfortable in wear, and in the moment of pulling on.
#: Common practice, no source: a fabric at its stated stretch is at its limit and feels tight.
WEAR_SHARE = 0.5
PULL_SHARE = 0.8
#: Room that an opening in a fabric without stretch needs over what it is pulled over.
PULL_ON_ROOM_MM = 20.0


#: Men's crotch seams are drafted longer by this than women's of the same fit.
MEN_CROTCH_MM = 24.0
#: ... and their centre front lies this much higher (calibrated here likewise).
MEN_FRONT_MM = -1.0
#: Of two bodies the one with the fuller hip has its seam shorter against its tape, which lies on
#: softer ground there: by this for each mm from a hip of a metre on (calibrated likewise).
CROTCH_BY_HIP = {"women": -0.15, "men": -0.26}
#: The back fork over the front's, as the handbooks draw it on the whole: 1.5 (Aldrich) to 2.4
#: (the college method of Zhang Wenbin, from memory).
FORK_PROPORTION = math.exp(0.65)
#: A knit that is stretched across by a share narrows along by this much of it (common practice,
#: calibrated here; knits in a laboratory lie about between 0.2 and 0.5).
NARROWING = 0.30
#: Of the stretch lengthwise this much comes back in wear, by the fabric's recovery.
RECOVERED = {"firm": 1.0, "soft": 0.75}


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """One fit. Reductions are ratios of the girth at the listed stretches, joined by lines."""

    name: str
    says: str
    #: (crosswise stretch, ease ratio) for knits, from KNIT_STRETCH on.
    knit_ease: tuple[tuple[float, float], ...]
    #: ease in mm at the hip for a fabric that does not stretch; None: this fit needs stretch.
    woven_hip_mm: float | None
    #: crotch seam minus crotch length, mm, before the cloth's stretch lengthwise is reckoned with;
    #: men's seams hang by so much lower (common practice, calibrated here: so that the crotch line
    #: lies as deep as the fit says on the bodies of the survey).
    crotch_ease_mm: float
    #: means of the handbook's proportions that the fit moves, and an sd: crotch line below the
    #: crotch, mm; both forks over the pattern's hip girth; lean of the centre back; centre front
    #: above the level waist, mm.
    drop_mm: float
    fork_ratio: float
    fork_sd: float
    slant: float
    front_raise_mm: float
    #: girth at the crotch line over the thigh's with its ease, and how firmly that is kept, mm.
    thigh_room: float
    thigh_sd_mm: float
    #: share of the stretch lengthwise by which the seam is drafted shorter.
    lengthwise: float
    #: ease of knee and ankle above (or below) the hip's own ratio; a leg bends.
    limb_ease: float

    @property
    def front_fork_ratio(self) -> float:
        """Mean front fork over the pattern's hip girth."""
        return self.fork_ratio / (1.0 + FORK_PROPORTION)

    @property
    def back_fork_ratio(self) -> float:
        """Mean back fork over the pattern's hip girth."""
        return self.fork_ratio - self.front_fork_ratio


FITS: tuple[Fit, ...] = (
    # Close: reductions of 5-10 % at 50 % stretch and 10-20 % at 75-100 % (common practice, no
    # source); 0.15 of the stretch lies inside both.
    Fit(
        name="close",
        says="worn stretched, like a second skin",
        knit_ease=((0.18, -0.027), (0.50, -0.075), (1.00, -0.150)),
        woven_hip_mm=None,
        crotch_ease_mm=-65.0,
        drop_mm=20.0,
        fork_ratio=0.160,
        fork_sd=0.012,
        slant=0.213,
        front_raise_mm=2.0,
        thigh_room=1.03,
        thigh_sd_mm=13.0,
        lengthwise=0.14,
        limb_ease=0.0,
    ),
    # Easy: the girth reductions by stretch class of Richardson, Designing and Patternmaking for
    # Stretch Fabrics (from memory): stable 0, moderate 2, stretchy 3, super-stretch 5 %.
    Fit(
        name="easy",
        says="follows the body, in a stretchy fabric a little smaller than it",
        knit_ease=((0.18, 0.0), (0.25, -0.02), (0.50, -0.03), (1.00, -0.05)),
        woven_hip_mm=80.0,
        crotch_ease_mm=-26.0,
        drop_mm=30.0,
        fork_ratio=0.180,
        fork_sd=0.012,
        slant=0.206,
        front_raise_mm=2.0,
        thigh_room=1.10,
        thigh_sd_mm=18.0,
        lengthwise=0.06,
        limb_ease=0.06,
    ),
    # Loose: pull-on woven pants carry 8-12 cm at the hip (common practice, no source).
    Fit(
        name="loose",
        says="falls free of the body",
        knit_ease=((0.18, 0.06), (0.50, 0.05), (1.00, 0.04)),
        woven_hip_mm=110.0,
        crotch_ease_mm=25.0,
        drop_mm=45.0,
        fork_ratio=0.192,
        fork_sd=0.009,
        slant=0.192,
        front_raise_mm=0.0,
        thigh_room=1.15,
        thigh_sd_mm=22.0,
        lengthwise=0,
        limb_ease=0.10,
    ),
)

FIT_NAMES = tuple(f.name for f in FITS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ease:
    """Ease of one draft, solved from fit and fabric. Ratios of the body's girth at that level."""

    fit: Fit
    hip_ratio: float
    waist_ratio: float
    thigh_ratio: float
    limb_ratio: float
    #: strain (worn girth over pattern girth, minus one) the fabric takes in wear and in pulling on
    wear_strain: float
    pull_strain: float

    def over_mm(self, girth_mm: float) -> float:
        """Return the least girth of an opening that passes over `girth_mm` when pulled on."""
        if self.pull_strain > 0.0:
            return girth_mm / (1.0 + self.pull_strain)
        return girth_mm + PULL_ON_ROOM_MM

    @property
    def stretches(self) -> bool:
        """Whether the fabric gives enough for the way it is laid to matter."""
        return self.wear_strain > WEAR_SHARE * RIGID_STRETCH


def fit_named(name: str) -> Fit:
    """Return the fit of that name; raises KeyError."""
    return next(f for f in FITS if f.name == name)


def ease_for(fit: Fit, stretch: float, hip_mm: float) -> Ease:
    """Turn fit, crosswise stretch (ratio) and the body's hip girth into ease.

    Raises InputError when the fit needs a stretch that the fabric does not have.
    """
    s = [p[0] for p in fit.knit_ease]
    knit = float(np.interp(stretch, s, [p[1] for p in fit.knit_ease]))
    if fit.woven_hip_mm is None:
        if stretch < KNIT_STRETCH:
            raise InputError(
                "style.fit",
                f'"{fit.name}" in a fabric that stretches {per_cent(stretch)} round the body',
                f"{per_cent(KNIT_STRETCH)} stretch or more for this fit",
                'choose fit = "easy" or "loose", or a fabric that stretches more',
            )
        hip = knit
    else:
        woven = fit.woven_hip_mm / hip_mm
        share = (stretch - RIGID_STRETCH) / (KNIT_STRETCH - RIGID_STRETCH)
        share = min(1.0, max(0.0, share))
        hip = woven + (knit - woven) * share
    return Ease(
        fit=fit,
        hip_ratio=hip,
        waist_ratio=max(hip, 0.0) * 0.5 if hip > 0 else hip,
        thigh_ratio=hip,
        limb_ratio=hip + fit.limb_ease,
        wear_strain=WEAR_SHARE * stretch,
        pull_strain=PULL_SHARE * stretch,
    )


def lengthwise_ratio(ease: Ease, along: float, recovery: str) -> float:
    """Return by which share the crotch seam is drafted shorter than the body, 0 or negative.

    `along`: the fabric's stretch along the leg. Worn, cloth that is stretched across by e narrows
    along by `NARROWING` e and gives a share q of its stretch along, as far as it recovers:
    1 / ((1 - NARROWING e) (1 + q along r)) - 1; zero where that would lengthen the seam or the
    cloth gives nothing along. Common practice, calibrated here: about -4 % for a close knit of
    50 % both ways.
    """
    worn = max(0.0, 1.0 / (1.0 + ease.hip_ratio) - 1.0)
    given = 1.0 + ease.fit.lengthwise * along * RECOVERED[recovery]
    return min(0.0, 1.0 / ((1.0 - NARROWING * worn) * given) - 1.0)
