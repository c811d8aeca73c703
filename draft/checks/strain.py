"""How far the fabric is stretched in wear at every level, against what it can do."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from outseam.draft.body.girths import girth_at
from outseam.draft.checks.verdict import at_most
from outseam.draft.legs.leg import ANKLE_OF_KNEE, CALF_OF_KNEE
from outseam.draft.model import Pattern, band_level_mm
from outseam.draft.piece.piece import Finding
from outseam.draft.piece.ruler import x_at

#: Beyond its comfortable share by this much is a warning rather than a note.
_ROUNDING = 0.002


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """One level of the body: girths of body and pattern, mm, and its height above the floor."""

    name: str
    height_mm: float
    body_mm: float
    pattern_mm: float

    @property
    def ease_mm(self) -> float:
        """Pattern less body."""
        return self.pattern_mm - self.body_mm

    @property
    def strain(self) -> float:
        """Worn girth over the pattern's, less one; negative where the pants stand off."""
        return self.body_mm / self.pattern_mm - 1.0


def _width(pattern: Pattern, y: float, right: str) -> float | None:
    """Return the width of front and back panel together at a level."""
    total = 0.0
    for panel in (pattern.block.front, pattern.block.back):
        a, b = x_at(panel.outseam, y), x_at(getattr(panel, right), y)
        if a is None or b is None:
            return None
        total += b - a
    return total


def levels(pattern: Pattern) -> tuple[Level, ...]:
    """Return the levels that the pants reach, top first; thigh and below are of one leg."""
    m, block = pattern.measures, pattern.block
    zero = block.crotch_line_height_mm
    found = [
        Level(
            name="waistband",
            height_mm=band_level_mm(m, block),
            body_mm=girth_at(m, band_level_mm(m, block)),
            pattern_mm=pattern.band.girth_mm,
        )
    ]
    hip = _width(pattern, block.front.hip_y, "crotch")
    if hip is not None:
        found.append(Level(name="hip", height_mm=m.hip_height, body_mm=m.hip, pattern_mm=2.0 * hip))
    found.append(Level(name="thigh", height_mm=zero, body_mm=m.thigh, pattern_mm=block.thigh_mm))
    for name, height, girth in (
        ("knee", m.knee_height, m.knee),
        ("calf", m.knee_height * CALF_OF_KNEE, m.calf),
        ("ankle", m.knee_height * ANKLE_OF_KNEE, m.ankle),
    ):
        width = _width(pattern, height - zero, "inseam")
        if width is not None:
            found.append(Level(name=name, height_mm=height, body_mm=girth, pattern_mm=width))
    return tuple(found)


def check_strain(pattern: Pattern) -> Iterator[Finding]:
    """Compare the strain at every level with the share of the stretch that wears well."""
    limit = pattern.block.ease.wear_strain
    for level in levels(pattern):
        yield at_most(
            "strain in wear",
            level.name,
            level.strain,
            limit + _ROUNDING,
            f"at the {level.name} the fabric is stretched no further than it wears well",
            unit="ratio",
            fails="warning",
            advice=f"At the {level.name} the fabric would be stretched {100 * level.strain:.1f} %; "
            f"it wears well up to {100 * (limit + _ROUNDING):.0f} %. It will feel tight there: "
            "choose an easier fit, or a fabric that stretches more.",
        )
