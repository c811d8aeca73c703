"""All measures of a body that a draft needs, each known from the tape or estimated."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from outseam.draft.body.population import Build

#: Every length of `Measures`.
LENGTHS: Final = (
    *("height", "waist", "hip", "high_hip", "thigh", "knee", "calf", "ankle", "foot", "inside_leg"),
    *("waist_height", "hip_height", "knee_height"),
    *("crotch_length", "front_crotch_length", "back_crotch_length", "waist_above_navel"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A measure that was not given: its value and standard deviation in mm."""

    name: str
    mm: float
    sd_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """A measure known from the tape: `name` in the model, `mm`, and the `key` it was given by."""

    name: str
    mm: float
    key: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Measures:
    """Everything a draft needs to know of a body. All lengths in mm.

    Waist measures (waist, waist_height, crotch lengths) hold for the level of the waist tape;
    heights are from the floor, `inside_leg` to the crotch as a rod or book pressed firmly finds it.
    front_crotch_length + back_crotch_length = crotch_length always. `split_given`: both halves are
    known from the tape. `given`: keys of the file; `measured`: what the model was conditioned on;
    `estimates`: the rest; `notes`: sentences about measurements that disagree.
    """

    build: Build
    name: str = ""
    height: float
    waist: float
    hip: float
    high_hip: float
    thigh: float
    knee: float
    calf: float
    ankle: float
    foot: float
    inside_leg: float
    waist_height: float
    hip_height: float
    knee_height: float
    crotch_length: float
    front_crotch_length: float
    back_crotch_length: float
    waist_above_navel: float
    split_given: bool
    given: tuple[str, ...]
    measured: tuple[Measured, ...]
    estimates: tuple[Estimate, ...]
    notes: tuple[str, ...]

    def estimate(self, name: str) -> Estimate | None:
        """The estimate behind a measure, or None if it was measured."""
        return next((one for one in self.estimates if one.name == name), None)
