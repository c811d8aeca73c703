"""Named lengths: how high above the floor the finished hem sits. One line each.

Ratios of the inside leg follow the common practice of naming lengths (no source): full .96-1.0,
ankle .90-.93 (5 cm above full), seven-eighths .85-.88, cropped .79-.83, capri .70-.80,
knee .40-.45.
"""

from __future__ import annotations

from dataclasses import dataclass

from outseam.draft.body.estimate import Measures

ANKLE_ABOVE_FULL_MM = 50.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LegLength:
    """One named length; the hem lies at (1 - ratio) x inside leg above the floor, plus `up_mm`."""

    name: str
    says: str
    ratio: float
    up_mm: float = 0.0

    def hem_height_mm(self, m: Measures) -> float:
        """Return the height of the finished hem above the floor, mm."""
        return m.inside_leg * (1.0 - self.ratio) + self.up_mm


LENGTHS: tuple[LegLength, ...] = (
    LegLength(name="full", says="falls over the top of the foot, almost to the ground", ratio=0.97),
    LegLength(
        name="ankle", says="[5 cm|2 in] above full length", ratio=0.97, up_mm=ANKLE_ABOVE_FULL_MM
    ),
    LegLength(name="seven-eighths", says="shows the ankle", ratio=0.865),
    LegLength(name="cropped", says="ends between calf and ankle", ratio=0.81),
    LegLength(name="capri", says="ends on the calf", ratio=0.75),
    LegLength(name="knee", says="ends at the knee", ratio=0.426),
)

LENGTH_NAMES = tuple(x.name for x in LENGTHS)


def length_named(name: str) -> LegLength:
    """Return the length of that name; raises KeyError."""
    return next(x for x in LENGTHS if x.name == name)
