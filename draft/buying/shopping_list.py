"""What to buy for a pattern: fabric as it is sold, lining, elastic, thread, tape and interfacing.

Two ways to deal with shrinkage. Where the file gives it, the pieces are drafted larger and cut from
fabric that is not washed first: nothing is added to the lay. Where it gives none, the fabric is
washed before it is cut, and it has to be bought longer and broader by what a wash usually takes.
Each direction is dealt with by itself. All allowances here err on the long side.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from typing import Final, Literal, TypeAlias

from outseam.draft.buying.notions import (
    ON_MACHINE,
    SPARE_RATIO,
    ThreadUse,
    elastic_of,
    needle_for,
    thread_of,
    twin_needle_for,
)
from outseam.draft.fabric import Fabric
from outseam.draft.inputs.show import YARD_MM, Units, show_given, show_length, show_ratio
from outseam.draft.inputs.text import listing
from outseam.draft.lay.ways.quick import FabricLength, fabric_length, length_on, lining_length
from outseam.draft.model import Pattern

PRACTICE: Final = "common practice, no source"
MEMORY: Final = (
    "thread per seam and its shares: common practice; class numbers: ASTM D6193, from memory"
)

#: What a first wash takes from a fabric whose shrinkage the file does not give (common practice,
#: no source: most cottons and their knits stay below).
WASH_ALONG_RATIO: Final = 0.05
WASH_ACROSS_RATIO: Final = 0.03
#: A shop's cut is off the straight; both ends together lose this when they are squared (common
#: practice, no source).
SQUARING_MM: Final = 50.0
#: Share of the lay bought on top, for pieces that are laid less closely than drawn (common
#: practice, no source).
LAY_SPARE_RATIO: Final = 0.03
#: Of a width as it is sold this much is selvedge, both sides together (common practice, no source).
SELVEDGES_MM: Final = 20.0
#: Widths that fabrics for clothes are sold in, the middle one for lining too; and interfacing
#: (common practice, no source). In inches as they are named there.
SOLD_CM: Final = (1120.0, 1400.0, 1500.0)
SOLD_IN: Final = (44.0 * 25.4, 54.0 * 25.4, 60.0 * 25.4)
INTERFACING_CM, INTERFACING_IN = 900.0, 20.0 * 25.4

#: Fabric and elastic are sold by these steps: 5 cm, or an eighth of a yard.
_STEP_CM: Final = 50.0
_STEP_YD: Final = YARD_MM / 8.0

#: On top of an elastic, 10 cm or 4 in: it is tried on longer first, and shrinks a little in the
#: wash (common practice, no source).
ELASTIC_SPARE_CM, ELASTIC_SPARE_IN = 100.0, 101.6

#: A small spool holds this much (common practice, no source).
SPOOL_MM: Final = 100_000.0
#: Tape goes this far beyond an opening at each end; interfacing shrinks this much when it is fused
#: (common practice, no source).
TAPE_BEYOND_MM: Final = 20.0
_FUSING_RATIO: Final = 0.05

EntryKind: TypeAlias = Literal[
    "lining", "elastic", "thread", "needle", "tape", "zip", "interfacing"
]


@dataclass(frozen=True, slots=True, kw_only=True)
class FabricNeed:
    """Fabric of one width, mm.

    `sold_mm` is the width on the label, None for the file's own, which is taken as it lies when it
    is cut. `usable_mm` and `lay_mm` are as cut; `washed_mm` is how long the lay is once everything
    is washed, `buy_mm` what to ask for. Where it cannot lie the three are None, `why` says it and
    `narrow` whether it is the width.
    `about` tells a quick lay from one that was searched for and kept.
    """

    sold_mm: float | None
    usable_mm: float
    lay_mm: float | None = None
    washed_mm: float | None = None
    buy_mm: float | None = None
    about: bool = True
    why: str = ""
    narrow: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A line of the list: what, how much as it is sold, how much of it is needed, and why.

    Lengths in mm, None where it is counted (spools, packets) or cannot be said.
    """

    kind: EntryKind
    what: str
    buy_mm: float | None = None
    needed_mm: float | None = None
    spools: int = 0
    packets: int = 0
    reason: str = ""
    source: str = PRACTICE


