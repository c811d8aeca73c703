"""The independent check of a lay: whole outlines, judged by shapely, against the fabric's rules.

Nothing of how the lay was found is used: outlines are made again from the pieces' cutting lines.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import combinations

from shapely import Polygon, box

from outseam.curves.path import join
from outseam.curves.region import polygon
from outseam.draft.checks.verdict import at_least, at_most, equal
from outseam.draft.lay.model.parts import TurnRule, of_fabric, own_face
from outseam.draft.lay.model.placement import Floats
from outseam.draft.lay.model.result import Lay, Placed
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Finding

#: Positions are kept to a hundredth of a millimetre and outlines broken to a twentieth.
_EXACT_MM = 0.12


def shape_of(placed: Placed, lay: Lay) -> Polygon:
    """Return what a copy covers of the fabric on the table; on the fold the half below it."""
    whole = polygon(placed.lie.path(join(list(placed.piece.cut))))
    if placed.part.zone != "fold":
        return whole
    x0, y0, x1, _ = whole.bounds
    half = whole.intersection(box(x0 - 1.0, y0 - 1.0, x1 + 1.0, lay.room_mm(placed.part)[1]))
    assert isinstance(half, Polygon), "a piece on the fold is whole below it"
    return half


def outline_points(placed: Placed, lay: Lay) -> Floats:
    """Return the corners of `shape_of`."""
    import numpy as np

    points: Floats = np.asarray(shape_of(placed, lay).exterior.coords)[:-1, :2]
    return points


def check_lay(lay: Lay, patterns: Sequence[Pattern], turns: TurnRule) -> tuple[Finding, ...]:
    """Return the verdict on a lay: apart, inside, on grain, complete, and within what is there."""
    return (
        *_apart(lay),
        *_inside(lay),
        *_grain(lay, patterns, turns),
        *_complete(lay, patterns),
        *_printed_side(lay),
        *_fold(lay),
        *_one_side(lay),
        *_slippery(lay),
        *_in_hand(lay),
    )


def _apart(lay: Lay) -> Iterator[Finding]:
    shapes = [(p, shape_of(p, lay)) for p in lay.placed]
    nearest, overlap = float("inf"), False
    closest: tuple[str, ...] = ()
    for (p, a), (q, b) in combinations(shapes, 2):
        if a.buffer(-_EXACT_MM, join_style="mitre").intersects(b):
            yield at_most(
                "pieces apart",
                f"{p.key} and {q.key}",
                float(a.intersection(b).area) / 100.0,
                0.0,
                "two pieces overlap on the fabric (cm2)",
                unit="count",
                about=(p.key, q.key),
            )
            nearest, overlap = 0.0, True
            continue
        distance = float(a.distance(b))
        if distance < nearest:
            nearest, closest = distance, (p.key, q.key)
    if len(shapes) > 1 and not overlap:
        yield at_least(
            "gap kept",
            " and ".join(closest),
            nearest,
            lay.cloth.gap_mm - _EXACT_MM,
            "the nearest two pieces keep the gap",
            about=closest,
        )


def _inside(lay: Lay) -> Iterator[Finding]:
    for p in lay.placed:
        near, far = lay.room_mm(p.part)
        x0, y0, x1, y1 = shape_of(p, lay).bounds
        low, high = 0.0, lay.length_mm
        if lay.opened_mm is not None:
            low, high = (lay.opened_mm, high) if p.part.zone == "opened" else (0.0, lay.opened_mm)
        out = max(low - x0, x1 - high, near - y0, y1 - far, 0.0)
        says = "the piece lies on the fabric"
        if lay.fold_mm is not None:
            part = "the single part" if p.part.zone == "single" else "the double part"
            says = f"the piece lies wholly on {part} of the fabric"
        yield at_most("on the fabric", p.key, out, _EXACT_MM, says)
        if p.part.zone == "fold":
            yield equal(
                "on the fold",
                p.key,
                p.y_mm + p.breadth_mm,
                far,
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


def _printed_side(lay: Lay) -> Iterator[Finding]:
    """A piece without a mirror image lies as it is: a leg of one side is no use turned over."""
    for p in lay.placed:
        piece = p.part.piece
        if piece.mirrored or p.part.cuts > 1:
            continue
        face = own_face(piece)
        yield equal(
            "printed side",
            p.key,
            float(p.lie.face == face),
            1.0,
            0.0,
            f"{piece.title.lower()}: the printed side is {face}",
            unit="count",
        )


def _fold(lay: Lay) -> Iterator[Finding]:
    """A narrow fold is at most half the width, and only it makes two layers."""
    depth = lay.fold_mm
    double = [p for p in lay.placed if p.part.zone == "fold" or p.part.cuts > 1]
    if depth is None:
        yield equal(
            "folded",
            "fabric",
            float(bool(double) and not lay.cloth.folded),
            0.0,
            0.0,
            "only folded fabric is cut through two layers",
            unit="count",
        )
        return
    yield at_most(
        "depth of the fold",
        "fabric",
        depth,
        lay.cloth.width_mm / 2.0,
        "the selvedge that is turned in stays on the fabric",
    )
    for p in lay.placed:
        yield equal(
            "layers of the piece",
            p.key,
            float(p in double),
            float(p.part.zone != "single"),
            0.0,
            "pairs and halves lie in the double part, the rest in the single part",
            unit="count",
        )


def _one_side(lay: Lay) -> Iterator[Finding]:
    """Pieces that differ left and right are no pair: said where the fabric is folded."""
    single = [p for p in lay.placed if p.part.piece.side and p.part.cuts == 1]
    if single and (lay.cloth.folded or lay.fold_mm is not None):
        yield at_most(
            "left and right differ",
            "fabric",
            float(len(single)),
            0.0,
            "left and right pieces differ, so two layers do not give a pair: these are cut one by "
            "one, in a single layer",
            unit="count",
            fails="note",
        )


def _slippery(lay: Lay) -> Iterator[Finding]:
    folded = lay.cloth.folded or lay.fold_mm is not None
    yield equal(
        "layers",
        "fabric",
        float(lay.cloth.slippery and folded),
        0.0,
        0.0,
        "a slippery fabric is cut in a single layer: folded, the lower layer slides off the grain"
        if lay.cloth.slippery and folded
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
