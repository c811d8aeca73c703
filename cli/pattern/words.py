"""Where the words of a piece stand: clear of its lines, of each other, and inside it.

What is bound to a place goes first: the names of lines along them, of notches beside them, of edges
along them. Then the title takes the largest room near the place the draft has for it, and what else
is to be said goes below. A notch without room for its name gets a letter, told among the rest.
"""

from __future__ import annotations

import math
import os
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import partial
from typing import Final, TypeAlias

import numpy as np
import shapely

from outseam.cli.scene.extent import path_points
from outseam.cli.scene.free_room import Room, by_distance, turned_boxes
from outseam.cli.scene.scene import Label
from outseam.cli.scene.text import text_width_mm, wrap_text
from outseam.curves.evaluate import direction_at, point_at
from outseam.curves.length import length, param_at_length
from outseam.curves.path import Floats, Path, join
from outseam.curves.point import Point, right_of
from outseam.curves.region import flatten
from outseam.draft.inputs.show import show_given
from outseam.draft.inputs.text import listing
from outseam.draft.model import Pattern
from outseam.draft.piece.allowance import let_out_seams
from outseam.draft.piece.piece import Line, Notch, Piece
from outseam.draft.spec.check_code import check_code

TITLE_MM: Final = 9.0
TEXT_MM: Final = 4.2
#: Sizes of names, of titles and of the rest, the largest first.
NAME_SIZES_MM: Final = (4.2, 3.6, 3.0, 2.6, 2.2)
NOTCH_SIZES_MM: Final = (3.4, 3.0, 2.6, 2.2)
_TITLE_SIZES_MM: Final = (9.0, 7.5, 6.0, 5.0, 4.2, 3.4, 2.8)
_REST_SIZES_MM: Final = (4.2, 3.6, 3.0, 2.6, 2.2)
_LEAST_MM: Final = 1.8
#: Kept clear around words, beside the half width of a line.
CLEAR_MM: Final = 0.55
#: Before and after a word to the next.
_APART_MM: Final = 2.2
#: How far a line of text reaches above and below its baseline, and is kept from the next, in em.
_ASCENT_EM, _DESCENT_EM, _BETWEEN_EM = 0.93, 0.24, 0.18
#: Places are tried this far apart.
_STEP_MM: Final = 4.0

TextLine: TypeAlias = tuple[str, float]
#: Stands in a text for the arrow that points to the top of the piece.
UP: Final = "\N{UPWARDS ARROW}"
_ARROWS: Final = {90: "\N{UPWARDS ARROW}", 0: "\N{RIGHTWARDS ARROW}", 180: "\N{LEFTWARDS ARROW}",
                  270: "\N{DOWNWARDS ARROW}"}  # fmt: skip

#: What edges are called on the piece, by part and edge, or by edge on all the others.
_EDGE_NAMES: Final = {
    ("front", "crotch"): "centre front",
    ("back", "crotch"): "centre back",
    ("belt", "side"): "side seam",
    ("belt", "end"): "free end",
    ("front_band", "lower"): "waist",
    ("back_band", "lower"): "waist",
    ("front_band", "left"): "side",
    ("front_band", "right"): "side",
    ("back_band", "left"): "side",
    ("back_band", "right"): "side",
    ("", "outseam"): "side",
    ("", "inseam"): "inseam",
    ("", "waist"): "waist",
    ("ankle_underlap", "strip_end"): "lower end",
    ("pocket_bag", "mouth"): "pocket mouth",
}
#: Where along a line its name is tried first.
_SHARE: Final = {"level": 0.1, "lengthen": 0.15, "grain": 0.6, "crease": 0.2, "fold": 0.7}
_LETTERS: Final = "abcdefghijkl"
#: Where a name is tried beside its notch (n, 3): distance, shift along the edge, which angle.
_BESIDE: Final = np.array(
    [
        (gap, shift, angle)
        for gap in (0.8, 2.5, 5.0, 8.0, 12.0)
        for shift in (0.0, 3.0, -3.0, 6.0, -6.0, 10.0, -10.0, 15.0, -15.0)
        for angle in range(4)
        if abs(shift) <= 2.0 * gap + 6.0
    ]
)
#: A notch of such a role lies at the end of a line that is named the same.
_TOLD_BY_LINE: Final = ("hem fold", "fold")


