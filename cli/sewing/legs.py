"""Pictures of the sewing order on the legs: long seams, crotch, casing, hem and the whole."""

from __future__ import annotations

import numpy as np

from outseam.cli.scene.scene import Scene
from outseam.cli.sewing.canvas import (
    DONE,
    EDGE,
    HIGH_MM,
    LINING,
    RIGHT,
    SEWN,
    WRONG,
    StepPicture,
    above,
    area_of,
    below,
    beside,
    by_name,
    edge_of,
    fitted,
    flipped,
    laid,
    leg_of,
    line_of,
    middle_of,
    mirrored_in,
    piece_line,
    ring_of,
    shifted,
    ticks_of,
    torso,
)
from outseam.curves.path import Floats
from outseam.draft.block.panels import Panel
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import OPENING_ENDS
from outseam.draft.sewing.tools.job import Job
from outseam.draft.sewing.tools.settings import casing_stitch_mm, gap_mm, inside_mm

#: The leg inside is drawn so much higher on paper, so that its edges show.
_INNER_MM = (0.7, 1.1)
#: Finished legs stand apart by twice this at the hem, on the fabric.
_APART_MM = 45.0
#: So much of a hem's width is shown, at the inseam.
_HEM_SHOWN_MM = 230.0


def _through_hem(pattern: Pattern, seam: str) -> Floats:
    """Return the back's seam, prolonged to the hem's cut edge."""
    line = edge_of(pattern, "back", seam)
    turn = piece_line(pattern.piece("back"), f"{seam}_turn")
    return np.concatenate([line, turn] if seam == "outseam" else [turn, line])


def _long_seam(pattern: Pattern, seam: str, title: str, *, closed: bool) -> StepPicture:
    picture = StepPicture(title)
    back, front = laid(pattern, seam)
    view = fitted(
        [back, front], (3.0, 59.0, 3.0, HIGH_MM - 3.0), turn_deg=90.0, mirrored=seam == "inseam"
    )
    picture.shape(view(back), RIGHT)
    picture.shape(view(front), WRONG)
    picture.line(view(_through_hem(pattern, seam)), SEWN)
    notches = ticks_of(pattern.piece("back"), (seam,))
    picture.ticks((t for t in notches if t.role not in OPENING_ENDS), view)
    x, y = middle_of(view(front))
    picture.word("front, wrong side", (x, y + 0.6))
    if closed:
        picture.word("outseam sewn", (x, view(back)[:, 1].max() + 0.8))
    return picture


def outseam(pattern: Pattern) -> Scene:
    """Front on back, the outseam sewn."""
    return _long_seam(pattern, "outseam", "Front on back, outseam", closed=False).scene()


def inseam(pattern: Pattern) -> Scene:
    """The leg folded, the inseam sewn."""
    return _long_seam(pattern, "inseam", "A leg folded, inseam", closed=True).scene()


def inseam_flat(pattern: Pattern) -> Scene:
    """Front on back, the inseam sewn while the leg lies flat."""
    return _long_seam(pattern, "inseam", "Front on back, inseam", closed=False).scene()


def crotch(pattern: Pattern) -> Scene:
    """One leg in the other, seen on its inseam: the crotch seam is one curve from top to top."""
    picture = StepPicture("One leg inside the other, crotch seam")
    front, back = pattern.piece("front"), pattern.piece("back")
    shapes, seams, ticks = [], [], []
    low = torso(pattern, -110.0)
    for piece, panel in ((front, pattern.block.front), (back, pattern.block.back)):
        point = np.array(piece.edge("inseam").path.end)
        shape = beside(above(leg_of(pattern, piece.name), low), panel.crease_x, left=False)
        flip = -1.0 if piece is back else 1.0
        # Laid edge to edge on the inseam, as the sewn leg shows it.
        shapes.append((shape - point) * (flip, 1.0))
        seams.append((piece_line(piece, "crotch") - point) * (flip, 1.0))
        ticks += [tick.about(point, flip) for tick in ticks_of(piece, ("crotch",))]
    view = fitted(shapes, (2.0, 44.0, 5.0, HIGH_MM - 4.0))
    for s in shapes:
        picture.shape(shifted(view(s), *_INNER_MM), RIGHT)
    for s in shapes:
        picture.shape(view(s), WRONG)
    for seam in seams:
        picture.line(view(seam), SEWN)
    picture.ticks(ticks, view)
    zero = view.at(0.0, 0.0)
    picture.line([zero, (zero[0], 5.5)], DONE)
    picture.word("inseams", (zero[0] + 1.0, 1.8))
    for shape, text, side in zip(shapes, ("front", "back"), (0.34, 0.62), strict=True):
        p = view(shape)
        picture.word(text, (p[:, 0].min() + side * np.ptp(p[:, 0]), p[:, 1].min() + 3.5))
    top = view(shapes[1])
    picture.note("leg inside", 31.0, (top[np.argmax(top[:, 1]), 0] + 0.4, 33.5))
    picture.note("leg outside,", 17.0, (top[:, 0].max() - 3.0, 15.0))
    picture.word("wrong side", (46.0, 13.6), anchor="start")
    return picture.scene()


