"""All figures of a pattern as plain data, for summary.json and for `check --json`."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from outseam.cli.version import VERSION
from outseam.cli.wording.findings import finding_data
from outseam.draft.body.estimate import Measures
from outseam.draft.checks.strain import levels
from outseam.draft.figures.body_shape import figure_traits
from outseam.draft.figures.finished import batch_figures, finished, fit_figures, moved
from outseam.draft.figures.sensitivity import Effect
from outseam.draft.fits import Ease
from outseam.draft.model import Pattern

#: Figures are rounded once, here: a tenth of a micrometre, a millionth of a ratio.
_DIGITS = 4

MEASURES = (
    *("height", "waist", "hip", "high_hip", "thigh", "knee", "calf", "ankle", "foot", "inside_leg"),
    *("waist_height", "hip_height", "knee_height", "crotch_length", "front_crotch_length"),
    *("back_crotch_length", "waist_above_navel"),
)


def rounded(value: Any) -> Any:
    """Return plain data with its floats rounded for writing."""
    if isinstance(value, float):
        return round(value, _DIGITS) + 0.0
    if isinstance(value, dict):
        return {k: rounded(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [rounded(v) for v in value]
    return value


def _measures(m: Measures) -> dict[str, dict[str, Any]]:
    spread = {e.name: e.sd_mm for e in m.estimates}
    return {
        name: {"mm": getattr(m, name), "estimated": name in spread, "sd_mm": spread.get(name, 0.0)}
        for name in MEASURES
    }


def _right_leg(pattern: Pattern) -> dict[str, Any]:
    """Return the right leg's own figures where the legs differ; all others are the left leg's."""
    if pattern.legs is None:
        return {}
    right = pattern.legs[1]
    return {
        "right_leg": {
            "finished_mm": finished(right),
            "figures": batch_figures(right),
            **fit_figures(right),
        }
    }


def _estimates(effects: Sequence[Effect]) -> list[dict[str, Any]]:
    own = ("name", "mm", "sd_mm")
    return [
        {**{k: getattr(e.estimate, k) for k in own}, "moves": e.where, "moves_mm": e.moves_mm}
        for e in effects
    ]


def _ease(ease: Ease) -> dict[str, Any]:
    ratios = ("hip_ratio", "waist_ratio", "thigh_ratio", "limb_ratio")
    return {
        "fit": ease.fit.name,
        **{key: getattr(ease, key) for key in ratios},
        "crotch_mm": ease.fit.crotch_ease_mm,
        "wear_strain": ease.wear_strain,
        "pull_strain": ease.pull_strain,
    }


def summary(
    pattern: Pattern,
    effects: Sequence[Effect],
    pages: dict[str, Any] | None = None,
    fabric_needed: dict[str, Any] | None = None,
) -> dict[str, Any]:
    """Return every figure of the pattern; lengths in mm, `pages` as the writers counted them.

    `fabric_needed` as `fabric_data` gives it, where the pieces were laid.
    """
    spec, block = pattern.spec, pattern.block
    count = {
        level: sum(f.level == level for f in pattern.findings)
        for level in ("error", "warning", "note", "pass")
    }
    found = {
        "program": {"name": "outseam", "version": VERSION},
        "title": spec.title,
        "units": spec.units,
        "fabric": asdict(spec.fabric),
        "stretch_round": {
            "way": "along" if spec.fabric.turned else "across",
            "ratio": spec.fabric.stretch_round_ratio,
        },
        "style": asdict(spec.style),
        "alterations": [asdict(a) for a in spec.alter],
        "measures": _measures(pattern.measures),
        "measure_notes": list(pattern.measures.notes),
        "estimates": _estimates(effects),
        "ease": _ease(block.ease),
        "figure": [asdict(t) for t in figure_traits(pattern)],
        "measure_next": effects[0].estimate.name if effects and effects[0].where else "",
        "proportions": [asdict(m) for m in moved(pattern)],
        "finished_mm": finished(pattern),
        **_right_leg(pattern),
        "levels": [
            {**asdict(level), "ease_mm": level.ease_mm, "strain": level.strain}
            for level in levels(pattern)
        ],
        "figures": batch_figures(pattern),
        **fit_figures(pattern),
        "seams": [
            {"name": s.name, "a_mm": s.a.length_mm, "b_mm": s.b.length_mm, "ease_mm": s.ease_mm}
            for s in pattern.seams
        ],
        "findings": {**count, "all": [finding_data(f, spec.units) for f in pattern.findings]},
        "pieces": [{"name": p.name, "title": p.title, "cut": p.cut_note} for p in pattern.pieces],
    }
    if fabric_needed is not None:
        found["fabric_needed"] = fabric_needed
    if pages is not None:
        found["pages"] = pages
    return rounded(found)  # type: ignore[no-any-return]


def summary_text(data: dict[str, Any]) -> str:
    """Return the data as JSON text. Raises ValueError for a number that is not finite."""
    return json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