@dataclass(frozen=True, slots=True, kw_only=True)
class BuyList:
    """What to buy: fabric at the file's own width, at widths sold, and everything else."""

    fabric: FabricNeed
    widths: tuple[FabricNeed, ...]
    entries: tuple[Entry, ...]
    reason: str


def washed_first(fabric: Fabric) -> tuple[float, float]:
    """Return what a wash before cutting is reckoned to take (across, along), as ratios.

    0 in a direction whose shrinkage the file gives: its pieces are cut larger instead.
    """
    across = 0.0 if fabric.shrink_across else WASH_ACROSS_RATIO
    along = 0.0 if fabric.shrink_along else WASH_ALONG_RATIO
    return across, along


def sold_widths_mm(units: Units) -> tuple[float, ...]:
    """Return the widths that fabric is usually sold in."""
    return SOLD_IN if units == "in" else SOLD_CM


def lining_width_mm(units: Units) -> float:
    """Return the width that lining is reckoned with as sold."""
    return sold_widths_mm(units)[1]


def usable_mm(sold_mm: float, fabric: Fabric) -> float:
    """Return the usable width, when it is cut, of fabric sold in a width."""
    return (sold_mm - SELVEDGES_MM) * (1.0 - washed_first(fabric)[0])


def rounded_up_mm(mm: float, units: Units) -> float:
    """Return a length as it is sold: up to the next 5 cm, or eighth of a yard."""
    step = _STEP_YD if units == "in" else _STEP_CM
    return step * math.ceil(round(mm / step, 6))


def to_buy_mm(lay_mm: float, fabric: Fabric, units: Units) -> float:
    """Return how much fabric to ask for so that a lay as cut has room on it."""
    along = washed_first(fabric)[1]
    laid = lay_mm * (1.0 + LAY_SPARE_RATIO) + placing_mm(fabric)
    return rounded_up_mm(laid / (1.0 - along) + SQUARING_MM, units)


def placing_mm(fabric: Fabric) -> float:
    """Return what putting the first piece on a figure or a stripe may cost: up to one repeat."""
    return (fabric.border_repeat if fabric.turned else fabric.repeat_along) or 0.0


def need_of(found: FabricLength, fabric: Fabric, units: Units, sold_mm: float | None) -> FabricNeed:
    """Return what a lay comes to in the shop."""
    if found.length_mm is None:
        return FabricNeed(
            sold_mm=sold_mm, usable_mm=found.width_mm, why=found.why, narrow=found.narrow
        )
    return FabricNeed(
        sold_mm=sold_mm,
        usable_mm=found.width_mm,
        lay_mm=found.length_mm,
        washed_mm=found.length_mm * (1.0 - fabric.shrink_along),
        buy_mm=to_buy_mm(found.length_mm, fabric, units),
        about=not found.kept,
    )


def buy_list(
    pattern: Pattern,
    own: FabricLength,
    sold: Sequence[tuple[float, FabricLength]],
    lining: FabricLength | None = None,
) -> BuyList:
    """Return what to buy.

    `own` is the lay on the file's own width; `sold` are widths as sold with the lays on what is
    usable of them; `lining` is the lay of the lining pieces, None where there are none.
    """
    fabric, units = pattern.spec.fabric, pattern.spec.units
    entries = (
        *_lining(pattern, lining),
        *_elastic(pattern),
        *_thread(pattern),
        *_needles(pattern),
        *_tape(pattern),
        *_zips(pattern),
        *_interfacing(pattern),
    )
    return BuyList(
        fabric=need_of(own, fabric, units, None),
        widths=tuple(need_of(found, fabric, units, mm) for mm, found in sold),
        entries=entries,
        reason=fabric_reason(fabric, units),
    )


def plan_buying(
    pattern: Pattern,
    kept: object = None,
    widths_mm: Sequence[float] = (),
    *,
    seconds: float = 0.0,
) -> BuyList:
    """Return what to buy, laid on the file's own width and on widths sold (by default the usual).

    `kept` is a lay kept for the own width, read back from a file. `seconds` is for each width, as
    in `fabric_length`; widths are searched two at a time.
    """
    fabric, units = pattern.spec.fabric, pattern.spec.units
    widths = widths_mm or sold_widths_mm(units)
    with ThreadPoolExecutor(2) as pool:
        own = pool.submit(fabric_length, pattern, kept, patient=True, seconds=seconds)
        sold = [
            (mm, pool.submit(length_on, pattern, usable_mm(mm, fabric), seconds=seconds))
            for mm in widths
        ]
        lining = lining_length(pattern, usable_mm(lining_width_mm(units), Fabric()))
    laid = [own.result(), *(f.result() for _, f in sold)]
    if fabric.fold == "single" and fabric.border == "none":
        laid = [_best_within(one, laid) for one in laid]
    return buy_list(pattern, laid[0], list(zip(widths, laid[1:], strict=True)), lining)


