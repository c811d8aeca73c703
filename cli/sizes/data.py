"""The figures of a range of sizes as plain data: a row a size, and whom they serve."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from typing import Any, Final

from outseam.cli.pattern.summary import rounded
from outseam.cli.version import VERSION
from outseam.draft.figures.finished import finished
from outseam.draft.inputs.show import per_cent, show_length
from outseam.draft.sizes.coverage import ELASTIC_SHARE, LEAST_EASE_MM, Coverage, FitRule
from outseam.draft.sizes.run import SizeRun
from outseam.draft.sizes.steps import BestSizes

_BODY: Final = ("height", "waist", "hip", "thigh", "inside_leg", "crotch_length")


def size_columns(run: SizeRun, coverage: Coverage) -> dict[str, list[Any]]:
    """Return a table with a row for each size that was drafted, as columns of equal length.

    Lengths in mm (names end in _mm), shares of the people as ratios; None where a size has none.
    """
    sizes = [finished(pattern) for pattern in run.patterns]
    keys = dict.fromkeys(key for one in sizes for key in one)
    found: dict[str, list[Any]] = {"size": list(run.labels)}
    for key in _BODY:
        found[f"body_{key}_mm"] = [getattr(p.measures, key) for p in run.patterns]
    for key in keys:
        found[f"{key}_mm"] = [one.get(key) for one in sizes]
    found["serves"] = list(coverage.shares)
    found["serves_alone"] = list(coverage.only)
    found["warnings"] = [len(p.warnings) for p in run.patterns]
    return {key: rounded(values) for key, values in found.items()}


def size_csv(columns: dict[str, list[Any]]) -> str:
    """Return columns as a CSV."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows(
        ["" if cell is None else cell for cell in row]
        for row in zip(*columns.values(), strict=True)
    )
    return out.getvalue()


def limit_words(run: SizeRun, rule: FitRule) -> str:
    """Return when a size serves a person, in sentences."""
    ease, units = run.patterns[0].block.ease, run.patterns[0].spec.units
    stretched = (
        f"stretch it by {per_cent(ease.wear_strain)} at most, half of the fabric's stretch"
        if ease.stretches
        else "it passes without being stretched"
    )
    told = (
        f"A size serves whose hip, waist and thigh {stretched}, and whom it is not looser on than "
        f"the style means by more than {per_cent(rule.slack)} of the girth. "
    )
    if rule.as_meant:
        told += f"Nor may it be tighter than that by more than {per_cent(rule.slack)}. "
    if not ease.stretches:
        hip, thigh = (show_length(LEAST_EASE_MM[part], units) for part in ("hip", "thigh"))
        told += f"To sit in, {hip} are left at the hip and {thigh} at the thigh. "
    if run.patterns[0].band.elastic_mm is not None:
        told += f"The elastic is {per_cent(ELASTIC_SHARE)} to 100 % of the girth where it sits. "
    return told + "Lengths are not looked at: a hem is turned up where it is wanted."


def size_data(
    run: SizeRun,
    coverage: Coverage,
    best: Sequence[BestSizes],
    rule: FitRule,
    as_meant: float,
) -> dict[str, Any]:
    """Return everything about a range of sizes as plain data; lengths in mm, shares as ratios.

    `as_meant` is the share of people for whom a size fits as the style means it.
    """
    columns = size_columns(run, coverage)
    data = {
        "program": {"name": "outseam", "version": VERSION},
        "title": run.title,
        "source": run.source,
        "sizes": [
            dict(zip(columns, row, strict=True)) for row in zip(*columns.values(), strict=True)
        ],
        "skipped": [{"size": one.label, "says": one.reason} for one in run.skipped],
        "coverage": {
            "people": coverage.people.says,
            "count": len(coverage.people),
            "rule": limit_words(run, rule),
            "total": coverage.total,
            "as_meant": as_meant,
            "smaller_than_all": coverage.smaller,
            "larger_than_all": coverage.larger,
            "between_or_other_shape": coverage.between,
        },
        "best_sizes": [
            {
                "count": len(one.hips),
                "coverage": one.coverage,
                "body_hip_mm": list(one.hips),
                "body_waist_mm": list(one.waists),
                "hip_steps_mm": list(one.steps),
            }
            for one in best
        ],
    }
    return rounded(data)  # type: ignore[no-any-return]
