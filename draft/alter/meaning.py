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

#: Other ways to call each sign, in everyday words (common practice, no source).
_CALLED: Final[dict[str, tuple[str, ...]]] = {
    "hip line dips at the back": ("hip dips at the back",),
    "hip line rises at the back": ("hip climbs at the back", "seat too big"),
    "hip line dips, waist stays": ("hip dips waist stays",),
    "hip line rises, waist stays": ("hip climbs waist stays",),
    "waist dips at the back": (
        *("slides down at the back", "top dips at the back", "back too short", "seat too short"),
        *("waist too low at the back", "back rise too short"),
    ),
    "waist dips in front": (
        *("top dips at the front", "front too short", "belly too tight", "slides under the belly"),
        *("waist too low in front", "waist slides down in front"),
    ),
    "waist gapes in front": ("gaps at the front", "front waist gaps", "front waist loose"),
    "folds below the back waist": (
        *("gaps at the back", "waist gaps at the back", "band gaps at the back"),
        *("back waist too loose", "folds under the band at the back"),
    ),
    "waist higher in front": ("waist too high in front",),
    "waist higher at the back": ("waist too high at the back",),
    "waist dips on one side": ("one hip higher", "waist lower on one side"),
    "waist stands up on one side": ("one hip lower", "waist higher on one side"),
    "smiles at the front crotch": (
        *("rides up", "crotch rides up", "crotch too tight", "crotch too high", "crotch cuts"),
        *("crotch too short", "smile at the front"),
    ),
    "frowns at the front crotch": (
        *("crotch too low", "crotch too long", "crotch hangs low", "baggy crotch"),
        *("frown at the front",),
    ),
    "front crotch curve cuts in": ("cuts at the front", "tight at the front crotch"),
    "front crotch curve is slack": ("baggy at the front", "baggy at the front crotch"),
    "back crotch curve cuts in": ("cuts at the back", "cuts into the seat"),
    "back crotch curve is slack": ("baggy at the back", "baggy at the back crotch"),
    "wrinkles under the seat": ("baggy under the seat", "folds under the seat", "sags under seat"),
    "tight across the thigh": ("thigh too tight", "thigh cuts"),
    "slack inside the thigh": ("baggy thigh", "thigh too wide"),
    "tight across the seat": ("seat too tight", "tight across the seat"),
    "loose across the seat": ("seat too wide", "baggy across the seat"),
    "seat fuller on one side": ("one side of the seat too tight", "one side fuller at the back"),
    "thigh fuller on one side": ("one thigh too tight", "one thigh bigger"),
    "loose all over": ("too big", "too wide", "too loose", "baggy all over"),
    "tight across the hip": ("hip too tight",),
    "side seam swings forward": ("side twists forward",),
    "side seam swings back": ("side twists back", "side seam twists backwards"),
    "folds inside the knee": (),
    "folds outside the knee": (),
    "tight across the calf": ("calf too tight", "catches on the calf"),
    "slack round the calf": ("baggy calf", "calf too wide"),
    "knee too high": (),
    "knee too low": (),
    "hem too short": ("too short", "legs too short"),
    "hem too long": ("too long", "legs too long", "drags"),
    "band slips": ("slides down", "waist slides", "falls down", "band too loose", "waist too wide"),
    "band cuts": ("waist cuts in", "band too tight", "waist too tight", "band digs in"),
}


def ideas(text: str) -> frozenset[str]:
    """Return the ideas in a text; a word that stands for none is one by itself."""
    words = re.findall(r"[^\W\d_]+", text.casefold())
    return frozenset(_IDEA_OF.get(w, w) for w in words if w not in _EMPTY)


@cache
def _called() -> tuple[tuple[Sign, frozenset[str]], ...]:
    return tuple(
        (sign, ideas(name)) for sign in SIGNS for name in (sign.key, *_CALLED.get(sign.key, ()))
    )


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