def _best_within(found: FabricLength, all_found: Sequence[FabricLength]) -> FabricLength:
    """Return the shortest lay that the width has room for: what lies on less lies on more too."""
    if found.kept:
        return found
    others = [o for o in all_found if o.length_mm is not None and o.width_mm <= found.width_mm]
    best = min((found, *others), key=lambda o: math.inf if o.length_mm is None else o.length_mm)
    return replace(best, width_mm=found.width_mm) if best is not found else found


def fabric_reason(fabric: Fabric, units: Units) -> str:
    """Return what is in the length to buy besides the lay, as a sentence."""
    across, along = washed_first(fabric)
    parts = [f"{show_ratio(LAY_SPARE_RATIO)} to spare"]
    if along:
        parts.append(
            f"{show_ratio(along)} for a wash before cutting, because the file gives no shrinkage "
            "along"
        )
    parts.append(f"{show_length(SQUARING_MM, units)} to square both ends")
    placing = placing_mm(fabric)
    if placing:
        what = "figure" if fabric.turned else "stripe"
        told = show_length(placing, units)
        parts.insert(1, f"one repeat of {told}, which putting the first leg on a {what} may cost")
    said = f"the lay, {', '.join(parts)}"
    given = [
        f"{show_ratio(ratio)} {way}"
        for ratio, way in ((fabric.shrink_across, "across"), (fabric.shrink_along, "along"))
        if ratio
    ]
    if given:
        said += (
            f"; the lay allows for the shrinkage of {' and '.join(given)} already: the pieces are "
            "cut larger, so do not wash it first"
        )
    if across:
        said += f"; of a width as sold, {show_length(SELVEDGES_MM, units)} are selvedges and "
        said += f"{show_ratio(across)} go in the wash"
    else:
        said += f"; of a width as sold, {show_length(SELVEDGES_MM, units)} are selvedges"
    return said


# --- the other lines ------------------------------------------------------------------------------


def _lining(pattern: Pattern, found: FabricLength | None) -> Iterator[Entry]:
    pieces = [p for p in pattern.pieces if p.lining]
    if not pieces or found is None:
        return
    units = pattern.spec.units
    titles = ", ".join(dict.fromkeys(f"{p.title.lower()} ({p.cut_note})" for p in pieces))
    what = f"lining or pocket cloth, {show_length(lining_width_mm(units), units)} wide"
    if found.length_mm is None:
        yield Entry(kind="lining", what=what, reason=f"{titles}: {found.why}")
        return
    mm = found.length_mm * (1.0 + LAY_SPARE_RATIO) / (1.0 - WASH_ALONG_RATIO) + SQUARING_MM
    yield Entry(
        kind="lining",
        what=what,
        buy_mm=rounded_up_mm(mm, units),
        needed_mm=found.length_mm,
        reason=f"{titles}; washed before cutting, ends squared; scraps of a firm thin cotton do",
    )


def _elastic(pattern: Pattern) -> Iterator[Entry]:
    elastic = elastic_of(pattern)
    if elastic is None:
        return
    units = pattern.spec.units
    spare = ELASTIC_SPARE_IN if units == "in" else ELASTIC_SPARE_CM
    yield Entry(
        kind="elastic",
        what=f"elastic, {show_given(elastic.width_mm, units)} wide",
        buy_mm=rounded_up_mm(elastic.cut_mm + spare, units),
        needed_mm=elastic.cut_mm,
        reason=f"{show_length(elastic.length_mm, units)} joined, "
        f"{show_length(elastic.overlap_mm, units)} overlap, "
        f"{show_length(spare, units)} to try it on with before it is cut",
    )


def spools_for(use: ThreadUse) -> int:
    """Return how many small spools a stitch takes: one or more for each thread that runs."""
    stitch = use.stitch
    return stitch.threads * math.ceil(stitch.largest_share * use.thread_mm / SPOOL_MM)


