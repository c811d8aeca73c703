"""General lays by the strip-packing heuristic `spyrrow`, at arm's length.

It refuses what it cannot place by ending the process, so it runs in processes of its own and gets
only what is known to fit. It knows no mirroring, no fold and no fixed place.
"""

from __future__ import annotations

import itertools
import json
import math
import os
import subprocess
import sys
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import shapely
from shapely import Polygon, affinity

from outseam.draft.lay.model.orientations import FINE_MM, Item, Orientation, around
from outseam.draft.lay.model.placement import Face, Floats
from outseam.draft.lay.model.positions import Position, Positions, Slides, levels_of
from outseam.draft.lay.nest.compaction import compacted

#: The solver simplifies outlines a little; it is fed ones this much further out, mm, so that its
#: positions still keep the gap.
SPARE_MM = 0.3
#: Added to the strip's breadth: a piece exactly as broad as the strip is refused.
_HAIR_MM = 1e-3
#: How long after its time a process is given up, s: it ends itself, but a machine may be busy.
_GRACE_S = 0.4
#: What starting, reading in and tidying up take of the time asked for, s.
_AROUND_S = 1.2
#: Not more processes than this: a lay is small, and a person is waiting at the machine.
_MOST_PROCESSES = 2
_LONGEST_RUN_S = 60.0
#: A seed is worth at least so long, s, and so many are enough; for more pieces than the usual
#: number a run is longer by the square of how many times as many they are.
_RUN_S, _MOST_RUNS, _USUAL = 1.2, 3, 8
#: A run shorter than this finds nothing, s.
_LEAST_S = 0.8
#: The script that a process runs.
CHILD = Path(__file__).with_name("solver_child.py")


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """How long to search: `runs` one after the other on each processor, so many seconds each."""

    seconds: float
    runs: int


def budget_of(seconds: float, count: int = _USUAL) -> Budget:
    """Return how a time in seconds is spent on so many pieces: on several seeds rather than one.

    After a second or two a seed finds little for the pieces of one garment; no run of these is
    longer than a minute, after which nothing is found any more.
    """
    rest = max(_LEAST_S, seconds - _AROUND_S)
    times = max(1.0, count / _USUAL) ** 2
    most = min(_MOST_RUNS, int(rest / (_RUN_S * times)))
    runs = max(1, most, math.ceil(rest / (_LONGEST_RUN_S * times)))
    return Budget(seconds=rest / runs, runs=runs)


def _of_face(item: Item, face: Face) -> tuple[Orientation, ...]:
    return tuple(f for f in item.orientations if f.face == face)


def _shape(orientations: Sequence[Orientation], breadth_mm: float) -> Floats:
    """Return corners, centred on 0 and as at turn 0, that hold the piece at each of its turns.

    Where the fabric shrinks differently along and across, a piece turned a quarter is not quite
    the same shape; the union of both serves.
    """
    found = []
    for orientation in orientations:
        half_mm = orientation.gap_mm / 2.0
        points = around(orientation.outline, half_mm + FINE_MM, SPARE_MM, half_mm)
        centred = Polygon(points - np.array([orientation.length_mm, orientation.breadth_mm]) / 2.0)
        found.append(affinity.rotate(centred, -orientation.turn_deg, origin=(0.0, 0.0)))
    shape = found[0]
    for other in found[1:]:
        if other.symmetric_difference(shape).area > 1e-3 * shape.area:
            both = shapely.union_all([shape, other])
            shape = (
                both
                if isinstance(both, Polygon)
                else Polygon(shapely.get_coordinates(both.convex_hull))
            )
    corners: Floats = np.asarray(shape.exterior.coords)[:-1, :2]
    return corners


def face_choices(items: Sequence[Item], most: int) -> list[dict[str, Face]]:
    """Return which face each item shows, in up to `most` ways; the largest are flipped first.

    Turning the whole lay over changes nothing, so the first free item stays as it is.
    """
    fixed: dict[str, Face] = {i.key: i.part.faces[0] for i in items}
    free = sorted((i for i in items if len(i.part.faces) > 1), key=lambda i: -i.area_mm2)[1:]
    found = []
    for flips in itertools.islice(itertools.product((0, 1), repeat=min(len(free), 4)), most):
        flipped = {i.key: i.part.faces[n] for i, n in zip(free, flips[::-1], strict=False)}
        found.append({**fixed, **flipped})
    return found


