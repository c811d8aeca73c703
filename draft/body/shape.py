"""How broad and how deep a body is at waist and seat, which a tape round it does not tell.

Log-linear regressions on height, waist, hip and thigh, from the public survey ANSUR II (US Army,
2012, public domain; a random half: 993 women, 2041 men), its `waistbreadth` and `waistdepth` at the
navel, `hipbreadth` and `buttockdepth`. The survey's waist is level with the navel; a waist tape
further up is read as if it were that, which makes the depth for the breadth at most 2 % too small.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal

from outseam.draft.body.measures import Measures
from outseam.draft.body.population import Build

TrunkLevel = Literal["waist", "hip"]

#: ln breadth and ln depth, cm: constant, then slopes on ln height, waist, hip, thigh, cm. What one
#: person differs by (SD of the logarithm): breadths 0.02 to 0.03, depths 0.04 to 0.05.
_FITS: Final[dict[tuple[Build, TrunkLevel], tuple[tuple[float, ...], tuple[float, ...]]]] = {
    ("women", "waist"): (
        (-1.4327, 0.0858, 0.8535, 0.3127, -0.2072),
        (-0.9203, -0.1971, 1.1463, -0.3102, 0.3171),
    ),
    ("women", "hip"): (
        (-1.2482, 0.0175, -0.0274, 1.3224, -0.3083),
        (-0.8959, -0.2154, 0.2007, 0.5278, 0.4379),
    ),
    ("men", "waist"): (
        (-1.2377, 0.0721, 0.7488, 0.2749, -0.0782),
        (-1.2869, -0.0948, 1.2739, -0.1726, -0.0113),
    ),
    ("men", "hip"): (
        (-1.1403, 0.0806, 0.0006, 1.1791, -0.2877),
        (-1.1438, -0.1195, 0.3231, 0.4440, 0.3487),
    ),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class TrunkSection:
    """A level section of the trunk, mm: side to side, and front to back."""

    breadth_mm: float
    depth_mm: float


def section(
    build: Build, level: TrunkLevel, *, height: float, waist: float, hip: float, thigh: float
) -> TrunkSection:
    """Return what is usual for a body of these measures, mm."""
    logs = [math.log(mm / 10.0) for mm in (height, waist, hip, thigh)]

    def told(fit: tuple[float, ...]) -> float:
        return 10.0 * math.exp(fit[0] + sum(k * x for k, x in zip(fit[1:], logs, strict=True)))

    breadth, depth = _FITS[build, level]
    return TrunkSection(breadth_mm=told(breadth), depth_mm=told(depth))


def section_of(m: Measures, level: TrunkLevel) -> TrunkSection:
    """Return the usual section of a person's waist or seat, mm."""
    return section(m.build, level, height=m.height, waist=m.waist, hip=m.hip, thigh=m.thigh)
