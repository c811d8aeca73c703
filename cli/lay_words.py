"""What is said about a lay: how much fabric, where each piece goes, what to do first."""

from __future__ import annotations

import math
from dataclasses import dataclass

from draft.lay.result import Lay, Placed
from draft.units import Units, show_eighths, show_length

YARD_MM = 914.4
#: Which way the top of a piece points on the drawing, by its turn.
TOPS = {0: "right", 90: "up", 180: "left", 270: "down"}


def centimetres_needed(mm: float) -> int:
    """Return a length in whole centimetres, rounded up."""
    return math.ceil(round(mm, 3) / 10.0)


def eighth_yards_needed(mm: float) -> str:
    """Return a length in yards, rounded up to the next eighth: `1 3/8`."""
    return show_eighths(math.ceil(round(mm / YARD_MM * 8.0, 6)))


def needed(mm: float) -> str:
    """Return a length of fabric as a shop is asked for it."""
    return f"{centimetres_needed(mm)} cm ({eighth_yards_needed(mm)} yd)"


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A piece's line of the table. `grain` is where its grain line runs."""

    number: int
    name: str
    lie: str
    top: str
    from_end: str
    from_selvedge: str
    grain: str


HEAD = Row(
    number=0,
    name="piece",
    lie="lay it",
    top="top to the",
    from_end="◂ from cut end",
    from_selvedge="▾ from selvedge",
    grain="grain line",
)


def lie_says(placed: Placed, lay: Lay) -> str:
    """Return how a piece is laid, in words."""
    if placed.part.zone == "fold":
        return "half, on the fold"
    turned_over = "face up" if placed.lie.face == "up" else "FACE DOWN"
    if placed.part.zone == "opened" and lay.cloth.folded:
        return f"one layer, {turned_over}"
    return turned_over


def grain_says(placed: Placed, units: Units) -> str:
    """Return how far the grain line runs from the selvedge, or from the cut end if turned."""
    line = next((k for k in placed.piece.lines if k.kind == "grain"), None)
    if placed.part.zone == "fold" or line is None:
        return "on the fold" if placed.part.zone == "fold" else ""
    x, y = placed.lie.path(line.path).start
    if placed.lie.turn_deg in (0, 180):
        return f"{show_length(y, units)} from selvedge"
    return f"{show_length(x, units)} from cut end"


def rows(lay: Lay, units: Units) -> tuple[Row, ...]:
    """Return the table of a lay, in the order in which the pieces are laid."""
    several = len(lay.names) > 1
    return tuple(
        Row(
            number=n,
            name=p.piece.title + (f" · {lay.names[p.part.garment]}" if several else ""),
            lie=lie_says(p, lay),
            top=TOPS[p.lie.turn_deg],
            from_end=show_length(p.x_mm, units),
            from_selvedge=show_length(p.y_mm, units),
            grain=grain_says(p, units),
        )
        for n, p in enumerate(lay.placed, start=1)
    )


def fabric_says(lay: Lay, units: Units) -> str:
    """Return how the fabric lies, in a few words."""
    cloth = lay.cloth
    lies = "folded selvedge to selvedge" if cloth.folded else "single layer, right side up"
    way = "one way: all tops the same way" if cloth.one_way else ""
    gap = f"at least {show_length(cloth.gap_mm, units)} between pieces" if cloth.gap_mm else ""
    parts = (f"{show_length(cloth.width_mm, units)} usable width", lies, way, gap)
    return " · ".join(p for p in parts if p)


def steps(lay: Lay, units: Units) -> tuple[str, ...]:
    """Return what to do, in order: no question should be left at the table."""
    cloth = lay.cloth
    zones = {p.part.zone for p in lay.placed}
    found = [
        "Straighten the cut end square to the selvedge; it lies on your left."
        if not cloth.folded
        else "Straighten the cut end; fold lengthwise, right sides together, selvedges toward you.",
    ]
    if not cloth.folded:
        found.append("Spread it in one layer, right side up, selvedge toward you.")
    found.append(
        "Mark each piece's two distances: ◂ its leftmost point from the cut end, ▾ its lowest "
        "point from the selvedge."
    )
    if any(p.lie.turn_deg in (90, 270) for p in lay.placed):
        found.append(
            "Grain line along its arrow: parallel to the selvedge, or square to it where the arrow "
            "points up or down (those lie a quarter turned). Measure at both its ends."
        )
    else:
        found.append("Grain line parallel to the selvedge: measure at both its ends.")
    if any(p.lie.face == "down" for p in lay.placed):
        found.append("FACE DOWN (grey): turn the paper over, printed side to the fabric.")
    if "fold" in zones:
        found.append("On the fold: fold the paper in half along its middle; never cut the fold.")
    if "opened" in zones and lay.opened_mm is not None:
        found.append(
            f"From {show_length(lay.opened_mm, units)} on: cut the folded part first, then open "
            "out the rest, right side up, for these pieces."
        )
    if lay.left_out:
        found.append(f"Not on this fabric: {', '.join(lay.left_out)}.")
    found.append("Lay all pieces before you cut the first. Save the scraps for trying the stretch.")
    return tuple(found)
