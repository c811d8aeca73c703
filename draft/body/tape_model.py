"""How likely the readings of a tape are, all of them together, on a body of a build.

What the survey knows of bodies (`population`) is carried over to the keys of the file: a
rise is a height less the inside leg, an outside leg a height along the hip, and each is read with
an error of its own. So keys that tell the same thing twice, as a crotch length and its halves, are
judged like all the others. The whole is a multivariate t, whose tails allow for bodies that are
unusual in everything at once.

Lengths in mm at the interface. Inside, a length is its natural logarithm, and one that is a
difference of two (a rise, a front half) stays a length, in units of its mean.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from outseam.draft.body.population import LIFTED, NAMES, Array, Build, load_model
from outseam.draft.body.readings import HIP_CURVE_MM, SEATED_LOWER_MM

#: A reading of a tape at home is good to about this, sd. From memory: the survey's own trained
#: measurers were allowed 3 to 11 mm between two readings of such lengths.
READING_SD_MM: Final = 5.0
#: Readings that follow the body another way than the survey's: sd besides, from memory of tape
#: practice, no source.
_OTHER_WAY_SD_MM: Final = {"outside_leg": 10.0, "body_rise": 10.0, "waist_to_hip": 8.0}

#: Degrees of freedom of the t, and by how much its sd is wider than that of the survey, whose
#: figures are themselves known from a thousand or two of people. Chosen with the survey's kept
#: half, as noted beside the figures.
_DEGREES: Final = 25.0
_WIDER: Final = 1.05

#: Keys that are sums of measures of the model, and what is added to them on the way, mm.
_SUMS: Final[dict[str, dict[str, float]]] = {
    "outside_leg": {"waist_height": 1.0},
    "body_rise": {"waist_height": 1.0, "inside_leg": -1.0},
}
_ADDED_MM: Final = {"outside_leg": HIP_CURVE_MM, "body_rise": SEATED_LOWER_MM}
_DIFFERENCES: Final = frozenset({"body_rise", "waist_to_hip", "front_crotch_length"})


@dataclass(frozen=True, slots=True)
class TapeModel:
    """The distribution of some keys of the file, k of them.

    `mean` and `unit_mm` (k,): a key is at its mean at exp(mean) * unit_mm, or at mean * unit_mm
    where `linear`, over its `offset_mm`; `precision` (k, k): inverse covariance.
    """

    keys: tuple[str, ...]
    mean: Array
    unit_mm: Array
    linear: np.ndarray[tuple[int], np.dtype[np.bool_]]
    offset_mm: Array
    precision: Array
    log_det: float

    def _departures(self, rows_mm: ArrayLike) -> tuple[Array, Array]:
        """Return departures from the mean (..., k), and ln of their slope by mm, summed (...)."""
        x = (np.asarray(rows_mm, float) - self.offset_mm) / self.unit_mm
        with np.errstate(invalid="ignore", divide="ignore"):
            logs = np.log(x)
        found = np.where(self.linear, x, logs) - self.mean
        slopes = -np.where(self.linear, 0.0, logs) - np.log(self.unit_mm)
        return found, slopes.sum(axis=-1)

    def _log_t(self, squares: Array, count: int, log_det: ArrayLike) -> Array:
        """Return ln of the t's density where the squared distance (of the covariance) is given."""
        v = _DEGREES
        constant = math.lgamma((v + count) / 2.0) - math.lgamma(v / 2.0)
        constant -= count / 2.0 * math.log(math.pi * (v - 2.0))
        # The scale of a t is (v - 2) / v of its covariance.
        found: Array = constant - np.asarray(log_det) / 2.0
        return found - (v + count) / 2.0 * np.log1p(squares / (v - 2.0))

    def log_density(self, rows_mm: ArrayLike) -> Array:
        """Return ln of the density by mm of rows (..., k); -inf where a length is none."""
        d, slopes = self._departures(rows_mm)
        with np.errstate(invalid="ignore"):
            squares = ((d @ self.precision) * d).sum(axis=-1)
            found = self._log_t(squares, len(self.keys), self.log_det) + slopes
        return np.where(np.isfinite(found), found, -np.inf)

    def log_density_without(self, row_mm: ArrayLike) -> Array:
        """Return the same (k,) were each key in turn anywhere between 1/e and e times its mean.

        Of a key whose length is none (0 or less) only the others count.
        """
        d, _ = self._departures(row_mm)
        bad = ~np.isfinite(d)
        diagonal = np.diag(self.precision)
        out = np.full(len(self.keys), -np.inf)
        if bad.sum() > 1:
            return out
        d = np.where(bad, 0.0, d)
        pull = self.precision @ d
        squares = np.maximum(d @ pull - pull * pull / diagonal, 0.0)
        found = self._log_t(squares, len(self.keys) - 1, self.log_det + np.log(diagonal))
        slope = -np.log(self.unit_mm) - np.where(self.linear, 0.0, d + self.mean)
        found = found + math.log(0.5) + slope.sum()
        return np.where(bad, found, out) if bad.any() else found

    def scores(self, rows_mm: ArrayLike) -> Array:
        """Return how many sd each key (..., k) lies off what all the others let expect."""
        d, _ = self._departures(rows_mm)
        found: Array = d @ self.precision / np.sqrt(np.diag(self.precision))
        return found

    @property
    def sd_mm(self) -> Array:
        """How surely (k,) each key is told by all the others: sd of it, at its mean."""
        middle = np.where(self.linear, 1.0, np.exp(self.mean)) * self.unit_mm
        found: Array = middle / np.sqrt(np.diag(self.precision))
        return found

    def expected(self, row_mm: ArrayLike) -> tuple[Array, Array]:
        """Return what all the other keys let expect of each (k,), mm, and its sd, mm."""
        d, _ = self._departures(row_mm)
        diagonal = np.diag(self.precision)
        d = np.where(np.isfinite(d), d, 0.0)
        at = self.mean + d - self.precision @ d / diagonal
        # Beside a reading that no body has, what is expected may lie beyond all numbers.
        length = np.where(self.linear, at, np.exp(np.minimum(at, _MOST_LN))) * self.unit_mm
        sd = np.where(self.linear, self.unit_mm, length) / np.sqrt(diagonal)
        return length + self.offset_mm, sd


