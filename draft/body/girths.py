"""The body's girth at any height between hip and ribs, from the girths that were measured."""

from __future__ import annotations

from typing import Final

from outseam.curves.monotone import monotone_value
from outseam.draft.body.estimate import Measures
from outseam.draft.body.population import HIGH_HIP_MM

#: The high hip lies no further down than this share of the way from waist to hip.
_LOWEST_HIGH_HIP: Final = 0.6


def girth_at(m: Measures, height_mm: float) -> float:
    """Return the body's girth at a height above the floor, mm, for levels from the hip up.

    The cubic through waist, high hip and hip that rises and falls only where they do, level at the
    hip, where the tape finds the fullest; above the waist and below the hip the girth stays what it
    was measured there.
    """
    way = m.waist_height - m.hip_height
    high = m.waist_height - min(HIGH_HIP_MM, _LOWEST_HIGH_HIP * way)
    return monotone_value(
        (m.hip_height - way, m.hip_height, high, m.waist_height),
        (m.hip, m.hip, m.high_hip, m.waist),
        min(max(height_mm, m.hip_height), m.waist_height),
    )
