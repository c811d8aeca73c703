"""What is said about a lay: how much fabric, where each piece goes, what to do first."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from outseam.draft.border.levels import hem_mm, is_leg
from outseam.draft.border.marks import BorderMark
from outseam.draft.inputs.show import (
    Units,
    show_eighths,
    show_given,
    show_length,
    show_limit,
    show_on_tape,
)
from outseam.draft.inputs.usual import BASTE
from outseam.draft.lay.model.result import Lay, Placed
from outseam.draft.lay.ways.border import PROVED
from outseam.draft.lay.ways.border_words import stands_says
from outseam.draft.lay.ways.stripe_pockets import patch_tilt_rad

_FACES = ("face up", "FACE DOWN")
#: Which way the top of a piece points on the drawing, by its turn.
TOPS = {0: "→", 90: "↑", 180: "←", 270: "↓"}


@dataclass(frozen=True, slots=True, kw_only=True)
class LayRow:
    """A piece's line of the table. `grain` is where its grain line runs."""

    number: int
    name: str
    lie: str
    top: str
    from_end: str
    from_selvedge: str
    grain: str


HEAD = LayRow(
    number=0,
    name="piece",
    lie="lay it",
    top="top",
    from_end="◂ from cut end",
    from_selvedge="▾ from selvedge",
    grain="grain line",
)


def lie_says(placed: Placed, lay: Lay) -> str:
    """Return how a piece is laid, in words."""
    if placed.part.zone == "fold":
        return "half, on the fold"
    up, down = ("printed side up", "PRINTED SIDE DOWN") if placed.piece.side else _FACES
    turned_over = up if placed.lie.face == "up" else down
    if placed.part.zone in ("opened", "single"):
        return f"one layer, {turned_over}"
    return f"double, {turned_over}" if lay.fold_mm is not None else turned_over


def grain_says(placed: Placed, lay: Lay, units: Units) -> str:
    """Return how far the grain line runs from the selvedge, or from the cut end if turned.

    At a border it is the hem that counts, for a waistband its place on the eye.
    """
    at_border = border_says(placed, lay, units)
    if at_border:
        return at_border
    line = next((k for k in placed.piece.lines if k.kind == "grain"), None)
    if placed.part.zone == "fold" or line is None:
        return "on the fold" if placed.part.zone == "fold" else ""
    x, y = placed.lie.path(line.path).start
    if placed.lie.turn_deg in (0, 180):
        if lay.fold_mm is not None and placed.part.zone != "single":
            return f"{show_length(lay.table_mm - y, units)} from fold"
        return f"{show_length(y, units)} from selvedge"
    return f"{show_length(x, units)} from cut end"


def border_says(placed: Placed, lay: Lay, units: Units) -> str:
    """Return how a piece lies at the border, empty if it has nothing to do with it."""
    border = lay.cloth.border
    if border is None:
        return ""
    if is_leg(placed.part.piece):
        _, y = placed.lie.points([(0.0, hem_mm(placed.piece))])[0]
        far = placed.lie.turn_deg == 270
        from_selvedge = lay.cloth.width_mm - float(y) if far else float(y)
        return f"hem fold {show_length(from_selvedge, units)} from {'far ' * far}selvedge"
    if placed.border:
        return "eye in the middle of its face"
    return ""


def rows(lay: Lay, units: Units) -> tuple[LayRow, ...]:
    """Return the table of a lay, in the order in which the pieces are laid."""
    several = len(lay.names) > 1
    return tuple(
        LayRow(
            number=lay.number(p),
            name=p.piece.title + (f" · {lay.names[p.part.garment]}" if several else ""),
            lie=lie_says(p, lay),
            top=TOPS[p.lie.turn_deg],
            from_end=show_on_tape(p.x_mm, lay.tape_mm, units),
            from_selvedge=show_on_tape(p.y_mm, lay.tape_mm, units),
            grain=grain_says(p, lay, units),
        )
        for p in lay.placed
    )


def bound_says(lay: Lay, units: Units) -> str:
    """Return how good the length is: what no lay of these pieces can undercut."""
    if lay.how == PROVED:
        return "every order along the border was tried or ruled out: none is shorter"
    return f"no lay of them can be shorter than {show_length(lay.bound_mm, units)}"


def fabric_says(lay: Lay, units: Units) -> str:
    """Return how the fabric lies, in a few words."""
    cloth = lay.cloth
    folded = cloth.folded and lay.opened_mm != 0.0
    lies = "folded selvedge to selvedge" if folded else "single layer, right side up"
    if lay.fold_mm is not None:
        lies = f"narrow fold, {show_on_tape(lay.fold_mm, lay.tape_mm, units)} turned in"
    way = "one way: all tops the same way" if cloth.one_way or cloth.striped else ""
    least = show_limit(cloth.gap_mm, units, low=False)
    if cloth.border is not None and cloth.one_way:
        way = "one way: all pieces the same way up"
    gap = f"at least {least} between pieces" if cloth.gap_mm else ""
    parts = (f"{show_length(cloth.width_mm, units)} usable width", lies, way, gap)
    return " · ".join(p for p in parts if p)


