"""What to buy, in words: a line of the list for each thing, and what there is to say about it."""

from __future__ import annotations

from dataclasses import dataclass

from outseam.cli.wording.fabric import FOR_IT, about_says, round_says, sold_says
from outseam.cli.wording.sheet import thread_words
from outseam.draft.buying.shopping_list import PRACTICE, SPOOL_MM, BuyList, Entry, FabricNeed
from outseam.draft.fabric import Fabric
from outseam.draft.inputs.show import Units, show_length
from outseam.draft.inputs.text import capital


def width_told(need: FabricNeed, fabric: Fabric, units: Units) -> str:
    """Return which width a length is for."""
    if need.sold_mm is not None:
        return f"sold {show_length(need.sold_mm, units)} wide"
    return "width assumed" if fabric.width is None else "as in your file"


def need_row(need: FabricNeed, fabric: Fabric, units: Units) -> tuple[str, ...]:
    """Return a line of the fabric: width, usable, the lay, once washed, to buy."""
    width = width_told(need, fabric, units)
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
    said = [f"To buy: {found.reason} ({PRACTICE})."]
    own = found.fabric
    if own.lay_mm is not None and not own.about:
        said.append("The length on your width is that of the lay kept beside the file.")
    elif own.lay_mm is not None:
        said.append(f"Lengths called about are from short searches; {FOR_IT} for your width.")
    if fabric.turned:
        said.append(round_says(fabric))
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
    why = f"{entry.reason} ({source})"
    if entry.spools:
        spools = f"{entry.spools} small spool{'s' * (entry.spools > 1)}\nof "
        spools += thread_words(SPOOL_MM, units)
        needed = "" if entry.needed_mm is None else thread_words(entry.needed_mm, units)
        return entry.what, spools, needed, why
    if entry.packets:
        return entry.what, f"{entry.packets} packet{'s' * (entry.packets > 1)}", "", why
    if entry.buy_mm is None or entry.needed_mm is None:
        return entry.what, "–", "–", why
    return entry.what, sold_says(entry.buy_mm, units), show_length(entry.needed_mm, units), why


@dataclass(frozen=True, slots=True, kw_only=True)
class ListLine:
    """A thing to buy: what, how much as it is sold, and why."""

    what: str
    buy: str
    why: str = ""


def list_lines(found: BuyList, fabric: Fabric, units: Units) -> list[ListLine]:
    """Return everything to buy as one list, each line by itself: the fabric first."""
    cloth = fabric.name or f"a {fabric.kind}"
    own, *others = (need_row(n, fabric, units) for n in (found.fabric, *found.widths))
    lines = [_fabric_line(cloth, own, found.fabric)]
    for row, need in zip(others, found.widths, strict=True):
        lines.append(_fabric_line("or", row, need))
    for entry in found.entries:
        what, buy, needed, _ = entry_row(entry, units, 0)
        bought = buy.replace("\n", " ")
        if needed and needed != "–" and not entry.packets:
            bought += f" (needed: {needed})"
        lines.append(ListLine(what=what, buy=bought, why=capital(entry.reason) + "."))
    return lines


def _fabric_line(cloth: str, row: tuple[str, ...], need: FabricNeed) -> ListLine:
    """Return a width of the fabric: of its figures only what is asked for in a shop, then the lay.

    `row` is that of `need_row`.
    """
    width, usable, lay, washed, buy = row
    what = f"{cloth}, {width}"
    if need.buy_mm is None:
        return ListLine(what=what, buy=lay, why=need.why)
    once_washed = "" if need.washed_mm == need.lay_mm else f", {washed} once washed"
    return ListLine(what=what, buy=buy, why=f"Usable {usable}; the lay takes {lay}{once_washed}.")
