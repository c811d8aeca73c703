"""The lay as it is told: every place on a line of the tape, and the gap still kept.

A place rounded by itself may take the gap from its neighbour, or need more cloth than there is. So
the places are moved onto the lines of a tape together, each where it is clear of those before it,
and the lay is judged again. What a print holds stays where the print has it; it is told to the
nearest line, and what lies beside it keeps away from that.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

import numpy as np
import shapely
from shapely import Polygon
from shapely.affinity import translate

from outseam.draft.inputs.show import TAPE_STEPS_MM, Units
from outseam.draft.lay.check.verify import check_lay, shape_of
from outseam.draft.lay.model.result import Lay, Placed, in_order
from outseam.draft.lay.ways.hold import Hold, holds
from outseam.draft.lay.ways.rules import Rules

#: A lay may become so much longer for the sake of the tape before finer lines are tried.
_GROWS_MM: Final = 8.0
#: ... and so much for the finest: places that nobody can measure take more than that from the gap.
_MOST_MM: Final = 25.0
#: Lines that a piece may be moved along before the tape is given up.
_MOST_LINES: Final = 24
#: Positions are kept to a hundredth of a millimetre; the judge allows a little more than this.
_HAIR_MM: Final = 0.05
_EVEN_MM: Final = 1e-6


def on_tape(lay: Lay, rules: Rules, units: Units) -> Lay:
    """Return the lay with its places on the lines of a tape; as it is where none are fine enough.

    The coarsest lines of `TAPE_STEPS_MM` serve that make it hardly longer and pass the checks.
    """
    held = holds(lay, rules.patterns)
    have = lay.cloth.in_hand_mm
    enough = have if have is not None and lay.length_mm <= have else math.inf
    *_, finest = TAPE_STEPS_MM[units]
    for step in TAPE_STEPS_MM[units]:
        found = _moved(lay, held, step)
        grows = _MOST_MM if step == finest else _GROWS_MM
        if found is None or found.length_mm > min(lay.length_mm + grows, enough):
            continue
        told = told_lay(found)
        if not any(f.level == "error" for f in check_lay(told, rules.patterns, rules.turns)):
            return found
    return lay


def told_lay(lay: Lay) -> Lay:
    """Return the lay as a person lays it by the places that are told."""
    if lay.tape_mm is None:
        return lay
    step = lay.tape_mm
    placed = [_at(p, round(p.x_mm / step) * step, _told_y(p, lay, step)) for p in lay.placed]
    length = max(lay.length_mm, *(p.end_mm for p in placed))
    return replace(lay, placed=tuple(placed), length_mm=length)


def _told_y(p: Placed, lay: Lay, step: float) -> float:
    """Return the told height; what lies on the fold is laid by the fold."""
    return p.y_mm if p.part.zone == "fold" else round(p.y_mm / step) * step


def _at(p: Placed, x_mm: float, y_mm: float) -> Placed:
    lie = p.lie.moved(x_mm - p.x_mm, y_mm - p.y_mm)
    return replace(p, lie=lie, x_mm=x_mm, y_mm=y_mm)


def _moved(lay: Lay, held: dict[str, Hold], step: float) -> Lay | None:
    """Return the lay on lines `step` apart, None where a piece finds no place."""
    main = [p for p in lay.placed if p.part.zone != "opened"]
    opened = [p for p in lay.placed if p.part.zone == "opened"]
    lay = _on_fold(lay, main, step)
    found = _row(lay, _with_fold(lay, main), held, step, 0.0)
    if found is None:
        return None
    at = lay.opened_mm
    if opened and at:
        end = max(p.end_mm for p in found)
        at = _up(max(end, 0.0) + lay.cloth.gap_mm, step)
        opened = [_at(p, p.x_mm + at - (lay.opened_mm or 0.0), p.y_mm) for p in opened]
        behind = _row(lay, opened, held, step, at)
    else:
        behind = _row(lay, opened, held, step, 0.0)
    if behind is None:
        return None
    placed = in_order([*found, *behind])
    length = round(max(p.end_mm for p in placed), 2)
    return replace(lay, placed=placed, length_mm=length, opened_mm=at, tape_mm=step)


def _on_fold(lay: Lay, main: Sequence[Placed], step: float) -> Lay:
    """Return the lay with the depth of a narrow fold on a line: deep enough for what lies in it."""
    if lay.fold_mm is None:
        return lay
    deep = min(_up(lay.fold_mm, step), lay.cloth.width_mm / 2.0)
    return replace(lay, fold_mm=deep)


def _with_fold(lay: Lay, main: Sequence[Placed]) -> list[Placed]:
    """Return the pieces, those on a fold moved with it."""
    return [
        _at(p, p.x_mm, lay.room_mm(p.part)[1] - p.breadth_mm) if p.part.zone == "fold" else p
        for p in main
    ]


def _row(
    lay: Lay, pieces: Sequence[Placed], held: dict[str, Hold], step: float, start_mm: float
) -> list[Placed] | None:
    """Return pieces of one part of the fabric on the lines, each clear of those before it.

    What is held along the fabric is put first, the rest as it lies from the cut end on.
    """
    laid: list[Placed] = []
    exact: list[Polygon] = []
    as_told: list[Polygon] = []
    gap = lay.cloth.gap_mm
    order = sorted(pieces, key=lambda p: (held[p.key].along_mm is None, p.x_mm, p.y_mm))
    for p in order:
        shape = shape_of(p, lay)
        for x, y in _places(p, lay, held[p.key], step, start_mm):
            # What is held is told to the nearest line: clear where it is, and where it is told.
            told = round(x / step) * step, _told_y(replace(p, y_mm=y), lay, step)
            moved = translate(shape, x - p.x_mm, y - p.y_mm)
            said = translate(shape, told[0] - p.x_mm, told[1] - p.y_mm)
            if not _near(moved, exact, gap) and not _near(said, as_told, gap):
                laid.append(_at(p, x, y))
                exact.append(moved)
                as_told.append(said)
                break
        else:
            return None
    return laid


def _near(shape: Polygon, others: Sequence[Polygon], gap_mm: float) -> bool:
    """Return whether a shape lies nearer than the gap to one of the others."""
    if not others:
        return False
    if gap_mm > 0.0:
        return bool(shapely.dwithin(np.array(others), shape, gap_mm - _HAIR_MM).any())
    return bool(shapely.intersects(np.array(others), shape.buffer(-_HAIR_MM)).any())


def _places(
    p: Placed, lay: Lay, hold: Hold, step: float, start_mm: float
) -> Iterator[tuple[float, float]]:
    """Yield the places a piece may be moved to, the nearest to the cut end first."""
    low, high = lay.room_mm(p.part)
    if p.part.zone == "fold" or hold.level_mm is not None or hold.across_mm is not None:
        levels = [p.y_mm]
    else:
        down, up = math.floor(p.y_mm / step + _EVEN_MM), math.ceil(p.y_mm / step - _EVEN_MM)
        most = high - p.breadth_mm
        rows = dict.fromkeys(
            [*sorted((down, up), key=lambda k: abs(k * step - p.y_mm)), down - 1, up + 1]
        )
        levels = [round(k * step, 4) for k in rows if low - _HAIR_MM <= k * step <= most + _HAIR_MM]
    if hold.along_mm is not None:
        yield from ((p.x_mm, y) for y in levels)
        return
    first = max(math.floor(p.x_mm / step + _EVEN_MM), math.ceil(start_mm / step - _EVEN_MM))
    for count in range(_MOST_LINES):
        yield from ((round((first + count) * step, 4), y) for y in levels)


def _up(mm: float, step: float) -> float:
    return math.ceil(mm / step - _EVEN_MM) * step
