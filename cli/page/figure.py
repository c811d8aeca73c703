"""Her own figure from front, side and back: tapes on it, and the pants on its outline.

The plain figure of the measuring sheet is stretched to her heights level by level, and made
broader and deeper at each level by her girth there. A tape does not tell breadth from depth: at
waist and seat the survey's usual share of a body of her measures does, elsewhere both grow alike.
It is a likeness for finding one's way, no portrait.

The pants are drawn where cloth of their girth would stand: on the body where they are drafted to
it or smaller, off it by the share they are larger. The tone says how far the cloth is stretched.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

import numpy as np

from outseam.cli.measure import body_figure
from outseam.cli.measure.body_figure import LEVEL_CM, BodyView
from outseam.cli.page.path_data import joined, points_data
from outseam.curves.path import Floats
from outseam.draft.body.estimate import Measures
from outseam.draft.body.limb import ANKLE_OF_KNEE, CALF_OF_KNEE
from outseam.draft.body.shape import TrunkLevel, section, section_of
from outseam.draft.checks.strain import levels
from outseam.draft.figures.finished import finished
from outseam.draft.model import Pattern

#: Girths of the plain figure where a tape lies, mm: those of the mean woman it was drawn for (the
#: public survey ANSUR II, rounded), so that such a woman is drawn as she is.
_GIRTH_MM: Final = {
    "waist": 860.0, "hip": 1020.0, "thigh": 610.0, "knee": 370.0, "calf": 375.0, "ankle": 215.0,
}  # fmt: skip
_MEAN_MM: Final = {level: _GIRTH_MM[level] for level in ("waist", "hip", "thigh")}
#: What is drawn above the waist, mm of the plain figure; room beside and between the views.
_ABOVE_MM: Final = 110.0
_MARGIN_MM: Final = 40.0
_ROOM_MM: Final = 70.0
_SAG: Final = 0.075
VIEWS: Final = ("front", "side", "back")


#: From the side, this share of what a body is deeper than the plain figure at her height lies in
#: front: a belly grows forward and a seat backward, and the spine between them stays. At the seat
#: it is the more, the larger the waist is for the hip, since such a hip tape goes over a belly (how
#: it is drawn; common knowledge, no source).
_TO_FRONT: Final[dict[TrunkLevel, float]] = {"waist": 0.8, "hip": 0.3}
_BELLY_TO_FRONT: Final = 2.0
#: Neither front nor back of the trunk is drawn flatter than this share of the plain figure's.
_FLATTEST: Final = 0.45


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureShape:
    """How the plain figure becomes hers: heights for heights, and factors by height.

    `broad` is for breadths from the front; `ahead` and `behind` are for what lies before and behind
    the middle from the side.
    """

    plain: Floats
    own: Floats
    at: Floats
    broad: Floats
    ahead: Floats
    behind: Floats

    def height(self, plain_mm: Floats | float) -> Floats:
        """Return her height for one of the plain figure, mm."""
        return np.asarray(np.interp(plain_mm, self.plain, self.own))

    def points(self, p: Floats, *, side: bool = False) -> Floats:
        """Return points (n, 2) of the plain figure as hers, mm, y up from the floor."""
        y = self.height(p[:, 1])
        factor = np.interp(y, self.at, self.broad)
        if side:
            ahead, behind = (np.interp(y, self.at, f) for f in (self.ahead, self.behind))
            factor = np.where(p[:, 0] >= 0.0, ahead, behind)
        return np.column_stack([p[:, 0] * factor, y])


def _round(breadth: float, depth: float) -> float:
    """Return the girth of an ellipse, by Ramanujan's first approximation."""
    a, b = breadth / 2.0, depth / 2.0
    return math.pi * (3.0 * (a + b) - math.sqrt((3.0 * a + b) * (a + 3.0 * b)))


def _trunk(m: Measures, level: TrunkLevel) -> tuple[float, float, float]:
    """Return the factors of breadth, of what lies ahead and of what lies behind at a level.

    The girth grows as the tape says; how it is shared between breadth and depth differs from the
    plain figure as the survey's usual body of her measures differs from the mean woman.
    """
    front, (back, ahead) = body_figure.front(), body_figure.side().edges(LEVEL_CM[level])
    breadth, depth = 20.0 * front.edges(LEVEL_CM[level])[1], 10.0 * (ahead - back)
    own = section_of(m, level)
    mean = section("women", level, height=10.0 * LEVEL_CM["height"], **_MEAN_MM)
    deeper = own.depth_mm / own.breadth_mm / (mean.depth_mm / mean.breadth_mm)
    broad = (
        getattr(m, level)
        / _GIRTH_MM[level]
        * (_round(breadth, depth) / _round(breadth, depth * deeper))
    )
    frame = m.height / (10.0 * LEVEL_CM["height"])
    more = (broad * deeper - frame) * depth
    front_share = _TO_FRONT[level]
    if level == "hip":
        round_waist = m.waist / m.hip - _GIRTH_MM["waist"] / _GIRTH_MM["hip"]
        front_share += min(max(0.0, _BELLY_TO_FRONT * round_waist), 0.45)
    shares = (front_share * more, (1.0 - front_share) * more)
    to = (frame + x / (10.0 * half) for x, half in zip(shares, (ahead, -back), strict=True))
    forward, backward = (max(_FLATTEST, x) for x in to)
    return broad, forward, backward