def _thread(pattern: Pattern) -> Iterator[Entry]:
    """Yield a line for each thread: one for all that the sewing machine sews, one an overlock."""
    units, uses = pattern.spec.units, thread_of(pattern)
    machine = [use for use in uses if use.stitch in ON_MACHINE]
    for use in uses:
        if use in machine[1:]:
            continue
        together = machine if use in machine else [use]
        threads = max(u.stitch.threads for u in together)
        mm = sum(u.thread_mm for u in together)
        spools = max(math.ceil(mm / SPOOL_MM), 2 if threads > 1 else 1)
        told = [
            f"{show_length(u.seam_mm, units)} of seam, {u.stitch.thread_ratio:g} times as much "
            f"thread{f' ({u.stitch.says})' if len(together) > 1 else ''}"
            for u in together
        ]
        runs = f"; {threads} threads run at once" if threads > 1 else ""
        numbers = f"class {listing((u.stitch.number for u in together), 'and')}"
        what = use.stitch.says if len(together) == 1 else "the sewing machine"
        yield Entry(
            kind="thread",
            what=f"thread for {what} ({numbers})",
            needed_mm=mm,
            spools=spools if use in machine else spools_for(use),
            reason=f"{'; '.join(told)}; {show_ratio(SPARE_RATIO)} to spare{runs}",
            source=MEMORY,
        )


def _needles(pattern: Pattern) -> Iterator[Entry]:
    fabric, machines = pattern.spec.fabric, pattern.spec.machines
    yield Entry(
        kind="needle",
        what=f"needles, {needle_for(fabric)}",
        packets=1,
        reason="a fresh one for each pair of pants; a blunt one holes a knit and snags a woven"
        + ("; overlocks take their own, see its booklet" if "overlock" in machines else ""),
    )
    if twin := twin_needle_for(fabric, machines):
        yield Entry(kind="needle", what=twin, packets=1, reason="for the hem, which has to give")


def openings_mm(pattern: Pattern) -> float:
    """Return the length of all pocket openings that want tape: mouths, and gaps in side seams."""
    return sum(pocket.tape_mm(pattern) for pocket in pattern.pockets)


def _tape(pattern: Pattern) -> Iterator[Entry]:
    opening, units = openings_mm(pattern), pattern.spec.units
    if opening == 0.0:
        return
    needed = opening + 4.0 * TAPE_BEYOND_MM
    yield Entry(
        kind="tape",
        what="stay tape, about 1 cm wide" if units != "in" else 'stay tape, about 3/8" wide',
        buy_mm=rounded_up_mm(needed * (1.0 + LAY_SPARE_RATIO), units),
        needed_mm=needed,
        reason="sewn into both pocket openings, so that they do not stretch",
    )


def _zips(pattern: Pattern) -> Iterator[Entry]:
    units = pattern.spec.units
    for zips in (z for f in pattern.features for z in f.zips(pattern)):
        yield Entry(
            kind="zip",
            what=f"{zips.count} zips, closed at one end",
            buy_mm=zips.length_mm,
            needed_mm=zips.length_mm,
            reason=f"{zips.why}; each {show_length(zips.length_mm, units)} from its stop to the "
            "top of its teeth, or longer and cut off above the hem's fold",
        )


def _interfacing(pattern: Pattern) -> Iterator[Entry]:
    units = pattern.spec.units
    if pattern.band.elastic_mm is None:
        band = pattern.spec.style.band
        yield Entry(
            kind="interfacing",
            what="no interfacing for the waistband",
            reason=f"a {band} band has to stretch over the hip and holds by springing back",
        )
    found = [strip for f in pattern.features for strip in f.stiffened(pattern)]
    if not found:
        return
    wide = INTERFACING_IN if units == "in" else INTERFACING_CM
    # Strips of one kind side by side across the interfacing, then the next kind.
    needed = 0.0
    for strip in found:
        a_row = max(1, int(wide // strip.across_mm))
        needed += strip.along_mm * math.ceil(strip.count / a_row)
    yield Entry(
        kind="interfacing",
        what=f"light fusible interfacing that gives, {show_length(wide, units)} wide",
        buy_mm=rounded_up_mm(needed / (1.0 - _FUSING_RATIO) + SQUARING_MM, units),
        needed_mm=needed,
        reason=" and ".join(dict.fromkeys(strip.why for strip in found)),
    )
