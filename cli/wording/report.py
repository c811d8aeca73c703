"""The readable summary on the terminal: tables of figures and findings in plain words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from rich.console import Console
from rich.markup import escape
from rich.table import Table

from outseam.cli.wording.alterations import small
from outseam.cli.wording.fabric import round_says
from outseam.cli.wording.findings import checks_told, finding_lines
from outseam.draft.body.estimate import Measures
from outseam.draft.checks.strain import levels
from outseam.draft.figures.body_shape import figure_traits
from outseam.draft.figures.finished import finished_legs, moved
from outseam.draft.figures.landmarks import where_says
from outseam.draft.figures.sensitivity import Effect
from outseam.draft.inputs.show import Units, per_cent, show_length, told_mm
from outseam.draft.model import Pattern

CAUTION = (
    "Sew a short trial in cheap fabric first. Estimates come from a survey of fit adults and do "
    "not cover children or pregnancy."
)


def trade(name: str) -> str:
    """Return a key as words."""
    return name.replace("_", " ")


def plain_table(title: str, *columns: str) -> Table:
    """Return a table with these heads, figures set to the right of what they are of."""
    table = Table(title=title, title_justify="left", title_style="bold", header_style="")
    for i, c in enumerate(columns):
        table.add_column(c, justify="left" if i == 0 else "right")
    return table


def finished_table(pattern: Pattern) -> Table:
    """Return the finished measurements."""
    heads = ("finished",) if pattern.legs is None else ("left leg", "right leg")
    table = plain_table("Finished measurements", "measure", *heads)
    u = pattern.spec.units
    for name, told in finished_legs(pattern).items():
        table.add_row(trade(name), *("none" if mm is None else show_length(mm, u) for mm in told))
    return table


def level_table(pattern: Pattern) -> Table:
    """Return body, pattern, ease and strain by level."""
    u = pattern.spec.units
    table = plain_table("Ease and strain", "level", "body", "pattern", "ease", "stretched in wear")
    for level in levels(pattern):
        strain = per_cent(level.strain) if level.strain > 0 else "no"
        table.add_row(
            level.name,
            show_length(level.body_mm, u),
            show_length(level.pattern_mm, u),
            small(told_mm(level.pattern_mm, u) - told_mm(level.body_mm, u), u),
            strain,
        )
    limit = pattern.block.ease.wear_strain
    table.caption = f"this fabric wears well stretched up to {per_cent(limit)}"
    if pattern.legs is not None:
        table.caption += "; thigh and below are the left leg's"
    return table


def proportion_table(pattern: Pattern) -> Table:
    """Return what the solver moved, most first."""
    u = pattern.spec.units
    table = plain_table(
        "Where this body leaves the handbook", "proportion", "handbook", "drafted", "moved by"
    )
    for row in moved(pattern):
        if abs(row.moved_sd) < 0.05:
            continue
        if row.unit == "mm":
            shown = [small(row.handbook, u), small(row.value, u)]
        else:
            shown = [f"{row.handbook:.3f}", f"{row.value:.3f}"]
        table.add_row(row.says, *shown, f"{row.moved_sd:+.1f} sd")
    return table


def moves_words(e: Effect, u: Units) -> str:
    """Return what the usual error of an estimate moves, and by how much."""
    if not e.where:
        return "nothing"
    least = "less than 2 mm" if u != "in" else 'less than 1/8"'
    return f"{where_says(e.where)} by {least if e.moves_mm < 2.0 else show_length(e.moves_mm, u)}"


def estimate_table(m: Measures, effects: Sequence[Effect], u: Units) -> Table:
    """Return what was estimated and what it moves."""
    table = plain_table("Estimated, not measured", "measure", "estimate", "±", "would move")
    for e in effects:
        told = (show_length(mm, u) for mm in (e.estimate.mm, e.estimate.sd_mm))
        table.add_row(trade(e.estimate.name), *told, moves_words(e, u))
    table.caption = "± is the usual error of the estimate; the last column is what it would move"
    return table


def measure_next(effects: Sequence[Effect], u: Units) -> str:
    """Return which estimated measurement to take first, or that none matters."""
    first = effects[0]
    if not first.where:
        return "None of the estimates moves this pattern."
    return (
        f"Measure this next: {trade(first.estimate.name)}. A usual error of the estimate moves "
        f"the {moves_words(first, u)}."
    )


def print_report(
    pattern: Pattern,
    effects: Sequence[Effect],
    pages: dict[str, Any] | None,
    console: Console,
    fabric_needed: str = "",
    refusal: str = "",
    *,
    figures: bool = False,
) -> None:
    """Print the summary: what is to be done first, then the tables.

    `fabric_needed` is how much fabric, in words, if it was asked, `refusal` why the pieces cannot
    be laid on it, "" if they can; `figures` adds how far the draft leaves the handbook's
    proportions.
    """
    u = pattern.spec.units
    _print_asked(pattern, console)
    if refusal:
        told = f"WARNING: These pieces cannot be laid on this fabric. {refusal}"
        console.print(escape(told), style="bold")
    first = sorted(
        (f for f in pattern.findings if f.level in ("warning", "error")),
        key=lambda f: f.unit != "sd",  # a wrong number explains what follows from it
    )
    for text in finding_lines(first, u):
        console.print(escape(text), style="bold")
    if effects:
        console.print(measure_next(effects, u))
    for text in finding_lines([f for f in pattern.findings if f.level == "note"], u):
        console.print(escape(text))
    for note in pattern.measures.notes:
        console.print(f"note: {escape(note)}")
    console.print(f"Checks: {checks_told(pattern.findings)}.")
    if pages:
        console.print(
            "Pages: "
            + ", ".join(f"{name} {info['pages']}" for name, info in pages.items())
            + ". Print at 100 % and measure the square on page 1 first."
        )
    if fabric_needed:
        console.print(f"Fabric: {escape(fabric_needed)}.")
    console.print(CAUTION)
    console.print(finished_table(pattern), level_table(pattern))
    if figures:
        console.print(proportion_table(pattern))
    for trait in figure_traits(pattern):
        amount = small(trait.mm, u)
        carried = f"; {trait.carried_by}" if figures else ""
        console.print(f"Figure: {trait.name} ({amount}): {trait.says}{carried}.")
    if effects:
        console.print(estimate_table(pattern.measures, effects, u))


def _print_asked(pattern: Pattern, console: Console) -> None:
    """Print what is drafted: style, pieces, fabric and alterations."""
    spec, style = pattern.spec, pattern.spec.style
    console.print(f"[bold]{escape(spec.title or 'Pants')}[/bold]")
    console.print(
        f"{style.leg} leg, {style.fit} fit, {len(pattern.pieces)} pieces: "
        + ", ".join(f"{p.title.lower()} ({p.cut_note})" for p in pattern.pieces)
    )
    console.print(escape(round_says(spec.fabric)))
    for asked in spec.alter:
        where = f", {asked.side} leg only" if asked.side else ""
        amount = show_length(asked.amount, spec.units)
        console.print(f"Altered: {escape(asked.what)} {amount}{where}")