def build_of(m: Measures) -> FigureShape:
    """Return how the plain figure is stretched to her measures."""
    knee = m.knee_height
    crotch = m.inside_leg
    hip = max(m.hip_height, crotch + 10.0)
    heights = {
        "ankle": ANKLE_OF_KNEE * knee,
        "calf": CALF_OF_KNEE * knee,
        "knee": knee,
        "thigh": crotch - 0.05 * (crotch - knee),
        "crotch": crotch,
        "hip": hip,
        "waist": max(m.waist_height, hip + 20.0),
        "height": m.height,
    }
    rows = sorted((10.0 * LEVEL_CM[name], mm) for name, mm in heights.items())
    plain, own = np.array([(0.0, 0.0), *rows]).T
    limbs = {name: 3 * (getattr(m, name) / mm,) for name, mm in _GIRTH_MM.items()}
    trunk: dict[str, tuple[float, ...]] = {level: _trunk(m, level) for level in _TO_FRONT}
    factors = [(heights[name], *three) for name, three in (limbs | trunk).items()]
    foot = [(0.0, 1.0, 1.0, 1.0), (0.4 * heights["ankle"], 1.0, 1.0, 1.0)]
    at, broad, ahead, behind = np.array([*foot, *sorted(factors)]).T
    return FigureShape(plain=plain, own=own, at=at, broad=broad, ahead=ahead, behind=behind)


@cache
def _plain(view: str) -> tuple[BodyView, Floats]:
    """Return a view of the plain figure and its outline, mm (n, 2)."""
    views = {"front": body_figure.front, "side": body_figure.side, "back": body_figure.back}
    shown: BodyView = views[view]()
    points = shown.contour.points(260) * 10.0
    top = 10.0 * LEVEL_CM["waist"] + _ABOVE_MM
    return shown, np.asarray(points[points[:, 1] <= top])


@dataclass(frozen=True, slots=True, kw_only=True)
class _Drawn:
    """A view of her on the common sheet: where its middle is, and its outline, mm.

    `outer` is the side of the right half down to the ankle (the front, from the side), `inner` the
    inside of the leg from the ankle up to the crotch (the back); both (n, 2) by rising height.
    """

    view: str
    middle: float
    high: float
    points: Floats
    symmetric: bool
    outer: Floats
    inner: Floats

    def on_sheet(self, p: Floats) -> Floats:
        return p * (1.0, -1.0) + (self.middle, self.high)

    def right(self, y: Floats, crotch: float) -> tuple[Floats, Floats]:
        """Return from where to where the right half reaches at heights over the ankle."""
        outer = np.interp(y, self.outer[:, 1], self.outer[:, 0])
        inner = np.interp(y, self.inner[:, 1], self.inner[:, 0])
        return (np.where(y < crotch, inner, 0.0) if self.symmetric else inner), outer


def _branches(p: Floats, ankle: float) -> tuple[Floats, Floats]:
    """Return what comes before the foot and after it on an outline, each by rising height."""
    foot = np.flatnonzero(p[:, 1] < ankle)
    first, last = p[: foot[0]], p[foot[-1] + 1 :]
    return first[np.argsort(first[:, 1])], last[np.argsort(last[:, 1])]


def _views(m: Measures) -> tuple[list[_Drawn], float, float]:
    """Return the three views side by side, and the width and height of their sheet."""
    build = build_of(m)
    outlines = []
    for name in VIEWS:
        view, plain = _plain(name)
        outlines.append((name, view.symmetric, build.points(plain, side=name == "side")))
    high = max(float(p[:, 1].max()) for _, _, p in outlines) + _MARGIN_MM
    drawn, x = [], _MARGIN_MM
    for name, symmetric, p in outlines:
        right = float(p[:, 0].max())
        left = -right if symmetric else float(p[:, 0].min())
        outer, inner = _branches(p, ANKLE_OF_KNEE * m.knee_height)
        drawn.append(
            _Drawn(
                view=name,
                middle=x + _ROOM_MM - left,
                high=high,
                points=p,
                symmetric=symmetric,
                outer=outer,
                inner=inner,
            )
        )
        x += right - left + 2.0 * _ROOM_MM + _MARGIN_MM
    return drawn, x, high + x / 34.0  # room for the names of the views below the floor