@dataclass(frozen=True, slots=True, kw_only=True)
class WordBlock:
    """Lines of text with their sizes, as a block about its middle, turned on the piece."""

    lines: tuple[TextLine, ...]
    middle: Point
    angle_deg: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceWords:
    """All words of a piece, and those for which there was no room at any size."""

    blocks: tuple[WordBlock, ...]
    left_out: tuple[str, ...] = ()


def block_half(lines: Sequence[TextLine]) -> tuple[float, float]:
    """Return half the width and height of a block, mm."""
    wide = max(text_width_mm(text, size) for text, size in lines)
    return wide / 2.0, (sum(_drops(lines)) + _DESCENT_EM * lines[-1][1]) / 2.0


def _drops(lines: Sequence[TextLine]) -> Iterator[float]:
    """Yield how far each baseline lies below the one before, the first below the block's top."""
    for n, (_, size) in enumerate(lines):
        above = _DESCENT_EM * lines[n - 1][1] + _BETWEEN_EM * size if n else 0.0
        yield above + _ASCENT_EM * size


def line_places(block: WordBlock, turn_deg: float) -> Iterator[tuple[str, float, Point, float]]:
    """Yield text, size, offset of the baseline's start from the middle, and angle of each line.

    The piece lies turned by `turn_deg`; words are never upside down.
    """
    # What is nearly upright is read from below.
    angle = (block.angle_deg + turn_deg + 80.0) % 180.0 - 80.0
    towards_top = round((90.0 + turn_deg - angle) / 90.0) * 90 % 360
    wide, high = block_half(block.lines)
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    down = high
    for (text, size), drop in zip(block.lines, _drops(block.lines), strict=True):
        down -= drop
        shown = text.replace(UP, _ARROWS[towards_top])
        yield shown, size, (-wide * c - down * s, -wide * s + down * c), angle


def title_block(pattern: Pattern, piece: Piece) -> tuple[TextLine, ...]:
    """Return the lines printed on a piece with their text sizes, mm."""
    spec, style = pattern.spec, pattern.spec.style
    u = spec.units
    cut = f"{style.leg} leg, {style.fit} fit"
    allow = f"included: seams {show_given(style.seam_allowance, u)}"
    wide = sorted({e.allowance_mm for e in piece.edges if e.allowance_mm > style.seam_allowance})
    if wide:
        where = let_out_seams([piece], style.seam_allowance)
        allow += f", {show_given(wide[-1], u)} at {listing(where, 'and')}"
    if piece.part in ("front", "back"):
        allow += f", hem {show_given(style.hem_allowance, u)}"
    side = ""
    if piece.mirrored and piece.drawn_for:
        side = f"printed side up on the right side of the cloth: {piece.drawn_for} leg"
    rest = (spec.title, spec.who, cut, allow, *piece.notes, side, " · ".join(stamp(pattern)))
    head = ((piece.title, TITLE_MM), (piece.cut_note, TEXT_MM + 0.8))
    return (*head, *((t, TEXT_MM) for t in rest if t))


def stamp(pattern: Pattern) -> tuple[str, ...]:
    """Return the check code of the spec, and the date where SOURCE_DATE_EPOCH gives one."""
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "")
    date = datetime.fromtimestamp(int(epoch), UTC).date().isoformat() if epoch.isdigit() else ""
    return tuple(x for x in (f"code {check_code(pattern.spec)}", date) if x)


