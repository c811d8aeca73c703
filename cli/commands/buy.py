"""The command that lists what to buy for a spec."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console

from outseam.cli.commands.common import read_answer
from outseam.cli.commands.exit_codes import DONE
from outseam.draft.buying.shopping_list import BuyList
from outseam.draft.fabric import Fabric
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import Units, show_length, show_limit
from outseam.draft.inputs.units import length_mm

#: Widths that anything is sold in, mm.
_LEAST_MM, _MOST_MM = 250.0, 4000.0


def buy_command(spec: Path | None, widths: Sequence[str], *, seconds: float) -> int:
    """Print what to buy for a spec; write nothing. Returns the exit code."""
    from outseam.draft.buying.shopping_list import plan_buying

    answer = read_answer(spec)
    fabric, units = answer.spec.fabric, answer.spec.units
    asked = list(dict.fromkeys(_width_mm(text, units) for text in widths))
    pattern = answer.pattern
    with Console(stderr=True).status("laying the pieces"):
        found = plan_buying(pattern, answer.kept_lay, asked, seconds=seconds)
    print_list(found, answer.spec.title or "Pants", fabric, units, Console(highlight=False))
    return DONE


def _width_mm(text: str, units: Units) -> float:
    """Return a width as typed, bare numbers in the file's units. Raises InputError."""
    mm = length_mm(_number(text), units, "--width")
    if not _LEAST_MM <= mm <= _MOST_MM:
        low, high = show_limit(_LEAST_MM, units, low=True), show_limit(_MOST_MM, units, low=False)
        raise InputError(
            "--width",
            show_length(mm, units),
            f"{low} to {high}",
            "give the width on the label",
        )
    return mm


def _number(text: str) -> float | str:
    """Return a bare number as one, so that the file's unit is meant."""
    try:
        return float(text.strip())
    except ValueError:
        return text


def print_list(found: BuyList, title: str, fabric: Fabric, units: Units, console: Console) -> None:
    """Print one list, a thing a line with how much of it and why, short enough for a phone."""
    from rich.markup import escape

    from outseam.cli.wording.buying import list_lines, remarks

    console.print(f"[bold]{escape(title)}: what to buy[/bold]")
    for line in list_lines(found, fabric, units):
        console.print(f"[bold]☐ {escape(line.what)}[/bold]: {escape(line.buy)}")
        if line.why:
            console.print(f"  {escape(line.why)}")
    for text in remarks(found, fabric, units):
        console.print(escape(text))
    sources = dict.fromkeys(e.source for e in found.entries)
    console.print(escape(f"Amounts: {'; '.join(sources)}."))