def solve(
    items: Sequence[Item], breadth_mm: float, *, seconds: float, slides: Slides
) -> tuple[Positions, ...]:
    """Return the lays that the solver found, settled; none where it failed or is not there.

    Every item must fit across the fabric in each of its orientations. None may be bound to the
    fold.
    """
    if not items:
        return ()
    budget = budget_of(seconds, len(items))
    processes = min(_MOST_PROCESSES, os.cpu_count() or 1)
    choices = face_choices(items, processes * budget.runs)
    spare = items[0].orientations[0].gap_mm + _HAIR_MM
    chosen = [choices[n % len(choices)] for n in range(processes * budget.runs)]
    tasks = [
        {
            "seed": 7 * n + 1,
            "seconds": budget.seconds,
            "breadth": breadth_mm + spare,
            "items": [_task(item, faces[item.key], breadth_mm) for item in items],
        }
        for n, faces in enumerate(chosen)
    ]
    found: list[Positions] = []
    for first in range(0, len(tasks), processes):
        some = tasks[first : first + processes]
        for n, text in enumerate(_run(some, budget.seconds + _GRACE_S), start=first):
            positions = _spots(text, items, chosen[n], breadth_mm)
            closer = compacted(positions, slides) if positions else None
            if closer is not None:
                found.append(closer)
    return tuple(found)


def _task(item: Item, face: Face, breadth_mm: float) -> dict[str, Any]:
    orientations = _of_face(item, face)
    return {
        "shape": _shape(orientations, breadth_mm).tolist(),
        "turns": [float(f.turn_deg) for f in orientations],
    }


def _run(tasks: Sequence[Mapping[str, Any]], seconds: float) -> list[str]:
    """Return what a process for each task wrote before it ended or was ended."""
    environment = {**os.environ, "RUST_BACKTRACE": "0"}
    started = [
        subprocess.Popen(
            [sys.executable, "-P", str(CHILD)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
            env=environment,
        )
        for _ in tasks
    ]
    stop = time.monotonic() + seconds
    try:
        for process, task in zip(started, tasks, strict=True):
            _hand_over(process, json.dumps(task))
        return [_text(process, stop) for process in started]
    finally:
        for process in started:
            process.kill()
            process.wait()
            for pipe in (process.stdin, process.stdout):
                if pipe is not None and not pipe.closed:
                    pipe.close()


def _hand_over(process: subprocess.Popen[str], text: str) -> None:
    assert process.stdin is not None
    try:
        process.stdin.write(text)
        process.stdin.close()
    except OSError:  # it is already gone; it then has written nothing
        pass
    process.stdin = None


def _text(process: subprocess.Popen[str], stop: float) -> str:
    """Return what the process wrote until it ended, or until it is given up."""
    try:
        text, _ = process.communicate(timeout=max(0.05, stop - time.monotonic()))
    except subprocess.TimeoutExpired:
        process.kill()
        text, _ = process.communicate()
    return text


def _spots(
    text: str, items: Sequence[Item], faces: Mapping[str, Face], breadth_mm: float
) -> Positions | None:
    """Return a run's result as positions inside the fabric; None if it is not one."""
    try:
        rows = [
            (int(i), round(float(turn)) % 360, float(x), float(y))
            for i, turn, x, y in json.loads(text)
        ]
    except (ValueError, TypeError):
        return None
    found: dict[int, Position] = {}
    edge = items[0].orientations[0].gap_mm / 2.0
    for number, turn, x, y in rows:
        if not 0 <= number < len(items):
            return None
        item = items[number]
        orientation = next((f for f in _of_face(item, faces[item.key]) if f.turn_deg == turn), None)
        if orientation is None:
            return None
        low, high = levels_of(item, orientation, breadth_mm)
        level = min(max(y - orientation.breadth_mm / 2.0 - edge, low), high)
        found[number] = Position(
            item=item, orientation=orientation, x_mm=x - orientation.length_mm / 2.0, y_mm=level
        )
    return tuple(found[n] for n in range(len(items))) if len(found) == len(items) else None
