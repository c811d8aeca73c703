"""The lay on view at a desk, so that a piece can be moved without laying all of them again."""

from __future__ import annotations

from dataclasses import dataclass

from outseam.draft.lay.model.result import Lay
from outseam.draft.lay.ways.rules import Rules


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """A lay, of which version of the spec it is, and what is kept beside it (None: nothing)."""

    version: int
    kept: object
    lay: Lay
    rules: Rules