def _tape_heights(m: Measures) -> dict[str, float]:
    return {
        "waist": m.waist_height,
        "hip": m.hip_height,
        "thigh": m.inside_leg - 0.05 * (m.inside_leg - m.knee_height),
        "knee": m.knee_height,
        "calf": CALF_OF_KNEE * m.knee_height,
        "ankle": ANKLE_OF_KNEE * m.knee_height,
    }


#: Tapes that run up the body: from what height to what height, and on which view they are shown.
_UPRIGHT: Final[tuple[tuple[str, str, Callable[[Measures], tuple[float, float]]], ...]] = (
    ("inside_leg", "front", lambda m: (0.0, m.inside_leg)),
    ("knee_height", "front", lambda m: (0.0, m.knee_height)),
    ("waist_height", "side", lambda m: (0.0, m.waist_height)),
    ("hip_height", "side", lambda m: (0.0, m.hip_height)),
    ("waist_to_hip", "back", lambda m: (m.hip_height, m.waist_height)),
)


def _ring(a: float, b: float, y: float) -> Floats:
    """Return the near half of a level tape from `a` to `b`, sagging a little, (n, 2)."""
    t = np.linspace(0.0, np.pi, 19)
    x = (a + b) / 2.0 - (b - a) / 2.0 * np.cos(t)
    return np.column_stack([x, y - _SAG * (b - a) * np.sin(t)])


def _tapes(drawn: _Drawn, m: Measures) -> tuple[list[tuple[str, str]], list[dict[str, Any]]]:
    """Return the tapes of one view as paths, and where each can be picked."""
    paths, picks = [], []
    for key, y in _tape_heights(m).items():
        a, b = (float(x) for x in drawn.right(np.asarray(y), m.inside_leg))
        if drawn.symmetric and y >= m.inside_leg:
            a = -b
        ring = drawn.on_sheet(_ring(a, b, y))
        paths.append((f"{drawn.view}-{key}", points_data(ring)))
        if drawn.view == "front":
            picks.append(_pick(key, ring[-1], "right"))
    for key, view, ends in _UPRIGHT:
        if view != drawn.view:
            continue
        low, high = ends(m)
        at = 0.0
        if key == "knee_height":
            at = -float(drawn.right(np.asarray(high), m.inside_leg)[1]) - 40.0
        elif view == "side":
            at = float(drawn.points[:, 0].max()) + (14.0 if key == "waist_height" else -20.0)
        points = drawn.on_sheet(np.array([(at, low), (at, high)]))
        paths.append((f"{view}-{key}", points_data(points)))
        picks.append(_pick(key, points.mean(axis=0), "left"))
    return paths, picks


def _pick(key: str, at: Floats, side: str) -> dict[str, Any]:
    return {"key": key, "x": round(float(at[0]), 1), "y": round(float(at[1]), 1), "side": side}


def figure_of(m: Measures) -> dict[str, Any]:
    """Return her figure as plain data: `size`, `body`, `tapes` as named paths, `picks`."""
    views, wide, high = _views(m)
    body, tapes, picks = [], [], []
    for drawn in views:
        p = drawn.points
        outline = np.vstack([p, (p * (-1.0, 1.0))[::-1]]) if drawn.symmetric else p
        body.append((f"{drawn.view}-body", points_data(drawn.on_sheet(outline), closed=True)))
        paths, found = _tapes(drawn, m)
        tapes += paths
        picks += found
    names = [(d.view, round(d.middle, 1)) for d in views]
    return {
        "size": (round(wide, 1), round(high, 1)),
        "body": body,
        "tapes": tapes,
        "picks": picks,
        "names": names,
        "floor": round(views[0].high, 1),
    }


# --- the pants on her ---------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cloth:
    """Pattern and body at rising heights, mm: girth of the leg or seat, strain, and key levels."""

    at: Floats
    pattern_mm: Floats
    ratio: Floats
    strain: Floats
    crotch: float
    #: ankle, knee and thigh of the body: heights and girths
    limb_at: Floats
    limb_mm: Floats


