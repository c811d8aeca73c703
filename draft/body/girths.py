"""The body's girth at any height between hip and ribs, from the girths that were measured."""

from __future__ import annotations

from outseam.draft.body.estimate import Measures


def girth_at(m: Measures, height_mm: float) -> float:
    """Return the body's girth at a height above the floor, mm, for levels from the hip up.

    Between hip and waist it is the monotone cubic that is level at both (where a tape finds the
    fullest and the narrowest, the girth does not change); above the waist and below the hip it
    stays what it was measured there.
    """
    low, high = m.hip_height, m.waist_height
    t = min(1.0, max(0.0, (height_mm - low) / (high - low)))
    return m.hip + (m.waist - m.hip) * t * t * (3.0 - 2.0 * t)
