"""From the data of a spec to a draft, or the one sentence that says why there is none."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Final

from outseam.cli.fitting.spec_text import data_of
from outseam.cli.page.folder import Folder
from outseam.draft.inputs.errors import InputError, OutseamError, UnsolvableError
from outseam.draft.inputs.show import Units
from outseam.draft.spec.spec import Spec, build_spec, parse_spec

if TYPE_CHECKING:
    from outseam.draft.model import Pattern

#: What has to be measured before anything can be drafted.
NEEDED: Final = ("height", "waist", "hip", "inside_leg")


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """Why there is no draft: the key it is about (`body.hip`; "" for the whole file), in words."""

    field: str
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftOutcome:
    """What came of a text: its spec and pattern as far as they can be had, and the fault if not."""

    spec: Spec | None = None
    pattern: Pattern | None = None
    fault: Fault | None = None


def in_words(e: OutseamError) -> Fault:
    """Return an error as it is told on the page: keys as words, without the table's name."""
    field = ""
    if isinstance(e, InputError):
        field = e.field
    elif isinstance(e, UnsolvableError):
        field = f"body.{e.measurement}"
    return Fault(field=field, says=said(str(e)))


_KEY: Final = re.compile(r"\b(?:body|fabric|style|print)\.([a-z_]+)")


def said(text: str) -> str:
    """Return a sentence with the keys of the file turned into words."""
    text = _KEY.sub(lambda m: m[1].replace("_", " "), text)
    return re.sub(r"\b[a-z]+(?:_[a-z]+)+\b", lambda m: m[0].replace("_", " "), text)


def spec_of(folder: Folder, data: dict[str, Any], shown: Units | None = None) -> Spec:
    """Return the spec in the data of a file, told in the unit shown. Raises InputError."""
    folder.refuse_outside(data)
    spec = build_spec(data, folder.root)
    return spec if shown is None else replace(spec, units=shown)


def missing(data: dict[str, Any]) -> tuple[str, ...]:
    """Return which of the measurements that are needed are not there yet."""
    body = data.get("body", {})
    if not isinstance(body, dict):
        return ()
    return tuple(key for key in NEEDED if body.get(key, "") == "")


def draft_of(folder: Folder, data: dict[str, Any], shown: Units | None = None) -> DraftOutcome:
    """Return the draft of the data of a file; never raises what a person can cause."""
    from outseam.draft.pattern import draft_pattern

    spec = None
    try:
        if isinstance(data.get("body", {}), dict) and missing(data):
            return DraftOutcome(fault=Fault(field="", says=""))
        spec = spec_of(folder, data, shown)
        return DraftOutcome(spec=spec, pattern=draft_pattern(spec))
    except OutseamError as e:
        return DraftOutcome(spec=spec, fault=in_words(e))


def broken(text: str, name: str) -> Fault | None:
    """Return why a text cannot be read at all, None if it can."""
    try:
        data_of(text)
    except (tomllib.TOMLDecodeError, RecursionError, ValueError):
        try:
            parse_spec(text, name)
        except InputError as e:
            return Fault(field="", says=str(e))
    return None
