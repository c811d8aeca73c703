"""Joins between home pages: their codes, and where marks and page numbers find free paper."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from outseam.cli.paper.free_space import Occupancy
from outseam.cli.paper.furniture import (
    CODE_LEVEL_MM,
    CODE_OFF_MM,
    CODE_UPWARD_MM,
    DISC_MM,
    TAG_H_MM,
    TAG_W_MM,
    Joint,
    PageEdge,
)
from outseam.cli.paper.grid import Cell, TileGrid
from outseam.curves.path import Floats
from outseam.curves.point import Point

#: Marks and numbers are tried at steps of this size.
_STEP_MM = 6.0
_TAG_STEPS_MM = (9.0, 7.0)

#: Where lines run beside a join all the way, its codes stand this much further off.
_FURTHER_MM = np.array([0.0, 5.0, 10.0, 15.0])
#: No mark of an upright join stands nearer to a corner, so that it meets no other's.
_CORNER_MM = 30.0

#: Codes leave out the letters that look like digits.
_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"


#: Spots for a page's number that are looked at before all others.
_FIRST_SPOTS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class _Join:
    """A join from the page on its left or upper side to the other; where it runs on the sheet."""

    near: Cell
    far: Cell
    code: str
    upward: bool
    across_mm: float
    start_mm: float


def page_joints(
    grid: TileGrid, numbers: Mapping[Cell, int], occupancy: Occupancy
) -> dict[Cell, dict[PageEdge, Joint]]:
    """Return, for every printed page, the joints of its sides that meet another printed page.

    The mark stands near the middle of the join, where the drawing leaves most room for it.
    """
    found: dict[Cell, dict[PageEdge, Joint]] = {cell: {} for cell in numbers}
    joins = list(_joins(grid, numbers))
    for upward, near, far in ((True, "right", "left"), (False, "bottom", "top")):
        some = [join for join in joins if join.upward is upward]
        for join, spot in zip(some, _mark_spots(some, grid, occupancy, upward=upward), strict=True):
            for cell, other, name, further in (
                (join.near, join.far, near, spot.near_mm),
                (join.far, join.near, far, spot.far_mm),
            ):
                found[cell][_side(name)] = Joint(
                    code=join.code, page=numbers[other], at_mm=spot.at_mm, further_mm=further
                )
    return found


def _side(name: str) -> PageEdge:
    sides: dict[str, PageEdge] = {s: s for s in ("left", "right", "top", "bottom")}
    return sides[name]


def _joins(grid: TileGrid, numbers: Mapping[Cell, int]) -> Iterable[_Join]:
    """Yield the joins in reading order."""
    count = 0
    for cell in numbers:
        row, column = cell
        x, y = grid.corner(cell)
        for far, upward in (((row, column + 1), True), ((row + 1, column), False)):
            if far in numbers:
                yield _Join(
                    near=cell,
                    far=far,
                    code=_code(count),
                    upward=upward,
                    across_mm=x + grid.pitch_w_mm if upward else y + grid.overlap_mm,
                    start_mm=y if upward else x,
                )
                count += 1


def _code(count: int) -> str:
    """Return the code of the join number `count`: A1 to A9, B1 to B9, ..., AA1, ..."""
    block, digit = divmod(count, 9)
    more, letter = divmod(block, len(_LETTERS))
    first = _LETTERS[(more - 1) % len(_LETTERS)] if more else ""
    return first + _LETTERS[letter] + str(digit + 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Spot:
    """Where a mark stands along its join, and how much further off the codes of both pages are."""

    at_mm: float
    near_mm: float
    far_mm: float


def _mark_spots(
    joins: Sequence[_Join], grid: TileGrid, occupancy: Occupancy, *, upward: bool
) -> list[_Spot]:
    """Return the spot of each join, all of one direction.

    Rather than over a line, a code stands off the middle, and rather than there, further away.
    """
    length = grid.window_h_mm if upward else grid.window_w_mm
    corner = _CORNER_MM if upward else CODE_LEVEL_MM[1] / 2.0 + 4.0
    steps = np.arange(_STEP_MM, max(length / 2 - corner - grid.overlap_mm, 0.0), _STEP_MM)
    along = length / 2 + np.concatenate([[0.0], np.stack([steps, -steps], axis=1).ravel()])
    at = (np.array([join.start_mm for join in joins])[:, None] + along)[..., None]
    across = np.array([join.across_mm for join in joins])[:, None, None]
    # How far off the join the disc begins and ends, then codes on its lower and its upper side,
    # and half of what each takes up along it.
    deep, wide = CODE_UPWARD_MM if upward else CODE_LEVEL_MM
    off = CODE_OFF_MM + _FURTHER_MM
    begins = across + np.concatenate([[-DISC_MM], -off - deep, off])
    ends = across + np.concatenate([[DISC_MM], -off, off + deep])
    half = np.array([DISC_MM, *[wide / 2.0] * (2 * len(off))])
    low, high = (begins, at - half), (ends, at + half)
    sides = np.broadcast_arrays(*(low if upward else low[::-1]), *(high if upward else high[::-1]))
    taken = occupancy.taken(np.stack(sides, axis=-1).reshape(-1, 4)).reshape(sides[0].shape)
    disc, codes = taken[..., 0], np.split(taken[..., 1:], 2, axis=2)
    # The code of the near page lies left of an upright join, and above a level one.
    codes = codes if upward else codes[::-1]
    best = [code.argmin(axis=2) for code in codes]
    covered = disc + sum(code.min(axis=2) for code in codes)
    place = (covered * 10 + best[0] + best[1]).argmin(axis=1)
    return [
        _Spot(
            at_mm=float(along[i]),
            near_mm=float(_FURTHER_MM[best[0][n, i]]),
            far_mm=float(_FURTHER_MM[best[1][n, i]]),
        )
        for n, i in enumerate(place)
    ]


def number_spots(
    grid: TileGrid, joints: Mapping[Cell, Mapping[PageEdge, Joint]], occupancy: Occupancy
) -> dict[Cell, Point]:
    """Return where on each page's window its number stands: clear of the drawing and the marks.

    The upper left is best. Where a page has no free spot, the one with the least drawing is taken.
    """
    left, top = 4.0, grid.window_h_mm - TAG_H_MM - 3.0
    right = grid.window_w_mm - grid.overlap_mm - TAG_W_MM - 3.0
    low = grid.overlap_mm + 3.0
    columns = np.arange(left, max(right, left + 1), _TAG_STEPS_MM[0])
    x, y = np.meshgrid(columns, np.arange(top, min(low, top - 1), -_TAG_STEPS_MM[1]))
    order = np.argsort((x - left + 1.3 * (top - y)).ravel(), kind="stable")
    spots = np.stack([x.ravel(), y.ravel()], axis=1)[order]
    boxes = np.hstack([spots, spots + np.array([TAG_W_MM, TAG_H_MM])])
    # Nearly every page has room among the first spots; only the others look at all of them.
    found: dict[Cell, Point] = {}
    waiting = list(joints)
    for some in (boxes[:_FIRST_SPOTS], boxes):
        corners = np.array([grid.corner(cell) * 2 for cell in waiting]).reshape(-1, 1, 4)
        taken = occupancy.taken((some + corners).reshape(-1, 4)).reshape(-1, len(some))
        marks = np.full((len(waiting), 4, 4), np.nan)  # what is no number overlaps nothing
        for place, cell in zip(marks, waiting, strict=True):
            for row, (side, joint) in zip(place, joints[cell].items(), strict=False):
                row[:] = _mark_box(grid, side, joint)
        in_the_way = taken + 10_000 * _meet(some[:, None], marks[:, None]).any(axis=2)
        best = in_the_way.argmin(axis=1)
        full = []
        for number, (cell, spot) in enumerate(zip(waiting, best.tolist(), strict=True)):
            found[cell] = (float(some[spot, 0]), float(some[spot, 1]))
            if in_the_way[number, spot]:
                full.append(cell)
        if not full:
            break
        waiting = full
    return {cell: found[cell] for cell in joints}


def _mark_box(grid: TileGrid, side: PageEdge, joint: Joint) -> tuple[float, float, float, float]:
    """Return the box of a joining mark on a page, in window coordinates."""
    x, y = {
        "left": (0.0, joint.at_mm),
        "right": (grid.pitch_w_mm, joint.at_mm),
        "top": (joint.at_mm, grid.window_h_mm),
        "bottom": (joint.at_mm, grid.overlap_mm),
    }[side]
    upward = side in ("left", "right")
    deep, wide = CODE_UPWARD_MM if upward else CODE_LEVEL_MM
    reach = CODE_OFF_MM + deep + joint.further_mm
    w, h = (reach, wide / 2.0) if upward else (wide / 2.0, reach)
    return x - w, y - h, x + w, y + h


def _meet(boxes: Floats, others: Floats) -> NDArray[np.bool_]:
    """Return which boxes overlap which others; the last axis of both is x0, y0, x1, y1."""
    low = (boxes[..., :2] < others[..., 2:]).all(axis=-1)
    return np.asarray(low & (boxes[..., 2:] > others[..., :2]).all(axis=-1))