def border_steps(
    lay: Lay,
    marks: Sequence[BorderMark],
    units: Units,
    *,
    centred: bool = False,
    pin_mm: float | None = None,
) -> tuple[str, ...]:
    """Return what to do because of the border; `centred`: a figure lies at a certain place.

    `pin_mm` is where the figure lies that the shift of two unlike borders was measured at.
    """
    border = lay.cloth.border
    if border is None:
        return ()
    found = [
        "The border (drawn dashed) begins "
        f"{show_length(border.edge_mm, units)} from the selvedge and is "
        f"{show_length(border.height_mm, units)} high. Where it runs off the selvedge, lay by the "
        "border: every hem fold line parallel to it, at the distance in the table."
    ]
    other = border.other
    if other is not None and not border.alike:
        said = (
            "The two borders are different prints, or not said to be alike: the one toward you "
            "is the first of your file."
        )
        if (other.edge_mm, other.height_mm) != (border.edge_mm, border.height_mm):
            said += (
                f" The other begins {show_length(other.edge_mm, units)} from its selvedge and is "
                f"{show_length(other.height_mm, units)} high."
            )
        if border.apart and other.repeat_mm is not None:
            said += f" Its figures come again every {show_length(other.repeat_mm, units)}."
        found.append(said)
    found += stands_says(lay)
    if border.repeat_mm is not None:
        found.append(_repeat_says(lay, border.repeat_mm, units, centred=centred, pin_mm=pin_mm))
        legs = [p for p in lay.placed if is_leg(p.part.piece)]
        if len({p.lie.turn_deg for p in legs}) > 1:
            found.append(
                "One leg stands on each border, front and back together. Hold a figure of one "
                "border against one of the other first: if they are mirror images, so will the "
                "legs be."
            )
    ends = [m for m in marks if m.level != "eye"]
    if ends:
        found.append(_notched(ends, units))
    return tuple(found)


_LEVELS = {"edge": "begins at", "inner end": "ends at"}


def _repeat_says(
    lay: Lay, repeat_mm: float, units: Units, *, centred: bool, pin_mm: float | None
) -> str:
    """Return how the first piece is put on the figures of a border."""
    again = f"Its figures come again every {show_length(repeat_mm, units)}: "
    if not centred:
        return (
            f"{again}put the first leg where you like; from there on the distances between pieces "
            "are what counts."
        )
    first = next(p for p in lay.placed if p.part.piece.part == "front")
    figure = "the middle of a figure (lozenges)"
    if pin_mm is not None:
        figure += (
            ", and so that the figure you measured border_shift at lies "
            f"{show_on_tape(pin_mm, lay.tape_mm, units)} from the cut end"
        )
    return (
        f"{again}lay piece {lay.number(first)}, a {first.piece.title.lower()}, first, its crease "
        f"line on {figure}; the distances between pieces then put a figure on the other front's "
        "crease and in the middle of a waistband cut from the border."
    )


def stripe_steps(lay: Lay, units: Units) -> tuple[str, ...]:
    """Return what to do because of stripes or checks."""
    cloth = lay.cloth
    if not cloth.striped:
        return ()
    repeats = " and ".join(
        f"{show_length(mm, units)} {way}"
        for mm, way in ((cloth.repeat_along_mm, "along"), (cloth.repeat_across_mm, "across"))
        if mm is not None
    )
    first = next(lay.number(p) for p in lay.placed if is_leg(p.part.piece))
    found = [
        f"Stripes come again every {repeats}: lay a leg {first} first, so that it shows the stripe "
        "you want; from there on the distances between pieces are what counts. Before cutting "
        "look whether the same stripe runs through the hem and the hip of every leg."
    ]
    pockets = [
        (lay.number(p), p) for p in lay.placed if p.part.piece.line("pocket top") is not None
    ]
    if pockets:
        tilts = {abs(math.degrees(patch_tilt_rad(p.part.piece))) for _, p in pockets}
        numbers = " and ".join(dict.fromkeys(str(n) for n, _ in pockets))
        found.append(
            f"Back pockets ({numbers}): lay the paper on the back leg, at the place drawn there, "
            "and copy two of the leg's stripes onto it; lay the pocket by those. They lie tilted "
            f"by {max(tilts):.0f}°: the arrow here counts, not the grain line printed on them."
        )
    apart = stripes_apart(lay, units)
    if apart:
        unit = "inches" if units == "in" else "mm"
        found.append(f"So the stripes meet, {unit} apart: {apart}.")
    return tuple(found)


def _apart(mm: float, units: Units) -> str:
    """Return a distance between stripes without its unit: mm, or eighths of an inch."""
    return show_eighths(round(mm / 25.4 * 8.0)) if units == "in" else f"{mm:.0f}"


