"""How much fabric, in words: a lay's own length, or about how much, or why it cannot be said."""

from __future__ import annotations

import math
from typing import Any

from outseam.draft.fabric import Fabric
from outseam.draft.inputs.show import YARD_MM, Units, per_cent, show_eighths, show_length
from outseam.draft.lay.ways.quick import FabricLength

FOR_IT = "outseam lay finds the lay itself"


def centimetres_needed(mm: float) -> int:
    """Return a length in whole centimetres, rounded up."""
    return math.ceil(round(mm, 3) / 10.0)


def eighth_yards_needed(mm: float) -> str:
    """Return a length in yards, rounded up to the next eighth: `1 3/8`."""
    return show_eighths(math.ceil(round(mm / YARD_MM * 8.0, 6)))


def needed(mm: float, units: Units) -> str:
    """Return a length of fabric as a shop is asked for it, in the system of the file."""
    return f"{eighth_yards_needed(mm)} yd" if units == "in" else f"{centimetres_needed(mm)} cm"


def round_says(fabric: Fabric) -> str:
    """Return which stretch goes round the body and how much it is, as a sentence."""
    way = "along the selvedge" if fabric.turned else "from selvedge to selvedge"
    turned = ", because the pieces lie a quarter turned for the border" if fabric.turned else ""
    assumed = "" if fabric.turned or fabric.stretch_across is not None else ", assumed"
    return (
        f"Round the body goes the stretch {way}, {per_cent(fabric.stretch_round_ratio)}"
        f"{assumed}{turned}."
    )


def cloth_says(fabric: Fabric) -> str:
    """Return what a fabric is called, and on a border which stretch goes round the body."""
    parts = (fabric.name, fabric.round_note if fabric.turned else "")
    return " · ".join(p for p in parts if p)


def width_says(found: FabricLength, fabric: Fabric, units: Units) -> str:
    """Return the width a length is for."""
    assumed = " (assumed: the file gives no width)" if fabric.width is None else ""
    return f"{show_length(found.width_mm, units)} usable width{assumed}"


def fabric_says(found: FabricLength, fabric: Fabric, units: Units) -> str:
    """Return how much fabric, as one sentence without its full stop."""
    width = width_says(found, fabric, units)
    if found.length_mm is None:
        return f"not known for {width}: {no_lay_says(found)}"
    if found.kept:
        return f"{needed(found.length_mm, units)} of {width}, from the lay kept beside the file"
    return f"about {needed(found.length_mm, units)} of {width}; {FOR_IT}"


def no_lay_says(found: FabricLength) -> str:
    """Return why there is no lay, without a full stop, and what finds one if anything does."""
    why = found.why.removesuffix(".")
    return f"{why}; {FOR_IT}" if found.slow else why


def fabric_data(found: FabricLength) -> dict[str, Any]:
    """Return the length as plain data, mm."""
    return {
        "usable_width_mm": found.width_mm,
        "length_mm": found.length_mm,
        "about": found.length_mm is not None and not found.kept,
        "says": found.why,
    }


def about_says(mm: float, units: Units) -> str:
    """Return a length that is no better than a centimetre or half an inch, rounded up."""
    step = 12.7 if units == "in" else 10.0
    return show_length(step * math.ceil(round(mm / step, 6)), units)


def sold_says(mm: float, units: Units) -> str:
    """Return a length that is a whole number of steps of the shop: `145 cm`, `1 5/8 yd`."""
    if units == "in":
        return f"{show_eighths(round(mm / YARD_MM * 8.0))} yd"
    return f"{math.ceil(round(mm / 10.0, 6))} cm"
