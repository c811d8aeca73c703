"""The fabric as it lies on the table: x along its length from the cut end, y from the selvedge."""

from __future__ import annotations

from dataclasses import dataclass

from outseam.draft.border.printed import Border, border_of
from outseam.draft.fabric import Fabric
from outseam.draft.inputs.show import Units


@dataclass(frozen=True, slots=True, kw_only=True)
class Cloth:
    """Fabric ready for cutting, mm.

    `width_mm` is usable, selvedges off. Folded, it lies selvedge to selvedge: y = 0 is at the
    selvedges, y = `breadth_mm` at the fold. With a narrow fold the far selvedge is turned in, as
    far as the lay says: the fold is then the far edge of the fabric on the table, and y = 0 still
    the near selvedge. Repeats are of stripes or checks.
    """

    width_mm: float
    folded: bool = False
    narrow: bool = False
    one_way: bool = False
    slippery: bool = False
    gap_mm: float = 0.0
    in_hand_mm: float | None = None
    border: Border | None = None
    repeat_along_mm: float | None = None
    repeat_across_mm: float | None = None

    @property
    def striped(self) -> bool:
        """Whether it has stripes or checks to match."""
        return self.repeat_along_mm is not None or self.repeat_across_mm is not None

    @property
    def breadth_mm(self) -> float:
        """How far it reaches across the table; with a narrow fold, before that is turned in."""
        return self.width_mm / 2.0 if self.folded else self.width_mm


def cloth_of(fabric: Fabric, units: Units = "cm") -> Cloth:
    """Return the fabric of a spec in these units as it lies on the table."""
    return Cloth(
        width_mm=fabric.width_mm(units),
        folded=fabric.fold == "folded",
        narrow=fabric.fold == "narrow",
        one_way=bool(fabric.one_way),
        slippery=fabric.slippery,
        gap_mm=fabric.gap,
        in_hand_mm=fabric.length_in_hand,
        border=border_of(fabric),
        repeat_along_mm=fabric.repeat_along,
        repeat_across_mm=fabric.repeat_across,
    )
