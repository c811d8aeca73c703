"""A grade stated as rules: a base body, and by how much each measurement steps from size to size.

units = "cm"
labels = ["S", "M", "L", "XL"]
base = "M"

[body]                       # of the base size; keys as in a spec
waist = 72
hip = 96

[steps]                      # one step for all sizes, or one from each size to the next
waist = 4
hip = [4, 4, 5]
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import accumulate
from typing import Any, Final

from outseam.draft.body.population import BUILDS, Build
from outseam.draft.body.table import Body
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import Units
from outseam.draft.inputs.tables import table_of, unknown_key
from outseam.draft.inputs.text import clip, describe, listing
from outseam.draft.inputs.units import length_mm
from outseam.draft.inputs.value_kinds import Length
from outseam.draft.sizes.run import MOST_SIZES, Size
from outseam.draft.sizes.tables import filled_body
from outseam.draft.spec.spec import read_units

KEYS: Final = ("title", "units", "labels", "base", "body", "steps")


def grade_sizes(raw: Mapping[str, Any], height_mm: float | None = None) -> tuple[Size, ...]:
    """Return the sizes that the tables of a grade file describe. Raises InputError."""
    for key in raw:
        if key not in KEYS:
            raise InputError(clip(key), "a grade has no such key", listing(KEYS, "and"))
    units = read_units(raw.get("units", "cm"))
    labels = _labels(raw.get("labels"))
    base = str(raw.get("base", labels[0]))
    if base not in labels:
        raise InputError("base", f'"{clip(base)}"', f"one of the labels, {listing(labels)}")
    build, lengths = _body(raw.get("body"), units)
    steps = _steps(raw.get("steps", {}), len(labels) - 1, units)
    at = labels.index(base)
    sizes = []
    for i, label in enumerate(labels):
        own = dict(lengths)
        for key, moved in steps.items():
            if key not in own:
                raise InputError(
                    f"steps.{key}", "the base body does not have it", "", f"give body.{key}, too"
                )
            own[key] += moved[i] - moved[at]
        sizes.append(Size(label=label, body=_checked(label, build, own, height_mm, units)))
    return tuple(sizes)


def _labels(raw: object) -> list[str]:
    if not isinstance(raw, list) or not 2 <= len(raw) <= MOST_SIZES:
        raise InputError(
            "labels", "not given" if raw is None else describe(raw), "a list of 2 labels or more"
        )
    return [str(label) for label in raw]


def _lengths() -> dict[str, Length]:
    return {f.key: f.kind for f in table_of(Body) if isinstance(f.kind, Length)}


def _body(raw: object, units: Units) -> tuple[Build, dict[str, float]]:
    if not isinstance(raw, Mapping):
        raise InputError("body", "not given", "a table [body] with the base size, waist and hip")
    build: Build = raw.get("build", "women")
    if build not in BUILDS:
        raise InputError("body.build", describe(build), listing(BUILDS))
    return build, {
        key: _length_of(key).read(value, f"body.{key}", units)
        for key, value in raw.items()
        if key not in ("build", "name")
    }


def _length_of(key: str) -> Length:
    found = _lengths().get(key)
    if found is None:
        raise unknown_key(key, "body", Body, {})
    return found


def _steps(raw: object, count: int, units: Units) -> dict[str, list[float]]:
    """Return how far each measurement has moved at every size, from the first one, mm."""
    if not isinstance(raw, Mapping):
        raise InputError("steps", describe(raw), "a table: a line [steps] with its keys below it")
    moved = {}
    for key, value in raw.items():
        _length_of(key)
        listed = value if isinstance(value, list) else [value] * count
        if len(listed) != count:
            raise InputError(
                f"steps.{key}",
                f"{len(listed)} steps",
                f"{count}, one from each size to the next, or a single one for all",
            )
        mm = [length_mm(one, units, f"steps.{key}", negative=True) for one in listed]
        moved[key] = [0.0, *accumulate(mm)]
    return moved


def _checked(
    label: str, build: Build, lengths: dict[str, float], height_mm: float | None, units: Units
) -> Body:
    """Return the body of a size, each length within what a body can have."""
    for key, mm in lengths.items():
        kind = _length_of(key)
        if not kind.low <= mm <= kind.high:
            raise InputError(
                f"size {label}, {key}",
                kind.shows(mm, units),
                kind.says(units),
                "take smaller steps",
            )
    return filled_body(build, lengths, height_mm)
