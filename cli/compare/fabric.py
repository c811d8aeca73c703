"""About how much fabric each variant of a comparison takes, all found in the same quick way."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from outseam.cli.wording.fabric import FOR_IT
from outseam.draft.inputs.show import Units, show_length
from outseam.draft.lay.ways.quick import FabricLength, fabric_length
from outseam.draft.variants import Comparison

#: Shown in whole centimetres or inches, rounded up: a quick lay is no better than that.
_STEP_MM: dict[Units, float] = {"cm": 10.0, "mm": 10.0, "in": 25.4}


@dataclass(frozen=True, slots=True, kw_only=True)
class FabricNeeded:
    """What was found for each drafted variant, by its number."""

    found: Mapping[int, FabricLength]

    def about_mm(self, number: int, units: Units) -> float | None:
        """Return the length of a variant as it is shown, rounded up; None where it has none."""
        one = self.found.get(number)
        if one is None or one.length_mm is None:
            return None
        step = _STEP_MM[units]
        return step * math.ceil(round(one.length_mm / step, 6))

    def remarks(self, units: Units) -> Iterator[tuple[tuple[int, ...], str]]:
        """Yield the numbers of variants and a sentence: where no lay was found, and how one was."""
        refused: dict[str, list[int]] = {}
        laid: dict[float, list[int]] = {}
        for number, one in self.found.items():
            if one.length_mm is None:
                refused.setdefault(one.why, []).append(number)
            else:
                laid.setdefault(one.width_mm, []).append(number)
        for why, numbers in refused.items():
            yield tuple(numbers), f"Fabric needed was not found: {why.removesuffix('.')}."
        for width, numbers in laid.items():
            yield (
                tuple(numbers),
                f"Fabric needed is that of a quick lay on {show_length(width, units)} usable "
                f"width, about; {FOR_IT}.",
            )


def fabric_of(comparison: Comparison) -> FabricNeeded:
    """Return about how much fabric every drafted variant takes."""
    return FabricNeeded(
        found={v.number: fabric_length(v.pattern) for v in comparison.drafted if v.pattern}
    )
