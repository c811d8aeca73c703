"""Her own figure from front, side and back: tapes on it, and the pants on its outline.

The plain figure of the measuring sheet is stretched to her heights level by level, and made
broader or narrower at each level by her girth there. It is a likeness for finding one's way, no
portrait: depth and breadth grow alike, because a tape does not tell them apart.

The pants are drawn where cloth of their girth would stand: on the body where they are drafted to
it or smaller, off it by the share they are larger. The tone says how far the cloth is stretched.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any, Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from outseam.cli.measure import body_figure
from outseam.cli.measure.body_figure import LEVEL_CM, View
from outseam.cli.page.path_data import joined, points_data
from outseam.draft.body.estimate import Measures
from outseam.draft.checks.strain import levels
from outseam.draft.figures.finished import finished
from outseam.draft.legs.leg import ANKLE_OF_KNEE, CALF_OF_KNEE
from outseam.draft.model import Pattern

Floats = NDArray[np.float64]

#: Girths of the plain figure where a tape lies, mm: those of the mean woman it was drawn for (the
#: public survey ANSUR II, rounded), so that such a woman is drawn as she is.
_GIRTH_MM: Final = {
    "waist": 860.0, "hip": 1020.0, "thigh": 610.0, "knee": 370.0, "calf": 375.0, "ankle": 215.0,
}  # fmt: skip
#: What is drawn above the waist, mm of the plain figure; room beside and between the views.
_ABOVE_MM: Final = 110.0
_MARGIN_MM: Final = 40.0
_SAG: Final = 0.075
VIEWS: Final = ("front", "side", "back")


@dataclass(frozen=True, slots=True, kw_only=True)
class Build:
    """How the plain figure becomes hers: heights for heights, and a breadth factor by height."""

    plain: Floats
    own: Floats
    at: Floats
    factor: Floats

    def height(self, plain_mm: Floats | float) -> Floats:
        """Return her height for one of the plain figure, mm."""
        return np.asarray(np.interp(plain_mm, self.plain, self.own))

    def points(self, p: Floats) -> Floats:
        """Return points (n, 2) of the plain figure as hers, mm, y up from the floor."""
        y = self.height(p[:, 1])
        return np.column_stack([p[:, 0] * np.interp(y, self.at, self.factor), y])


def build_of(m: Measures) -> Build:
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
    factors = [(heights[name], getattr(m, name) / mm) for name, mm in _GIRTH_MM.items()]
    at, factor = np.array([(0.0, 1.0), (0.4 * heights["ankle"], 1.0), *sorted(factors)]).T
    return Build(plain=plain, own=own, at=at, factor=factor)


@cache
def _plain(view: str) -> tuple[View, Floats]:
    """Return a view of the plain figure and its outline, mm (n, 2)."""
    shown: View = {"front": body_figure.front, "side": body_figure.side, "back": body_figure.back}[
        view
    ]()
    points = shown.curve.points(260) * 10.0
    top = 10.0 * LEVEL_CM["waist"] + _ABOVE_MM
    return shown, np.asarray(points[points[:, 1] <= top])


@dataclass(frozen=True, slots=True, kw_only=True)
class _Drawn:
    """A view of her on the common sheet: where its middle is, and its outline, mm."""

    view: str
    middle: float
    high: float
    points: Floats
    symmetric: bool

    def on_sheet(self, p: Floats) -> Floats:
        return p * (1.0, -1.0) + (self.middle, self.high)

    def edges(self, y: float) -> list[tuple[float, float]]:
        """Return the stretches of body at a height, left to right, on her (not on the sheet)."""
        p = self.points
        a, b = p[:-1], p[1:]
        hit = (a[:, 1] >= y) != (b[:, 1] >= y)
        t = (y - a[hit, 1]) / (b[hit, 1] - a[hit, 1])
        xs = sorted((a[hit, 0] + t * (b[hit, 0] - a[hit, 0])).tolist())
        if not xs:
            return []
        if not self.symmetric:
            return [(xs[0], xs[-1])]
        if len(xs) == 1:
            return [(-xs[0], xs[0])]
        return [(-xs[-1], -xs[0]), (xs[0], xs[-1])]


def _views(m: Measures) -> tuple[list[_Drawn], float, float]:
    build = build_of(m)
    drawn, x = [], _MARGIN_MM
    high = 0.0
    outlines = {}
    for name in VIEWS:
        view, plain = _plain(name)
        outlines[name] = (view.symmetric, build.points(plain))
        high = max(high, float(outlines[name][1][:, 1].max()))
    high += _MARGIN_MM
    for name, (symmetric, p) in outlines.items():
        left = -float(p[:, 0].max()) if symmetric else float(p[:, 0].min())
        right = float(p[:, 0].max())
        room = 70.0
        drawn.append(
            _Drawn(view=name, middle=x + room - left, high=high, points=p, symmetric=symmetric)
        )
        x += right - left + 2.0 * room + _MARGIN_MM
    return drawn, x, high + 14.0


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
        spans = drawn.edges(y)
        if not spans:
            continue
        span = spans[-1]
        ring = drawn.on_sheet(_ring(*span, y))
        paths.append((f"{drawn.view}-{key}", points_data(ring)))
        if drawn.view == "front":
            x, top = ring[-1].tolist()
            picks.append({"key": key, "x": round(x, 1), "y": round(top, 1), "side": "right"})
    for key, view, ends in _UPRIGHT:
        if view != drawn.view:
            continue
        low, high = ends(m)
        at = 0.0
        if view == "front":
            inner = drawn.edges(max(low, 20.0) if key == "knee_height" else high - 30.0)
            at = 0.0 if key == "inside_leg" or not inner else inner[0][0] - 26.0
        elif view == "side":
            at = float(drawn.points[:, 0].max()) + (14.0 if key == "waist_height" else -20.0)
        points = drawn.on_sheet(np.array([(at, low), (at, high)]))
        paths.append((f"{view}-{key}", points_data(points)))
        x, y = points.mean(axis=0).tolist()
        picks.append({"key": key, "x": round(x, 1), "y": round(y, 1), "side": "left"})
    return paths, picks


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
    views, _, _ = _views(pattern.measures)
    outlines: list[tuple[str, str]] = []
    bands: list[tuple[str, str, float]] = []
    for drawn in views:
        limbs = [_leg_spans(drawn, float(y) - 1.0, cloth.crotch)[-1] for y in cloth.limb_at]
        rows = [(float(y), _clothed(drawn, float(y), cloth, limbs)) for y in heights]
        outlines.append((f"{drawn.view}-pants", _outline(drawn, rows)))
        for i in range(0, len(rows) - 1, 2):
            (y0, a), (y1, b) = rows[i], rows[min(i + 2, len(rows) - 1)]
            share = float(np.interp((y0 + y1) / 2.0, cloth.at, cloth.strain)) / wears
            tone = round(min(max(share, 0.0), 1.5), 2)
            bands.append((f"{drawn.view}-tone-{i}", _band(drawn, y0, a, y1, b), tone))
    return {"pants": outlines, "tone": bands}


_Spans: TypeAlias = list[tuple[float, float]]


def _leg_spans(drawn: _Drawn, y: float, crotch: float) -> _Spans:
    """Return the body's stretches at a height, both legs apart below the crotch."""
    spans = drawn.edges(y)
    if drawn.symmetric and y < crotch and len(spans) == 1:
        return [(spans[0][0], 0.0), (0.0, spans[0][1])]
    return spans


