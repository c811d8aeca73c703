"""What is usual: the joint distribution of body measurements, to estimate some from others.

The logarithms of fourteen body measurements are taken as jointly normal (figures in
`draft/data`, from the public survey ANSUR II). From them follow, as linear functions with a
little noise of their own, the measurements as a person who sews takes them: the waist where *her*
waist tape sits, the knee over the kneecap, the front half of the crotch length, waist to hip.
Conditioning the whole on what was measured estimates the rest; how well readings go together is
told by `outseam.draft.body.tape_model`.

Lengths in mm at the interface; inside, natural logarithms of centimetres.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Final, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

Build = Literal["women", "men"]
BUILDS: Final[tuple[Build, ...]] = ("women", "men")

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Figures:
    """What is known about one build beyond the survey's table.

    `above_navel_mm` and its sd: how far a waist tape usually sits above the navel; from memory, no
    survey at hand states it. `natural`: ln natural waist girth from ln navel girth, hip, height;
    `knee`: ln girth over the kneecap from ln thigh, calf; both (constant, slopes, sd) fitted to
    openintro `bdims` (260 women, 247 men), girths in cm. `between`: sd of ln girth by which the two
    surveys disagree about a girth once height, waist and hip are given (men's thighs come out 5 %
    smaller in bdims): without it an estimate would look surer than it is. The means stay the
    survey's. Both take the thigh just below the seat fold (documentation of the dataset) and the
    women of both agree to 3 mm, so the men differ and not the way of measuring; of the two, the
    survey is the larger and later, and what its kept half asks of the estimates holds for it.
    """

    above_navel_mm: float
    above_navel_sd_mm: float
    natural: tuple[float, tuple[float, float, float], float]
    knee: tuple[float, tuple[float, float], float]
    between: tuple[tuple[str, float], ...]


_FIGURES: Final[dict[str, _Figures]] = {
    "women": _Figures(
        above_navel_mm=35.0,
        above_navel_sd_mm=20.0,
        natural=(0.8077, (0.4286, 0.6544, -0.2832), 0.052),
        knee=(0.4053, (0.3642, 0.4736), 0.040),
        between=(("thigh", 0.018), ("calf", 0.021)),
    ),
    "men": _Figures(
        above_navel_mm=20.0,
        above_navel_sd_mm=15.0,
        natural=(-0.0417, (0.7020, 0.4875, -0.1732), 0.045),
        knee=(1.0172, (0.2546, 0.4347), 0.040),
        between=(("thigh", 0.060), ("calf", 0.033), ("ankle", 0.046)),
    ),
}

#: Measures on the tape, in the order of a model's rows. Those with a number move up with the waist
#: tape: by that many times its lift.
LIFTED: Final[dict[str, int]] = {
    "height": 0,
    "waist": 0,
    "hip": 0,
    "high_hip": 0,
    "thigh": 0,
    "knee": 0,
    "calf": 0,
    "ankle": 0,
    "foot": 0,
    "inside_leg": 0,
    "waist_height": 1,
    "hip_height": 0,
    "knee_height": 0,
    "crotch_length": 2,
    "front_crotch_length": 1,
    "back_crotch_length": 1,
    "waist_to_hip": 1,
}
#: The names a model knows; "waist_above_navel" can only be estimated, not given as a value.
NAMES: Final[tuple[str, ...]] = (*LIFTED, "waist_above_navel")

#: What the survey calls the measures that hang on the waist tape, taken level with the navel.
_AT_NAVEL: Final = {
    "waist_height": "navel_height",
    "crotch_length": "crotch_length_navel",
    "back_crotch_length": "crotch_back_navel",
}
#: Measures that follow from several others.
_DERIVED: Final = ("waist", "high_hip", "knee", "front_crotch_length", "waist_to_hip")

#: How far the waist girth may be carried beyond the two levels it is known at, as a share of the
#: distance between them: the figures know nothing above the natural waist or far below the navel.
_BLEND_LIMITS: Final = (-0.5, 1.0)

#: The high hip is taped so far below the waist tape.
HIGH_HIP_MM: Final = 80.0
#: From navel to hip the girth grows first fast, then not at all: by 1 - (1 - p) ** this at a share
#: p of the way, and that is known to this sd of ln. From memory of body shapes: no survey at hand
#: has a girth between the two.
_FILLING: Final = 1.7
_FILLING_SD: Final = 0.02


@dataclass(frozen=True, slots=True)
class Model:
    """Normal distribution of the measures on the tape, for one build and one height of the waist.

    `mean` (17,) and `covariance` (17, 17) are in ln cm, rows as NAMES; the last row,
    waist_above_navel, is in cm about `above_navel_mm`. A measure that moves with the waist tape
    stands at its navel-level value: `lift_mm` (17,) is what the tape adds.
    """

    build: Build
    above_navel_mm: float
    mean: Array
    covariance: Array
    lift_mm: Array


@dataclass(frozen=True, slots=True)
class Estimates:
    """Conditional distribution of measures that were not given.

    `names` (m); `mm` and `sd_mm` (..., m): the middle value and its standard deviation;
    `covariance` (m, m) of the logarithms.
    """

    names: tuple[str, ...]
    mm: Array
    sd_mm: Array
    covariance: Array


@lru_cache(maxsize=len(BUILDS))
def load_survey(build: Build) -> tuple[tuple[str, ...], Array, Array]:
    """Names, mean (14,) and covariance (14, 14) of ln cm from the data file of a build."""
    lines = (files("outseam.draft") / "data" / f"{build}.csv").read_text(encoding="ascii")
    rows = [line.split(",") for line in lines.splitlines() if line and line[0] != "#"][1:]
    numbers = np.array([[float(cell) for cell in row[1:]] for row in rows])
    covariance = (numbers[:, 1:] + numbers[:, 1:].T) / 2
    return tuple(row[0] for row in rows), _frozen(numbers[:, 0]), _frozen(covariance)


@lru_cache(maxsize=256)
def load_model(
    build: Build, above_navel_mm: float | None = None, *, judging: bool = False
) -> Model:
    """The model for a waist tape that sits `above_navel_mm` above the navel (None: not measured).

    If it was not measured it stays an unknown of the model, with the mean and sd usual for the
    build, so that its uncertainty reaches every measure that depends on it. The waist girth is then
    the natural waist's: being the narrowest place its girth hardly depends on the exact level, and
    where it lies is covered by the sd of its fit. If it was measured, the girth is blended, in
    logarithms, between navel and natural waist. For `judging` readings the spread is
    the survey's own, and how surely the waist girth is known at that level counts too.
    """
    figures = _FIGURES[build]
    disagreements = () if judging else figures.between
    names, mean, covariance = load_survey(build)
    level = figures.above_navel_mm if above_navel_mm is None else above_navel_mm
    lift_sd_cm = figures.above_navel_sd_mm / 10 if above_navel_mm is None else 0.0

    # Independent sources: the survey, the noise of the two fits, the height of the waist tape, how
    # the girth runs between two levels, and the disagreements between the surveys. Every measure is
    # a weighted sum of them.
    noise = {
        "natural": figures.natural[2],
        "knee": figures.knee[2],
        "lift": lift_sd_cm,
        "filling": _FILLING_SD,
        "between levels": _between_levels_sd(figures, names, mean, level) if judging else 0.0,
        **{f"between {name}": sd for name, sd in disagreements},
    }
    source = {name: column for column, name in enumerate((*names, *noise))}
    spread = np.diag(np.square(np.concatenate([np.zeros(len(names)), list(noise.values())])))
    spread[: len(names), : len(names)] = covariance
    centre = np.concatenate([mean, np.zeros(len(noise))])
    row = {name: index for index, name in enumerate(NAMES)}
    weights = np.zeros((len(row), len(source)))
    constant = np.zeros(len(row))

    def put(name: str, offset: float, slopes: Mapping[str, float]) -> None:
        constant[row[name]] += offset
        for origin, slope in slopes.items():
            weights[row[name], source[origin]] += slope

    for name in LIFTED:
        put(name, 0.0, {_AT_NAVEL.get(name, name): 1.0} if name not in _DERIVED else {})
    for name, _ in disagreements:
        put(name, 0.0, {f"between {name}": 1.0})
    put("waist", *_waist_girth(figures, level))
    put("waist", 0.0, {"between levels": 1.0})
    put("high_hip", *_high_hip(mean, source, level))
    put(
        "front_crotch_length",
        *_difference(mean, source, "crotch_length_navel", "crotch_back_navel"),
    )
    put("waist_to_hip", *_difference(mean, source, "navel_height", "hip_height"))
    # The knee's fit is to girths taken with a tape, so it follows those and not the survey's.
    put("knee", figures.knee[0], {"knee": 1.0})
    for name, slope in zip(("thigh", "calf"), figures.knee[1], strict=True):
        weights[row["knee"]] += slope * weights[row[name]]

    # ln(tape - usual lift) moves by (lift - usual lift) / value: the tangent at the mean.
    middle = weights @ centre + constant
    for name, times in LIFTED.items():
        put(name, 0.0, {"lift": times / math.exp(middle[row[name]])})
    put("waist_above_navel", 0.0, {"lift": 1.0})

    lift_mm = np.array([times * level for times in LIFTED.values()] + [level])
    return Model(
        build, level, _frozen(middle), _frozen(weights @ spread @ weights.T), _frozen(lift_mm)
    )


def _waist_girth(figures: _Figures, level_mm: float) -> tuple[float, dict[str, float]]:
    """Constant and slopes of ln waist girth at a level: navel and natural waist, blended."""
    blend = _blend(figures, level_mm)
    constant, (navel, hip, height), _ = figures.natural
    return blend * constant, {
        "navel_girth": 1.0 - blend + blend * navel,
        "hip": blend * hip,
        "height": blend * height,
        "natural": blend,
    }


def _high_hip(
    mean: Array, source: Mapping[str, int], level_mm: float
) -> tuple[float, dict[str, float]]:
    """Constant and slopes of ln girth `HIGH_HIP_MM` below the waist tape, from navel and hip."""
    way = 10.0 * (math.exp(mean[source["navel_height"]]) - math.exp(mean[source["hip_height"]]))
    left = min(max(1.0 - (HIGH_HIP_MM - level_mm) / way, 0.0), 1.0)
    share = 1.0 - left**_FILLING
    # A tape a centimetre higher takes it a centimetre higher.
    by_cm = -10.0 / way * _FILLING * left ** (_FILLING - 1.0) if left < 1.0 else 0.0
    growth = float(mean[source["hip"]] - mean[source["navel_girth"]])
    slopes = {"navel_girth": 1.0 - share, "hip": share, "lift": by_cm * growth, "filling": 1.0}
    return 0.0, slopes


def _blend(figures: _Figures, level_mm: float) -> float:
    return min(max(level_mm / figures.above_navel_mm, _BLEND_LIMITS[0]), _BLEND_LIMITS[1])


def _between_levels_sd(
    figures: _Figures, names: Sequence[str], mean: Array, level_mm: float
) -> float:
    """Sd of ln waist girth from not knowing how it runs between navel and natural waist.

    A string that settled anywhere but level with the navel may well lie at this body's natural
    waist.
    """
    blend = _blend(figures, level_mm)
    constant, slopes = _waist_girth(figures, figures.above_navel_mm)
    natural = constant + sum(
        slope * mean[names.index(name)] for name, slope in slopes.items() if name in names
    )
    drop = abs(float(natural - mean[names.index("navel_girth")]))
    return drop * (1.0 - blend) * min(1.0, 4.0 * abs(blend))


def _difference(
    mean: Array, source: Mapping[str, int], longer: str, shorter: str
) -> tuple[float, dict[str, float]]:
    """Constant and slopes of ln(longer - shorter), as the tangent at the means."""
    at_longer, at_shorter = mean[source[longer]], mean[source[shorter]]
    long, short = math.exp(at_longer), math.exp(at_shorter)
    slopes = long / (long - short), -short / (long - short)
    constant = math.log(long - short) - slopes[0] * at_longer - slopes[1] * at_shorter
    return constant, {longer: slopes[0], shorter: slopes[1]}


@dataclass(frozen=True, slots=True)
class _Regression:
    """Matrices that do not depend on the values, only on which measures are known."""

    unknown: tuple[str, ...]
    slopes: Array  # (m, k)
    sd: Array  # (m,)
    covariance: Array  # (m, m)
    known_mean: Array  # (k,)
    known_lift_mm: Array  # (k,)
    mean: Array  # (m,)
    lift_mm: Array  # (m,)


def _inverse(spread: Array) -> Array | None:
    """Return the inverse of a covariance; None if its condition, each measure scaled, is hopeless.

    The condition by Frobenius' norm, which is that of the singular values or little more.
    """
    try:
        found: Array = np.linalg.inv(spread).astype(np.float64)
    except np.linalg.LinAlgError:
        return None
    scales = np.diag(spread)[:, None] * np.diag(spread)
    squared = (spread * spread / scales).sum() * (found * found * scales).sum()
    return found if squared <= 1e18 else None


@lru_cache(maxsize=512)
def _regression(build: Build, above_navel_mm: float | None, known: tuple[str, ...]) -> _Regression:
    model = load_model(build, above_navel_mm)
    place = {name: index for index, name in enumerate(NAMES)}
    unusable = [name for name in known if name not in LIFTED]
    if unusable or len(set(known)) != len(known):
        raise ValueError(f"cannot condition on {unusable or known}")
    k = [place[name] for name in known]
    unknown = tuple(name for name in NAMES if name not in known)
    u = [place[name] for name in unknown]
    spread = model.covariance
    inner = spread[np.ix_(k, k)]
    # Two measures and their difference tell the same thing twice; no regression exists on them.
    precision = _inverse(inner)
    if precision is None:
        raise ValueError(f"some of {known} follow from the others exactly")
    slopes = spread[np.ix_(u, k)] @ precision
    rest = spread[np.ix_(u, u)] - slopes @ spread[np.ix_(k, u)]
    return _Regression(
        unknown=unknown,
        slopes=slopes,
        sd=np.sqrt(np.maximum(np.diag(rest), 0.0)),
        covariance=_frozen(rest),
        known_mean=model.mean[k],
        known_lift_mm=model.lift_mm[k],
        mean=model.mean[u],
        lift_mm=model.lift_mm[u],
    )


def _departures(regression: _Regression, values_mm: ArrayLike) -> Array:
    lengths = (np.asarray(values_mm, dtype=np.float64) - regression.known_lift_mm) / 10
    departures: Array = np.log(lengths) - regression.known_mean
    return departures


def condition(
    build: Build,
    known: Sequence[str],
    values_mm: ArrayLike,
    above_navel_mm: float | None = None,
) -> Estimates:
    """Every measure of NAMES that is not in `known`, given the values of those that are.

    `values_mm` has shape (..., k), one column per name of `known`. Estimates are medians. Raises
    ValueError for an unusable combination of names. Cost: one matrix product; the matrices are
    kept for each combination of names.
    """
    regression = _regression(build, above_navel_mm, tuple(known))
    logs = regression.mean + _departures(regression, values_mm) @ regression.slopes.T
    # The last column, the height of the waist tape, is not a logarithm but cm about its mean.
    above = 10 * logs[..., -1:]
    lengths = 10 * np.exp(logs[..., :-1])
    mm = np.concatenate([lengths, above], axis=-1) + regression.lift_mm
    tens = np.full_like(above, 10.0)
    sd_mm = np.concatenate([lengths, tens], axis=-1) * regression.sd
    return Estimates(regression.unknown, mm, sd_mm, regression.covariance)


def _frozen(array: Array) -> Array:
    array.setflags(write=False)
    return array
