"""How far the fabric is stretched in wear at every height, against what it can do."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from outseam.draft.block.profile import profile_of, reached_widths
from outseam.draft.body.girths import girth_at
from outseam.draft.body.limb import ANKLE_OF_KNEE, CALF_OF_KNEE
from outseam.draft.body.measures import Measures
from outseam.draft.checks.verdict import at_most
from outseam.draft.inputs.show import show_length
from outseam.draft.inputs.words import words
from outseam.draft.model import Pattern, band_level_mm
from outseam.draft.piece.piece import Finding

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


def levels(pattern: Pattern) -> tuple[Level, ...]:
    """Return the levels that the pants reach, top first; thigh and below are of one leg.

    Round the hips both legs count, also where they differ.
    """
    m, block, other = pattern.measures, pattern.block, pattern.other_block
    zero, band = block.crotch_line_height_mm, band_level_mm(m, block)
    leg = (
        ("knee", m.knee_height, m.knee),
        ("calf", m.knee_height * CALF_OF_KNEE, m.calf),
        ("ankle", m.knee_height * ANKLE_OF_KNEE, m.ankle),
    )
    half_hip, *widths = reached_widths(block, [block.front.hip_y, *(h - zero for _, h, _ in leg)])
    other_half = half_hip if other is None else reached_widths(other, [other.front.hip_y])[0]
    hips = None if half_hip is None or other_half is None else half_hip + other_half
    rows = (
        ("waistband", band, girth_at(m, band), pattern.band.girth_mm),
        ("hip", m.hip_height, m.hip, hips),
        ("thigh", zero, m.thigh, block.thigh_mm),
        *((*row, width) for row, width in zip(leg, widths, strict=True)),
    )
    return tuple(
        Level(name=name, height_mm=height, body_mm=body, pattern_mm=drawn)
        for name, height, body, drawn in rows
        if drawn is not None
    )


#: What a height on the leg is called: from so much of the way from the knee to the crotch on, or of
#: the knee's height.
_THIGH_NAMES = ((0.75, "thigh"), (0.35, "middle of the thigh"), (0.05, "lower thigh"))
_LEG_NAMES = (
    (0.93, "knee"),
    (0.80, "leg just below the knee"),
    (0.60, "calf"),
    (0.35, "lower calf"),
    (-math.inf, "ankle"),
)


def leg_name(m: Measures, height_mm: float) -> str:
    """Return what a height on the leg is called."""
    up = (height_mm - m.knee_height) / (m.inside_leg - m.knee_height)
    if up >= _THIGH_NAMES[-1][0]:
        return next(name for share, name in _THIGH_NAMES if up >= share)
    down = height_mm / m.knee_height
    return next(name for share, name in _LEG_NAMES if down >= share)


def _stretches(over: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]) -> Iterator[slice]:
    """Yield runs of heights that lie over the limit."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], over, [False])).astype(int)))
    for start, stop in edges.reshape(-1, 2).tolist():
        yield slice(start, stop)


def check_strain(pattern: Pattern) -> Iterator[Finding]:
    """Compare the strain at every height with the share of the stretch that wears well.

    Waistband and hip by name; the leg every two centimetres, and where it is over the limit the
    worst height of each stretch of it.
    """
    limit = pattern.block.ease.wear_strain + _ROUNDING

    def judged(where: str, strain: float) -> Finding:
        return at_most(
            "strain in wear",
            where,
            strain,
            limit,
            f"at the {where} the fabric is stretched no further than it wears well",
            unit="ratio",
            fails="warning",
            advice=words(
                "At the {where} the fabric would be stretched {strain} %; it wears well up to "
                "{limit} %. It will feel tight there: choose an easier fit, or a fabric that "
                "stretches more.",
                where=where,
                strain=f"{100 * strain:.1f}",
                limit=f"{100 * limit:.0f}",
            ),
            about=(where,),
        )

    for level in levels(pattern):
        if level.name in ("waistband", "hip"):
            yield judged(level.name, level.strain)
    profile = profile_of(pattern.block, pattern.measures)
    heights, strains = profile.heights[profile.legs], profile.strain[profile.legs]
    if not len(heights):
        return
    runs = list(_stretches(strains > limit)) or [slice(0, len(heights))]
    for run in runs:
        i = run.start + int(np.argmax(strains[run]))
        name = leg_name(pattern.measures, float(heights[i]))
        above = show_length(float(heights[i]), pattern.spec.units)
        yield judged(f"{name} ({above} above the floor)", float(strains[i]))