def _clothed(drawn: _Drawn, y: float, cloth: _Cloth, limbs: _Spans) -> _Spans:
    """Return where the cloth stands at a height.

    Over seat and waist on the body, or off it by its share of room. A leg is a tube about the line
    from thigh to ankle, as broad for its girth as the limb is for its own, and nowhere inside it.
    """
    ankle = float(cloth.limb_at[0])
    spans = _leg_spans(drawn, max(y, ankle), cloth.crotch)
    if y >= cloth.crotch:
        off = max(1.0, float(np.interp(y, cloth.at, cloth.ratio)))
        return [((a + b - (b - a) * off) / 2.0, (a + b + (b - a) * off) / 2.0) for a, b in spans]
    middle = float(np.interp(y, cloth.limb_at, [(a + b) / 2.0 for a, b in limbs]))
    broad = [(b - a) / 2.0 / g for (a, b), g in zip(limbs, cloth.limb_mm.tolist(), strict=True)]
    half = float(np.interp(y, cloth.limb_at, broad)) * float(
        np.interp(y, cloth.at, cloth.pattern_mm)
    )
    a, b = spans[-1]
    right = (min(a, middle - half), max(b, middle + half))
    if not drawn.symmetric:
        return [right]
    right = (max(right[0], 0.0), right[1])
    return [(-right[1], -right[0]), right]


def _outline(drawn: _Drawn, rows: list[tuple[float, _Spans]]) -> str:
    """Return the outline of the pants in one view, heights rising in `rows`."""
    outer = [(spans[-1][1], y) for y, spans in rows]
    if not drawn.symmetric:
        ring = [*outer, *[(spans[0][0], y) for y, spans in rows][::-1]]
        return points_data(drawn.on_sheet(np.array(ring)), closed=True)
    inner = [(spans[1][0], y) for y, spans in rows if len(spans) == 2]
    top = rows[len(inner)][0] if len(inner) < len(rows) else rows[-1][0]
    half = [*outer[::-1], *inner, (0.0, top)]
    other = [(-x, y) for x, y in half[::-1]][1:]
    return points_data(drawn.on_sheet(np.array([*half, *other])), closed=True)


def _band(drawn: _Drawn, y0: float, a: _Spans, y1: float, b: _Spans) -> str:
    """Return the cloth between two heights; where the legs part it is split as below."""
    if len(a) == 2 and len(b) == 1:
        b = [(b[0][0], 0.0), (0.0, b[0][1])]
    return joined(
        points_data(
            drawn.on_sheet(np.array([(p[0], y0), (p[1], y0), (q[1], y1), (q[0], y1)])), closed=True
        )
        for p, q in zip(a, b, strict=False)
    )