def casing(pattern: Pattern) -> Scene:
    """Both backs with the casing turned in and stitched, open at the centre."""
    picture = StepPicture("A casing cut on the leg")
    job = Job(pattern=pattern)
    panel = pattern.block.back
    waist = line_of(panel.waist)
    deep = casing_stitch_mm(job)
    turn = pattern.block.turn_mm
    shape = above(leg_of(pattern, "back"), float(waist[:, 1].min()) - 90.0)
    top = area_of(shape)
    # What lies beyond the fold is turned in: the leg ends at the fold.
    far = np.concatenate([[waist[0] + (60.0, 0.0)], waist, [waist[-1] - (60.0, 0.0)]])
    beyond = area_of(np.concatenate([far, shifted(far[::-1], 0.0, 400.0)]))
    centre = float(waist[0, 0])
    half = shifted(beside(ring_of(top.difference(beyond)), centre, left=True), -centre, 0.0)
    both = [half, flipped(half)]
    view = fitted(both, (3.0, 59.0, 7.0, HIGH_MM - 3.0))
    gap = gap_mm(job) / 2.0
    for s in both:
        picture.shape(view(s), WRONG)
        top_line = shifted(waist, -centre, 0.0)
        top_line = top_line if s is half else flipped(top_line)
        strip = np.concatenate([top_line, shifted(top_line[::-1], 0.0, -turn)])
        picture.shape(view(strip), RIGHT)
        for down, pen in ((turn, EDGE), (deep, SEWN)):
            p = shifted(waist, -centre, -down)
            p = p if s is half else flipped(p)
            if pen is SEWN:
                p = p[np.abs(p[:, 0]) >= gap]
            picture.line(view(p), pen)
    x, y = view.at(0.0, float(waist[0, 1]) - deep)
    picture.note("open", view(half)[:, 1].max() + 0.8, (x + 0.8, y), x=x + 8.8)
    picture.word("both backs, wrong side", (x, view(half)[:, 1].min() - 3.4))
    return picture.scene()


def hem(pattern: Pattern) -> Scene:
    """The lower end of a leg, wrong side out, with the hem turned up and stitched."""
    picture = StepPicture("The hem turned up")
    back = pattern.piece("back")
    allowance = pattern.spec.style.hem_allowance
    panel = pattern.block.back
    fold = line_of(panel.hem)
    high = float(fold[:, 1].max()) + max(3.0 * allowance, 90.0)
    left = float(fold[:, 0].max()) - _HEM_SHOWN_MM
    sewn = beside(below(_panel(panel), high), left, left=False)
    view = fitted([sewn], (6.0, 42.0, 4.0, HIGH_MM - 3.0))
    picture.shape(view(sewn), WRONG)
    mirrored = mirrored_in(piece_line(back, "hem_cut"), fold[0], fold[-1])
    turned = np.concatenate([fold, mirrored[::-1] if _runs(fold, mirrored) else mirrored])
    turned = beside(turned, left, left=False)
    picture.shape(view(turned), RIGHT)
    down = inside_mm(allowance, pattern.spec.units) / allowance
    stitched = fold_between(fold, mirrored, down)
    stitched = stitched[stitched[:, 0] >= left]
    picture.line(view(stitched), SEWN)
    for ends, text, up in ((stitched, "stitched", 2.0), (fold, "fold", -3.4)):
        right = view(ends)[np.argmax(view(ends)[:, 0])] - (0.5, 0.0)
        picture.note(text, right[1] + up, right, x=45.0)
    if float(fold[:, 0].min()) < left:
        picture.crop(view, sewn, left)
    picture.word("leg, wrong side", (24.0, view.at(0.0, high)[1] - 6.0))
    return picture.scene()


