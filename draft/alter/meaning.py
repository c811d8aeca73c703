"""What a person says of a trial, found among its signs by what is meant and not by spelling.

Words stand for ideas: "baggy", "loose" and "saggy" are one, "bottom" and "seat" another. A sign is
meant when the ideas of what was said are those of one of its ways to be called.
"""

from __future__ import annotations

import re
from functools import cache
from typing import Final

from outseam.draft.alter.signs import SIGNS, Sign

#: Words by the idea they stand for, as people say them at the mirror.
_IDEAS: Final = {
    "seat": "seat bottom bum behind butt rear backside buttock buttocks",
    "front": "front",
    "back": "back",
    "tight": "tight snug narrow small strains straining pulls pulling pull stretches stretched",
    "cut": "cut cuts cutting dig digs digging bite bites pinch pinches wedgie catches",
    "slack": "slack baggy bag bags loose saggy sag sags sagging droop droops droopy wide big roomy",
    "folds": "fold folds wrinkle wrinkles wrinkled crease creases",
    "gape": "gape gapes gaping gap gaps",
    "ride": "ride rides riding creep creeps climb climbs",
    "dip": "dip dips dipping pulled",
    "slip": "slip slips slipping slide slides sliding fall falls falling",
    "under": "under below beneath underneath",
    "waist": "waist waistline top",
    "band": "band waistband elastic",
    "hip": "hip hips",
    "thigh": "thigh thighs",
    "calf": "calf calves",
    "knee": "knee knees",
    "crotch": "crotch crutch fork",
    "hem": "hem hems leg legs trousers pants ankle",
    "belly": "belly tummy stomach",
    "short": "short",
    "long": "long drags trails",
    "high": "high higher",
    "low": "low lower hangs",
    "inside": "inside inner",
    "outside": "outside outer",
    "side": "side outseam seam",
    "one": "one",
    "forward": "forward forwards",
    "backward": "backward backwards",
    "swing": "swing swings swinging twist twists twisting lean leans",
    "smile": "smile smiles",
    "frown": "frown frowns",
}
_IDEA_OF: Final = {word: idea for idea, words in _IDEAS.items() for word in words.split()}

#: What carries no meaning here.
_EMPTY_WORDS: Final = (
    "a an and are at be by feel feels from has have i in is it its my of off on or out so the "
    "there they this to too up very when with down across round around over"
)
_EMPTY: Final = frozenset(_EMPTY_WORDS.split())


def ideas(text: str) -> frozenset[str]:
    """Return the ideas in a text; a word that stands for none is one by itself."""
    words = re.findall(r"[^\W\d_]+", text.casefold())
    return frozenset(_IDEA_OF.get(w, w) for w in words if w not in _EMPTY)


@cache
def _called() -> tuple[tuple[Sign, frozenset[str]], ...]:
    return tuple((sign, ideas(name)) for sign in SIGNS for name in sign.names)


def meant(text: str) -> tuple[Sign, ...]:
    """Return the signs that a text may mean: one where it is plain, several, or none.

    Plain is what has exactly the ideas of one sign's names. Else every sign is told that has all
    of the ideas, or all but what the text says besides.
    """
    said = ideas(text)
    if not said:
        return ()
    exactly = {sign.key: sign for sign, names in _called() if names == said}
    if exactly:
        return tuple(exactly.values())
    having = {sign.key: sign for sign, names in _called() if said < names}
    if having:
        return tuple(having.values())
    within = {sign.key: sign for sign, names in _called() if len(names) > 1 and names < said}
    return tuple(within.values())