def _cloth(pattern: Pattern) -> _Cloth:
    m = pattern.measures
    crotch = pattern.block.crotch_line_height_mm
    limb = ((ANKLE_OF_KNEE * m.knee_height, m.ankle), (m.knee_height, m.knee), (crotch, m.thigh))
    limb_at, limb_mm = np.array(limb).T
    rows = [
        (lv.height_mm, lv.pattern_mm, lv.pattern_mm / lv.body_mm, lv.strain)
        for lv in levels(pattern)
    ]
    figures = finished(pattern)
    hem_at = max(20.0, figures["hem_above_floor"])
    if hem_at < min(rows)[0] - 5.0:
        body = float(np.interp(hem_at, limb_at, limb_mm))
        rows.append((hem_at, figures["hem"], figures["hem"] / body, body / figures["hem"] - 1.0))
    rows.append((m.waist_height + pattern.block.rise.side_mm, *max(rows)[1:]))
    at, girth, ratio, strain = np.array(sorted(rows)).T
    return _Cloth(
        at=at,
        pattern_mm=girth,
        ratio=ratio,
        strain=strain,
        crotch=crotch,
        limb_at=limb_at,
        limb_mm=limb_mm,
    )


def pants_on(pattern: Pattern) -> dict[str, Any]:
    """Return the pants on her outline: `pants` as named outlines, `tone` as bands of strain.

    A band is [name, path data, strain over what wears well, held to 0..1.5].
    """
    cloth = _cloth(pattern)
    wears = pattern.block.ease.wear_strain or 0.01
    ends = np.linspace(float(cloth.at[0]), float(cloth.at[-1]), 36)
    heights = np.unique(np.append(ends, cloth.crotch))
    shares = np.clip(np.interp(heights, cloth.at, cloth.strain) / wears, 0.0, 1.5)
    views, _, _ = _views(pattern.measures)
    outlines: list[tuple[str, str]] = []
    bands: list[tuple[str, str, float]] = []
    for drawn in views:
        inner, outer = _clothed(drawn, heights, cloth)
        outlines.append((f"{drawn.view}-pants", _outline(drawn, heights, inner, outer)))
        sides = (1.0, -1.0) if drawn.symmetric else (1.0,)
        for i in range(0, len(heights) - 1, 2):
            k = min(i + 2, len(heights) - 1)
            corners = np.array(
                [
                    (inner[i], heights[i]),
                    (outer[i], heights[i]),
                    (outer[k], heights[k]),
                    (inner[k], heights[k]),
                ]
            )
            data = joined(
                points_data(drawn.on_sheet(corners * (side, 1.0)), closed=True) for side in sides
            )
            tone = round(float(shares[i] + shares[k]) / 2.0, 2)
            bands.append((f"{drawn.view}-tone-{i}", data, tone))
    return {"pants": outlines, "tone": bands}


def _clothed(drawn: _Drawn, y: Floats, cloth: _Cloth) -> tuple[Floats, Floats]:
    """Return from where to where the cloth reaches on the right half, at rising heights.

    Over seat and waist on the body, or off it by its share of room. A leg is a tube about the line
    from thigh to ankle, as broad for its girth as the limb is for its own, and nowhere inside it;
    below the ankle it hangs from there and does not follow the foot.
    """
    a, b = drawn.right(np.maximum(y, cloth.limb_at[0]), cloth.crotch)
    limb_a, limb_b = drawn.right(cloth.limb_at - 1.0, cloth.crotch)
    middle = np.interp(y, cloth.limb_at, (limb_a + limb_b) / 2.0)
    broad = np.interp(y, cloth.limb_at, (limb_b - limb_a) / 2.0 / cloth.limb_mm)
    half = broad * np.interp(y, cloth.at, cloth.pattern_mm)
    off = np.maximum(1.0, np.interp(y, cloth.at, cloth.ratio))
    centre = np.zeros_like(y) if drawn.symmetric else (a + b) / 2.0
    above = y >= cloth.crotch
    inner = np.where(above, centre - (centre - a) * off, np.minimum(a, middle - half))
    outer = np.where(above, centre + (b - centre) * off, np.maximum(b, middle + half))
    if drawn.symmetric:  # each leg keeps to its side
        inner = np.where(above, 0.0, np.maximum(inner, 0.0))
    return inner, outer


def _outline(drawn: _Drawn, y: Floats, inner: Floats, outer: Floats) -> str:
    """Return the outline of the pants in one view."""
    side = np.column_stack([outer, y])
    if not drawn.symmetric:
        ring = np.vstack([side, np.column_stack([inner, y])[::-1]])
        return points_data(drawn.on_sheet(ring), closed=True)
    legs = inner > 0.0
    inside = np.column_stack([inner, y])[: int(np.flatnonzero(legs)[-1]) + 1 if legs.any() else 1]
    at = min(len(inside), len(y) - 1)
    half = np.vstack([side[::-1], inside, [(0.0, y[at])]])
    return points_data(drawn.on_sheet(np.vstack([half, half[-2::-1] * (-1.0, 1.0)])), closed=True)
