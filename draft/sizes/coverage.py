"""How many people a size serves: whom it fits, of people drawn from the population figures.

A size serves a person where hip, waist and thigh lie within what it takes: not so large that the
fabric is stretched further than it wears well, not so small that the pants hang on them. A fabric
that stretches far thus serves many, some of them tighter than the style is meant; `FitRule` can
leave those out. Lengths are not looked at, because a hem is turned up where it is wanted.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Final, Literal

import numpy as np

from outseam.curves.path import Floats
from outseam.draft.body.population import NAMES, Build, load_model
from outseam.draft.checks.strain import levels
from outseam.draft.fits import KNIT_STRETCH, RIGID_STRETCH
from outseam.draft.model import Pattern
from outseam.draft.sizes.run import SizeRun

Flags = np.ndarray[Any, np.dtype[np.bool_]]
Girth = Literal["hip", "waist", "thigh"]
PARTS: Final[tuple[Girth, ...]] = ("hip", "waist", "thigh")

#: How many people are drawn; the share of one size is then good to about 0.7 % (95 %).
PEOPLE: Final = 20_000
SEED: Final = 13402

#: How much more ease than the style means to have still looks like it, as a share of the girth
#: (common practice, no source).
SLACK: Final = 0.06
#: Least ease of a fabric that gives nothing, mm: in it one has to sit. NMSU Cooperative Extension
#: Guide C-209 gives 2 to 4 in at the hip and 1 to 2 in at the thigh; the lower figure is the limit.
LEAST_EASE_MM: Final[dict[Girth, float]] = {"hip": 50.8, "waist": 0.0, "thigh": 25.4}
#: An elastic holds while it is shorter than the girth, and cuts where it is shorter than this
#: share of it (common practice, no source).
ELASTIC_SHARE: Final = 0.75


@dataclass(frozen=True, slots=True, kw_only=True)
class People:
    """Girths of people, mm, all of one shape (n,)."""

    says: str
    hip: Floats
    waist: Floats
    thigh: Floats

    def __len__(self) -> int:
        return len(self.hip)


def draw_people(build: Build, count: int = PEOPLE, seed: int = SEED) -> People:
    """Draw people from the population figures of a build; the same seed draws the same people."""
    model = load_model(build)
    rows = [NAMES.index(part) for part in PARTS]
    rng = np.random.default_rng(seed)
    logs = rng.multivariate_normal(
        model.mean[rows], model.covariance[np.ix_(rows, rows)], size=count, method="cholesky"
    )
    hip, waist, thigh = 10.0 * np.exp(logs.T)
    says = f"{count} {build} drawn from the figures of ANSUR II, adults fit for service"
    return People(says=says, hip=hip, waist=waist, thigh=thigh)


@dataclass(frozen=True, slots=True, kw_only=True)
class FitRule:
    """When a size serves a person.

    `slack`: by how much more ease than the style means to have, a ratio of the girth, pants may be
    looser; with `as_meant` they may be tighter by no more than that, either.
    """

    slack: float = SLACK
    as_meant: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ServedGirths:
    """The girths of bodies that one size serves: for each part least and most, mm.

    `waist` is taken where the band sits: `band_share` is how much of the way from hip to waist, in
    girth, that is.
    """

    label: str
    body_hip: float
    body_waist: float
    band_share: float
    hip: tuple[float, float]
    waist: tuple[float, float]
    thigh: tuple[float, float]


def reach_of(pattern: Pattern, label: str = "", rule: FitRule | None = None) -> ServedGirths:
    """Return whom a pattern serves."""
    rule = rule or FitRule()
    m, ease = pattern.measures, pattern.block.ease
    at = {level.name: (level.body_mm, level.pattern_mm) for level in levels(pattern)}
    # Where the band covers the hip line, the legs are as wide as if it ran on there.
    at.setdefault("hip", (m.hip, pattern.block.hip_mm))
    stretch = pattern.spec.fabric.stretch_round_ratio
    rigid = float(np.interp(stretch, (RIGID_STRETCH, KNIT_STRETCH), (1.0, 0.0)))
    found: dict[Girth, tuple[float, float]] = {}
    for part in PARTS:
        body, girth = at["waistband" if part == "waist" else part]
        most = girth * (1.0 + ease.wear_strain) - rigid * LEAST_EASE_MM[part]
        least = girth / (girth / body + rule.slack)
        if rule.as_meant:
            most = min(most, girth / (girth / body - rule.slack))
        elastic = pattern.band.elastic_mm
        if part == "waist" and elastic is not None:
            least, most = elastic, min(most, elastic / ELASTIC_SHARE)
        # A size serves the body it was drafted for, whatever its slack.
        found[part] = (min(least, body), max(most, body))
    band, _ = at["waistband"]
    share = (band - m.hip) / (m.waist - m.hip) if m.waist != m.hip else 1.0
    return ServedGirths(label=label, body_hip=m.hip, body_waist=m.waist, band_share=share, **found)


def served_by(reach: ServedGirths, people: People) -> Flags:
    """Return who of the people (n,) is served."""
    band = people.hip + reach.band_share * (people.waist - people.hip)
    within = np.ones(len(people), dtype=np.bool_)
    for (least, most), girth in ((reach.hip, people.hip), (reach.waist, band),
                                 (reach.thigh, people.thigh)):  # fmt: skip
        within &= (least <= girth) & (girth <= most)
    return within


@dataclass(frozen=True, slots=True, kw_only=True)
class Coverage:
    """What a run of sizes does for people; all shares are of all people.

    `shares` and `only` go with `reaches`: whom each size serves, and whom no other does. `total` is
    whom any serves; of the others `smaller` have hips below the smallest size's least, `larger`
    above the largest size's most, and `between` is the rest: no size goes with both their hip and
    their waist or thigh. `served` (n,) tells who is.
    """

    people: People
    reaches: tuple[ServedGirths, ...]
    shares: tuple[float, ...]
    only: tuple[float, ...]
    total: float
    smaller: float
    larger: float
    between: float
    served: Flags


def cover(reaches: Sequence[ServedGirths], people: People) -> Coverage:
    """Return what sizes do for people. Raises ValueError without sizes or people."""
    if not reaches or not len(people):
        raise ValueError("coverage needs a size and a person")
    each = np.stack([served_by(reach, people) for reach in reaches])
    count = each.sum(axis=0)
    served = count > 0
    smaller = ~served & (people.hip < min(r.hip[0] for r in reaches))
    larger = ~served & (people.hip > max(r.hip[1] for r in reaches))
    return Coverage(
        people=people,
        reaches=tuple(reaches),
        shares=tuple(each.mean(axis=1).tolist()),
        only=tuple((each & (count == 1)).mean(axis=1).tolist()),
        total=float(served.mean()),
        smaller=float(smaller.mean()),
        larger=float(larger.mean()),
        between=float((~served & ~smaller & ~larger).mean()),
        served=served,
    )


def cover_run(run: SizeRun, people: People, rule: FitRule | None = None) -> Coverage:
    """Return what the sizes of a run do for people."""
    pairs = zip(run.patterns, run.labels, strict=True)
    return cover([reach_of(pattern, label, rule) for pattern, label in pairs], people)


def blended(a: ServedGirths, b: ServedGirths, t: float) -> ServedGirths:
    """Return the reach of a size a share `t` of the way from one to another."""

    def mid(x: float, y: float) -> float:
        return x + t * (y - x)

    def both(x: tuple[float, float], y: tuple[float, float]) -> tuple[float, float]:
        return mid(x[0], y[0]), mid(x[1], y[1])

    return replace(
        a,
        label="",
        body_hip=mid(a.body_hip, b.body_hip),
        body_waist=mid(a.body_waist, b.body_waist),
        band_share=mid(a.band_share, b.band_share),
        hip=both(a.hip, b.hip),
        waist=both(a.waist, b.waist),
        thigh=both(a.thigh, b.thigh),
    )
