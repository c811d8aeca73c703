"""What is added to the legs and the band: one file each, and one line in the registry.

Features are applied in the order of the registry; two that claim the same edge are refused.
"""

from __future__ import annotations

from draft.errors import InputError
from draft.features.feature import Feature, Make
from draft.style import Style

FEATURES: tuple[Feature, ...] = ()


def apply_features(make: Make) -> Make:
    """Return the pattern in the making with every feature that its style asks for.

    Raises InputError where two features claim the same edge of the same piece.
    """
    taken: dict[tuple[str, str], str] = {}
    for feature in wanted(make.spec.style):
        for claim in feature.claims(make):
            if claim in taken:
                piece, edge = claim
                raise InputError(
                    f"style.{feature.key}",
                    f"{feature.says} and {taken[claim]} both need the {edge} of the {piece} leg",
                    "one of the two",
                    "leave one out",
                )
            taken[claim] = feature.says
        make = feature.apply(make)
    return make


def wanted(style: Style) -> tuple[Feature, ...]:
    """Return the features that a style asks for."""
    return tuple(f for f in FEATURES if f.wanted(style))
