"""What can be taken hold of on the drawing: a place, what it changes, and how far it moves.

Each handle is one line of `HANDLES`: a word of the trade, the key of the style it writes, and where
it sits on the front leg. A new one is a function here and its line.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from outseam.cli.page.flat import Flat, on_table
from outseam.curves.evaluate import point_at
from outseam.curves.length import param_at_length
from outseam.curves.path import join
from outseam.curves.point import Point
from outseam.curves.region import bounds
from outseam.draft.border.levels import above_hem_mm
from outseam.draft.figures.finished import finished
from outseam.draft.inputs.show import Units, show_length
from outseam.draft.inputs.tables import table_of
from outseam.draft.inputs.value_kinds import ChoiceOrLength, Length
from outseam.draft.legs import leg_named
from outseam.draft.legs.flare import THIGH_SHARE
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece
from outseam.draft.piece.ruler import x_at
from outseam.draft.style import Style


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """A handle of one pattern: the value in mm, the point of the piece, and what a mm of pull does.

    `across` and `up` are the mm of value for each mm that the point is moved right or up.
    """

    value_mm: float
    piece: str
    at: Point
    across: float = 0.0
    up: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What handles are found by: a pattern, its pieces as they are cut, its front, its figures."""

    pattern: Pattern
    pieces: tuple[Piece, ...]
    front: Piece
    figures: Mapping[str, float]

    @property
    def finished(self) -> tuple[float, float]:
        """Mm of the finished pants for each mm of the drawing, across and up: cloth that shrinks is
        cut larger.
        """
        across, up = self.pattern.spec.fabric.piece_factors
        return 1.0 / across, 1.0 / up


@dataclass(frozen=True, slots=True, kw_only=True)
class Handle:
    """A word, the key of [style] that it writes, and how it is found on a pattern."""

    name: str
    key: str
    find: Callable[[Wanted], Held | None]
    signed: bool = False


def _mid(a: Point, b: Point) -> Point:
    return (a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0


def _top_edge(w: Wanted) -> Held:
    """The middle of the waist edge; up is higher above the tape."""
    names = [e.name for e in w.front.edges]
    if "waist" in names:
        ends = w.front.edge("waist").path.start, w.front.edge("waist").path.end
    else:
        ends = w.front.edge("outseam").path.start, w.front.edge("crotch").path.end
    rise, (_, up) = w.pattern.block.rise.side_mm, w.finished
    return Held(value_mm=rise, piece=w.front.name, at=_mid(*ends), up=up)


def _hem(w: Wanted) -> Held:
    """The middle of the hem; down is a longer inseam."""
    at = _mid(w.front.edge("outseam").path.end, w.front.edge("inseam").path.start)
    return Held(value_mm=w.figures["inseam"], piece=w.front.name, at=at, up=-w.finished[1])


def _hem_width(w: Wanted) -> Held:
    """The corner of hem and inseam: the hem goes round in four such halves."""
    at = w.front.edge("inseam").path.start
    return Held(value_mm=w.figures["hem"], piece=w.front.name, at=at, across=4.0 * w.finished[0])


def _flare_start(w: Wanted) -> Held | None:
    """A place on the outseam at the height where the leg begins to widen."""
    style, knee = w.pattern.spec.style, w.pattern.measures.knee_height
    leg, zero = leg_named(style.leg), w.pattern.block.crotch_line_height_mm
    if not leg.flares:
        return None
    height = style.flare_from if isinstance(style.flare_from, float) else knee
    if style.flare_from == "thigh":
        height = knee + THIGH_SHARE * (zero - knee)
    y = (height - zero) / w.finished[1]
    x = x_at(w.front.edge("outseam").path, y)
    if x is None:
        return None
    return Held(value_mm=height, piece=w.front.name, at=(x, y), up=w.finished[1])


def _pocket_mouth(w: Wanted) -> Held | None:
    """The lower end of a pocket's opening."""
    for notch in w.front.notches:
        if notch.role in ("pocket opening, end", "pocket mouth"):
            edge = w.front.edge(notch.edge).path
            at = point_at(edge, param_at_length(edge, notch.at_mm))
            break
    else:
        names = [e.name for e in w.front.edges]
        found = next((n for n in names if "mouth" in n or "pocket" in n), None)
        if found is None:
            return None
        path = w.front.edge(found).path
        at = min(path.start, path.end, key=lambda p: p[1])
    opening = w.pattern.spec.style.pocket_opening or _opening(w.pattern)
    if opening is None:
        return None
    return Held(value_mm=opening, piece=w.front.name, at=at, up=-w.finished[1])


def _opening(pattern: Pattern) -> float | None:
    """The opening as drafted, from the check that a hand goes in."""
    for f in pattern.findings:
        if f.check == "a hand goes into the pocket" and f.unit == "mm":
            return f.measured
    return None


def _band_height(w: Wanted) -> Held | None:
    """The upper edge of the waistband's front piece."""
    height = w.pattern.block.band_height_mm
    band = next((p for p in w.pieces if p.part.endswith("band")), None)
    if not height or band is None:
        return None
    x0, y0, x1, y1 = bounds(join([e.path for e in band.edges]))
    # A band that is folded along its middle is drawn twice as high.
    up = height / (y1 - y0)
    return Held(value_mm=height, piece=band.name, at=((x0 + x1) / 2.0, y1), up=up)


def _border(w: Wanted) -> Held | None:
    """On a fabric with a border: its edge on the front leg, which moves it on every piece."""
    fabric = w.pattern.spec.fabric
    if fabric.border == "none":
        return None
    hem, seam = w.front.edge("outseam").path.end, w.front.edge("inseam").path
    above = above_hem_mm(w.pattern.spec, w.pattern.pieces)
    y = hem[1] + above / w.finished[1]
    at = x_at(seam, y)
    x = seam.start[0] if at is None else at
    return Held(value_mm=above, piece=w.front.name, at=(x, y), up=w.finished[1])


HANDLES: Final = (
    Handle(name="top edge", key="rise", find=_top_edge, signed=True),
    Handle(name="pocket mouth", key="pocket_opening", find=_pocket_mouth),
    Handle(name="flare start", key="flare_from", find=_flare_start),
    Handle(name="hem", key="inseam", find=_hem),
    Handle(name="hem width", key="hem_width", find=_hem_width),
    Handle(name="border", key="border_above_hem", find=_border, signed=True),
    Handle(name="band height", key="band_height", find=_band_height),
)


def handles_of(pattern: Pattern, flat: Flat, shown: Units) -> list[dict[str, Any]]:
    """Return every handle the pattern has, as plain data for the page."""
    front = next(p for p in flat.pieces if p.part == "front")
    wanted = Wanted(pattern=pattern, pieces=flat.pieces, front=front, figures=finished(pattern))
    kinds = {f.key: f.kind for f in table_of(Style)}
    found = []
    for handle in HANDLES:
        held = handle.find(wanted)
        if held is None:
            continue
        kind = kinds[handle.key]
        assert isinstance(kind, Length | ChoiceOrLength)
        x, y = on_table(flat.table, held.piece, held.at)
        found.append(
            {
                "name": handle.name,
                "key": handle.key,
                "x": x,
                "y": y,
                "mm": round(held.value_mm, 1),
                "low": kind.low,
                "high": kind.high,
                "across": held.across,
                "up": held.up,
                "signed": handle.signed,
                "says": show_length(held.value_mm, shown),
            }
        )
    return found
