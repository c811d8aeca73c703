"""The command that lists what to buy for a spec."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console

from outseam.cli.commands.common import read_answer
from outseam.cli.commands.exit_codes import DONE
from outseam.draft.buying.shopping_list import BuyList, Entry, FabricNeed
from outseam.draft.fabric import Fabric
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import Units, show_length, show_limit
from outseam.draft.inputs.text import listing
from outseam.draft.inputs.units import length_mm

#: Widths that anything is sold in, mm.
_LEAST_MM, _MOST_MM = 250.0, 4000.0


def buy_command(path: Path | None, widths: Sequence[str], *, seconds: float) -> int:
    """Print what to buy for a spec; write nothing. Returns the exit code."""
    from outseam.draft.buying.shopping_list import plan_buying

    answer = read_answer(path)
    spec = answer.spec
    asked = list(dict.fromkeys(_width_mm(text, spec.units) for text in widths))
    pattern = answer.pattern
    with Console(stderr=True).status("laying the pieces"):
        found = plan_buying(pattern, answer.kept_lay, asked, seconds=seconds)
    print_list(found, spec.title or "Pants", spec.fabric, spec.units, Console(highlight=False))
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
    """Print the list: fabric by width, then everything else, each line with why and source."""
    from rich.markup import escape
    from rich.table import Table

    console.print(f"[bold]{escape(title)}: what to buy[/bold]")
    cloth = escape(fabric.name or f"a {fabric.kind}")
    table = Table(title=f"Fabric: {cloth}", title_justify="left", header_style="")
    for i, name in enumerate(
        ("width", "usable\nwhen cut", "length\nof the lay", "once\nwashed", "buy")
    ):
        table.add_column(name, justify="left" if i == 0 else "right", no_wrap=i > 0)
    for need in (found.fabric, *found.widths):
        table.add_row(*_need_row(need, fabric, units))
    console.print(table)
    reasons: dict[str, list[str]] = {}
    for need in (found.fabric, *found.widths):
        if need.why:
            reasons.setdefault(need.why, []).append(_width_says(need, fabric, units))
    for why, widths in reasons.items():
        console.print(f"{listing(widths, 'and')}: {escape(why.removesuffix('.'))}.")
    for text in remarks(found, fabric, units):
        console.print(escape(text))
    rest = Table(title="Everything else", title_justify="left", header_style="")
    rest.add_column("what", ratio=3)
    rest.add_column("buy", justify="right", no_wrap=True)
    rest.add_column("needed", justify="right", no_wrap=True)
    rest.add_column("why", ratio=5)
    sources = list(dict.fromkeys(e.source for e in found.entries))
    for entry in found.entries:
        cells = entry_row(entry, units, sources.index(entry.source) + 1)
        rest.add_row(*(escape(cell) for cell in cells))
    console.print(rest)
    for number, source in enumerate(sources, start=1):
        console.print(f"({number}) {escape(source)}")


def _width_says(need: FabricNeed, fabric: Fabric, units: Units) -> str:
    if need.sold_mm is not None:
        return f"sold {show_length(need.sold_mm, units)} wide"
    return "width assumed" if fabric.width is None else "as in your file"


def _need_row(need: FabricNeed, fabric: Fabric, units: Units) -> tuple[str, ...]:
    from outseam.cli.wording.fabric import about_says, sold_says

    width = _width_says(need, fabric, units)
    usable = show_length(need.usable_mm, units)
    if need.lay_mm is None or need.washed_mm is None or need.buy_mm is None:
        return (width, usable, "too narrow" if need.narrow else "no", "–", "–")
    told = [show_length(mm, units) for mm in (need.lay_mm, need.washed_mm)]
    if need.about:
        told = [about_says(mm, units) for mm in (need.lay_mm, need.washed_mm)]
        told[0] = f"about {told[0]}"
    return (width, usable, *told, sold_says(need.buy_mm, units))


def remarks(found: BuyList, fabric: Fabric, units: Units) -> list[str]:
    """Return what there is to say about the fabric, sentence by sentence."""
    from outseam.cli.wording.fabric import FOR_IT
    from outseam.draft.buying.shopping_list import PRACTICE

    said = [f"To buy: {found.reason} ({PRACTICE})."]
    own = found.fabric
    if own.lay_mm is not None and not own.about:
        said.append("The length on your width is that of the lay kept beside the file.")
    elif own.lay_mm is not None:
        said.append(f"Lengths called about are from short searches; {FOR_IT} for your width.")
    have = fabric.length_in_hand
    if have is not None and own.lay_mm is not None and own.buy_mm is not None:
        told = show_length(have, units)
        if have >= own.buy_mm:
            said.append(f"Your {told} are enough.")
        elif have >= own.lay_mm:
            said.append(f"Your {told} hold the lay, with less to spare than is bought.")
        else:
            said.append(f"Your {told} are too short for this lay; outseam lay says what helps.")
    return said


def entry_row(entry: Entry, units: Units, source: int) -> tuple[str, str, str, str]:
    """Return a line of the list: what, how much to buy, how much of it is needed, why.

    `source` is the number of where that is from, below the list.
    """
    from outseam.cli.wording.fabric import sold_says
    from outseam.cli.wording.sheet import thread_words
    from outseam.draft.buying.shopping_list import SPOOL_MM

    why = f"{entry.reason} ({source})"
    if entry.spools:
        spools = f"{entry.spools} small spool{'s' * (entry.spools > 1)}\nof "
        spools += thread_words(SPOOL_MM, units)
        needed = "" if entry.needed_mm is None else thread_words(entry.needed_mm, units)
        return entry.what, spools, needed, why
    if entry.buy_mm is None or entry.needed_mm is None:
        return entry.what, "–", "–", why
    return entry.what, sold_says(entry.buy_mm, units), show_length(entry.needed_mm, units), why
