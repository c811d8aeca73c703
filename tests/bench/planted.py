"""Slips planted in good bodies, and what the program makes of them at the door and in the draft.

The slips are written here on their own, not with the program's list of them.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

import numpy as np

from outseam.draft.body.entry import read_body
from outseam.draft.body.estimate import complete
from outseam.draft.body.slips import length_keys
from outseam.draft.body.table import Body
from outseam.draft.body.tape_check import sentence, suspects
from outseam.draft.body.tape_model import tape_model
from outseam.draft.inputs.errors import InputError

LENGTHS = tuple(k for k in Body.__dataclass_fields__ if k not in ("build", "name"))
#: How each kind of slip is said; a message that names it holds one of these.
SAID = {
    "inch number as cm": ("read in inches", "right in inches"),
    "cm number as inches": ("read in centimetres", "right in centimetres"),
    "ten": ("a ten was misread",),
    "digits": ("two digits were swapped",),
    "level": ("at the waist than",),
    "swap": ("were swapped",),
    "five": ("a five was misread",),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Planted:
    """A body with a slip: its `kind`, the keys it changed, the good body, and its size in sd."""

    kind: str
    keys: tuple[str, ...]
    good: Body
    bad: Body
    sd: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What became of it: "warned", "refused" or "missed"; whether it was named right."""

    how: str
    named: bool
    says: str


def swapped(mm: float) -> tuple[float, ...]:
    """Return the lengths whose centimetres, written to one decimal, have two digits exchanged."""
    text = f"{mm / 10:.1f}"
    places = [i for i, c in enumerate(text) if c != "."]
    found = []
    for a, b in pairwise(places):
        other = list(text)
        other[a], other[b] = text[b], text[a]
        if text[a] != text[b] and other[0] != "0":
            found.append(10.0 * float("".join(other)))
    return tuple(found)


def _size(good: Body, bad: Body) -> float:
    """Return the largest change of score, in conditional sd, of a reading that the slip changed."""
    keys = length_keys(good)
    mm = [[getattr(b, key) for key in keys] for b in (good, bad)]
    z = tape_model(good.build, keys, good.waist_above_navel).scores(mm)
    changes = [abs(float(z[1, i] - z[0, i])) for i in range(len(keys)) if mm[0][i] != mm[1][i]]
    return max((c if math.isfinite(c) else math.inf for c in changes), default=0.0)


def _with(body: Body, values: dict[str, float]) -> Body:
    changed: dict[str, Any] = {k: round(v, 1) for k, v in values.items()}
    return replace(body, **changed)


def plant(body: Body, rng: np.random.Generator) -> Iterator[Planted]:
    """Yield each kind of slip once, on a measurement picked at random."""
    given = [k for k in LENGTHS if getattr(body, k) is not None and k != "waist_above_navel"]

    def pick() -> tuple[str, float]:
        key = given[int(rng.integers(len(given)))]
        return key, float(getattr(body, key))

    def planted(kind: str, values: dict[str, float]) -> Planted:
        bad = _with(body, values)
        size = _size(body, bad)
        return Planted(kind=kind, keys=tuple(values), good=body, bad=bad, sd=size)

    key, mm = pick()
    yield planted("inch number as cm", {key: mm / 2.54})
    key, mm = pick()
    yield planted("cm number as inches", {key: mm * 2.54})
    key, mm = pick()
    yield planted("ten", {key: mm + (100.0 if rng.random() < 0.5 else -100.0)})
    key, mm = pick()
    if others := swapped(mm):
        yield planted("digits", {key: others[int(rng.integers(len(others)))]})
    times = {"waist_height": 1, "outside_leg": 1, "body_rise": 1, "waist_to_hip": 1,
             "crotch_length": 2, "front_crotch_length": 1, "back_crotch_length": 1}  # fmt: skip
    at_waist = {k: getattr(body, k) + 50.0 * times[k] for k in given if k in times}
    key = list(at_waist)[int(rng.integers(len(at_waist)))]
    yield planted("level", {key: at_waist[key]})
    for says, wanted in (("heights", False), ("crotch", True)):
        some = {k: v for k, v in at_waist.items() if k.endswith("crotch_length") is wanted}
        some |= {"crotch_length": at_waist["crotch_length"]} if wanted else {}
        if len(some) > 1:
            yield planted(f"level, {says}", some)
    yield planted("level, all", at_waist)
    halves = [k for k in given if k in ("front_crotch_length", "back_crotch_length")]
    if len(halves) == 2:
        key = halves[int(rng.integers(2))]
        yield planted("halves do not add up", {key: getattr(body, key) + 50.0})


#: Slips of everyday size, each in every body: keys and what is added or taken off, mm.
EVERYDAY = (("hip", 100.0), ("inside_leg", 50.0), ("thigh", 100.0))


def plant_everyday(body: Body) -> Iterator[Planted]:
    """Yield slips of everyday size, up and down, and waist and hip in each other's place."""
    for key, mm in EVERYDAY:
        if (at := getattr(body, key)) is not None:
            for sign in (1.0, -1.0):
                bad = _with(body, {key: at + sign * mm})
                kind = "ten" if mm == 100.0 else "five"
                yield Planted(kind=kind, keys=(key,), good=body, bad=bad, sd=_size(body, bad))
    bad = _with(body, {"waist": body.hip, "hip": body.waist})
    yield Planted(kind="swap", keys=("waist", "hip"), good=body, bad=bad, sd=_size(body, bad))


def face(p: Planted) -> Outcome:
    """Write the body with its slip as the file of a person would, in cm, and see what is said."""
    raw: dict[str, Any] = {k: v / 10 for k in LENGTHS if (v := getattr(p.bad, k)) is not None}
    try:
        body = read_body(raw | {"build": p.bad.build}, "cm")
        complete(body)
    except InputError as error:
        return Outcome(how="refused", named=_named(p, str(error)), says=str(error))
    found = suspects(body)
    if not found:
        return Outcome(how="missed", named=False, says="")
    says = " | ".join(sentence(s, "cm") for s in found)
    # Only the first sentence counts: more than one would be a guess for the reader to make.
    return Outcome(how="warned", named=_named(p, says.split(" | ")[0]), says=says)


def _named(p: Planted, says: str) -> bool:
    """Whether the words hold a measurement that is wrong, the kind of slip and the right value.

    Halves that do not add up have no reason that the words could name: there the measurement and
    the value have to be right.
    """
    text = says.replace("_", " ")
    halves = p.kind.startswith("halves")
    kind = "level" if p.kind.startswith("level") else p.kind
    right_key = any(_speaks_of(k, text) for k in p.keys)
    right_kind = halves or any(words in text for words in SAID[kind])
    values = [10.0 * float(x) for x in re.findall(r"(\d+(?:\.\d)?) cm", text)]
    # A level is "about": 2 cm, and twice that where it counts twice; so is what halves should be.
    allowed = 41.0 if kind == "level" else 20.0 if halves else 1.1
    fits = any(abs(v - getattr(p.good, k)) <= allowed for v in values for k in p.keys)
    return right_key and right_kind and fits


def _speaks_of(key: str, text: str) -> bool:
    """Whether the words name this measurement, and not one whose name holds it ("knee height")."""
    name = re.escape(key.replace("_", " "))
    return bool(re.search(rf"(?<!front )(?<!back )\b{name}\b(?! height| to hip)", text))