def place_words(
    pattern: Pattern,
    piece: Piece,
    strokes: Sequence[Path],
    joints: Sequence[Floats] = (),
) -> PieceWords:
    """Return where the words of a piece stand, in its own coordinates.

    `strokes` are all that is drawn of it; `joints` are edges of the paper (m, 2), which words keep
    off where they can.
    """
    drawn = path_points(strokes)
    shape = shapely.Polygon(flatten(join(list(piece.cut)), 0.1)[:-1])
    room = Room(shape, drawn, joints)
    blocks: list[WordBlock] = []
    left_out: list[str] = []

    def put(block: WordBlock | None, text: str, *, tell: bool = True) -> bool:
        if block is not None:
            blocks.append(block)
        elif tell:
            left_out.append(text)
        return block is not None

    for mark in piece.lines:
        if mark.label:
            along = partial(_along, room, mark.path, mark.label, NAME_SIZES_MM, mark)
            put(room.tried(along), mark.label)
    letters: dict[str, str] = {}
    for notch in piece.notches:
        name = notch_name(notch)
        if name in _TOLD_BY_LINE:
            continue
        beside = partial(_beside, room, piece, notch)
        if name in letters or not put(room.tried(partial(beside, name)), name, tell=False):
            letter = letters.setdefault(name, _LETTERS[len(letters) % len(_LETTERS)])
            put(room.tried(partial(beside, letter)), name)
    title_lines = title_block(pattern, piece)
    head, rest = title_lines[:2], list(title_lines[2:])
    if letters:
        rest.append((", ".join(f"{k}: {name}" for name, k in letters.items()), TEXT_MM))
    whole = None if piece.rest_at is not None else _whole(room, piece, head, rest)
    title = whole or room.tried(partial(_title, room, piece, head))
    put(title, piece.title)
    for edge in piece.edges:
        name = _EDGE_NAMES.get((piece.part, edge.name)) or _EDGE_NAMES.get(("", edge.name), "")
        if name:
            put(room.tried(partial(_at_edge, room, piece, edge.path, name)), name)
    if piece.part != "belt":
        up = [((f"{UP} up", size),) for size in NAME_SIZES_MM]
        put(room.tried(partial(_free, room, piece, up, _upper(piece))), "up")
    below = piece.rest_at or (piece.label_at if title is None else _below(title))
    if whole is None:
        put(room.tried(partial(_rest, room, piece, rest, below)), "title block")
    return PieceWords(blocks=tuple(blocks), left_out=tuple(left_out))


def notch_name(notch: Notch) -> str:
    """Return what is printed beside a notch."""
    return "quarter" if notch.role == "band quarter" else notch.role


def _at_edge(room: Room, piece: Piece, path: Path, name: str) -> WordBlock | None:
    """Return the name of an edge: along it, or where there is room near its middle."""
    block = _along(room, path, name, NAME_SIZES_MM, None)
    if block is not None:
        return block
    middle = point_at(path, param_at_length(path, length(path) / 2.0))
    return _free(room, piece, [((name, size),) for size in NAME_SIZES_MM], middle)


def _find(
    room: Room,
    lines: tuple[TextLine, ...],
    centres: Floats,
    angles: Floats,
    clear_mm: float = CLEAR_MM,
) -> WordBlock | None:
    """Return the block at the first clear of places (n, 2) with their angles."""
    wide, high = block_half(lines)
    n = room.first_clear(centres, (wide + clear_mm, high + clear_mm), angles)
    if n is None:
        return None
    room.take(turned_boxes(centres[[n]], (wide + _APART_MM, high + clear_mm), angles[[n]])[0])
    x, y = centres[n]
    return WordBlock(lines=lines, middle=(float(x), float(y)), angle_deg=float(angles[n]))


