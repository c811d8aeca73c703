"""What a window is told of a draft: the drawing, her figure, girths, findings, handles."""

from __future__ import annotations

from typing import Any, Final

from outseam.cli.page.desk import Desk
from outseam.cli.page.figure import figure_of, pants_on
from outseam.cli.page.flat import Flat, flat_paths, laid_out, outlines
from outseam.cli.page.handles import handles_of
from outseam.cli.wording.findings import finding_words
from outseam.draft.body.estimate import complete
from outseam.draft.checks.strain import levels
from outseam.draft.figures.finished import finished
from outseam.draft.inputs.errors import OutseamError
from outseam.draft.inputs.show import Units, per_cent, show_length
from outseam.draft.model import Pattern
from outseam.draft.spec.spec import Spec

#: What is told besides the girths, by its key in the figures.
_ALSO: Final = (
    ("hem", "hem"),
    ("inseam", "inseam"),
    ("outseam", "outseam"),
    ("band_height", "band height"),
    ("hem_above_floor", "hem above the floor"),
)


def girths(pattern: Pattern, shown: Units) -> list[dict[str, Any]]:
    """Return girths and lengths of the finished pants, and how far the cloth is stretched there."""
    wears = pattern.block.ease.wear_strain
    found: list[dict[str, Any]] = []
    for level in levels(pattern):
        strain = level.strain
        stretch = f"stretches {per_cent(strain)}" if strain >= 0.005 else "not stretched"
        found.append(
            {
                "name": level.name,
                "mm": round(level.pattern_mm, 1),
                "says": show_length(level.pattern_mm, shown),
                "body": show_length(level.body_mm, shown),
                "stretch": stretch,
                "tight": strain > wears + 0.002,
            }
        )
    figures = finished(pattern)
    for key, name in _ALSO:
        if key in figures:
            mm = figures[key]
            found.append({"name": name, "mm": round(mm, 1), "says": show_length(mm, shown)})
    return found


def findings(pattern: Pattern, shown: Units) -> list[dict[str, str]]:
    """Return what the checks have to say, warnings first; the field where it is about one."""
    rank = {"error": 0, "warning": 1, "note": 2}
    told = [f for f in pattern.findings if f.level in rank]
    found = []
    for f in sorted(told, key=lambda f: (rank[f.level], f.unit != "sd")):
        field = f"body.{f.about[0]}" if f.check == "tape" and f.about else ""
        found.append({"level": f.level, "field": field, "says": finding_words(f, shown)})
    return found


def drawn(desk: Desk, pattern: Pattern, shown: Units) -> dict[str, Any]:
    """Return all that is redrawn while a value moves."""
    flat = laid_out(pattern, desk.table)
    desk.table = flat.table
    return told(pattern, flat, shown)


def told(pattern: Pattern, flat: Flat, shown: Units) -> dict[str, Any]:
    """Return what is told of a pattern whose pieces lie on the table: drawings, handles, words."""
    return {
        "flat": flat_paths(flat),
        "on": pants_on(pattern),
        "handles": handles_of(pattern, flat, shown),
        "girths": girths(pattern, shown),
        "findings": findings(pattern, shown),
    }


def ghost_of(desk: Desk) -> list[tuple[str, str]]:
    """Return the outlines of the version before, on the table of the one on view."""
    if desk.ghost is None or desk.table is None or desk.good is None:
        return []
    if desk.ghost.spec == desk.good.spec:
        return []
    return outlines(desk.ghost, desk.table)


def figure(spec: Spec | None, pattern: Pattern | None) -> dict[str, Any] | None:
    """Return her figure as far as her measures are known; None before that."""
    if pattern is not None:
        return figure_of(pattern.measures)
    if spec is None:
        return None
    try:
        return figure_of(complete(spec.body, spec.units))
    except OutseamError:
        return None
