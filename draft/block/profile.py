"""Body, pattern and strain at every height from the hip line to the hem."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from outseam.curves.path import Path
from outseam.draft.block.block import Block
from outseam.draft.block.panels import Panel
from outseam.draft.body.limb import Floats, Limb, limb_of
from outseam.draft.body.measures import Measures
from outseam.draft.piece.ruler import chords

STEP_MM = 20.0


@dataclass(frozen=True, slots=True)
class Profile:
    """Arrays (n), top first: heights above the floor, girths of body and pattern, mm. Below the
    crotch line of one leg, above it round the hips. `limb` and `hip_sd_mm`: how surely the body's
    are known.
    """

    heights: Floats
    body: Floats
    pattern: Floats
    limb: Limb
    hip_sd_mm: float
    crotch_line: float

    @property
    def body_sd(self) -> Floats:
        """Standard deviation of the body's girths, mm."""
        return np.where(self.legs, self.limb.sd_at(self.heights), self.hip_sd_mm)

    @property
    def strain(self) -> Floats:
        """Worn girth over the pattern's, less one; negative where the pants stand off."""
        return self.body / self.pattern - 1.0

    @property
    def legs(self) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
        """Which heights lie on the leg."""
        return self.heights <= self.crotch_line

    def rows(self) -> list[list[float]]:
        """Return [height above the floor, body girth, pattern girth, strain] for each height."""
        columns = (self.heights, self.body, self.pattern, self.strain)
        found: list[list[float]] = np.stack(columns, axis=1).tolist()
        return found


def _x(path: Path, ys: Floats) -> Floats:
    """Return x at levels of a path that runs steadily up or down."""
    p = chords(path)[0]
    if p[0, 1] > p[-1, 1]:
        p = p[::-1]
    return np.interp(ys, p[:, 1], p[:, 0])


def _centre(panel: Panel, ys: Floats) -> Floats:
    """Return x of the straight line of a panel's centre seam, and of its continuation down.

    Handbooks set the width of the hips out to this line: what the fork adds beside it goes between
    the legs, and no tape round the hips meets it.
    """
    (x, y), (dx, dy) = panel.crotch.cubics[0][3], panel.crotch.end_direction
    found: Floats = x + (ys - y) * dx / dy
    return found


def leg_widths(block: Block, ys: Floats) -> Floats:
    """Return the width of front and back together, as drawn, at levels over the crotch line.

    Above it a panel reaches to the line of its centre seam, below to its inseam.
    """
    total = np.zeros(len(ys))
    for panel in (block.front, block.back):
        inner = np.where(ys > panel.point[1], _x(panel.crotch, ys), _x(panel.inseam, ys))
        total += np.where(ys > 0.0, _centre(panel, ys), inner) - _x(panel.outseam, ys)
    return total


def reached_widths(block: Block, ys: Sequence[float]) -> list[float | None]:
    """Return `leg_widths`, None at levels that a panel does not reach."""
    low, panels = _reach(block)[0], (block.front, block.back)
    high = min(y for p in panels for y in (p.outseam.start[1], p.crotch.end[1]))
    widths: list[float] = leg_widths(block, np.array(ys)).tolist()
    return [width if low <= y <= high else None for y, width in zip(ys, widths, strict=True)]


def profile_of(block: Block, m: Measures, step_mm: float = STEP_MM) -> Profile:
    """Return the profile of a drafted block, every `step_mm` from the hip line down to the hem."""
    low, high = _reach(block)
    return _profile_at(block, m, np.arange(high, low, -step_mm))


def girths_at(block: Block, m: Measures, height_mm: float) -> tuple[float, float]:
    """Return the girths of body and pattern at a height above the floor, mm.

    Raises ValueError for a height that is not between hip line and hem.
    """
    zero, (low, high) = block.crotch_line_height_mm, _reach(block)
    if not low <= height_mm - zero <= high:
        raise ValueError(
            f"{height_mm:g} mm above the floor is not between the hem ({low + zero:.1f} mm) and "
            f"the hip line ({high + zero:.1f} mm)"
        )
    found = _profile_at(block, m, np.array([height_mm - zero]))
    return float(found.body[0]), float(found.pattern[0])


def _reach(block: Block) -> tuple[float, float]:
    """Return the lowest and the highest level that both panels have, over the crotch line."""
    panels = (block.front, block.back)
    low = max(y for p in panels for y in (p.outseam.end[1], p.inseam.start[1]))
    return low, block.front.hip_y


def _profile_at(block: Block, m: Measures, ys: Floats) -> Profile:
    """Return the profile at levels over the crotch line.

    Round the hips the body is taken to be as full down to the crotch as at the hip, since no tape
    is laid there; that is its most.
    """
    zero = block.crotch_line_height_mm
    width = leg_widths(block, ys)
    limb, heights = limb_of(m), ys + zero
    leg = ys <= 0.0
    sd = m.estimate("hip")
    return Profile(
        heights=heights,
        body=np.where(leg, limb.at(heights), m.hip),
        pattern=np.where(leg, width, 2.0 * width),
        limb=limb,
        hip_sd_mm=0.0 if sd is None else sd.sd_mm,
        crotch_line=zero,
    )


def inseam_lean_deg(block: Block) -> dict[str, float]:
    """Return the greatest lean of each inseam from the vertical, degrees."""
    found = {}
    for name, panel in (("front", block.front), ("back", block.back)):
        steps = np.diff(chords(panel.inseam)[0], axis=0)
        found[name] = float(np.degrees(np.arctan2(np.abs(steps[:, 0]), steps[:, 1])).max())
    return found
