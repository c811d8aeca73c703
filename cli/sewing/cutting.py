"""Pictures of the sewing order up to the first seam: stitches, the lay, notches, the border."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from outseam.cli.scene.scene import Pen, Scene
from outseam.cli.sewing.canvas import (
    DONE,
    EDGE,
    FINE,
    FOLD,
    HIGH_MM,
    LINING,
    RIGHT,
    SEWN,
    WIDE_MM,
    WRONG,
    StepPicture,
    below,
    by_name,
    cut_of,
    edge_of,
    fitted,
    flipped,
    leg_of,
    line_of,
    middle_of,
    shifted,
    ticks_of,
)
from outseam.curves.path import Floats
from outseam.draft.border.levels import above_hem_mm, hem_mm, is_leg
from outseam.draft.inputs.show import show_given
from outseam.draft.inputs.usual import BASTE
from outseam.draft.lay.check.verify import outline_points
from outseam.draft.lay.ways.border_words import border_lay
from outseam.draft.model import Pattern
from outseam.draft.sewing.border import marks_of
from outseam.draft.sewing.tools.job import Job
from outseam.draft.sewing.tools.settings import SEAM_STITCH_MM

_STITCH = Pen(width_mm=0.45, dash_mm=(SEAM_STITCH_MM - 0.6, 0.6))
_THREAD = Pen(width_mm=0.3)
#: A border that is not said to have a height is drawn this high, on the fabric.
_BORDER_MM = 150.0


def _zigzag(x0: float, x1: float, y0: float, y1: float, step: float) -> Floats:
    """Return a zigzag between two heights."""
    x = np.arange(x0, x1 + 1e-9, step)
    return np.stack([x, np.where(np.arange(len(x)) % 2, y1, y0)], axis=1)


def _allowance(picture: StepPicture, pattern: Pattern, edge_y: float) -> float:
    """Draw how far the seam line lies from the edge, true to size; return its height."""
    seam = min(pattern.spec.style.seam_allowance, 16.0)
    x, y = 9.0, edge_y + seam
    picture.line([(x, edge_y), (x, y)], FINE)
    for level in (edge_y, y):
        picture.line([(x - 0.9, level), (x + 0.9, level)], FINE)
    told = show_given(pattern.spec.style.seam_allowance, pattern.spec.units)
    picture.word(told, (x - 1.6, edge_y + seam / 2.0), angle_deg=90.0)
    return y


def stitches_knit(pattern: Pattern) -> Scene:
    """An overlocked seam and a zigzag, seen from the wrong side."""
    picture = StepPicture("Stitches for a knit")
    edge = 10.0
    if "overlock" not in pattern.spec.machines:
        picture.box(11.0, edge, 60.0, 38.0, WRONG)
        y = _allowance(picture, pattern, edge)
        picture.line(_zigzag(11.0, 60.0, y - 0.25, y + 0.25, SEAM_STITCH_MM), _THREAD)
        picture.word("zigzag", (35.5, 5.6))
        _pulled(picture, 35.5)
        return picture.scene()
    picture.box(11.0, edge, 35.0, 38.0, WRONG)
    picture.box(38.0, edge, 60.0, 38.0, WRONG)
    y = _allowance(picture, pattern, edge)
    low = max(edge, y - 7.0)
    if low > edge + 0.5:
        picture.box(11.0, edge, 35.0, low, RIGHT)
    picture.line(_zigzag(11.5, 34.6, low, y, 0.8), FINE)
    picture.line([(11.0, y), (35.0, y)], _STITCH)
    picture.line([(11.0, low), (35.0, low)], _THREAD)
    picture.line(_zigzag(38.0, 60.0, y - 0.25, y + 0.25, SEAM_STITCH_MM), _THREAD)
    picture.word("overlock", (23.0, 5.6))
    picture.word("or zigzag", (49.0, 5.6))
    _pulled(picture, 23.0)
    return picture.scene()


def _pulled(picture: StepPicture, x: float) -> None:
    """Draw that a seam is pulled both ways, in the middle of its cloth."""
    picture.arrow([(x - 2.0, 31.0), (x - 10.0, 31.0)])
    picture.arrow([(x + 2.0, 31.0), (x + 10.0, 31.0)])
    picture.word("pull", (x, 33.4))


def stitches_woven(pattern: Pattern) -> Scene:
    """A straight seam, and how it is pressed open with both edges neatened."""
    picture = StepPicture("Stitches for a woven")
    edge = 10.0
    picture.box(11.0, edge, 33.0, 38.0, WRONG)
    y = _allowance(picture, pattern, edge)
    picture.line([(11.0, y), (33.0, y)], _STITCH)
    picture.line(_zigzag(11.3, 32.8, edge, edge + 2.2, 1.1), FINE)
    picture.word("sewn, neatened", (22.0, 5.6))
    wide = min(pattern.spec.style.seam_allowance, 10.0)
    picture.box(37.0, edge, 60.0, 38.0, WRONG)
    middle = 48.5
    picture.box(middle - wide, edge, middle + wide, 38.0, LINING)
    picture.line([(middle, edge), (middle, 38.0)], EDGE)
    for side in (-1.0, 1.0):
        x = middle + side * wide
        p = _zigzag(edge + 0.3, 37.8, x, x - side * 2.2, 1.1)
        picture.line(p[:, ::-1], FINE)
    picture.word("pressed open", (48.5, 5.6))
    return picture.scene()


def _selvedges(picture: StepPicture, low: float, high: float) -> None:
    for y in (low, high):
        picture.line([(1.0, y), (WIDE_MM - 1.0, y)], EDGE)


def cut_single(pattern: Pattern) -> Scene:
    """One layer: the front cut with the printed side up, then turned over."""
    picture = StepPicture("Cutting in a single layer")
    leg = cut_of(pattern.piece("front"))
    low, high = 5.2, 37.8
    _selvedges(picture, low, high)
    wide = float(np.ptp(leg[:, 0]))
    # Turned a quarter: the waist lies left, the outseam below.
    over = flipped(leg)
    first = shifted(leg, -float(leg[:, 0].min()), 0.0)
    second = shifted(over, wide * 1.16 - float(over[:, 0].min()), 0.0)
    view = fitted([first, second], (9.0, 58.0, low + 1.8, high - 1.8), turn_deg=90.0)
    picture.shape(view(first), RIGHT)
    picture.shape(view(second), WRONG)
    picture.name("printed side up", view(first))
    picture.name("turned over", view(second))
    a, b = view(first), view(second)
    y0, y1 = float(a[:, 1].mean()), float(b[:, 1].mean())
    picture.bow((7.2, min(y0, y1)), (7.2, max(y0, y1)), 4.0)
    picture.word("selvedge", (WIDE_MM - 2.0, 1.9), anchor="end")
    picture.word("selvedge", (WIDE_MM - 2.0, HIGH_MM - 3.2), anchor="end")
    return picture.scene()


def cut_folded(pattern: Pattern) -> Scene:
    """Two layers, selvedge on selvedge: front and back leg, each cut gives a pair."""
    picture = StepPicture("Cutting on folded fabric")
    front, back = (cut_of(pattern.piece(n)) for n in ("front", "back"))
    low, high = 5.2, 37.4
    picture.line([(1.0, low), (WIDE_MM - 1.0, low)], Pen(width_mm=0.9))
    _selvedges(picture, high, high + 0.9)
    first = shifted(back, -float(back[:, 0].min()), 0.0)
    gap = float(np.ptp(back[:, 0])) * 1.1
    second = shifted(front, gap - float(front[:, 0].min()), 0.0)
    view = fitted([first, second], (3.0, 59.0, low + 1.6, high - 1.6), turn_deg=90.0)
    for shape, text in ((first, "back leg"), (second, "front leg")):
        picture.shape(shifted(view(shape), 0.5, -0.5), WRONG)
        picture.shape(view(shape), RIGHT)
        picture.name(text, view(shape))
    picture.word("fold", (WIDE_MM - 2.0, 1.9), anchor="end")
    picture.word("two selvedges", (WIDE_MM - 2.0, HIGH_MM - 3.0), anchor="end")
    return picture.scene()


def cut_narrow(pattern: Pattern) -> Scene:
    """One selvedge turned in as far as a leg needs: the leg double, the band single beside it."""
    picture = StepPicture("Cutting on a narrow fold")
    leg = cut_of(pattern.piece("back"))
    low, turned_in, high = 5.2, 15.0, 37.4
    _selvedges(picture, low, turned_in)
    picture.line([(1.0, high), (WIDE_MM - 1.0, high)], Pen(width_mm=0.9))
    first = shifted(leg, -float(leg[:, 0].min()), 0.0)
    view = fitted([first], (3.0, 44.0, turned_in + 1.6, high - 1.6), turn_deg=90.0)
    picture.shape(shifted(view(first), 0.5, -0.5), WRONG)
    picture.shape(view(first), RIGHT)
    picture.name("double", view(first))
    bands = pattern.band.pieces
    shown = cut_of(pattern.piece(bands[0].name if bands else "front"))
    turn = 0.0 if bands else 90.0
    alone = fitted([shown], (4.0, 40.0, low + 1.4, turned_in - 1.4), turn_deg=turn)
    picture.shape(alone(shown), RIGHT)
    picture.name("single", alone(shown))
    deep = 52.0
    picture.arrow([(deep, high - 8.0), (deep, high - 0.6)])
    picture.arrow([(deep, turned_in + 8.0), (deep, turned_in + 0.6)])
    picture.word("depth", (deep, (turned_in + high) / 2.0 - 0.8))
    picture.word("fold", (WIDE_MM - 2.0, HIGH_MM - 3.0), anchor="end")
    picture.word("selvedge turned in", (WIDE_MM - 2.0, turned_in - 2.8), anchor="end")
    picture.word("selvedge", (WIDE_MM - 2.0, 1.9), anchor="end")
    return picture.scene()


def _border_span(pattern: Pattern) -> tuple[float, float]:
    """Return where the border runs on a leg: from and to, above the finished hem, on the fabric."""
    low = above_hem_mm(pattern.spec, pattern.pieces)
    return low, low + (pattern.spec.fabric.border_height or _BORDER_MM)


def _strip(picture: StepPicture, x0: float, x1: float, y0: float, y1: float) -> None:
    """Draw a border: a grey strip with two lines and a row of lozenges."""
    picture.shape(np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)]), LINING, None)
    for y in (y0, y1):
        picture.line([(x0, y), (x1, y)], FINE)
    half = min(0.3 * (y1 - y0), 2.0)
    middle = (y0 + y1) / 2.0
    for x in np.arange(x0 + 2.5, x1 - 1.5, 4.5):
        p = [(x - half, middle), (x, middle - half), (x + half, middle), (x, middle + half)]
        picture.shape(np.array(p), 0.7, None)


def cut_border(pattern: Pattern) -> Scene:
    """The lay along the border as it is: every piece on its place, dashed where turned over."""
    picture = StepPicture("Cutting along a border")
    lay = border_lay(pattern)
    if lay is None or lay.cloth.border is None:
        return picture.scene()
    border, width, long = lay.cloth.border, lay.cloth.width_mm, lay.length_mm
    corners = np.array([(0.0, 0.0), (long, 0.0), (long, width), (0.0, width)])
    view = fitted([corners], (5.0, WIDE_MM - 2.0, 5.4, HIGH_MM - 4.4))
    x0, x1 = (float(view.at(x, 0.0)[0]) for x in (0.0, long))
    for side in border.sides:
        one = border.at(side)
        ends = (one.edge_mm, one.edge_mm + one.height_mm)
        levels = [width - y if side == "far" else y for y in ends]
        low, high = sorted(float(view.at(0.0, y)[1]) for y in levels)
        _strip(picture, x0, x1, low, high)
    picture.shape(view(corners), None)
    for placed in lay.placed:
        shape = view(outline_points(placed, lay))
        picture.shape(shape, None, FOLD if placed.lie.face == "down" else EDGE)
        x, y = middle_of(shape)
        name = placed.part.piece.part.replace("_", " ").removesuffix(" band")
        name = "band" if placed.part.piece.part.endswith("band") else name
        if is_leg(placed.part.piece):
            picture.word(name, (x + 1.0, y), angle_deg=90.0)
        elif name == "band":
            # Too low for words: they stand on the side of the field.
            high = y > (view.at(0.0, width)[1] + view.at(0.0, 0.0)[1]) / 2.0
            edge = float(shape[:, 1].min()) - 3.0 if high else float(shape[:, 1].max()) + 1.2
            picture.word(name, (x, edge))
    bottom, top = (float(view.at(0.0, y)[1]) for y in (0.0, width))
    picture.word("selvedge", (x0, bottom - 3.0), anchor="start")
    picture.word("dashed: turned over", (x1, bottom - 3.0), anchor="end")
    picture.word("other selvedge", (x0, top + 1.2), anchor="start")
    return picture.scene()


def notches(pattern: Pattern) -> Scene:
    """Front and back with their notches and folds."""
    picture = StepPicture("Notches and folds")
    back, front = (pattern.piece(n) for n in ("back", "front"))
    shapes = [cut_of(back), cut_of(front)]
    gap = float(np.ptp(shapes[0][:, 0])) + 150.0
    shift = (0.0, gap - float(shapes[1][:, 0].min()) + float(shapes[0][:, 0].min()))
    flat = [shifted(s, dx, 0.0) for s, dx in zip(shapes, shift, strict=True)]
    view = fitted(flat, (5.0, 57.0, 3.0, HIGH_MM - 3.0), turn_deg=90.0)
    for piece, shape, dx, text in zip((back, front), flat, shift, ("back", "front"), strict=True):
        placed = replace(view, dy=view.dy + dx * view.scale)
        picture.shape(view(shape), WRONG)
        for mark in piece.lines:
            if mark.kind == "fold":
                picture.line(placed(line_of(mark.path)), FOLD)
        picture.ticks(ticks_of(piece), placed)
        picture.name(text, view(shape))
    return picture.scene()


def border(pattern: Pattern) -> Scene:
    """The lower ends of back and front at the outseam, with border, notch and basting."""
    picture = StepPicture("The border at a seam")
    low, high = _border_span(pattern)
    job = Job(pattern=pattern)
    notched = [m.above_hem_mm for m in marks_of(job) if m.seam == "outseam"] or [high]
    at = max(notched)
    reach = at + 90.0
    front, back = pattern.piece("front"), pattern.piece("back")
    pieces = []
    for piece in (front, back):
        y = hem_mm(piece)
        shape = shifted(below(leg_of(pattern, piece.name), y + reach), 0.0, -y)
        seam = shifted(edge_of(pattern, piece.name, "outseam"), 0.0, -y)
        if piece is back:
            shape, seam = flipped(shape), flipped(seam)
        near = seam[:, 0].max() if piece is back else seam[:, 0].min()
        apart = 0.28 * float(np.ptp(shape[:, 0]))
        dx = float((-apart if piece is back else apart) - near)
        pieces.append((shifted(shape, dx, 0.0), shifted(seam, dx, 0.0)))
    view = fitted([p[0] for p in pieces], (3.0, 59.0, 5.0, HIGH_MM - 2.0))
    y = float(view.at(0.0, at)[1])
    picture.word("notch", (31.0, y + 2.2))
    picture.word("baste", (31.0, y - 3.6))
    for shape, seam in pieces:
        picture.shape(view(shape), RIGHT)
        x0, x1 = view(shape)[:, 0].min(), view(shape)[:, 0].max()
        y0, y1 = (float(view.at(0.0, y)[1]) for y in (low, high))
        _strip(picture, float(x0) + 0.4, float(x1) - 0.4, y0, y1)
        picture.shape(view(shape), None)
        side = 1.0 if float(seam[:, 0].mean()) > 0.0 else -1.0
        baste = BASTE.mm(pattern.spec.units)
        for level in notched:
            near = seam[np.argmin(np.abs(seam[:, 1] - level))]
            foot = view.at(float(np.interp(level, seam[::-1, 1], seam[::-1, 0])), level)
            picture.line([foot, foot - (side * 3.0, 0.0)], Pen(width_mm=0.7))
            run = seam[(seam[:, 1] >= level - baste) & (seam[:, 1] <= level + baste)]
            ends = [(float(near[0]), level - baste), (float(near[0]), level + baste)]
            picture.line(view(run if len(run) > 1 else ends), SEWN)
        picture.line(view(seam[seam[:, 1] <= reach]), DONE)
        fold = [(float(shape[:, 0].min()), 0.0), (float(shape[:, 0].max()), 0.0)]
        picture.line(view(fold), FOLD)
    for (shape, _), text in zip(pieces, ("front", "back"), strict=True):
        picture.word(text, (middle_of(view(shape))[0], float(view(shape)[:, 1].min()) - 3.4))
    return picture.scene()


DRAWINGS = by_name(
    stitches_knit, stitches_woven, cut_single, cut_folded, cut_narrow, cut_border, notches, border
)