def _along(
    room: Room, path: Path, text: str, sizes: Sequence[float], mark: Line | None
) -> WordBlock | None:
    """Return a name that runs along a line, as near as it can to where its kind has it."""
    points = flatten(path, 0.1)
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    total = float(run[-1])
    share = 0.5 if mark is None else _SHARE.get(mark.kind, 0.3)
    for size in sizes:
        wide, high = block_half(((text, size),))
        margin = wide + 1.0
        if total <= 2.0 * margin:
            at = np.array([total / 2.0])
        else:
            at = np.linspace(margin, total - margin, max(2, int(total / _STEP_MM)))
        # Of two places as near the first: rounding has no say in it.
        at = at[np.argsort(np.round(np.abs(at - share * total), 6), kind="stable")]
        near, before, after = (
            np.stack([np.interp(np.clip(at + d, 0.0, total), run, points[:, k]) for k in (0, 1)], 1)
            for d in (0.0, -wide, wide)
        )
        along = after - before
        along /= np.maximum(np.hypot(*along.T), 1e-9)[:, None]
        left = along[:, ::-1] * (-1.0, 1.0)
        if mark is not None and mark.kind == "lengthen":
            lifts: list[float] = [0.0]
        else:
            lift = high + CLEAR_MM + 0.5
            # An edge runs with its inner side on the left.
            lifts = [lift, lift + 1.2, lift + 3.0]
            lifts += [] if mark is None else [-x for x in lifts]
        centres = np.concatenate([near + lift * left for lift in lifts])
        angles = np.tile(np.degrees(np.arctan2(along[:, 1], along[:, 0])), len(lifts))
        found = _find(room, ((text, size),), centres, angles)
        if found is not None:
            return found
    return None


def _beside(room: Room, piece: Piece, notch: Notch, text: str) -> WordBlock | None:
    """Return a name beside a notch, inside the sewing line: level, upright, or along the tick."""
    edge = piece.edge(notch.edge)
    total = length(edge.path)
    u = param_at_length(edge.path, min(max(notch.at_mm, 0.0), total))
    (x, y), along = point_at(edge.path, u), direction_at(edge.path, u)
    nx, ny = right_of(along)
    square = math.degrees(math.atan2(ny, nx))
    own = math.degrees(math.atan2(along[1], along[0]))
    gaps, shifts, angles = _BESIDE[:, 0], _BESIDE[:, 1], np.array([0.0, own, square, 90.0])
    angles = angles[_BESIDE[:, 2].astype(int)]
    c, s = np.cos(np.radians(angles)), np.sin(np.radians(angles))
    out, up = np.abs(c * nx + s * ny), np.abs(-s * nx + c * ny)
    for size in NOTCH_SIZES_MM:
        wide, high = block_half(((text, size),))
        far = gaps + CLEAR_MM + out * (wide + CLEAR_MM) + up * (high + CLEAR_MM)
        centres = np.stack(
            [x - far * nx + shifts * along[0], y - far * ny + shifts * along[1]], axis=1
        )
        found = _find(room, ((text, size),), centres, angles)
        if found is not None:
            return found
    return None


def _places(piece: Piece) -> Floats:
    """Return places all over a piece."""
    return places_over(np.concatenate([flatten(e, 1.0) for e in piece.cut]))