#: Longer than any length, as a logarithm.
_MOST_LN = 100.0


@lru_cache(maxsize=512)
def tape_model(build: Build, keys: tuple[str, ...], above_navel_mm: float | None) -> TapeModel:
    """Return the distribution of some keys, for a waist tape so far above the navel.

    None: where it lies is not known.
    """
    model = load_model(build, above_navel_mm, judging=True)
    place = {name: i for i, name in enumerate(NAMES)}
    middle = 10.0 * np.exp(model.mean[: len(LIFTED)])
    into = np.zeros((len(keys), len(NAMES)))
    unit, offset, noise = np.ones(len(keys)), np.zeros(len(keys)), np.zeros(len(keys))
    for i, key in enumerate(keys):
        parts = _SUMS.get(key, {key: 1.0})
        unit[i] = sum(times * middle[place[name]] for name, times in parts.items())
        for name, times in parts.items():
            into[i, place[name]] = times * middle[place[name]] / unit[i]
            offset[i] += times * model.lift_mm[place[name]]
        offset[i] += _ADDED_MM.get(key, 0.0)
        noise[i] = math.hypot(READING_SD_MM, _OTHER_WAY_SD_MM.get(key, 0.0)) / unit[i]
    spread = into @ model.covariance @ into.T + np.diag(np.square(noise))
    spread *= _WIDER * _WIDER
    linear = np.array([key in _DIFFERENCES for key in keys])
    return TapeModel(
        keys=keys,
        mean=np.where(linear, 1.0, 0.0),
        unit_mm=unit,
        linear=linear,
        offset_mm=offset,
        precision=np.linalg.inv(spread),
        log_det=float(np.linalg.slogdet(spread)[1]),
    )
