"""The independent check of a lay: whole outlines, judged by shapely, against the fabric's rules.

Nothing of how the lay was found is used: outlines are made again from the pieces' cutting lines.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import combinations

from shapely import Polygon, box

from curves.path import join
from curves.region import polygon
from draft.checks.verdict import at_least, at_most, equal
from draft.lay.lying import Floats
from draft.lay.parts import Part, TurnRule, of_fabric
from draft.lay.result import Lay, Placed
from draft.pattern import Pattern
from draft.piece import Finding

#: Positions are kept to a hundredth of a millimetre and outlines broken to a twentieth.
_EXACT_MM = 0.12


def shape_of(placed: Placed, breadth_mm: float) -> Polygon:
    """Return what a copy covers of the fabric on the table; on the fold the half below it."""
    whole = polygon(placed.lie.path(join(list(placed.piece.cut))))
    if placed.part.zone != "fold":
        return whole
    x0, y0, x1, _ = whole.bounds
    half = whole.intersection(box(x0 - 1.0, y0 - 1.0, x1 + 1.0, breadth_mm))
    assert isinstance(half, Polygon), "a piece on the fold is whole below it"
    return half


def outline_points(placed: Placed, breadth_mm: float) -> Floats:
    """Return the corners of `shape_of`."""
    import numpy as np

    points: Floats = np.asarray(shape_of(placed, breadth_mm).exterior.coords)[:-1, :2]
    return points


def check_lay(lay: Lay, patterns: Sequence[Pattern], turns: TurnRule) -> tuple[Finding, ...]:
    """Return the verdict on a lay: apart, inside, on grain, complete, and within what is there."""
    return (
        *_apart(lay),
        *_inside(lay),
        *_grain(lay, patterns, turns),
        *_complete(lay, patterns),
        *_slippery(lay),
        *_in_hand(lay),
    )


def breadth_at(lay: Lay, part: Part) -> float:
    """Return how broad the fabric lies where a part is."""
    return lay.cloth.width_mm if part.zone == "opened" else lay.cloth.breadth_mm


def _apart(lay: Lay) -> Iterator[Finding]:
    shapes = [(p, shape_of(p, breadth_at(lay, p.part))) for p in lay.placed]
    nearest, overlap = float("inf"), False
    where = "all pieces"
    for (p, a), (q, b) in combinations(shapes, 2):
        if a.buffer(-_EXACT_MM, join_style="mitre").intersects(b):
            yield at_most(
                "pieces apart",
                f"{p.key} and {q.key}",
                float(a.intersection(b).area) / 100.0,
                0.0,
                "two pieces overlap on the fabric (cm2)",
                unit="count",
            )
            nearest, overlap = 0.0, True
            continue
        distance = float(a.distance(b))
        if distance < nearest:
            nearest, where = distance, f"{p.key} and {q.key}"
    if len(shapes) > 1 and not overlap:
        yield at_least(
            "gap kept",
            where,
            nearest,
            lay.cloth.gap_mm - _EXACT_MM,
            "the nearest two pieces keep the gap",
        )


def _inside(lay: Lay) -> Iterator[Finding]:
    for p in lay.placed:
        breadth = breadth_at(lay, p.part)
        x0, y0, x1, y1 = shape_of(p, breadth).bounds
        low, high = 0.0, lay.length_mm
        if lay.opened_mm is not None:
            low, high = (lay.opened_mm, high) if p.part.zone == "opened" else (0.0, lay.opened_mm)
        out = max(low - x0, x1 - high, -y0, y1 - breadth, 0.0)
        yield at_most("on the fabric", p.key, out, _EXACT_MM, "the piece lies on the fabric")
        if p.part.zone == "fold":
            yield equal(
                "on the fold",
                p.key,
                p.y_mm + p.breadth_mm,
                breadth,
                _EXACT_MM,
                "the middle of the piece lies on the fold",
            )


def _grain(lay: Lay, patterns: Sequence[Pattern], turns: TurnRule) -> Iterator[Finding]:
    for p in lay.placed:
        allowed = turns(patterns[p.part.garment], p.part.piece)
        if p.part.zone == "fold":
            allowed = tuple(t for t in allowed if t in (0, 180))
        yield equal(
            "grain and nap",
            p.key,
            float(p.lie.turn_deg in allowed),
            1.0,
            0.0,
            f"the piece may lie turned by {p.lie.turn_deg}°",
            unit="count",
        )


def _complete(lay: Lay, patterns: Sequence[Pattern]) -> Iterator[Finding]:
    """Every piece as often as it is cut; of mirrored ones as many face up as face down."""
    cuts: Counter[tuple[int, str]] = Counter()
    balance: Counter[tuple[int, str]] = Counter()
    for p in lay.placed:
        key = p.part.garment, p.part.piece.name
        cuts[key] += p.part.cuts
        if p.part.cuts == 1:
            balance[key] += 1 if p.lie.face == "up" else -1
    for garment, pattern in enumerate(patterns):
        for piece in of_fabric(pattern):
            key = garment, piece.name
            yield equal(
                "all pieces",
                f"{garment + 1}.{piece.name}",
                float(cuts[key]),
                float(piece.copies),
                0.0,
                f"{piece.title.lower()}: as many as are cut",
                unit="count",
            )
            if piece.mirrored:
                yield equal(
                    "pairs",
                    f"{garment + 1}.{piece.name}",
                    float(balance[key]),
                    0.0,
                    0.0,
                    f"{piece.title.lower()}: as many face up as face down",
                    unit="count",
                )


def _slippery(lay: Lay) -> Iterator[Finding]:
    cloth = lay.cloth
    yield equal(
        "layers",
        "fabric",
        float(cloth.slippery and cloth.folded),
        0.0,
        0.0,
        "a slippery fabric is cut in a single layer: folded, the lower layer slides off the grain"
        if cloth.slippery and cloth.folded
        else "the fabric may lie as it does",
        unit="count",
        fails="warning",
    )


def _in_hand(lay: Lay) -> Iterator[Finding]:
    have = lay.cloth.in_hand_mm
    if have is not None:
        yield at_most(
            "length in hand",
            "fabric",
            lay.length_mm,
            have,
            "the fabric in hand is long enough",
            fails="warning",
        )