def _runs(a: Floats, b: Floats) -> bool:
    """Return whether two lines run the same way."""
    return bool((a[-1] - a[0]) @ (b[-1] - b[0]) > 0.0)


def fold_between(fold: Floats, edge: Floats, share: float) -> Floats:
    """Return the line at a share of the way from a fold to an edge."""
    other = edge if _runs(fold, edge) else edge[::-1]
    t = np.linspace(0.0, 1.0, 24)

    def even(p: Floats) -> Floats:
        run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(p, axis=0).T))])
        s = t * run[-1]
        return np.stack([np.interp(s, run, p[:, 0]), np.interp(s, run, p[:, 1])], axis=1)

    out: Floats = even(fold) + share * (even(other) - even(fold))
    return out


def _panel(panel: Panel) -> Floats:
    """Return the finished outline of a panel, closed (n, 2)."""
    paths = (panel.outseam, panel.hem, panel.inseam, panel.crotch, panel.waist)
    return np.concatenate([line_of(p) for p in paths])


def tried_on(pattern: Pattern) -> Scene:
    """The legs from the front, basted along the long seams, without their band."""
    picture = StepPicture("Basted, before any seam is sewn")
    _flat(picture, pattern, sewn=False)
    picture.word("basted on the seam line", (30.0, 3.0))
    return picture.scene()


def finished(pattern: Pattern) -> Scene:
    """The finished pants from the front, flat, with their band."""
    picture = StepPicture("The finished pants")
    _flat(picture, pattern, sewn=True)
    return picture.scene()


def _flat(picture: StepPicture, pattern: Pattern, *, sewn: bool) -> None:
    """Draw the pants flat from the front: sewn, with band and hem, or only basted."""
    panel = pattern.block.front
    centre = float(panel.waist.start[0])
    # Legs a little apart, so that they are seen as two; the forks go between them.
    spread = shifted(_panel(panel), -centre, 0.0)
    lean = (float(panel.hem.end[0]) - centre + _APART_MM) / abs(float(panel.hem.end[1]))
    spread[:, 0] -= lean * np.maximum(0.0, -spread[:, 1])
    half = beside(spread, 0.0, left=True)
    both = [half, flipped(half)]
    high = pattern.block.band_height_mm if sewn else 0.0
    wide = float(pattern.piece("front_band").edge("lower").path.end[0]) if high else 0.0
    waist = shifted(line_of(panel.waist), -centre, 0.0)
    low = np.concatenate([waist[::-1], flipped(waist)[1:]])
    narrow = np.array((wide / float(np.ptp(low[:, 0])), 1.0))
    top = shifted(low * narrow, 0.0, high)
    band = np.concatenate([low, top[::-1]])
    view = fitted([*both, band] if high else both, (4.0, 58.0, 2.0 if sewn else 6.0, HIGH_MM - 2.0))
    for s in both:
        picture.shape(view(s), RIGHT)
    if high:
        picture.shape(view(band), LINING)
    if any(e.name == "mouth" for e in pattern.piece("front").edges):
        mouth = shifted(piece_line(pattern.piece("front"), "mouth"), -centre, 0.0)
        for p in (mouth, flipped(mouth)):
            picture.line(view(p), EDGE)
    if not sewn:
        seams = [shifted(line_of(p), -centre, 0.0) for p in (panel.outseam, panel.inseam)]
        for p in seams:
            p[:, 0] -= lean * np.maximum(0.0, -p[:, 1])
        # What lies between the legs is not seen from the front.
        seams = [p[p[:, 0] <= 0.0] for p in seams]
        seams.append(np.array([(0.0, float(waist[0, 1])), (0.0, float(seams[1][:, 1].max()))]))
        for p in seams:
            picture.line(view(p), SEWN)
            picture.line(view(flipped(p)), SEWN)
        return
    up = inside_mm(pattern.spec.style.hem_allowance, pattern.spec.units)
    hem_line = shifted(line_of(panel.hem), -centre, up)
    hem_line[:, 0] += lean * (hem_line[:, 1] - up)
    for p in (hem_line, flipped(hem_line)):
        picture.line(view(p), DONE)


DRAWINGS = by_name(tried_on, outseam, inseam, inseam_flat, crotch, casing, hem, finished)