def places_over(points: Floats) -> Floats:
    """Return places all over what points (m, 2) span."""
    (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
    step = max(_STEP_MM, math.sqrt((x1 - x0) * (y1 - y0) / 3000.0)) / 2.0
    x, y = np.meshgrid(np.arange(x0, x1, step), np.arange(y0, y1, step))
    return np.stack([x.ravel(), y.ravel()], axis=1)


def _free(
    room: Room,
    piece: Piece,
    wordings: Iterable[tuple[TextLine, ...]],
    corner: Point,
) -> WordBlock | None:
    """Return the first of wordings that has room anywhere, its upper left corner near a place."""
    return free_block(room, wordings, corner, _places(piece), piece.label_turn_deg)


def free_block(
    room: Room,
    wordings: Iterable[tuple[TextLine, ...]],
    corner: Point,
    places: Floats,
    turn_deg: float = 0.0,
    clear_mm: float = CLEAR_MM,
) -> WordBlock | None:
    """Return the first of wordings that has room at one of places (n, 2).

    Its upper left corner comes to lie near `corner`, turned by `turn_deg`, level or upright, and
    `clear_mm` round it stays free.
    """
    turn = math.radians(turn_deg)
    c, s = math.cos(turn), math.sin(turn)
    for lines in wordings:
        wide, high = block_half(lines)
        near = (corner[0] + wide * c + high * s, corner[1] + wide * s - high * c)
        centres = np.concatenate([[near], by_distance(places, near)])
        for angle in dict.fromkeys((turn_deg, 0.0, 90.0)):
            found = _find(room, lines, centres, np.full(len(centres), angle), clear_mm)
            if found is not None:
                return found
    return None


def block_labels(block: WordBlock, turn_deg: float = 0.0) -> Iterator[Label]:
    """Yield the lines of a block as labels where it stands."""
    x, y = block.middle
    for text, size, (dx, dy), angle in line_places(block, turn_deg):
        yield Label(text=text, at=(x + dx, y + dy), size_mm=size, angle_deg=angle)


def _below(block: WordBlock) -> Point:
    """Return the lower left corner of a block, a little lower."""
    wide, high = block_half(block.lines)
    turn = math.radians(block.angle_deg)
    x, y = -wide, -high - 1.5
    c, s = math.cos(turn), math.sin(turn)
    return block.middle[0] + x * c - y * s, block.middle[1] + x * s + y * c


def _upper(piece: Piece) -> Point:
    """Return a place in the upper part of a piece, right of the middle."""
    points = np.concatenate([flatten(e, 1.0) for e in piece.cut])
    low, high = points.min(axis=0), points.max(axis=0)
    return float(0.6 * high[0] + 0.4 * low[0]), float(0.8 * high[1] + 0.2 * low[1])


def _title(room: Room, piece: Piece, head: Sequence[TextLine]) -> WordBlock | None:
    """Return title and how to cut, as large as there is room for."""
    (title, _), (cut, _) = head

    def wordings() -> Iterator[tuple[TextLine, ...]]:
        for size in _TITLE_SIZES_MM:
            small = max(0.56 * size, min(size, 2.4))
            wide = max(piece.label_width_mm, 60.0)
            yield (title, size), *((t, small) for t in wrap_text(cut, small, wide))
            lines = wrap_text(title, size, 0.6 * text_width_mm(title, size))
            cuts = wrap_text(cut, small, max(text_width_mm(t, size) for t in lines))
            yield *((t, size) for t in lines), *((t, small) for t in cuts)

    return _free(room, piece, wordings(), piece.label_at)


def _whole(
    room: Room, piece: Piece, head: Sequence[TextLine], rest: Sequence[TextLine]
) -> WordBlock | None:
    """Return title and rest in one block, if there is room for one that reads well."""
    width = max(piece.label_width_mm, 40.0)
    wordings = (
        (
            *((text, share * size) for text, size in head),
            *(
                (t, share * size)
                for text, size in rest
                for t in wrap_text(text, share * size, width)
            ),
        )
        for share in (1.0, 0.85, 0.7)
    )
    return _free(room, piece, wordings, piece.label_at)


def _rest(room: Room, piece: Piece, lines: Sequence[TextLine], below: Point) -> WordBlock | None:
    """Return what else is said: a line each, or broken and run together where room is short."""
    texts = [t for t, _ in lines]
    width = max(piece.label_width_mm, 40.0)

    def wordings() -> Iterator[tuple[TextLine, ...]]:
        for size in (*_REST_SIZES_MM, _LEAST_MM):
            yield tuple((t, size) for text in texts for t in wrap_text(text, size, width))
            joined = " · ".join(texts)
            for wide in (2.2 * width, width, 0.6 * width, 30.0):
                yield tuple((t, size) for t in wrap_text(joined, size, wide))

    return _free(room, piece, wordings(), below)