def stripes_apart(lay: Lay, units: Units) -> str:
    """Return how far stripes are apart where they meet, in mm or inches: each seam and pocket."""
    seams: dict[str, dict[str, float]] = {}
    pockets: dict[str, float] = {}
    titles = {p.key: p.piece.title.lower() for p in lay.placed}
    for f in lay.findings:
        if f.check == "stripes meet":
            seam, level = f.about
            known = seams.setdefault(seam, {})
            known[level] = max(known.get(level, 0.0), f.measured)
        elif f.check == "stripes run on over the pocket":
            title = titles[f.about[0]]
            pockets[title] = max(pockets.get(title, 0.0), f.measured)
    downward = ("hip", "knee", "hem")
    told = [
        f"{seam} "
        + ", ".join(
            f"{level} {_apart(mm, units)}"
            for level, mm in sorted(
                levels.items(), key=lambda x: downward.index(x[0]) if x[0] in downward else -1
            )
        )
        for seam, levels in seams.items()
    ]
    told += [f"{title} on its leg {_apart(mm, units)}" for title, mm in pockets.items()]
    return "; ".join(told)


def _straighten(lay: Lay, units: Units) -> str:
    """Return how the fabric is spread."""
    end = "Straighten the cut end square to the selvedge; it lies on your left."
    if lay.fold_mm is not None:
        return (
            f"{end} Spread the fabric right side up, selvedge toward you, and turn the far "
            f"selvedge in: fold in {show_on_tape(lay.fold_mm, lay.tape_mm, units)}, right sides "
            "together, measured from the fold to the selvedge turned in at every hand's breadth."
        )
    if lay.cloth.folded and lay.opened_mm != 0.0:
        return f"{end} Fold lengthwise, right sides together, both selvedges toward you."
    border = lay.cloth.border
    edge = "selvedge" if border is None else "the selvedge with the border"
    if border is not None and border.both and not border.alike:
        edge = "the selvedge with the border that the legs stand on"
    elif border is not None and border.both:
        edge = "a selvedge"
    return f"{end} Spread it in one layer, right side up, {edge} toward you."


def _grain_step(lay: Lay) -> str:
    if any(p.lie.turn_deg in (90, 270) for p in lay.placed):
        return (
            "Grain line along its arrow: parallel to the selvedge, or square to it where the arrow "
            "points up or down (those lie a quarter turned). Measure at both its ends."
        )
    return "Grain line parallel to the selvedge: measure at both its ends."


def steps(
    lay: Lay,
    units: Units,
    marks: Sequence[BorderMark] = (),
    *,
    centred: bool = False,
    pin_mm: float | None = None,
) -> tuple[str, ...]:
    """Return what to do, in order: no question should be left at the table."""
    zones = {p.part.zone for p in lay.placed}
    found = [_straighten(lay, units)]
    if lay.fold_mm is not None:
        found.append(
            "Double pieces and halves on the fold lie in the shaded part, through both layers; "
            "the others on the single part, clear of the selvedge turned in."
        )
    found.append(
        "Mark each piece's two distances: ◂ its leftmost point from the cut end, ▾ its lowest "
        "point from the selvedge."
    )
    found.append(_grain_step(lay))
    found += [
        *border_steps(lay, marks, units, centred=centred, pin_mm=pin_mm),
        *stripe_steps(lay, units),
    ]
    if any(p.lie.face == "down" for p in lay.placed):
        found.append("Grey, FACE DOWN: turn the paper over, printed side to the fabric.")
    if lay.cloth.slippery:
        found.append(
            "It slides: smooth it out without pulling, let nothing hang over the table's edge, and "
            "hold the paper down with weights rather than pins."
        )
    if "fold" in zones:
        found.append("On the fold: fold the paper in half along its middle; never cut the fold.")
    if "opened" in zones and lay.opened_mm:
        found.append(
            f"From {show_on_tape(lay.opened_mm, lay.tape_mm, units)} on: cut the folded part "
            "first, then open out the rest, right side up, for these pieces."
        )
    if lay.left_out:
        found.append(f"Not on this fabric: {', '.join(lay.left_out)}.")
    all_pieces = "all pieces of a part" if "opened" in zones and lay.opened_mm else "all pieces"
    found.append(
        f"Lay {all_pieces}, in the order of the table, before you cut the first; then cut in the "
        "same order. The numbers are those of the cutting list. Save the scraps for trying the "
        "stretch."
    )
    return tuple(found)


def _notched(ends: Sequence[BorderMark], units: Units) -> str:
    """Return where the border begins and ends at the seams."""
    places = "; ".join(
        f"{m.seam} {_LEVELS[m.level]} {show_length(m.front_mm, units)}"
        + (
            ""
            if abs(m.mismatch_mm) < 1.0
            else f" in front, {show_length(m.back_mm, units)} at the back"
        )
        for m in ends
    )
    return (
        "Notch where the border begins and ends at the seams, as printed on the legs, measured "
        f"from the hem fold: {places}. Baste {show_given(BASTE.mm(units), units)} either side "
        "of each notch before you overlock."
    )
