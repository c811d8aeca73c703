"""A finished file, and what was counted while making it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """The bytes of a file; `pages` says how many it has, None for one that has none."""

    data: bytes
    pages: dict[str, Any] | None = None
