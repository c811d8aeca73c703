"""The picture of coverage: people by hip and waist, and the sizes drawn over them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
import shapely

from outseam.cli.scene.line_styles import line_style
from outseam.cli.scene.scene import Label, Pen, Scene, SceneItem, Stroke, scene_of
from outseam.cli.scene.shapes import rectangle
from outseam.cli.scene.text import shorten_text, text_width_mm, wrap_text
from outseam.curves.path import line, polyline
from outseam.curves.point import Point
from outseam.draft.inputs.show import MM_PER_UNIT, Units, show_ratio
from outseam.draft.sizes.coverage import Coverage, ServedGirths
from outseam.draft.sizes.run import SizeRun

WIDTH_MM, HEIGHT_MM = 277.0, 190.0
_LEFT, _LOW, _WIDE, _HIGH = 20.0, 18.0, 160.0, 150.0
_LEGEND_X: Final = 190.0
#: So many people are drawn, the first of those that were counted.
_DOTS: Final = 900
_ENDS: Final = (0.002, 0.998)
_TEXT_MM, _SMALL_MM, _TITLE_MM = 3.2, 2.7, 5.4
_HAIR = Pen(width_mm=0.15, colour=0.75)
_AXIS = Pen(width_mm=0.3)
_STEP: Final[dict[Units, float]] = {"cm": 10.0, "mm": 100.0, "in": 4.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Chart:
    """Hip across and waist up, from mm of girth to mm on paper."""

    hip: tuple[float, float]
    waist: tuple[float, float]

    def at(self, hip: float, waist: float) -> Point:
        x = (hip - self.hip[0]) / (self.hip[1] - self.hip[0])
        y = (waist - self.waist[0]) / (self.waist[1] - self.waist[0])
        return _LEFT + _WIDE * x, _LOW + _HIGH * y

    def inside(self, at: Point) -> bool:
        return _LEFT <= at[0] <= _LEFT + _WIDE and _LOW <= at[1] <= _LOW + _HIGH


def _chart(coverage: Coverage) -> _Chart:
    """Return axes that hold nearly all people and the bodies of all sizes."""
    p, reaches = coverage.people, coverage.reaches
    ends = []
    for girth, bodies in (
        (p.hip, [r.body_hip for r in reaches]),
        (p.waist, [r.body_waist for r in reaches]),
    ):
        low, high = np.quantile(girth, _ENDS)
        ends.append((min(float(low), *bodies) - 25.0, max(float(high), *bodies) + 25.0))
    return _Chart(hip=ends[0], waist=ends[1])


def _ticks(low: float, high: float, units: Units) -> Iterator[tuple[float, str]]:
    unit = float(MM_PER_UNIT[units])
    step = _STEP[units]
    n = int(np.ceil(low / unit / step))
    while n * step * unit <= high:
        yield n * step * unit, f"{n * step:g}"
        n += 1


def _axes(chart: _Chart, units: Units) -> list[SceneItem]:
    items: list[SceneItem] = []
    for mm, text in _ticks(*chart.hip, units):
        x, _ = chart.at(mm, chart.waist[0])
        items.append(Stroke(path=line((x, _LOW), (x, _LOW + _HIGH)), pen=_HAIR))
        items.append(Label(text=text, at=(x, _LOW - 5.0), size_mm=_SMALL_MM, anchor="middle"))
    for mm, text in _ticks(*chart.waist, units):
        _, y = chart.at(chart.hip[0], mm)
        items.append(Stroke(path=line((_LEFT, y), (_LEFT + _WIDE, y)), pen=_HAIR))
        items.append(Label(text=text, at=(_LEFT - 2.0, y - 1.0), size_mm=_SMALL_MM, anchor="end"))
    frame = [(_LEFT, _LOW + _HIGH), (_LEFT, _LOW), (_LEFT + _WIDE, _LOW)]
    items.append(Stroke(path=polyline(frame), pen=_AXIS))
    middle = (_LEFT + _WIDE / 2.0, _LOW - 11.0)
    items.append(Label(text=f"body hip, {units}", at=middle, size_mm=_TEXT_MM, anchor="middle"))
    up = (_LEFT - 12.0, _LOW + _HIGH / 2.0)
    words = f"body waist, {units}"
    items.append(Label(text=words, at=up, size_mm=_TEXT_MM, anchor="middle", angle_deg=90.0))
    return items


def _person(at: Point, *, served: bool) -> list[SceneItem]:
    """Return a grey dot for a person some size serves, a black cross for one that none does."""
    x, y = at
    if served:
        r = 0.35
        return [Stroke(path=rectangle(x - r, y - r, x + r, y + r), pen=None, fill=0.6)]
    r, pen = 0.9, Pen(width_mm=0.25)
    return [
        Stroke(path=line((x - r, y - r), (x + r, y + r)), pen=pen),
        Stroke(path=line((x - r, y + r), (x + r, y - r)), pen=pen),
    ]


def _people(chart: _Chart, coverage: Coverage) -> list[SceneItem]:
    items: list[SceneItem] = []
    p = coverage.people
    for hip, waist, served in zip(
        p.hip[:_DOTS].tolist(),
        p.waist[:_DOTS].tolist(),
        coverage.served[:_DOTS].tolist(),
        strict=True,
    ):
        at = chart.at(hip, waist)
        if chart.inside(at):
            items += _person(at, served=served)
    return items


def _outline(chart: _Chart, reach: ServedGirths) -> Stroke | None:
    """Return the edge of what a size takes, within the chart; None where nothing of it shows.

    It slants, as the band sits between waist and hip.
    """
    corners = []
    for hip, ends in ((reach.hip[0], reach.waist), (reach.hip[1], reach.waist[::-1])):
        for band in ends:
            corners.append(chart.at(hip, hip + (band - hip) / max(reach.band_share, 0.05)))
    frame = shapely.box(_LEFT, _LOW, _LEFT + _WIDE, _LOW + _HIGH)
    shown = shapely.Polygon(corners).intersection(frame)
    if not isinstance(shown, shapely.Polygon) or shown.is_empty:
        return None
    return Stroke(path=polyline(shapely.get_coordinates(shown.exterior).tolist()), pen=None)


def _sizes(chart: _Chart, coverage: Coverage) -> list[SceneItem]:
    items: list[SceneItem] = []
    for i, reach in enumerate(coverage.reaches):
        if (edge := _outline(chart, reach)) is not None:
            items.append(replace(edge, pen=line_style(i + 1)))
    for reach in coverage.reaches:
        x, y = chart.at(reach.body_hip, reach.body_waist)
        wide = text_width_mm(reach.label, _TEXT_MM) / 2.0 + 0.8
        box = rectangle(x - wide, y - 1.7, x + wide, y + 2.1)
        items.append(Stroke(path=box, pen=Pen(width_mm=0.2), fill=1.0))
        items.append(Label(text=reach.label, at=(x, y - 1.0), size_mm=_TEXT_MM, anchor="middle"))
    return items


def _legend(run: SizeRun, coverage: Coverage) -> list[SceneItem]:
    """Return the sizes with their pens and shares, bars as long as the share, and the sums."""
    items: list[SceneItem] = []
    wide, y = WIDTH_MM - _LEGEND_X - 6.0, _LOW + _HIGH - 2.0
    total = f"{show_ratio(coverage.total)} of the people are served"
    items.append(Label(text=total, at=(_LEGEND_X, y), size_mm=4.2))
    y -= 6.0
    step = min(8.0, 86.0 / len(coverage.reaches))
    rows = zip(coverage.reaches, coverage.shares, coverage.only, strict=True)
    for i, (reach, share, only) in enumerate(rows):
        pen = line_style(i + 1)
        items.append(Stroke(path=line((_LEGEND_X, y + 1.0), (_LEGEND_X + 12.0, y + 1.0)), pen=pen))
        name = shorten_text(reach.label, _TEXT_MM, 15.0)
        items.append(Label(text=name, at=(_LEGEND_X + 14.0, y), size_mm=_TEXT_MM))
        for part, grey in ((share, 0.75), (only, 0.2)):
            x0, x1 = _LEGEND_X + 31.0, _LEGEND_X + 31.0 + 34.0 * part
            if part > 0.002:
                items.append(Stroke(path=rectangle(x0, y, x1, y + 2.2), pen=None, fill=grey))
        right = (_LEGEND_X + wide, y)
        items.append(Label(text=f"{100 * share:.1f} %", at=right, size_mm=_TEXT_MM, anchor="end"))
        y -= step
    y -= 1.0
    told = (
        "Bars: the share of people that a size serves, dark what no other size serves.",
        "Dot: a person that some size serves. Cross: one that none does. Outline: what a size "
        "takes at hip and waist; the thigh may still say no. Label: the body it is drafted for.",
        f"Not served: {100 * coverage.smaller:.1f} % smaller at the hip than all sizes, "
        f"{100 * coverage.larger:.1f} % larger, {100 * coverage.between:.1f} % of another shape.",
        f"People: {coverage.people.says}.",
        f"Sizes: {run.source}.",
    )
    for text in told:
        for one in wrap_text(text, _SMALL_MM, wide):
            items.append(Label(text=one, at=(_LEGEND_X, y), size_mm=_SMALL_MM, colour=0.2))
            y -= _SMALL_MM * 1.4
        y -= 1.2
    return items


def coverage_scene(run: SizeRun, coverage: Coverage) -> Scene:
    """Return the picture, 277 x 190 mm: people, the sizes over them, and the shares beside."""
    units = run.patterns[0].spec.units
    chart = _chart(coverage)
    title = shorten_text(f"{run.title}: whom the sizes serve", _TITLE_MM, WIDTH_MM - 30.0)
    head = Label(text=title, at=(_LEFT, HEIGHT_MM - 13.0), size_mm=_TITLE_MM)
    layers: dict[str, Iterable[SceneItem]] = {
        "axes": (head, *_axes(chart, units)),
        "people": _people(chart, coverage),
        "sizes": _sizes(chart, coverage),
        "legend": _legend(run, coverage),
    }
    return scene_of(run.title, (WIDTH_MM, HEIGHT_MM), layers)
