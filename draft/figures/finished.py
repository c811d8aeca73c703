"""The figures of a finished pattern, measured on its pieces: for tables, files and batches."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from outseam.draft.block.profile import inseam_lean_deg, profile_of
from outseam.draft.block.proportions import PRIORS
from outseam.draft.checks.corners import top_edge
from outseam.draft.checks.crotch import crotch_seam_mm
from outseam.draft.checks.floor import hem_clearance_mm
from outseam.draft.checks.foot import hem_girth_mm
from outseam.draft.checks.strain import Level, levels
from outseam.draft.model import Pattern
from outseam.draft.piece.divided_edge import edge_length


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """A proportion that the solver chose: what it is, its value, the handbook's, and how far.

    `unit` is "mm" or "ratio"; forks are given both as ratio of the hip and in mm.
    """

    name: str
    says: str
    value: float
    handbook: float
    moved_sd: float
    unit: str


def moved(pattern: Pattern) -> tuple[Moved, ...]:
    """Return the solved proportions, those that moved most first."""
    s, hip = pattern.block.solution, pattern.block.hip_mm
    rows = []
    for i, prior in enumerate(PRIORS):
        fork = prior.name in ("front_fork", "back_fork")
        ratio = prior.name in ("slant", "front_hollow", "back_hollow")
        scale = hip if fork else 1.0
        rows.append(
            Moved(
                name=prior.name,
                says=prior.says,
                value=s.params[i] * scale,
                handbook=s.means[i] * scale,
                moved_sd=s.moved_sd[i],
                unit="ratio" if ratio else "mm",
            )
        )
    return tuple(sorted(rows, key=lambda r: (-abs(r.moved_sd), r.name)))


def finished(pattern: Pattern) -> dict[str, float]:
    """Return the finished measurements of the garment, mm; leg girths are of one leg."""
    b, band = pattern.block, pattern.band
    found = levels(pattern)
    by_level = {level.name: level.pattern_mm for level in found}
    crotch_front, crotch_back = crotch_seam_mm(pattern)
    return {
        "waistband": band.girth_mm,
        "band_height": b.band_height_mm,
        **({} if band.elastic_mm is None else {"elastic": band.elastic_mm}),
        "top_edge": pattern.top_edge_mm,
        "hip": _hip_mm(pattern, found),
        "thigh": b.thigh_mm,
        **{k: by_level[k] for k in ("knee", "calf", "ankle") if k in by_level},
        "hem": hem_girth_mm(pattern),
        "inseam": edge_length(pattern, "front", "inseam"),
        "outseam": edge_length(pattern, "front", "outseam") + b.band_height_mm,
        "front_rise": crotch_front + b.band_height_mm,
        "back_rise": crotch_back + b.band_height_mm,
        "hem_above_floor": hem_clearance_mm(pattern),
    }


def finished_legs(pattern: Pattern) -> dict[str, tuple[float | None, ...]]:
    """Return the same of left and right leg where they differ, else of both at once.

    None where a leg has no such measurement: one that ends above an ankle has no width there.
    """
    legs = [finished(leg) for leg in pattern.legs or (pattern,)]
    names = dict.fromkeys(name for leg in legs for name in leg)
    return {name: tuple(leg.get(name) for leg in legs) for name in names}


def _hip_mm(pattern: Pattern, found: Iterable[Level]) -> float:
    """Return the pattern's girth at the hip; what was drafted for it where the pants end below."""
    return next((x.pattern_mm for x in found if x.name == "hip"), pattern.block.hip_mm)


def back_lift_mm(pattern: Pattern) -> float:
    """Return how far the centre back's top lies above the side's on the back leg, mm."""
    waist = top_edge(pattern.piece("back"))
    return waist.start[1] - waist.end[1]


def fit_figures(pattern: Pattern) -> dict[str, Any]:
    """Return how the pattern sits: depth of the crotch line below the crotch, centres above the
    level waist as drafted for the body as measured, mm; greatest lean of the inseams from the
    vertical, degrees; and the profile, rows of [height above the floor, body girth, pattern girth,
    strain] every 20 mm from the hip line to the hem, of one leg below the crotch line.
    """
    b, m = pattern.block, pattern.measures
    return {
        "drop_mm": m.inside_leg - b.crotch_line_height_mm,
        "front_raise_mm": b.solution.params.front_raise,
        "back_raise_mm": b.solution.params.back_raise,
        "inseam_lean_deg": inseam_lean_deg(b),
        "profile": profile_of(b, m).rows(),
    }


def batch_figures(pattern: Pattern) -> dict[str, float]:
    """Return the figures of one row of a batch, mm unless named ratio, measured on the pieces.

    `crotch_seam` and `crotch_target` are of the legs, without the waistband; `fork_ratio` is both
    forks over the pattern's hip girth; `thigh`, `hip`, `hem` are the pattern's girths.
    """
    b = pattern.block
    edges = {
        (name, edge): edge_length(pattern, name, edge)
        for name in ("front", "back")
        for edge in ("outseam", "inseam", "crotch")
    }
    p = b.solution.params
    return {
        "crotch_seam_mm": edges["front", "crotch"] + edges["back", "crotch"],
        "crotch_target_mm": b.crotch_target_mm,
        "outseam_front_mm": edges["front", "outseam"],
        "outseam_back_mm": edges["back", "outseam"],
        "inseam_front_mm": edges["front", "inseam"],
        "inseam_back_mm": edges["back", "inseam"],
        "fork_ratio": p.front_fork + p.back_fork,
        "thigh_mm": b.thigh_mm,
        "hip_mm": _hip_mm(pattern, levels(pattern)),
        "hem_mm": hem_girth_mm(pattern),
        "back_lift_mm": back_lift_mm(pattern),
    }
