"""Waistbands: one file each, and one line in the registry."""

from __future__ import annotations

from outseam.draft.bands import casing, flat, folded, turned
from outseam.draft.bands.band import Band, BandContext, BandPlan

BANDS: tuple[Band, ...] = (folded.BAND, casing.BAND, turned.BAND, flat.BAND)

BAND_NAMES = tuple(b.name for b in BANDS)


def band_named(name: str) -> Band:
    """Return the waistband of that name; raises KeyError."""
    return next(b for b in BANDS if b.name == name)


__all__ = ["BANDS", "BAND_NAMES", "Band", "BandContext", "BandPlan", "band_named"]
