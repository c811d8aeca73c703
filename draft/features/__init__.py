"""What is added to the legs and the band: one file each, and one line in `draft/style.py`.

Features are applied in the order of that registry; two that claim the same edge are refused.
"""

from __future__ import annotations

from functools import cache
from pkgutil import resolve_name

from outseam.draft.inputs.errors import InputError
from outseam.draft.model import Feature, Make
from outseam.draft.style import ANKLES, BELTS, POCKETS, Style


def all_features() -> tuple[Feature, ...]:
    """Return the registered features, in the order in which they are applied."""
    return _found((*POCKETS.values(), *BELTS.values(), *ANKLES.values()))


@cache
def _found(places: tuple[str, ...]) -> tuple[Feature, ...]:
    return tuple(resolve_name(at) for at in places if at)


def apply_features(make: Make) -> Make:
    """Return the pattern in the making with every feature that its style asks for.

    Raises InputError where two features claim the same edge of the same piece, where a size is
    given that none of them reads, and what the features raise.
    """
    asked = wanted(make.spec.style)
    _refuse_unread_sizes(make.spec.style, asked)
    taken: dict[tuple[str, str], str] = {}
    for feature in asked:
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
    """Return the features that a style asks for. Raises InputError for "none" beside another."""
    if "none" in style.pocket and len(style.pocket) > 1:
        raise InputError(
            "style.pocket",
            '"none" beside another word',
            '"none" alone, or the pockets you want',
            'take "none" out of the list',
        )
    return tuple(f for f in all_features() if f.wanted(style))


def _refuse_unread_sizes(style: Style, asked: tuple[Feature, ...]) -> None:
    """Raise InputError where a size is given for something these pants do not have."""
    read = {size for f in asked for size in f.sizes}
    known = all_features()
    for size in dict.fromkeys(size for f in known for size in f.sizes):
        if size in read or getattr(style, size) is None:
            continue
        owners = [f for f in known if size in f.sizes]
        words = " or ".join(f'{f.key} = "{f.value}"' for f in owners)
        raise InputError(
            f"style.{size}",
            f"given, but nothing on these pants has it: it belongs to {words}",
            hint=f"leave it out, or ask for the {owners[0].key}",
        )
