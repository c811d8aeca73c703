"""The twelve lays that are measured, and what the longest search for each came to.

`lay_reference.json` holds those lengths. They are from the gallery's patterns as they were drafted
then, and settled by sliding along the fabric only; a case whose `area_mm2` has changed by more than
a thousandth has no reference any more, and one that has changed by less is told to some tenths of a
per cent. `python -m bench.lay_reference --anew` makes them.
"""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from outseam.draft.model import Pattern
from outseam.draft.pattern import draft_pattern
from outseam.draft.spec.spec import load_spec

GALLERY = Path(__file__).parents[2] / "gallery"
REFERENCE = Path(__file__).with_name("lay_reference.json")
#: Pieces whose area differs by more than this share are no longer those of the reference.
_SAME_SHARE = 1e-3


class Case(NamedTuple):
    """A style of the gallery on a fabric; `width` in mm."""

    style: str
    width: float
    fold: str
    one_way: bool

    @property
    def says(self) -> str:
        """What it is called in tables and in the file of references."""
        turns = "one way" if self.one_way else "half turns"
        return f"{self.style} {self.width:.0f} {self.fold} {turns}"

    def pattern(self) -> Pattern:
        """Return its pattern, drafted."""
        spec = load_spec(GALLERY / f"{self.style}.toml")
        fabric = replace(spec.fabric, width=self.width, fold=self.fold, one_way=self.one_way)  # type: ignore[arg-type]
        return draft_pattern(replace(spec, fabric=fabric))


#: The narrow ones, where legs have to nest, come first.
CASES = (
    Case("straight-97", 1120.0, "single", False),
    Case("palazzo-116", 1500.0, "single", False),
    Case("flare-92", 1120.0, "folded", False),
    Case("straight-97", 1120.0, "single", True),
    Case("flare-92", 1120.0, "single", False),
    Case("palazzo-116", 1120.0, "folded", True),
    Case("palazzo-116", 1500.0, "folded", False),
    Case("straight-97", 1400.0, "single", False),
    Case("flare-92", 1400.0, "folded", True),
    Case("flare-92", 1500.0, "single", True),
    Case("palazzo-116", 1400.0, "single", True),
    Case("straight-97", 1500.0, "folded", False),
)


@cache
def references() -> dict[str, dict[str, Any]]:
    """Return the references by what their case is called; none where there is no file."""
    if not REFERENCE.exists():
        return {}
    cases: dict[str, dict[str, Any]] = json.loads(REFERENCE.read_text())["cases"]
    return cases


def reference_mm(case: Case, area_mm2: float) -> float | None:
    """Return the length of a case's reference; None if there is none for pieces of this area."""
    found = references().get(case.says)
    if found is None or abs(found["area_mm2"] / area_mm2 - 1.0) > _SAME_SHARE:
        return None
    return float(found["length_mm"])
