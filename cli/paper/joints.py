"""Joins between home pages: their codes, and where marks and page numbers find free paper."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from outseam.cli.paper.free_space import Occupancy
from outseam.cli.paper.furniture import (
    MARK_LEVEL_MM,
    MARK_UPWARD_MM,
    TAG_H_MM,
    TAG_W_MM,
    Joint,
    PageEdge,
)
from outseam.cli.paper.grid import Cell, TileGrid
from outseam.cli.scene.extent import Floats
from outseam.curves.point import Point

#: Marks and numbers are tried at steps of this size.
_STEP_MM = 6.0
_TAG_STEPS_MM = (9.0, 7.0)

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
        for join, at in zip(some, _mark_spots(some, grid, occupancy, upward=upward), strict=True):
            one = Joint(code=join.code, page=numbers[join.far], at_mm=at)
            two = Joint(code=join.code, page=numbers[join.near], at_mm=at)
            found[join.near][_side(near)], found[join.far][_side(far)] = one, two
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


def _mark_spots(
    joins: Sequence[_Join], grid: TileGrid, occupancy: Occupancy, *, upward: bool
) -> list[float]:
    """Return how far along each join (all of one direction) its mark stands."""
    half = np.array(MARK_UPWARD_MM if upward else MARK_LEVEL_MM)
    length = grid.window_h_mm if upward else grid.window_w_mm
    reach = max(length / 2 - half[int(upward)] - grid.overlap_mm - 4.0, 0.0)
    steps = np.arange(_STEP_MM, reach, _STEP_MM)
    along = length / 2 + np.concatenate([[0.0], np.stack([steps, -steps], axis=1).ravel()])
    at = np.array([join.start_mm for join in joins])[:, None] + along
    across = np.broadcast_to(np.array([join.across_mm for join in joins])[:, None], at.shape)
    middle = np.stack([across, at] if upward else [at, across], axis=2)
    boxes = np.concatenate([middle - half, middle + half], axis=2)
    taken = occupancy.taken(boxes.reshape(-1, 4)).reshape(at.shape)
    return [float(along[i]) for i in taken.argmin(axis=1)]


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
    w, h = MARK_UPWARD_MM if side in ("left", "right") else MARK_LEVEL_MM
    return x - w, y - h, x + w, y + h


def _meet(boxes: Floats, others: Floats) -> NDArray[np.bool_]:
    """Return which boxes overlap which others; the last axis of both is x0, y0, x1, y1."""
    low = (boxes[..., :2] < others[..., 2:]).all(axis=-1)
    return np.asarray(low & (boxes[..., 2:] > others[..., :2]).all(axis=-1))
